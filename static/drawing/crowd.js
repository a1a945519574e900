// Finds room on the sheet: remembers the boxes that are taken and says how much of a new box they cover.

/** @typedef {{x: number, y: number, w: number, h: number}} Box sheet units, from the upper left corner */

const CELL = 96;

export class Crowd {
  #cells = new Map();

  *#keys({ x, y, w, h }) {
    for (let column = Math.floor(x / CELL); column <= Math.floor((x + w) / CELL); column += 1)
      for (let row = Math.floor(y / CELL); row <= Math.floor((y + h) / CELL); row += 1) yield `${column},${row}`;
  }

  /** @param {Box} box @param {string} [owner] boxes of the same owner may cover each other @param {number} [weight] */
  add(box, owner = "", weight = 1) {
    const entry = { box, owner, weight };
    for (const key of this.#keys(box)) {
      const cell = this.#cells.get(key);
      if (cell) cell.push(entry);
      else this.#cells.set(key, [entry]);
    }
  }

  /** Frees what an owner took. @param {string} owner @param {Box} box the box that was added */
  free(owner, box) {
    for (const key of this.#keys(box)) {
      const cell = this.#cells.get(key);
      if (cell) this.#cells.set(key, cell.filter((entry) => entry.owner !== owner));
    }
  }

  /** Area of `box` that is taken, weighed. @param {Box} box @param {string} [owner] */
  covered(box, owner = "") {
    const seen = new Set();
    let sum = 0;
    for (const key of this.#keys(box))
      for (const entry of this.#cells.get(key) ?? []) {
        if (seen.has(entry) || (owner && entry.owner === owner)) continue;
        seen.add(entry);
        const w = Math.min(box.x + box.w, entry.box.x + entry.box.w) - Math.max(box.x, entry.box.x);
        const h = Math.min(box.y + box.h, entry.box.y + entry.box.h) - Math.max(box.y, entry.box.y);
        if (w > 0 && h > 0) sum += w * h * entry.weight;
      }
    return sum;
  }

  /** Of several boxes in order of liking, the first that is free, else the one least covered. @param {Box[]} boxes @param {string} [owner] */
  best(boxes, owner = "") {
    let [choice, least] = [0, Infinity];
    boxes.forEach((box, index) => {
      const covered = this.covered(box, owner) + index * 0.01;
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
