// What must it be: while a part's value is “?”, what readings have to be, and what the value must be for it.

import { html, nameElement, withSubscripts } from "../dom.js";
import { isSwitch, partNamed } from "../sketch.js";
import { mathElement } from "../solution/math.js";
import { isBuilt } from "../builds/words.js";
import { filled, isAsked, isAskedAtAll, isOpenQuestion, UNKNOWN, valueKey } from "./asked.js";
import { entryField } from "./cells.js";
import { changeList, removeButton } from "./listed.js";

/**
 * @typedef {{series: string, text: string, value: {text: string}, reading: {text: string}}} Preferred
 * @typedef {{word: string, text: string, shown: string}} FoundSize of a build: what it is called, as it is put in, as it is read
 * @typedef {{part: string, text: string, texts: {typed: string, text: string, told: string}[], size: FoundSize|null, exact: boolean, line: {math: any}|null,
 *   value: {text: string}, others: {text: string}[], preferred: Preferred[]}} FoundValue
 * @typedef {{reading: string, value: string, after?: string}} Requirement
 */

const ORDER = ["capacitor", "resistor", "battery"];
/** What may stand in the field of each reading. */
const EXAMPLES = { voltage: "6 V", charge: "20 µC", energy: "1 mJ", current: "2 mA", power: "1 mW", work: "1 mJ", equivalent: "10 µF", capacitance: "10 µF", resistance: "1 kΩ", "time constant": "2 s" };
/** How a requirement says when. */
const [SETTLED, LATER] = ["settled", "later"];

/** Values that can be asked for at once. */
const MOST = 2;
/** Whether the question was just begun, so that the focus goes to it. */
let begun = false;

/** Whether nothing on the sheet can change a reading: the voltage of a battery with a fixed emf. */
const isFixed = (part, word) => part.kind === "battery" && word === "voltage" && part.internal === undefined && !isAsked(part);

/** Readings that can be required, each with its words. @returns {[string, string][]} */
function choices(desk) {
  const { sketch } = desk.doc;
  // A size of a build may be asked for from the capacitance itself.
  const own = (part) => (isAsked(part) && isBuilt(part, desk.kinds) ? ["capacitance"] : []);
  const of = (part) => [...own(part), ...desk.kinds[part.kind].readings].filter((word) => !isFixed(part, word)).map((word) => /** @type {[string, string]} */ ([`${part.name}.${word}`, `${word} of ${part.name}`]));
  const between = (sketch.probes ?? []).flatMap((pair) => ["capacitance", "resistance", "voltage"].map((word) => /** @type {[string, string]} */ ([`probe ${pair.join(" ")}.${word}`, `${word} between ${pair.join(" and ")}`])));
  const sorted = sketch.parts.filter((part) => !isSwitch(part)).sort((a, b) => ORDER.indexOf(a.kind) - ORDER.indexOf(b.kind));
  return [...sorted.flatMap(of), ...between, ["total.energy", "energy in all"], ...(sketch.parts.some(({ kind }) => kind === "resistor") ? [/** @type {[string, string]} */ (["time constant", "time constant"])] : [])];
}

/** The requirement to begin with: the voltage of a part whose value is known; else what the unknown one carries. @param {Requirement[]} before @returns {Requirement} */
function beginning(desk, before) {
  const known = choices(desk).map(([key]) => key).filter((key) => before.every(({ reading }) => reading !== key));
  const isOfKnown = (key) => {
    const part = partNamed(desk.doc.sketch, key.slice(0, -".voltage".length));
    return key.endsWith(".voltage") && part !== undefined && !isAsked(part);
  };
  return { reading: known.find(isOfKnown) ?? known.find((key) => !key.endsWith(".voltage")) ?? known[0], value: "" };
}

/** A requirement without what is empty: no time is once settled. */
function pruned({ after, ...rest }) {
  return after && rest.reading !== "time constant" ? { ...rest, after } : rest;
}

/** A field for a value. @param {(typed: string) => void} put */
const field = (label, focus, value, put, placeholder = "") => entryField({ maxlength: 60, "aria-label": label, "data-focus": focus, placeholder, spellcheck: "false" }, value, put);

/** When a reading has to be so: once settled, or after a time, which is then typed. @param {(entry: {after: string}) => void} put */
function when(after, place, put) {
  const select = /** @type {HTMLSelectElement} */ (html("select", { "aria-label": `When, ${place + 1}`, "data-focus": `when ${place}` }, html("option", { value: SETTLED, selected: !after }, "once settled"), html("option", { value: LATER, selected: Boolean(after) }, "after")));
  const input = field(`After how long, ${place + 1}`, `after ${place}`, after ?? "", (typed) => put({ after: typed }), "10 s");
  input.hidden = !after;
  // Until a time is typed, the field would be gone if it were written out anew.
  if (!after) delete input.dataset.entry;
  select.addEventListener("change", () => {
    input.hidden = select.value === SETTLED;
    if (!input.hidden) input.focus();
    else if (after) put({ after: "" });
  });
  return html("span", { class: "after" }, select, input);
}

/** One requirement: which reading, and what it has to be. @param {Requirement[]} required @param {boolean} kept whether it is on the sheet already */
function row(desk, required, place, kept) {
  const { reading, value, after } = required[place];
  // The first ones are offered before they are required.
  const put = (entry) => changeList(desk, "required", (now) => (place < now.length ? now : [...now, ...required.slice(now.length)]).map((each, index) => (index === place ? pruned({ ...each, ...entry }) : each)));
  const select = html("select", { "aria-label": `Reading ${place + 1} that is required`, "data-focus": `required ${place}` });
  const known = choices(desk);
  for (const [key, words] of known.some(([key]) => key === reading) ? known : [[reading, reading], ...known]) select.append(html("option", { value: key, selected: key === reading }, words));
  select.addEventListener("change", () => put({ reading: /** @type {HTMLSelectElement} */ (select).value }));
  const input = field(`What it has to be, ${place + 1}`, `must ${place}`, value, (typed) => put({ value: typed }), EXAMPLES[reading.slice(reading.lastIndexOf(".") + 1)]);
  const line = html("p", { class: "required" }, select, html("label", { class: "after" }, "has to be ", input));
  // Without a resistor nothing takes its time.
  const timed = reading !== "time constant" && (after || desk.doc.sketch.parts.some(({ kind, internal }) => kind === "resistor" || internal));
  if (timed) line.append(when(after, place, put));
  if (kept) line.append(removeButton(desk, "required", place, `Remove requirement ${place + 1}`));
  return line;
}

/** A button that puts values in the places of the “?”. @param {(name: string, typed: string) => string} text what takes the place */
function putter(desk, text, label) {
  const button = html("button", { type: "button", class: "edged", "aria-label": label }, "Put it in");
  button.addEventListener("click", () => putIn(desk, text));
  return button;
}

/** "The gap of ", "The thickness of the mica in ". @param {FoundSize} size */
const theSize = ({ word }) => `The ${word} ${word.includes(" of ") ? "in" : "of"} `;

/** What a part must be: "C1 must be 8 µF", "The gap of C1 must be 4.25 mm, exactly 4.250010150144 mm: 12.5 nF". @param {FoundValue} value @returns {HTMLElement} */
function sentence({ part, size, exact, text, value }) {
  if (!size) return html("p", { class: "found" }, nameElement(part), " must be ", html("b", {}, withSubscripts(exact ? text : value.text)));
  const exactly = exact && parseFloat(size.text) !== parseFloat(size.shown) ? ` (exactly ${size.text})` : "";
  return html("p", { class: "found" }, theSize(size), nameElement(part), " must be ", html("b", {}, size.shown), `${exactly}, which makes it ${value.text}`);
}

/** What was found is for the class to find first. @param {FoundValue} value */
function coveredAnswer(desk, { part, size }) {
  const what = size ? [theSize(size), nameElement(part)] : [nameElement(part)];
  const button = html("button", { type: "button", class: "covered", "aria-label": `what ${part} must be, covered: show it`, onclick: () => desk.editing.coverOne(valueKey(part)) }, "?");
  return html("p", { class: "found" }, ...what, " must be ", button);
}

/** @param {FoundValue} value @param {(name: string, typed: string) => string} texts of all that was found @param {(key: string) => boolean} isCovered */
function answer(desk, value, texts, isCovered) {
  if (isCovered(valueKey(value.part))) return [coveredAnswer(desk, value)];
  const line = sentence(value);
  if (value.others.length) line.append(` (or ${value.others.map(({ text }) => text).join(", or ")})`);
  line.append(" ", putter(desk, texts, value.size ? `Put ${value.size.text} in as ${theSize(value.size).toLowerCase()}${value.part}` : `Put ${value.text} in as the value of ${value.part}`));
  const first = value.line ? [line, html("p", { class: "answer-formula" }, mathElement(value.line.math))] : [line];
  if (!value.preferred.length) return first;
  const rows = value.preferred.map(({ series, text, value: nearest, reading }) => {
    const take = putter(desk, () => text, `Put ${text} of ${series} in as the value of ${value.part}`);
    return html("tr", {}, html("th", { scope: "row" }, series), html("td", {}, nearest.text), html("td", {}, reading.text), html("td", {}, take));
  });
  const heads = ["Nearest preferred", "Value", "Reading then"].map((text) => html("th", { scope: "col" }, text));
  return [...first, html("table", { class: "ledger", "aria-label": "Nearest preferred numbers" }, html("thead", {}, html("tr", {}, ...heads, html("td", {}))), html("tbody", {}, ...rows))];
}

/** Values take the places of the “?”, in every stage, as one step. @param {(name: string, typed: string) => string} text */
function putIn(desk, text) {
  const { required: _met, ...sketch } = desk.doc.sketch;
  desk.doc.change(filled(sketch, text));
}

/** What is still to be said, as the server has it; until it answers, the same in short. */
function prompt(desk, required, asked) {
  if (required.length >= asked.length && required.every(({ value }) => value)) return null;
  const told = desk.solving.state === "fault" ? desk.solving.faults.find(isOpenQuestion)?.text : undefined;
  return html("p", { class: "check" }, told ?? "Now say which reading you want.");
}

/** Nothing where no value is asked for. @param {import("../desk.js").Desk} desk @param {(key: string) => boolean} isCovered @returns {HTMLElement|null} */
export function unknownSection(desk, isCovered) {
  const { sketch } = desk.doc;
  const asked = sketch.parts.filter((part) => isAskedAtAll(sketch, part));
  const required = sketch.required ?? [];
  if (!asked.length && !required.length) return null;
  const section = html("section", { class: "unknown", "aria-label": "What must it be" }, html("h2", {}, html("span", {}, "What must it be?")));
  const missing = asked.length && asked.length <= MOST ? prompt(desk, required, asked) : null;
  if (missing) section.append(missing);
  const rows = [...required];
  while (rows.length < Math.min(asked.length, MOST)) rows.push(beginning(desk, rows));
  rows.forEach((_, place) => section.append(row(desk, rows, place, place < required.length)));
  if (begun) queueMicrotask(() => /** @type {HTMLElement|null} */ (document.querySelector(".unknown select"))?.focus());
  begun = false;
  const found = desk.solving.state === "current" ? desk.solving.solution?.found : undefined;
  if (!found) return section;
  const texts = new Map(found.flatMap(({ part, texts: each }) => each.map(({ typed, text }) => [`${part} ${typed}`, text])));
  for (const value of found) section.append(...answer(desk, value, (name, typed) => texts.get(`${name} ${typed}`) ?? typed, isCovered));
  return section;
}

/** The size that is asked for first of a build, by the words that begin it; of layers the last one. @param {string} value */
const sizeOf = (value) => (/^\s*plates/iu.test(value) ? (value.includes("+") ? "last layer" : "gap") : /^\s*sphere\s/iu.test(value) ? "radius" : "outer radius");

/** The words of a build with that size as “?”. @param {import("../desk.js").Desk} desk @param {{value?: string}} part */
async function asking(desk, part) {
  const [{ build }, { planOf, toggleAsked, wordsOf }] = await Promise.all([desk.reader.read(part.value, { kind: "capacitor", place: "value" }), import("../builds/plan.js")]);
  if (!build) return UNKNOWN;
  const { shapes } = desk.kinds.capacitor;
  const plan = planOf(build, shapes);
  const size = sizeOf(part.value);
  toggleAsked(plan, size === "gap" ? plan.gap : size === "last layer" ? plan.fillings[plan.fillings.length - 1].thickness : plan.sizes[size]);
  return wordsOf(plan, shapes);
}

/** Under the ledger: how to ask for the value of the one selected part. @param {import("../desk.js").Desk} desk @returns {HTMLElement|null} */
export function askingHint(desk) {
  const { sketch, onePart } = desk.doc;
  const part = onePart && partNamed(sketch, onePart);
  if (!part || desk.readOnly || !desk.kinds[part.kind].quantity || sketch.parts.some(isAsked)) return null;
  const built = isBuilt(part, desk.kinds);
  const ask = html("button", { type: "button", class: "edged" }, built ? `Type ? as its ${sizeOf(part.value)}` : "Type ? as its value");
  ask.addEventListener("click", async () => {
    const value = built ? await asking(desk, part) : UNKNOWN;
    begun = true;
    desk.editing.setTyped(part.name, "value", { kind: part.kind, value, tolerance: part.tolerance });
  });
  return html("p", { class: "asking" }, html("span", {}, "What must ", nameElement(part.name), " be for another reading?"), " ", ask);
}
