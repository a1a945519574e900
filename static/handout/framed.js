// A picture in a frame on paper: made so small that it fits its room, with its writing enlarged as far as that made it small.

import { svg } from "../dom.js";
import { drawn } from "../exporting.js";
import { plain } from "./plain.js";

/** @typedef {import("../paint.js").Node} Node @typedef {{left: number, top: number, right: number, bottom: number}} Box */
/**
 * What a drawing may take of the paper, in millimetres; `scale` is at the most so many to a sheet unit, so that writing of 13
 * units is as large as print.
 * @typedef {{width: number, height: number, scale: number}} Room
 */

const MARGIN = 10;
/** How much writing may be enlarged where a drawing is made smaller. */
const MOST_BIG = 1.7;
/** The size of readings on the sheet, in its units. */
const WRITING = 13;
const EMPTY = { left: 0, top: 0, right: 0, bottom: 0 };

/** Millimetres to a sheet unit, so that a box fits. @param {Box} box @param {Room} room */
const scaleIn = ({ left, top, right, bottom }, room) => Math.min(room.scale, room.width / (right - left + 2 * MARGIN + 1), room.height / (bottom - top + 2 * MARGIN + 1));

/** @param {Node[]} nodes @param {Box} box @param {string} title @param {Room} room */
export function framed(nodes, box, title, room) {
  const [x, y] = [Math.floor(box.left - MARGIN), Math.floor(box.top - MARGIN)];
  const [width, height] = [Math.ceil(box.right + MARGIN) - x, Math.ceil(box.bottom + MARGIN) - y];
  const fitting = scaleIn(box, room);
  const size = { width: `${(width * fitting).toFixed(1)}mm`, height: `${(height * fitting).toFixed(1)}mm` };
  return svg("svg", { viewBox: `${x} ${y} ${width} ${height}`, ...size, role: "img", "aria-label": title }, ...nodes.map((node) => drawn(plain(node))));
}

/**
 * What `make` draws, its writing enlarged as far as the paper makes the drawing small; `size` is that of its readings in millimetres.
 * @param {Room} room @param {(big: number) => ReturnType<typeof import("../drawing/picture.js").picture>} make
 */
export function legible(room, make) {
  const first = make(1);
  const big = Math.max(1, Math.min(MOST_BIG, Math.round((room.scale / scaleIn(first.box ?? EMPTY, room)) * 10) / 10));
  const whole = big > 1 ? make(big) : first;
  return { whole, size: WRITING * big * scaleIn(whole.box ?? EMPTY, room) };
}

/** Some layers of a picture. @param {{layers: Record<string, Node[]>, box: Box|null}} picture @param {string[]} names @param {string} title @param {Room} room */
export const ofLayers = ({ layers, box }, names, title, room) => framed(names.flatMap((name) => layers[name]), box ?? EMPTY, title, room);
