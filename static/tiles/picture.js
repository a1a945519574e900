// One picture of tiles as plain nodes: rectangles between bars, a scale of round numbers across and up.

import { splitName, textWidth, withSubscripts } from "../dom.js";
import { node } from "../paint.js";
import { ACCENT, AMBER, BRICK, INK, READING, SANS, SERIF, SHEET, SOFT, ramp } from "../drawing/palette.js";
import { potentialShares } from "../drawing/shares.js";

/** @typedef {import("../solving.js").Reading} Reading */
/** @typedef {import("../paint.js").Node} Node */
/**
 * @typedef {{part: string, left: number, right: number, bottom: number, top: number, turned: boolean, voltage: Reading, across: Reading, area: Reading}} Tile
 * @typedef {{conductor: string, conductors: string[], potential: Reading, level: number, left: number, right: number}} Bar
 * @typedef {{kind: "capacitor"|"resistor", across: "charge"|"current", width: Reading, height: Reading, area: Reading, tiled: boolean, note: string|null,
 *   tiles: Tile[], bars: Bar[], ticks: {across: {at: number, text: string}[], up: {at: number, text: string}[]},
 *   frame?: import("../stages/moment_tiles.js").Frame}} Picture one of `solution.tiles.pictures`; with a `frame` it is drawn to that
 * @typedef {{across: number, up: number}} Reach what the whole width and height stand for, in SI units
 * @typedef {{width: number, height: number, big: number, easing: string, reach: Reach, selected: Set<string>, pointed: string|null, following?: boolean}} Setting
 *   `width` and `height` in pixels, `big` enlarges what is written, `following` is set while it follows a hand that moves
 */

const BAR = 5;
/** Above this many tiles bars are thin. */
const MANY = 16;
/** A tile is seen, and can be pointed at, however little it is. */
const LEAST = 1.6;
/** Least distances of what is written one above the other, and side by side. */
const LINE = 14;
const ASIDE = 10;

/** How much the picture spans. @param {Picture} picture @returns {Reach} */
function spanOf(picture) {
  if (picture.frame) return picture.frame;
  const low = Math.min(...picture.tiles.map((tile) => tile.bottom));
  return { across: picture.width.value, up: Math.max(...picture.tiles.map((tile) => tile.top)) - low };
}

/** What the frame stands for: as before, as long as that holds the picture well, so that a dragged value is seen to grow.
 * @param {Picture} picture @param {Reach|null} last @returns {Reach} */
export function reachOf(picture, last) {
  const span = spanOf(picture);
  if (picture.frame) return picture.frame;
  const kept = (now, before) => (before && now <= before * (1 + 1e-9) && now >= 0.6 * before ? before : now);
  return { across: kept(span.across, last?.across), up: kept(span.up, last?.up) };
}

/** Those of some marks (in order of importance) that do not come too near to one before them. */
function apart(marks, at, least) {
  const kept = [];
  for (const mark of marks) if (kept.every((other) => Math.abs(at(other) - at(mark)) >= least(other, mark))) kept.push(mark);
  return kept;
}

const text = (x, y, size, anchor, fill, content, more = {}) => node("text", { x, y, "text-anchor": anchor, "font-family": SANS, "font-size": size, fill, ...more }, content);

/** Where everything lies, in pixels. @param {Picture} picture @param {Setting} setting */
export function planOf(picture, setting) {
  const { big, reach } = setting;
  const size = 12 * big;
  const wide = (words, weight = "") => Math.max(0, ...words.map((word) => textWidth(word, `${weight} ${size}px ${SANS}`)));
  const left = Math.max(26 * big, wide(picture.bars.map((bar) => withSubscripts(bar.potential.text)), "600") + 10 * big);
  const right = wide(picture.ticks.up.map((tick) => tick.text)) + 11 * big;
  const [top, bottom] = [8 * big, 30 * big];
  const [w, h] = [Math.max(40, setting.width - left - right), Math.max(40, setting.height - top - bottom)];
  const low = picture.frame?.low ?? Math.min(...picture.tiles.map((tile) => tile.bottom));
  const bar = (picture.tiles.length > MANY ? 3 : BAR) * big;
  const plan = { size, big, bar, left, top, w, h, x: (across) => left + (across / reach.across) * w, y: (level) => top + h - ((level - low) / reach.up) * h };
  const span = spanOf(picture);
  return { ...plan, low, right: plan.x(span.across), high: plan.y(low + span.up), foot: plan.y(low) };
}

/**
 * @param {Picture} picture @param {object} solution the whole solution, for the conductors' shades @param {Setting} setting
 * @returns {Node[]}
 */
export function pictureNodes(picture, solution, setting) {
  const plan = planOf(picture, setting);
  const shares = potentialShares(solution);
  const limits = limitsOf(picture, solution);
  return [
    node("g", { class: "scale" }, scaleNodes(picture, plan), "scale"),
    node("g", {}, picture.tiles.filter(hasSize).map((tile) => tileNode(tile, picture, plan, setting)), "tiles"),
    node("g", {}, picture.tiles.flatMap((tile) => limitNodes(tile, limits.get(tile.part), picture, plan)), "limits"),
    node("g", {}, picture.bars.map((bar, index) => barNode(bar, index, plan, shares, setting)), "bars"),
    node("g", {}, bareNodes(picture.tiles.filter((tile) => !hasSize(tile)), plan, setting), "bare"),
    node("g", {}, potentialNodes(picture, plan, shares), "potentials"),
  ];
}

/** What each part may have, in volts, where that can be seen without giving anything away. @returns {Map<string, import("../ratings/strains.js").Strain>} */
function limitsOf(picture, solution) {
  const strains = picture.kind === "capacitor" ? (solution.ratings?.strains ?? {}) : {};
  return new Map(Object.entries(strains).filter(([, strain]) => strain.limit));
}

/** A line across a tile at the rated height, solid where the tile reaches past it; above a tile only where nothing stands on it. */
function limitNodes(tile, strain, picture, plan) {
  if (!strain || tile.right <= tile.left) return [];
  const level = tile.bottom + strain.limit.value;
  const box = rectOf(tile, picture, plan);
  const y = plan.y(level);
  const free = picture.tiles.every((other) => other === tile || other.left >= tile.right || other.right <= tile.left || other.top <= tile.top || other.bottom >= level);
  const inside = level <= tile.top;
  if (!inside && (!free || y < plan.top)) return [];
  const words = `${strain.limit.text} ${strain.limit.kind}`;
  const size = 11 * plan.big;
  const wide = textWidth(words, `600 ${size}px ${SANS}`);
  const line = { d: `M${box.x} ${y}H${box.x + box.width}`, stroke: inside ? BRICK : INK, "stroke-width": (inside ? 2.4 : 1.4) * plan.big, fill: "none", ...(inside ? {} : { "stroke-dasharray": `${5 * plan.big} ${4 * plan.big}` }) };
  const nodes = [node("path", line, undefined, `limit ${tile.part}`)];
  const halo = { stroke: SHEET, "stroke-width": 3 * plan.big, "stroke-linejoin": "round", "paint-order": "stroke" };
  // Under the line where the bar of the tile's upper end lies close above it.
  const baseline = inside && y - box.y < size + 6 * plan.big ? y + size + 2 * plan.big : y - 4 * plan.big;
  if (wide + 8 * plan.big < box.width) nodes.push(text(box.x + box.width - 5 * plan.big, baseline, size, "end", inside ? BRICK : INK, words, { "font-weight": 600, ...halo }));
  return nodes;
}

const hasSize = (tile) => tile.right > tile.left && tile.top > tile.bottom;

function scaleNodes(picture, plan) {
  const { size, big, foot, right, high } = plan;
  const stroke = { stroke: SOFT, "stroke-width": big, fill: "none" };
  const across = picture.ticks.across.map((tick) => ({ ...tick, x: plan.x(tick.at), wide: textWidth(tick.text, `${size}px ${SANS}`) }));
  const up = picture.ticks.up.map((tick) => ({ ...tick, y: plan.y(tick.at) }));
  const written = apart(across, (tick) => tick.x, (one, other) => (one.wide + other.wide) / 2 + ASIDE * big);
  const beside = apart(up, (tick) => tick.y, () => LINE * big);
  const nodes = across.map(({ x }, index) => node("path", { d: `M${x} ${foot + 5 * big}v${5 * big}`, ...stroke }, undefined, `across ${index}`));
  nodes.push(...written.map((tick) => text(tick.x, foot + 10 * big + size, size, "middle", SOFT, tick.text)));
  nodes.push(node("path", { d: `M${plan.left} ${foot + 5 * big}H${right}M${right + 5 * big} ${foot}V${high}`, ...stroke }, undefined, "lines"));
  nodes.push(...up.map(({ y }, index) => node("path", { d: `M${right + 5 * big} ${y}h${4 * big}`, ...stroke }, undefined, `up ${index}`)));
  nodes.push(...beside.map((tick) => text(right + 11 * big, tick.y + size * 0.36, size, "start", SOFT, tick.text)));
  return nodes;
}

/** The rectangle of a tile: neighbours leave a fine gap, those that do not tile a plain one. */
function rectOf(tile, picture, plan) {
  const [x, right, y, foot] = [plan.x(tile.left), plan.x(tile.right), plan.y(tile.top), plan.y(tile.bottom)];
  const gap = Math.min((picture.tiled ? 1 : 4) * plan.big, (right - x) / 4);
  const width = Math.max(LEAST, right - x - 2 * gap);
  return { x: Math.min((x + right - width) / 2, plan.right - width), y, width, height: Math.max(LEAST, foot - y) };
}

/** @returns {Node} */
function tileNode(tile, picture, plan, { selected, pointed, easing }) {
  const box = rectOf(tile, picture, plan);
  const lit = tile.part === pointed;
  const children = [
    node("title", {}, sentence(tile, picture)),
    node("rect", { ...box, fill: AMBER, "fill-opacity": lit ? 0.85 : 0.58, class: easing }),
  ];
  if (lit || selected.has(tile.part)) children.push(outlineOf(box, plan, selected.has(tile.part), easing));
  const label = labelOf(tile, box, plan);
  if (label) children.push(node("g", { class: easing, transform: `translate(${box.x + box.width / 2} ${box.y + box.height / 2})` }, label, "label"));
  return node("g", { "data-part": tile.part, class: lit ? "lit" : "" }, children, `tile ${tile.part}`);
}

/** Inside the bars, so that all four sides are seen; dashed where the part is selected, as on the sheet. */
function outlineOf({ x, y, width, height }, { big, bar }, isSelected, easing) {
  const [aside, down] = [Math.min(1.5 * big, width / 2), Math.min(bar / 2 + 1.5 * big, height / 2)];
  const box = { x: x + aside, y: y + down, width: width - 2 * aside, height: height - 2 * down };
  return node("rect", { ...box, fill: "none", stroke: ACCENT, "stroke-width": 2 * big, class: easing, ...(isSelected ? { "stroke-dasharray": "5 4" } : {}) }, undefined, "outline");
}

/** What a tile stands for, in one line. @param {Tile} tile @param {Picture} picture */
export function sentence(tile, picture) {
  const product = `${withSubscripts(tile.voltage.text)} × ${withSubscripts(tile.across.text)}`;
  return `${tile.part}: ${product}${picture.kind === "capacitor" ? " ÷ 2" : ""} = ${withSubscripts(tile.area.text)}`;
}

/** Name and area round the middle of a tile as far as they fit, else the name, else nothing. @returns {Node[]|null} */
function labelOf(tile, box, { big, bar }) {
  const area = withSubscripts(tile.area.text);
  const [high, wide] = [box.height - bar - 4 * big, box.width - 6 * big];
  for (const [nameSize, size] of [[19, 13], [15, 11]].map((pair) => pair.map((n) => n * big))) {
    const name = nameWidth(tile.part, nameSize);
    const beside = textWidth(area, `${size}px ${SANS}`);
    const inOne = name + 7 * big + beside;
    if (high >= nameSize + size + 10 * big && wide >= Math.max(name, beside))
      return [nameNode(tile.part, -name / 2, -0.1 * nameSize, nameSize), text(0, size * 1.25 + 1, size, "middle", INK, area)];
    if (high >= nameSize && wide >= inOne)
      return [nameNode(tile.part, -inOne / 2, nameSize * 0.32, nameSize), text(inOne / 2, nameSize * 0.32, size, "end", INK, area)];
  }
  for (const nameSize of [19 * big, 15 * big, 12 * big]) {
    const name = nameWidth(tile.part, nameSize);
    if (high >= nameSize && wide >= name) return [nameNode(tile.part, -name / 2, nameSize * 0.3, nameSize)];
  }
  return null;
}

function nameWidth(name, size) {
  const { stem, index } = splitName(name);
  return textWidth(stem, `italic ${size}px ${SERIF}`) + (index ? textWidth(index, `italic ${size * 0.68}px ${SERIF}`) + 1 : 0);
}

/** A part's name in the trade's manner, its baseline at y. @returns {Node} */
function nameNode(name, x, y, size, more = {}) {
  const { stem, index } = splitName(name);
  const spans = [node("tspan", {}, stem)];
  if (index) spans.push(node("tspan", { dx: 1, dy: size * 0.21, "font-size": size * 0.68 }, index));
  return node("text", { x, y, "font-family": SERIF, "font-style": "italic", "font-size": size, fill: INK, ...more }, spans, "name");
}

function barNode(bar, index, plan, shares, { easing }) {
  const [x, right, y] = [plan.x(bar.left), plan.x(bar.right), plan.y(bar.level)];
  const high = plan.bar;
  const share = shares.get(bar.conductor) ?? 0;
  const attributes = { x, y: y - high / 2, width: Math.max(0, right - x), height: high, rx: high / 2, fill: ramp(share), class: easing };
  return node("rect", { ...attributes, "data-conductor": bar.conductor }, undefined, `bar ${bar.conductors.join(" ")} ${index}`);
}

/** Parts without charge or current: a bare line on their conductor, several of one place side by side. */
function bareNodes(tiles, plan, { selected, pointed }) {
  const { big } = plan;
  const taken = new Map();
  return tiles.map((tile) => {
    const place = `${Math.round(plan.x(tile.left))} ${Math.round(plan.y(tile.bottom))}`;
    const before = taken.get(place) ?? 0;
    taken.set(place, before + 1);
    const x = Math.min(plan.right - 10 * big, plan.x(tile.left) + (before % 2 ? -1 : 1) * Math.ceil(before / 2) * 34 * big);
    const y = plan.y(tile.bottom);
    const strong = tile.part === pointed || selected.has(tile.part);
    const name = nameWidth(tile.part, 14 * big);
    const shape = { x: x - 10 * big, y: y - 2 * big, width: 20 * big, height: 4 * big, rx: big, fill: AMBER, stroke: strong ? ACCENT : READING, "stroke-width": (strong ? 2.2 : 1) * big };
    // At the top of the picture there is no room above.
    const baseline = y - plan.top > 20 * big ? y - 7 * big : y + 17 * big;
    const halo = { stroke: SHEET, "stroke-width": 3 * big, "stroke-linejoin": "round", "paint-order": "stroke" };
    return node("g", { "data-part": tile.part, class: strong ? "lit" : "" }, [
      node("title", {}, `${tile.part}: ${tile.across.text}, ${tile.voltage.text}`),
      node("rect", { x: x - 13 * big, y: y - 9 * big, width: 26 * big, height: 18 * big, fill: SHEET, "fill-opacity": 0 }),
      node("rect", shape),
      nameNode(tile.part, x - name / 2, baseline, 14 * big, halo),
    ], `bare ${tile.part}`);
  });
}

/** Potentials at the left, highest and lowest first; of levels too near to each other the one with the longer bars. */
function potentialNodes(picture, plan, shares) {
  const { size, big } = plan;
  const levels = new Map();
  for (const bar of picture.bars) {
    const entry = levels.get(bar.level) ?? { level: bar.level, long: 0, text: withSubscripts(bar.potential.text), share: shares.get(bar.conductor) ?? 0 };
    entry.long += bar.right - bar.left;
    levels.set(bar.level, entry);
  }
  const sorted = [...levels.values()].sort((a, b) => a.level - b.level);
  const ends = sorted.length > 1 ? [sorted[0], sorted.at(-1)] : sorted;
  const rest = sorted.filter((entry) => !ends.includes(entry)).sort((a, b) => b.long - a.long);
  return apart([...ends, ...rest], (entry) => plan.y(entry.level), () => LINE * big).map((entry) => {
    const y = plan.y(entry.level);
    return text(plan.left - 8 * big, y + size * 0.36, size, "end", INK, entry.text, { "font-weight": 600 });
  });
}
