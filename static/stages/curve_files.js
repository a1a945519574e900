// The curves as files: numbers for spreadsheets, a picture for a worksheet.

import { svg } from "../dom.js";
import { SHEET } from "../drawing/palette.js";
import { download, drawn, fileName, fileText } from "../exporting.js";
import { curvesCsv } from "./curves.js";
import { shownStage } from "./sequence.js";

/** Size of the saved picture, in pixels. */
export const SAVED = { width: 760, height: 340, size: 12 };

/** @param {import("../sketch.js").Sketch} sketch */
function titleOf(sketch) {
  const number = shownStage(sketch);
  return [sketch.title, sketch.stages[number].name || `Stage ${number + 1}`].filter(Boolean).join(", ");
}

function save(desk, text, type, ending) {
  const name = fileName(titleOf(desk.doc.sketch), ending);
  download(new Blob([text], { type }), name);
  desk.announce(`Saved as ${name}`);
}

/** @param {import("../desk.js").Desk} desk @param {import("./plot.js").Plot} plot */
export const saveCsv = (desk, plot) => save(desk, curvesCsv(plot.lines, plot.constants, plot.span), "text/csv", "csv");

/** @param {import("../desk.js").Desk} desk @param {import("./plot.js").Plot} plot made for the size of the file */
export function saveSvg(desk, plot) {
  const { width, height } = SAVED;
  const picture = svg("svg", { viewBox: `0 0 ${width} ${height}`, width, height, role: "img" }, svg("title", {}, titleOf(desk.doc.sketch)), svg("rect", { width, height, fill: SHEET }), ...plot.nodes().map(drawn));
  save(desk, fileText(picture), "image/svg+xml", "svg");
}
