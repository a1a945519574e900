// A column's drawing: its network in a frame of its own, with potentials, sized to be read.

import { set, svg } from "../dom.js";
import { picture } from "../drawing/picture.js";
import { paint } from "../paint.js";

const NOTHING_MARKED = { selected: new Set(), joints: new Set(), faulty: new Set(), pair: null };
const LAYERS = ["bands", "discs", "ink", "joints", "signs", "labels", "flags", "probes"];
const MARGIN = 10;
/** A small network is not blown up, and what is written on a large one is enlarged by this much at the most. */
const LARGEST = 1.1;
const LEGIBLE = 0.9;
const MOST_NEAR = 1.9;
/** Voltages only: signs and discs are drawn to a scale of each drawing's own, which would mislead beside another one. */
const OVERLAYS = { V: true, Q: false, U: false };

export class Drawing {
  #last;
  #sketch = "";

  /** @param {object} kinds of part, from shared/kinds.json */
  constructor(kinds) {
    this.kinds = kinds;
    this.layers = Object.fromEntries(LAYERS.map((name) => [name, svg("g")]));
    this.svg = svg("svg", { "aria-hidden": "true" }, ...Object.values(this.layers));
  }

  /**
   * @param {object} column of the server's answer @param {(key: string) => boolean} isCovered
   * @param {{width: number, height: number, zigzag: boolean, words: string}} setting in pixels; `words` say what is drawn
   */
  show({ sketch, solution }, isCovered, { width, height, zigzag, words }) {
    const drawnAs = (near) => picture(sketch, solution, { kinds: this.kinds, big: near, zigzag, overlays: OVERLAYS }, NOTHING_MARKED, isCovered, near === this.#last?.near && this.#sketch === shapeOf(sketch) ? { ...this.#last.drawn, sketch: { ...this.#last.drawn.sketch, joints: sketch.joints } } : undefined);
    const scaleOf = ({ box }) => Math.min(LARGEST, (width - 2 * MARGIN) / (box.right - box.left), (height - 2 * MARGIN) / (box.bottom - box.top));
    const near = Math.round(Math.min(MOST_NEAR, Math.max(1, LEGIBLE / scaleOf(drawnAs(1)))) * 10) / 10;
    const drawn = drawnAs(near);
    this.#last = { near, drawn };
    this.#sketch = shapeOf(sketch);
    for (const [name, nodes] of Object.entries(drawn.layers)) paint(this.layers[name], nodes);
    const scale = scaleOf(drawn);
    const { left, right, top, bottom } = drawn.box;
    const [w, h] = [width / scale, height / scale];
    set(this.svg, { width, height, viewBox: `${(left + right - w) / 2} ${(top + bottom - h) / 2} ${w} ${h}`, role: "img", "aria-label": words, "aria-hidden": null });
  }
}

/** What decides where labels can stand. */
const shapeOf = (sketch) => JSON.stringify([sketch.joints, sketch.parts.map(({ name, kind, from, to, bend }) => [name, kind, from, to, bend])]);
