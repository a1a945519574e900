// One page for the printer: what the bank has to do, its drawing, its parts, its figures with their formulas, the caution.

import { html } from "../dom.js";
import { picture } from "../drawing/picture.js";
import { legible, ofLayers } from "../handout/framed.js";
import { begun, capacitanceText, resistorSentences, voltageLines, withIndices } from "./cards.js";

const ROOM = { width: 178, height: 58, scale: 0.25 };
const NOTHING_MARKED = { selected: new Set(), joints: new Set(), faulty: new Set(), pair: null };
const STYLE = { zigzag: false, overlays: { V: false, Q: false, U: false } };

/** @param {object} sketch @param {object} kinds */
function drawing(sketch, kinds) {
  const { whole } = legible(ROOM, (big) => picture(sketch, null, { ...STYLE, big, kinds }, NOTHING_MARKED, () => false));
  return ofLayers(whole, ["ink", "joints", "labels"], "Drawing of the bank", ROOM);
}

/** What a bank takes: capacitors by row of the form, then resistors by value. */
function partsList(bank, wish, wanted) {
  const [capacitors, resistors] = [new Map(), new Map()];
  const add = (counts, key, count) => counts.set(key, (counts.get(key) ?? 0) + count);
  bank.strings.forEach(({ times, parts }, index) => {
    for (const { row, count } of parts) add(capacitors, row, times * count);
    for (const { resistance, count } of (wanted.balancing && bank.balancing.strings[index]?.resistors) || []) add(resistors, resistance.text, times * count);
  });
  if (wanted.bleed && bank.bleed) add(resistors, bank.bleed.resistance.text, 1);
  const first = [...capacitors].map(([row, count]) => {
    const { value, rated, tolerance, price } = wish.kinds[row];
    return [`${count}`, "capacitor", value, [rated, tolerance && `±${tolerance.replace(/^±/, "")}`].filter(Boolean).join(", "), price];
  });
  return [...first, ...[...resistors].map(([value, count]) => [`${count}`, "resistor", value, `±${wish.resistors}`, ""])];
}

function drawnOnce({ words, bleed }, wanted) {
  const across = wanted.bleed && bleed ? `, and across all of them the bleed resistor of ${bleed.resistance.text}` : "";
  return `One string of each sort is drawn; in parallel stand ${words}${across}.`;
}

function task({ asked }) {
  const what = asked.energy ? `give at least ${asked.energy.text} on the way from ${asked.voltage.text} down to ${asked.lowest.text}` : `have at least ${asked.capacitance.text}`;
  return `The bank has to hold ${asked.voltage.text} and ${what}.`;
}

/**
 * @param {{bank: object, plan: object, wish: import("./carrying.js").Wish, sketch: object, once: boolean, resistors: {balancing: boolean, bleed: boolean}, kinds: object, caution: object|null}} matter `once` says that of strings alike one is drawn
 * @returns {HTMLElement[]} what stands on the page
 */
export function bankPaper({ bank, plan, wish, sketch, once, resistors, kinds, caution }) {
  const head = ["Number", "Part", "Value", "Rated, tolerance", "Price each"];
  const rows = partsList(bank, wish, resistors);
  const figures = [`Capacitance: ${capacitanceText(bank)}.`, bank.given ? `Energy given: ${bank.given.text}, of ${bank.energy.text} stored at ${plan.asked.voltage.text}.` : `Energy stored at ${plan.asked.voltage.text}: ${bank.energy.text}.`, ...voltageLines(bank).map((line) => `${line}.`), ...resistorSentences(bank, plan.asked), ...(bank.balancing.note ? [bank.balancing.note] : [])];
  return [
    html("h2", {}, begun(bank.words)),
    html("p", {}, task(plan), bank.price === null ? "" : ` Its ${bank.parts} capacitors cost ${bank.price}.`),
    html("figure", { class: "drawing" }, drawing(sketch, kinds), ...(once ? [html("figcaption", {}, drawnOnce(bank, resistors))] : [])),
    html("table", { class: "ledger-on-paper" }, html("thead", {}, html("tr", {}, ...head.map((word) => html("th", { scope: "col" }, word)))), html("tbody", {}, ...rows.map(([first, ...rest]) => html("tr", {}, html("th", { scope: "row" }, first), ...rest.map((cell) => html("td", {}, cell)))))),
    html("ul", { class: "figures" }, ...figures.map((text) => html("li", {}, text))),
    html("p", { class: "note" }, "Formulas: ", ...withIndices(`${plan.formulas.map(({ what, formula }) => `${what}: ${formula}`).join("; ")}.`)),
    ...(caution ? [html("div", { class: "cautions" }, html("p", {}, html("b", {}, `${caution.figures}.`)), ...caution.sentences.map((sentence) => html("p", {}, sentence)))] : []),
    html("p", { class: "note" }, caution ? "For teaching and first estimates." : "For teaching and first estimates. Local codes, the school's rules and a trained or licensed person decide what may be built and touched."),
  ];
}
