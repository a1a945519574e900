// The form: what a bank has to do, and the table of parts at hand. It keeps every text as typed.

import { html, need, set } from "../dom.js";
import { COLUMNS, FIELDS, MOST_ROWS, emptyRow } from "./carrying.js";

/** @typedef {import("./carrying.js").Wish} Wish */

const ALL_EXAMPLE = "An example: the lantern's bank. Put your own numbers in.";
const PART_EXAMPLE = "Begun from the example: what you have not changed is still the lantern's.";
/** A number alone, as the server takes one. */
const ALONE = /^[+-]?\d+(?:[.,/]\d+)?$/;

const LABELS = { value: "Value", rated: "Rated", tolerance: "Tolerance", leakage: "Leakage", count: "Number", price: "Price" };

const field = (id) => /** @type {HTMLInputElement} */ (need(id));

export class WishForm {
  #rows = need("kinds");
  #changed;
  #units;
  #sample;

  /** @param {Record<string, string>} units of a number alone, by field @param {Wish} sample what the page begins with @param {() => void} changed called after every change */
  constructor(units, sample, changed) {
    [this.#units, this.#sample, this.#changed] = [units, sample, changed];
    const form = need("wish");
    form.addEventListener("submit", (event) => event.preventDefault());
    form.addEventListener("input", () => this.#tell());
    form.addEventListener("change", (event) => this.#withUnit(/** @type {HTMLInputElement} */ (event.target)));
    for (const goal of ["capacitance", "energy"]) field(goal).addEventListener("input", () => (field(`goal-${goal}`).checked = true));
    field("lowest").addEventListener("input", () => (field("goal-energy").checked = true));
    need("add").addEventListener("click", () => {
      const row = this.#add(emptyRow());
      this.#number();
      row.querySelector("input").focus();
      this.#tell();
    });
  }

  /** @param {Wish} wish */
  fill(wish) {
    for (const name of FIELDS) field(name).value = this.#shown(name, wish[name]);
    field(`goal-${wish.goal}`).checked = true;
    field("counted").value = wish.counted;
    this.#rows.replaceChildren();
    for (const row of wish.kinds) this.#add(row);
    if (!wish.kinds.length) this.#add(emptyRow());
    this.#number();
    const theirs = new Set(this.#sample.kinds.map((row) => JSON.stringify(row)));
    need("sampled").hidden = !wish.kinds.some((row) => theirs.has(JSON.stringify(row)));
    this.#saySampled();
  }

  /** Says that the numbers are an example; the line stays while typing, so that nothing moves under the hand. */
  #saySampled() {
    need("sampled").firstElementChild.textContent = JSON.stringify(this.wish) === JSON.stringify(this.#sample) ? ALL_EXAMPLE : PART_EXAMPLE;
  }

  #tell() {
    this.#saySampled();
    this.#changed();
  }

  /** A number alone is shown with the unit in which it is taken. @param {HTMLInputElement} input */
  #withUnit(input) {
    const shown = this.#shown((input.dataset.field ?? input.id).split(".").at(-1), input.value);
    if (shown === input.value) return;
    input.value = shown;
    this.#tell();
  }

  #shown(name, text) {
    return name in this.#units && ALONE.test(text.trim()) ? `${text.trim()} ${this.#units[name]}` : text;
  }

  /** @returns {Wish} */
  get wish() {
    const texts = Object.fromEntries(FIELDS.map((name) => [name, field(name).value.trim()]));
    const kinds = [...this.#rows.children].map((row) => Object.fromEntries(COLUMNS.map((column, index) => [column, row.querySelectorAll("input")[index].value.trim()])));
    return { ...texts, goal: field("goal-energy").checked ? "energy" : "capacitance", counted: field("counted").value === "least" ? "least" : "marked", kinds };
  }

  #add(row) {
    const cells = COLUMNS.map((column) => html("td", { "data-label": LABELS[column] }, html("input", { maxlength: 60, inputmode: column === "count" ? "numeric" : null })));
    const away = html("button", { type: "button", class: "away" }, "×");
    const element = html("tr", {}, ...cells, html("td", { class: "end" }, away));
    element.querySelectorAll("input").forEach((input, index) => (input.value = this.#shown(COLUMNS[index], row[COLUMNS[index]])));
    away.addEventListener("click", () => this.#remove(element));
    this.#rows.append(element);
    return element;
  }

  #remove(row) {
    const next = row.nextElementSibling ?? row.previousElementSibling;
    row.remove();
    if (!this.#rows.children.length) this.#add(emptyRow());
    this.#number();
    (next ?? this.#rows.firstElementChild).querySelector("input").focus();
    this.#tell();
  }

  /** Names every field by its row, and as the server names it. */
  #number() {
    [...this.#rows.children].forEach((row, index) => {
      row.querySelectorAll("input").forEach((input, place) => set(input, { "aria-label": `${LABELS[COLUMNS[place]]}, row ${index + 1}`, "data-field": `kinds.${index}.${COLUMNS[place]}` }));
      set(row.querySelector("button"), { "aria-label": `Take row ${index + 1} away` });
    });
    /** @type {HTMLButtonElement} */ (need("add")).disabled = this.#rows.children.length >= MOST_ROWS;
  }

  /** Marks the fields that faults concern. @param {{parts: string[]}[]} faults */
  mark(faults) {
    const wrong = new Set(faults.flatMap(({ parts }) => parts));
    for (const input of need("wish").querySelectorAll("input")) set(input, { "aria-invalid": wrong.has(input.dataset.field ?? input.id) ? "true" : null });
  }
}
