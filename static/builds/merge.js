// Capacitors that are together like one, as plates: apart, joined by wires; slid together, one larger area or one larger gap.

import { node } from "../paint.js";
import { INK, SHEET, SOFT } from "../drawing/palette.js";
import { evenly, groundsOf, path, sign, text, wide } from "./marks.js";

/**
 * @typedef {import("../paint.js").Node} Node
 * @typedef {{part: string, size: number, text: string, layers: [string, number][]}} Piece `size`: its share of the whole area or gap
 * @typedef {{kind: "parallel"|"series", pieces: Piece[], common: string|null, whole: string|null, capacitance: string, sentence: string}} Merge one of `solution.builds.merges`
 * @typedef {{width: number, big: number, together: boolean, numbers: boolean}} Setting
 */

const PLATE = 10;
/** Height of the common gap in parallel, of all gaps in series, and the least that a piece has. */
const [GAP, GAPS, LEAST] = [66, 130, 19];
/** Width of the common plates in series, and what wires take between two pieces. */
const [SIDE, WIRE] = [190, 26];
const SIGNS = 9;

/** @param {string} name */
const lowered = (name) => name.replace(/_?(\d+)$/u, (_, digits) => [...digits].map((digit) => "₀₁₂₃₄₅₆₇₈₉"[digit]).join(""));

/** Shares of a length, none too small to be seen. @param {Piece[]} pieces @param {number} whole @param {number} least */
function shares(pieces, whole, least) {
  const raised = pieces.map(({ size }) => Math.max(least / whole, size));
  const sum = raised.reduce((total, size) => total + size, 0);
  return { sizes: raised.map((size) => (size / sum) * whole), kept: raised.every((size, index) => size === pieces[index].size) };
}

const plate = (x, y, w, h, big, more = {}) => node("rect", { x, y, width: w, height: h, fill: "#e3e5e7", stroke: INK, "stroke-width": 1.2 * big, ...more });
const moved = (x, y, children, key) => node("g", { class: "slides", transform: `translate(${x} ${y})` }, children, key);
const faded = (shown, children, key) => node("g", { class: "fades", opacity: shown ? 1 : 0 }, children, key);

/** The colour behind a piece's name. @param {Piece} piece */
const behind = (piece) => (piece.layers.length ? groundsOf(piece.layers.map(([name]) => ({ name })))[0] : SHEET);

/** What fills a gap: across its whole width, its layers one above the other. */
function filled(piece, x, y, w, h) {
  const grounds = groundsOf(piece.layers.map(([name]) => ({ name })));
  let top = y;
  return piece.layers.length
    ? piece.layers.map(([, share], index) => {
        const rect = node("rect", { x, y: top, width: w, height: h * share, fill: grounds[index] });
        top += h * share;
        return rect;
      })
    : [node("rect", { x, y, width: w, height: h, fill: SHEET })];
}

/** @param {Merge} merge @param {Setting} setting @returns {{nodes: Node[], width: number, height: number, notes: string[]}} */
export const mergePicture = (merge, setting) => (merge.kind === "parallel" ? sideBySide(merge, setting) : oneOnTheOther(merge, setting));

function notesOf(merge, kept) {
  const notes = [];
  if (merge.whole === null) notes.push(merge.kind === "parallel" ? "Drawn with one common gap, so that the area goes with the capacitance." : "Drawn with one common area, so that the gap goes with 1/C.");
  if (!kept) notes.push("The smallest is drawn larger than it is.");
  return notes;
}

/** Parallel: areas side by side. */
function sideBySide(merge, { width, big, together, numbers }) {
  const { pieces } = merge;
  const size = 12 * big;
  const between = WIRE * big;
  const room = width - 8 - between * (pieces.length - 1);
  const { sizes, kept } = shares(pieces, room, LEAST * big);
  const [bar, gap] = [PLATE * big, GAP * big];
  const top = 20 * big;
  const low = top + bar + gap;
  const start = 4 + (together ? (between * (pieces.length - 1)) / 2 : 0);
  const step = together ? 0 : between;
  let x = start;
  let wires = "";
  const nodes = pieces.map((piece, index) => {
    const w = sizes[index];
    if (index) wires += `M${x - between} ${top + bar / 2}h${between}M${x - between} ${low + bar / 2}h${between}`;
    const signs = evenly(0, w, Math.max(1, Math.round(SIGNS * piece.size))).flatMap((at) => [sign([at, top + bar / 2], true, big), sign([at, low + bar / 2], false, big)]);
    const name = lowered(piece.part);
    const words = [text(w / 2, top + bar + gap / 2 + size * 0.36, name, size, { "text-anchor": "middle", stroke: behind(piece) })];
    const told = faded(!(together && merge.whole), wide(piece.text, size) < w + between ? [text(w / 2, low + bar + 16 * big, piece.text, size, { "text-anchor": "middle" })] : [], "told");
    const drawn = moved(x, 0, [...filled(piece, 0, top + bar, w, gap), plate(0, top, w, bar, big), plate(0, low, w, bar, big), ...signs, ...words, told], piece.part);
    x += w + step;
    return drawn;
  });
  const middle = width / 2;
  const line = path(together ? "" : wires, INK, 1.6 * big);
  const whole = numbers && merge.whole ? [text(middle, low + bar + 16 * big, `area ${merge.whole}`, size, { "text-anchor": "middle", "font-weight": 600 })] : [];
  nodes.push(node("g", { class: "fades", opacity: together ? 0 : 1 }, [line], "wires"), faded(together, whole, "whole"));
  const common = merge.common ? [text(4, 12 * big, `gap ${merge.common}`, size, { fill: SOFT })] : [];
  return { nodes: [...nodes, ...common], width, height: low + bar + 24 * big, notes: notesOf(merge, kept) };
}

/** Series: gaps one above the other; the plates in the middle meet, and what is on them cancels. */
function oneOnTheOther(merge, { width, big, together, numbers }) {
  const { pieces } = merge;
  const size = 12 * big;
  const bar = PLATE * big;
  const { sizes, kept } = shares(pieces, GAPS * big, LEAST * big);
  const side = Math.min(SIDE * big, width * 0.55);
  const left = (width - side) / 2;
  const between = WIRE * big;
  const step = together ? -2 * bar : between;
  const slack = (pieces.length - 1) * (between + 2 * bar);
  const height = 2 * bar * pieces.length + between * (pieces.length - 1) + sizes.reduce((sum, each) => sum + each, 0);
  let y = 4 + (together ? slack / 2 : 0);
  let wires = "";
  const from = y;
  const nodes = pieces.map((piece, index) => {
    const h = sizes[index];
    const [first, last] = [index === 0, index === pieces.length - 1];
    if (!first) wires += `M${left + side / 2} ${y - between}v${between}`;
    const places = evenly(0, side, 4);
    const inner = (at, shown, plus) => faded(shown, [plate(0, at, side, bar, big), ...places.map((x) => sign([x, at + bar / 2], plus, big))], plus ? "upper" : "lower");
    const drawn = [...filled(piece, 0, bar, side, h)];
    if (together && !first) drawn.push(path(`M0 ${bar}h${side}`, SOFT, big, { "stroke-dasharray": "3 4" }));
    drawn.push(inner(0, first || !together, true), inner(bar + h, last || !together, false));
    drawn.push(text(side / 2, bar + h / 2 + size * 0.36, lowered(piece.part), size, { "text-anchor": "middle", stroke: behind(piece) }), text(side + 8 * big, bar + h / 2 + size * 0.36, piece.text, size));
    const node = moved(left, y, drawn, piece.part);
    y += 2 * bar + h + step;
    return node;
  });
  const foot = y - step;
  const brace = numbers && merge.whole ? [path(`M${left - 6 * big} ${from + bar}h${-6 * big}V${foot - bar}h${6 * big}`, SOFT, big), text(left - 16 * big, (from + foot) / 2 + size * 0.36, merge.whole, size, { "text-anchor": "end", "font-weight": 600 })] : [];
  nodes.push(node("g", { class: "fades", opacity: together ? 0 : 1 }, [path(together ? "" : wires, INK, 1.6 * big)], "wires"), faded(together, together ? brace : [], "whole"));
  const common = merge.common ? [text(width / 2, height + 20 * big, `area ${merge.common}`, size, { "text-anchor": "middle", fill: SOFT })] : [];
  return { nodes: [...nodes, ...common], width, height: height + (common.length ? 28 : 10) * big, notes: notesOf(merge, kept) };
}
