// The tiles as a file, alone or beside the drawing: SVG elements that stand alone.

import { svg } from "./dom.js";
import { INK, SANS, SHEET } from "./drawing/palette.js";
import { drawn } from "./exporting.js";
import { coveredSentence, givenAway } from "./tiles/covers.js";
import { pictureNodes, reachOf } from "./tiles/picture.js";

/** @typedef {import("./tiles/picture.js").Picture} Picture */

const SIZE = { width: 560, height: 340 };
const MARGIN = 24;
const HEAD = 30;
const HEADS = {
  capacitor: "Charge across, voltage up: area ÷ 2 = energy",
  resistor: "Current across, voltage up: area = power",
};

/** @param {number} width @param {number} height @param {string} title @param {...SVGElement} content */
function sheetOf(width, height, title, ...content) {
  const ground = svg("rect", { x: 0, y: 0, width, height, fill: SHEET });
  return svg("svg", { viewBox: `0 0 ${width} ${height}`, width, height, role: "img" }, svg("title", {}, title), ground, ...content);
}

/** One picture with its heading, its upper left corner at the origin. @param {Picture} picture @param {object} solution */
function pictureOf(picture, solution) {
  const setting = { ...SIZE, big: 1, easing: "", reach: reachOf(picture, null), selected: new Set(), pointed: null };
  const head = svg("text", { x: 0, y: 16, "font-family": SANS, "font-size": 14, "font-weight": 600, fill: INK }, HEADS[picture.kind]);
  return [head, svg("g", { transform: `translate(0 ${HEAD})` }, ...pictureNodes(picture, solution, setting).map(drawn))];
}

/**
 * The tiles of a solution, one picture under the other.
 * @param {object} solution with its tiles @param {import("./sketch.js").Sketch} sketch @param {(key: string) => boolean} isCovered @param {string} title
 * @returns {SVGElement} Throws an Error whose message is for people, where there are none or where they would give away what is covered.
 */
export function tilesElement(solution, sketch, isCovered, title) {
  const { pictures, notes } = solution.tiles;
  if (!pictures.length) throw new Error(notes[0] ?? "There are no tiles yet: no part carries a charge or a current.");
  const covered = pictures.flatMap((picture) => givenAway(picture, solution, sketch, isCovered));
  if (covered.length) throw new Error(coveredSentence([...new Set(covered)], isCovered("*")));
  const step = SIZE.height + HEAD + MARGIN;
  const placed = pictures.map((picture, index) => svg("g", { transform: `translate(${MARGIN} ${MARGIN + index * step})` }, ...pictureOf(picture, solution)));
  return sheetOf(SIZE.width + 2 * MARGIN, MARGIN + pictures.length * step, title, ...placed);
}

/** Drawing and tiles side by side, each in the middle of its half. @param {SVGElement} drawing @param {SVGElement} tiles @param {string} title */
export function sideBySide(drawing, tiles, title) {
  const [one, other] = [drawing, tiles].map((element) => ({ element, width: Number(element.getAttribute("width")), height: Number(element.getAttribute("height")) }));
  const height = Math.max(one.height, other.height);
  for (const { element, height: own } of [one, other]) element.setAttribute("y", String(Math.round((height - own) / 2)));
  other.element.setAttribute("x", String(one.width));
  for (const { element } of [one, other]) element.querySelector("title")?.remove();
  return sheetOf(one.width + other.width, height, title, drawing, tiles);
}
