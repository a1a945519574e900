// The spread of one reading as a small bar under it: from the least to the largest, with a stroke where the reading is.

import { html, svg } from "../dom.js";

/** Width and height of a bar, in its own units; the stroke of a reading is two of them wide. */
const [WIDTH, HEIGHT] = [60, 8];
const EDGE = 1;

/** "2.87 V" and "3.14 V" → "2.87 to 3.14 V". @param {{low: {text: string}, high: {text: string}}} spread */
export function spreadText({ low, high }) {
  if (low.text === high.text) return low.text;
  const [, number, unit] = /^(.*?)(\s\S+)$/u.exec(low.text) ?? [null, low.text, ""];
  return high.text.endsWith(unit) ? `${number} to ${high.text}` : `${low.text} to ${high.text}`;
}

/** @param {{low: {value: number}, high: {value: number}}|null} spread @param {number|null} now */
function bar(spread, now) {
  const drawing = svg("svg", { class: "spread-bar", viewBox: `0 0 ${WIDTH} ${HEIGHT}`, "aria-hidden": "true" });
  drawing.append(svg("line", { class: "axis", x1: EDGE, x2: WIDTH - EDGE, y1: HEIGHT / 2, y2: HEIGHT / 2 }));
  if (!spread) return drawing;
  const [low, high] = [spread.low.value, spread.high.value];
  const [from, to] = [Math.min(0, low), Math.max(0, high)];
  const across = (value) => EDGE + ((WIDTH - 2 * EDGE) * (value - from)) / (to - from || 1);
  if (high > low) drawing.append(svg("rect", { class: "range", x: across(low), y: 1, width: Math.max(1.5, across(high) - across(low)), height: HEIGHT - 2 }));
  if (now !== null) drawing.append(svg("line", { class: "now", x1: across(now), x2: across(now), y1: 0, y2: HEIGHT }));
  return drawing;
}

/**
 * A reading in its cell, with its bar where there are tolerances; in words for screen readers and where its part is selected.
 * @param {HTMLElement} button of the reading @param {{value: number|null}} reading @param {string} key
 * @param {import("./watch.js").SpreadWatch|null|undefined} watch @param {boolean} covered @param {boolean} chosen
 */
export function withSpread(button, reading, key, watch, covered, chosen) {
  if (!watch?.isOn) return button;
  const spread = covered ? null : watch.of(key);
  const words = spread ? spreadText(spread) : "";
  const cell = html("span", { class: "spread", title: words && `Within the tolerances ${words}` }, button, bar(spread, reading.value));
  if (words) cell.append(html("small", { class: chosen ? null : "spoken" }, words));
  return cell;
}
