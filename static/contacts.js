// The second contact of a two-way switch: where it comes to lie beside the first, and how it goes to the other side.

import { linesOf, onLeg, routes } from "./geometry.js";
import { addJoint, endsOf, jointAt, partNamed } from "./sketch.js";
import { TWO_WAY, twoWayRoute } from "./two_way.js";

/** @typedef {import("./sketch.js").Sketch} Sketch @typedef {import("./sketch.js").Spot} Spot */

/** How far beside the first contact the second one may lie, best first, in grid steps. */
const BESIDE = [2, -2, 3, -3, 4, -4, 5, -5, 6, -6, 8, -8];

/** Spots beside the first contact, as the line from the arm arrives there; beyond it where that line bends. @param {Spot} arm @param {Spot} first @returns {(by: number) => Spot} */
function besideOf([ax, ay], [x, y]) {
  const across = Math.abs(x - ax) >= Math.abs(y - ay);
  const bent = x !== ax && y !== ay;
  return (by) => (across === bent ? [x + by, y] : [x, y + by]);
}

/** Whether nothing but this part itself is at a spot. @param {Sketch} sketch @param {Spot} spot @param {string} name */
function isFree(sketch, spot, name) {
  if (jointAt(sketch, spot) !== null) return false;
  for (const [other, way] of routes(sketch)) {
    if (other === name) continue;
    for (const points of linesOf(way)) if (points.slice(1).some((end, leg) => onLeg(spot, points[leg], end))) return false;
  }
  return true;
}

/** The dots that the second contact's line passes. @param {Spot} arm @param {Spot} first @param {Spot} second @returns {Spot[]} */
function passed(arm, first, second) {
  const points = twoWayRoute(arm, first, second).leads[2];
  return points.slice(1).flatMap((end, leg) => {
    const [from, far] = [points[leg], Math.max(...[0, 1].map((axis) => Math.abs(end[axis] - points[leg][axis])))];
    const on = Array.from({ length: Math.floor(far) + 1 }, (_, step) => /** @type {Spot} */ (end.map((n, axis) => n + Math.sign(from[axis] - n) * step)));
    return on;
  });
}

/** A two-way switch that has none yet gets its second contact, where nothing else is. @param {Sketch} sketch @param {string} name @returns {Sketch} */
export function withSecondContact(sketch, name) {
  const part = partNamed(sketch, name);
  if (part.kind !== TWO_WAY || part.second !== undefined) return sketch;
  const [arm, first] = [sketch.joints[part.from], sketch.joints[part.to]];
  // A part without its second end has no route yet.
  const others = { ...sketch, parts: sketch.parts.filter((each) => each !== part) };
  const spots = BESIDE.map(besideOf(arm, first));
  const spot = spots.find((each) => passed(arm, first, each).every((over) => isFree(others, over, name))) ?? spots.find((each) => isFree(others, each, name)) ?? spots[0];
  const { sketch: made, joint } = addJoint(sketch, spot);
  const { bend: _, ...plain } = part;
  return { ...made, parts: made.parts.map((each) => (each === part ? { ...plain, second: joint } : each)) };
}

/** The named two-way switches with their second contact on the other side, where it hangs free and there is room. @param {Sketch} sketch @param {Set<string>} which */
export function turnContacts(sketch, which) {
  let next = sketch;
  for (const { name, kind } of sketch.parts) {
    if (kind !== TWO_WAY || !which.has(name)) continue;
    const part = partNamed(next, name);
    const [arm, first, second] = endsOf(part).map((joint) => next.joints[joint]);
    const at = (spot, by) => besideOf(arm, first)(by).every((n, axis) => n === spot[axis]);
    const by = BESIDE.find((each) => at(second, each));
    const hangs = next.parts.filter((each) => endsOf(each).includes(part.second)).length === 1;
    if (by === undefined || !hangs) continue;
    const spot = besideOf(arm, first)(-by);
    if (passed(arm, first, spot).every((over) => isFree(next, over, name))) next = { ...next, joints: { ...next.joints, [part.second]: spot } };
  }
  return next;
}
