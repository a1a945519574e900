// Currents at a moment: a head of an arrow on the line that leads to each part, its area in proportion to the current.

import { routes } from "../geometry.js";
import { node } from "../paint.js";
import { lines } from "./ink.js";
import { READING, SHEET } from "./palette.js";

/** Length of the largest head in sheet units, and the least that is still drawn, as a share of the largest current. */
const [LARGEST, LEAST] = [24, 1e-6];

/** The middle of the longest straight piece of a line, and the way along it. */
function middleOf(line) {
  let best = { at: line[0], along: [0, 0], length: 0 };
  for (let place = 0; place + 1 < line.length; place += 1) {
    const [[ax, ay], [bx, by]] = [line[place], line[place + 1]];
    const length = Math.hypot(bx - ax, by - ay);
    if (length > best.length) best = { at: [(ax + bx) / 2, (ay + by) / 2], along: [(bx - ax) / length, (by - ay) / length], length };
  }
  return best;
}

/** @param {object} solution at a moment, or one without currents to draw @returns {import("../paint.js").Node[]} */
export function currentNodes(sketch, solution, isCovered, style) {
  const most = solution.moment ? solution.reach.current : 0;
  if (!most) return [];
  const ways = routes(sketch);
  const short = (number) => Math.round(number * 100) / 100;
  return sketch.parts.flatMap((part) => {
    const current = solution.parts[part.name]?.current?.value ?? 0;
    if (Math.abs(current) < LEAST * most || isCovered(`${part.name}.current`)) return [];
    // The line from its first joint to the symbol; what a battery supplies comes out of there.
    const { at: [x, y], along, length } = middleOf(lines(part, ways.get(part.name), style.kinds[part.kind])[0]);
    if (!length) return [];
    const sign = Math.sign(current) * (part.kind === "battery" ? -1 : 1);
    const size = Math.max(3, LARGEST * Math.sqrt(Math.abs(current) / most));
    const [ux, uy] = [along[0] * sign * size, along[1] * sign * size];
    const corner = (ahead, aside) => `${short(x + ahead * ux - aside * uy)} ${short(y + ahead * uy + aside * ux)}`;
    const d = `M${corner(0.55, 0)}L${corner(-0.45, 0.42)}L${corner(-0.45, -0.42)}Z`;
    return [node("path", { d, fill: READING, stroke: SHEET, "stroke-width": 1.5, "stroke-linejoin": "round", "paint-order": "stroke" }, undefined, `current ${part.name}`)];
  });
}
