// Lists that a sketch keeps and that are changed row by row: questions of time, and what readings have to be.

import { html } from "../dom.js";

/** @typedef {"questions"|"required"} Listed */

/**
 * Changes a list as it is by now: before it is written out anew, another field may have been changed.
 * @param {import("../desk.js").Desk} desk @param {Listed} key @param {(now: any[]) => any[]} become
 */
export function changeList({ doc }, key, become) {
  const { [key]: now = [], ...rest } = doc.sketch;
  const list = become(now);
  doc.change(list.length ? { ...rest, [key]: list } : rest);
}

/** A button that takes an entry out; pressed twice before the list is written out anew, it takes out one. @param {import("../desk.js").Desk} desk @param {Listed} key @param {number} place @param {string} label */
export function removeButton(desk, key, place, label) {
  const count = desk.doc.sketch[key]?.length;
  const button = html("button", { type: "button", class: "edged", "aria-label": label }, "Remove");
  button.addEventListener("click", () => changeList(desk, key, (now) => (now.length === count ? now.filter((_, index) => index !== place) : now)));
  return button;
}
