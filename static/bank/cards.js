// One bank as a card: a small drawing, what it is, what it does, its margins, its resistors, and what can be made of it.

import { unbroken } from "../builds/words.js";
import { html } from "../dom.js";
import { smallDrawing } from "./small_drawing.js";

/** @typedef {{draw: (bank: object) => void, print: (bank: object) => void}} Deeds */

const pair = (word, ...content) => [html("dt", {}, word), html("dd", {}, ...content)];
const several = (count, word) => `${count} ${word}${count === 1 ? "" : "s"}`;

/** A sentence or heading begins with a capital. @param {string} text */
export const begun = (text) => text.charAt(0).toUpperCase() + text.slice(1);

/** A formula's text with what follows "_" as a subscript. @param {string} text @returns {(Node|string)[]} */
export const withIndices = (text) => text.split(/_([a-z]+)/).map((piece, index) => (index % 2 ? html("sub", {}, piece) : piece));

/** The bank's capacitance as marked, and between what it can lie. */
export function capacitanceText({ capacitance, least, most }) {
  return least.text === most.text ? capacitance.text : `${capacitance.text} (${least.text} to ${most.text} by tolerance)`;
}

/** Whether the voltages of a string hang on values for which no tolerance is given. */
const isUntold = ({ parts }) => parts.some(({ tolerance }) => tolerance === null) && (parts.length > 1 || parts[0].count > 1);

/** @param {object} string */
function without(string) {
  if (!isUntold(string)) return "";
  const bare = string.parts.filter(({ tolerance }) => tolerance === null);
  if (bare.length === string.parts.length) return "With no tolerance given: ";
  return `With no tolerance given for ${bare.map(({ label }) => label).join(" and ")}: `;
}

/** What the parts without a tolerance are taken to be. @param {object} string */
function taken(string) {
  if (!isUntold(string)) return "";
  return string.parts.length === 1 ? " if all are exactly alike" : " if all are exactly as marked";
}

/** A line for each kind of part in each string: what it can come to, of its rating and of what derating leaves of that. */
export function voltageLines({ strings }) {
  const line = (string, { label, worst, limit, share, ofRating }) => {
    const allowed = share.exact === ofRating.exact ? "" : ` (${share.text} of the ${limit.text} that derating allows)`;
    return unbroken(`${without(string) || "At worst "}${worst.text} on each ${label}${taken(string)}, ${ofRating.text} of its rating${allowed}`);
  };
  return [...new Set(strings.flatMap((string) => string.parts.map((part) => line(string, part))))];
}

/** Sentences on the resistors of a bank. @param {object} bank @param {object} asked of the plan @returns {string[]} */
export function resistorSentences(bank, asked) {
  const told = [];
  bank.balancing.strings.forEach((found, index) => {
    if (!found) return;
    for (const { label, resistance, worst, power } of found.resistors) {
      const bound = found.bound ? ` (at most ${found.bound.text})` : "";
      told.push(`Balancing: ${resistance.text}${bound} across each ${label}${bank.strings.length > 1 ? ` in string ${index + 1}` : ""}. With leakage at its worst the part has up to ${worst.text}, and the resistor turns up to ${power.text} into heat.`);
    }
    if (found.time) told.push(`They alone bleed the bank down to ${asked.downTo.text} within ${found.time.text}.`);
  });
  if (bank.bleed) {
    const { resistance, bound, power, constant, ratio, time } = bank.bleed;
    told.push(`Bleeding: ${resistance.text} (at most ${bound.text}) across the bank takes it down to ${asked.downTo.text} within ${time.text}, which is ${constant.text} × ln(${ratio}), and turns ${power.text} into heat while the bank works.`);
  }
  if (told.length) told.push("Common practice: a resistor across each part rather than one for all, so that no part stays charged when another breaks; each rated for twice its heat; and checked with a meter, never trusted alone.");
  return told;
}

/** @param {object} bank @param {object} asked @param {Deeds} deeds @returns {HTMLElement} */
export function bankCard(bank, asked, deeds) {
  const facts = [
    ...pair("Capacitance", capacitanceText(bank)),
    ...(bank.given ? pair("Energy given", bank.given.text, html("span", { class: "quiet" }, ` of ${bank.energy.text} stored`)) : pair("Energy stored", bank.energy.text)),
    ...pair("Voltage", ...voltageLines(bank).flatMap((line, index) => (index ? [html("br"), line] : [line]))),
    ...pair("To spare", `${bank.spare.voltage.text} of voltage${bank.strings.some(isUntold) ? " with no tolerance" : ""}, ${bank.spare.capacitance.text} of ${bank.given ? "energy" : "capacitance"}`),
  ];
  const sentences = resistorSentences(bank, asked);
  const body = html("div", { class: "body" },
    html("h3", {}, begun(bank.words)),
    html("p", { class: "count" }, several(bank.parts, "part"), bank.price === null ? "" : ` for ${bank.price}`),
    html("dl", {}, ...facts),
    ...(bank.balancing.note ? [html("p", { class: "quiet" }, bank.balancing.note)] : []),
    ...(sentences.length ? [html("details", {}, html("summary", {}, "Resistors"), ...sentences.map((text) => html("p", {}, text)))] : []),
    html("p", { class: "deeds" }, html("button", { type: "button", class: "edged", onclick: () => deeds.draw(bank), "aria-label": `Draw on the sheet: ${bank.words}` }, "Draw on the sheet"), html("button", { type: "button", class: "edged", onclick: () => deeds.print(bank), "aria-label": `Print a handout: ${bank.words}` }, "Print a handout")),
  );
  return html("li", {}, html("article", { class: "bank" }, html("div", { class: "drawn" }, smallDrawing(bank.strings)), body));
}
