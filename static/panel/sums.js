// The checks in words: the voltages round each loop, the charges on each isolated conductor, the battery's work.

import { html, nameElement, withSubscripts } from "../dom.js";

const MOST = 8;

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
    const size = withSubscripts(negative ? term.text.slice(1) : term.text);
    line.append(index ? (negative ? " − " : " + ") : negative ? "−" : "");
    line.append(keys[index] && isCovered(keys[index]) ? html("span", { class: "covered" }, "?") : size);
  });
  return line;
}

const READING_OF = { loop: "voltage", charge: "charge" };

/** The keys of the readings that a check's terms are. */
const termKeys = (check) => check.terms.map((_, index) => (check.parts[index] ? `${check.parts[index]}.${READING_OF[check.kind]}` : null));

/** @returns {HTMLElement} one line for a loop or an isolated conductor, which may have had a charge at the start */
export function checkLine(check, isCovered) {
  const lead = check.kind === "loop" ? "Loop " : "Between ";
  return html("p", { class: "check" }, lead, nameList(check.parts), ": ", sumText(check.terms, termKeys(check), isCovered), check.terms.length > check.parts.length ? " (at the start)" : "", "\u00a0=\u00a0", html("b", {}, withSubscripts(check.sum.text)));
}

/** The energy balance in one line, or null where it is not determined. */
function energyLine(sketch, solution, isCovered) {
  const { work, energy, lost } = solution.totals;
  if (!work || !energy || !lost || (work.value === 0 && lost.value === 0)) return null;
  const shown = (name, reading) => (isCovered(`total.${name}`) ? html("span", { class: "covered" }, "?") : html("b", {}, withSubscripts(reading.text)));
  const batteries = sketch.parts.filter((part) => part.kind === "battery").map((part) => part.name);
  const rest = [shown("energy", energy), " stored, ", shown("lost", lost), " lost"];
  if (batteries.length === 0) return html("p", { class: "check" }, "Energy: ", ...rest);
  return html("p", { class: "check" }, "Work of ", nameList(batteries), ": ", shown("work", work), "; ", ...rest);
}

/** The section of all checks. @param {import("../desk.js").Desk} desk */
export function checksSection(desk, solution, isCovered, showAll, onMore) {
  const checks = solution.checks.filter((check) => check.kind !== "energy" && check.terms.length > 1);
  const lines = (showAll ? checks : checks.slice(0, MOST)).map((check) => checkLine(check, isCovered));
  const energy = energyLine(desk.doc.sketch, solution, isCovered);
  if (energy) lines.push(energy);
  if (!lines.length) return null;
  const section = html("section", { "aria-label": "Checks" }, html("h2", {}, html("span", {}, "Checks")), ...lines);
  if (!showAll && checks.length > MOST) {
    const more = html("button", { type: "button" }, `Show all ${checks.length}`);
    more.addEventListener("click", onMore);
    section.append(html("p", { class: "check" }, more));
  }
  return section;
}
