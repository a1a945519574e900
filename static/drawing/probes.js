// Readings between two joints on the sheet: a thin dotted arc from one to the other, with what is read between them.

import { textWidth, withSubscripts } from "../dom.js";
import { STEP } from "../geometry.js";
import { node } from "../paint.js";
import { ACCENT, SANS, SHEET } from "./palette.js";

/** The words of one pair's readings. @returns {string} */
export function probeText(probe, isCovered) {
  const owner = `probe ${probe.between.join(" ")}`;
  return ["voltage", "capacitance", "resistance"]
    .filter((reading) => probe[reading])
    .map((reading) => (isCovered(`${owner}.${reading}`) ? "?" : withSubscripts(probe[reading].text)))
    .join(" · ");
}

/** @returns {import("../paint.js").Node[]} */
export function probeNodes(sketch, solution, style, isCovered, pair) {
  if (!solution) return [];
  return solution.probes.flatMap((probe) => {
    const ends = probe.between.map((joint) => sketch.joints[joint]?.map((n) => n * STEP));
    const kept = sketch.probes?.some((each) => each.join() === probe.between.join());
    const picked = pair && pair.join() === probe.between.join();
    if (ends.some((end) => !end) || !(kept || picked)) return [];
    const [[ax, ay], [bx, by]] = ends;
    const length = Math.hypot(bx - ax, by - ay) || 1;
    const bow = Math.min(48, length / 4);
    const [mx, my] = [(ax + bx) / 2 + ((by - ay) / length) * bow, (ay + by) / 2 - ((bx - ax) / length) * bow];
    const text = probeText(probe, isCovered);
    const size = 13 * style.big;
    const w = textWidth(text, `600 ${size}px ${SANS}`) + 16;
    const [lx, ly] = [(ax + bx) / 4 + mx / 2, (ay + by) / 4 + my / 2];
    return [
      node("g", {}, [
        node("path", { d: `M${ax} ${ay}Q${mx} ${my} ${bx} ${by}`, fill: "none", stroke: ACCENT, "stroke-width": 1.8, "stroke-dasharray": "1 5", "stroke-linecap": "round" }),
        node("rect", { x: lx - w / 2, y: ly - size * 0.95, width: w, height: size * 1.9, rx: 6, fill: SHEET, stroke: ACCENT, "stroke-width": 1.2 }),
        node("text", { x: lx, y: ly + size * 0.36, "text-anchor": "middle", "font-family": SANS, "font-size": size, "font-weight": 600, fill: ACCENT }, text),
      ], `probe ${probe.between.join(" ")}`),
    ];
  });
}
