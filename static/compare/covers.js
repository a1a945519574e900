// What is covered in the table, and what a column's drawing and tiles must not give away of it.

import { coverOf, toggleOne } from "../covering.js";

/** @typedef {import("./comparison.js").Compared} Compared */

/** The key of a cell: a row's key and the column, "ratio" or "conclusion". @param {string} row @param {string} column */
export const cellKey = (row, column) => `${row}@${column}`;

export class Covers {
  /** @param {Compared} whole @param {object} answer of the server */
  constructor(whole, answer) {
    this.isCovered = coverOf(whole.compare);
    this.answer = answer;
  }

  /** Whether any cell is covered. */
  get any() {
    const { columns, rows } = this.answer;
    return rows.some((row) => ["ratio", "conclusion", ...columns.map(({ kind }) => kind)].some((column) => this.isCovered(cellKey(row.key, column))));
  }

  /**
   * Whether a reading of one column is covered, by the keys of a sketch. What has no cell of its own, such as a
   * potential, is covered as long as any reading of the column is.
   * @param {number} place of the column @returns {(key: string) => boolean}
   */
  ofColumn(place) {
    const { rows, columns } = this.answer;
    const { kind, names } = columns[place];
    const own = Object.fromEntries(Object.entries(names).map(([chosen, name]) => [name, chosen]));
    const covered = new Map();
    for (const row of rows) if (row.readings[place]) covered.set(row.key, this.isCovered(cellKey(row.key, kind)));
    const some = [...covered.values()].includes(true);
    const every = covered.size > 0 && ![...covered.values()].includes(false);
    return (key) => {
      if (key === "*") return every;
      const dot = key.lastIndexOf(".");
      const owner = key.slice(0, dot);
      const chosen = Object.hasOwn(own, owner) ? own[owner] : owner;
      const quantity = key.slice(dot + 1);
      const found = (quantity === "equivalent" ? ["capacitance", "resistance"] : [quantity]).map((each) => covered.get(`${chosen}.${each}`)).find((each) => each !== undefined);
      return found ?? some;
    };
  }
}

/** Covers one cell, or uncovers it; with a reading its ratio and conclusion are covered too, which would tell it. @param {Compared} whole @param {string} row @param {string} column @returns {Compared} */
export function toggleCell(whole, row, column) {
  const key = cellKey(row, column);
  let compare = toggleOne(whole.compare, key);
  if (coverOf(compare)(key) && column !== "ratio" && column !== "conclusion")
    for (const other of ["ratio", "conclusion"].map((each) => cellKey(row, each))) if (!coverOf(compare)(other)) compare = toggleOne(compare, other);
  return { ...whole, compare };
}
