// Spheres, coaxial cylinders and a lone sphere cut through the middle: radii, charges, a few lines of the field.

import { node } from "../paint.js";
import { BRICK, INK, SHEET, SOFT } from "../drawing/palette.js";
import { notKnown } from "./unknown.js";
import { counted, crack, dimension, enlarged, fieldLine, groundsOf, label, path, sign, text, wide } from "./marks.js";

/** @typedef {import("./plates.js").Build} Build @typedef {import("./plates.js").Setting} Setting @typedef {import("./plates.js").Drawn} Drawn */

const OUTER = 82;
const LONE = 40;
/** Pixels that a gap, or the inner conductor, has at least. */
const [LEAST_GAP, LEAST_INNER] = [16, 12];
/** Half of the thickness of a conductor's wall. */
const WALL = 7;
const DIRECTIONS = 8;

/** Radii in pixels, in one scale where both conductors can be seen. */
function radii(build, big) {
  const [inner, outer] = build.sizes.map(({ value }) => value);
  const [far, least] = [OUTER * big, LEAST_GAP * big];
  const gap = far * (1 - inner / outer);
  const across = enlarged(gap, least);
  if (across > 1) return { near: far - gap * across, far, note: `in the scale of the radii the gap would be ${counted(across)} times narrower.` };
  const along = enlarged(far - gap, LEAST_INNER * big);
  if (along > 1) return { near: (far - gap) * along, far, note: `in the scale of the outer one the inner one would be ${counted(along)} times smaller.` };
  return { near: far - gap, far, note: "both in one scale." };
}

const SEEN = { spheres: "Cut through the middle", cylinders: "Seen from the end", sphere: "Cut through the middle." };

/** @param {Build} build @param {Setting} setting @returns {Drawn} */
export function roundView(build, setting) {
  return build.shape === "sphere" ? loneSphere(build, setting) : twoRound(build, setting);
}

/** Unit vectors of the directions in which lines and charges lie. */
const directions = (count) => Array.from({ length: count }, (_, index) => ((index + 0.5) / count) * 2 * Math.PI).map((angle) => [Math.cos(angle), Math.sin(angle)]);

const around = (count, [x, y], radius, plus, big) => directions(count).map(([ux, uy]) => sign([x + ux * radius, y + uy * radius], plus, big));

/** As many directions as there are lines, an even number of them. */
const counts = (lines) => (lines ? Math.max(4, Math.min(DIRECTIONS, 2 * Math.round(lines / 2))) : 0);

/** @returns {Drawn} */
function twoRound(build, setting) {
  const { width, big, positive } = setting;
  const { near, far, note: scale } = radii(build, big);
  const note = build.unknown ? notKnown(build.unknown) : scale;
  const [layer] = build.layers;
  const wall = WALL * 2 * big;
  const centre = /** @type {[number, number]} */ ([width / 2, 4 * big + wall + far]);
  const [x, y] = centre;
  const circle = (r, fill, more = {}) => node("circle", { cx: x, cy: y, r, fill, stroke: INK, "stroke-width": 1.2 * big, ...more });
  const [ground] = groundsOf([layer]);
  const nodes = [circle(far + wall, "#e3e5e7"), circle(far, ground, layer.past ? { stroke: BRICK, "stroke-width": 2 * big } : {}), circle(near, "#e3e5e7")];
  const count = counts(setting.lines);
  for (const [ux, uy] of directions(count)) {
    const ends = /** @type {[number, number][]} */ ([near + 3, far - 3].map((r) => [x + ux * r, y + uy * r]));
    nodes.push(positive ? fieldLine(ends[0], ends[1], big) : fieldLine(ends[1], ends[0], big));
  }
  if (layer.past) nodes.push(crack([x, y - near], [x, y - far], big));
  const inside = near > 22 * big ? near - 8 * big : 0;
  if (count && inside) nodes.push(...around(count, centre, inside, positive, big));
  else if (count) nodes.push(sign(centre, positive, big));
  if (count) nodes.push(...around(count, centre, far + wall / 2, !positive, big));
  nodes.push(...radiusMarks(build, setting, centre, [near, far], y + far + wall));
  nodes.push(...beside(label(layer), [x - far * Math.SQRT1_2, y - far * Math.SQRT1_2], x - far - wall, setting));
  const ends = setting.ends ? ` The inner one is at ${setting.ends[0]}, the outer one at ${setting.ends[1]}.` : "";
  const long = build.shape === "cylinders" ? ` They are ${build.sizes[2].shown} long.` : "";
  return { nodes, width, height: y + far + wall + (2 * 17 + 8) * big, notes: [`${SEEN[build.shape]}; ${note}${long}${ends}`] };
}

/** Radii as dimension lines below the circle, from the centre, the outer one first. */
function radiusMarks(build, { big }, [x, y], places, foot) {
  const size = 12 * big;
  const nodes = [path(`M${x} ${y}V${foot + (places.length * 17 + 2) * big}`, SOFT, 0.8 * big, { "stroke-dasharray": "2 3" })];
  places.forEach((radius, index) => {
    const level = foot + (12 + 17 * (places.length - 1 - index)) * big;
    const words = build.shape === "sphere" ? "radius" : `${index ? "outer" : "inner"} radius`;
    nodes.push(path(`M${x + radius} ${y}V${level + 4 * big}`, SOFT, 0.8 * big, { "stroke-dasharray": "2 3" }));
    nodes.push(...dimension([x, level], [x + radius, level], big));
    nodes.push(text(x - 8 * big, level + size * 0.36, `${words} ${build.sizes[index].shown}`, size, { "text-anchor": "end" }));
  });
  return nodes;
}

/** A name beside the circle with a line to what it names. */
function beside(name, [toX, toY], edge, { big }) {
  const size = 12 * big;
  const end = edge - 12 * big;
  if (wide(name, size) > end - 2) return [text(4, size, name, size), path(`M${4 + wide(name, size) / 2} ${size + 4}L${toX + 6 * big} ${toY + 6 * big}`, SOFT, 0.8 * big)];
  return [text(end, toY + size * 0.36, name, size, { "text-anchor": "end" }), path(`M${end + 4 * big} ${toY}L${toX + 6 * big} ${toY + 6 * big}`, SOFT, 0.8 * big)];
}

/** @returns {Drawn} */
function loneSphere(build, setting) {
  const { width, big, positive } = setting;
  const radius = LONE * big;
  const reach = radius + 44 * big;
  const centre = /** @type {[number, number]} */ ([width / 2, reach + 4 * big]);
  const [x, y] = centre;
  const [layer] = build.layers;
  const nodes = [node("rect", { x: x - 1.6 * reach, y: 4 * big, width: 3.2 * reach, height: 2 * reach, rx: 8, fill: groundsOf([layer])[0], stroke: layer.past ? BRICK : "none", "stroke-width": 2 * big })];
  nodes.push(node("circle", { cx: x, cy: y, r: radius, fill: "#e3e5e7", stroke: INK, "stroke-width": 1.2 * big }));
  const count = counts(setting.lines);
  for (const [ux, uy] of directions(count)) {
    const ends = /** @type {[number, number][]} */ ([radius + 3, reach - 2].map((r) => [x + ux * r, y + uy * r]));
    nodes.push(positive ? fieldLine(ends[0], ends[1], big) : fieldLine(ends[1], ends[0], big));
  }
  if (count) nodes.push(...around(count, centre, radius - 9 * big, positive, big));
  if (layer.past) nodes.push(crack([x, y - radius], [x, y - reach], big));
  nodes.push(...radiusMarks(build, setting, centre, [radius], y + reach));
  nodes.push(text(x - 1.6 * reach + 8 * big, 19 * big, layer.name, 12 * big, { stroke: SHEET }));
  const end = setting.ends ? ` The sphere is at ${setting.ends[0]}; the other plate is all that is far away, at ${setting.ends[1]}.` : " The other plate is all that is far away.";
  return { nodes, width, height: y + reach + 32 * big, notes: [SEEN.sphere + end] };
}
