// Keeps the sheet in this browser: one entry of localStorage for every sheet, this tab's own found again after a reload.
// No entry is ever written by two tabs: a tab that finds its sheet taken goes on under a new id.

import { hold, holdFree } from "./hold.js";
import { isSketch } from "./shape.js";

/** @typedef {import("./sketch.js").Sketch} Sketch */
/**
 * @typedef {{id: string, version: number, key: string|null}} Stored the sheet as the server has it
 * @typedef {{sketch: Sketch, stored: Stored|null}} Kept
 * @typedef {{id: string, title: string, time: number, parts: number}} Recent `time` in ms since 1970
 * @typedef {"kept"|"full"|"none"} Outcome "none" where the browser allows no storage
 */

const SHEET = "farandole sheet ";
const TAB = "farandole tab ";
/** Under this a page that goes notes which sheet it lets go. A tab that was duplicated does not find its id there. */
const LEFT = "farandole left";
const MOST_RECENT = 20;
/** What this tab could undo when its page went, for the page that comes back to the same sheet. */
const STEPS = "farandole steps";
const MOST_STEPS = 100;

/** A storage of the browser, or null where it is refused. @param {"localStorage"|"sessionStorage"} name @returns {Storage|null} */
function storageNamed(name) {
  try {
    return window[name];
  } catch {
    return null;
  }
}

const freshId = () => Array.from(crypto.getRandomValues(new Uint32Array(3)), (each) => each.toString(36)).join("");

function tryToSet(storage, key, text) {
  try {
    storage.setItem(key, text);
    return true;
  } catch {
    return false;
  }
}

const isStored = (data) =>
  typeof data?.id === "string" && Number.isSafeInteger(data.version) && (data.key === null || typeof data.key === "string");

export class Stash {
  #local = storageNamed("localStorage");
  #tab = storageNamed("sessionStorage");
  #address;
  #kinds;
  #id = freshId();
  /** What this tab last wrote or found under its id; anything else there is another tab's. @type {string|null} */
  #written = null;
  #letGo = () => {};

  /** Use `Stash.forPage`. */
  constructor(address, kinds) {
    this.#address = address;
    this.#kinds = kinds;
    /** What this tab's sheet held before the page was loaded. @type {Kept|null} */
    this.found = null;
    /** Called when another tab took this tab's entry away, with how putting it back went. @type {(outcome: Outcome) => void} */
    this.onremoved = () => {};
    window.addEventListener("storage", (event) => this.#noticeRemoval(event));
    window.addEventListener("pagehide", () => this.#tab && tryToSet(this.#tab, LEFT, this.#id));
    window.addEventListener("pageshow", ({ persisted }) => persisted && this.#tab?.removeItem(LEFT));
  }

  /**
   * @param {string} address what was opened in this tab, fragment included: each has a sheet of its own
   * @param {object} [kinds] where given, sheets with parts of other kinds are passed over
   */
  static async forPage(address, kinds) {
    const stash = new Stash(address, kinds);
    const id = stash.#tab?.getItem(TAB + address) ?? null;
    const left = stash.#tab?.getItem(LEFT) ?? null;
    stash.#tab?.removeItem(LEFT);
    if (id === null) stash.startNew();
    else stash.found = await stash.take(id, left === id ? holdFree : hold);
    return stash;
  }

  /**
   * Keeps the sheet as it is now. To make room, the oldest other sheets go.
   * @param {Kept} kept @returns {Outcome}
   */
  keep({ sketch, stored }) {
    if (this.#local === null) return "none";
    const there = this.#local.getItem(SHEET + this.#id);
    if (there !== null && there !== this.#written) this.startNew();
    const entry = { title: sketch.title ?? "", time: Date.now(), parts: sketch.parts.length, stored, sketch };
    return this.#writeMakingRoom(JSON.stringify(entry)) ? "kept" : "full";
  }

  #write(text) {
    const done = tryToSet(this.#local, SHEET + this.#id, text);
    if (done) this.#written = text;
    return done;
  }

  #writeMakingRoom(text) {
    if (this.#write(text)) return true;
    const others = this.#ids().filter((id) => id !== this.#id);
    const oldest = others.map((id) => ({ id, time: this.#entry(id)?.time ?? 0 })).sort((a, b) => a.time - b.time);
    const gone = [];
    for (const { id } of oldest) {
      gone.push([SHEET + id, this.#local.getItem(SHEET + id)]);
      this.#local.removeItem(SHEET + id);
      if (this.#write(text)) return true;
    }
    // All that room is not enough, so nothing need go for it.
    for (const [key, other] of gone.reverse()) tryToSet(this.#local, key, other);
    return false;
  }

  #noticeRemoval({ storageArea, key, newValue }) {
    const mine = key === null || key === SHEET + this.#id;
    if (storageArea !== this.#local || !mine || newValue !== null || this.#written === null) return;
    if (this.#local.getItem(SHEET + this.#id) === null) this.onremoved(this.#write(this.#written) ? "kept" : "full");
  }

  #ids() {
    const keys = Array.from({ length: this.#local?.length ?? 0 }, (_, index) => this.#local.key(index));
    return keys.filter((key) => key?.startsWith(SHEET)).map((key) => key.slice(SHEET.length));
  }

  /** A sheet on this device, or null where there is none that can be drawn. */
  #entry(id) {
    try {
      const entry = JSON.parse(this.#local?.getItem(SHEET + id) ?? "null");
      return Number.isFinite(entry?.time) && isSketch(entry.sketch, this.#kinds) ? entry : null;
    } catch (error) {
      if (error instanceof SyntaxError) return null;
      throw error;
    }
  }

  /** Other sheets on this device, the latest first. @returns {Recent[]} */
  recent() {
    return this.#ids()
      .filter((id) => id !== this.#id)
      .map((id) => ({ id, entry: this.#entry(id) }))
      .filter(({ entry }) => entry !== null)
      .map(({ id, entry }) => ({ id, title: entry.sketch.title ?? "", time: entry.time, parts: entry.sketch.parts.length }))
      .sort((a, b) => b.time - a.time)
      .slice(0, MOST_RECENT);
  }

  /** @param {string} id @returns {Kept|null} */
  read(id) {
    const entry = this.#entry(id);
    return entry && { sketch: entry.sketch, stored: isStored(entry.stored) ? entry.stored : null };
  }

  /** Keeps what can be undone for this tab, as far as there is room. @param {import("./document.js").Steps} steps */
  keepSteps({ past, future }) {
    if (this.#tab === null) return;
    const text = JSON.stringify({ id: this.#id, past: past.slice(-MOST_STEPS), future: future.slice(-MOST_STEPS) });
    if (!tryToSet(this.#tab, STEPS, text)) this.#tab.removeItem(STEPS);
  }

  /** What could be undone on this sheet when this tab last left it. @returns {import("./document.js").Steps} */
  get steps() {
    const nothing = { past: [], future: [] };
    try {
      const { id, past, future } = JSON.parse(this.#tab?.getItem(STEPS) ?? "{}");
      const all = id === this.#id && Array.isArray(past) && Array.isArray(future) && [...past, ...future].every((sketch) => isSketch(sketch, this.#kinds));
      return all ? { past, future } : nothing;
    } catch (error) {
      if (error instanceof SyntaxError) return nothing;
      throw error;
    }
  }

  /** Takes another sheet off this device. @param {string} id */
  forget(id) {
    if (id !== this.#id) this.#local?.removeItem(SHEET + id);
  }

  /** From here on this tab keeps a new sheet; the one before stays under `recent`. */
  startNew() {
    const id = freshId();
    this.#become(id, null, () => {});
    holdFree(SHEET + id).then((letGo) => {
      if (this.#id === id) this.#letGo = letGo ?? (() => {});
      else letGo?.();
    });
  }

  /**
   * From here on this tab keeps the sheet with this id, or a copy of it where another tab has it open.
   * @param {string} id @param {typeof hold} [holding] how to make sure of that
   * @returns {Promise<Kept|null>} null where there is no such sheet: this tab keeps a new one then
   */
  async take(id, holding = hold) {
    if (id === this.#id) return this.read(id);
    const letGo = await holding(SHEET + id);
    const kept = this.read(id);
    if (letGo !== null && kept !== null) this.#become(id, this.#local.getItem(SHEET + id), letGo);
    else {
      letGo?.();
      this.startNew();
    }
    return kept;
  }

  /** The page's address changed without a load: a reload there finds this sheet again. @param {string} address */
  moved(address) {
    this.#address = address;
    this.#remember();
  }

  #become(id, written, letGo) {
    this.#letGo();
    [this.#id, this.#written, this.#letGo] = [id, written, letGo];
    this.#remember();
  }

  #remember() {
    if (this.#tab !== null) tryToSet(this.#tab, TAB + this.#address, this.#id);
  }
}
