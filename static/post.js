// Sends JSON to the server and reads its JSON answer; while the server is away there is none.

/**
 * @param {string} url @param {string} text JSON @param {AbortSignal} [signal]
 * @returns {Promise<{ok: boolean, body: any}|null>} null where nothing came back that could be read
 */
export async function post(url, text, signal) {
  try {
    const response = await fetch(url, { method: "POST", headers: { "Content-Type": "application/json" }, body: text, signal });
    return { ok: response.ok, body: await response.json() };
  } catch {
    return null;
  }
}

export const AWAY = "The server is away: try again in a moment.";

/** Why what was asked for once did not come, in sentences. @param {{body: any}|null} outcome @returns {string} */
export const whyNot = (outcome) => (outcome ? outcome.body.errors.map(({ text }) => text).join(" ") : AWAY);
