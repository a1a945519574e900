// One key adds a part in series or in parallel: makes room on the sheet, lays the new part out straight, and wires it.

import { linesOf, routes } from "./geometry.js";
import { drawPart, moveJoints, straighten } from "./joining.js";
import { addJoint, freshName, names, partNamed } from "./sketch.js";

/** @typedef {import("./sketch.js").Sketch} Sketch @typedef {import("./sketch.js").Spot} Spot */
/** Grid steps a part wants along its own line, and between two lines side by side. */
const ALONG = { vertical: 5, horizontal: 7 };
const ASIDE = { vertical: 10, horizontal: 6 };

/** A part that is straight between two joints, seen along its own axis (0 across, 1 down). */
function lineOf(sketch, name) {
  const part = partNamed(sketch, name);
  const [a, b] = [sketch.joints[part.from], sketch.joints[part.to]];
  const axis = a[0] === b[0] ? 1 : 0;
  return { part, axis, other: 1 - axis, low: Math.min(a[axis], b[axis]), high: Math.max(a[axis], b[axis]), level: a[1 - axis] };
}

/** Everything at or past `from` on an axis moves on by `by`. */
function makeRoom(sketch, axis, from, by) {
  const past = Object.keys(sketch.joints).filter((id) => sketch.joints[id][axis] >= from);
  return moveJoints(sketch, new Set(past), axis === 0 ? [by, 0] : [0, by]);
}

/** @param {number} axis @param {number} along @param {number} aside @returns {Spot} */
const spotOn = (axis, along, aside) => (axis === 1 ? [aside, along] : [along, aside]);

/**
 * Another part of the same kind and value in series, after the one named.
 * @param {Sketch} sketch @param {string} name @param {Record<string, {letter: string}>} kinds
 * @returns {{sketch: Sketch, added: string}}
 */
export function addInSeries(sketch, name, kinds) {
  let next = straighten(sketch, name);
  const { axis, low, high, level } = lineOf(next, name);
  const wanted = 2 * (axis === 1 ? ALONG.vertical : ALONG.horizontal);
  const missing = wanted - (high - low);
  if (missing > 0) next = makeRoom(next, axis, high, missing);
  const end = Math.max(high, low + wanted);
  const part = partNamed(next, name);
  const added = freshName(names(next), kinds[part.kind].letter);
  const { sketch: made, joint } = addJoint(next, spotOn(axis, Math.round((low + end) / 2), level));
  const parts = made.parts.flatMap((each) =>
    each.name === name ? [{ ...part, to: joint }, { ...part, name: added, from: joint }] : [each],
  );
  return { sketch: { ...made, parts }, added };
}

/** Whether a new line from `level` out to `to` beside [low, high] would meet anything but wires along its edges. */
function isFree(sketch, name, line, to) {
  const { axis, other, low, high, level } = line;
  const [near, far] = to > level ? [level, to + (to - level) - 1] : [to + (to - level) + 1, level];
  for (const [each, way] of routes(sketch)) {
    if (each === name) continue;
    const wire = partNamed(sketch, each).kind === "wire";
    for (const [a, b] of linesOf(way).flatMap((points) => points.slice(1).map((end, leg) => [points[leg], end]))) {
      const span = (index) => [Math.min(a[index], b[index]), Math.max(a[index], b[index])];
      const [along, aside] = [span(axis), span(other)];
      if (aside[1] <= near || aside[0] >= far || along[1] < low || along[0] > high) continue;
      const onEdge = along[0] === along[1] && (along[0] === low || along[0] === high);
      const leavesEdge = along[1] === low || along[0] === high;
      if (onEdge ? !wire : !leavesEdge) return false;
    }
  }
  return true;
}

/** Draws the twin at `to`, wired to the ends of the line. */
function branch(sketch, line, low, high, to, kinds) {
  const { axis, level, part } = line;
  const [start, end] = [spotOn(axis, low, level), spotOn(axis, high, level)];
  const [newStart, newEnd] = [spotOn(axis, low, to), spotOn(axis, high, to)];
  const { name: _name, from: _from, to: _to, bend: _bend, ...what } = part;
  const { letter } = kinds[part.kind];
  const forward = sketch.joints[part.from][axis] < sketch.joints[part.to][axis];
  const wire = { kind: "wire" };
  const first = drawPart(sketch, wire, kinds.wire.letter, start, newStart).sketch;
  const second = drawPart(first, wire, kinds.wire.letter, end, newEnd).sketch;
  const [outset, finish] = forward ? [newStart, newEnd] : [newEnd, newStart];
  const drawn = drawPart(second, what, letter, outset, finish);
  return { sketch: drawn.sketch, added: drawn.name };
}

/**
 * Another part of the same kind and value in parallel with the one named, beside it.
 * @param {Sketch} sketch @param {string} name @param {Record<string, {letter: string}>} kinds
 * @returns {{sketch: Sketch, added: string}}
 */
export function addInParallel(sketch, name, kinds) {
  let next = straighten(sketch, name);
  let line = lineOf(next, name);
  const aside = line.axis === 1 ? ASIDE.vertical : ASIDE.horizontal;
  for (const to of [line.level + aside, line.level - aside])
    if (isFree(next, name, line, to)) return branch(next, line, line.low, line.high, to, kinds);
  next = makeRoom(next, line.other, line.level + 1, aside);
  line = lineOf(next, name);
  const to = line.level + aside;
  if (isFree(next, name, line, to)) return branch(next, line, line.low, line.high, to, kinds);
  next = makeRoom(next, line.axis, line.high, 4);
  line = lineOf(next, name);
  return branch(next, line, line.low + 2, line.high - 2, to, kinds);
}
