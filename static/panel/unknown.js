// What must it be: while a part's value is “?”, what readings have to be, and what the value must be for it.

import { html, nameElement, withSubscripts } from "../dom.js";
import { isSwitch } from "../sketch.js";
import { mathElement } from "../solution/math.js";

/** @typedef {{part: string, text: string, exact: boolean, line: {math: any}|null, value: {text: string}, others: {text: string}[], preferred: {series: string, value: {text: string}, reading: {text: string}}[]}} FoundValue */

const UNKNOWN = "?";

/** @param {import("../sketch.js").Part} part */
const isAsked = (part) => part.value?.trim() === UNKNOWN;

/** Readings that can be required, each with its words. @returns {[string, string][]} */
function choices(desk) {
  const { sketch } = desk.doc;
  const of = (part) => desk.kinds[part.kind].readings.map((word) => /** @type {[string, string]} */ ([`${part.name}.${word}`, `${word} of ${part.name}`]));
  const between = (sketch.probes ?? []).flatMap((pair) => ["capacitance", "resistance", "voltage"].map((word) => /** @type {[string, string]} */ ([`probe ${pair.join(" ")}.${word}`, `${word} between ${pair.join(" and ")}`])));
  return [...sketch.parts.filter((part) => !isSwitch(part)).flatMap(of), ...between, ["total.energy", "energy in all"], ...(sketch.parts.some(({ kind }) => kind === "resistor") ? [/** @type {[string, string]} */ (["time constant", "time constant"])] : [])];
}

function change(desk, required) {
  const { required: _before, ...rest } = desk.doc.sketch;
  desk.doc.change(required.length ? { ...rest, required } : rest);
}

/**
 * The sketch with what was found beside each “?”, for the drawing.
 * @param {import("../sketch.js").Sketch} sketch @param {{found?: FoundValue[]}|null} solution
 */
export function withFound(sketch, solution) {
  if (!solution?.found) return sketch;
  const texts = new Map(solution.found.map(({ part, exact, text, value }) => [part, exact ? text : value.text]));
  return { ...sketch, parts: sketch.parts.map((part) => (isAsked(part) && texts.has(part.name) ? { ...part, value: `? ${texts.get(part.name)}` } : part)) };
}

/** A requirement without what is empty: no time is in the end. */
function pruned({ after, ...rest }) {
  return after && rest.reading !== "time constant" ? { ...rest, after } : rest;
}

/** A field for a value; what is typed is put in on Enter or on leaving it. @param {(typed: string) => void} put */
function field(label, focus, value, put, placeholder = "") {
  const input = /** @type {HTMLInputElement} */ (html("input", { type: "text", maxlength: 60, "aria-label": label, "data-focus": focus, placeholder, autocomplete: "off", spellcheck: "false" }));
  input.value = value;
  input.addEventListener("change", () => put(input.value.trim()));
  input.addEventListener("keydown", (event) => {
    event.stopPropagation();
    if (event.key === "Enter") input.blur();
  });
  return input;
}

/** One requirement: which reading, and what it has to be. */
function row(desk, required, place) {
  const { reading, value, after } = required[place];
  const put = (entry) => change(desk, required.map((each, index) => (index === place ? pruned({ ...each, ...entry }) : each)));
  const select = html("select", { "aria-label": `Reading ${place + 1} that is required`, "data-focus": `required ${place}` });
  const known = choices(desk);
  for (const [key, words] of known.some(([key]) => key === reading) ? known : [[reading, reading], ...known]) select.append(html("option", { value: key, selected: key === reading }, words));
  select.addEventListener("change", () => put({ reading: /** @type {HTMLSelectElement} */ (select).value }));
  const input = field(`What it has to be, ${place + 1}`, `must ${place}`, value, (typed) => put({ value: typed }));
  const drop = html("button", { type: "button", class: "edged", "aria-label": `Drop requirement ${place + 1}`, onclick: () => change(desk, required.filter((_, index) => index !== place)) }, "Drop");
  const timed = html("label", { class: "after" }, "after ", field(`After how long, ${place + 1}`, `after ${place}`, after ?? "", (typed) => put({ after: typed }), "in the end"));
  return html("p", { class: "required" }, select, " has to be ", input, ...(reading === "time constant" ? [] : [timed]), drop);
}

/** @param {FoundValue} value */
function answer(desk, value) {
  const line = html("p", { class: "found" }, nameElement(value.part), " must be ", html("b", {}, withSubscripts(value.exact ? value.text : value.value.text)));
  if (value.others.length) line.append(` (or ${value.others.map(({ text }) => text).join(", or ")})`);
  const take = html("button", { type: "button", class: "edged" }, "Put it in");
  take.setAttribute("aria-label", `Put ${value.text} in as the value of ${value.part}`);
  take.addEventListener("click", () => takeAll(desk));
  line.append(" ", take);
  const first = value.line ? [line, html("p", { class: "answer-formula" }, mathElement(value.line.math))] : [line];
  if (!value.preferred.length) return first;
  const rows = value.preferred.map(({ series, value: nearest, reading }) => html("tr", {}, html("th", { scope: "row" }, series), html("td", {}, nearest.text), html("td", {}, reading.text)));
  const heads = ["Nearest preferred", "Value", "Reading then"].map((text) => html("th", { scope: "col" }, text));
  return [...first, html("table", { class: "ledger", "aria-label": "Nearest preferred numbers" }, html("thead", {}, html("tr", {}, ...heads)), html("tbody", {}, ...rows))];
}

/** The values found take the places of the “?”, as one step. */
function takeAll(desk) {
  const texts = new Map(desk.solving.solution.found.map(({ part, text }) => [part, text]));
  const { required: _met, ...sketch } = desk.doc.sketch;
  desk.doc.change({ ...sketch, parts: sketch.parts.map((part) => (texts.has(part.name) ? { ...part, value: texts.get(part.name) } : part)) });
}

/** Nothing where no value is asked for. @param {import("../desk.js").Desk} desk @returns {HTMLElement|null} */
export function unknownSection(desk) {
  const { sketch } = desk.doc;
  const asked = sketch.parts.filter(isAsked);
  const required = sketch.required ?? [];
  if (!asked.length && !required.length) return null;
  const section = html("section", { class: "unknown", "aria-label": "What must it be" }, html("h2", {}, html("span", {}, "What must it be?")));
  required.forEach((_, place) => section.append(row(desk, required, place)));
  if (required.length < asked.length) {
    const [first] = choices(desk);
    const add = html("button", { type: "button", class: "edged", "data-focus": "require" }, "Say what a reading has to be");
    add.addEventListener("click", () => change(desk, [...required, { reading: first[0], value: "" }]));
    section.append(html("p", { class: "check" }, "A value that is “?” is found from what a reading has to be."), add);
  }
  const found = desk.solving.state === "current" ? desk.solving.solution?.found : undefined;
  if (found) for (const value of found) section.append(...answer(desk, value));
  return section;
}
