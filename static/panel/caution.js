// The caution where there is much voltage or energy: how much, what it can do, what is usual, who decides. It can be folded.

import { html } from "../dom.js";

/** Folded once, it stays folded while the page is open. */
let isOpen = true;

/** Whether the figures of a caution would give away what is covered. @param {import("../sketch.js").Sketch} sketch */
const hidesFigures = (sketch) => (sketch.covered?.length ?? 0) > 0;

/** @param {string} head @param {string[]} sentences @param {boolean} [unfolded] how it stands where nobody has folded it yet @returns {HTMLElement} */
export function folding(head, sentences, unfolded = isOpen) {
  const details = html("details", { class: "caution", open: unfolded }, html("summary", { "data-focus": "caution" }, head), ...sentences.map((sentence) => html("p", {}, sentence)));
  details.addEventListener("toggle", () => (isOpen = /** @type {HTMLDetailsElement} */ (details).open));
  return details;
}

/**
 * @param {import("../desk.js").Desk} desk @param {boolean} [unfolded] how it stands where nobody has folded it yet
 * @returns {HTMLElement|null} nothing below every threshold
 */
export function cautionSection(desk, unfolded) {
  const caution = desk.solving.state === "fault" ? null : desk.solving.solution?.caution;
  if (!caution) return null;
  const head = hidesFigures(desk.doc.sketch) ? "Caution: dangerous to build" : caution.figures;
  return html("section", { "aria-label": "Caution" }, folding(head, caution.sentences, unfolded));
}
