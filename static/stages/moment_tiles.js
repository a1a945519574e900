// The rectangles at a moment, in the arrangement that holds for the whole course, in a frame that does not change.

import { scaleOf, valueOf } from "./curves.js";

/** Marks along a frame, as the solver has them. */
const [ACROSS, UP] = [5, 6];

/** @typedef {{low: number, across: number, up: number, ticks: {across: {at: number, text: string}[], up: {at: number, text: string}[]}}} Frame */

const flowKey = ({ kind }, tile) => `${tile.part}.${kind === "capacitor" ? "charge" : "current"}`;
/** @param {number[]|null} left what is left of each exponential; null in the end */
const curveAt = (curve, left) => (left === null ? curve.final : valueOf({ final: { value: curve.final }, amplitudes: curve.amplitudes }, left));

/** How far each picture goes over the whole course. @param {object[]} pictures as the course has them @param {((key: string) => number)[]} looks at several moments @returns {Frame[]} */
export function tileFrames(pictures, looks, writing) {
  return pictures.map((picture) => {
    let [low, high, across] = [Infinity, -Infinity, 0];
    for (const look of looks) {
      for (const tile of picture.tiles)
        for (const end of [tile.from, tile.to]) {
          const level = look(`conductor ${end}.potential`);
          [low, high] = [Math.min(low, level), Math.max(high, level)];
        }
      across = Math.max(across, widthOf(picture, look, look.left));
    }
    const unit = picture.kind === "capacitor" ? "C" : "A";
    const marks = (from, to, most, what) => {
      const scale = scaleOf(from, to, most, what, writing, true);
      return scale.ticks.filter(({ at }) => at >= from && at <= to).map(({ at, text }) => ({ at, text: at === 0 ? "0" : `${text} ${scale.unit}` }));
    };
    return { low, across: across || 1, up: high - low || 1, ticks: { across: marks(0, across || 1, ACROSS, unit), up: marks(low, high, UP, "V") } };
  });
}

/** What all tiles span together: of those that fill a rectangle, its width. */
function widthOf(picture, look, left) {
  if (!picture.bars) return picture.tiles.reduce((sum, tile) => sum + Math.abs(look(flowKey(picture, tile))), 0);
  return Math.max(0, ...picture.bars.map((bar) => curveAt(bar.right, left)));
}

/** @param {object[]} pictures @param {Frame[]} frames @param {{values: (key: string) => number, left: number[]|null, parts: object, conductors: object, write: (value: number, unit: string) => object}} at */
export function picturesAt(pictures, frames, { values, left, parts, conductors, write }) {
  return { pictures: pictures.map((picture, index) => pictureAt(picture, frames[index], { values, left, parts, conductors, write })), notes: [] };
}

function pictureAt(picture, frame, { values, left, parts, conductors, write }) {
  const isCapacitor = picture.kind === "capacitor";
  const [across, area] = isCapacitor ? ["charge", "energy"] : ["current", "power"];
  const size = (reading) => (reading.value < 0 ? { ...reading, value: -reading.value, text: reading.text.replace(/^−/, "") } : reading);
  let at = 0;
  const [tiles, stretches] = [[], []];
  let whole = 0;
  for (const tile of picture.tiles) {
    const own = parts[tile.part];
    const flow = Math.abs(values(flowKey(picture, tile)));
    const levels = [tile.from, tile.to].map((end) => values(`conductor ${end}.potential`));
    const start = tile.left ? curveAt(tile.left, left) : at;
    const turned = levels[0] < levels[1];
    tiles.push({ part: tile.part, left: start, right: start + flow, bottom: Math.min(...levels), top: Math.max(...levels), turned, voltage: size(own.voltage), across: size(own[across]), area: own[area] });
    if (!tile.left) for (const end of [tile.from, tile.to]) stretches.push({ conductor: end, left: at, right: at + flow });
    at += flow;
    whole += own[area].value;
  }
  if (picture.bars) for (const { conductor, left: from, right } of picture.bars) stretches.push({ conductor, left: curveAt(from, left), right: curveAt(right, left) });
  const bars = stretches.map((bar) => ({ ...bar, conductors: [bar.conductor], level: values(`conductor ${bar.conductor}.potential`), potential: conductors[bar.conductor].potential })).sort((a, b) => b.level - a.level || a.left - b.left);
  const [top, bottom] = [Math.max(...tiles.map((tile) => tile.top)), Math.min(...tiles.map((tile) => tile.bottom))];
  return {
    kind: picture.kind,
    across,
    width: write(widthOf(picture, values, left), isCapacitor ? "C" : "A"),
    height: write(top - bottom, "V"),
    area: write(whole, isCapacitor ? "J" : "W"),
    tiled: picture.note === null,
    note: picture.note,
    tiles,
    bars,
    ticks: frame.ticks,
    frame,
  };
}
