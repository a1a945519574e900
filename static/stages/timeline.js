// The time line under the stages: the curves of chosen readings of the stage shown, and the moment that the whole sheet
// shows. In the end, where nothing is chosen, what is shown is the answer itself.

import { coverOf } from "../covering.js";
import { html, nameElement, need, svg, withSubscripts } from "../dom.js";
import { goToQuestions } from "../panel/times.js";
import { SHEET } from "../drawing/palette.js";
import { node, paint } from "../paint.js";
import { FIRST, CurveChoices, firstChosen } from "./curve_choices.js";
import { SAVED, saveCsv, saveSvg } from "./curve_files.js";
import { isDrawable, written } from "./curves.js";
import { Moments, withValuesBefore } from "./moment.js";
import { Playing, paceFor, paceText } from "./playing.js";
import { Plot, strokeOf } from "./plot.js";
import { arranged, atMoment, hasStages, shownStage } from "./sequence.js";

/** @typedef {import("./curves.js").Course} Course @typedef {import("./plot.js").Line} Line */

/** Time constants that the axis spans. */
const SPAN = 6;
const MARGIN = 0.001;
const UNITS = { voltage: "V", current: "A" };
const FIGURES = 3;

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
  /** The moment, in seconds after the start. */
  #time = Infinity;
  /** All moments of the course; null where it has none. @type {Moments|null} */
  #moments = null;
  /** Values that capacitors have until all has settled, where the stage changes them then. @type {Map<string, string>} */
  #before = new Map();
  #names = "";
  #open = true;
  /** The answer that the moments are of, and how it is looked at. @type {object|null} */
  #solution = null;
  #key = "";
  /** Whether the moment is being moved, by hand or playing. */
  #moving = false;
  /** Whether the moment is the one that the sketch was opened with. */
  #opened = true;
  /** What the readings in the end do not have yet: capacitors change after that. */
  #slow = "";
  /** The button that was pressed to play. @type {HTMLElement|null} */
  #player = null;

  /** @param {import("../desk.js").Desk} desk */
  constructor(desk) {
    this.desk = desk;
    this.banner = need("moment");
    this.banner.querySelector("button").addEventListener("click", () => this.#jump(Infinity));
    this.place = html("section", { class: "timeline", "aria-label": "Time line", hidden: true });
    this.playing = new Playing((time) => this.#move(time), () => this.#rest());
    // Arrows here go along the time line, not through the stages.
    this.place.addEventListener("keydown", (event) => /^(Arrow|Page)/.test(event.key) && event.stopPropagation());
    this.#build();
    new ResizeObserver(() => this.#draw()).observe(this.surface);
  }

  /** The page has changed: what is shown follows the stage, and the moment that the sketch has. */
  show() {
    const { sketch } = this.desk.doc;
    const { state, solution } = this.desk.solving;
    if (!solution) this.#opened = true;
    if (!hasStages(sketch) || state === "fault" || !solution) return this.#take(null, null);
    if (state === "asking") return;
    const another = !this.#moving && (sketch.moment ?? Infinity) !== this.#time;
    if (another) this.#time = sketch.moment ?? Infinity;
    const number = shownStage(sketch);
    const key = JSON.stringify([number, sketch.figures, sketch.covered]);
    if (solution !== this.#solution || key !== this.#key) this.#take(solution.stages?.[number]?.course ?? null, solution, key);
    else if (another) this.#turn();
  }

  /** @param {Course|null} course @param {object|null} solution the answer that it is of @param {string} [key] how it is looked at */
  #take(course, solution, key = "") {
    if (course) this.#findSlow();
    const same = key === this.#key && JSON.stringify(course) === JSON.stringify(this.#course);
    [this.#solution, this.#key] = [solution, key];
    this.#moments = course?.moment ? new Moments(solution, course, this.#writing, this.#slow !== "") : null;
    this.#set(this.#time);
    if (same) return;
    this.playing.halt();
    const another = this.#course?.timeConstants?.length !== course?.timeConstants?.length;
    this.#course = course;
    this.#all = [];
    this.place.hidden = course === null;
    if (course === null) return;
    if (course.reason) return this.#settle();
    const kinds = Object.keys(this.desk.kinds);
    const order = this.desk.doc.sketch.parts.filter(({ name }) => course.parts[name]).sort((a, b) => kinds.indexOf(a.kind) - kinds.indexOf(b.kind));
    this.#all = order.flatMap(({ name }, dash) =>
      Object.keys(UNITS)
        .filter((quantity) => course.parts[name][quantity] && isDrawable(course.parts[name][quantity], course.timeConstants))
        .map((quantity) => ({ key: `${name}.${quantity}`, name, quantity, unit: UNITS[quantity], dash, curve: course.parts[name][quantity] })),
    );
    const names = [...new Set(this.#all.map(({ name }) => name))].join(" ");
    if (names !== this.#names) this.#chosen.clear();
    this.#names = names;
    if (another) this.#longest = null;
    this.#settle();
  }

  get #writing() {
    return { figures: this.desk.doc.sketch.figures ?? FIGURES, prefixes: this.desk.table.prefixes };
  }

  /** Capacitors that the stage changes have their old values until all has settled. */
  #findSlow() {
    const { sketch } = this.desk.doc;
    const here = shownStage(sketch);
    const old = here > 0 ? arranged(sketch, here - 1) : [];
    const changed = old.filter(({ name, kind }) => kind === "capacitor" && Object.hasOwn(sketch.stages[here].set ?? {}, name));
    this.#before = new Map(changed.map(({ name, value }) => [name, value]));
    this.#slow = changed.length ? `, before ${changed.map(({ name }) => name).join(" and ")} ${changed.length > 1 ? "change" : "changes"}` : "";
  }

  /** The sheet shows this moment from the next painting on. @param {number} time */
  #set(time) {
    this.#time = time;
    const moments = this.#moments;
    const shows = moments !== null && time !== Infinity;
    this.desk.moment = shows ? moments.at(time, this.#when(time)) : (moments?.end ?? null);
    if (shows) withValuesBefore(this.desk.moment, this.#before);
    this.banner.hidden = !shows;
    if (shows) this.banner.firstElementChild.textContent = `${this.#when(time)}${this.#slow}`;
  }

  /** "at 15.0 ms" */
  #when(time) {
    return time === Infinity ? `in the end${this.#slow}` : time === 0 ? "just after the start" : `at ${written(time, "s", this.#writing)}`;
  }

  /** The sketch has another moment, as after undoing. */
  #turn() {
    this.#opened = false;
    this.#set(this.#time);
    this.#paint();
    this.#rest();
  }

  /** What is chosen or open has changed. */
  #settle() {
    const drawable = !this.#course.reason && this.#all.length > 0;
    for (const element of [...this.tools, this.body]) element.hidden = !this.#open || !drawable;
    this.toggle.setAttribute("aria-expanded", String(this.#open));
    this.sentence.hidden = !this.#open || drawable;
    if (!drawable) this.sentence.replaceChildren(...this.#withoutCurves());
    else {
      this.#fillSpans();
      this.choices.fill(this.#all, this.#isChosen);
      this.#draw();
      this.#rest();
    }
  }

  /** Where symbols stand for numbers: the time constant, and where readings begin and end. */
  #withoutCurves() {
    if (this.#course.reason) return [this.#course.reason];
    const { timeTexts, parts } = this.#course;
    const ends = this.desk.doc.sketch.parts.filter(({ kind, name }) => kind === "capacitor" && parts[name]).slice(0, FIRST);
    const pieces = [`τ = ${withSubscripts(timeTexts[0])}. A curve needs a number for each symbol.`];
    for (const { name } of ends) pieces.push(" ", nameElement(name), ` goes from ${withSubscripts(parts[name].voltage.first.text)} to ${withSubscripts(parts[name].voltage.final.text)}.`);
    return pieces;
  }

  #isChosen = ({ key }) => this.#chosen.get(key) ?? this.#first.has(key);

  get #first() {
    return firstChosen(this.#all, this.desk.doc.sketch.parts);
  }

  /** The curves that are drawn: what is covered is not given away. */
  get #lines() {
    const covered = coverOf(this.desk.doc.sketch);
    return this.#all.filter((line) => this.#isChosen(line) && !covered(line.key));
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
    const to = (where) => () => this.lead(where);
    this.spans = /** @type {HTMLSelectElement} */ (html("select", { "aria-label": "The axis spans six of" }));
    this.spans.addEventListener("change", () => {
      this.#longest = Number(this.spans.value);
      this.#settle();
    });
    this.eye = button("", null, () => this.#play(this.eye));
    this.real = button("Play in real time", null, () => this.#play(this.real));
    this.choices = new CurveChoices((key, wanted) => {
      this.#chosen.set(key, wanted);
      this.#settle();
    });
    const jumps = html("span", { class: "time-jumps", role: "group", "aria-label": "Moments" },
      button("0⁺", "0⁺: just after the start", to("start")),
      button("τ", "τ: after one time constant", to("constant")),
      button("5τ", "5τ: after five time constants", to("five")),
      button("end", "end: when all has settled", to("end")));
    const files = html("span", { class: "time-files", role: "group", "aria-label": "Curves as a file" }, button("CSV", "CSV: the curves as numbers", () => saveCsv(this.desk, this.#plot)), button("SVG", "SVG: the curves as a picture", () => saveSvg(this.desk, this.#plotOf(SAVED.width, SAVED.height, SAVED.size))));
    this.tools = [this.spans, jumps, this.eye, this.real, button("When does it reach …?", null, goToQuestions), this.choices.button, files];
    this.surface = /** @type {HTMLElement} */ (html("div", { class: "time-plot", role: "slider", tabindex: "0", "aria-label": "Moment", "aria-valuemin": "0", "aria-valuemax": "100", "aria-orientation": "horizontal" }));
    this.picture = svg("svg", { "aria-hidden": "true", focusable: "false" });
    this.surface.append(this.picture);
    this.values = html("ul", { class: "time-values", role: "list", "aria-label": "Readings at the moment" });
    this.now = html("p", { class: "time-now" });
    this.body = html("div", { class: "time-body" }, this.surface, html("div", { class: "time-read" }, this.now, this.values));
    this.sentence = html("p", { class: "quiet", hidden: true });
    this.place.append(html("div", { class: "time-bar" }, this.toggle, ...this.tools, this.choices.list), this.body, this.sentence);
    this.#listen();
  }

  #listen() {
    const { surface } = this;
    let left = 0;
    const follow = (event) => {
      this.playing.halt();
      this.#move(this.#plot.timeAt(event.clientX - left));
    };
    surface.addEventListener("pointerdown", (event) => {
      if (event.button !== 0) return;
      surface.setPointerCapture(event.pointerId);
      ({ left } = surface.getBoundingClientRect());
      follow(event);
    });
    surface.addEventListener("pointermove", (event) => surface.hasPointerCapture(event.pointerId) && follow(event));
    for (const type of ["pointerup", "pointercancel"]) surface.addEventListener(type, () => this.#rest());
    surface.addEventListener("keydown", (event) => this.#pressed(event));
  }

  #pressed(event) {
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
    this.choices.open(false);
    this.#settle();
  }

  #jump(time) {
    this.playing.halt();
    this.#move(time);
    this.#rest();
    this.desk.announce(this.#told());
  }

  /** Leads to one of the marked moments, as its button does. @param {"start"|"constant"|"five"|"end"} where */
  lead(where) {
    if (this.place.hidden || !this.#all.length) return;
    const own = this.#course.timeConstants[this.#constant];
    this.#jump({ start: 0, constant: own, five: 5 * own, end: Infinity }[where]);
  }

  /** Plays the stage for the eye, or pauses it. */
  play() {
    if (!this.place.hidden && this.#open && this.#plot && this.#all.length) this.#play(this.eye);
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
    this.playing.begin(this.#opened || this.#time >= span ? 0 : this.#time, span, player === this.real ? 1 : this.#pace);
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
    this.#paint();
  }

  #plotOf(width, height, size) {
    const { timeConstants, timeTexts } = this.#course;
    const longest = this.#constant;
    const writing = this.#writing;
    return new Plot({ lines: this.#lines, constants: timeConstants, timeTexts, longest, span: SPAN * timeConstants[longest], width, height, size, writing });
  }

  /** Another moment: the sheet, the ledger and the tiles show it. @param {number} time */
  #move(time) {
    this.#moving = true;
    this.#opened = false;
    document.body.classList.add("moving");
    this.#set(time);
    this.#paint();
    if (this.#moments) this.desk.followMoment();
  }

  /** The cursor, and what is read at it. */
  #paint() {
    if (!this.#plot || !this.cursor) return;
    const time = this.#time;
    const { x, dots } = this.#plot.cursor(time);
    this.cursor.line.setAttribute("transform", `translate(${x} 0)`);
    dots.forEach(({ x: across, y }, index) => this.cursor.dots[index].setAttribute("transform", `translate(${across} ${y})`));
    this.#plot.texts(time).forEach((text, index) => {
      if (this.readings[index].textContent !== text) this.readings[index].textContent = text;
    });
    this.now.textContent = time === Infinity ? this.#when(time) : `t = ${this.#plot.timeText(time)}`;
  }

  /** The moment stays for now: it is told to screen readers, and is part of the sketch. */
  #rest() {
    this.#moving = false;
    document.body.classList.remove("moving");
    if (!this.#plot || !this.#course || !this.#all.length) return;
    this.#label();
    this.surface.setAttribute("aria-valuenow", String(Math.round(100 * Math.min(1, this.#time / this.#plot.span))));
    this.surface.setAttribute("aria-valuetext", this.#told());
    const { doc } = this.desk;
    const moment = this.#time === Infinity ? null : this.#time;
    // A gesture that is not over would be dropped by it.
    if (this.#moments && (doc.sketch.moment ?? null) !== moment && doc.settled === doc.sketch) doc.turn(atMoment(doc.sketch, moment));
  }

  /** "at 15.0 ms: C1 5.69 V, R1 current 2.21 mA" */
  #told() {
    if (!this.#plot) return this.#when(this.#time);
    const { lines } = this.#plot;
    const readings = this.#plot.texts(this.#time).map((text, index) => `${lines[index].name} ${lines[index].quantity === "current" ? "current " : ""}${text}`);
    return `${this.#when(this.#time)}: ${readings.join(", ") || "no curve is shown"}`;
  }
}
