// The ledger of a sheet on a memory stick: the same tables, in which a press covers a reading or uncovers it.

import { html, withSubscripts } from "../dom.js";
import { headOf } from "../handout/ledger_table.js";
import { readingButton } from "../panel/cells.js";

/** @param {import("../handout/ledger_table.js").Table[]} tables @param {import("./desk.js").OfflineDesk} desk @param {(key: string) => boolean} isCovered */
export function ledgerSection(tables, desk, isCovered) {
  const cell = ({ key, text }) => html("td", {}, ...(key ? [readingButton({ text }, key, desk, isCovered)] : [withSubscripts(text)]));
  const row = (each) => html("tr", { class: desk.doc.selection.parts.has(each.name) ? "chosen" : null }, headOf(each), ...each.cells.map(cell));
  const made = tables.map(({ title, columns, rows }) => {
    const [foot, body] = [true, false].map((sum) => rows.filter((each) => each.sum === sum).map(row));
    const table = html("table", { class: "ledger", "aria-label": title }, html("thead", {}, html("tr", {}, ...columns.map((text) => html("th", { scope: "col" }, text)))), html("tbody", {}, ...body));
    if (foot.length) table.append(html("tfoot", {}, ...foot));
    return table;
  });
  return html("section", { "aria-label": "Ledger" }, html("h2", {}, html("span", {}, "Ledger")), ...made);
}

/** The potentials, each by the first of its joints, for those who cannot press the flags on the sheet. */
export function potentialsSection(solution, desk, isCovered) {
  const rows = Object.values(solution.conductors).map(({ joints, potential }) => {
    const key = joints.map((joint) => `joint ${joint}.potential`).find(isCovered) ?? `joint ${joints[0]}.potential`;
    return html("tr", {}, html("th", { scope: "row" }, joints.length > 1 ? `Joints ${joints.join(", ")}` : `Joint ${joints[0]}`), html("td", {}, readingButton(potential, key, desk, isCovered)));
  });
  if (!rows.length) return null;
  const heads = ["Conductor", "Potential"].map((text) => html("th", { scope: "col" }, text));
  const table = html("table", { class: "ledger", "aria-label": "Potentials" }, html("thead", {}, html("tr", {}, ...heads)), html("tbody", {}, ...rows));
  return html("section", { "aria-label": "Potentials" }, html("h2", {}, html("span", {}, "Potentials")), table);
}
