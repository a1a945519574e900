// Which readings are covered from the class, and the sketch after one or all are covered or uncovered.

/** @typedef {import("./sketch.js").Sketch} Sketch */

export const ALL = "*";
/** Before a key: shown all the same, where every other is covered. */
export const BUT = "but ";

/** @param {Sketch} sketch @returns {(key: string) => boolean} */
export function coverOf(sketch) {
  const covered = new Set(sketch.covered ?? []);
  if (covered.has(ALL)) return (key) => !covered.has(BUT + key);
  return (key) => covered.has(key);
}

/** Covers all, or uncovers all where any is covered. @param {Sketch} sketch @returns {Sketch} */
export function toggleAll(sketch) {
  const { covered, ...rest } = sketch;
  return covered?.length ? rest : { ...rest, covered: [ALL] };
}

/** Covers one reading, or uncovers it. @param {Sketch} sketch @param {string} key @returns {Sketch} */
export function toggleOne(sketch, key) {
  const { covered = [], ...rest } = sketch;
  const entry = covered.includes(ALL) ? BUT + key : key;
  const after = covered.includes(entry) ? covered.filter((each) => each !== entry) : [...covered, entry];
  return after.length ? { ...rest, covered: after } : rest;
}
