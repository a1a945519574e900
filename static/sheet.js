// The sheet on the page: paints the picture of the sketch, its grid, and whatever a gesture is just about.

import { set, svg, textWidth } from "./dom.js";
import { STEP, routes } from "./geometry.js";
import { node, paint } from "./paint.js";
import { ACCENT, BRICK, SANS, SERIF, SHEET } from "./drawing/palette.js";
import { picture } from "./drawing/picture.js";
import { faded } from "./solution/lighting.js";
import { pathOf } from "./drawing/ink.js";
import { View } from "./view.js";

const LAYERS = ["bands", "discs", "ink", "joints", "signs", "labels", "flags", "probes", "marks"];

export class Sheet {
  /** @param {HTMLElement} place */
  constructor(place) {
    this.place = place;
    this.view = new View();
    /** What a gesture is about: a line being drawn, a box being spanned, the cursor dot. */
    this.gesture = { draft: null, span: null, cursor: null, hover: null, callout: null };
    this.sketch = { joints: {}, parts: [] };
    this.drawn = { sketch: this.sketch, labels: new Map(), flags: [], probes: [], box: null };
    const pattern = svg("pattern", { id: "grid", width: STEP, height: STEP, patternUnits: "userSpaceOnUse", x: -STEP / 2, y: -STEP / 2 });
    pattern.append(svg("circle", { cx: STEP / 2, cy: STEP / 2, r: 1.1, fill: "#d9d3c4" }));
    this.pattern = pattern;
    this.layers = Object.fromEntries(LAYERS.map((name) => [name, svg("g", { class: name })]));
    this.world = svg("g", {}, ...Object.values(this.layers));
    this.svg = svg("svg", { "aria-hidden": "true", focusable: "false" }, svg("defs", {}, pattern), svg("rect", { width: "100%", height: "100%", fill: "url(#grid)" }), this.world);
    place.append(this.svg);
    this.#takeSize(place.getBoundingClientRect());
    new ResizeObserver(([{ contentRect }]) => this.#takeSize(contentRect)).observe(place);
  }

  /** In pixels: at 100 % of its place the whole drawing would be laid out anew whenever the panel beside it changes. */
  #takeSize({ width, height }) {
    set(this.svg, { width, height });
  }

  /** @param {View} view */
  look(view) {
    this.view = view;
    this.world.setAttribute("transform", view.transform);
    const fine = view.scale > 0.3 ? 1 : 4;
    this.pattern.setAttribute("patternTransform", `${view.transform} scale(${fine})`);
  }

  /** Shows the whole drawing; a small one is not blown up beyond what suits the window. */
  fit() {
    const { width, height } = this.place.getBoundingClientRect();
    const most = Math.min(2, Math.max(1.35, width / 640));
    this.look(View.fitting(this.drawn.box, width, height, most));
  }

  /** Paints the sketch; `stale` fades readings that belong to an older one. */
  show(sketch, solution, style, marked, isCovered, stale) {
    this.sketch = sketch;
    this.style = style;
    this.marked = marked;
    this.solution = solution;
    const drawn = picture(sketch, solution, style, marked, isCovered, this.drawn);
    this.drawn = drawn;
    const layers = marked.lit ? faded(drawn.layers, sketch, solution, marked.lit) : drawn.layers;
    for (const [name, nodes] of Object.entries(layers)) paint(this.layers[name], nodes);
    for (const name of ["bands", "discs", "signs", "flags", "probes"]) this.layers[name].classList.toggle("stale", stale);
    this.mark();
  }

  /** Paints what the gesture at hand needs, over the drawing. */
  mark() {
    const { draft, span, cursor, hover, callout } = this.gesture;
    const nodes = [];
    const thin = 1 / this.view.scale;
    if (hover?.part || hover?.joint in this.sketch.joints) nodes.push(...this.#hoverNodes(hover));
    if (hover?.lit) nodes.push(...this.#lamp(hover.part));
    for (const name of this.marked?.lit?.parts ?? []) nodes.push(...this.#lamp(name));
    for (const id of this.marked?.lit?.named ?? []) nodes.push(...this.#conductorName(id));
    for (const name of this.marked?.selected ?? []) nodes.push(...this.#frame(name, ACCENT));
    for (const name of this.marked?.faulty ?? []) nodes.push(...this.#fault(name));
    const read = this.drawn.probes.flat();
    for (const joint of new Set([...(this.marked?.joints ?? []), ...read])) if (joint in this.sketch.joints) nodes.push(this.#jointName(joint));
    if (callout && callout.joint in this.sketch.joints) nodes.push(...this.#callout(callout));
    if (draft) {
      const points = draft.points.map(([x, y]) => [x * STEP, y * STEP]);
      const [a, b] = [points[0], points[points.length - 1]];
      nodes.push(
        node("path", { d: pathOf(points), fill: "none", stroke: ACCENT, "stroke-width": 2.4, "stroke-dasharray": "2 7", "stroke-linecap": "round" }),
        node("circle", { cx: a[0], cy: a[1], r: 5, fill: ACCENT }),
        node("circle", { cx: b[0], cy: b[1], r: 5, fill: SHEET, stroke: ACCENT, "stroke-width": 2 }),
      );
    }
    if (span) {
      const [x, y] = [Math.min(span.from[0], span.to[0]) * STEP, Math.min(span.from[1], span.to[1]) * STEP];
      const [width, height] = [Math.abs(span.from[0] - span.to[0]) * STEP, Math.abs(span.from[1] - span.to[1]) * STEP];
      nodes.push(node("rect", { x, y, width, height, fill: ACCENT, "fill-opacity": 0.07, stroke: ACCENT, "stroke-width": thin, "stroke-dasharray": `${5 * thin} ${4 * thin}` }));
    }
    if (cursor) {
      const [x, y] = cursor.map((n) => n * STEP);
      nodes.push(node("path", { d: `M${x - 10} ${y}H${x + 10}M${x} ${y - 10}V${y + 10}`, stroke: ACCENT, "stroke-width": 1.6 }, undefined, "cursor cross"));
      nodes.push(node("circle", { cx: x, cy: y, r: 6, fill: "none", stroke: ACCENT, "stroke-width": 2 }, undefined, "cursor"));
    }
    paint(this.layers.marks, nodes);
  }

  #symbolBox(name) {
    const part = this.sketch.parts.find((each) => each.name === name);
    const way = routes(this.sketch).get(name);
    if (!part || !way) return null;
    const { reach, side } = this.style.kinds[part.kind].drawing;
    if (!reach) return null;
    const [x, y] = way.symbol.at.map((n) => n * STEP);
    const [w, h] = way.symbol.along[0] === 0 ? [side + 8, reach + 16] : [reach + 16, side + 8];
    return { x: x - w, y: y - h, width: 2 * w, height: 2 * h };
  }

  #frame(name, stroke) {
    const box = this.#symbolBox(name);
    return box ? [node("rect", { ...box, rx: 9, fill: "none", stroke, "stroke-width": 1.6, "stroke-dasharray": "5 4" })] : [];
  }

  /** A part that a step of the worked solution speaks of. */
  #lamp(name) {
    const box = this.#symbolBox(name);
    return box ? [node("rect", { ...box, rx: 9, fill: ACCENT, "fill-opacity": 0.07, stroke: ACCENT, "stroke-width": 2 }, undefined, `lit ${name}`)] : [];
  }

  /** What a step of the worked solution calls a conductor, beside its flag or else at one of its joints. */
  #conductorName(id) {
    const conductor = this.solution?.conductors[id];
    const flag = this.drawn.flags.find((each) => each.conductor === id)?.box;
    const joint = conductor?.joints.find((each) => each in this.sketch.joints);
    if (!flag && joint === undefined) return [];
    const [size, height] = [15 * this.style.big, 24 * this.style.big];
    const width = textWidth(id, `italic 700 ${size}px ${SERIF}`) + 14;
    const [jx, jy] = joint === undefined ? [0, 0] : this.sketch.joints[joint].map((n) => n * STEP);
    const spots = flag
      ? [[flag.x + flag.w + 3, flag.y], [flag.x - width - 3, flag.y], [flag.x + (flag.w - width) / 2, flag.y - height - 3], [flag.x + (flag.w - width) / 2, flag.y + flag.h + 3]]
      : [[jx + 8, jy - height - 8], [jx - width - 8, jy - height - 8], [jx + 8, jy + 8], [jx - width - 8, jy + 8]];
    const taken = [...[...this.drawn.labels.values()].map(({ whole }) => whole), ...this.drawn.flags.map(({ box }) => box)];
    const isFree = ([left, top]) => taken.every((box) => left > box.x + box.w || left + width < box.x || top > box.y + box.h || top + height < box.y);
    const [x, y] = spots.find(isFree) ?? spots[0];
    return [
      node("rect", { x, y, width, height, rx: 6, fill: SHEET, stroke: ACCENT, "stroke-width": 1.6 }, undefined, `tag ${id}`),
      node("text", { x: x + width / 2, y: y + height / 2 + size * 0.34, "text-anchor": "middle", "font-family": SERIF, "font-style": "italic", "font-size": size, "font-weight": 700, fill: ACCENT }, id, `name ${id}`),
    ];
  }

  #fault(name) {
    const way = routes(this.sketch).get(name);
    if (!way) return [];
    const [x, y] = way.symbol.at.map((n) => n * STEP);
    const box = this.#symbolBox(name);
    const [cx, cy] = box ? [box.x + box.width, box.y] : [x, y];
    return [
      ...this.#frame(name, BRICK),
      node("circle", { cx, cy, r: 10, fill: BRICK }),
      node("text", { x: cx, y: cy + 5, "text-anchor": "middle", "font-family": SANS, "font-size": 15, "font-weight": 700, fill: "#fff" }, "!"),
    ];
  }

  #jointName(joint) {
    const [x, y] = this.sketch.joints[joint].map((n) => n * STEP);
    return node("text", { x: x + 10, y: y - 9, "font-family": SANS, "font-size": 13, "font-weight": 600, fill: ACCENT, stroke: SHEET, "stroke-width": 3, "paint-order": "stroke" }, joint);
  }

  #hoverNodes(hover) {
    if (hover.joint) {
      const [cx, cy] = this.sketch.joints[hover.joint].map((n) => n * STEP);
      return [node("circle", { cx, cy, r: 9, fill: "none", stroke: ACCENT, "stroke-width": 1.6, "stroke-opacity": 0.7 })];
    }
    if (hover.on === "line") {
      const [cx, cy] = hover.spot.map((n) => n * STEP);
      return [node("circle", { cx, cy, r: 4, fill: ACCENT, "fill-opacity": 0.7 })];
    }
    return [];
  }

  /** A word or two on a conductor, beside its flag. */
  #callout({ conductor, joint, lines }) {
    const flag = this.drawn.flags.find((each) => each.conductor === conductor)?.box;
    const [jx, jy] = this.sketch.joints[joint].map((n) => n * STEP);
    const size = 13 * this.style.big;
    const [width, height] = [Math.max(...lines.map((line) => textWidth(line, `${size}px ${SANS}`))) + 20, lines.length * size * 1.4 + 12];
    const wanted = flag ? [flag.x + flag.w + 18, flag.y - 40] : [jx + 30, jy - 60];
    // Within the window, as far as it fits in.
    const seen = [this.place.clientWidth, this.place.clientHeight].map((n) => n / this.view.scale);
    const [x, y] = [this.view.x, this.view.y].map((n, axis) => {
      const low = 6 - n / this.view.scale;
      return Math.max(low, Math.min(wanted[axis], low + seen[axis] - 12 - [width, height][axis]));
    });
    const box = node("rect", { x, y, width, height, rx: 8, fill: SHEET, stroke: ACCENT, "stroke-width": 1.2 });
    const text = lines.map((line, index) => node("text", { x: x + 10, y: y + 18 + index * size * 1.4, "font-family": SANS, "font-size": size, fill: ACCENT }, line));
    return [box, ...text];
  }

  /** What a label or flag at a point (sheet units) shows: a value, a reading, a flag; else null. */
  written([x, y]) {
    const inside = (box) => x >= box.x && x <= box.x + box.w && y >= box.y && y <= box.y + box.h;
    for (const [part, boxes] of this.drawn.labels) {
      if (!inside({ x: boxes.whole.x - 4, y: boxes.whole.y - 2, w: boxes.whole.w + 8, h: boxes.whole.h + 4 })) continue;
      if (inside(boxes.value)) return { part, value: true };
      const reading = boxes.readings.find(({ box }) => inside(box));
      return reading ? { part, reading: reading.key } : { part };
    }
    const flag = this.drawn.flags.find(({ box }) => inside(box));
    return flag ? { conductor: flag.conductor } : null;
  }

  /** Pixels of the page → grid steps. @param {{clientX: number, clientY: number}} event @returns {[number, number]} */
  gridPoint(event) {
    const { left, top } = this.place.getBoundingClientRect();
    return this.view.toGrid(event.clientX - left, event.clientY - top);
  }
}

