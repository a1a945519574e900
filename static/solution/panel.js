// The worked solution beside the sheet, a step at a time. What it speaks of is lit on the sheet.

import { html, set } from "../dom.js";
import { allAsLatex, allAsText, stepAsLatex, stepAsText } from "./copies.js";
import { copyMenu } from "./copy_menu.js";
import { fitFormulas } from "./formula.js";
import { listenToStepKeys } from "./keys.js";
import { NetworkNames } from "./network_names.js";
import { questionOf } from "./question.js";
import { StepView } from "./step_view.js";
import { Walk } from "./walk.js";
import { withNames } from "./words.js";

/** @typedef {import("./step_view.js").Step} Step */
/** @typedef {{way: string, ways: {way: string, title: string}[], opening: string, closing: string, steps: Step[]}} Worked */

/** Pixels that stay free above and below a step that is brought into sight. */
const MARGIN = 8;
const NO_LIGHT = { parts: new Set(), conductors: new Set(), named: new Set() };

/** Those of some conductors that a step calls by name, in its words or as an index in its formulas. @param {Step} step @param {string[]} conductors */
function conductorsNamedIn({ title, reason, lines }, conductors) {
  const words = new Set([title, reason, ...lines.map((line) => line.text)].join(" ").split(/[^\p{L}\p{N}]+/u));
  return new Set(conductors.filter((name) => words.has(name)));
}

export class SolutionPanel {
  /** @type {Walk} */
  #walk = new Walk();
  /** The worked solution that is shown; null until there is one. @type {Worked|null} */
  #worked = null;
  /** @type {NetworkNames} */
  #names = new NetworkNames({ joints: {}, parts: [] }, []);
  /** @type {{key: string, view: StepView}[]} */
  #shown = [];
  /** A step other than the last that is pointed at; 0 where there is none. */
  #pointed = 0;
  /** Whether somebody has chosen to be asked first, or not to. @type {boolean|null} */
  #choice = null;
  /** The ways that can be chosen, as JSON. */
  #ways = "";
  #desk;
  #look;
  #button;
  #aside;
  #changed;

  /**
   * @param {{place: HTMLElement, button: HTMLElement, aside: HTMLElement, desk: import("../desk.js").Desk, look: import("../look.js").Look, changed: () => void}} parts
   *   `aside` gives way while the panel is open; `changed` is called when what is lit or worked out has changed
   */
  constructor({ place, button, aside, desk, look, changed }) {
    [this.place, this.#button, this.#aside, this.#desk, this.#look, this.#changed] = [place, button, aside, desk, look, changed];
    this.isOpen = false;
    this.#build();
    listenToStepKeys(this);
    new ResizeObserver(() => this.#fit()).observe(this.list);
  }

  #build() {
    this.way = html("select", { "aria-label": "Way to the solution", onchange: () => this.#desk.solving.take(this.way.value) });
    this.predict = html("input", { type: "checkbox", onchange: () => this.#choose(this.predict.checked) });
    const asking = html("label", { title: "Each step asks first; then it is shown" }, this.predict, " Predict first");
    const close = html("button", { type: "button", class: "edged", onclick: () => this.close() }, "Close");
    const head = html("div", { class: "head" }, html("h2", {}, "Worked solution"), this.way, asking, close);
    this.told = html("div", { class: "told", role: "status" });
    this.opening = html("p", { class: "opening" });
    this.steps = html("ol", { class: "steps", role: "list" });
    this.closing = html("p", { class: "quiet closing" });
    this.list = html("div", { class: "list", tabindex: "0", role: "group", "aria-label": "Steps" }, this.told, this.opening, this.steps, this.closing);
    this.back = html("button", { type: "button", class: "edged", onclick: () => this.step("back") }, "Back");
    this.next = html("button", { type: "button", class: "main", onclick: () => this.step("forward") }, "Next");
    this.all = html("button", { type: "button", class: "edged", onclick: () => this.step("toEnd") }, "All");
    this.count = html("p", { class: "quiet" });
    this.copies = copyMenu({ texts: () => this.#texts(), announce: (text) => this.#desk.announce(text) });
    this.foot = html("div", { class: "foot" }, this.back, this.next, this.all, this.count, this.copies.element);
    this.place.replaceChildren(head, this.list, this.foot);
    this.steps.addEventListener("pointerover", (event) => this.#point(event.target));
    this.steps.addEventListener("pointerleave", () => this.#point(null));
    // What is selected in here is copied as it stands, not what is selected on the sheet.
    this.place.addEventListener("copy", (event) => event.stopPropagation());
  }

  toggle() {
    if (this.isOpen) this.close();
    else this.open();
  }

  open() {
    this.#arrange(true);
    this.#desk.solving.include("steps", true);
    this.#desk.solving.renew();
    this.show();
    this.list.focus({ preventScroll: true });
    if (!this.#scrollsItself) this.place.scrollIntoView({ block: "start" });
  }

  close() {
    const focused = this.place.contains(document.activeElement);
    this.copies.close();
    // What is covered again must not be left on the page, not even unseen.
    for (const { view } of this.#shown.splice(0)) view.element.remove();
    this.#arrange(false);
    this.#desk.solving.include("steps", false);
    this.#desk.solving.renew();
    this.#desk.announce("Worked solution closed");
    if (focused) this.#button.focus();
  }

  /** Another sketch altogether is on the sheet: its solution begins with the opening. */
  begin() {
    [this.#walk, this.#choice, this.#pointed] = [new Walk(), null, 0];
  }

  #arrange(open) {
    this.isOpen = open;
    this.place.hidden = !open;
    this.#aside.hidden = open;
    document.body.classList.toggle("explaining", open);
    set(this.#button, { "aria-expanded": String(open) });
    if (!this.#desk.viewMoved) this.#desk.fit();
    this.#changed();
  }

  /** What stands out on the sheet: what the step at hand, or the one pointed at, speaks of. @returns {import("./lighting.js").Light} */
  get light() {
    const step = this.isOpen ? this.#worked?.steps[(this.#pointed || this.#walk.at) - 1] : undefined;
    return step ? { parts: this.#names.onSheet(step.parts), conductors: new Set(step.conductors), named: conductorsNamedIn(step, Object.keys(this.#desk.solving.solution?.conductors ?? {})) } : NO_LIGHT;
  }

  /** Which readings are covered on the sheet: no longer those that have been worked out here. @param {(key: string) => boolean} isCovered */
  coverOf(isCovered) {
    if (!this.isOpen || !this.#worked) return isCovered;
    // At the end everything has been told, also what no step arrives at by itself, such as a potential.
    if (this.#walk.count > 0 && this.#walk.atEnd) return () => false;
    const told = this.#worked.steps.slice(0, this.#walk.at).filter((_, index) => this.#walk.tells(index + 1));
    const worked = new Set(told.flatMap((step) => Object.keys(step.readings)));
    return (key) => isCovered(key) && !worked.has(key);
  }

  get #covers() {
    return (this.#desk.doc.sketch.covered?.length ?? 0) > 0;
  }

  /** A choice of whoever is in front of the class. @param {boolean} asks */
  #choose(asks) {
    this.#choice = asks;
    this.#walk.ask(asks);
    this.show();
    this.#changed();
  }

  /** There is news: of the sheet, of the readings, of how the page is looked at. */
  show() {
    if (!this.isOpen) return;
    const { solving } = this.#desk;
    const worked = solving.state === "fault" ? null : (solving.solution?.steps ?? null);
    const stale = solving.state === "away" || (solving.late && worked !== null);
    if (worked !== this.#worked) this.#take(worked);
    this.#walk.ask(this.#choice ?? this.#covers);
    this.predict.checked = this.#walk.asks;
    this.#tell(solving, stale);
    this.place.classList.toggle("stale", stale);
    this.place.classList.toggle("waiting", !worked && solving.state === "asking");
    this.list.setAttribute("aria-busy", String(solving.state === "asking"));
    this.#paint();
  }

  /** @param {Worked|null} worked */
  #take(worked) {
    this.#worked = worked;
    if (!worked) return;
    this.#names = new NetworkNames(this.#desk.doc.sketch, worked.steps);
    this.#walk.follow(worked.steps.length);
    const ways = JSON.stringify(worked.ways);
    if (ways !== this.#ways) this.way.replaceChildren(...worked.ways.map(({ way, title }) => html("option", { value: way }, title)));
    this.#ways = ways;
    this.way.value = worked.way;
    this.way.hidden = worked.ways.length < 2;
  }

  /** What has to be said before the steps: what is wrong, what is out of date, that readings are covered. */
  #tell(solving, stale) {
    const notes = [];
    if (solving.state === "fault") {
      notes.push(html("p", { class: "stale-note" }, "The network cannot be worked out as it stands."));
      notes.push(html("ul", { class: "faults", role: "list" }, ...solving.faults.map((fault) => html("li", {}, html("button", { type: "button", onclick: () => this.#desk.doc.select(fault.parts) }, fault.text)))));
    } else if (!this.#worked && solving.state === "away") notes.push(html("p", { class: "quiet" }, "The server is away: the steps cannot be worked out just now."));
    // What takes no longer than a blink needs no word.
    else if (!this.#worked) notes.push(...(solving.late ? [html("p", { class: "quiet" }, "Working it out…")] : []));
    else if (stale) notes.push(html("p", { class: "stale-note" }, solving.state === "away" ? "The server is away: these steps are out of date." : "The steps are being worked out anew; these are out of date."));
    else if (this.#covers && this.#walk.asks) notes.push(html("p", { class: "quiet" }, "Readings are covered. Each step asks first, then shows what it comes to: here, and on the sheet."));
    else if (this.#walk.asks) notes.push(html("p", { class: "quiet" }, "The readings still stand on the sheet: “Cover readings” hides each until its step is shown."));
    const text = notes.map((note) => note.textContent).join(" ");
    if (text === this.told.textContent) return;
    this.told.replaceChildren(...notes);
  }

  #paint() {
    const { at, count, told, atStart, atEnd } = this.#walk;
    const worked = this.#worked;
    this.opening.replaceChildren(...(worked ? withNames(worked.opening, this.#names.all) : []));
    this.closing.replaceChildren(...(worked ? withNames(worked.closing, this.#names.all) : []));
    const steps = worked ? worked.steps.slice(0, at) : [];
    const style = { ...this.#look.style, big: this.#look.larger ? 1.3 : 1 };
    steps.forEach((step, index) => this.#paintStep(step, index, style));
    for (const { view } of this.#shown.splice(steps.length)) view.element.remove();
    this.#light();
    this.count.textContent = !worked || count === 0 ? "" : at === 0 ? `${count} ${count === 1 ? "step" : "steps"}` : `Step ${at} of ${count}`;
    this.next.textContent = told ? "Next" : "Show it";
    for (const [button, ended] of [[this.back, atStart], [this.next, atEnd || !worked], [this.all, atEnd || !worked]]) set(button, { "aria-disabled": ended ? "true" : null });
    this.#fit();
  }

  #paintStep(step, index, style) {
    const number = index + 1;
    const told = this.#walk.tells(number);
    const key = JSON.stringify([step, told, style.big, style.zigzag]);
    const before = this.#shown[index];
    if (before?.key === key) return;
    const view = new StepView(step, number, told, { names: this.#names.all, fresh: this.#names.fresh(index), style, tell: () => this.step("forward") });
    if (before) before.view.element.replaceWith(view.element);
    else this.steps.append(view.element);
    this.#shown[index] = { key, view };
  }

  #fit() {
    if (this.isOpen) fitFormulas(this.#shown.flatMap(({ view }) => view.formulas));
  }

  #light() {
    this.#shown.forEach(({ view }, index) => {
      set(view.element, { "aria-current": index + 1 === this.#walk.at ? "step" : null });
      view.element.classList.toggle("lit", index + 1 === (this.#pointed || this.#walk.at));
    });
  }

  /** Lights the step under the pointer. @param {EventTarget|null} target */
  #point(target) {
    const step = target instanceof Element ? target.closest(".step") : null;
    const pointed = step ? this.#shown.findIndex(({ view }) => view.element === step) + 1 : 0;
    if (pointed === this.#pointed) return;
    this.#pointed = pointed;
    this.#light();
    this.#changed();
  }

  /** @param {"forward"|"back"|"toStart"|"toEnd"} how */
  step(how) {
    if (!this.#worked) return;
    this.#walk[how]();
    this.#pointed = 0;
    this.#paint();
    this.#keepInSight();
    this.#changed();
    this.#desk.announce(this.#spoken());
  }

  get #scrollsItself() {
    return getComputedStyle(this.list).overflowY !== "visible";
  }

  #keepInSight() {
    const current = (this.#shown[this.#walk.at - 1]?.view.element ?? this.opening).getBoundingClientRect();
    // Beside the sheet the list scrolls; on a phone the page does, between the drawing and the buttons.
    const list = this.list.getBoundingClientRect();
    const drawing = /** @type {HTMLElement} */ (this.#desk.sheet.place.parentElement);
    const [top, bottom] = this.#scrollsItself ? [list.top, list.bottom] : [drawing.offsetHeight, this.foot.getBoundingClientRect().top];
    const [above, below] = [current.top - top - MARGIN, current.bottom - bottom + MARGIN];
    // A step that is taller than its place is read from its beginning.
    const by = above < 0 ? above : Math.max(0, Math.min(above, below));
    (this.#scrollsItself ? this.list : window).scrollBy({ top: by, behavior: "instant" });
  }

  /** The step in words, for screen readers. */
  #spoken() {
    const { at, told, count } = this.#walk;
    const worked = /** @type {Worked} */ (this.#worked);
    if (at === 0) return worked.opening;
    const { title, reason, lines } = worked.steps[at - 1];
    const head = `Step ${at} of ${count}: ${title}.`;
    return told ? [head, reason, ...lines.map((line) => `${line.text}.`)].join(" ") : `${head} ${questionOf(worked.steps[at - 1])} Predict it first, then show it.`;
  }

  /** @returns {Record<string, string|null>} */
  #texts() {
    const { at } = this.#walk;
    const worked = this.#worked;
    const step = worked?.steps[at - 1];
    const whole = worked && { ...worked, title: this.#desk.doc.sketch.title || "Worked solution" };
    const { all } = this.#names;
    return {
      "This step as LaTeX": step ? `${stepAsLatex(step, at, all)}\n` : null,
      "This step as text": step ? `${stepAsText(step, at)}\n` : null,
      "All steps as LaTeX": whole && allAsLatex(whole, all),
      "All steps as text": whole && allAsText(whole),
    };
  }
}
