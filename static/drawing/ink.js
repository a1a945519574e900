// The ink of the drawing: wires, leads, symbols and the dots where lines join.

import { isBuilt, slabOf } from "../builds/words.js";
import { STEP, leads, routes } from "../geometry.js";
import { node } from "../paint.js";
import { endsOf } from "../sketch.js";
import { TWO_WAY } from "../two_way.js";
import { ACCENT, BRICK, INK, SANS, SHEET, SLAB } from "./palette.js";

/** @param {number[][]} points sheet units */
export const pathOf = (points) => `M${points.map(([x, y]) => `${x} ${y}`).join("L")}`;

/** The drawing of a part's symbol in its present state. @param {object} kind @param {object} part @param {object} style */
function symbolOf(kind, part, style) {
  if (part.closed && kind.closed) return kind.closed;
  if (part.reverse !== undefined && kind.polarised) return kind.polarised;
  return style.zigzag && kind.zigzag ? kind.zigzag : kind.drawing;
}

/** The hinge and the two contacts of a two-way switch, in sheet units. */
const contactsOf = (way) => way.leads.map((line, place) => line[place === 0 ? 1 : 0].map((n) => n * STEP));

/** The hinge of a two-way switch and its arm. */
function armNodes(part, way, style) {
  const [hinge, ...contacts] = contactsOf(way);
  const to = contacts[part.rests === "second" ? 1 : 0];
  const length = Math.hypot(to[0] - hinge[0], to[1] - hinge[1]);
  const at = (far) => [0, 1].map((axis) => hinge[axis] + ((to[axis] - hinge[axis]) * far) / length);
  return [
    node("circle", { cx: hinge[0], cy: hinge[1], r: 3, "stroke-width": 1.8 * style.big }),
    node("path", { d: pathOf([at(3), at(length - 3)]), "stroke-width": 2.4 * style.big }),
  ];
}

/** The numbers of the contacts of two-way switches, between them. */
export function contactNumbers(sketch, style) {
  return sketch.parts.filter((part) => part.kind === TWO_WAY).map((part) => {
    const way = routes(sketch).get(part.name);
    const [, ...contacts] = contactsOf(way);
    const numbers = contacts.map((contact, place) => {
      const [x, y] = [0, 1].map((axis) => contact[axis] + (contacts[1 - place][axis] - contact[axis]) / 4 + way.symbol.along[axis] * 9);
      return node("text", { x, y: y + 4 * style.big, "text-anchor": "middle", "font-family": SANS, "font-size": 11 * style.big, fill: INK }, `${place + 1}`);
    });
    return node("g", { class: "contacts" }, numbers, `contacts ${part.name}`);
  });
}

/** A part's line in sheet units, whole for a wire, else from each joint to the symbol. */
export function lines(part, way, kind) {
  if (part.kind === "wire") return [way.points.map(([x, y]) => [x * STEP, y * STEP])];
  return leads(way, kind.drawing.reach);
}

/** @param {import("../geometry.js").Route} way @returns {string} places a symbol drawn along +x */
export function placed(way) {
  const { at, along } = way.symbol;
  return `translate(${at[0] * STEP} ${at[1] * STEP}) rotate(${Math.round((Math.atan2(along[1], along[0]) * 180) / Math.PI)})`;
}

/** The dielectric between a capacitor's plates, where its build has one: along x from plate to plate. */
const SLABS = { whole: [-5, -25, 10, 50], layer: [-5, -25, 5, 50], strip: [-5, 0, 10, 25] };

function slabNodes(part, style) {
  const slab = isBuilt(part, style.kinds) ? SLABS[slabOf(part.value)] : undefined;
  if (!slab) return [];
  const [x, y, width, height] = slab;
  return [node("rect", { x, y, width, height, fill: SLAB, stroke: "none" })];
}

/** @returns {import("../paint.js").Node[]} one group for every part */
export function partNodes(sketch, style, marked) {
  const all = routes(sketch);
  return sketch.parts.map((part) => {
    const kind = style.kinds[part.kind];
    const way = all.get(part.name);
    const colour = marked.faulty.has(part.name) ? BRICK : marked.selected.has(part.name) ? ACCENT : INK;
    const width = 2.4 * style.big * (marked.selected.has(part.name) && part.kind === "wire" ? 1.6 : 1);
    const ink = { fill: "none", stroke: colour, "stroke-linecap": "round", "stroke-linejoin": "round" };
    const line = lines(part, way, kind).map(pathOf).join("");
    const strokes = symbolOf(kind, part, style).strokes.map((stroke) =>
      node("path", { d: stroke.path, "stroke-width": stroke.width * style.big, "stroke-linecap": stroke.width > 5 ? "butt" : "round" }),
    );
    const children = [node("path", { d: line, "stroke-width": width })];
    if (strokes.length) children.push(node("g", { transform: placed(way) }, [...slabNodes(part, style), ...strokes]));
    if (part.kind === TWO_WAY) children.push(...armNodes(part, way, style));
    return node("g", ink, children, `part ${part.name}`);
  });
}

/** Lines that end at each joint. @returns {Map<string, number>} */
function ends(sketch) {
  const count = new Map(Object.keys(sketch.joints).map((joint) => [joint, 0]));
  for (const part of sketch.parts) for (const end of endsOf(part)) count.set(end, count.get(end) + 1);
  return count;
}

/** Dots where three lines or more join, rings at open ends. */
export function jointNodes(sketch, style, marked) {
  const nodes = [];
  for (const [joint, count] of ends(sketch)) {
    const [x, y] = sketch.joints[joint];
    const picked = marked.joints.has(joint);
    if (count === 2 && !picked) continue;
    const open = count < 2;
    const r = (picked ? 7 : open ? 3.6 : 4.5) * style.big;
    const fill = picked ? ACCENT : open ? SHEET : INK;
    nodes.push(node("circle", { cx: x * STEP, cy: y * STEP, r, fill, stroke: picked ? ACCENT : INK, "stroke-width": 1.8 }, undefined, `joint ${joint}`));
  }
  return nodes;
}
