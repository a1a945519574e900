// What happens past a rating: a view of its own that goes from failure to failure. The sheet stays as it is.

import { openDialog } from "../dialogs.js";
import { html, splitName, svg, textWidth } from "../dom.js";
import { Crowd, legBox } from "../drawing/crowd.js";
import { picture } from "../drawing/picture.js";
import { drawn } from "../exporting.js";
import { STEP, routes } from "../geometry.js";
import { node } from "../paint.js";
import { BRICK, SANS, SERIF, SHEET } from "../drawing/palette.js";
import { AWAY, post } from "../post.js";
import { withNames } from "../solution/words.js";

/** @typedef {{title: string, sentence: string, failed: string[], sketch: import("../sketch.js").Sketch, solution: object|null}} Step */

const BY_KEY = { ArrowRight: 1, ArrowDown: 1, PageDown: 1, ArrowLeft: -1, ArrowUp: -1, PageUp: -1 };
const NOTHING_MARKED = { selected: new Set(), joints: new Set(), faulty: new Set(), pair: null };

/** Room round what is drawn, in sheet units. */
const MARGIN = 20;
const MARK = 18;
const FAILED = " failed";

/** The jagged stroke of a breakdown at the middle of a part. */
const flash = ([x, y]) => [
  node("circle", { cx: x, cy: y, r: 16, fill: SHEET, stroke: BRICK, "stroke-width": 2.4 }),
  node("path", { d: `M${x + 3} ${y - 11}L${x - 5} ${y + 1}H${x + 5}L${x - 3} ${y + 11}`, fill: "none", stroke: BRICK, "stroke-width": 2.6, "stroke-linejoin": "round", "stroke-linecap": "round" }),
];

/** "C3 failed", its name as on the sheet, in a box. */
function failedNode(name, { x, y }, big) {
  const { stem, index } = splitName(name);
  const stems = [node("tspan", { "font-family": SERIF, "font-style": "italic", "font-size": 19 * big }, stem)];
  if (index) stems.push(node("tspan", { dx: 1, dy: 4 * big, "font-family": SERIF, "font-style": "italic", "font-size": 13 * big }, index));
  return node("text", { x, y: y + 16 * big, fill: BRICK }, [...stems, node("tspan", { dy: index ? -4 * big : 0, "font-family": SANS, "font-size": 15 * big, "font-weight": 600, "xml:space": "preserve" }, FAILED)]);
}

function failedSize(name, big) {
  const { stem, index } = splitName(name);
  const named = textWidth(stem, `italic ${19 * big}px ${SERIF}`) + textWidth(index, `italic ${13 * big}px ${SERIF}`);
  return { w: named + textWidth(FAILED, `600 ${15 * big}px ${SANS}`) + 4, h: 22 * big };
}

/** Where the words beside a mark may stand, best first. */
function placesBeside([x, y], upright, { w, h }) {
  const beside = [{ x: x + MARK + 6, y: y - h / 2, w, h }, { x: x - MARK - 6 - w, y: y - h / 2, w, h }];
  const across = [{ x: x - w / 2, y: y - MARK - 4 - h, w, h }, { x: x - w / 2, y: y + MARK + 4, w, h }];
  return upright ? [...beside, ...across] : [...across, ...beside];
}

/** One step as nodes, with the box round all of it. @param {Step} step @param {import("../drawing/picture.js").Style} style @param {ReturnType<typeof picture>} [last] the step before */
function stepDrawn(step, style, last) {
  const whole = picture(step.sketch, step.solution, style, NOTHING_MARKED, () => false, last);
  const crowd = new Crowd();
  for (const label of whole.labels.values()) crowd.add(label.whole, "", 2);
  const ways = routes(step.sketch);
  for (const way of ways.values()) for (let leg = 0; leg + 1 < way.points.length; leg += 1) crowd.add(legBox(...[way.points[leg], way.points[leg + 1]].map((point) => point.map((n) => n * STEP))));
  const box = { ...whole.box };
  const marks = step.failed.map((name) => {
    const { at, along } = ways.get(name).symbol;
    const middle = at.map((n) => n * STEP);
    const places = placesBeside(middle, along[0] === 0, failedSize(name, style.big));
    const place = places[crowd.best(places).index];
    crowd.add(place, "", 2);
    box.left = Math.min(box.left, place.x);
    box.top = Math.min(box.top, place.y);
    box.right = Math.max(box.right, place.x + place.w);
    box.bottom = Math.max(box.bottom, place.y + place.h);
    return node("g", {}, [...flash(middle), failedNode(name, place, style.big)]);
  });
  return { whole, box, layers: [...Object.values({ ...whole.layers, flags: [] }), marks].filter((nodes) => nodes.length > 0) };
}

/** The drawing of every step, all in one view box, so that nothing moves from one to the next. @param {Step[]} steps @param {import("../drawing/picture.js").Style} style */
function drawings(steps, style) {
  // It is voltages that are compared with ratings: potentials would only lie under the marks.
  const plain = { ...style, overlays: { V: true, Q: false, U: false } };
  const all = [];
  for (const step of steps) all.push(stepDrawn(step, plain, all[all.length - 1]?.whole));
  const edge = (side, most) => most(...all.map(({ box }) => box[side]));
  const [x, y] = [edge("left", Math.min) - MARGIN, edge("top", Math.min) - MARGIN];
  const [w, h] = [edge("right", Math.max) + MARGIN - x, edge("bottom", Math.max) + MARGIN - y];
  return all.map(({ layers }, index) => svg("svg", { viewBox: `${x} ${y} ${w} ${h}`, role: "img" }, svg("title", {}, steps[index].title), ...layers.map((nodes) => svg("g", {}, ...nodes.map(drawn)))));
}

/** @param {import("../desk.js").Desk} desk */
export async function openFailures(desk) {
  const answered = await post(`${desk.solveUrl}?with=failures`, JSON.stringify(desk.doc.settled));
  if (!answered?.ok) return desk.tell(answered ? answered.body.detail : AWAY);
  const { steps, closing } = answered.body.failures;
  const figures = drawings(steps, desk.look.style);
  const figure = html("figure", { class: "failure-drawing" });
  const title = html("h3", {});
  const sentence = html("p", {});
  const told = html("div", { class: "failure-told", "aria-live": "polite" }, title, sentence);
  const count = html("span", { class: "quiet" });
  const before = html("button", { type: "button", class: "edged" }, "Back");
  const next = html("button", { type: "button", class: "main" }, "Next");
  let here = 0;
  const show = (to) => {
    here = Math.max(0, Math.min(steps.length - 1, to));
    const names = new Set(steps[here].sketch.parts.map((part) => part.name));
    figure.replaceChildren(figures[here]);
    title.replaceChildren(...withNames(steps[here].title, names));
    sentence.replaceChildren(...withNames(steps[here].sentence, names));
    count.textContent = `${here + 1} of ${steps.length}`;
    // Not disabled, which would drop the focus.
    before.setAttribute("aria-disabled", String(here === 0));
    next.setAttribute("aria-disabled", String(here === steps.length - 1));
  };
  before.addEventListener("click", () => show(here - 1));
  next.addEventListener("click", () => show(here + 1));
  const walk = html("p", { class: "failure-walk" }, before, next, count);
  const { dialog } = openDialog("What happens past it", [html("p", { class: "failure-closing" }, closing), figure, told, walk], { className: "failures" });
  dialog.addEventListener("keydown", (event) => {
    const by = BY_KEY[event.key];
    if (!by) return;
    event.preventDefault();
    show(here + by);
  });
  show(0);
  (steps.length > 1 ? next : before).focus();
}
