// What a stage changed, at choice: readings as "120 µC → 80.0 µC", from the stage before to the one shown.

import { hasStages, shownStage } from "./sequence.js";

/** @typedef {import("../sketch.js").Sketch} Sketch */

/** What a battery let through is counted within each stage, and what it sees is of another sort: those do not go from one to the other. */
const BY_STAGE = new Set(["charge", "work", "equivalent"]);

/** @type {WeakMap<object, object>} */
const known = new WeakMap();

/** The last stage before the one shown that could be solved. @param {Sketch} sketch */
const before = (sketch, stages) => stages.slice(0, shownStage(sketch)).findLast((stage) => stage.solution)?.solution;

/** A reading with the one it came from. */
function fromTo(old, now) {
  if (!old || !now || old.text === now.text) return now;
  // A narrow cell breaks the line after the arrow.
  const whole = (reading) => reading.text.replaceAll(" ", "\u00a0");
  return { ...now, text: `${whole(old)}\u00a0→ ${whole(now)}`, told: `from ${old.text} to ${now.text}` };
}

/**
 * A solution whose readings tell what they were in the stage before; the same one where there is none.
 * @param {object|null} solution @param {Sketch} sketch @param {boolean} current whether the solution is that of the sketch
 */
export function withChanges(solution, sketch, current) {
  if (!solution?.stages || !hasStages(sketch)) return solution;
  if (!current) return known.get(solution) ?? solution;
  const old = before(sketch, solution.stages);
  if (!old) return solution;
  const kinds = new Map(sketch.parts.map(({ name, kind }) => [name, kind]));
  const parts = Object.entries(solution.parts).map(([name, readings]) => {
    const all = Object.entries(readings).map(([reading, now]) => [reading, kinds.get(name) === "battery" && BY_STAGE.has(reading) ? now : fromTo(old.parts[name]?.[reading], now)]);
    return [name, Object.fromEntries(all)];
  });
  const totals = { ...solution.totals, energy: fromTo(old.totals.energy, solution.totals.energy), power: fromTo(old.totals.power, solution.totals.power) };
  const changed = { ...solution, parts: Object.fromEntries(parts), totals };
  known.set(solution, changed);
  return changed;
}
