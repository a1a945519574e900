// What is in the form, in the address and on this device: a reload, a link and a way back lose nothing of it.

import { DamagedLink, packed, unpacked } from "../link.js";

const KEPT = "farandole bank";
/** The texts of the form outside its table. */
export const FIELDS = ["voltage", "capacitance", "energy", "lowest", "derating", "resistors", "downTo", "within"];
/** The texts of a row of its table. */
export const COLUMNS = ["value", "rated", "tolerance", "leakage", "count", "price"];
/** Rows that its table may have. */
export const MOST_ROWS = 40;
const LONGEST = 60;

/**
 * @typedef {Record<string, string>} Row
 * @typedef {{goal: "capacitance"|"energy", counted: "marked"|"least", kinds: Row[]} & Record<string, any>} Wish
 */

/** @returns {Row} */
export const emptyRow = () => Object.fromEntries(COLUMNS.map((column) => [column, ""]));

/** @returns {Wish} */
export const emptyWish = () => ({ ...Object.fromEntries(FIELDS.map((field) => [field, ""])), goal: "capacitance", counted: "marked", derating: "80 %", resistors: "5 %", kinds: [emptyRow(), emptyRow()] });

const textOf = (data) => (typeof data === "string" ? data.slice(0, LONGEST) : "");

/** Data from outside as a wish: what does not belong there is left out. @param {any} data @returns {Wish|null} */
export function wishFrom(data) {
  if (typeof data !== "object" || data === null || !Array.isArray(data.kinds)) return null;
  const rows = data.kinds.slice(0, MOST_ROWS).map((row) => Object.fromEntries(COLUMNS.map((column) => [column, textOf(row?.[column])])));
  const fields = Object.fromEntries(FIELDS.map((field) => [field, textOf(data[field])]));
  return { ...fields, goal: data.goal === "energy" ? "energy" : "capacitance", counted: data.counted === "least" ? "least" : "marked", kinds: rows };
}

/** The wish that the address carries; null where it carries none. @returns {Promise<Wish|null>} Throws DamagedLink. */
export async function carriedWish() {
  if (location.hash.length <= 1) return null;
  const wish = wishFrom(await unpacked(location.hash));
  if (!wish) throw new DamagedLink("content");
  return wish;
}

/** The wish that this device kept last. @returns {Wish|null} */
export function keptWish() {
  try {
    return wishFrom(JSON.parse(localStorage.getItem(KEPT) ?? "null"));
  } catch {
    return null;
  }
}

/** The latest that was to be kept: packing takes a moment, and what was typed since must not be undone by it. */
let latest = "";

/** @param {Wish} wish @param {boolean} step whether the browser's Back is to return to what was there before */
export async function keep(wish, step = false) {
  const text = JSON.stringify(wish);
  latest = text;
  try {
    localStorage.setItem(KEPT, text);
  } catch {
    // A browser that keeps nothing still carries the form in the address.
  }
  // At once, so that Back leads here however soon it is pressed.
  if (step) history.pushState(null, "", location.href);
  const fragment = `#${await packed(text)}`;
  if (text === latest) history.replaceState(null, "", fragment);
}
