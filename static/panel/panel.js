// The right-hand column: ledger, readings between joints, checks and notes; or, where there is one, what is wrong.

import { html } from "../dom.js";
import { isBuilt } from "../builds/words.js";
import { onceReleased } from "../pressed.js";
import { partNamed, samePair } from "../sketch.js";
import { cautionSection } from "./caution.js";
import { isUntouched, readingButton, rewrite } from "./cells.js";
import { Ledger } from "./ledger.js";
import { checksSection } from "./sums.js";
import { toleranceSection } from "../tolerance/section.js";
import { hasStages } from "../stages/sequence.js";
import { ratingsSection, showsRatings } from "../ratings/section.js";
import { hasCourse, timesSection } from "./times.js";
import { isAsked, isOpenQuestion } from "./asked.js";
import { askingHint, unknownSection } from "./unknown.js";

/** Rows up to which the ledger is written out at once. */
const MOST_ROWS = 40;
/** From so many significant figures on, the ledger is set smaller to keep its columns in sight. */
const MANY_FIGURES = 5;

/** The focus goes to what stands for the same as before; in a field the selected text is the same too. @param {HTMLElement} place @param {string} focus @param {HTMLInputElement|null} typing the field it was in */
function focusAgain(place, focus, typing) {
  const again = /** @type {HTMLInputElement|null} */ (place.querySelector(`[data-focus="${CSS.escape(focus)}"]`));
  again?.focus({ preventScroll: true });
  if (typing && again instanceof HTMLInputElement) again.setSelectionRange(typing.selectionStart, typing.selectionEnd);
}

export class Panel {
  #all = { checks: false, rows: false };
  /** @type {{section: typeof import("../builds/view.js").buildSection, merging: import("../builds/merge_view.js").MergeView}|null} */
  #built = null;
  /** @type {typeof import("../stages/account.js").stageSection|null} */
  #account = null;
  /** Shows what came while somebody was typing here. @type {(() => void)|null} */
  #put = null;
  /** Whether what is written out is a moment; its readings' buttons by their keys, looked up once it moves. */
  #moment = { shown: false, buttons: null };
  /** Measured once for each size of the window: to measure amid a change would lay the page out twice. */
  #width = 0;

  /** @param {HTMLElement} place @param {import("../desk.js").Desk} desk */
  constructor(place, desk) {
    this.place = place;
    this.desk = desk;
    new ResizeObserver(([{ contentRect }]) => (this.#width = contentRect.width)).observe(place);
    place.addEventListener("focusout", () => setTimeout(() => onceReleased(this.#late)));
  }

  #late = () => this.#put?.();

  get #measured() {
    return (this.#width ||= this.place.clientWidth);
  }

  /** Answers have the builds of capacitors from here on where one is selected. */
  ask() {
    const { selection, sketch } = this.desk.doc;
    this.desk.solving.include("builds", sketch.parts.some((part) => part.kind === "capacitor" && selection.parts.has(part.name)));
  }

  /** What became of charge and energy in the stage; its module comes when there is one. */
  #stage() {
    if (this.#account) return this.#account(this.desk);
    if (hasStages(this.desk.doc.sketch))
      import("../stages/account.js").then(
        ({ stageSection }) => {
          this.#account = stageSection;
          this.desk.refresh();
        },
        () => {},
      );
    return null;
  }

  /** How the selected capacitor is built, and what several are together; its modules come when they are first needed. */
  #builds(isCovered) {
    // Beside a worked solution there is no room at all.
    if (!this.#measured) return [];
    const open = this.desk.solving.state === "fault";
    if (open ? !this.#asksForBuild : !this.desk.solving.solution?.builds) return [];
    if (this.#built) return [this.#built.section(this.desk, isCovered, this.#measured), open ? null : this.#built.merging.section(this.#measured)];
    Promise.all([import("../builds/view.js"), import("../builds/merge_view.js")]).then(
      ([view, merge]) => {
        this.#built ??= { section: view.buildSection, merging: new merge.MergeView(this.desk) };
        this.desk.refresh();
      },
      () => {},
    );
    return [];
  }

  /** Whether the selected part is a build with a size that is still to be found. */
  get #asksForBuild() {
    const part = this.desk.doc.onePart && partNamed(this.desk.doc.sketch, this.desk.doc.onePart);
    return Boolean(part && isAsked(part) && isBuilt(part, this.desk.kinds));
  }

  show(isCovered, marked) {
    this.#put = null;
    const typing = /** @type {HTMLInputElement|null} */ (this.place.querySelector("input:focus"));
    if (typing && !isUntouched(typing)) {
      this.#put = () => this.show(isCovered, marked);
      return;
    }
    const focus = /** @type {HTMLElement|null} */ (document.activeElement)?.dataset?.focus;
    const { solving } = this.desk;
    const stale = solving.state === "away" || solving.late;
    const sections = solving.state === "fault" ? [this.#faults(solving.faults), unknownSection(this.desk, isCovered), this.#ledger(isCovered, marked), ...this.#builds(isCovered)] : [cautionSection(this.desk), unknownSection(this.desk, isCovered), ...this.#readings(isCovered, marked)];
    this.place.replaceChildren(...sections.filter((section) => section !== null));
    this.place.classList.toggle("stale", stale);
    this.place.setAttribute("aria-busy", String(solving.state === "asking"));
    if (focus) focusAgain(this.place, focus, typing);
    this.#moment = { shown: Boolean(this.desk.moment?.moment), buttons: null };
  }

  /** Another moment of the same answer: the readings alone are written anew. */
  follow(isCovered, marked) {
    const solution = this.desk.readingsShown(this.desk.shownSolution);
    if (!solution || !solution.moment || !this.#moment.shown) return this.show(isCovered, marked);
    const buttons = (this.#moment.buttons ??= new Map([...this.place.querySelectorAll("button[data-focus]")].map((button) => [button.dataset.focus, button])));
    const write = (owner, readings) => {
      for (const [quantity, reading] of Object.entries(readings)) {
        const button = reading && buttons.get(`${owner}.${quantity}`);
        if (button) rewrite(button, reading);
      }
    };
    for (const [name, readings] of Object.entries(solution.parts)) write(name, readings);
    write("total", solution.totals);
    for (const probe of solution.probes) write(`probe ${probe.between.join(" ")}`, { voltage: probe.voltage });
    const checks = this.place.querySelector('[aria-label="Checks"]');
    if (checks) checks.replaceWith(this.#checks(solution, isCovered, marked) ?? "");
    this.place.querySelector('[aria-label="Ledger"] h2 > span').textContent = this.#title;
  }

  /** The ledger's head says which moment its readings are of. */
  get #title() {
    const words = this.desk.moment?.moment?.words;
    return words ? `Ledger, ${words}` : "Ledger";
  }

  #checks(solution, isCovered, marked) {
    const more = () => {
      this.#all.checks = true;
      this.show(isCovered, marked);
    };
    return checksSection(this.desk, solution, isCovered, this.#all.checks, more);
  }

  #readings(isCovered, marked) {
    const { state } = this.desk.solving;
    const solution = this.desk.shownSolution;
    const sections = [this.#ledger(isCovered, marked)];
    if (this.desk.solving.late) sections[0].insertBefore(html("p", { class: "stale-note", role: "status" }, "The readings are being worked out; those below are out of date."), sections[0].children[1]);
    if (state === "away") sections[0].insertBefore(html("p", { class: "stale-note", role: "status" }, "The server is away: readings are out of date. What you draw is kept."), sections[0].children[1]);
    if (!solution) return sections;
    const [times, slow] = [timesSection(this.desk), hasCourse(this.desk)];
    // Beside a course in time, what is asked of it comes first.
    if (slow) sections.push(times);
    // With ratings, what they come to is to be in sight while one types them: it stands above the ledger.
    if (showsRatings(this.desk.doc.sketch)) sections.unshift(ratingsSection(this.desk));
    else sections.push(ratingsSection(this.desk));
    sections.push(toleranceSection(this.desk));
    sections.push(...this.#builds(isCovered), this.#stage(), slow ? null : times, this.#between(solution, isCovered));
    sections.push(this.#checks(solution, isCovered, marked));
    sections.push(this.#notes(solution));
    return sections;
  }

  #ledger(isCovered, marked) {
    const { sketch } = this.desk.doc;
    const figures = html("select", { "aria-label": "Significant figures of the readings", "data-focus": "figures" });
    for (let count = 1; count <= 12; count += 1) figures.append(html("option", { value: count, selected: count === (sketch.figures ?? 3) }, count === 1 ? "1 significant figure" : `${count} significant figures`));
    figures.addEventListener("change", () => this.desk.doc.change({ ...this.desk.doc.sketch, figures: Number(/** @type {HTMLSelectElement} */ (figures).value) }));
    const section = html("section", { "aria-label": "Ledger", class: (sketch.figures ?? 3) >= MANY_FIGURES ? "long" : null }, html("h2", {}, html("span", {}, this.#title), figures));
    const rows = sketch.parts.filter((part) => part.kind !== "wire").length;
    const ledger = new Ledger(this.desk, isCovered, marked, this.#all.rows ? Infinity : MOST_ROWS);
    section.append(...ledger.tables());
    if (rows > MOST_ROWS && !this.#all.rows) {
      const more = html("button", { type: "button", class: "edged" }, `Write out all ${rows} parts`);
      more.addEventListener("click", () => {
        this.#all.rows = true;
        this.show(isCovered, marked);
      });
      section.append(more);
    }
    const hint = askingHint(this.desk);
    if (hint) section.append(hint);
    if (sketch.parts.length === 0) section.append(html("p", { class: "check" }, "Nothing is on the sheet yet."));
    return section;
  }

  /** @returns {HTMLElement|null} nothing where all that is missing is the end of a question */
  #faults(all) {
    const faults = all.filter((fault) => !isOpenQuestion(fault));
    if (!faults.length) return null;
    const items = faults.map((fault) => {
      const button = html("button", { type: "button" }, fault.text);
      button.addEventListener("click", () => this.desk.doc.select(fault.parts));
      return html("li", {}, button);
    });
    return html("section", { "aria-label": "What is wrong" }, html("h2", {}, html("span", {}, faults.length === 1 ? "One thing to put right" : `${faults.length} things to put right`)), html("ul", { class: "faults", role: "list" }, ...items));
  }

  #between(solution, isCovered) {
    if (!solution.probes.length) return null;
    const rows = solution.probes.map((probe) => {
      const owner = `probe ${probe.between.join(" ")}`;
      const cell = (reading) => html("td", {}, ...(probe[reading] ? [readingButton(probe[reading], `${owner}.${reading}`, this.desk, isCovered)] : []));
      const kept = this.desk.doc.sketch.probes?.some((pair) => samePair(pair, probe.between));
      const keep = html("button", { type: "button", class: "edged" }, kept ? "Drop" : "Keep");
      keep.setAttribute("aria-label", `${kept ? "Drop" : "Keep"} the readings between ${probe.between.join(" and ")}`);
      keep.addEventListener("click", () => this.desk.editing.toggleProbe(probe.between));
      const equivalent = probe.capacitance ? cell("capacitance") : cell("resistance");
      return html("tr", {}, html("th", { scope: "row" }, `${probe.between[0]} and ${probe.between[1]}`), cell("voltage"), equivalent, html("td", {}, keep));
    });
    const heads = ["Joints", "Voltage", "Equivalent"].map((text) => html("th", { scope: "col" }, text));
    const table = html("table", { class: "ledger", "aria-label": "Between joints" }, html("thead", {}, html("tr", {}, ...heads, html("td", {}))), html("tbody", {}, ...rows));
    const told = html("p", { class: "check" }, "Voltage: the potential of the first joint less that of the second. Equivalent: with batteries replaced by wires.");
    return html("section", { "aria-label": "Between two joints" }, html("h2", {}, html("span", {}, "Between two joints")), table, told);
  }

  #notes(solution) {
    if (!solution.notes.length) return null;
    const lines = solution.notes.map((note) => html("p", { class: "check" }, note.text));
    return html("section", { "aria-label": "Notes" }, html("h2", {}, html("span", {}, "Notes")), ...lines);
  }
}
