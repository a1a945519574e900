// Which readings are covered from the class, and the sketch after one or all are covered or uncovered.

/** @typedef {import("./sketch.js").Sketch} Sketch */

const ALL = "*";

/** @param {Sketch} sketch @returns {(key: string) => boolean} */
export function coverOf(sketch) {
  const covered = new Set(sketch.covered ?? []);
  if (covered.has(ALL)) return () => true;
  return (key) => covered.has(key);
}

/** Every reading's key in a solution: "C1.voltage", "joint a.potential", "probe a 0.voltage", "total.energy". */
export function readingKeys(solution) {
  const keys = [];
  for (const [name, readings] of Object.entries(solution.parts)) for (const reading of Object.keys(readings)) keys.push(`${name}.${reading}`);
  for (const conductor of Object.values(solution.conductors)) keys.push(conductorKey(conductor));
  for (const probe of solution.probes)
    for (const reading of ["voltage", "capacitance", "resistance"]) if (probe[reading]) keys.push(`probe ${probe.between.join(" ")}.${reading}`);
  for (const total of Object.keys(solution.totals)) keys.push(`total.${total}`);
  return keys;
}

/** @param {{joints: string[]}} conductor */
export const conductorKey = (conductor) => `joint ${conductor.joints[0]}.potential`;

/** Covers all, or uncovers all where any is covered. @param {Sketch} sketch @returns {Sketch} */
export function toggleAll(sketch) {
  const { covered, ...rest } = sketch;
  return covered?.length ? rest : { ...rest, covered: [ALL] };
}

/** Covers one reading, or uncovers it. @param {Sketch} sketch @param {string} key @param {object|null} solution @returns {Sketch} */
export function toggleOne(sketch, key, solution) {
  const { covered = [], ...rest } = sketch;
  const before = covered.includes(ALL) ? (solution ? readingKeys(solution) : []) : covered;
  const after = before.includes(key) ? before.filter((each) => each !== key) : [...before, key];
  return after.length ? { ...rest, covered: after } : rest;
}
