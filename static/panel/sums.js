// The checks in words: the voltages round each loop, the charges on each isolated conductor, the battery's work.

import { html, nameElement, withSubscripts } from "../dom.js";
import { hasStages } from "../stages/sequence.js";

const MOST = 8;
/** Characters from which a term may be broken between lines. */
const LONG = 14;

/** Names as the sheet writes them, with spaces between. @param {string[]} names */
export function nameList(names) {
  const list = html("b", {});
  names.forEach((name, index) => list.append(...(index ? [" ", nameElement(name)] : [nameElement(name)])));
  return list;
}

/** "9.00 V − 3.00 V − 6.00 V": terms with their signs between them; covered ones as boxes. */
export function sumText(terms, keys, isCovered) {
  const line = html("span", {});
  terms.forEach((term, index) => {
    const negative = term.text.startsWith("−");
    const text = withSubscripts(negative ? term.text.slice(1) : term.text);
    const size = text.length < LONG ? text.replace(" ", "\u00a0") : text;
    line.append(index ? (negative ? " − " : " + ") : negative ? "−" : "");
    line.append(keys[index] && isCovered(keys[index]) ? html("span", { class: "covered" }, "?") : size);
  });
  return line;
}

const READING_OF = { loop: "voltage", charge: "charge" };

/** The keys of the readings that a check's terms are. */
const termKeys = (check) => check.terms.map((_, index) => (check.parts[index] ? `${check.parts[index]}.${READING_OF[check.kind]}` : null));

/** @param {string} start says since when a charge is there @returns {HTMLElement} one line for a loop or an isolated conductor, which may have had a charge at the start */
function checkLine(check, isCovered, start) {
  const lead = check.kind === "loop" ? "Loop " : "Between ";
  return html("p", { class: "check" }, lead, nameList(check.parts), ": ", sumText(check.terms, termKeys(check), isCovered), check.terms.length > check.parts.length ? start : "", "\u00a0=\u00a0", html("b", {}, withSubscripts(check.sum.text).replace(" ", "\u00a0")));
}

const shownTotal = (solution, name, isCovered) =>
  isCovered(`total.${name}`) ? html("span", { class: "covered" }, "?") : html("b", {}, withSubscripts(solution.totals[name].text));

/** The energy balance in words; nothing where it is not determined. @returns {HTMLElement[]} */
function energyLines(sketch, solution, isCovered) {
  const { work, energy, lost } = solution.totals;
  if (!energy || !lost) return [];
  if (sketch.parts.some((part) => part.initial !== undefined)) return balances(solution, isCovered);
  if (!work || (work.value === 0 && lost.value === 0)) return [];
  const batteries = sketch.parts.filter((part) => part.kind === "battery").map((part) => part.name);
  const total = (name) => shownTotal(solution, name, isCovered);
  return [html("p", { class: "check" }, "Work of ", nameList(batteries), ": ", total("work"), "; ", total("energy"), " stored, ", total("lost"), " lost")];
}

/** Where something was stored at the start: work of the batteries less the rise of the stored energy less what is lost. */
function balances(solution, isCovered) {
  return solution.checks
    .filter((check) => check.kind === "energy")
    .map((check) => html("p", { class: "check" }, "Work, less the rise of the stored energy, less what is lost: ", sumText(check.terms, ["total.work", "total.energy", "total.lost"], isCovered), "\u00a0=\u00a0", html("b", {}, check.sum.text)));
}

/** The section of all checks. @param {import("../desk.js").Desk} desk */
export function checksSection(desk, solution, isCovered, showAll, onMore) {
  const checks = solution.checks.filter((check) => check.kind !== "energy" && check.terms.length > 1);
  const lines = (showAll ? checks : checks.slice(0, MOST)).map((check) => checkLine(check, isCovered, hasStages(desk.doc.sketch) ? " (at the start of the stage)" : " (at the start)"));
  lines.push(...energyLines(desk.doc.sketch, solution, isCovered));
  if (!lines.length) return null;
  const section = html("section", { "aria-label": "Checks" }, html("h2", {}, html("span", {}, "Checks")), ...lines);
  if (!showAll && checks.length > MOST) {
    const more = html("button", { type: "button" }, `Show all ${checks.length}`);
    more.addEventListener("click", onMore);
    section.append(html("p", { class: "check" }, more));
  }
  return section;
}
