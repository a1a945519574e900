// Names in a worked solution: all that its sentences may speak of, and which parts of the sheet an equivalent stands for.

/** @typedef {import("./step_view.js").Step} Step @typedef {import("../sketch.js").Sketch} Sketch */

/** Symbols as formulas have them in plain text: C23, I_E1, V_k2. */
const SYMBOLS = /(?<![\p{L}\p{N}_])\p{L}(?:_[\p{L}\p{N}]+|\d+)(?![\p{L}\p{N}_])/gu;

const namesOf = (sketch) => new Set(sketch.parts.filter((part) => part.kind !== "wire").map((part) => part.name));

export class NetworkNames {
  /** Equivalent → parts of the sheet. @type {Map<string, Set<string>>} */
  #standsFor = new Map();
  /** Parts that each step's drawing has and the one before it had not. @type {Set<string>[]} */
  #fresh = [];

  /** @param {Sketch} sheet @param {Step[]} steps */
  constructor(sheet, steps) {
    const own = namesOf(sheet);
    this.all = new Set(own);
    let before = own;
    for (const step of steps) {
      const symbols = step.lines.flatMap((line) => line.text.match(SYMBOLS) ?? []);
      for (const name of [...step.parts, ...step.conductors, ...symbols]) this.all.add(name);
      const now = step.sketch ? namesOf(step.sketch) : before;
      const fresh = new Set([...now].filter((name) => !before.has(name)));
      const gone = new Set([...before].filter((name) => !now.has(name)));
      for (const name of fresh) {
        this.all.add(name);
        if (!own.has(name) && !this.#standsFor.has(name)) this.#standsFor.set(name, this.onSheet(gone));
      }
      this.#fresh.push(fresh);
      before = now;
    }
  }

  /** What is new in the drawing of a step. @param {number} index */
  fresh(index) {
    return this.#fresh[index];
  }

  /** The parts of the sheet that these are or stand for. @param {Iterable<string>} names @returns {Set<string>} */
  onSheet(names) {
    return new Set([...names].flatMap((name) => [...(this.#standsFor.get(name) ?? [name])]));
  }
}
