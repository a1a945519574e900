// A worked solution to take along: one step or all of it, as LaTeX for a document of one's own or as plain text.

import { splitName, withSubscripts } from "../dom.js";
import { MATH } from "../latex.js";
import { cutAtNames } from "./words.js";

/** @typedef {{title: string, reason: string, lines: import("./formula.js").Line[]}} Step */
/** @typedef {{title: string, opening: string, closing: string, steps: Step[]}} Whole */

/** Signs that LaTeX's text writes by a command; the rest of its own signs are escaped, letters and the like stand in `MATH`. */
const COMMANDS = {
  "\\": "\\textbackslash{}", "~": "\\textasciitilde{}", "^": "\\textasciicircum{}", "\u2126": "$\\Omega$",
  "−": "$-$", "×": "$\\times$", "·": "$\\cdot$", "∥": "$\\parallel$", "½": "$\\frac{1}{2}$", "²": "$^{2}$", "≈": "$\\approx$",
  "…": "\\dots{}", "“": "``", "”": "''", "’": "'", "–": "--", "\u00a0": "~",
};
const OWN = new Set("{}$&#%_");

const latexSign = (sign) => COMMANDS[sign] ?? (OWN.has(sign) ? `\\${sign}` : MATH[sign] ? `$${MATH[sign]}$` : sign);
const latexText = (text) => [...text].map(latexSign).join("");

/** A name in mathematics, as the solver's formulas have it: an index of several letters is upright. @param {string} name */
function latexName(name) {
  const { stem, index } = splitName(name);
  const inMath = (text) => [...text].map((sign) => (MATH[sign] ? `${MATH[sign]} ` : latexSign(sign))).join("").trimEnd();
  const lowered = index.length > 1 && !/^\d+$/.test(index) ? `\\mathrm{${inMath(index)}}` : inMath(index);
  return index ? `$${inMath(stem)}_{${lowered}}$` : `$${inMath(stem)}$`;
}

/** A sentence in LaTeX's text mode, names of parts as symbols. @param {string} text @param {Iterable<string>} names */
const latexWords = (text, names) => cutAtNames(text, names).map((piece) => (piece.isName ? latexName(piece.text) : latexText(withSubscripts(piece.text)))).join("");

/** @param {Step} step @param {number} number @param {Iterable<string>} names */
export function stepAsLatex(step, number, names) {
  const lines = step.lines.map((line) => `\\[ ${line.latex} \\]`);
  return [`\\paragraph{${number}. ${latexWords(step.title, names)}} ${latexWords(step.reason, names)}`, ...lines].join("\n");
}

/** @param {Step} step @param {number} number */
export function stepAsText(step, number) {
  return [`${number}. ${step.title}`, step.reason, ...step.lines.map((line) => `    ${line.text}`)].filter(Boolean).join("\n");
}

const joined = (pieces) => `${pieces.filter(Boolean).join("\n\n")}\n`;

/** @param {Whole} whole @param {Iterable<string>} names */
export function allAsLatex({ title, opening, closing, steps }, names) {
  const head = `\\subsection*{${latexWords(title, names)}}`;
  return joined([head, latexWords(opening, names), ...steps.map((step, index) => stepAsLatex(step, index + 1, names)), latexWords(closing, names)]);
}

/** @param {Whole} whole */
export const allAsText = ({ title, opening, closing, steps }) => joined([title, opening, ...steps.map((step, index) => stepAsText(step, index + 1)), closing]);
