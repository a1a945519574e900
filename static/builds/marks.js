// What the pictures of builds are drawn with: writing, dimension lines, signs of charge, lines of the field.

import { textWidth } from "../dom.js";
import { node } from "../paint.js";
import { ACCENT, BRICK, INK, SANS, SHEET, SOFT } from "../drawing/palette.js";

/** @typedef {import("../paint.js").Node} Node */

/** Pale grounds of dielectrics, by their order; air and vacuum stay as the paper is. */
const GROUNDS = ["#e9dfc6", "#d8e2dc", "#e6d9e0", "#dcdfea"];
const BARE = new Set(["air", "vacuum"]);

/** @param {string} name @param {number} place */
export const groundOf = (name, place) => (BARE.has(name) ? SHEET : GROUNDS[place % GROUNDS.length]);

/** Grounds for several layers: one that occurs again keeps its own. @param {{name: string}[]} layers */
export function groundsOf(layers) {
  const names = [...new Set(layers.map(({ name }) => name).filter((name) => !BARE.has(name)))];
  return layers.map(({ name }) => groundOf(name, names.indexOf(name)));
}

/** "mica, κ 6" @param {{name: string, constant: number}} layer */
export const label = (layer) => (layer.name.startsWith("κ") ? layer.name : `${layer.name}, κ ${layer.constant}`);

/** @param {string} content @param {number} size */
export const wide = (content, size) => textWidth(content, `${size}px ${SANS}`);

/** @param {number} x @param {number} y baseline @param {string} content @param {number} size @param {Record<string, string|number>} [more] */
export const text = (x, y, content, size, more = {}) =>
  node("text", { x, y, "font-family": SANS, "font-size": size, fill: INK, stroke: SHEET, "stroke-width": 3, "stroke-linejoin": "round", "paint-order": "stroke", ...more }, content);

/** @param {string} d @param {string} stroke @param {number} width @param {Record<string, string|number>} [more] */
export const path = (d, stroke, width, more = {}) => node("path", { d, fill: "none", stroke, "stroke-width": width, "stroke-linecap": "round", "stroke-linejoin": "round", ...more });

/** A line from one point to another with a small arrow head at its end, or at its middle. */
export function arrow([x, y], [toX, toY], stroke, width, at = 1) {
  const length = Math.hypot(toX - x, toY - y) || 1;
  const [ux, uy] = [(toX - x) / length, (toY - y) / length];
  const [tipX, tipY] = [x + (toX - x) * at, y + (toY - y) * at];
  const back = 3.2 + width;
  const barb = (side) => `M${tipX} ${tipY}L${tipX - back * ux + side * back * 0.6 * uy} ${tipY - back * uy - side * back * 0.6 * ux}`;
  return path(`M${x} ${y}L${toX} ${toY}${barb(1)}${barb(-1)}`, stroke, width);
}

/** A dimension: a line with a head at either end. @returns {Node[]} */
export const dimension = (from, to, big) => [arrow(from, to, SOFT, big), arrow(to, from, SOFT, big)];

/** @param {[number, number]} from @param {[number, number]} to @param {number} big */
export const fieldLine = (from, to, big) => arrow(from, to, ACCENT, 1.2 * big, 0.62);

/** A plus or a minus. */
export function sign([x, y], plus, big) {
  const half = 3.2 * big;
  return path(`M${x - half} ${y}h${2 * half}${plus ? `M${x} ${y - half}v${2 * half}` : ""}`, INK, 1.6 * big);
}

/** A crack through a layer that is past its strength. @returns {Node} */
export function crack([x, y], [toX, toY], big) {
  const [dx, dy] = [toX - x, toY - y];
  const length = Math.hypot(dx, dy) || 1;
  const [ux, uy] = [-dy / length, dx / length];
  const jags = 5;
  const points = Array.from({ length: jags - 1 }, (_, index) => {
    const [along, off] = [(index + 1) / jags, (index % 2 ? -5 : 5) * big];
    return `L${x + dx * along + ux * off} ${y + dy * along + uy * off}`;
  });
  return path(`M${x} ${y}${points.join("")}L${toX} ${toY}`, BRICK, 2.2 * big);
}

/** Numbers evenly inside a stretch. @param {number} from @param {number} to @param {number} count */
export const evenly = (from, to, count) => Array.from({ length: count }, (_, index) => from + ((to - from) * (index + 0.5)) / count);

/** The smallest of 1, 2, 5, 10, 20, 50 … that makes a size at least so large. @param {number} size @param {number} least */
export function enlarged(size, least) {
  if (size >= least) return 1;
  const wanted = least / size;
  const ten = 10 ** Math.floor(Math.log10(wanted));
  return [1, 2, 5, 10].map((step) => step * ten).find((step) => step >= wanted * (1 - 1e-9)) ?? 10 * ten;
}

/** "20 000" as a class reads it. @param {number} number */
export const counted = (number) => (number < 10000 ? String(number) : number.toLocaleString("en").replaceAll(",", "\u202f"));
