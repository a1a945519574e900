// Finds room on the sheet: remembers the boxes that are taken and says how much of a new box they cover.

/** @typedef {{x: number, y: number, w: number, h: number}} Box sheet units, from the upper left corner */

const CELL = 96;
/** Cells in a column of cells, so that one number names a cell. */
const ROWS = 65536;
const cellOf = (n) => Math.floor(n / CELL);

export class Crowd {
  /** @type {Map<number, {box: Box, owner: string, weight: number}[]>} */
  #cells = new Map();

  /** The cells that a box reaches into, as their numbers. @param {Box} box */
  #cellsOf({ x, y, w, h }) {
    const keys = [];
    for (let column = cellOf(x); column <= cellOf(x + w); column += 1) for (let row = cellOf(y); row <= cellOf(y + h); row += 1) keys.push(column * ROWS + row);
    return keys;
  }

  /** @param {Box} box @param {string} [owner] boxes of the same owner may cover each other @param {number} [weight] */
  add(box, owner = "", weight = 1) {
    const entry = { box, owner, weight };
    for (const key of this.#cellsOf(box)) {
      const cell = this.#cells.get(key);
      if (cell) cell.push(entry);
      else this.#cells.set(key, [entry]);
    }
  }

  /** Frees what was taken. @param {Box} box the box that was added */
  free(box) {
    for (const key of this.#cellsOf(box)) {
      const cell = this.#cells.get(key);
      if (cell) this.#cells.set(key, cell.filter((entry) => entry.box !== box));
    }
  }

  /** Area of `box` that is taken, weighed. @param {Box} box @param {string} [owner] @param {number} [enough] from so much on the rest does not matter */
  covered(box, owner = "", enough = Infinity) {
    const [ends, foot] = [box.x + box.w, box.y + box.h];
    let sum = 0;
    // Cell by cell, so that what lies in several is counted once.
    for (let column = cellOf(box.x); column <= cellOf(ends); column += 1)
      for (let row = cellOf(box.y); row <= cellOf(foot); row += 1) {
        const cell = this.#cells.get(column * ROWS + row);
        if (!cell) continue;
        const [left, right] = [Math.max(box.x, column * CELL), Math.min(ends, (column + 1) * CELL)];
        const [top, bottom] = [Math.max(box.y, row * CELL), Math.min(foot, (row + 1) * CELL)];
        for (const { box: other, owner: its, weight } of cell) {
          const w = Math.min(right, other.x + other.w) - Math.max(left, other.x);
          if (w <= 0 || (owner && its === owner)) continue;
          const h = Math.min(bottom, other.y + other.h) - Math.max(top, other.y);
          if (h > 0) sum += w * h * weight;
        }
        if (sum >= enough) return sum;
      }
    return sum;
  }

  /** Of several boxes in order of liking, the first that is free, else the one least covered. @param {Box[]} boxes @param {string} [owner] */
  best(boxes, owner = "") {
    let [choice, least] = [0, Infinity];
    boxes.forEach((box, index) => {
      const liking = index * 0.01;
      if (liking >= least) return;
      const covered = this.covered(box, owner, least - liking) + liking;
      if (covered < least) [choice, least] = [index, covered];
    });
    return { index: choice, covered: least };
  }
}

/** The thin box round a straight leg. @param {number[]} a @param {number[]} b @param {number} [half] @returns {Box} */
export const legBox = (a, b, half = 4) => ({
  x: Math.min(a[0], b[0]) - half,
  y: Math.min(a[1], b[1]) - half,
  w: Math.abs(a[0] - b[0]) + 2 * half,
  h: Math.abs(a[1] - b[1]) + 2 * half,
});
