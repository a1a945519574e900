// Pictures in black on white, so that they print and photocopy: no colour, no shade, no halo is needed to read them.

import { AMBER, SHEET } from "../drawing/palette.js";

/** @typedef {import("../paint.js").Node} Node */

const BLACK = "#000";
const WHITE = "#fff";
/** Fills that stay empty; whatever else a shape is filled with was a shade, except for dots and bars. */
const PALE = new Set([SHEET, AMBER, WHITE, "#ffffff", "#f1ecdf", "#d9d3c4"]);
const SHADES = ["fill-opacity", "stroke-opacity", "opacity", "paint-order", "class"];

const isShade = (fill) => PALE.has(fill) || /^rgb\(/.test(fill);

function plainShape(attributes) {
  const { fill, stroke } = attributes;
  // What keeps lines clear of writing is not seen itself.
  if ("data-clear" in attributes) return { fill: WHITE };
  const changed = {};
  if (stroke !== undefined && stroke !== "none") changed.stroke = BLACK;
  if (fill !== undefined && fill !== "none") {
    const isBar = "data-conductor" in attributes;
    changed.fill = isShade(fill) && !isBar ? WHITE : BLACK;
    // What was told apart by its shade is told apart by its edge.
    if (changed.fill === WHITE && (stroke === undefined || stroke === "none")) [changed.stroke, changed["stroke-width"]] = [BLACK, 1.2];
  }
  return changed;
}

/** Writing is black; the halo that kept it clear of what lies under it is gone. */
const plainWriting = ({ fill }) => (fill === undefined ? {} : { fill: BLACK });

/** @param {Node} node @returns {Node} */
export function plain(node) {
  const { attributes, children } = node;
  const isWriting = node.tag === "text" || node.tag === "tspan";
  const kept = Object.entries(attributes).filter(([name]) => !SHADES.includes(name) && !(isWriting && name.startsWith("stroke")));
  const fresh = isWriting ? plainWriting(attributes) : plainShape(attributes);
  return { ...node, attributes: { ...Object.fromEntries(kept), ...fresh }, children: children?.map(plain) };
}
