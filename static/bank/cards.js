// One bank as a card: a small drawing, what it is, what it does, its margins, its resistors, and what can be made of it.

import { unbroken } from "../builds/words.js";
import { html } from "../dom.js";
import { smallDrawing } from "./small_drawing.js";

/** @typedef {{draw: (bank: object) => void, print: (bank: object) => void, save: (bank: object) => Promise<string>}} Deeds `save` resolves to what there is to be said of it */

const pair = (word, ...content) => [html("dt", {}, word), html("dd", {}, ...content)];
const several = (count, word) => `${count} ${word}${count === 1 ? "" : "s"}`;

/** A sentence or heading begins with a capital. @param {string} text */
export const begun = (text) => text.charAt(0).toUpperCase() + text.slice(1);

/** A formula's text with what follows "_" as a subscript. @param {string} text @returns {(Node|string)[]} */
export const withIndices = (text) => text.split(/_([a-z]+)/).map((piece, index) => (index % 2 ? html("sub", {}, piece) : piece));

/** Whether the voltages of a string hang on values for which no tolerance is given. */
const isUntold = ({ parts }) => parts.some(({ tolerance }) => tolerance === null) && (parts.length > 1 || parts[0].count > 1);

/** @param {object} bank @param {Deeds} deeds @returns {HTMLElement} */
export function bankCard(bank, deeds) {
  const facts = [
    ...pair("Capacitance", bank.told.capacitance),
    ...(bank.given ? pair("Energy given", bank.given.text, html("span", { class: "quiet" }, ` of ${bank.energy.text} stored`)) : pair("Energy stored", bank.energy.text)),
    ...pair("Voltage", ...bank.told.voltages.map(unbroken).flatMap((line, index) => (index ? [html("br"), line] : [line]))),
    ...pair("To spare", `${bank.spare.voltage.text} of voltage${bank.strings.some(isUntold) ? " with no tolerance" : ""}, ${bank.spare.capacitance.text} of ${bank.given ? "energy" : "capacitance"}`),
  ];
  const sentences = bank.told.resistors.map(unbroken);
  const deed = (word, onclick) => html("button", { type: "button", class: "edged", onclick, "aria-label": `${word}: ${bank.words}` }, word);
  const saved = html("span", { class: "quiet", role: "status" });
  const save = async () => {
    saved.textContent = "One moment …";
    saved.textContent = await deeds.save(bank);
  };
  const body = html("div", { class: "body" },
    html("h3", {}, begun(bank.words)),
    html("p", { class: "count" }, several(bank.parts, "part"), bank.price === null ? "" : ` for ${bank.price}`),
    html("dl", {}, ...facts),
    ...(bank.balancing.note ? [html("p", { class: "quiet" }, bank.balancing.note)] : []),
    ...(sentences.length ? [html("details", {}, html("summary", {}, "Resistors"), ...sentences.map((text) => html("p", {}, text)))] : []),
    html("p", { class: "deeds" }, deed("Draw on the sheet", () => deeds.draw(bank)), deed("Print a handout", () => deeds.print(bank)), deed("Save as PDF", save), saved),
  );
  return html("li", {}, html("article", { class: "bank" }, html("div", { class: "drawn" }, smallDrawing(bank.strings)), body));
}
