// One page for the printer, as the server tells it: what the bank has to do, its drawing, its parts, its figures, the caution.

import { unbroken } from "../builds/words.js";
import { html } from "../dom.js";
import { picture } from "../drawing/picture.js";
import { legible, ofLayers } from "../handout/framed.js";
import { plainToRead } from "../handout/spread.js";
import { withIndices } from "./cards.js";

const ROOM = { width: 178, height: 54, scale: 0.25 };
/** Millimetres of the page between its margins, as in paper.css and paper_a4.css, with a little to spare. */
const HIGH = 266;
const TIGHTNESS = ["", "tight", "tightest"];
const NOTHING_MARKED = { selected: new Set(), joints: new Set(), faulty: new Set(), pair: null };
const STYLE = { zigzag: false, overlays: { V: false, Q: false, U: false } };

/** @param {object} sketch @param {object} kinds @returns {SVGElement} */
export function bankDrawing(sketch, kinds) {
  const { whole } = legible(ROOM, (big) => plainToRead(sketch, kinds, (each) => picture(each, null, { ...STYLE, big, kinds }, NOTHING_MARKED, () => false)));
  return ofLayers(whole, ["ink", "joints", "labels"], "Drawing of the bank", ROOM);
}

const row = ([first, ...rest]) => html("tr", {}, html("th", { scope: "row" }, first), ...rest.map((cell) => html("td", {}, unbroken(cell))));
const source = ({ what, formula, source: from }) => html("li", {}, ...withIndices(what), ": ", html("b", {}, ...withIndices(formula)), "; ", ...withIndices(from), ".");

/** templates/bank_paper.html is the same for the PDF. @param {object} paper BankPaper of the interface @param {SVGElement} drawing @returns {HTMLElement[]} */
export function bankPaper({ title, task, caption, columns, rows, figures, formulas, caution, closing }, drawing) {
  return [
    html("h2", {}, unbroken(title)),
    html("p", {}, unbroken(task)),
    html("figure", { class: "drawing" }, drawing, ...(caption ? [html("figcaption", {}, unbroken(caption))] : [])),
    html("table", { class: "ledger-on-paper" }, html("thead", {}, html("tr", {}, ...columns.map((word) => html("th", { scope: "col" }, word)))), html("tbody", {}, ...rows.map(row))),
    html("ul", { class: "figures" }, ...figures.map((text) => html("li", {}, unbroken(text)))),
    ...(formulas.length ? [html("h3", {}, "Formulas, and where they come from"), html("ul", { class: "figures note" }, ...formulas.map(source))] : []),
    ...(caution ? [html("div", { class: "cautions" }, html("p", {}, html("b", {}, `${unbroken(caution.figures)}.`)), ...caution.sentences.map((sentence) => html("p", {}, unbroken(sentence))))] : []),
    html("p", { class: "note" }, closing),
  ];
}

/** Makes the type on the page so small that one page holds it all. @param {HTMLElement} sheet its place, which only paper shows */
export function fitOnePage(sheet) {
  for (const tightness of TIGHTNESS) {
    sheet.className = `paper bank-paper measured ${tightness}`;
    const millimetre = sheet.offsetWidth / 180;
    if (sheet.offsetHeight <= HIGH * millimetre) break;
  }
  sheet.classList.remove("measured");
}
