// One value that can be dragged sideways, stepped with the arrow keys, or typed; whatever it is a value of.

import { html, withSubscripts } from "../dom.js";
import { Ladder } from "../ladder.js";
import { isAsked } from "../panel/asked.js";
import { wholeValue, withUnit } from "../reading_text.js";

/** Pixels of drag for one step, and before a press is a drag at all. */
const PIXELS = 14;
const STILL = 4;
const STEPS = { ArrowRight: 1, ArrowUp: 1, ArrowLeft: -1, ArrowDown: -1 };

/**
 * @typedef {{value: string, tolerance?: string, rated?: string}} Worth a value with the tolerance and the rated voltage typed with it
 * @typedef {{label: string, kind: string, reader: import("../reading_text.js").TextReader, preview: (worth: Worth) => void, settle: () => void,
 *   cancel: () => void, change: (worth: Worth) => void}} Use
 *   `label` names the value; `preview` shows it while a gesture lasts, which `settle` or `cancel` ends; `change` is one step
 */

export class ValueControl {
  #use;
  #text = "";
  /** @type {string|undefined} */
  #tolerance;
  #drag = null;
  #steps = Promise.resolve();
  /** @type {Ladder|null} */
  #walk = null;

  /** @param {Use} use */
  constructor(use) {
    this.#use = use;
    this.button = html("button", { type: "button", class: "value" });
    this.slip = html("span", { class: "slip", role: "alert" });
    this.element = html("span", { class: "value-control" }, this.button, this.slip);
    this.button.addEventListener("pointerdown", (event) => this.#pressed(event));
    this.button.addEventListener("pointermove", (event) => this.#moved(event));
    this.button.addEventListener("pointerup", () => this.#released());
    this.button.addEventListener("pointercancel", () => this.#cancelled());
    this.button.addEventListener("keydown", (event) => this.#key(event));
    this.button.addEventListener("click", () => this.#clicked());
  }

  /** @param {{value?: string, tolerance?: string|null}} worth */
  show({ value, tolerance }) {
    this.#text = value ?? "";
    this.#tolerance = tolerance ?? undefined;
    this.button.textContent = withSubscripts(this.#whole) || "value?";
    this.button.setAttribute("aria-label", `${this.#use.label}: ${this.#whole || "none"}`);
  }

  get #whole() {
    return wholeValue(this.#stepped(this.#text));
  }

  /** Another value with the same tolerance. @param {string} value @returns {Worth} */
  #stepped(value) {
    return this.#tolerance ? { value, tolerance: this.#tolerance } : { value };
  }

  async #ladder() {
    const meaning = await this.#use.reader.read(this.#text, { kind: this.#use.kind, place: "value" });
    return meaning.ok && meaning.steps?.length ? new Ladder(meaning) : null;
  }

  #pressed(event) {
    if (event.button !== 0) return;
    this.button.setPointerCapture(event.pointerId);
    const drag = { from: event.clientX, x: event.clientX, ladder: null, moved: false, last: this.#text, before: this.#text };
    this.#drag = drag;
    this.#ladder().then((ladder) => {
      drag.ladder = ladder;
      if (this.#drag === drag) this.#follow();
    });
  }

  #moved(event) {
    if (!this.#drag) return;
    this.#drag.x = event.clientX;
    this.#follow();
  }

  #follow() {
    const drag = this.#drag;
    drag.moved ||= Math.abs(drag.x - drag.from) > STILL;
    const text = drag.moved ? drag.ladder?.at(Math.round((drag.x - drag.from) / PIXELS)) : undefined;
    if (text === undefined || text === drag.last) return;
    drag.last = text;
    this.#use.preview(this.#stepped(text));
  }

  #released() {
    if (!this.#drag?.moved) return;
    const { last, before } = this.#drag;
    if (last === before) this.#use.cancel();
    else this.#use.settle();
  }

  #cancelled() {
    if (this.#drag?.moved) this.#use.cancel();
    this.#drag = null;
  }

  #clicked() {
    const dragged = this.#drag?.moved;
    this.#drag = null;
    if (!dragged) this.#type();
  }

  #key(event) {
    const by = STEPS[event.key];
    if (by === undefined || event.ctrlKey || event.metaKey || event.altKey) return;
    event.preventDefault();
    this.#steps = this.#steps.then(() => this.#step(by));
  }

  async #step(by) {
    if (!this.#walk || this.#walk.at(0) !== this.#text || this.#walk.isAtEnd) this.#walk = await this.#ladder();
    this.slip.textContent = this.#walk ? "" : "There is no number to step from: type a value.";
    if (!this.#walk) return;
    this.#walk = this.#walk.after(by);
    if (this.#walk.at(0) !== this.#text) this.#use.change(this.#stepped(this.#walk.at(0)));
  }

  #type() {
    const before = this.#whole;
    const input = /** @type {HTMLInputElement} */ (html("input", { type: "text", maxlength: 160, "aria-label": this.#use.label, autocomplete: "off", autocapitalize: "off", spellcheck: "false", enterkeyhint: "done" }));
    input.value = before;
    let ended = false;
    const end = (focus) => {
      if (ended) return;
      ended = true;
      input.replaceWith(this.button);
      this.slip.textContent = "";
      if (focus) this.button.focus();
    };
    const accept = async (focus) => {
      const typed = input.value.trim();
      if (ended || typed === before) return end(focus);
      const meaning = await this.#use.reader.read(withUnit(typed, this.#text, undefined, this.#tolerance), { kind: this.#use.kind, place: "value" });
      if (ended) return;
      const asked = meaning.ok && isAsked(meaning.typed);
      if (!meaning.ok || asked) {
        this.slip.textContent = asked ? "What a value must be is found on the sheet, not here: type a value." : meaning.feedback;
        return;
      }
      end(focus);
      const { value, tolerance, rated } = meaning.typed;
      this.#use.change({ value, ...(tolerance ? { tolerance } : {}), ...(rated ? { rated } : {}) });
    };
    input.addEventListener("keydown", (event) => {
      event.stopPropagation();
      if (event.key === "Enter") {
        // Else a quick answer has the button back in time to be pressed by the same key.
        event.preventDefault();
        accept(true);
      }
      if (event.key === "Escape") end(true);
    });
    input.addEventListener("blur", () => accept(false));
    this.button.replaceWith(input);
    input.focus();
    input.select();
  }
}
