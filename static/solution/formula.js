// The formulas of the worked solution: in one row where there is room, else in several lines, else smaller, else they scroll.

import { html, set } from "../dom.js";
import { apart, inLines, mathElement, piecesOf } from "./math.js";

/** @typedef {{math: import("./math.js").Math, latex: string, text: string}} Line */

/** How much smaller a formula may be set to stay in one row, and how much before it scrolls. */
const IN_ONE_ROW = 0.9;
const SIZES = [1, 0.86, 0.74];
/** The size of formulas beside that of the sentences round them. */
const SCALE = 1.22;
/** What a line that goes on is set in by, and what the cells of a line take beside their content; in ems. */
const SET_IN = 1.6;
const BESIDE = 0.6;
/** The share of the room that the left side may take for the equals signs to stand under one another. */
const LEFT = 0.42;

export class FormulaLine {
  /** Widths in ems: of the whole row, and of each piece. @type {{row: number, pieces: number[]}|null} */
  #natural = null;
  #shown = "";

  /** @param {Line} line */
  constructor(line) {
    this.line = line;
    this.pieces = piecesOf(line.math);
    this.element = html("div", { class: "formula" });
    this.show(line.math, 1);
  }

  /** @param {import("./math.js").Math} tree @param {number} size */
  show(tree, size) {
    const key = JSON.stringify([tree, size]);
    if (key === this.#shown) return;
    this.#shown = key;
    this.element.style.fontSize = `${SCALE * size}em`;
    this.element.replaceChildren(mathElement(tree));
  }

  get isMeasured() {
    return this.#natural !== null;
  }

  /** Pixels in an em of the full size. */
  get #em() {
    return parseFloat(getComputedStyle(this.element.parentElement).fontSize) * SCALE;
  }

  get row() {
    return this.#natural?.row ?? 0;
  }

  measureRow() {
    this.#natural = { row: this.element.firstElementChild.getBoundingClientRect().width / this.#em, pieces: [] };
  }

  measurePieces() {
    const em = this.#em;
    this.#natural.pieces = [...this.element.querySelectorAll("mtd > mrow")].map((piece) => piece.getBoundingClientRect().width / em);
  }

  get piecesKnown() {
    return this.#natural?.pieces.length === this.pieces.length;
  }

  /** Room in ems of the formula's full size. */
  get room() {
    return this.element.clientWidth / this.#em;
  }

  /** Sets it so that it fits into so much room. @param {number} room in ems */
  set(room) {
    const scrolls = !this.#fitsInto(room);
    if (scrolls) this.show(this.line.math, SIZES[SIZES.length - 1]);
    this.element.classList.toggle("scrolls", scrolls);
    set(this.element, { tabindex: scrolls ? 0 : null, role: scrolls ? "group" : null, "aria-label": scrolls ? "Wide formula" : null });
  }

  /** Shows it as large as it can be; false where it does not fit at all. */
  #fitsInto(room) {
    if (this.row > room && this.row * IN_ONE_ROW <= room) {
      this.show(this.line.math, IN_ONE_ROW);
      return true;
    }
    return SIZES.some((size) => {
      const tree = this.#treeFor(room / size);
      if (tree) this.show(tree, size);
      return tree !== null;
    });
  }

  #treeFor(room) {
    const { row, pieces: widths } = this.#natural;
    if (row <= room) return this.line.math;
    if (this.pieces.length < 2) return null;
    const left = this.pieces.filter(({ side }) => side === 0).length;
    const leftWidth = widths.slice(0, left).reduce((sum, width) => sum + width, 0);
    const aligned = left < this.pieces.length && leftWidth <= room * LEFT;
    const from = aligned ? left : 0;
    const lines = packed(this.pieces.slice(from), widths.slice(from), room - BESIDE - (aligned ? leftWidth : 0), aligned);
    return lines && inLines(aligned ? this.pieces.slice(0, left).flatMap((piece) => piece.row) : [], lines);
  }
}

/** Pieces put into lines, as many as fit into each; null where one is too wide. Aligned, every side begins a line. */
function packed(pieces, widths, room, aligned) {
  const lines = [];
  let used = 0;
  for (const [index, { side, row }] of pieces.entries()) {
    const begins = aligned && (index === 0 || side !== pieces[index - 1].side);
    if (!begins && lines.length && used + widths[index] <= room) {
      lines[lines.length - 1].row.push(...row);
      used += widths[index];
      continue;
    }
    const goesOn = lines.length > 0 && !begins;
    used = widths[index] + (goesOn ? SET_IN : 0);
    if (used > room) return null;
    lines.push({ row: [...row], goesOn });
  }
  return lines;
}

/**
 * Suits formulas to the width that they have. All are measured together, so that the page is laid out only a few times.
 * @param {FormulaLine[]} formulas
 */
export function fitFormulas(formulas) {
  const fresh = formulas.filter((formula) => !formula.isMeasured);
  for (const formula of fresh) formula.show(formula.line.math, 1);
  for (const formula of fresh) formula.measureRow();
  const rooms = formulas.map((formula) => formula.room);
  const broken = formulas.filter((formula, index) => formula.row > rooms[index] && formula.pieces.length > 1 && !formula.piecesKnown);
  for (const formula of broken) formula.show(apart(formula.pieces), 1);
  for (const formula of broken) formula.measurePieces();
  formulas.forEach((formula, index) => formula.set(rooms[index]));
}
