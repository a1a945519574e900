// Questions of time: when a reading reaches a value, and what it is so long after the start; the answers come from the server.

import { html } from "../dom.js";
import { mathElement } from "../solution/math.js";
import { withNames } from "../solution/words.js";
import { changeList, removeButton } from "./listed.js";
import { atMoment, hasStages, shownStage } from "../stages/sequence.js";

/** @typedef {{reading: string, reaches?: string, at?: string}} Question @typedef {{text: string, lines: {math: any, text: string}[], times: {value: number, text: string}[], answered: boolean}} Answer */

const MOST = 12;
/** What of each kind of part can be followed over time. */
const FOLLOWED = { capacitor: ["voltage", "charge", "current", "energy"], resistor: ["voltage", "current", "power"], battery: ["current", "voltage"] };

/** A value of each sort, to show how one is typed. */
const SUCH_AS = { voltage: "6 V", charge: "30 µC", current: "2 mA", energy: "1 mJ", power: "5 mW" };

/** The question that was just added, until it has the focus. @type {number|null} */
let newest = null;

/** @returns {[string, string][]} readings with their words */
export function followed({ parts, probes }) {
  const of = ({ name, kind }) => (FOLLOWED[kind] ?? []).map((word) => /** @type {[string, string]} */ ([`${name}.${word}`, `${word} of ${name}`]));
  const order = ["capacitor", "resistor", "battery"];
  const sorted = [...parts].sort((a, b) => order.indexOf(a.kind) - order.indexOf(b.kind));
  return [...sorted.flatMap(of), ...(probes ?? []).map((pair) => /** @type {[string, string]} */ ([`probe ${pair.join(" ")}.voltage`, `voltage between ${pair.join(" and ")}`]))];
}

/** Changes a question, and speaks its answer. @param {import("../desk.js").Desk} desk @param {number} place @param {(now: Question) => Question} become */
function change(desk, place, become) {
  desk.afterSolving(() => desk.announce(desk.currentSolution?.answers?.[place]?.text ?? ""));
  changeList(desk, "questions", (now) => now.map((each, index) => (index === place ? become(each) : each)));
}

/** @param {number} place of a question */
const focusOn = (place) => /** @type {HTMLElement|null} */ (document.querySelector(`.times [data-focus="question ${place}"]`))?.focus();

/** Begins the next question, or goes on with one that was begun. */
export function goToQuestions() {
  const last = /** @type {HTMLInputElement|undefined} */ ([...document.querySelectorAll(".times input")].at(-1));
  const ask = /** @type {HTMLElement|null} */ (document.querySelector('.times [data-focus="ask"]'));
  if (ask && (!last || last.value.trim())) ask.click();
  else last?.focus();
}

/** @param {import("../desk.js").Desk} desk @param {Question[]} questions @param {number} place */
function row(desk, questions, place) {
  const { reading, reaches, at } = questions[place];
  const put = (/** @type {(now: Question) => Question} */ become) => change(desk, place, become);
  const number = place + 1;
  const which = html("select", { "aria-label": `Reading of question ${number}`, "data-focus": `question ${place} reading` });
  const known = followed(desk.doc.sketch);
  for (const [key, words] of known.some(([key]) => key === reading) ? known : [[reading, reading], ...known]) which.append(html("option", { value: key, selected: key === reading }, words));
  const asks = html("select", { "aria-label": `What question ${number} asks`, "data-focus": `question ${place} asks` }, html("option", { value: "reaches", selected: at === undefined }, "reaches"), html("option", { value: "at", selected: at !== undefined }, "after"));
  const input = /** @type {HTMLInputElement} */ (html("input", { type: "text", maxlength: 60, "aria-label": at === undefined ? `Value of question ${number}` : `Time of question ${number}`, placeholder: at === undefined ? `${SUCH_AS[reading.slice(reading.lastIndexOf(".") + 1)]} or 80 %` : "10 s", "data-focus": `question ${place}`, "data-entry": "", autocomplete: "off", spellcheck: "false" }));
  input.defaultValue = (at ?? reaches) || "";
  which.addEventListener("change", () => put((now) => ({ ...now, reading: /** @type {HTMLSelectElement} */ (which).value })));
  asks.addEventListener("change", () => put((now) => ({ reading: now.reading, [/** @type {HTMLSelectElement} */ (asks).value]: "" })));
  input.addEventListener("change", () => put((now) => ({ reading: now.reading, [now.at === undefined ? "reaches" : "at"]: input.value.trim() })));
  input.addEventListener("keydown", (event) => {
    event.stopPropagation();
    if (event.key !== "Enter" || input.value.trim() === ((at ?? reaches) || "")) return;
    // The answer is written out once the field is left; then the typing may go on.
    desk.afterSolving(() => document.activeElement === document.body && focusOn(place));
    input.blur();
  });
  return html("p", { class: "required" }, which, asks, input, removeButton(desk, "questions", place, `Remove question ${number}`));
}

/** A button that takes the time line to a moment of the answer. @param {import("../desk.js").Desk} desk */
function shower(desk, { value, text }) {
  const show = html("button", { type: "button", class: "edged", "aria-label": `Show the sheet after ${text}` }, "Show");
  show.addEventListener("click", () => desk.doc.turn(atMoment(desk.doc.sketch, value)));
  return show;
}

/** @param {import("../desk.js").Desk} desk @param {Answer} answer @param {string[]} names of parts */
function told(desk, { text, lines, times, answered }, names) {
  const words = html("p", { class: answered ? "answer" : "check" }, ...withNames(text.replaceAll(" %", "\u00a0%"), names));
  if (hasStages(desk.doc.sketch)) for (const time of times) words.append(" ", shower(desk, time));
  return [words, ...lines.map((line) => html("p", { class: "answer-formula" }, mathElement(line.math)))];
}

/** Whether the stage that is shown has a course in time. @param {import("../desk.js").Desk} desk */
export const hasCourse = ({ doc: { sketch }, solving }) => hasStages(sketch) && Boolean(solving.solution?.stages?.[shownStage(sketch)]?.course);

/** Nothing where nothing on the sheet could take its time. @param {import("../desk.js").Desk} desk @returns {HTMLElement|null} */
export function timesSection(desk) {
  const { sketch } = desk.doc;
  const questions = sketch.questions ?? [];
  const names = sketch.parts.map(({ name }) => name);
  const has = (kind) => sketch.parts.some((part) => part.kind === kind);
  const slow = has("capacitor") && (has("resistor") || sketch.parts.some(({ internal }) => internal));
  if (!questions.length && !slow) return null;
  const section = html("section", { class: "times", "aria-label": "Questions of time" }, html("h2", {}, html("span", {}, "Questions of time")));
  const place = newest;
  if (place !== null && place < questions.length) {
    // It takes the focus once it is on the page.
    newest = null;
    queueMicrotask(() => focusOn(place));
  }
  const answers = sketch.covered?.length ? null : desk.currentSolution?.answers;
  questions.forEach((_, place) => section.append(row(desk, questions, place), ...(answers?.[place] ? told(desk, answers[place], names) : [])));
  if (questions.length && sketch.covered?.length) section.append(html("p", { class: "check" }, "The answers are covered as long as a reading is."));
  const ask = html("button", { type: "button", class: "edged", "data-focus": "ask" }, questions.length ? "Ask another" : "When does a reading reach …?");
  ask.addEventListener("click", () => {
    const known = followed(sketch);
    const [reading] = known.find(([key]) => key.startsWith(`${desk.doc.onePart}.`)) ?? known[0];
    changeList(desk, "questions", (now) => {
      if (now.length >= MOST) return now;
      newest = now.length;
      return [...now, { reading, reaches: "" }];
    });
  });
  if (questions.length < MOST) section.append(ask);
  return section;
}
