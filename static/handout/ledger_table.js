// The ledger on paper: tables as the server tells them, what is to be found left blank.

import { html, nameElement, withSubscripts } from "../dom.js";

/**
 * @typedef {{key: string|null, text: string, asked: boolean}} Cell `key` as in `covered`, null where it is no reading
 * @typedef {{words: string, name: string|null, span: number, sum: boolean, cells: Cell[]}} Row `span`: how many columns its head takes
 * @typedef {{title: string, columns: string[], rows: Row[]}} Table
 */

/** @param {Cell} cell */
function cellOf({ text, asked }) {
  return asked ? html("td", { class: "asked" }, html("span", { class: "spoken" }, "to be found")) : html("td", {}, withSubscripts(text));
}

/** What stands at the head of a row. @param {Row} row @returns {HTMLElement} */
export const headOf = ({ words, name, span }) => html("th", { scope: "row", colspan: span > 1 ? span : null }, words, ...(name ? [nameElement(name)] : []));

const rowOf = (row) => html("tr", { class: row.sum ? "sum" : null }, headOf(row), ...row.cells.map(cellOf));

/** @param {Table[]} tables @returns {HTMLElement[]} */
export function ledgerTables(tables) {
  return tables.map(({ title, columns, rows }) => {
    const heads = columns.map((text) => html("th", { scope: "col" }, text));
    return html("table", { class: "ledger-on-paper", "aria-label": title }, html("thead", {}, html("tr", {}, ...heads)), html("tbody", {}, ...rows.map(rowOf)));
  });
}
