// What is written beside every part: its name, its value, and its readings in one quiet line; each where there is room.

import { splitName, textWidth } from "../dom.js";
import { STEP, routes } from "../geometry.js";
import { node } from "../paint.js";
import { BRICK, INK, READING, SANS, SERIF, SOFT } from "./palette.js";

/** Readings that each overlay shows, by kind of part. */
const SHOWN = {
  capacitor: { V: "voltage", Q: "charge", U: "energy" },
  resistor: { V: "voltage", Q: "current", U: "power" },
  battery: { V: "voltage", Q: "current", U: "power" },
  switch: { V: "voltage" },
};

/** A battery is labelled with its emf; more is written only when a current flows or its own resistance takes a share. */
function wanted(part, reading, readings) {
  if (part.kind === "battery") return reading === "voltage" ? part.internal !== undefined : (readings[reading]?.value ?? 0) !== 0;
  if (part.kind === "switch") return !part.closed;
  return true;
}

/** @returns {{key: string, text: string, covered: boolean}[]} the readings to write beside a part */
export function readingsShown(part, readings, overlays, isCovered) {
  if (!readings) return [];
  return Object.entries(SHOWN[part.kind] ?? {})
    .filter(([overlay, reading]) => overlays[overlay] && readings[reading] && wanted(part, reading, readings))
    .map(([, reading]) => {
      const key = `${part.name}.${reading}`;
      const covered = isCovered(key);
      return { key, text: covered ? "?" : readings[reading].text, covered };
    });
}

/** The words of a part's value as they stand on the sheet. */
export function valueText(part) {
  if (part.kind === "switch") return part.closed ? "closed" : "open";
  const value = part.value?.trim() || "value?";
  const starts = part.initial && part.initial.trim() ? `, starts at ${part.initial.trim()}` : "";
  const inside = part.internal && part.internal.trim() ? `, inside ${part.internal.trim()}` : "";
  return value + starts + inside;
}

/** Sizes of a part's label. */
function measured(part, shown, style) {
  const big = style.big;
  const { stem, index } = splitName(part.name);
  const fonts = { stem: `italic ${19 * big}px ${SERIF}`, index: `italic ${13 * big}px ${SERIF}`, value: `${14 * big}px ${SANS}`, reading: `${13 * big}px ${SANS}` };
  const nameWidth = textWidth(stem, fonts.stem) + (index ? textWidth(index, fonts.index) + 1 : 0);
  const value = valueText(part);
  const valueWidth = textWidth(value, fonts.value);
  const widths = shown.map(({ text }) => textWidth(text, fonts.reading));
  const gap = 9 * big;
  const second = widths.reduce((sum, width) => sum + width, 0) + gap * Math.max(0, widths.length - 1);
  const first = nameWidth + 6 * big + valueWidth;
  return { stem, index, nameWidth, value, valueWidth, widths, gap, first, second, w: Math.max(first, second), h: (shown.length ? 40 : 20) * big };
}

/** Where a label may stand, best first; `side` is how its lines are set. */
function places(way, kind, size, style) {
  const [x, y] = way.symbol.at.map((n) => n * STEP);
  const upright = way.symbol.along[0] === 0;
  const off = kind.drawing.side + (kind.readings.includes("energy") && style.overlays.U ? 24 : 14);
  if (upright)
    return [
      { side: "start", x: x + off, y: y - size.h / 2 },
      { side: "end", x: x - off - size.w, y: y - size.h / 2 },
      { side: "start", x: x + off, y: y - size.h - 16 },
      { side: "start", x: x + off, y: y + 16 },
      { side: "end", x: x - off - size.w, y: y + 16 },
    ];
  const near = kind.drawing.side + 12;
  return [
    { side: "middle", x: x - size.w / 2, y: y - near - size.h },
    { side: "middle", x: x - size.w / 2, y: y + near },
    { side: "start", x: x + 20, y: y - near - size.h },
    { side: "end", x: x - 20 - size.w, y: y + near },
  ];
}

function labelNode(part, size, place, shown, style, faulty) {
  const big = style.big;
  const lineStart = (width) => place.x + (place.side === "end" ? size.w - width : place.side === "middle" ? (size.w - width) / 2 : 0);
  const baseline = place.y + 15 * big;
  const children = [];
  let x = lineStart(size.first);
  const name = { x, y: baseline, "font-family": SERIF, "font-style": "italic", "font-size": 19 * big, fill: faulty ? BRICK : INK };
  const stems = [node("tspan", {}, size.stem)];
  if (size.index) stems.push(node("tspan", { dx: 1, dy: 4 * big, "font-size": 13 * big }, size.index));
  children.push(node("text", name, stems, "name"));
  x += size.nameWidth + 6 * big;
  const value = { x: x - 3, y: place.y, w: size.valueWidth + 6, h: 20 * big };
  const missing = size.value === "value?";
  children.push(node("text", { x, y: baseline, "font-family": SANS, "font-size": 14 * big, fill: faulty || missing ? BRICK : INK }, size.value, "value"));
  const readingBoxes = [];
  x = lineStart(size.second);
  shown.forEach(({ key, text, covered }, index) => {
    const box = { x: x - 3, y: place.y + 22 * big, w: size.widths[index] + 6, h: 18 * big };
    if (covered) children.push(node("rect", { x: box.x, y: box.y, width: box.w, height: box.h, rx: 4, fill: "#f1ecdf", stroke: SOFT, "stroke-dasharray": "2 2" }, undefined, `${key} cover`));
    children.push(node("text", { x, y: place.y + 36 * big, "font-family": SANS, "font-size": 13 * big, fill: covered ? SOFT : READING }, text, key));
    readingBoxes.push({ key, box });
    x += size.widths[index] + size.gap;
  });
  return { node: node("g", {}, children, `label ${part.name}`), value, readings: readingBoxes };
}

/**
 * Labels for every part but wires. Takes its boxes in `crowd`.
 * @returns {{nodes: import("../paint.js").Node[], boxes: Map<string, {value: object, readings: object[], whole: object}>}}
 */
export function labelNodes(sketch, solution, style, isCovered, faulty, crowd) {
  const nodes = [];
  const boxes = new Map();
  const ways = routes(sketch);
  for (const part of sketch.parts) {
    if (part.kind === "wire") continue;
    const shown = readingsShown(part, solution?.parts[part.name], style.overlays, isCovered);
    const size = measured(part, shown, style);
    const options = places(ways.get(part.name), style.kinds[part.kind], size, style);
    const place = options[crowd.best(options.map(({ x, y }) => ({ x, y, w: size.w, h: size.h })), part.name).index];
    const whole = { x: place.x, y: place.y, w: size.w, h: size.h };
    crowd.add(whole, part.name, 2);
    const label = labelNode(part, size, place, shown, style, faulty.has(part.name));
    nodes.push(label.node);
    boxes.set(part.name, { value: label.value, readings: label.readings, whole });
  }
  return { nodes, boxes };
}
