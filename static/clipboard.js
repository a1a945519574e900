// Copy, cut and paste of parts, within the sheet and between tabs, as text on the clipboard.

import { bounds } from "./geometry.js";
import { isTyping } from "./keys.js";
import { endsOf, excerpt, insertPiece } from "./sketch.js";

const MARK = "farandole";
/** Grid steps between the drawing and what is pasted under it. */
const BELOW = 3;

/** A piece of a sketch from clipboard text, or null where the text is something else. */
function pieceFrom(text) {
  try {
    const { [MARK]: piece } = JSON.parse(text);
    const ends = piece.parts.flatMap(endsOf);
    const whole = piece.parts.length > 0 && ends.every((end) => piece.joints[end]?.every(Number.isInteger));
    return whole && piece.parts.every((part) => typeof part.name === "string" && typeof part.kind === "string") ? piece : null;
  } catch {
    return null;
  }
}

/**
 * Copy and paste by key and by button. What was copied here is also remembered here, for a touch screen's buttons.
 * @param {import("./desk.js").Desk} desk
 */
export class Clipboard {
  /** @type {import("./sketch.js").Sketch|null} */
  #held = null;

  constructor(desk) {
    this.desk = desk;
    document.addEventListener("copy", (event) => this.#toEvent(event));
    document.addEventListener("cut", (event) => {
      if (this.#toEvent(event)) desk.editing.removeSelected();
    });
    document.addEventListener("paste", (event) => {
      if (isTyping(event.target)) return;
      const piece = pieceFrom(event.clipboardData.getData("text/plain"));
      if (!piece) return;
      event.preventDefault();
      this.#put(piece);
    });
  }

  get holds() {
    return this.#held !== null;
  }

  /** Copies what is selected. @returns {string|null} its text */
  copy() {
    const { sketch, selection } = this.desk.doc;
    if (!selection.parts.size) return null;
    this.#held = excerpt(sketch, selection.parts);
    const { size } = selection.parts;
    this.desk.announce(`${size === 1 ? "One part" : `${size} parts`} copied`);
    return JSON.stringify({ [MARK]: this.#held });
  }

  /** Pastes what was copied in this tab. */
  paste() {
    if (this.#held) this.#put(this.#held);
  }

  #toEvent(event) {
    const text = isTyping(event.target) ? null : this.copy();
    if (text === null) return false;
    event.clipboardData.setData("text/plain", text);
    event.preventDefault();
    return true;
  }

  #put(piece) {
    const { doc, kinds } = this.desk;
    if (!piece.parts.every((part) => Object.hasOwn(kinds, part.kind))) return;
    const drawing = bounds(doc.sketch);
    const down = drawing ? drawing.bottom + BELOW - bounds(piece).top : 0;
    const { sketch, added } = insertPiece(doc.sketch, piece, [0, down], kinds);
    doc.change(sketch);
    doc.select(added);
    this.desk.afterSolving(() => this.desk.keepInSight());
    this.desk.announce(`${added.size === 1 ? "One part" : `${added.size} parts`} pasted`);
  }
}
