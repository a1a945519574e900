// Readings between two joints on the sheet: a thin dotted arc from one to the other, with what is read between them.

import { textWidth, withSubscripts } from "../dom.js";
import { STEP } from "../geometry.js";
import { node } from "../paint.js";
import { samePair } from "../sketch.js";
import { ACCENT, SANS, SHEET } from "./palette.js";

/** The words of one pair's readings. @returns {string} */
function probeText(probe, isCovered) {
  const owner = `probe ${probe.between.join(" ")}`;
  return ["voltage", "capacitance", "resistance"]
    .filter((reading) => probe[reading])
    .map((reading) => (isCovered(`${owner}.${reading}`) ? "?" : withSubscripts(probe[reading].text)))
    .join(" · ");
}

/** Ways for the arc to bow out, in sheet units, in order of liking. */
const BOWS = [48, -48, 96, -96, 150, -150];

/** The arc between two points and where its label stands, for each bow. */
function arcs([ax, ay], [bx, by], w, h) {
  const length = Math.hypot(bx - ax, by - ay) || 1;
  return BOWS.map((bow) => {
    const [mx, my] = [(ax + bx) / 2 + ((by - ay) / length) * bow * 2, (ay + by) / 2 - ((bx - ax) / length) * bow * 2];
    const [lx, ly] = [(ax + bx) / 4 + mx / 2, (ay + by) / 4 + my / 2];
    const aside = Math.abs(by - ay) > Math.abs(bx - ax) ? (Math.sign(lx - (ax + bx) / 2) * w) / 2 : 0;
    return { d: `M${ax} ${ay}Q${mx} ${my} ${bx} ${by}`, x: lx - w / 2 + aside, y: ly - h / 2, w, h };
  });
}

/**
 * The readings kept on the sheet and those of the picked pair; each label where there is room. Takes its boxes in `crowd`.
 * @returns {{nodes: import("../paint.js").Node[], pairs: [string, string][]}}
 */
export function probeNodes(sketch, solution, style, isCovered, pair, crowd) {
  const [nodes, pairs] = [[], []];
  for (const probe of solution.probes) {
    const ends = probe.between.map((joint) => sketch.joints[joint]?.map((n) => n * STEP));
    const shown = [...(sketch.probes ?? []), pair ?? []].some((each) => samePair(each, probe.between));
    if (ends.some((end) => !end) || !shown) continue;
    const text = probeText(probe, isCovered);
    const size = 13 * style.big;
    const options = arcs(ends[0], ends[1], textWidth(text, `600 ${size}px ${SANS}`) + 16, size * 1.9);
    const { d, x, y, w, h } = options[crowd.best(options).index];
    crowd.add({ x, y, w, h }, "", 2);
    pairs.push(probe.between);
    nodes.push(
      node("g", {}, [
        node("path", { d, fill: "none", stroke: ACCENT, "stroke-width": 1.8, "stroke-dasharray": "1 5", "stroke-linecap": "round" }),
        node("rect", { x, y, width: w, height: h, rx: 6, fill: SHEET, stroke: ACCENT, "stroke-width": 1.2 }),
        node("text", { x: x + w / 2, y: y + h / 2 + size * 0.36, "text-anchor": "middle", "font-family": SANS, "font-size": size, "font-weight": 600, fill: ACCENT }, text),
      ], `probe ${probe.between.join(" ")}`),
    );
  }
  return { nodes, pairs };
}
