// The two sheets of a handout, as they are printed: the question sheet and the answer key.

import { html } from "../dom.js";
import { FormulaLine } from "../solution/formula.js";
import { NetworkNames } from "../solution/network_names.js";
import { withNames } from "../solution/words.js";
import { answerDrawing, questionDrawing, stepDrawing, tilesDrawing } from "./drawings.js";
import { ledgerTables } from "./ledger_table.js";

/**
 * @typedef {{title: string, task: string, paper: "a4"|"letter", question: boolean, key: boolean, room: "lines"|"blank"|"none", tiles: boolean, steps: boolean, zigzag: boolean}} Choices
 * @typedef {{sketch: import("../sketch.js").Sketch, solution: object, kinds: object, isCovered: (key: string) => boolean}} Matter
 */

/** Enough lines for the longest page: those that do not fit are cut off with the room. */
const LINES = 40;
const CAPTIONS = {
  capacitor: "Tiles: charge across, voltage up. Half of each area is the energy.",
  resistor: "Tiles: current across, voltage up. Each area is the power.",
};

const styleOf = ({ kinds }, { zigzag }) => ({ kinds, big: 1, zigzag, overlays: { V: false, Q: false, U: false } });
const namesOf = ({ sketch, solution }) => new NetworkNames(sketch, solution.steps?.steps ?? []);

/** Sentences of the teacher's, line breaks and all, with parts' names as the sheet writes them. */
function taskWords(task, names) {
  return task.split(/\n+/).filter((line) => line.trim()).map((line) => html("p", {}, ...withNames(line, names)));
}

function cautions({ solution }) {
  const sentences = solution.handout.cautions;
  return sentences.length ? [html("div", { class: "cautions" }, ...sentences.map((sentence) => html("p", {}, sentence)))] : [];
}

function roomToWrite(room) {
  if (room === "none") return [];
  const lines = room === "lines" ? Array.from({ length: LINES }, () => html("div", { class: "line" })) : [];
  return [html("div", { class: "room" }, html("p", { class: "room-head" }, "Working"), html("div", { class: "lines" }, ...lines))];
}

/** Millimetres of room that make it worth while to write on the same page, and what the page keeps free at its foot. */
const [WORTH_WHILE, FOOT] = [36, 15];
/** Millimetres of a line to write on, as in paper.css, and of what stands above the first, with a little to spare. */
const [LINE, HEAD] = [8.5, 9];

/**
 * Gives the room to write a page of its own where the first is full.
 * @param {HTMLElement} sheet on the page by now
 * @returns {{lines: number, ownPage: boolean}} how much room there is, for who cannot measure it
 */
export function giveRoom(sheet) {
  const room = sheet.querySelector(".room");
  if (!room) return { lines: 0, ownPage: false };
  const millimetre = sheet.offsetWidth / parseFloat(getComputedStyle(sheet).getPropertyValue("--paper-wide"));
  const above = room.getBoundingClientRect().top - sheet.getBoundingClientRect().top;
  const paper = parseFloat(getComputedStyle(sheet).getPropertyValue("--paper-high")) * millimetre;
  const ownPage = paper - above < (WORTH_WHILE + FOOT) * millimetre;
  room.classList.toggle("own", ownPage);
  const lines = Math.floor((room.offsetHeight / millimetre - HEAD) / LINE);
  return { lines: Math.max(0, Math.min(LINES, lines)), ownPage };
}

/** @param {Matter} matter @param {Choices} choices @returns {HTMLElement} */
export function questionSheet(matter, choices) {
  const { sketch, solution, isCovered } = matter;
  const blanks = ["Name", "Class", "Date"].map((word) => html("span", { class: `blank ${word.toLowerCase()}` }, word));
  const task = taskWords(choices.task, namesOf(matter).all);
  return html(
    "section",
    { class: "paper question", "aria-label": "Question sheet" },
    html("p", { class: "blanks" }, ...blanks),
    html("h2", {}, choices.title || "Network"),
    html("div", { class: "task" }, ...task),
    html("figure", { class: "drawing" }, questionDrawing(sketch, solution, styleOf(matter, choices), isCovered)),
    ...ledgerTables(solution.handout.blank),
    ...cautions(matter),
    ...roomToWrite(choices.room),
  );
}

function tilesFigures({ solution }) {
  const { pictures = [], notes = [] } = solution.tiles ?? {};
  const figures = pictures.map((tiles) => html("figure", { class: "tiles" }, tilesDrawing(tiles, solution), html("figcaption", {}, [CAPTIONS[tiles.kind], tiles.note].filter(Boolean).join(" "))));
  return [...figures, ...notes.map((note) => html("p", { class: "note" }, note))];
}

/** The worked solution, and its formulas, which suit themselves to their width once they are on the page. */
function workedSolution(matter, choices) {
  const { solution } = matter;
  const { opening, closing, steps } = solution.steps;
  const names = namesOf(matter).all;
  const formulas = [];
  const items = steps.map((step, index) => {
    const lines = step.lines.map((line) => new FormulaLine(line));
    formulas.push(...lines);
    const work = html("div", { class: "work" }, html("div", { class: "formulas" }, ...lines.map(({ element }) => element)));
    const { drawing, isWide } = step.sketch ? stepDrawing(step.sketch, styleOf(matter, choices)) : { drawing: null, isWide: false };
    const wide = isWide ? [html("figure", { class: "now wide" }, drawing)] : [];
    if (drawing && !isWide) work.append(html("figure", { class: "now" }, drawing));
    return html("li", { class: "step" }, html("h4", {}, html("span", { class: "number" }, `${index + 1}`), ...withNames(step.title, names)), html("p", { class: "reason" }, ...withNames(step.reason, names)), ...wide, work);
  });
  const section = html("section", { class: "worked" }, html("h3", {}, "Worked solution"), html("p", {}, ...withNames(opening, names)), html("ol", { role: "list" }, ...items), html("p", { class: "closing" }, ...withNames(closing, names)));
  return { section, formulas };
}

/** @param {Matter} matter @param {Choices} choices @returns {{sheet: HTMLElement, formulas: FormulaLine[]}} */
export function answerKey(matter, choices) {
  const { sketch, solution } = matter;
  const worked = choices.steps && solution.steps?.steps.length ? workedSolution(matter, choices) : { section: null, formulas: [] };
  const sheet = html(
    "section",
    { class: "paper key", "aria-label": "Answer key" },
    html("h2", {}, html("span", { class: "of" }, "Answer key"), " ", choices.title || "Network"),
    html("div", { class: "task" }, ...taskWords(choices.task, namesOf(matter).all)),
    html("figure", { class: "drawing" }, answerDrawing(sketch, solution, styleOf(matter, choices))),
    ...ledgerTables(solution.handout.filled),
    ...(choices.tiles ? tilesFigures(matter) : []),
    ...(worked.section ? [worked.section] : []),
    ...(choices.question ? [] : cautions(matter)),
  );
  return { sheet, formulas: worked.formulas };
}
