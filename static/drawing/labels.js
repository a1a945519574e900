// What is written beside every part: its name, its value, and its readings in one quiet line; each where there is room.

import { splitName, textWidth, withSubscripts } from "../dom.js";
import { routes } from "../geometry.js";
import { isBuilt, isSeenPast, sizeAsked } from "../builds/words.js";
import { isAsked } from "../panel/asked.js";
import { wholeValue } from "../reading_text.js";
import { node } from "../paint.js";
import { isSwitch, stateOf } from "../sketch.js";
import { TWO_WAY } from "../two_way.js";
import { pastText, strainOf, warningPath } from "../ratings/strains.js";
import { BRICK, INK, READING, SANS, SERIF, SHEET, SOFT } from "./palette.js";
import { GAP, LINE, keptPlace, settleLabels } from "./places.js";

/** Room for the mark before a share that is past its limit. */
const MARK = 20;
/** Characters of a formula beyond which it is left to the ledger. */
const LONG = 18;
/** Square sheet units of a label over something else from which on it is set off. */
const CROSSING = 150;

/** Readings that each overlay shows, by kind of part. */
const SHOWN = {
  capacitor: { V: "voltage", Q: "charge", U: "energy" },
  resistor: { V: "voltage", Q: "current", U: "power" },
  battery: { V: "voltage", Q: "current", U: "power" },
  switch: { V: "voltage" },
  [TWO_WAY]: { V: "voltage" },
};

/** A battery is labelled with its emf; more is written only when a current flows or its own resistance takes a share. */
function wanted(part, reading, readings) {
  // At a moment a label has the same lines as at any other.
  if (readings[reading].room && part.kind === "battery") return reading !== "voltage" || part.internal !== undefined;
  if (part.kind === "battery") return reading === "voltage" ? part.internal !== undefined : (readings[reading]?.value ?? 0) !== 0;
  if (part.kind === "switch") return !part.closed;
  return true;
}

/** @returns {{key: string, text: string, covered: boolean, marked?: boolean}[]} the readings to write beside a part; one that is past a limit has a mark before it */
function readingsShown(part, solution, overlays, isCovered) {
  const readings = solution?.parts[part.name];
  if (!readings) return [];
  const past = pastText(strainOf(solution, part.name, isCovered));
  const shown = past ? [{ key: `${part.name}.share`, text: past, covered: false, marked: true }] : [];
  if (isSeenPast(readings, (reading) => isCovered(`${part.name}.${reading}`))) shown.push({ key: `${part.name}.past`, text: "past breakdown", covered: false, marked: true });
  return Object.entries(SHOWN[part.kind] ?? {})
    .filter(([overlay, reading]) => overlays[overlay] && readings[reading] && wanted(part, reading, readings))
    .map(([, reading]) => {
      const key = `${part.name}.${reading}`;
      const covered = isCovered(key);
      const { text, value, room } = readings[reading];
      return { key, text: covered ? "?" : withSubscripts(text), covered, room, isLong: !covered && value === null && text.length > LONG };
    })
    .concat(shown);
}

/** The words of a part's value as they stand on the sheet; of a capacitor's build the capacitance, which is shorter. @param {string} [built] @param {string} [drawn] its value in a lot from the drawer */
function valueText(part, built, drawn) {
  if (isSwitch(part)) return stateOf(part);
  const rated = part.rated?.trim() ? `, rated ${part.rated.trim()}` : "";
  const called = built ?? (part.value?.trim() || "value?");
  const value = drawn ? `${called}${rated}, here ${drawn}` : wholeValue({ ...part, value: called }) + rated;
  const starts = part.initial && part.initial.trim() ? `, starts at ${part.initial.trim()}` : "";
  const inside = part.internal && part.internal.trim() ? `, inside ${part.internal.trim()}` : "";
  return withSubscripts(value + starts + inside);
}

/** What a part's label says and how wide each piece is. */
function measured(part, shown, style, built, drawn) {
  const big = style.big;
  const { stem, index } = splitName(part.name);
  const width = (text, size, family, slant = "") => textWidth(text, `${slant}${size * big}px ${family}`);
  const nameWidth = width(stem, 19, SERIF, "italic ") + (index ? width(index, 13, SERIF, "italic ") + 1 : 0);
  const value = valueText(part, built, drawn);
  const valueWidth = width(value, 14, SANS);
  const words = value.split(/(?<=, )/u);
  const pieces = words.map((piece) => width(piece.trimEnd(), 14, SANS));
  const readings = shown.map((each) => ({ ...each, width: Math.max(width(each.text, 13, SANS, each.marked ? "600 " : ""), each.room ? width(each.room, 13, SANS) : 0) + (each.marked ? MARK * big : 0) }));
  return { stem, index, nameWidth, value, words, pieces, readings, first: nameWidth + 6 * big + valueWidth };
}

/** A value in pieces, each in a line of its own. @param {string[]} words @param {number[]} xs where those begin @param {number} rise of a line */
const piecesOf = (words, xs, rise) => words.map((piece, row) => node("tspan", row ? { x: xs[row], dy: rise } : {}, piece));

function labelNode(part, size, place, style, marked) {
  const big = style.big;
  const faulty = marked.faulty.has(part.name);
  const start = (width) => place.x + (place.side === "end" ? place.w - width : place.side === "middle" ? (place.w - width) / 2 : 0);
  const baseline = place.y + 15 * big;
  const halo = place.covered > CROSSING ? { stroke: SHEET, "stroke-width": 4, "stroke-linejoin": "round", "paint-order": "stroke" } : {};
  const children = [];
  const stems = [node("tspan", {}, size.stem)];
  if (size.index) stems.push(node("tspan", { dx: 1, dy: 4 * big, "font-size": 13 * big }, size.index));
  children.push(node("text", { x: start(place.heads[0]), y: baseline, "font-family": SERIF, "font-style": "italic", "font-size": 19 * big, fill: faulty ? BRICK : INK, ...halo }, stems, "name"));
  const heads = place.head === "apart" ? place.heads.slice(1) : place.heads;
  const xs = heads.map((width, row) => start(width) + (row === 0 && place.head !== "apart" ? size.nameWidth + 6 * big : 0));
  const right = Math.max(...heads.map((width) => start(width) + width));
  const down = place.headed - LINE * big * heads.length;
  const first = place.head === "apart" ? baseline + down : baseline;
  const value = { x: Math.min(...xs) - 3, y: first - 15 * big, w: right - Math.min(...xs) + 6, h: place.y + place.headed - first + 15 * big };
  const missing = size.value.startsWith("value?");
  const broken = place.head !== "whole" && xs.length > 1;
  children.push(node("text", { x: xs[0], y: first, "font-family": SANS, "font-size": 14 * big, fill: faulty || missing ? BRICK : INK, ...halo }, broken ? piecesOf(size.words, xs, LINE * big) : size.value, broken ? "value in pieces" : "value"));
  const readings = [];
  place.lines.forEach((line, row) => {
    let x = start(line.reduce((sum, each) => sum + each.width, 0) + GAP * big * (line.length - 1));
    const top = place.y + place.headed + (2 + LINE * row) * big;
    for (const { key, text, covered, width, marked: isMarked } of line) {
      const box = { x: x - 3, y: top, w: width + 6, h: LINE * big };
      if (covered) children.push(node("rect", { x: box.x, y: box.y, width: box.w, height: box.h, rx: 4, fill: "#f1ecdf", stroke: SOFT, "stroke-dasharray": "2 2" }, undefined, `${key} cover`));
      if (isMarked) children.push(node("path", { d: warningPath(x + big, top + 14 * big, 12 * big), fill: "none", stroke: BRICK, "stroke-width": 1.6 * big, "stroke-linejoin": "round", "stroke-linecap": "round" }, undefined, `${key} mark`));
      const said = isMarked ? { x: x + MARK * big, "font-weight": 600, fill: BRICK } : { x, fill: covered ? SOFT : READING };
      children.push(node("text", { y: top + 14 * big, "font-family": SANS, "font-size": 13 * big, ...said, ...halo }, text, key));
      readings.push({ key, box });
      x += width + GAP * big;
    }
  });
  const named = { x: start(Math.max(...place.heads)) - 3, y: place.y, w: Math.max(...place.heads) + 6, h: place.headed };
  return { node: node("g", {}, children, `label ${part.name}`), value, named, readings };
}

/** What stands for a build's words, which are long: the size that was found, or is asked for; its capacitance. Undefined where the words are wanted. */
function builtText(part, drawn, isCovered, readings, solution, style) {
  if (part.size) return part.size;
  if (drawn) return "as built";
  if (isCovered(`${part.name}.capacitance`)) return undefined;
  if (readings?.capacitance) return readings.capacitance.text;
  if (solution) return undefined;
  return isAsked(part) ? `${sizeAsked(part.value, style.kinds.capacitor.shapes)} ?` : "as built";
}

/** Every part's label as far as it does not depend on where it stands. */
function labelsOf(sketch, solution, style, isCovered) {
  return sketch.parts
    .filter((part) => part.kind !== "wire")
    .map((part) => {
      const readings = solution?.parts[part.name];
      const drawn = solution?.lot?.values[part.name]?.text;
      const built = isBuilt(part, style.kinds) ? builtText(part, drawn, isCovered, readings, solution, style) : undefined;
      const shown = readingsShown(part, solution, style.overlays, isCovered);
      const kept = shown.filter(({ isLong }) => !isLong);
      return { part, size: { ...measured(part, kept, style, built, drawn), formulas: kept.length < shown.length } };
    });
}

function drawn(labels, style, marked) {
  const nodes = [];
  const boxes = new Map();
  for (const { part, size, place } of labels) {
    const { node: label, ...written } = labelNode(part, size, place, style, marked);
    nodes.push(label);
    const { x, y, w, h, head, lines, side, choice, terse, covered } = place;
    boxes.set(part.name, { ...written, whole: { x, y, w, h }, head, lines: lines.length, side, choice, terse, covered, formulas: size.formulas });
  }
  return { nodes, boxes };
}

/**
 * Labels where they stood in the last picture, for a sketch drawn just like that one; null where one has outgrown its place.
 * @param {Map<string, object>} before
 */
export function keptLabelNodes(sketch, solution, style, isCovered, marked, before) {
  const labels = labelsOf(sketch, solution, style, isCovered);
  for (const label of labels) {
    const last = before.get(label.part.name);
    if (last?.terse && marked.selected.has(label.part.name)) return null;
    label.place = keptPlace(label.size, last, style.big);
    if (!label.place) return null;
  }
  return drawn(labels, style, marked);
}

/**
 * Labels for every part but wires. Takes its boxes in `crowd`. A label stays where it was `before` as long as that is free.
 * @returns {{nodes: import("../paint.js").Node[], boxes: Map<string, object>}}
 */
export function labelNodes(sketch, solution, style, isCovered, marked, crowd, before) {
  const ways = routes(sketch);
  const labels = labelsOf(sketch, solution, style, isCovered);
  for (const label of labels) {
    const { name, kind } = label.part;
    Object.assign(label, { owner: `label ${name}`, way: ways.get(name), kind: style.kinds[kind], before: before.get(name) });
  }
  settleLabels(labels, crowd, style.big, marked.selected);
  return drawn(labels, style, marked);
}
