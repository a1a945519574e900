// Room for what is written: a sketch drawn farther apart where labels, flags and lines would lie on one another on paper.

import { STEP, routes } from "../geometry.js";
import { lines } from "../drawing/ink.js";

/** @typedef {import("../sketch.js").Sketch} Sketch @typedef {{x: number, y: number, w: number, h: number}} Box */

const FACTORS = [1, 1.25, 1.5, 1.75, 2];
/** Square sheet units of writing under something else that nobody notices. */
const HARDLY = 25;
const HALF_LINE = 1.5;
/** What it counts, in the same units, that a part's readings are left out. */
const LEFT_OUT = 1000;
/** How far the signs of charge reach beyond a plate. */
const SIGNS = 8;

const overlap = (one, other) => {
  const w = Math.min(one.x + one.w, other.x + other.w) - Math.max(one.x, other.x);
  const h = Math.min(one.y + one.h, other.y + other.h) - Math.max(one.y, other.y);
  return w > 0 && h > 0 ? w * h : 0;
};

const legBox = ([ax, ay], [bx, by]) => ({
  x: Math.min(ax, bx) - HALF_LINE,
  y: Math.min(ay, by) - HALF_LINE,
  w: Math.abs(ax - bx) + 2 * HALF_LINE,
  h: Math.abs(ay - by) + 2 * HALF_LINE,
});

/** How much writing of a picture lies on other writing, on lines or on symbols, or is left out for want of room. */
function clashes({ sketch, labels, flags, layers }, kinds) {
  const ways = routes(sketch);
  const ink = sketch.parts.flatMap((part) => lines(part, ways.get(part.name), kinds[part.kind]).flatMap((line) => line.slice(1).map((end, index) => legBox(line[index], end))));
  const symbols = sketch.parts.filter(({ kind }) => kinds[kind].drawing.reach).map((part) => {
    const { reach, side } = kinds[part.kind].drawing;
    const { at, along } = ways.get(part.name).symbol;
    const [w, h] = along[0] === 0 ? [side, reach + SIGNS] : [reach + SIGNS, side];
    return { x: at[0] * STEP - w, y: at[1] * STEP - h, w: 2 * w, h: 2 * h };
  });
  const written = [...labels.values()].map(({ whole }) => whole);
  // What is read between two joints stands in a box of its own.
  const between = layers.probes.flatMap(({ children }) => children.filter(({ tag }) => tag === "rect")).map(({ attributes: { x, y, width: w, height: h } }) => ({ x, y, w, h }));
  const boxes = [...flags.map(({ box }) => box), ...between];
  let sum = LEFT_OUT * [...labels.values()].filter(({ terse }) => terse).length;
  written.forEach((label, index) => {
    for (const other of [...written.slice(index + 1), ...boxes, ...ink, ...symbols]) sum += overlap(label, other);
  });
  boxes.forEach((flag, index) => {
    for (const other of [...boxes.slice(index + 1), ...symbols]) sum += overlap(flag, other);
  });
  return sum;
}

/**
 * The picture in which everything written is plain to read, the sketch drawn only so far apart as that takes.
 * @param {Sketch} sketch @param {object} kinds @param {(sketch: Sketch) => object} draw makes the picture of a sketch
 */
export function plainToRead(sketch, kinds, draw) {
  let [best, least] = [null, Infinity];
  for (const factor of FACTORS) {
    const joints = Object.fromEntries(Object.entries(sketch.joints).map(([joint, [x, y]]) => [joint, [x * factor, y * factor]]));
    const drawn = draw({ ...sketch, joints });
    const sum = clashes(drawn, kinds);
    if (sum < least * 0.7) [best, least] = [drawn, sum];
    if (sum <= HARDLY) break;
  }
  return best;
}
