// Where a part runs on the sheet: its route of straight legs, where its symbol sits, what lies near a point.

import { TWO_WAY, twoWayRoute } from "./two_way.js";

/** @typedef {import("./sketch.js").Sketch} Sketch @typedef {import("./sketch.js").Part} Part @typedef {import("./sketch.js").Spot} Spot */
/**
 * @typedef {{points: Spot[], symbol: {at: Spot, along: Spot, leg: number, length: number}, leads?: Spot[][]}} Route
 *   `points` from the part's `from` end to its `to` end, in grid steps; the symbol's middle, its direction
 *   (a unit step), the leg it sits on and that leg's length. Of a two-way switch the `leads` too: from the joint of the
 *   arm to its hinge, and from each contact to its joint.
 */

/** Sheet units in one grid step. */
export const STEP = 24;
/** How far parts between the same two joints are drawn apart, in grid steps. */
const APART = 6;

const lengthOf = ([ax, ay], [bx, by]) => Math.hypot(bx - ax, by - ay);
const unit = ([ax, ay], [bx, by]) => {
  const length = Math.hypot(bx - ax, by - ay) || 1;
  return /** @type {Spot} */ ([(bx - ax) / length, (by - ay) / length]);
};

/** The corner of a line that bends once. @param {Spot} a @param {Spot} b @param {"upper"|"lower"} [bend] @returns {Spot} */
export function corner(a, b, bend = "upper") {
  const [upper, lower] = a[1] <= b[1] ? [a, b] : [b, a];
  return bend === "lower" ? [upper[0], lower[1]] : [lower[0], upper[1]];
}

/** The bend whose line leaves `a` across (else down or up). @param {Spot} a @param {Spot} b @param {boolean} across */
export const bendLeaving = (a, b, across) => (across === a[1] <= b[1] ? "upper" : "lower");

/** @param {Spot} a @param {Spot} b @param {"upper"|"lower"} [bend] @returns {Spot[]} */
export function plainRoute(a, b, bend) {
  return a[0] === b[0] || a[1] === b[1] ? [a, b] : [a, corner(a, b, bend), b];
}

/** The route of a part that shares its joints with `before` others drawn the same way. */
function route(sketch, part, before) {
  const a = sketch.joints[part.from];
  const b = sketch.joints[part.to];
  if (part.from === part.to) return [a, [a[0] + 4, a[1]], [a[0] + 4, a[1] + 4], [a[0], a[1] + 4], a];
  if (!before) return plainRoute(a, b, part.bend);
  const by = before * APART;
  if (a[0] === b[0]) return [a, [a[0] + by, a[1]], [b[0] + by, b[1]], b];
  if (a[1] === b[1]) return [a, [a[0], a[1] + by], [b[0], b[1] + by], b];
  const turn = corner(a, b, part.bend);
  const out = [turn[0] + by, turn[1] + by];
  return turn[1] === a[1] ? [a, [a[0], out[1]], [out[0], out[1]], [out[0], b[1]], b] : [a, [out[0], a[1]], out, [b[0], out[1]], b];
}

function symbolOn(points, part) {
  let leg = 0;
  if (points.length === 3) {
    const [first, second] = [lengthOf(points[0], points[1]), lengthOf(points[1], points[2])];
    leg = first === second ? (points[0][0] === points[1][0] ? 0 : 1) : first > second ? 0 : 1;
  } else if (points.length > 3) leg = part.from === part.to ? 1 : Math.floor((points.length - 1) / 2);
  const [from, to] = [points[leg], points[leg + 1]];
  return { at: [(from[0] + to[0]) / 2, (from[1] + to[1]) / 2], along: unit(from, to), leg, length: lengthOf(from, to) };
}

const known = new WeakMap();

/** Every part's route, by name. @param {Sketch} sketch @returns {Map<string, Route>} */
export function routes(sketch) {
  let all = known.get(sketch);
  if (all) return all;
  all = new Map();
  const seen = new Map();
  for (const part of sketch.parts) {
    if (part.kind === TWO_WAY) {
      all.set(part.name, twoWayRoute(sketch.joints[part.from], sketch.joints[part.to], sketch.joints[part.second]));
      continue;
    }
    const pair = [part.from, part.to].sort().join(" ") + (part.bend ?? "");
    const before = seen.get(pair) ?? 0;
    seen.set(pair, before + 1);
    const points = route(sketch, part, before);
    all.set(part.name, { points, symbol: symbolOn(points, part) });
  }
  known.set(sketch, all);
  return all;
}

/** Whether a spot lies on a straight leg. @param {Spot} spot @param {Spot} a @param {Spot} b */
export function onLeg([x, y], [ax, ay], [bx, by]) {
  const cross = (bx - ax) * (y - ay) - (by - ay) * (x - ax);
  const within = Math.min(ax, bx) <= x && x <= Math.max(ax, bx) && Math.min(ay, by) <= y && y <= Math.max(ay, by);
  return cross === 0 && within;
}

/** The leg of a route that a spot lies on, ends left out; −1 where none. @param {Route} way @param {Spot} spot */
export function legAt(way, spot) {
  const { points } = way;
  const isEnd = (end) => end[0] === spot[0] && end[1] === spot[1];
  if (isEnd(points[0]) || isEnd(points[points.length - 1])) return -1;
  for (let leg = 0; leg + 1 < points.length; leg += 1) if (onLeg(spot, points[leg], points[leg + 1])) return leg;
  return -1;
}

/** All lines of a route, for whoever asks where it runs. @param {Route} way @returns {Spot[][]} */
export const linesOf = (way) => (way.leads ? [way.points, way.leads[2]] : [way.points]);

/** The stretches of a part's line that are conductor: from each joint up to the symbol. In sheet units.
 * @param {Route} way @param {number} reach half the symbol's length @returns {Spot[][]} */
export function leads(way, reach) {
  if (way.leads) return way.leads.map((line) => line.map(([x, y]) => /** @type {Spot} */ ([x * STEP, y * STEP])));
  const { points, symbol } = way;
  const at = symbol.at.map((n) => n * STEP);
  const scaled = points.map(([x, y]) => /** @type {Spot} */ ([x * STEP, y * STEP]));
  const stop = Math.min(reach, (symbol.length * STEP) / 2);
  const near = [at[0] - symbol.along[0] * stop, at[1] - symbol.along[1] * stop];
  const far = [at[0] + symbol.along[0] * stop, at[1] + symbol.along[1] * stop];
  return [
    [...scaled.slice(0, symbol.leg + 1), near],
    [far, ...scaled.slice(symbol.leg + 1)],
  ];
}

/** Distance from a point to a straight leg, and the nearest point on it. */
function toLeg([x, y], [ax, ay], [bx, by]) {
  const [dx, dy] = [bx - ax, by - ay];
  const share = dx || dy ? Math.max(0, Math.min(1, ((x - ax) * dx + (y - ay) * dy) / (dx * dx + dy * dy))) : 0;
  const nearest = [ax + share * dx, ay + share * dy];
  return { distance: Math.hypot(x - nearest[0], y - nearest[1]), nearest };
}

/**
 * What a point of the sheet (in grid steps) touches: a joint before a symbol before a line.
 * @param {Sketch} sketch @param {Spot} point @param {number} slack in grid steps
 * @param {Record<string, {drawing: {reach: number, side: number}}>} kinds
 * @returns {{joint: string} | {part: string, on: "symbol"|"line", spot: Spot} | null}
 */
export function touched(sketch, point, slack, kinds) {
  let best = null;
  let nearest = slack;
  for (const [id, place] of Object.entries(sketch.joints)) {
    const distance = lengthOf(point, place);
    if (distance < nearest) [best, nearest] = [{ joint: id }, distance];
  }
  if (best) return best;
  nearest = slack;
  for (const part of sketch.parts) {
    const way = routes(sketch).get(part.name);
    const { reach, side } = kinds[part.kind].drawing;
    const [px, py] = [point[0] - way.symbol.at[0], point[1] - way.symbol.at[1]];
    const along = Math.abs(px * way.symbol.along[0] + py * way.symbol.along[1]) * STEP;
    const aside = Math.abs(px * way.symbol.along[1] - py * way.symbol.along[0]) * STEP;
    if (reach && along <= reach + 9 && aside <= side + 5) return { part: part.name, on: "symbol", spot: rounded(point) };
    for (const points of linesOf(way))
      for (let leg = 0; leg + 1 < points.length; leg += 1) {
        const { distance, nearest: on } = toLeg(point, points[leg], points[leg + 1]);
        if (distance < nearest) [best, nearest] = [{ part: part.name, on: "line", spot: rounded(on) }, distance];
      }
  }
  return best;
}

/** @param {Spot|number[]} point @returns {Spot} */
export const rounded = ([x, y]) => [Math.round(x), Math.round(y)];

/** Smallest box round all joints and routes, in grid steps; null for an empty sheet. @param {Sketch} sketch */
export function bounds(sketch) {
  let box = null;
  const take = ([x, y]) => {
    box = box
      ? { left: Math.min(box.left, x), right: Math.max(box.right, x), top: Math.min(box.top, y), bottom: Math.max(box.bottom, y) }
      : { left: x, right: x, top: y, bottom: y };
  };
  Object.values(sketch.joints).forEach(take);
  for (const way of routes(sketch).values()) linesOf(way).flat().forEach(take);
  return box;
}
