// The network that a step leaves, drawn small beside it: the sheet's own drawing, closer together where nothing is left between.

import { set, svg } from "../dom.js";
import { picture } from "../drawing/picture.js";
import { paint } from "../paint.js";

/** Grid steps from one column or row with joints to the next, across and down: room for a symbol and what is written beside it. */
const [LEAST_APART, MOST_APART] = [[8, 5], [9, 6]];
/**
 * The place of a drawing on the page, in ems of its surroundings: beside the sentences, or in a row of its own where its values
 * would be too small there.
 */
const BESIDE = { wide: 17, high: 13 };
const OWN_ROW = { wide: 32, high: 13 };
const LEAST = 0.66;
/** How much smaller than that values may turn out and stay beside the sentences. */
const NEARLY = 0.95;
/** The size of values on the sheet, in its units, and how far they are enlarged at the most. */
const VALUE = 14;
const MOST_ENLARGED = 1.8;
const MARGIN = 14;
const NOTHING = { V: false, Q: false, U: false };
const nothingCovered = () => false;

/** Places along one axis, the gaps between them made more alike. @param {number[]} all @param {number} least @param {number} most */
function evened(all, least, most) {
  const places = [...new Set(all)].sort((a, b) => a - b);
  const moved = new Map();
  places.forEach((place, index) => moved.set(place, index ? moved.get(places[index - 1]) + Math.max(least, Math.min(most, place - places[index - 1])) : 0));
  return moved;
}

/** Ends of parts at corners where only a wire goes on, moved along that wire until the part runs straight. */
function straightened(sketch) {
  const joints = { ...sketch.joints };
  for (const part of sketch.parts) {
    if (part.kind === "wire") continue;
    for (const [end, other] of [[part.from, part.to], [part.to, part.from]]) {
      const [a, b] = [joints[end], joints[other]];
      if (a[0] === b[0] || a[1] === b[1]) continue;
      const beside = sketch.parts.filter((each) => each !== part && (each.from === end || each.to === end));
      if (beside.length !== 1 || beside[0].kind !== "wire") continue;
      const far = joints[beside[0].from === end ? beside[0].to : beside[0].from];
      const spot = far[1] === a[1] && far[0] !== b[0] ? [b[0], a[1]] : far[0] === a[0] && far[1] !== b[1] ? [a[0], b[1]] : a;
      if (!Object.values(joints).some(([x, y]) => x === spot[0] && y === spot[1])) joints[end] = spot;
    }
  }
  return { ...sketch, joints };
}

/** The same network drawn closer together; what was left of or above something still is. @param {import("../sketch.js").Sketch} sketch */
export function drawnCloser(sketch) {
  const straight = straightened(sketch);
  const spots = Object.entries(straight.joints);
  const [across, down] = [0, 1].map((axis) => evened(spots.map(([, spot]) => spot[axis]), LEAST_APART[axis], MOST_APART[axis]));
  return { ...sketch, joints: Object.fromEntries(spots.map(([joint, [x, y]]) => [joint, [across.get(x), down.get(y)]])) };
}

/** A drawing for a place, its writing enlarged as far as it is shown small; `size` is that of its values in ems of the page. */
function fitted(closer, style, fresh, place) {
  const marked = { selected: fresh, joints: new Set(), faulty: new Set(), pair: null };
  const drawnAt = (big) => {
    const drawn = picture(closer, null, { ...style, overlays: NOTHING, big }, marked, nothingCovered);
    const { left, top, right, bottom } = drawn.box ?? { left: 0, top: 0, right: 0, bottom: 0 };
    const [width, height] = [right - left + 2 * MARGIN, bottom - top + 2 * MARGIN];
    // Ems of the page in a unit of the drawing.
    const scale = Math.min(place.wide / width, place.high / height, 1 / VALUE);
    return { drawn, left, top, width, height, scale, size: VALUE * big * scale };
  };
  const first = drawnAt(1.2);
  const big = Math.min(MOST_ENLARGED, Math.max(1.2, LEAST / first.scale / VALUE));
  return big > 1.2 ? drawnAt(big) : first;
}

/**
 * @param {import("../sketch.js").Sketch} sketch @param {import("../drawing/picture.js").Style} style
 * @param {Set<string>} fresh parts that were not there before the step
 * @returns {SVGElement}
 */
export function reducedDrawing(sketch, style, fresh) {
  const closer = drawnCloser(sketch);
  const beside = fitted(closer, style, fresh, BESIDE);
  const isWide = beside.size < LEAST * NEARLY;
  const { drawn, left, top, width, height } = isWide ? fitted(closer, style, fresh, OWN_ROW) : beside;
  const names = sketch.parts.filter((part) => part.kind !== "wire").map((part) => part.name);
  const drawing = svg("svg", { class: isWide ? "reduced wide" : "reduced", role: "img", "aria-label": `The network now: ${names.join(", ")}`, viewBox: `${left - MARGIN} ${top - MARGIN} ${width} ${height}`, width, height });
  const { ink, joints, labels } = drawn.layers;
  for (const nodes of [ink, joints, labels]) {
    const layer = svg("g");
    paint(layer, nodes);
    drawing.append(layer);
  }
  set(drawing, { focusable: "false" });
  return drawing;
}
