// Sentences of the worked solution with the names of parts and conductors as the sheet writes them: in italic, with subscripts.

import { nameElement, withSubscripts } from "../dom.js";

const escaped = (text) => text.replace(/[.*+?^${}()|[\]\\]/g, "\\$&");

/**
 * A sentence cut into what stands between names, and names.
 * @param {string} text @param {Iterable<string>} names
 * @returns {{text: string, isName: boolean}[]}
 */
export function cutAtNames(text, names) {
  const longest = [...new Set(names)].filter(Boolean).sort((a, b) => b.length - a.length);
  if (!longest.length) return [{ text, isName: false }];
  const between = new RegExp(`(?<![\\p{L}\\p{N}_])(${longest.map(escaped).join("|")})(?![\\p{L}\\p{N}_])`, "u");
  return text
    .split(between)
    .map((piece, index) => ({ text: piece, isName: index % 2 === 1 }))
    .filter((piece) => piece.text !== "");
}

/** A number stays with its unit. @param {string} text */
const unbroken = (text) => text.replace(/(\d) (?=[fpnµmkMG]?[FΩVCJAW](?![\p{L}\p{N}]))/gu, "$1\u00a0");

/** @param {string} text @param {Iterable<string>} names @returns {(Node|string)[]} */
export const withNames = (text, names) => cutAtNames(unbroken(text), names).map((piece) => (piece.isName ? nameElement(piece.text) : withSubscripts(piece.text)));
