// Two plates seen from the side: the gap with its layers or strips, charges on the plates, a few lines of the field.

import { node } from "../paint.js";
import { BRICK, INK, SOFT } from "../drawing/palette.js";
import { notKnown } from "./unknown.js";
import { counted, crack, dimension, enlarged, evenly, fieldLine, groundsOf, label, path, sign, text, wide } from "./marks.js";

/**
 * @typedef {import("../paint.js").Node} Node
 * @typedef {{value: number|null, text: string, shown: string}} Size in SI units, null where it is “?”; as typed; with few figures
 * @typedef {{name: string, words: string, constant: number, strength: string|null, thickness: Size|null, share: {value: number, text: string},
 *   field?: {value: number|null, text: string}, density?: {value: number|null, text: string}, past?: boolean, weakest?: boolean}} Layer
 * @typedef {{words: string, shape: "plates"|"spheres"|"cylinders"|"sphere", stacked: boolean, sizes: Size[], layers: Layer[], unknown?: string}} Build `unknown`: the size that only stands there
 * @typedef {{width: number, big: number, ends: [string, string]|null, lines: number, positive: boolean, shapes: Record<string, string[]>}} Setting `lines` of the field where it is
 *   largest, none for none; `positive` whether the first conductor carries the plus charge
 * @typedef {{nodes: Node[], width: number, height: number, notes: string[]}} Drawn
 */

const PLATE = 13;
/** Pixels that a gap has at least, and at most, at the usual size of type. */
const [LEAST, MOST] = [64, 150];
const THIN = 17;

/** Thicknesses in pixels: in proportion, but none too thin to be seen. @returns {{sizes: number[], thickened: boolean}} */
function stackSizes(layers, gap, big) {
  const whole = layers.reduce((sum, layer) => sum + layer.thickness.value, 0);
  const sizes = layers.map((layer) => Math.max(THIN * big, (gap * layer.thickness.value) / whole));
  return { sizes, thickened: sizes.some((size, index) => size > ((gap * layers[index].thickness.value) / whole) * 1.001) };
}

/** How large plates and gap are drawn: in one scale where both can be seen. */
function scales(build, room, big) {
  const side = Math.sqrt(build.sizes[0].value);
  const gap = build.stacked ? build.layers.reduce((sum, layer) => sum + layer.thickness.value, 0) : build.layers[0].thickness.value;
  const scale = Math.min(room / side, (MOST * big) / gap);
  const across = enlarged(gap * scale, LEAST * big);
  const along = enlarged(side * scale, 60 * big);
  const notes = ["The plates are drawn as squares seen from the side"];
  if (build.unknown) notes[0] += `; ${notKnown(build.unknown)}`;
  else if (across > 1) notes[0] += `; in their scale the gap would be ${counted(across)} times narrower.`;
  else if (along > 1) notes[0] += `; in the scale of the gap they would be ${counted(along)} times shorter.`;
  else notes[0] += ", plates and gap in one scale.";
  return { side: Math.min(room, side * scale * along), gap: Math.min(gap * scale * across, 2.5 * LEAST * big), notes };
}

/** @param {Build} build @param {Setting} setting @returns {Drawn} */
export function platesView(build, setting) {
  const { width, big } = setting;
  const size = 12 * big;
  const beside = Math.max(...build.layers.map((layer) => wide(layer.thickness.shown, size))) + 26 * big;
  const named = setting.ends ? Math.max(...setting.ends.map((end) => wide(end, size))) + 10 * big : 4;
  const room = width - beside - named - 4;
  const { side, gap, notes } = scales(build, room, big);
  const left = named + (room - side) / 2;
  const top = 4 * big + PLATE * big;
  const stack = build.stacked ? stackSizes(build.layers, gap, big) : { sizes: [gap], thickened: false };
  if (stack.thickened) notes.push("Thin layers are drawn thicker than they are.");
  const bottom = top + stack.sizes.reduce((sum, each) => sum + each, 0);
  const plan = { ...setting, build, size, left, right: left + side, top, bottom, plate: PLATE * big };
  const nodes = build.stacked ? stackNodes(plan, stack.sizes) : stripNodes(plan);
  return { nodes: [...nodes, ...plateNodes(plan)], width, height: bottom + PLATE * big + (build.stacked ? 24 : 42) * big, notes };
}

/** Of so many lines where the field is largest, those of one layer. */
function linesOf(layer, plan) {
  const strongest = Math.max(...plan.build.layers.map(({ field }) => Math.abs(field?.value ?? 0)));
  if (!plan.lines || !strongest) return 0;
  return Math.max(1, Math.round((plan.lines * Math.abs(layer.field.value ?? 0)) / strongest));
}

function linesBetween(plan, count, [from, to], [high, low]) {
  const ends = plan.positive ? [high + 3, low - 3] : [low - 3, high + 3];
  return evenly(from, to, count).map((x) => fieldLine([x, ends[0]], [x, ends[1]], plan.big));
}

const ground = (x, y, width, height, fill, past, big) => node("rect", { x, y, width, height, fill, stroke: past ? BRICK : "none", "stroke-width": past ? 1.6 * big : 0 });

/** Layers one above the other, each with its thickness beside it. @returns {Node[]} */
function stackNodes(plan, sizes) {
  const { build, big, size, left, right } = plan;
  const grounds = groundsOf(build.layers);
  const names = build.layers.map(label);
  const written = Math.max(...names.map((name) => wide(name, size))) + 14 * big;
  const fits = written < (right - left) * 0.6;
  const nodes = [];
  let y = plan.top;
  build.layers.forEach((layer, index) => {
    const low = y + sizes[index];
    const middle = (y + low) / 2;
    nodes.push(ground(left, y, right - left, sizes[index], grounds[index], layer.past, big));
    nodes.push(...linesBetween(plan, linesOf(layer, plan), [left + (fits ? written : 0), right], [y, low]));
    if (layer.past) nodes.push(crack([right - 26 * big, y], [right - 26 * big, low], big));
    if (fits) nodes.push(text(left + 6 * big, middle + size * 0.36, names[index], size, { stroke: grounds[index] }));
    nodes.push(path(`M${right + 3} ${y}h${12 * big}M${right + 3} ${low}h${12 * big}`, SOFT, 0.8 * big));
    nodes.push(...dimension([right + 9 * big, y], [right + 9 * big, low], big));
    nodes.push(text(right + 18 * big, middle + size * 0.36, layer.thickness.shown, size));
    y = low;
  });
  return nodes;
}

/** Strips side by side, all as thick as the gap. @returns {Node[]} */
function stripNodes(plan) {
  const { build, big, size, left, right, top, bottom } = plan;
  const grounds = groundsOf(build.layers);
  const nodes = [];
  let x = left;
  build.layers.forEach((layer, index) => {
    const end = x + (right - left) * layer.share.value;
    nodes.push(ground(x, top, end - x, bottom - top, grounds[index], layer.past, big));
    const name = [`${label(layer)}`, layer.name].find((each) => wide(each, size) < end - x - 8 * big);
    nodes.push(...linesBetween(plan, Math.max(plan.lines ? 1 : 0, Math.round(plan.lines * layer.share.value)), [x, end], [top, bottom]));
    if (layer.past) nodes.push(crack([(x + end) / 2, top], [(x + end) / 2, bottom], big));
    if (name) nodes.push(text((x + end) / 2, bottom + plan.plate + 17 * big, name, size, { "text-anchor": "middle" }));
    if (index) nodes.push(path(`M${x} ${top}V${bottom}`, SOFT, 0.8 * big));
    x = end;
  });
  nodes.push(path(`M${right + 3} ${top}h${12 * big}M${right + 3} ${bottom}h${12 * big}`, SOFT, 0.8 * big), ...dimension([right + 9 * big, top], [right + 9 * big, bottom], big));
  nodes.push(text(right + 18 * big, (top + bottom) / 2 + size * 0.36, build.layers[0].thickness.shown, size));
  return nodes;
}

/** Where charges stand along a plate: as many as the layer's share of the charge. @returns {number[]} */
function charges(plan) {
  const { build, left, right, lines } = plan;
  if (!lines) return [];
  const count = lines + 1;
  if (build.stacked) return evenly(left + 8, right - 8, count);
  const weights = build.layers.map((layer) => layer.share.value * layer.constant);
  const whole = weights.reduce((sum, each) => sum + each, 0);
  let x = left;
  return build.layers.flatMap((layer, index) => {
    const end = x + (right - left) * layer.share.value;
    const here = evenly(x, end, Math.max(1, Math.round((count * weights[index]) / whole)));
    x = end;
    return here;
  });
}

/** Both plates, with their charges, their ends' names and their area. @returns {Node[]} */
function plateNodes(plan) {
  const { build, big, size, left, right, top, bottom, plate, ends, positive } = plan;
  const bar = (y) => node("rect", { x: left, y, width: right - left, height: plate, fill: "#e3e5e7", stroke: INK, "stroke-width": 1.2 * big });
  const nodes = [bar(top - plate), bar(bottom)];
  for (const x of charges(plan)) nodes.push(sign([x, top - plate / 2], positive, big), sign([x, bottom + plate / 2], !positive, big));
  if (ends)
    ends.forEach((end, index) => nodes.push(text(left - 6 * big, (index ? bottom + plate / 2 : top - plate / 2) + size * 0.36, end, size, { "text-anchor": "end", fill: SOFT })));
  nodes.push(text((left + right) / 2, bottom + plate + (build.stacked ? 17 : 35) * big, `area ${build.sizes[0].shown}`, size, { "text-anchor": "middle" }));
  return nodes;
}
