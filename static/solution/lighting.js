// Lights what a step speaks of: everything else on the sheet is faded, softly.

import { SHEET } from "../drawing/palette.js";
import { endsOf } from "../sketch.js";

/** @typedef {import("../paint.js").Node} Node */
/**
 * @typedef {{parts: Set<string>, conductors: Set<string>, named: Set<string>}} Light what stands out, and which conductors are
 *   called by name; nothing is faded where no part and no conductor is lit
 */

const FADED = 0.3;

/** What on the sheet is lit. @param {import("../sketch.js").Sketch} sketch @param {object|null} solution @param {Light} light */
function litOn(sketch, solution, light) {
  const conductorOf = (joint) => solution?.joints[joint]?.conductor;
  const conductors = new Set(light.conductors);
  // Where a step names parts only, the conductors that they end on stand out with them.
  if (!conductors.size) for (const part of sketch.parts) if (light.parts.has(part.name)) for (const end of endsOf(part)) conductors.add(conductorOf(end));
  const joints = new Set(Object.keys(sketch.joints).filter((joint) => conductors.has(conductorOf(joint))));
  const parts = new Set(light.parts);
  for (const part of sketch.parts) if (part.kind === "wire" && joints.has(part.from)) parts.add(part.name);
  return { parts, joints };
}

/** A faded flag still hides the line behind it, which would strike its number through. @param {Node} flag @param {(node: Node) => Node} dim */
function fadedFlag(flag, dim) {
  const [plate, ...others] = flag.children;
  const paper = { ...plate, key: "paper", attributes: { ...plate.attributes, fill: SHEET, stroke: "none" } };
  return { ...flag, children: [paper, dim(plate), ...others.map(dim)] };
}

/**
 * The layers of a picture with everything faded that is not lit.
 * @param {Record<string, Node[]>} layers @param {import("../sketch.js").Sketch} sketch @param {object|null} solution @param {Light} light
 * @returns {Record<string, Node[]>}
 */
export function faded(layers, sketch, solution, light) {
  if (!light.parts.size && !light.conductors.size) return layers;
  const { parts, joints } = litOn(sketch, solution, light);
  const isLit = (key) => {
    const [what, name] = (key ?? "").split(" ");
    return what === "band" || what === "flag" || what === "joint" ? joints.has(name) : parts.has(name);
  };
  const dim = (node) => ({ ...node, attributes: { ...node.attributes, opacity: FADED } });
  const dimmed = (nodes) => nodes.map((node) => (isLit(node.key) ? node : node.key?.startsWith("flag ") ? fadedFlag(node, dim) : dim(node)));
  return Object.fromEntries(Object.entries(layers).map(([layer, nodes]) => [layer, dimmed(nodes)]));
}
