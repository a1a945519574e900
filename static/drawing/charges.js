// Charge and energy on the sheet: plus and minus signs along the plates, an amber disc behind the part.

import { STEP, routes } from "../geometry.js";
import { node } from "../paint.js";
import { isSeenPast } from "../builds/words.js";
import { AMBER, BRICK, INK, SHEET, easingOf } from "./palette.js";
import { placed } from "./ink.js";

/** @returns {import("../paint.js").Node[]} */
export function discNodes(sketch, radii, isCovered) {
  const ways = routes(sketch);
  const easing = easingOf(sketch);
  return sketch.parts
    .filter((part) => radii.has(part.name) && !isCovered(`${part.name}.energy`))
    .map((part) => {
      const [cx, cy] = ways.get(part.name).symbol.at.map((n) => n * STEP);
      return node("circle", { cx, cy, r: radii.get(part.name), fill: AMBER, "fill-opacity": 0.32, class: easing }, undefined, `disc ${part.name}`);
    });
}

/** Two strokes of a plus, or one of a minus, drawn so that they stay upright in a turned symbol. */
function sign(x, y, plus, half) {
  return `M${x - half} ${y}H${x + half}${plus ? `M${x} ${y - half}V${y + half}` : ""}`;
}

/** Places for so many signs along a plate, evenly on both sides of the line that leads to its middle. @returns {number[]} */
function spread(count, side) {
  const right = Math.ceil(count / 2);
  const places = (many, sign) => Array.from({ length: many }, (_, index) => sign * (9 + ((side - 10) * (index + 0.5)) / right));
  return [...places(right, 1), ...places(count - right, -1)];
}

/** @returns {import("../paint.js").Node[]} */
export function signNodes(sketch, counts, isCovered, style) {
  const ways = routes(sketch);
  const nodes = [];
  for (const part of sketch.parts) {
    const count = counts.get(part.name) ?? 0;
    if (count === 0 || isCovered(`${part.name}.charge`)) continue;
    const way = ways.get(part.name);
    const { reach, side } = style.kinds.capacitor.drawing;
    const upright = way.symbol.along[0] === 0;
    const half = 2.9;
    let d = "";
    for (const across of spread(Math.abs(count), side))
      for (const [along, plus] of [[-reach - 9, count > 0], [reach + 9, count < 0]])
        d += upright && !plus ? `M${along} ${across - half}V${across + half}` : sign(along, across, plus, half);
    nodes.push(node("g", { transform: placed(way) }, [node("path", { d, fill: "none", stroke: INK, "stroke-width": 1.7 * style.big, "stroke-linecap": "round" })], `signs ${part.name}`));
  }
  return nodes;
}

/** A crack from plate to plate of every capacitor that is past the breakdown of its dielectric. @returns {import("../paint.js").Node[]} */
export function crackNodes(sketch, solution, isCovered, style) {
  const ways = routes(sketch);
  const d = "M-8 13L-2 20L2 13L8 20";
  return sketch.parts
    .filter((part) => part.kind === "capacitor" && isSeenPast(solution.parts[part.name] ?? {}, (reading) => isCovered(`${part.name}.${reading}`)))
    .map((part) => {
      const stroke = (colour, width) => node("path", { d, fill: "none", stroke: colour, "stroke-width": width * style.big, "stroke-linejoin": "round" });
      return node("g", { transform: placed(ways.get(part.name)), class: "crack" }, [stroke(SHEET, 6), stroke(BRICK, 2.8)], `crack ${part.name}`);
    });
}
