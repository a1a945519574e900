// Whether another tab of this browser holds a name. Over plain http there are no locks: the other tabs are asked then.

/** How long a tab that is just being reloaded may take to let go, in ms. */
const LETTING_GO = 300;
/** How long another tab, perhaps asleep in the background, may take to answer, in ms. */
const ANSWERING = 1000;

/**
 * @param {string} name
 * @returns {Promise<(() => void)|null>} lets go of the name again; null where another tab holds it
 */
export const hold = (name) => (navigator.locks ? holdByLock(name) : holdByAsking(name));

/** Holds a name that no other tab can hold. @param {string} name @returns {Promise<(() => void)|null>} */
export const holdFree = (name) => (navigator.locks ? holdByLock(name) : Promise.resolve(holdUnasked(name)));

function holdByLock(name) {
  return new Promise((resolve) => {
    const held = () => new Promise((release) => resolve(() => release(undefined)));
    navigator.locks
      .request(name, { signal: AbortSignal.timeout(LETTING_GO) }, held)
      .catch((error) => resolve(error.name === "TimeoutError" || error.name === "AbortError" ? null : () => {}));
  });
}

/** @type {BroadcastChannel|null} */
let channel = null;
const held = new Set();
/** Names being asked for, and what to do when one turns out to be held. @type {Map<string, () => void>} */
const asked = new Map();
const me = Math.random();

function listen() {
  channel = new BroadcastChannel("farandole sheets");
  channel.addEventListener("message", ({ data }) => {
    if (data.heldBy !== undefined) {
      if (data.from === me) asked.get(data.name)?.();
    } else if (held.has(data.name) || (asked.has(data.name) && me < data.from)) channel.postMessage({ ...data, heldBy: me });
  });
}

async function holdByAsking(name) {
  if (channel === null) listen();
  const free = await new Promise((resolve) => {
    asked.set(name, () => resolve(false));
    setTimeout(() => resolve(true), ANSWERING);
    channel.postMessage({ name, from: me });
  });
  asked.delete(name);
  return free ? holdUnasked(name) : null;
}

function holdUnasked(name) {
  if (channel === null) listen();
  held.add(name);
  return () => held.delete(name);
}
