// What is written beside every part: its name, its value, and its readings in one quiet line; each where there is room.

import { splitName, textWidth, withSubscripts } from "../dom.js";
import { STEP, routes } from "../geometry.js";
import { isBuilt, isSeenPast, sizeAsked } from "../builds/words.js";
import { isAsked } from "../panel/asked.js";
import { wholeValue } from "../reading_text.js";
import { node } from "../paint.js";
import { isSwitch, stateOf } from "../sketch.js";
import { TWO_WAY } from "../two_way.js";
import { pastText, strainOf, warningPath } from "../ratings/strains.js";
import { BRICK, INK, READING, SANS, SERIF, SOFT } from "./palette.js";

/** Heights of the first line and of each line of readings, and the gap between readings, before enlarging. */
const FIRST = 20;
const LINE = 18;
const GAP = 9;
/** Sheet units by which a label may change in width and stay where it is. */
const HARDLY = 14;
/** Room for the mark before a share that is past its limit. */
const MARK = 20;
/** From so many parts on, readings that find no room are left to the ledger: share of a label that others may cover. */
const MANY = 60;
const COVERED = 0.5;

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
      return { key, text: covered ? "?" : withSubscripts(readings[reading].text), covered, room: readings[reading].room };
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

/** @typedef {{text: string, width: number, key: string, covered: boolean, marked?: boolean}} Shown */

/** What a part's label says and how wide each piece is. */
function measured(part, shown, style, built, drawn) {
  const big = style.big;
  const { stem, index } = splitName(part.name);
  const width = (text, size, family, slant = "") => textWidth(text, `${slant}${size * big}px ${family}`);
  const nameWidth = width(stem, 19, SERIF, "italic ") + (index ? width(index, 13, SERIF, "italic ") + 1 : 0);
  const value = valueText(part, built, drawn);
  const valueWidth = width(value, 14, SANS);
  const readings = shown.map((each) => ({ ...each, width: Math.max(width(each.text, 13, SANS, each.marked ? "600 " : ""), each.room ? width(each.room, 13, SANS) : 0) + (each.marked ? MARK * big : 0) }));
  return { stem, index, nameWidth, value, valueWidth, readings, first: nameWidth + 6 * big + valueWidth };
}

/** The readings in one line, or each in a line of its own where room is short. @returns {{lines: Shown[][], w: number, h: number}[]} */
function settings(size, style) {
  const gap = GAP * style.big;
  const lineWidth = (line) => line.reduce((sum, each) => sum + each.width, 0) + gap * Math.max(0, line.length - 1);
  const set = (lines) => ({ lines, w: Math.max(size.first, ...lines.map(lineWidth)), h: (FIRST + LINE * lines.length) * style.big, lineWidth });
  const { readings } = size;
  if (readings.length === 0) return [set([])];
  // Each with what it was before: in one line they would reach far.
  if (readings.some(({ text }) => text.includes("→"))) return [set(readings.map((each) => [each]))];
  return readings.length === 1 ? [set([readings])] : [set([readings]), set(readings.map((each) => [each]))];
}

/** Where a label of this size may stand, best first; `side` is how its lines are set. */
function places(way, kind, { w, h }) {
  const [x, y] = way.symbol.at.map((n) => n * STEP);
  const upright = way.symbol.along[0] === 0;
  const off = kind.drawing.side + (kind.readings.includes("energy") ? 30 : 14);
  if (upright)
    return [
      { side: "start", x: x + off, y: y - h / 2 },
      { side: "end", x: x - off - w, y: y - h / 2 },
      { side: "start", x: x + off, y: y - h + 6 },
      { side: "start", x: x + off, y: y - 6 },
      { side: "start", x: x + off, y: y - h - 10 },
      { side: "start", x: x + off, y: y + 10 },
      { side: "end", x: x - off - w, y: y - h + 6 },
      { side: "end", x: x - off - w, y: y - 6 },
      { side: "end", x: x - off - w, y: y - h - 10 },
      { side: "end", x: x - off - w, y: y + 10 },
    ];
  const near = kind.drawing.side + 12;
  return [
    { side: "middle", x: x - w / 2, y: y - near - h },
    { side: "middle", x: x - w / 2, y: y + near },
    { side: "start", x: x + 20, y: y - near - h },
    { side: "end", x: x - 20 - w, y: y + near },
  ];
}

function labelNode(part, size, place, style, faulty) {
  const big = style.big;
  const start = (width) => place.x + (place.side === "end" ? place.w - width : place.side === "middle" ? (place.w - width) / 2 : 0);
  const baseline = place.y + 15 * big;
  const children = [];
  let x = start(size.first);
  const stems = [node("tspan", {}, size.stem)];
  if (size.index) stems.push(node("tspan", { dx: 1, dy: 4 * big, "font-size": 13 * big }, size.index));
  children.push(node("text", { x, y: baseline, "font-family": SERIF, "font-style": "italic", "font-size": 19 * big, fill: faulty ? BRICK : INK }, stems, "name"));
  x += size.nameWidth + 6 * big;
  const value = { x: x - 3, y: place.y, w: size.valueWidth + 6, h: 20 * big };
  const missing = size.value.startsWith("value?");
  children.push(node("text", { x, y: baseline, "font-family": SANS, "font-size": 14 * big, fill: faulty || missing ? BRICK : INK }, size.value, "value"));
  const readings = [];
  place.lines.forEach((line, row) => {
    x = start(place.lineWidth(line));
    const top = place.y + (FIRST + 2 + LINE * row) * big;
    for (const { key, text, covered, width, marked } of line) {
      const box = { x: x - 3, y: top, w: width + 6, h: LINE * big };
      if (covered) children.push(node("rect", { x: box.x, y: box.y, width: box.w, height: box.h, rx: 4, fill: "#f1ecdf", stroke: SOFT, "stroke-dasharray": "2 2" }, undefined, `${key} cover`));
      if (marked) children.push(node("path", { d: warningPath(x + big, top + 14 * big, 12 * big), fill: "none", stroke: BRICK, "stroke-width": 1.6 * big, "stroke-linejoin": "round", "stroke-linecap": "round" }, undefined, `${key} mark`));
      const written = marked ? { x: x + MARK * big, "font-weight": 600, fill: BRICK } : { x, fill: covered ? SOFT : READING };
      children.push(node("text", { y: top + 14 * big, "font-family": SANS, "font-size": 13 * big, ...written }, text, key));
      readings.push({ key, box });
      x += width + GAP * big;
    }
  });
  return { node: node("g", {}, children, `label ${part.name}`), value, readings };
}

/** Finds a place for every label: first one after the other, then again for those that another came to crowd. */
function settleLabels(labels, crowd) {
  const choose = (label) => {
    const { index } = crowd.best(label.options, label.owner);
    label.place = label.options[index];
    crowd.add(label.place, label.owner, 2);
  };
  labels.forEach(choose);
  for (const label of labels) {
    if (crowd.covered(label.place, label.owner) < 1) continue;
    crowd.free(label.owner, label.place);
    choose(label);
  }
}

/** Leaves out the readings of labels that others cover in good part. @param {Set<string>} chosen parts whose readings are wanted anyway */
function thinOut(labels, crowd, style, chosen) {
  for (const label of labels) {
    const { place, part, size, owner } = label;
    if (size.readings.length === 0 || chosen.has(part.name) || crowd.covered(place, owner) < COVERED * place.w * place.h) continue;
    crowd.free(owner, place);
    label.size = { ...size, readings: [] };
    const [set] = settings(label.size, style);
    const spare = place.w - set.w;
    label.place = { ...place, ...set, x: place.x + (place.side === "end" ? spare : place.side === "middle" ? spare / 2 : 0), terse: true };
    crowd.add(label.place, owner, 2);
  }
}

/** The place of the last picture for a label that has hardly changed in size, or null. */
function keptPlace(size, last, style) {
  const set = last && settings(size, style).find(({ lines, h }) => lines.length === last.lines && h === last.whole.h);
  if (!set || Math.abs(set.w - last.whole.w) > HARDLY) return null;
  const spare = last.whole.w - set.w;
  const x = last.whole.x + (last.side === "end" ? spare : last.side === "middle" ? spare / 2 : 0);
  return { ...set, side: last.side, choice: last.choice, x, y: last.whole.y, terse: last.terse };
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
      return { part, size: measured(part, readingsShown(part, solution, style.overlays, isCovered), style, built, drawn) };
    });
}

function drawn(labels, style, faulty) {
  const nodes = [];
  const boxes = new Map();
  for (const { part, size, place } of labels) {
    const { node: label, value, readings } = labelNode(part, size, place, style, faulty.has(part.name));
    nodes.push(label);
    const whole = { x: place.x, y: place.y, w: place.w, h: place.h };
    boxes.set(part.name, { value, readings, whole, side: place.side, lines: place.lines.length, choice: place.choice, terse: place.terse });
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
    if (last?.terse) label.size = { ...label.size, readings: [] };
    label.place = keptPlace(label.size, last, style);
    if (!label.place) return null;
  }
  return drawn(labels, style, marked.faulty);
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
    label.owner = `label ${name}`;
    const sets = settings(label.size, style).map((set) =>
      places(ways.get(name), style.kinds[kind], set).map((place, index) => ({ ...set, ...place, choice: `${set.lines.length} ${index}` })),
    );
    // On its best side a label would rather be narrow than cross over to where it may seem to belong to another part.
    label.options = [...sets.map(([first]) => first), ...sets.flatMap(([, ...others]) => others)];
    const last = label.options.findIndex(({ choice }) => choice === before.get(name)?.choice);
    if (last > 0) label.options.unshift(...label.options.splice(last, 1));
  }
  settleLabels(labels, crowd);
  if (labels.length > MANY) thinOut(labels, crowd, style, marked.selected);
  return drawn(labels, style, marked.faulty);
}
