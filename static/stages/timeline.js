// The time line under the stages: the curves of chosen readings of the stage shown, and a moment to read them at.

import { html, nameElement, svg, withSubscripts } from "../dom.js";
import { download, drawn, fileName, fileText } from "../exporting.js";
import { SHEET } from "../drawing/palette.js";
import { node, paint } from "../paint.js";
import { curvesCsv, isDrawable, raised } from "./curves.js";
import { Playing, paceFor } from "./playing.js";
import { Plot, strokeOf } from "./plot.js";
import { hasStages, shownStage } from "./sequence.js";

/** @typedef {import("./curves.js").Course} Course @typedef {import("./plot.js").Line} Line */

/** Time constants that the axis spans, and curves that are drawn before anything is chosen. */
const [SPAN, FIRST] = [6, 6];
const MARGIN = 0.001;
const SAVED = { width: 760, height: 340 };
const UNITS = { voltage: "V", current: "A" };
const FIGURES = 3;

/** "100 times slower", "2 × 10⁶ times faster". */
function paceText(pace) {
  if (pace === 1) return "in real time";
  const size = pace < 1 ? 1 / pace : pace;
  const power = Math.floor(Math.log10(size) + 1e-9);
  const number = power < 4 ? String(Math.round(size * 10) / 10) : `${Math.round((size / 10 ** power) * 10) / 10} × 10${raised(power)}`;
  return `${number} times ${pace < 1 ? "faster" : "slower"}`;
}

export class Timeline {
  /** @type {Course|null} */
  #course = null;
  /** @type {Line[]} */
  #all = [];
  /** @type {Plot|null} */
  #plot = null;
  /** Choices that differ from what is drawn at first. @type {Map<string, boolean>} */
  #chosen = new Map();
  /** Place of the time constant that the axis is made for; null where the curves say which. @type {number|null} */
  #longest = null;
  #time = 0;
  #names = "";
  #open = true;
  #what = "";
  /** What the readings in the end do not have yet: capacitors change after that. */
  #slow = "";
  /** The button that was pressed to play. @type {HTMLElement|null} */
  #player = null;

  /** @param {import("../desk.js").Desk} desk */
  constructor(desk) {
    this.desk = desk;
    this.place = html("section", { class: "timeline", "aria-label": "Time line", hidden: true });
    this.playing = new Playing((time) => this.#move(time), () => this.#rest());
    // Arrows here go along the time line, not through the stages.
    this.place.addEventListener("keydown", (event) => /^(Arrow|Page)/.test(event.key) && event.stopPropagation());
    this.#build();
    new ResizeObserver(() => this.#draw()).observe(this.surface);
  }

  /** The page has changed: what is shown follows the stage. */
  show() {
    const { sketch } = this.desk.doc;
    const { state, solution } = this.desk.solving;
    if (!hasStages(sketch) || sketch.covered?.length || state === "fault") return this.#take(null, "");
    if (state === "asking") return;
    const number = shownStage(sketch);
    const course = solution?.stages?.[number]?.course ?? null;
    this.#take(course, JSON.stringify([number, sketch.figures, sketch.stages[number].set, course]));
  }

  /** @param {Course|null} course */
  #take(course, what) {
    if (what === this.#what) return;
    const another = JSON.stringify(this.#course?.timeConstants) !== JSON.stringify(course?.timeConstants);
    this.#what = what;
    this.#course = course;
    this.playing.halt();
    this.place.hidden = course === null;
    if (course === null) return;
    const order = this.desk.doc.sketch.parts.filter(({ name }) => course.parts[name]);
    this.#all = order.flatMap(({ name }, dash) =>
      Object.keys(UNITS)
        .filter((quantity) => course.parts[name][quantity] && isDrawable(course.parts[name][quantity], course.timeConstants))
        .map((quantity) => ({ key: `${name}.${quantity}`, name, quantity, unit: UNITS[quantity], dash, curve: course.parts[name][quantity] })),
    );
    const names = [...new Set(this.#all.map(({ name }) => name))].join(" ");
    if (names !== this.#names) this.#chosen.clear();
    this.#names = names;
    if (another) [this.#time, this.#longest] = [0, null];
    const { parts, stages } = this.desk.doc.sketch;
    const here = shownStage(this.desk.doc.sketch);
    const changed = here > 0 ? parts.filter(({ name, kind }) => kind === "capacitor" && Object.hasOwn(stages[here].set ?? {}, name)) : [];
    this.#slow = changed.length ? `, before ${changed.map(({ name }) => name).join(" and ")} ${changed.length > 1 ? "change" : "changes"}` : "";
    this.#settle();
  }

  /** What is chosen or open has changed. */
  #settle() {
    const drawable = this.#all.length > 0;
    for (const element of [...this.tools, this.body]) element.hidden = !this.#open || !drawable;
    this.toggle.setAttribute("aria-expanded", String(this.#open));
    this.sentence.hidden = !this.#open || drawable;
    if (!drawable) this.sentence.replaceChildren(...this.#withoutCurves());
    else {
      this.#fillSpans();
      this.#fillChoices();
      this.#draw();
      this.#rest();
    }
  }

  /** Where symbols stand for numbers: the time constant, and where readings begin and end. */
  #withoutCurves() {
    const { timeTexts, parts } = this.#course;
    const ends = this.desk.doc.sketch.parts.filter(({ kind, name }) => kind === "capacitor" && parts[name]).slice(0, FIRST);
    const pieces = [`τ = ${withSubscripts(timeTexts[0])}. A curve needs a number for each symbol.`];
    for (const { name } of ends) pieces.push(" ", nameElement(name), ` goes from ${withSubscripts(parts[name].voltage.first.text)} to ${withSubscripts(parts[name].voltage.final.text)}.`);
    return pieces;
  }

  #isChosen = ({ key }) => this.#chosen.get(key) ?? this.#first.has(key);

  /** What is drawn before anything is chosen: the capacitors' voltages. */
  get #first() {
    const kinds = new Map(this.desk.doc.sketch.parts.map(({ name, kind }) => [name, kind]));
    const own = this.#all.filter(({ name, quantity }) => quantity === "voltage" && kinds.get(name) === "capacitor");
    return new Set((own.length ? own : this.#all).slice(0, FIRST).map(({ key }) => key));
  }

  get #lines() {
    return this.#all.filter(this.#isChosen);
  }

  /** The time constant that the axis is for: the longest that shows in a chosen curve. */
  get #constant() {
    if (this.#longest !== null) return this.#longest;
    const shows = (place) => this.#lines.some(({ curve: { amplitudes } }) => Math.abs(amplitudes[place]) > MARGIN * Math.max(...amplitudes.map(Math.abs)));
    return Math.max(this.#course.timeConstants.findIndex((_, place) => shows(place)), 0);
  }

  #build() {
    const button = (label, name, act, more = {}) => html("button", { type: "button", class: "edged", "aria-label": name, onclick: act, ...more }, label);
    this.toggle = html("button", { type: "button", class: "time-toggle", "aria-expanded": "true", onclick: () => this.#toggle() }, "Time");
    const own = () => this.#course.timeConstants[this.#constant];
    const to = (time) => () => this.#jump(time());
    this.spans = /** @type {HTMLSelectElement} */ (html("select", { "aria-label": "The axis spans six of" }));
    this.spans.addEventListener("change", () => {
      [this.#longest, this.#time] = [Number(this.spans.value), 0];
      this.#settle();
    });
    this.eye = button("", null, () => this.#play(this.eye));
    this.real = button("Play in real time", null, () => this.#play(this.real));
    this.choices = html("div", { id: "time-choices", class: "choices time-choices", role: "group", "aria-label": "Curves", hidden: true });
    this.choose = button("Curves", null, () => this.#openChoices(this.choices.hidden), { "aria-expanded": "false", "aria-controls": "time-choices" });
    this.choices.addEventListener("keydown", (event) => {
      if (event.key !== "Escape") return;
      this.#openChoices(false);
      this.choose.focus();
    });
    this.place.addEventListener("focusout", ({ relatedTarget }) => {
      if (relatedTarget instanceof Node && !this.choices.contains(relatedTarget) && relatedTarget !== this.choose) this.#openChoices(false);
    });
    const jumps = html("span", { class: "time-jumps", role: "group", "aria-label": "Moments" },
      button("0⁺", "0⁺: just after the start", to(() => 0)),
      button("τ", "τ: after one time constant", to(own)),
      button("5τ", "5τ: after five time constants", to(() => 5 * own())),
      button("end", "end: when all has settled", to(() => Infinity)));
    const files = html("span", { class: "time-files", role: "group", "aria-label": "Curves as a file" }, button("CSV", "CSV: the curves as numbers", () => this.#saveCsv()), button("SVG", "SVG: the curves as a picture", () => this.#saveSvg()));
    this.tools = [this.spans, jumps, this.eye, this.real, this.choose, files];
    this.surface = /** @type {HTMLElement} */ (html("div", { class: "time-plot", role: "slider", tabindex: "0", "aria-label": "Moment", "aria-valuemin": "0", "aria-valuemax": "100", "aria-orientation": "horizontal" }));
    this.picture = svg("svg", { "aria-hidden": "true", focusable: "false" });
    this.surface.append(this.picture);
    this.values = html("ul", { class: "time-values", role: "list", "aria-label": "Readings at the moment" });
    this.now = html("p", { class: "time-now" });
    this.body = html("div", { class: "time-body" }, this.surface, html("div", { class: "time-read" }, this.now, this.values));
    this.sentence = html("p", { class: "quiet", hidden: true });
    this.place.append(html("div", { class: "time-bar" }, this.toggle, ...this.tools, this.choices), this.body, this.sentence);
    this.#listen();
  }

  #listen() {
    const { surface } = this;
    const follow = (event) => {
      this.playing.halt();
      this.#move(this.#plot.timeAt(event.clientX - surface.getBoundingClientRect().left));
    };
    surface.addEventListener("pointerdown", (event) => {
      if (event.button !== 0) return;
      surface.setPointerCapture(event.pointerId);
      follow(event);
    });
    surface.addEventListener("pointermove", (event) => surface.hasPointerCapture(event.pointerId) && follow(event));
    for (const type of ["pointerup", "pointercancel"]) surface.addEventListener(type, () => this.#rest());
    surface.addEventListener("keydown", (event) => this.#key(event));
  }

  #key(event) {
    if (event.ctrlKey || event.metaKey || event.altKey) return;
    const { span } = this.#plot;
    const own = this.#course.timeConstants[this.#constant];
    const by = (step) => {
      const from = this.#time === Infinity ? (step < 0 ? span - step : span) : this.#time;
      // In whole steps, so that as many back lead to the very moment.
      const to = Math.round((from + step) / Math.abs(step)) * Math.abs(step);
      return to > span * (1 + 1e-9) || this.#time === Infinity && step > 0 ? Infinity : Math.max(0, to);
    };
    const small = (event.shiftKey ? 5 : 1) * own * 0.1;
    const moves = {
      ArrowRight: () => by(small), ArrowUp: () => by(small), ArrowLeft: () => by(-small), ArrowDown: () => by(-small),
      PageUp: () => by(own), PageDown: () => by(-own), Home: () => 0, End: () => Infinity, 0: () => 0, 1: () => own, 5: () => 5 * own,
    };
    if (event.key === " ") this.#play(this.eye);
    else if (Object.hasOwn(moves, event.key)) {
      this.playing.halt();
      this.#move(moves[event.key]());
      this.#rest();
    } else return;
    event.preventDefault();
    event.stopPropagation();
  }

  #toggle() {
    this.#open = !this.#open;
    this.playing.halt();
    this.#openChoices(false);
    this.#settle();
  }

  #openChoices(open) {
    this.choices.hidden = !open;
    this.choose.setAttribute("aria-expanded", String(open));
  }

  #jump(time) {
    this.playing.halt();
    this.#move(time);
    this.#rest();
    this.desk.announce(this.#told());
  }

  get #pace() {
    return paceFor(this.#course.timeConstants[this.#constant]);
  }

  /** A button that plays is pressed: the one that was pressed before halts. @param {HTMLElement} player */
  #play(player) {
    const halts = this.playing.on && this.#player === player;
    this.playing.halt();
    if (halts) return;
    const { span } = this.#plot;
    this.#player = player;
    this.playing.begin(this.#time >= span ? 0 : this.#time, span, player === this.real ? 1 : this.#pace);
    this.#label();
  }

  /** The buttons that play say what they will do. */
  #label() {
    const halts = (player) => this.playing.on && this.#player === player;
    this.eye.textContent = halts(this.eye) ? "Pause" : `Play ${paceText(this.#pace)}`;
    this.real.textContent = halts(this.real) ? "Pause" : "Play in real time";
    this.real.hidden = !this.#open || this.#pace === 1;
  }

  #fillSpans() {
    const { timeConstants, timeTexts } = this.#course;
    this.spans.replaceChildren(...timeConstants.map((_, place) => html("option", { value: place }, `6 × ${timeTexts[place]}`)));
    this.spans.value = String(this.#constant);
    this.spans.hidden = !this.#open || timeConstants.length < 2;
  }

  #fillChoices() {
    const keys = this.#all.map(({ key }) => key).join(" ");
    if (this.choices.dataset.keys === keys) return;
    this.choices.dataset.keys = keys;
    const boxes = this.#all.map((line) => {
      const box = /** @type {HTMLInputElement} */ (html("input", { type: "checkbox" }));
      box.checked = this.#isChosen(line);
      box.addEventListener("change", () => {
        this.#chosen.set(line.key, box.checked);
        this.#settle();
      });
      return html("label", {}, box, html("span", {}, nameElement(line.name), ` ${line.quantity}`));
    });
    this.choices.replaceChildren(...boxes);
  }

  #draw() {
    if (!this.#course || !this.#open || !this.#all.length || this.place.hidden) return;
    const { width, height } = this.surface.getBoundingClientRect();
    if (!width) return;
    const size = 0.69 * parseFloat(getComputedStyle(document.documentElement).fontSize);
    this.#plot = this.#plotOf(width, height, size);
    for (const [name, value] of Object.entries({ width, height, viewBox: `0 0 ${width} ${height}` })) this.picture.setAttribute(name, String(value));
    const { lines, top, bottom } = this.#plot;
    const dots = lines.map((line) => node("circle", { r: 3.4, fill: SHEET, stroke: strokeOf(line).stroke, "stroke-width": 1.8 }, []));
    paint(this.picture, [node("g", {}, this.#plot.nodes(), "still"), node("g", {}, [node("path", { d: `M0 ${top - 3}L0 ${bottom}`, stroke: "#1d2b3a", "stroke-width": 1.4 }), ...dots], "cursor")]);
    const cursor = /** @type {SVGElement} */ (this.picture.lastChild);
    this.cursor = { line: /** @type {Element} */ (cursor.firstChild), dots: [...cursor.children].slice(1) };
    this.values.replaceChildren(...lines.map((line) => html("li", {}, svg("svg", { width: 26, height: 8, "aria-hidden": "true" }, svg("path", { ...strokeOf(line), d: "M0 4H26" })), html("span", {}, nameElement(line.name), line.quantity === "current" ? " current" : ""), html("b", {}))));
    this.readings = [...this.values.querySelectorAll("b")];
    const read = this.values.parentElement;
    read.toggleAttribute("tabindex", false);
    if (read.scrollHeight > read.clientHeight) read.tabIndex = 0;
    this.#move(this.#time);
  }

  #plotOf(width, height, size) {
    const { timeConstants, timeTexts } = this.#course;
    const longest = this.#constant;
    const writing = { figures: this.desk.doc.sketch.figures ?? FIGURES, prefixes: this.desk.table.prefixes };
    return new Plot({ lines: this.#lines, constants: timeConstants, timeTexts, longest, span: SPAN * timeConstants[longest], width, height, size, writing });
  }

  /** Another moment: only the cursor and what is read at it are painted. @param {number} time */
  #move(time) {
    this.#time = time;
    const { x, dots } = this.#plot.cursor(time);
    this.cursor.line.setAttribute("transform", `translate(${x} 0)`);
    dots.forEach(({ x: across, y }, index) => this.cursor.dots[index].setAttribute("transform", `translate(${across} ${y})`));
    this.#plot.texts(time).forEach((text, index) => {
      if (this.readings[index].textContent !== text) this.readings[index].textContent = text;
    });
    this.now.textContent = time === Infinity ? `in the end${this.#slow}` : `t = ${this.#plot.timeText(time)}`;
  }

  /** The moment stays for now: it is told to screen readers. */
  #rest() {
    if (!this.#plot || !this.#course) return;
    this.#label();
    this.surface.setAttribute("aria-valuenow", String(Math.round(100 * Math.min(1, this.#time / this.#plot.span))));
    this.surface.setAttribute("aria-valuetext", this.#told());
  }

  /** "at 15.0 ms: C1 5.69 V, R1 current 2.21 mA" */
  #told() {
    const { lines } = this.#plot;
    const readings = this.#plot.texts(this.#time).map((text, index) => `${lines[index].name} ${lines[index].quantity === "current" ? "current " : ""}${text}`);
    const when = this.#time === Infinity ? `in the end${this.#slow}` : this.#time === 0 ? "just after the start" : `at ${this.#plot.timeText(this.#time)}`;
    return `${when}: ${readings.join(", ") || "no curve is chosen"}`;
  }

  get #title() {
    const { sketch } = this.desk.doc;
    const number = shownStage(sketch);
    return [sketch.title, sketch.stages[number].name || `Stage ${number + 1}`].filter(Boolean).join(", ");
  }

  #saveCsv() {
    const { timeConstants } = this.#course;
    this.#save(curvesCsv(this.#lines, timeConstants, this.#plot.span), "text/csv", "csv");
  }

  #saveSvg() {
    const { width, height } = SAVED;
    const nodes = this.#plotOf(width, height, 12).nodes();
    const picture = svg("svg", { viewBox: `0 0 ${width} ${height}`, width, height, role: "img" }, svg("title", {}, this.#title), svg("rect", { width, height, fill: SHEET }), ...nodes.map(drawn));
    this.#save(fileText(picture), "image/svg+xml", "svg");
  }

  #save(text, type, ending) {
    const name = fileName(this.#title, ending);
    download(new Blob([text], { type }), name);
    this.desk.announce(`Saved as ${name}`);
  }
}
