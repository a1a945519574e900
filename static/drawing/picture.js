// The whole picture of a sketch with its readings, as plain nodes in layers, and where its labels came to stand.

import { STEP, bounds, routes } from "../geometry.js";
import { bandNodes, flagNodes, stretches } from "./bands.js";
import { crackNodes, discNodes, signNodes } from "./charges.js";
import { currentNodes } from "./currents.js";
import { Crowd, legBox } from "./crowd.js";
import { contactNumbers, jointNodes, lines, partNodes } from "./ink.js";
import { keptLabelNodes, labelNodes } from "./labels.js";
import { probeNodes } from "./probes.js";
import { discRadii, potentialShares, signCounts } from "./shares.js";

/** Above this many parts nothing is written on the sheet: the ledger has it. */
const MOST_LABELLED = 1500;

/** From so many parts on labels stay where they are as long as the drawing does. */
const MANY = 60;

/**
 * @typedef {{kinds: object, big: number, zigzag: boolean, overlays: {V: boolean, Q: boolean, U: boolean}}} Style
 * @typedef {{selected: Set<string>, joints: Set<string>, faulty: Set<string>, pair: [string, string]|null, settled?: boolean}} Marked `settled`, where nothing is on the move, so that labels find the best places
 */

/** Half the sides of boxes that together stand for a disc of radius 1, and how much writing on one matters. */
const DISC = [[0.96, 0.5], [0.8, 0.8]];
const PALE = 0.25;

/** Boxes that labels should keep clear of: symbols first, then lines, then discs. @param {Map<string, number>} radii of discs */
function crowdOf(sketch, style, solution, radii) {
  const crowd = new Crowd();
  for (const part of sketch.parts) {
    const way = routes(sketch).get(part.name);
    const kind = style.kinds[part.kind];
    for (const line of lines(part, way, kind))
      for (let leg = 0; leg + 1 < line.length; leg += 1) {
        const owner = solution?.joints[part.from]?.conductor;
        crowd.add(legBox(line[leg], line[leg + 1]), part.kind === "wire" && owner !== undefined ? `band ${owner}` : part.name);
      }
    if (!kind.drawing.reach) continue;
    const [x, y] = way.symbol.at.map((n) => n * STEP);
    const [along, aside] = [kind.drawing.reach + 12, kind.drawing.side + 4];
    const [w, h] = way.symbol.along[0] === 0 ? [aside, along] : [along, aside];
    crowd.add({ x: x - w, y: y - h, w: 2 * w, h: 2 * h }, `symbol ${part.name}`, 2);
    const r = radii.get(part.name) ?? 0;
    if (r > 0) for (const [w, h] of DISC) crowd.add({ x: x - w * r, y: y - h * r, w: 2 * w * r, h: 2 * h * r }, `label ${part.name}`, PALE);
  }
  return crowd;
}

/** @param {object} solution @returns {(conductor: {joints: string[]}) => boolean} */
export const potentialHidden = (isCovered) => ({ joints }) => {
  const covered = (joint) => isCovered(`joint ${joint}.potential`);
  // A conductor goes by any of its joints: covered where one is, or where all are covered and none is let off.
  return isCovered("*") ? joints.every(covered) : joints.some(covered);
};

/** Whether two sketches are drawn alike: the same parts in the same places, whatever their values. */
function drawnAlike(one, other) {
  if (one.joints !== other.joints || one.parts.length !== other.parts.length) return false;
  return one.parts.every((part, index) => {
    const same = other.parts[index];
    return part === same || (part.name === same.name && part.kind === same.kind && part.from === same.from && part.to === same.to && part.second === same.second && part.bend === same.bend);
  });
}

/**
 * @param {import("../sketch.js").Sketch} sketch @param {object|null} solution the answer for this sketch, or null
 * @param {Style} style @param {Marked} marked @param {(key: string) => boolean} isCovered
 * @param {ReturnType<typeof picture>} [last] the picture before this one: what need not move stays where it was
 */
export function picture(sketch, solution, style, marked, isCovered, last) {
  const { overlays } = style;
  const written = sketch.parts.length <= MOST_LABELLED;
  const hidden = potentialHidden(isCovered);
  const shares = solution && overlays.V ? potentialShares(solution) : null;
  const layers = { bands: [], discs: [], ink: partNodes(sketch, style, marked), joints: jointNodes(sketch, style, marked), signs: [], labels: [], flags: [], probes: [] };
  const still = written && last && !(marked.settled && sketch.parts.length < MANY) && drawnAlike(last.sketch, sketch) ? keptLabelNodes(sketch, solution, style, isCovered, marked, last.labels) : null;
  let crowd = null;
  const radii = solution && overlays.U ? discRadii(solution) : new Map();
  const room = () => (crowd ??= crowdOf(sketch, style, solution, radii));
  let flags = { nodes: [], boxes: [] };
  if (shares) {
    const owned = stretches(sketch, solution, style.kinds);
    layers.bands = bandNodes(owned, sketch, solution, shares, hidden);
    const before = still && new Map(last.flags.map(({ joint, box }) => [joint, box]));
    if (written) flags = flagNodes(owned, sketch, solution, shares, hidden, style, room, before);
  }
  layers.flags = flags.nodes;
  if (solution && overlays.U) layers.discs = discNodes(sketch, radii, isCovered);
  if (solution && overlays.Q && written) layers.signs = [...signNodes(sketch, signCounts(solution, sketch.parts), isCovered, style), ...currentNodes(sketch, solution, isCovered, style)];
  if (solution) layers.signs.push(...crackNodes(sketch, solution, isCovered, style));
  const labels = still ?? (written ? labelNodes(sketch, solution, style, isCovered, marked, room(), last?.labels ?? new Map()) : { nodes: [], boxes: new Map() });
  layers.labels = [...contactNumbers(sketch, style), ...labels.nodes];
  const probes = solution?.probes?.length ? probeNodes(sketch, solution, style, isCovered, marked.pair, room()) : { nodes: [], pairs: [] };
  layers.probes = probes.nodes;
  return { sketch, layers, probes: probes.pairs, labels: labels.boxes, flags: flags.boxes, box: boxOf(sketch, labels.boxes, flags.boxes, style) };
}

/** The smallest box round everything drawn, in sheet units; null for an empty sheet. */
function boxOf(sketch, labels, flags, style) {
  const grid = bounds(sketch);
  if (!grid) return null;
  const box = { left: grid.left * STEP, right: grid.right * STEP, top: grid.top * STEP, bottom: grid.bottom * STEP };
  const take = ({ x, y, w, h }) => {
    box.left = Math.min(box.left, x);
    box.right = Math.max(box.right, x + w);
    box.top = Math.min(box.top, y);
    box.bottom = Math.max(box.bottom, y + h);
  };
  for (const { whole } of labels.values()) take(whole);
  for (const { box: flag } of flags) take(flag);
  for (const part of sketch.parts) {
    const { side } = style.kinds[part.kind].drawing;
    const [x, y] = routes(sketch).get(part.name).symbol.at.map((n) => n * STEP);
    take({ x: x - side, y: y - side, w: 2 * side, h: 2 * side });
  }
  return box;
}
