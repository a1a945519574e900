// A column's drawing: its network in a frame of its own, with its readings, sized to be read.

import { set, svg } from "../dom.js";
import { discNodes } from "../drawing/charges.js";
import { picture } from "../drawing/picture.js";
import { discRadii } from "../drawing/shares.js";
import { paint } from "../paint.js";

const NOTHING_MARKED = { selected: new Set(), joints: new Set(), faulty: new Set(), pair: null };
const LAYERS = ["bands", "discs", "ink", "joints", "signs", "labels", "flags", "probes"];
const MARGIN = 10;
/** A small network is not blown up, and what is written on a large one is enlarged by this much at the most. */
const LARGEST = 1.1;
const LEGIBLE = 0.9;
const MOST_NEAR = 1.9;
/** Drawings of which one has to be this much smaller than another are drawn each at its own scale. */
const ALIKE = 0.55;

/**
 * What the eye compares goes by one scale in all drawings: the largest charge and the largest energy of any column.
 * @param {object[]} columns of the server's answer @returns {object[]} their solutions, each with that reach
 */
export function onOneReach(columns) {
  const capacitors = columns.flatMap(({ solution, sketch }) => sketch.parts.filter(({ kind }) => kind === "capacitor").map(({ name }) => solution.parts[name]));
  const most = (quantity) => Math.max(0, ...capacitors.map((readings) => Math.abs(readings[quantity]?.value ?? 0)));
  const reach = { charge: most("charge"), energy: most("energy") };
  return columns.map(({ solution }) => ({ ...solution, reach }));
}

/**
 * Draws all columns, at one scale where room allows.
 * @param {{drawing: Drawing, column: object, solution: object, isCovered: (key: string) => boolean, words: string}[]} entries
 * @param {{width: number, height: number, big: number, zigzag: boolean}} setting in pixels; `big` enlarges what is written
 */
export function drawTogether(entries, setting) {
  const scales = entries.map((entry) => entry.drawing.scaleOf(entry, 1, setting));
  const least = Math.min(...scales);
  const common = least >= ALIKE * Math.max(...scales);
  const nears = scales.map((scale) => nearAt(common ? least : scale, setting.big));
  const after = entries.map((entry, index) => entry.drawing.scaleOf(entry, nears[index], setting));
  entries.forEach(({ drawing, words }, index) => drawing.show(common ? Math.min(...after) : after[index], words, setting));
}

const nearAt = (scale, big) => Math.round(Math.min(MOST_NEAR * big, Math.max(1, (LEGIBLE * big) / scale)) * 10) / 10;

export class Drawing {
  /** The picture to show, and how large it is written; the next one keeps its labels where they are. */
  #last;

  /** @param {object} kinds of part, from shared/kinds.json */
  constructor(kinds) {
    this.kinds = kinds;
    this.layers = Object.fromEntries(LAYERS.map((name) => [name, svg("g", { class: name })]));
    this.svg = svg("svg", { "aria-hidden": "true" }, ...Object.values(this.layers));
  }

  /** Draws the picture with what is written on it `near` times as large, and tells at which scale it fits its place. */
  scaleOf({ column: { sketch }, solution, isCovered }, near, { width, height, big, zigzag }) {
    // Energies are seen as discs; in writing they would crowd the drawing, and stand in tiles and table.
    const overlays = { V: true, Q: true, U: false };
    const shape = shapeOf(sketch);
    const before = this.#last?.near === near && this.#last.shape === shape ? { ...this.#last.drawn, sketch: { ...this.#last.drawn.sketch, joints: sketch.joints } } : undefined;
    const drawn = picture(briefly(sketch), solution, { kinds: this.kinds, big: near, zigzag, overlays }, NOTHING_MARKED, isCovered, before);
    drawn.layers.discs = discNodes(sketch, discRadii(solution), isCovered);
    this.#last = { near, drawn, shape };
    const { left, right, top, bottom } = drawn.box;
    return Math.min(LARGEST * big, (width - 2 * MARGIN) / (right - left), (height - 2 * MARGIN) / (bottom - top));
  }

  /** Shows the picture that was drawn last. @param {number} scale @param {string} words what is drawn @param {{width: number, height: number}} setting */
  show(scale, words, { width, height }) {
    const { layers, box } = this.#last.drawn;
    for (const [name, nodes] of Object.entries(layers)) paint(this.layers[name], nodes);
    const [w, h] = [width / scale, height / scale];
    set(this.svg, { width, height, viewBox: `${(box.left + box.right - w) / 2} ${(box.top + box.bottom - h) / 2} ${w} ${h}`, role: "img", "aria-label": words, "aria-hidden": null });
  }
}

/** Tolerances stand in the list of values, and what is past its rating in the table: side by side there is no room for them. */
const briefly = (sketch) => ({ ...sketch, parts: sketch.parts.map(({ tolerance, rated, ...part }) => part) });

/** What decides where labels can stand. */
const shapeOf = (sketch) => JSON.stringify([sketch.joints, sketch.parts.map(({ name, kind, from, to, bend }) => [name, kind, from, to, bend])]);
