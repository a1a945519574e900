// The table: every reading in every column, the ratio between the columns, and what follows; each cell can be covered.

import { html, nameElement, withSubscripts } from "../dom.js";
import { partNamed } from "../sketch.js";
import { cellKey, toggleCell } from "./covers.js";

export class Table {
  /** @param {HTMLElement} place @param {object} desk see main.js */
  constructor(place, desk) {
    this.place = place;
    this.desk = desk;
  }

  /** @param {object} answer @param {import("./covers.js").Covers} covers */
  show(answer, covers) {
    const focus = /** @type {HTMLElement|null} */ (document.activeElement)?.dataset?.focus;
    const { columns } = answer;
    const heads = ["", ...columns.map(({ title }) => title), "Ratio", "What it says"];
    const head = html("thead", { role: "rowgroup" }, html("tr", { role: "row" }, ...heads.map((text, index) => (text ? html("th", { scope: "col", role: "columnheader", class: index > columns.length ? (text === "Ratio" ? "ratio" : "says") : null }, text) : html("td", { role: "cell" })))));
    const table = html("table", { class: "compare-table", role: "table", "aria-labelledby": "table-head" }, head, ...this.#groups(answer).map((rows) => this.#group(rows, answer, covers)));
    table.style.setProperty("--columns", String(columns.length));
    this.place.replaceChildren(table);
    if (focus) /** @type {HTMLElement|null} */ (this.place.querySelector(`[data-focus="${CSS.escape(focus)}"]`))?.focus({ preventScroll: true });
  }

  /** Rows that are about one thing, in the order they come. */
  #groups({ rows }) {
    const groups = new Map();
    for (const row of rows) groups.set(row.part, [...(groups.get(row.part) ?? []), row]);
    return [...groups.values()];
  }

  #group(rows, answer, covers) {
    const [{ part }] = rows;
    const span = answer.columns.length + 3;
    const title = html("th", { scope: "rowgroup", colspan: span, role: "rowheader" }, ...(part ? this.#partTitle(part, answer) : ["The whole"]));
    return html("tbody", { role: "rowgroup" }, html("tr", { role: "row", class: "group" }, title), ...rows.map((row) => this.#row(row, answer, covers)));
  }

  #partTitle(part, { columns }) {
    const found = partNamed(this.desk.doc.sketch, part);
    const others = [...new Set(columns.map(({ names }) => names[part]).filter((name) => name && name !== part))];
    return [nameElement(part), ...(found?.value ? [html("span", {}, ` ${withSubscripts(found.value)}`)] : []), ...others.flatMap((name) => [html("span", { class: "quiet" }, " as "), nameElement(name)])];
  }

  #row(row, { columns }, covers) {
    const about = row.part ? `${row.word} of ${row.part}` : row.word;
    const cells = row.readings.map((reading, place) => {
      const title = columns[place].title;
      return html("td", { role: "cell" }, reading ? this.#cell(row, columns[place].kind, withSubscripts(reading.text), `${about}, ${title}`, covers) : html("span", { class: "quiet", "aria-label": "none" }, "–"));
    });
    const ratio = row.ratio ? this.#cell(row, "ratio", withSubscripts(row.ratio.text), `ratio, ${about}`, covers) : html("span", { class: "quiet", "aria-label": "none" }, "–");
    return html(
      "tr",
      { role: "row" },
      html("th", { scope: "row", role: "rowheader" }, row.word),
      ...cells,
      html("td", { role: "cell", class: "ratio" }, ratio),
      html("td", { role: "cell", class: "says" }, this.#conclusion(row, about, covers), ...this.#reasons(row, covers)),
    );
  }

  #conclusion(row, about, covers) {
    const button = this.#cell(row, "conclusion", withSubscripts(row.conclusion), `conclusion, ${about}`, covers);
    if (row.warning && !covers.isCovered(cellKey(row.key, "conclusion"))) button.prepend(html("b", { class: "wrong" }, row.warning), " ");
    return button;
  }

  /** Why each column has what it has, where that gives nothing away. */
  #reasons(row, covers) {
    if (covers.isCovered(cellKey(row.key, "conclusion"))) return [];
    const told = row.reasons.filter(({ column, keys }) => !keys.some((key) => covers.isCovered(cellKey(key, column))));
    return told.map(({ text }) => html("p", { class: "because" }, withSubscripts(text)));
  }

  #cell(row, column, text, about, covers) {
    const key = cellKey(row.key, column);
    const covered = covers.isCovered(key);
    const button = html("button", { type: "button", class: covered ? "covered" : "", "data-focus": key, title: covered ? "Uncover" : "Cover" }, covered ? "?" : text);
    button.setAttribute("aria-label", covered ? `Uncover: ${about}` : `${column === "conclusion" && row.warning ? `${row.warning} ` : ""}${text} ${about}: cover it`);
    button.addEventListener("click", () => {
      const { doc } = this.desk;
      doc.change(toggleCell(doc.sketch, row.key, column));
    });
    return button;
  }
}
