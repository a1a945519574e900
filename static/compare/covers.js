// What is covered in the table, and what a column's drawing and tiles must not give away of it.

import { ALL, BUT, coverOf, toggleOne } from "../covering.js";
import { KINDS } from "./kinds.js";

/** @typedef {import("./comparison.js").Compared} Compared */

/** The key of a cell: a row's key and the column, "ratio" or "conclusion". @param {string} row @param {string} column */
export const cellKey = (row, column) => `${row}@${column}`;

/** What else stands beside the readings of a row, and would tell them. */
const BESIDE = ["ratio", "conclusion"];

/** Keys of rows that a reading on the sheet has; a potential has none. @param {string} key */
function rowsOf(key) {
  if (key.endsWith(".potential")) return [];
  const owner = key.slice(0, key.lastIndexOf("."));
  return key.endsWith(".equivalent") ? [`${owner}.capacitance`, `${owner}.resistance`] : [key];
}

/**
 * What is covered on the sheet, as covered cells: a reading in every column, with what would tell it. Where all is covered
 * there, one that is shown all the same is shown in the network as it is, and nowhere else.
 * @param {string[]} [covered] of a sketch @returns {string[]|undefined}
 */
export function coversOfSheet(covered = []) {
  if (covered.length === 0) return undefined;
  if (!covered.includes(ALL)) {
    const rows = covered.flatMap(rowsOf);
    return rows.length ? rows.flatMap((row) => [...KINDS, ...BESIDE].map((column) => cellKey(row, column))) : undefined;
  }
  const shown = covered.filter((entry) => entry.startsWith(BUT)).map((entry) => entry.slice(BUT.length));
  return [ALL, ...shown.flatMap(rowsOf).map((row) => BUT + cellKey(row, "network"))];
}

export class Covers {
  /** @param {Compared} whole @param {object} answer of the server */
  constructor(whole, answer) {
    this.isCovered = coverOf(whole.compare);
    this.answer = answer;
  }

  /** Whether any cell is covered. */
  get any() {
    const { columns, rows } = this.answer;
    return rows.some((row) => [...BESIDE, ...columns.map(({ kind }) => kind)].some((column) => this.isCovered(cellKey(row.key, column))));
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
    for (const other of BESIDE.map((each) => cellKey(row, each))) if (!coverOf(compare)(other)) compare = toggleOne(compare, other);
  return { ...whole, compare };
}
