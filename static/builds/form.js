// The form for a capacitor's build: shape, sizes, what fills the gap; it writes the words that a value is typed in.

import { openDialog } from "../dialogs.js";
import { html, need } from "../dom.js";
import { buildPicture } from "./view.js";
import { AREAS, ASKED, LENGTHS, filling, planOf, toggleAsked, usualPlan, wordsOf } from "./plan.js";

/** @typedef {import("./plan.js").Plan} Plan @typedef {import("./plan.js").Amount} Amount @typedef {import("./plan.js").Filling} Filling */
/** @typedef {{words: string[], name: string, constant: string, strength: string|null}} Dielectric an entry of shared/dielectrics.json */
/**
 * @typedef {{text: string, reader: import("../reading_text.js").TextReader, shapes: Record<string, string[]>, dielectrics: Dielectric[],
 *   done: (typed: import("../field.js").Typed) => void, cancelled: () => void}} Wish `text` is the value as it stands
 */

const SHAPES = { plates: "two plates", spheres: "two spheres, one in the other", cylinders: "coaxial cylinders", sphere: "a sphere by itself" };
const KINDS = { one: "one dielectric", layers: "layers, one on the other", strips: "strips, side by side" };
const MOST = 8;
const OWN = "own";

/** Opens the form over the page. @param {Wish} wish */
export async function openBuildForm(wish) {
  const meaning = await wish.reader.read(wish.text, { kind: "capacitor", place: "value" });
  new BuildForm(wish, meaning.build ? planOf(meaning.build, wish.shapes) : usualPlan());
}

class BuildForm {
  #turn = 0;
  #taken = false;
  #meaning = null;

  /** @param {Wish} wish @param {Plan} plan */
  constructor(wish, plan) {
    Object.assign(this, { wish, plan });
    this.fields = html("div", { class: "build-fields" });
    this.picture = html("div", { class: "build-shown" });
    this.told = html("output", { class: "build-told", "aria-live": "polite" });
    this.use = html("button", { type: "submit", class: "main" }, "Use it");
    const form = html("form", { class: "build-form", autocomplete: "off" }, this.fields, this.picture, html("p", { class: "build-end" }, this.told, this.use));
    form.addEventListener("submit", (event) => {
      event.preventDefault();
      this.#take();
    });
    const { close } = openDialog("How is it built?", [form], { className: "build-dialog", onclose: () => this.#closed() });
    this.close = close;
    this.#show();
  }

  #closed() {
    need("sheet").focus({ preventScroll: true, focusVisible: false });
    if (this.#taken) this.wish.done(this.#meaning.typed);
    else this.wish.cancelled();
  }

  #take() {
    if (!this.#meaning?.ok) return;
    this.#taken = true;
    this.close();
  }

  /** Writes the fields anew, after something came or went. @param {string} [focus] */
  #show(focus) {
    const { plan } = this;
    const rows = [this.#choice("Shape", SHAPES, plan.shape, (shape) => this.#become({ shape }, "Shape"))];
    rows.push(...this.wish.shapes[plan.shape].map((name) => this.#amount(name, plan.sizes[name], name === "area" ? AREAS : LENGTHS)));
    if (plan.shape === "plates") {
      rows.push(this.#choice("Filled by", KINDS, plan.kind, (kind) => this.#become({ kind, fillings: this.#fillingsFor(kind) }, "Filled by")));
      if (plan.kind !== "layers") rows.push(this.#amount("gap", plan.gap, LENGTHS));
    }
    const several = plan.shape === "plates" && plan.kind !== "one";
    const shown = several ? plan.fillings : plan.fillings.slice(0, 1);
    rows.push(...shown.map((each, place) => this.#filling(each, place, several)));
    if (several && plan.fillings.length < MOST) {
      const word = plan.kind === "layers" ? "layer" : "strip";
      rows.push(html("p", {}, html("button", { type: "button", class: "edged", "data-name": "add", onclick: () => this.#become({ fillings: [...plan.fillings, filling()] }, `Dielectric ${plan.fillings.length + 1}`) }, `Add a ${word}`)));
    }
    this.fields.replaceChildren(...rows);
    if (focus) /** @type {HTMLElement|null} */ (this.fields.querySelector(`[data-name="${focus}"]`))?.focus();
    this.#feel();
  }

  #become(entries, focus) {
    Object.assign(this.plan, entries);
    this.#show(focus);
  }

  /** Two to begin with where there are to be several. @param {string} kind @returns {Filling[]} */
  #fillingsFor(kind) {
    const { fillings, gap } = this.plan;
    if (kind === "one" || fillings.length > 1) return fillings;
    return [{ ...fillings[0], thickness: { ...gap }, share: "1/2" }, filling(fillings[0].words === "air" ? "mica" : "air", { ...gap })];
  }

  #choice(name, options, value, change) {
    const select = html("select", { "data-name": name }, ...Object.entries(options).map(([key, words]) => html("option", { value: key, selected: key === value }, words)));
    select.addEventListener("change", () => change(/** @type {HTMLSelectElement} */ (select).value));
    return html("label", {}, html("span", {}, name), select);
  }

  /** A number with its unit. @param {string} name @param {Amount} amount @param {string[]} units */
  #amount(name, amount, units) {
    const known = units.includes(amount.unit) ? units : [amount.unit, ...units];
    const number = this.#text(`${name}`, amount.number, (value) => (amount.number = value), "decimal");
    const unit = html("select", { "aria-label": `Unit of ${name}` }, ...known.map((each) => html("option", { value: each, selected: each === amount.unit }, each)));
    unit.addEventListener("change", () => {
      amount.unit = /** @type {HTMLSelectElement} */ (unit).value;
      this.#feel();
    });
    const isAsked = amount.number === ASKED;
    const ask = html("button", { type: "button", class: "edged", "aria-pressed": String(isAsked), "aria-label": `${ASKED} asks what the ${name} must be`, title: isAsked ? "A number again" : `Find what the ${name} must be` }, ASKED);
    ask.addEventListener("click", () => {
      toggleAsked(this.plan, amount);
      this.#show(name);
    });
    return html("div", { class: "build-amount" }, html("span", {}, name), number, unit, ask);
  }

  #text(label, value, take, mode = "text") {
    const input = /** @type {HTMLInputElement} */ (html("input", { type: "text", inputmode: mode, maxlength: 20, "aria-label": label, "data-name": label, spellcheck: "false" }));
    input.value = value;
    input.addEventListener("input", () => {
      take(input.value);
      this.#feel();
    });
    return input;
  }

  /** What one layer or strip is, and how much of it. @param {Filling} each @param {number} place @param {boolean} several */
  #filling(each, place, several) {
    const label = several ? `Dielectric ${place + 1}` : "Dielectric";
    const select = html("select", { "aria-label": label, "data-name": label });
    for (const { words, name, constant, strength } of this.wish.dielectrics)
      select.append(html("option", { value: words[0], selected: !each.own && words.includes(each.words) }, `${name}, κ ${constant}${strength ? `, ${strength} MV/m` : ""}`));
    select.append(html("option", { value: OWN, selected: each.own }, "of your own…"));
    select.addEventListener("change", () => {
      const { value } = /** @type {HTMLSelectElement} */ (select);
      Object.assign(each, value === OWN ? { own: true, constant: each.constant || "6" } : { own: false, words: value });
      this.#show(label);
    });
    const row = html("div", { class: "build-filling" }, html("span", {}, label), select);
    if (each.own)
      row.append(
        html("label", { class: "build-own" }, "κ ", this.#text(`κ of ${label.toLowerCase()}`, each.constant, (value) => (each.constant = value), "decimal")),
        html("label", { class: "build-own" }, "strength in MV/m ", this.#text(`Strength of ${label.toLowerCase()}`, each.strength, (value) => (each.strength = value), "decimal")),
      );
    if (!several) return row;
    if (this.plan.kind === "layers") row.append(this.#amount(`thickness ${place + 1}`, each.thickness, LENGTHS));
    else row.append(html("label", { class: "build-own" }, "share of the area ", this.#text(`Share ${place + 1}`, each.share, (value) => (each.share = value))));
    if (this.plan.fillings.length > 2)
      row.append(html("button", { type: "button", class: "edged", "aria-label": `Drop ${label.toLowerCase()}`, onclick: () => this.#become({ fillings: this.plan.fillings.filter((other) => other !== each) }, "add") }, "Drop"));
    return row;
  }

  /** Has the words read, and draws what they come to. */
  async #feel() {
    const turn = (this.#turn += 1);
    const words = wordsOf(this.plan, this.wish.shapes);
    const meaning = await this.wish.reader.read(words, { kind: "capacitor", place: "value" });
    if (turn !== this.#turn) return;
    this.#meaning = meaning;
    this.use.toggleAttribute("disabled", !meaning.ok);
    this.told.classList.toggle("wrong", !meaning.ok);
    this.told.replaceChildren(...(meaning.reading ? [html("b", {}, meaning.reading.text), ` ${meaning.build.words}`] : [meaning.feedback]));
    if (!meaning.build) return this.picture.classList.add("stale");
    this.picture.classList.remove("stale");
    const width = Math.min(440, this.fields.clientWidth || 320);
    this.picture.replaceChildren(...buildPicture(meaning.build, { width, big: 1, ends: null, lines: 0, positive: true, shapes: this.wish.shapes }, `Side view: ${meaning.build.words}`));
  }
}
