// Where labels stand and how their lines are set: in one line, each in its own, or without readings, as there is room.

import { STEP } from "../geometry.js";

/** @typedef {import("./crowd.js").Box} Box @typedef {{text: string, width: number, key: string, covered: boolean, marked?: boolean}} Shown */
/**
 * @typedef {{name: string, head: "whole"|"split"|"apart", heads: number[], lines: Shown[][], terse: boolean, headed: number, w: number, h: number}} Setting how the
 *   lines of a label are set: the widths of the lines of its name and value, then those of its readings; `headed` the height of the first, `terse` where the others are left out
 */

/** Heights of the first line and of each line after it, and the gap between readings, before enlarging. */
const FIRST = 20;
export const LINE = 18;
export const GAP = 9;
/** Sheet units by which a label may change in width and stay where it is. */
const HARDLY = 14;
/** Room for the subscript of a name that stands in a line of its own. */
const INDEX = 3;
/** A label keeps this much away from what else is there. */
const CLEAR = 2;
/**
 * What each way of setting a label, and each way of placing it, costs beside square sheet units of writing over something
 * else: a label would rather be narrow than cross over to where it may seem to belong to another part, and rather leave its
 * readings to the ledger than lie across a neighbour.
 */
const COST = { line: 0, stack: 3, split: 5, apart: 18, aside: 10, near: 30, terse: 260, asBefore: -9 };

const widthOf = (line, gap) => line.reduce((sum, each) => sum + each.width, 0) + gap * Math.max(0, line.length - 1);

/** The height of a label's name and value, before enlarging. @param {"whole"|"split"|"apart"} head @param {number[]} heads */
const headed = (head, heads) => FIRST + (head === "apart" ? INDEX : 0) + LINE * (heads.length - 1);

/** A label set in one way. @returns {Setting} */
function setAs(size, big, head, lines, terse) {
  const heads = head === "whole" ? [size.first] : head === "split" ? [size.nameWidth + 6 * big + size.pieces[0], ...size.pieces.slice(1)] : [size.nameWidth, ...size.pieces];
  const w = Math.max(...heads, ...lines.map((line) => widthOf(line, GAP * big)));
  return { name: `${head} ${lines.length}`, head, heads, lines, terse, w, headed: headed(head, heads) * big, h: (headed(head, heads) + LINE * lines.length) * big };
}

const inOne = (readings) => [readings];
const stacked = (readings) => readings.map((each) => [each]);

/** The ways to set a label, best first. @returns {Setting[]} */
function settings(size, big, isChosen) {
  const { readings } = size;
  const heads = size.pieces.length > 1 ? ["whole", "split", "apart"] : ["whole", "apart"];
  const without = (terse) => heads.map((head) => setAs(size, big, head, [], terse));
  if (readings.length === 0) return without(false);
  // Each with what it was before: in one line they would reach far.
  const line = readings.length === 1 || readings.some(({ text }) => text.includes("→")) ? [] : [setAs(size, big, "whole", inOne(readings), false)];
  return [...line, ...heads.map((head) => setAs(size, big, head, stacked(readings), false)), ...(isChosen ? [] : without(true))];
}

const costOf = ({ head, lines, terse }) => (terse ? COST.terse : 0) + (head === "whole" ? (lines.length > 1 ? COST.stack : COST.line) : COST[head]);

/** Beside an upright symbol: on its right or left; how far from its middle; how high. */
const BESIDE = [
  ["start", "clear", "middle"],
  ...["start", "end"].flatMap((side) => ["middle", "up", "down", "above", "below"].map((high) => [side, "clear", high])).slice(1),
  ...["start", "end"].flatMap((side) => [["near", "middle"], ["lead", "over"], ["lead", "under"], ["near", "up"], ["near", "down"]].map(([far, high]) => [side, far, high])),
];
/** How many of them stand clear of the symbol's own disc. */
const CLEAR_BESIDE = 10;

/** Places of a label beside or above a symbol, best first, without their size. */
function placesOf(way, kind, { w, h }, index) {
  const [x, y] = way.symbol.at.map((n) => n * STEP);
  const { side: half, reach } = kind.drawing;
  if (way.symbol.along[0] === 0) {
    const [side, far, high] = BESIDE[index];
    const off = { clear: half + (kind.readings.includes("energy") ? 30 : 14), near: half + 6, lead: 13 }[far];
    const top = { middle: y - h / 2, up: y - h + 6, down: y - 6, above: y - h - 10, below: y + 10, over: y - reach - 14 - h, under: y + reach + 14 }[high];
    return { side, x: side === "start" ? x + off : x - off - w, y: top };
  }
  const near = half + 12;
  const [over, under] = [y - near - h, y + near];
  const all = [
    ["middle", x - w / 2, over],
    ["middle", x - w / 2, under],
    ["start", x + 20, over],
    ["end", x - 20 - w, under],
    ["end", x - 20 - w, over],
    ["start", x + 20, under],
    ["start", x - reach - 6, over],
    ["end", x + reach + 6 - w, over],
    ["start", x - reach - 6, under],
    ["end", x + reach + 6 - w, under],
    ["middle", x - w / 2, over - 16],
    ["middle", x - w / 2, under + 16],
  ];
  return { side: all[index][0], x: all[index][1], y: all[index][2] };
}
const ACROSS = 12;

/** Every way to set and place a label, the likeliest first, as long as one can still be better than `least()`. */
function* options(label, big, isChosen, least) {
  const { way, kind, size, before } = label;
  const sets = settings(size, big, isChosen).map((set) => ({ set, cost: costOf(set) }));
  const option = ({ set, cost }, index) => {
    const choice = `${set.name} ${index}`;
    const aside = index === 0 ? 0 : index < CLEAR_BESIDE || way.symbol.along[0] !== 0 ? COST.aside + index : COST.near + index;
    const kept = choice === before?.choice && set.terse === before.terse && !set.terse ? COST.asBefore - aside : 0;
    return { cost: cost + aside + kept, choice, place: () => ({ ...set, ...placesOf(way, kind, set, index), choice }) };
  };
  const count = way.symbol.along[0] === 0 ? BESIDE.length : ACROSS;
  const [rich, poor] = [label.terse === true ? [] : sets.filter(({ set }) => !set.terse), label.terse === false ? [] : sets.filter(({ set }) => set.terse)];
  const last = before && rich.find(({ set }) => before.choice.startsWith(`${set.name} `));
  const index = last && Number(before.choice.slice(last.set.name.length + 1));
  if (index < count) yield option(last, index);
  for (const each of rich) yield option(each, 0);
  for (const some of [rich, poor])
    for (let index = some === rich ? 1 : 0; index < count; index += 1) {
      if (some[0] === undefined || some[0].cost + index >= least()) break;
      for (const each of some) yield option(each, index);
    }
}

/** Finds the best place for a label, and takes it. */
function choose(label, crowd, big, chosen) {
  let [place, least] = [null, Infinity];
  for (const option of options(label, big, chosen.has(label.part.name), () => least)) {
    if (option.cost >= least) continue;
    const there = option.place();
    const covered = crowd.covered({ x: there.x - CLEAR, y: there.y, w: there.w + 2 * CLEAR, h: there.h }, label.owner, least - option.cost);
    if (covered + option.cost < least) [place, least] = [{ ...there, covered }, covered + option.cost];
  }
  label.place = place;
  crowd.add(place, label.owner, 2);
}

/** Places labels one after the other, then again those that another came to crowd. */
function settle(labels, crowd, big, chosen) {
  for (const label of labels) choose(label, crowd, big, chosen);
  for (const label of labels) {
    const { place } = label;
    if (crowd.covered(place, label.owner, 1) < 1) continue;
    crowd.free(place);
    choose(label, crowd, big, chosen);
  }
}

/**
 * Gives every label its `place` in a crowd, where it was `before` as long as that is free. Which readings find no room does not
 * depend on where labels were before, so that a sketch always says the same.
 * @param {object[]} labels @param {import("./crowd.js").Crowd} crowd @param {number} big @param {Set<string>} chosen parts whose readings are wanted anyway
 */
export function settleLabels(labels, crowd, big, chosen) {
  const were = labels.map(({ before }) => before);
  for (const label of labels) label.before = undefined;
  settle(labels, crowd, big, chosen);
  if (were.every((before) => before === undefined)) return;
  labels.forEach((label, index) => {
    crowd.free(label.place);
    label.terse = label.place.terse;
    label.before = were[index];
  });
  settle(labels, crowd, big, chosen);
}

/** The place of the last picture for a label that has hardly changed in size, or null. */
export function keptPlace(size, last, big) {
  if (!last) return null;
  const { whole, head, lines, terse, side, choice, covered } = last;
  const { readings } = size;
  if (!terse && ![readings.length, readings.length && 1].includes(lines)) return null;
  const set = setAs(size, big, head, lines === 0 ? [] : lines === 1 ? inOne(readings) : stacked(readings), terse);
  if (set.h !== whole.h || Math.abs(set.w - whole.w) > HARDLY) return null;
  const spare = whole.w - set.w;
  return { ...set, side, choice, covered, x: whole.x + (side === "end" ? spare : side === "middle" ? spare / 2 : 0), y: whole.y };
}
