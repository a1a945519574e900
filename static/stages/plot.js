// The picture of a stage's curves: axes with their units, time constants, a curve for each reading, and at the right
// edge, after a break, where each one ends.

import { splitName } from "../dom.js";
import { node } from "../paint.js";
import { ACCENT, INK, READING, SANS, SERIF, SHEET, SOFT } from "../drawing/palette.js";
import { decayed, sampled, scaleOf, textAt, valueOf, written } from "./curves.js";

/**
 * @typedef {{key: string, name: string, quantity: "voltage"|"current", unit: string, dash: number, curve: import("./curves.js").Curve}} Line
 * @typedef {{x: number, dots: {x: number, y: number}[]}} Cursor
 */

const RULE = "#e4dfd3";
const COLOURS = { voltage: ACCENT, current: READING };
/** Strokes and gaps; the same for both readings of a part. */
const DASHES = ["", "8 3", "2.5 2.5", "9 3 2 3", "14 4", "5 2 1.5 2 1.5 2"];
/** Width kept for the end, in pixels of type of size 1, and the break before it. */
const [END, BREAK] = [44, 10];
/**
 * A voltage and a current that go in step would be drawn on top of one another where both fill their axes alike: then the second
 * axis reaches so many times as far, until the heights of the curves are this far apart, as shares of the picture.
 */
const [ROOM, APART] = [[1, 1.2, 1.5, 2], 0.06];

/** How a line is drawn. @param {Line} line */
export const strokeOf = ({ quantity, dash }) => ({ fill: "none", stroke: COLOURS[quantity], "stroke-width": 1.7, "stroke-linejoin": "round", ...(DASHES[dash % DASHES.length] ? { "stroke-dasharray": DASHES[dash % DASHES.length] } : {}) });

const words = (x, y, text, attributes = {}) => node("text", { x, y, fill: SOFT, "font-family": SANS, ...attributes }, text);

/** The name of a part beside its curve. */
function nameNode(x, y, line, size) {
  const { stem, index } = splitName(line.name);
  return node("text", { x, y, fill: COLOURS[line.quantity], "font-family": SERIF, "font-size": size * 1.2, "paint-order": "stroke", stroke: SHEET, "stroke-width": 3, "stroke-linejoin": "round", "text-anchor": "middle" }, [
    node("tspan", { "font-style": "italic" }, stem),
    node("tspan", { dy: size * 0.25, "font-size": size * 0.85 }, index),
  ]);
}

export class Plot {
  /** What is left of each exponential at each sampled time. @type {number[][]} */
  #left;

  /**
   * @param {{lines: Line[], constants: number[], timeTexts: string[], longest: number, span: number, width: number, height: number, size: number,
   *   writing: import("./curves.js").Writing}} what `longest` is the place of the time constant that the span is made of; `size` that of small type in pixels
   */
  constructor(what) {
    Object.assign(this, what);
    const { size, width, height, span, writing } = what;
    this.second = this.lines.some(({ quantity }) => quantity === "current");
    this.left = size * 3.6;
    this.right = width - (this.second ? size * 3.6 : size);
    this.top = size * 1.9;
    this.bottom = height - size * 1.7;
    this.until = this.right - (END * size) / 11 - BREAK;
    this.ending = (this.until + BREAK + this.right) / 2;
    this.moments = sampled(what.constants, span);
    this.#left = this.moments.map((time) => decayed(what.constants, time));
    const most = Math.min(6, Math.max(2, Math.floor((this.bottom - this.top) / (size * 1.5))));
    const units = { voltage: "V", current: "A" };
    /** @type {Record<string, import("./curves.js").Scale>} */
    this.scales = {};
    const heights = [];
    for (const quantity of Object.keys(units).filter((each) => this.lines.some((line) => line.quantity === each))) {
      const [low, high] = this.#reach(quantity);
      const scaleWith = (room) => scaleOf(low * room, high * room, most, units[quantity], writing);
      const heightOn = (scale) => (high - low) / (scale.high - scale.low);
      const isApart = (room) => heights.every((other) => Math.abs(heightOn(scaleWith(room)) - other) > APART);
      const scale = scaleWith(ROOM.find(isApart) ?? 1);
      this.scales[quantity] = scale;
      heights.push(heightOn(scale));
    }
    this.across = scaleOf(0, span, Math.max(2, Math.floor((this.until - this.left) / (size * 6))), "s", writing, true);
  }

  /** Lowest and highest value of the shown curves of a quantity. */
  #reach(quantity) {
    const own = this.lines.filter((line) => line.quantity === quantity);
    const all = own.flatMap(({ curve }) => [curve.first.value, curve.final.value, ...this.#left.map((left) => valueOf(curve, left))]);
    return all.length ? [all.reduce((a, b) => Math.min(a, b)), all.reduce((a, b) => Math.max(a, b))] : [0, 1];
  }

  xOf(time) {
    return time === Infinity ? this.ending : this.left + ((this.until - this.left) * time) / this.span;
  }

  yOf(value, quantity) {
    const { low, high } = this.scales[quantity];
    return this.bottom - ((this.bottom - this.top) * (value - low)) / (high - low);
  }

  /** The moment at a place across, the end where it is beyond the break. @param {number} x */
  timeAt(x) {
    if (x > this.until + BREAK / 2) return Infinity;
    return (this.span * Math.min(Math.max(x - this.left, 0), this.until - this.left)) / (this.until - this.left);
  }

  /** Where the cursor and its dots are at a moment. @param {number} time @returns {Cursor} */
  cursor(time) {
    const x = this.xOf(time);
    const left = time === Infinity ? [] : decayed(this.constants, time);
    const value = ({ curve }) => (time === Infinity ? curve.final.value : time === 0 ? curve.first.value : valueOf(curve, left));
    return { x, dots: this.lines.map((line) => ({ x, y: this.yOf(value(line), line.quantity) })) };
  }

  /** The texts of all readings at a moment, in the order of the lines. @param {number} time */
  texts(time) {
    return this.lines.map(({ curve, unit }) => textAt(curve, this.constants, time, unit, this.writing));
  }

  /** @param {number} time seconds */
  timeText(time) {
    return time === 0 ? "0⁺" : written(time, "s", this.writing);
  }

  /** @returns {import("../paint.js").Node[]} all but the cursor */
  nodes() {
    return [node("g", {}, this.#axes(), "axes"), node("g", {}, this.#constants(), "constants"), node("g", {}, this.#curves(), "curves"), node("g", {}, this.#names(), "names")];
  }

  #axes() {
    const { size, left, right, top, bottom, until } = this;
    const nodes = [];
    const rule = (x1, y1, x2, y2, stroke) => nodes.push(node("path", { d: `M${x1} ${y1}L${x2} ${y2}`, stroke, "stroke-width": 1, fill: "none" }));
    const sides = [["voltage", left - 5, "end", left], ["current", right + 5, "start", right]];
    for (const [quantity, x, anchor, edge] of sides) {
      const scale = this.scales[quantity];
      if (!scale) continue;
      for (const { at, text } of scale.ticks) {
        const y = this.yOf(at, quantity);
        if (quantity === "voltage") rule(left, y, right, y, RULE);
        else rule(right - 4, y, right, y, SOFT);
        nodes.push(words(x, y + size * 0.35, text, { "font-size": size, "text-anchor": anchor, fill: COLOURS[quantity] }));
      }
      rule(edge, top - 3, edge, bottom, SOFT);
      nodes.push(words(x, size * 0.95, scale.unit, { "font-size": size, "text-anchor": anchor, fill: COLOURS[quantity] }));
    }
    rule(left, bottom, until, bottom, INK);
    rule(until + BREAK, bottom, right, bottom, INK);
    for (const x of [until, until + BREAK]) rule(x - 2, bottom + 4, x + 2, bottom - 4, INK);
    for (const { at, text } of this.across.ticks) {
      const x = this.xOf(at);
      rule(x, bottom, x, bottom + 3, INK);
      // The unit stands once, with the last mark.
      nodes.push(words(x, bottom + size * 1.25, at === this.across.ticks.at(-1).at ? `${text} ${this.across.unit}` : text, { "font-size": size, "text-anchor": "middle" }));
    }
    nodes.push(words(this.ending, bottom + size * 1.25, "end", { "font-size": size, "text-anchor": "middle" }));
    return nodes;
  }

  #constants() {
    const { size, top, bottom, constants, until } = this;
    const several = constants.length > 1;
    const marks = constants.map((constant, index) => ({ at: constant, text: `${several ? `τ${[...String(index + 1)].map((digit) => "₀₁₂₃₄₅₆₇₈₉"[digit]).join("")}` : "τ"} = ${this.timeTexts[index]}` }));
    const own = marks[this.longest].text.split(" ")[0];
    marks.push({ at: 5 * constants[this.longest], text: `5${own}` });
    const nodes = [];
    for (const { at } of marks) if (this.xOf(at) <= until) nodes.push(node("path", { d: `M${this.xOf(at)} ${top - 3}L${this.xOf(at)} ${bottom}`, stroke: SOFT, "stroke-width": 1, "stroke-dasharray": "1.5 3", fill: "none" }));
    /** Stretches along the top that are written on: those of the axis' own constant come first. @type {[number, number][]} */
    const written = [];
    const first = [marks[this.longest], marks.at(-1)];
    for (const mark of [...first, ...marks.filter((each) => !first.includes(each))]) {
      for (const text of [mark.text, mark.text.split(" ")[0]]) {
        const begin = Math.max(this.xOf(mark.at) - size * 0.4, this.left);
        const end = begin + size * 0.6 * (text.length + 1);
        if (this.xOf(mark.at) > until || written.some(([from, to]) => begin < to && end > from)) continue;
        nodes.push(words(begin, size * 0.95, text, { "font-size": size, fill: INK }));
        written.push([begin, end]);
        break;
      }
    }
    return nodes;
  }

  #curves() {
    const short = (number) => Math.round(number * 100) / 100;
    return this.lines.map((line) => {
      const points = this.moments.map((time, index) => `${short(this.xOf(time))} ${short(this.yOf(index === 0 ? line.curve.first.value : valueOf(line.curve, this.#left[index]), line.quantity))}`);
      const y = short(this.yOf(line.curve.final.value, line.quantity));
      return node("path", { ...strokeOf(line), d: `M${points.join("L")}M${this.until + BREAK} ${y}L${this.right} ${y}` }, undefined, line.key);
    });
  }

  /** Each name by its curve, above or below, where it is farthest from the other curves and names. */
  #names() {
    const { size, lines } = this;
    const away = size * 0.95;
    const spots = Array.from({ length: 38 }, (_, index) => index * 0.025).map((share) => {
      const left = decayed(this.constants, share * this.span);
      return { x: this.xOf(share * this.span), ys: lines.map((line) => this.yOf(valueOf(line.curve, left), line.quantity)) };
    });
    const taken = [];
    return lines.map((line, number) => {
      let best = { x: 0, y: 0, clear: -Infinity };
      spots.forEach(({ x, ys }, place) => {
        if (place < 2) return;
        const near = [place - 1, place, place + 1].filter((each) => spots[each]);
        for (const y of [ys[number] - away, ys[number] + away]) {
          if (y < this.top || y > this.bottom - size * 0.6) continue;
          // A steep curve passes all the heights between its neighbouring spots.
          const toCurves = lines.map((_, other) => {
            const heights = near.map((each) => spots[each].ys[other]);
            return Math.max(Math.min(...heights) - y, y - Math.max(...heights), 0);
          });
          const apart = Math.min(size, ...ys.filter((_, other) => other !== number).map((other) => Math.abs(other - ys[number])));
          const toNames = taken.map((spot) => Math.hypot((spot.x - x) * 0.6, spot.y - y));
          const clear = Math.min(size * 0.9, ...toCurves) + 0.4 * apart + 2 * Math.min(size * 1.2, ...toNames);
          if (clear > best.clear + 0.5) best = { x, y, clear };
        }
      });
      taken.push(best);
      return nameNode(best.x, best.y + size * 0.35, line, size);
    });
  }
}
