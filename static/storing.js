// Stores a sheet on the server and reads what is stored there. No screen: share.js shows what comes of it.

import { canonicalText } from "./link.js";

/** @typedef {import("./sketch.js").Sketch} Sketch @typedef {import("./stash.js").Stored} Stored */
/**
 * @typedef {{view: string, edit: string|null}} Links absolute addresses; `edit` only where the key is at hand
 * @typedef {{stored: Stored, links: Links}} Answer
 */

const PATIENCE = 20_000;

/** The server could not be reached, or what answered was not it. */
export class ServerAway extends Error {}

/** The server said no; `message` is its sentence. */
export class Refused extends Error {
  constructor(status, problem) {
    super(problem.detail);
    this.status = status;
  }
}

/** Someone else saved first: nothing was overwritten, and `theirs` is where what they saved can be seen. */
export class SavedFirst extends Refused {
  constructor(refused, theirs) {
    super(refused.status, { detail: refused.message });
    this.theirs = theirs;
  }
}

async function ask(url, method, headers, sketch) {
  let response, answer;
  try {
    const body = sketch && JSON.stringify(sketch);
    const sent = body === undefined ? headers : { ...headers, "Content-Type": "application/json" };
    response = await fetch(url, { method, headers: sent, body, signal: AbortSignal.timeout(PATIENCE) });
    answer = await response.json();
  } catch {
    throw new ServerAway();
  }
  if (response.ok) return answer;
  if (typeof answer?.detail !== "string") throw new ServerAway();
  throw new Refused(response.status, answer);
}

const absolute = (address) => new URL(address, location.href).href;

/** @param {string} address @returns {string|null} the key that an edit link carries in its fragment */
export const keyIn = (address) => new URLSearchParams(new URL(address, location.href).hash.slice(1)).get("key");

/** @returns {Links} */
function linksOf(view, key) {
  const address = absolute(view);
  return { view: address, edit: key === null ? null : `${address}#${new URLSearchParams({ key })}` };
}

/** @param {string} url where sketches are stored @param {string} id */
export const storedAt = (url, id) => `${url}/${encodeURIComponent(id)}`;

/**
 * Stores a new sheet.
 * @param {string} url @param {Sketch} sketch @returns {Promise<Answer>} Throws ServerAway, Refused.
 */
export async function store(url, sketch) {
  const { id, version, links } = await ask(url, "POST", {}, sketch);
  return { stored: { id, version, key: keyIn(links.edit) }, links: { view: absolute(links.view), edit: absolute(links.edit) } };
}

/**
 * @param {string} url @param {Stored} stored
 * @returns {Promise<{version: number, sketch: Sketch, links: Links}>} what is stored now. Throws ServerAway, Refused.
 */
export async function readStored(url, stored) {
  const { version, sketch, links } = await ask(storedAt(url, stored.id), "GET", {});
  return { version, sketch, links: linksOf(links.view, stored.key) };
}

/**
 * Stores a changed sheet as the next version after `stored`.
 * @param {string} url @param {Stored} stored with its key @param {Sketch} sketch
 * @returns {Promise<Answer>} Throws ServerAway, SavedFirst, Refused.
 */
export async function storeChanges(url, stored, sketch) {
  const headers = { Authorization: `Bearer ${stored.key}`, "If-Match": `"${stored.version}"` };
  try {
    const { version, links } = await ask(storedAt(url, stored.id), "PUT", headers, sketch);
    return { stored: { ...stored, version }, links: linksOf(links.view, stored.key) };
  } catch (error) {
    if (!(error instanceof Refused) || error.status !== 412) throw error;
    // It may be our own change that is there, where its acknowledgement was lost on the way.
    const now = await readStored(url, stored);
    if (canonicalText(now.sketch) !== canonicalText(sketch)) throw new SavedFirst(error, now.links.view);
    return { stored: { ...stored, version: now.version }, links: now.links };
  }
}
