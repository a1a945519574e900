// The drawings of a handout: the network to be worked out, the same with its readings, its tiles, the network after a step.

import { picture } from "../drawing/picture.js";
import { node } from "../paint.js";
import { answered } from "../panel/asked.js";
import { drawnCloser } from "../solution/reduced.js";
import { pictureNodes, reachOf } from "../tiles/picture.js";
import { framed, legible, ofLayers } from "./framed.js";
import { plainToRead } from "./spread.js";

/** @typedef {import("../sketch.js").Sketch} Sketch @typedef {import("../paint.js").Node} Node */

const NOTHING_MARKED = { selected: new Set(), joints: new Set(), faulty: new Set(), pair: null };
const NO_OVERLAYS = { V: false, Q: false, U: false };
const nothingCovered = () => false;
const allCovered = () => true;
const ROOM = { width: 178, height: 80, scale: 0.27 };
const ROOM_FOR_READINGS = { width: 178, height: 86, scale: 0.27 };
const BESIDE_STEP = { width: 60, height: 34, scale: 0.22 };
const BELOW_STEP = { width: 150, height: 32, scale: 0.19 };
const TILES = { width: 640, height: 230 };
const FOR_TILES = { width: 178, height: 80, scale: 0.26 };
/** The least size of readings on paper, in millimetres: 6 points. */
const LEGIBLE = 2.1;
/** What is written beside parts in the key: all, where that can be read, else less, for it stands in the ledger too. */
const OVERLAYS = [{ V: true, Q: true, U: true }, { V: true, Q: false, U: false }, NO_OVERLAYS];

/** The first of some drawings that can be read, else the one that comes nearest. @template {{size: number}} Made @param {(() => Made)[]} makes */
function firstLegible(makes) {
  let best = makes[0]();
  for (const make of makes.slice(1)) {
    if (best.size >= LEGIBLE) break;
    const other = make();
    if (other.size > best.size) best = other;
  }
  return best;
}

/** The boxes of a label's name and value and of its readings. */
const writtenIn = ({ named, readings }) => [named, ...readings.map(({ box }) => box)];

/** The layers with the dotted lines between joints below everything else, and gone where something is written. */
function linesBelow({ layers, labels, box }) {
  const only = (keep) => layers.probes.map((probe) => ({ ...probe, children: probe.children.filter(({ tag }) => (tag === "path") === keep) }));
  const clear = layers.probes.length ? [...labels.values()].flatMap(writtenIn).map(({ x, y, w, h }) => node("rect", { x, y, width: w, height: h, fill: "#fff", "data-clear": "" })) : [];
  return { layers: { ...layers, lines: [...only(true), ...clear], probes: only(false) }, box };
}

/**
 * The network as the task shows it: values alone, with a question mark for each potential and each reading between joints
 * that is to be found.
 * @param {Sketch} sketch @param {object} solution @param {object} style @param {(key: string) => boolean} isCovered
 */
export function questionDrawing(sketch, solution, style, isCovered) {
  const flags = (sketch.covered ?? []).some((key) => key.startsWith("joint "));
  const asked = sketch.covered?.length ? isCovered : allCovered;
  const shown = { ...solution, parts: {} };
  const { whole } = legible(ROOM, (big) => plainToRead(sketch, style.kinds, (each) => picture(each, shown, { ...style, big, overlays: { ...NO_OVERLAYS, V: flags } }, NOTHING_MARKED, asked)));
  return ofLayers(linesBelow(whole), ["lines", "ink", "joints", "labels", "flags", "probes"], "Drawing of the network", ROOM);
}

/** The network with its readings. @param {Sketch} sketch @param {object} solution @param {object} style */
export function answerDrawing(sketch, solution, style) {
  const drawing = (overlays) => () => legible(ROOM_FOR_READINGS, (big) => plainToRead(answered(sketch, solution), style.kinds, (each) => picture(each, solution, { ...style, big, overlays }, NOTHING_MARKED, nothingCovered)));
  const { whole } = firstLegible(OVERLAYS.map(drawing));
  return ofLayers(linesBelow(whole), ["lines", "ink", "joints", "signs", "labels", "flags", "probes"], "Drawing of the network with its readings", ROOM_FOR_READINGS);
}

/** @param {import("../tiles/picture.js").Picture} tiles @param {object} solution */
export function tilesDrawing(tiles, solution) {
  const setting = { ...TILES, big: 1, easing: "", reach: reachOf(tiles, null), selected: new Set(), pointed: null };
  const title = tiles.kind === "capacitor" ? "Tiles: charge across, voltage up" : "Tiles: current across, voltage up";
  return framed(pictureNodes(tiles, solution, setting).map(withoutTitles), { left: 0, top: 0, right: TILES.width, bottom: TILES.height }, title, FOR_TILES);
}

/** What is shown on the page when a tile is pointed at has no place on paper. @param {Node} node @returns {Node} */
const withoutTitles = (node) => ({ ...node, children: node.children?.filter(({ tag }) => tag !== "title").map(withoutTitles) });

/**
 * The network that a step of the worked solution leaves, for the place beside its formulas, or for a row of its own where it is
 * too wide to be read there.
 * @param {Sketch} sketch @param {object} style @returns {{drawing: SVGElement, isWide: boolean}}
 */
export function stepDrawing(sketch, style) {
  const closer = drawnCloser(sketch);
  const drawing = (room) => () => ({ room, ...legible(room, (big) => picture(closer, null, { ...style, big, overlays: NO_OVERLAYS }, NOTHING_MARKED, nothingCovered)) });
  const { whole, room } = firstLegible([BESIDE_STEP, BELOW_STEP].map(drawing));
  const names = sketch.parts.filter(({ kind }) => kind !== "wire").map(({ name }) => name);
  return { drawing: ofLayers(whole, ["ink", "joints", "labels"], `The network now: ${names.join(", ")}`, room), isWide: room === BELOW_STEP };
}
