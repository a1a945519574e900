// How lines meet: an end dropped on a line makes a T-joint, a line drawn over a joint ends there, joints on one spot are one.

import { legAt, onLeg, routes } from "./geometry.js";
import { TWO_WAY } from "./two_way.js";
import { withSecondContact } from "./contacts.js";
import { addJoint, endsOf, freshName, jointAt, mergeJoints, names, partNamed, sameSpot } from "./sketch.js";

/** @typedef {import("./sketch.js").Sketch} Sketch @typedef {import("./sketch.js").Spot} Spot */

/**
 * Whether a spot on a part's line is conductor there: anywhere on a wire, else clear of the symbol.
 * @param {import("./geometry.js").Route} way @param {number} leg @param {Spot} spot @param {boolean} wire
 */
function onConductor(way, leg, spot, wire) {
  if (wire || leg !== way.symbol.leg) return true;
  const off = (spot[0] - way.symbol.at[0]) * way.symbol.along[0] + (spot[1] - way.symbol.at[1]) * way.symbol.along[1];
  return Math.abs(off) >= 1;
}

/** Whether `spot` on a part's line lies before its symbol, seen from its `from` end. */
function beforeSymbol(way, leg, spot) {
  if (leg !== way.symbol.leg) return leg < way.symbol.leg;
  return (spot[0] - way.symbol.at[0]) * way.symbol.along[0] + (spot[1] - way.symbol.at[1]) * way.symbol.along[1] < 0;
}

/** How a piece of a route bends, if it does. @param {Spot[]} points two or three of them */
function bendOf(points) {
  if (points.length < 3) return {};
  return points[1][1] === Math.min(points[0][1], points[2][1]) ? {} : { bend: /** @type {"lower"} */ ("lower") };
}

/** @param {Sketch} sketch @param {string} name part to cut, of at most one bend @param {string} joint on its line */
function cut(sketch, name, joint) {
  const { bend: _, ...part } = partNamed(sketch, name);
  const way = routes(sketch).get(name);
  const spot = sketch.joints[joint];
  const leg = legAt(way, spot);
  const until = way.points.slice(0, leg + 1);
  const after = way.points.slice(leg + 1).filter((point) => !sameSpot(point, spot));
  const first = { from: part.from, to: joint, ...bendOf([...until, spot]) };
  const second = { from: joint, to: part.to, ...bendOf([spot, ...after]) };
  const wire = { name: freshName(names(sketch), "W"), kind: "wire" };
  const pieces = beforeSymbol(way, leg, spot)
    ? [{ ...wire, ...first }, { ...part, ...second }]
    : [{ ...part, ...first }, { ...wire, ...second }];
  return { ...sketch, parts: sketch.parts.flatMap((each) => (each.name === name ? pieces : [each])) };
}

/** A joint on a lead of a two-way switch: the switch ends there, a wire goes on. @param {Sketch} sketch @param {string} name @param {string} joint */
function cutLead(sketch, name, joint) {
  const part = partNamed(sketch, name);
  const spot = sketch.joints[joint];
  const wire = { name: freshName(names(sketch), "W"), kind: "wire" };
  for (const [place, lead] of routes(sketch).get(name).leads.entries()) {
    const end = ["from", "to", "second"][place];
    const points = place === 0 ? [...lead].reverse() : lead;
    const leg = points.findIndex((_, index) => index + 1 < points.length && onLeg(spot, points[index], points[index + 1]));
    if (leg < 0) continue;
    const rest = points.slice(leg + 1).filter((point) => !sameSpot(point, spot));
    const pieces = [{ ...part, [end]: joint }, { ...wire, from: joint, to: part[end], ...bendOf([spot, ...rest]) }];
    return { ...sketch, parts: sketch.parts.flatMap((each) => (each.name === name ? pieces : [each])) };
  }
  return sketch;
}

/** Puts a joint at every corner of a part's line, so that the part itself is straight. @param {Sketch} sketch @param {string} name */
export function straighten(sketch, name) {
  let next = sketch;
  for (const spot of routes(sketch).get(name).points.slice(1, -1)) {
    const there = jointAt(next, spot);
    const made = there === null ? addJoint(next, spot) : { sketch: next, joint: there };
    if (legAt(routes(made.sketch).get(name), spot) >= 0) next = cut(made.sketch, name, made.joint);
  }
  return next;
}

/**
 * The joint at a spot; where a line passes there, the line is cut and joined; else a new joint.
 * @param {Sketch} sketch @param {Spot} spot @returns {{sketch: Sketch, joint: string}}
 */
export function jointOn(sketch, spot) {
  const there = jointAt(sketch, spot);
  if (there !== null) return { sketch, joint: there };
  const made = addJoint(sketch, spot);
  return { sketch: cutAt(made.sketch, made.joint), joint: made.joint };
}

/** Cuts every line that passes over the joint on a conductor. @param {Sketch} sketch @param {string} joint */
function cutAt(sketch, joint) {
  const spot = sketch.joints[joint];
  let next = sketch;
  for (const { name } of sketch.parts) {
    const part = partNamed(next, name);
    if (endsOf(part).includes(joint)) continue;
    if (part.kind === TWO_WAY) {
      next = cutLead(next, name, joint);
      continue;
    }
    const way = routes(next).get(name);
    const leg = legAt(way, spot);
    if (leg < 0 || !onConductor(way, leg, spot, part.kind === "wire")) continue;
    if (way.points.length > 3) next = cutAt(straighten(next, name), joint);
    else next = cut(next, name, joint);
  }
  return next;
}

/** Ends the named wires at every joint they pass over. @param {Sketch} sketch @param {Set<string>} wires */
function endAtJoints(sketch, wires) {
  const old = new Set(names(sketch));
  let next = sketch;
  for (const [joint, spot] of Object.entries(sketch.joints)) {
    for (const part of next.parts) {
      if (part.kind !== "wire" || part.from === joint || part.to === joint) continue;
      if (!wires.has(part.name) && old.has(part.name)) continue;
      const way = routes(next).get(part.name);
      if (way.points.length <= 3 && legAt(way, spot) >= 0) next = cut(next, part.name, joint);
    }
  }
  return next;
}

/** Takes away wires with both ends on one joint, and wires that repeat another. @param {Sketch} sketch */
function dropIdleWires(sketch) {
  const seen = new Set();
  const parts = sketch.parts.filter((part) => {
    if (part.kind !== "wire") return true;
    if (part.from === part.to) return false;
    const key = [part.from, part.to].sort().join(" ") + (part.bend ?? "");
    if (seen.has(key)) return false;
    seen.add(key);
    return true;
  });
  return parts.length === sketch.parts.length ? sketch : { ...sketch, parts };
}

/** Wires that run another way than before: where a line beside them went or came, they are drawn on another course. */
function rerouted(before, after) {
  const [old, now] = [routes(before), routes(after)];
  const wires = after.parts.filter((part) => part.kind === "wire");
  return wires.map(({ name }) => name).filter((name) => JSON.stringify(old.get(name)?.points) !== JSON.stringify(now.get(name).points));
}

/** Wires whose course is new, or that run over a joint which is. */
function suspectsOf(before, after) {
  const fresh = Object.keys(after.joints).filter((id) => !(id in before.joints));
  const over = ({ name }) => fresh.some((id) => legAt(routes(after).get(name), after.joints[id]) >= 0);
  const wires = after.parts.filter((part) => part.kind === "wire");
  return [...rerouted(before, after), ...wires.filter(over).map(({ name }) => name)];
}

/** How often one course that changes may change another in turn. */
const TURNS = 8;

/**
 * Makes the sketch true to its picture after `moved` joints and `drawn` parts came to lie where they are.
 * @param {Sketch} sketch @param {Iterable<string>} moved @param {Iterable<string>} [drawn] part names
 * @param {Sketch} [before] the sketch before the change
 * @returns {Sketch}
 */
export function joined(sketch, moved, drawn = [], before = sketch) {
  let next = sketch;
  for (const joint of moved) {
    const spot = next.joints[joint];
    if (!spot) continue;
    const other = Object.keys(next.joints).find((id) => id !== joint && sameSpot(next.joints[id], spot));
    if (other !== undefined) next = mergeJoints(next, joint, other);
    else next = cutAt(next, joint);
  }
  const shifted = new Set(moved);
  const attached = sketch.parts.filter((part) => endsOf(part).some((end) => shifted.has(end))).map((part) => part.name);
  let suspects = new Set([...drawn, ...attached, ...suspectsOf(before, next)]);
  for (let turn = 0; turn < TURNS && suspects.size; turn += 1) {
    const last = next;
    next = dropIdleWires(endAtJoints(next, suspects));
    suspects = new Set(suspectsOf(last, next));
  }
  return next;
}

/** A part drawn along a wire takes its place. @param {Sketch} sketch @param {import("./sketch.js").Part} part */
function withoutWire(sketch, part) {
  const same = (each) => each.kind === "wire" && (each.bend ?? "upper") === (part.bend ?? "upper") && [each.from, each.to].sort().join() === [part.from, part.to].sort().join();
  return part.kind === "wire" ? sketch : { ...sketch, parts: sketch.parts.filter((each) => !same(each)) };
}

/**
 * A new part between two spots, joined to what is there.
 * @param {Sketch} sketch @param {Omit<import("./sketch.js").Part, "name"|"from"|"to">} what @param {string} letter of its name
 * @param {Spot} from @param {Spot} to @returns {{sketch: Sketch, name: string}}
 */
export function drawPart(sketch, what, letter, from, to) {
  const start = jointOn(sketch, from);
  const end = jointOn(start.sketch, to);
  const name = freshName(names(end.sketch), letter);
  const part = { name, ...what, from: start.joint, to: end.joint };
  const straight = from[0] === to[0] || from[1] === to[1];
  if (straight || part.bend === "upper") delete part.bend;
  const around = withoutWire(end.sketch, part);
  const drawn = withSecondContact({ ...around, parts: [...around.parts, part] }, name);
  return { sketch: joined(drawn, [], [name], sketch), name };
}

/**
 * Moves joints by [across, down]; the sketch is not joined up yet (see `joined`).
 * @param {Sketch} sketch @param {Set<string>} which @param {Spot} by
 */
export function moveJoints(sketch, which, by) {
  const joints = { ...sketch.joints };
  for (const id of which) joints[id] = [joints[id][0] + by[0], joints[id][1] + by[1]];
  return { ...sketch, joints };
}

/** Parts (wires aside) of which two ends have come to one joint. @param {Sketch} sketch */
export const closedOnThemselves = (sketch) => sketch.parts.filter((part) => part.kind !== "wire" && new Set(endsOf(part)).size < endsOf(part).length);
