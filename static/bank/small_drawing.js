// A bank drawn small: two rails, and the strings between them. Many alike are drawn once, with their number.

import { svg } from "../dom.js";

/** Columns, and parts of a string, that are drawn one by one. */
const MOST_COLUMNS = 6;
const MOST_PARTS = 5;
const WIDE = 30;
const TALL = 26;
const MARGIN = 12;

/** A capacitor's plates, and its leads up and down to where they are to reach. */
const capacitor = (x, y, top, bottom) => `M${x} ${top}V${y - 3}M${x - 9} ${y - 3}h18M${x - 9} ${y + 3}h18M${x} ${y + 3}V${bottom}`;

const text = (x, y, words) => svg("text", { x, y, "text-anchor": "middle", "font-size": 12 }, words);

/** @param {{times: number, parts: {count: number}[]}[]} strings @returns {SVGElement} */
export function smallDrawing(strings) {
  const all = strings.reduce((total, { times }) => total + times, 0);
  const columns = strings.flatMap(({ times, parts }) => {
    const length = parts.reduce((total, { count }) => total + count, 0);
    return all <= MOST_COLUMNS ? Array.from({ length: times }, () => ({ length, times: 1 })) : [{ length, times }];
  });
  const tall = TALL * Math.max(2, ...columns.map(({ length }) => Math.min(length, MOST_PARTS)));
  const [top, bottom] = [MARGIN, MARGIN + tall];
  const width = WIDE * columns.length + 2 * MARGIN;
  const marks = [];
  let path = `M4 ${top}H${width - 4}M4 ${bottom}H${width - 4}`;
  columns.forEach(({ length, times }, index) => {
    const x = MARGIN + WIDE * (index + 0.5);
    const drawn = Math.min(length, MOST_PARTS);
    const step = tall / drawn;
    for (let part = 0; part < drawn; part += 1) {
      const [from, to] = [top + step * part, top + step * (part + 1)];
      if (length > MOST_PARTS && part === 2) marks.push(text(x, (from + to) / 2 + 4, `… ${length - MOST_PARTS + 1}`));
      else path += capacitor(x, (from + to) / 2, from, to);
    }
    if (times > 1) marks.push(text(x, bottom + 16, `× ${times}`));
  });
  const height = bottom + (columns.some(({ times }) => times > 1) ? 22 : MARGIN);
  return svg("svg", { viewBox: `0 0 ${width} ${height}`, width, height, "aria-hidden": "true", class: "small-drawing" }, svg("path", { d: path, fill: "none", stroke: "currentColor", "stroke-width": 1.8, "stroke-linecap": "round" }), ...marks);
}
