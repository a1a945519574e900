// What happens past a rating: a view of its own that goes from failure to failure. The sheet stays as it is.

import { openDialog } from "../dialogs.js";
import { html, svg } from "../dom.js";
import { drawingElement, drawn } from "../exporting.js";
import { STEP, routes } from "../geometry.js";
import { node } from "../paint.js";
import { BRICK, SANS, SHEET } from "../drawing/palette.js";
import { post } from "../post.js";
import { withNames } from "../solution/words.js";

/** @typedef {{title: string, sentence: string, failed: string[], sketch: import("../sketch.js").Sketch, solution: object|null}} Step */

const BY_KEY = { ArrowRight: 1, ArrowDown: 1, PageDown: 1, ArrowLeft: -1, ArrowUp: -1, PageUp: -1 };
const nothingCovered = () => false;

/** The jagged stroke of a breakdown, and the name of the part that was there. */
function flash(sketch, name, style) {
  const { at, along } = routes(sketch).get(name).symbol;
  const [x, y] = at.map((n) => n * STEP);
  const upright = along[0] === 0;
  const size = 15 * style.big;
  const words = `${name} failed`;
  const place = upright ? { x: x + 22, y: y + size / 3, "text-anchor": "start" } : { x, y: y - 26, "text-anchor": "middle" };
  return [
    node("circle", { cx: x, cy: y, r: 16, fill: SHEET, stroke: BRICK, "stroke-width": 2.4 }),
    node("path", { d: `M${x + 3} ${y - 11}L${x - 5} ${y + 1}H${x + 5}L${x - 3} ${y + 11}`, fill: "none", stroke: BRICK, "stroke-width": 2.6, "stroke-linejoin": "round", "stroke-linecap": "round" }),
    node("text", { ...place, "font-family": SANS, "font-size": size, "font-weight": 600, fill: BRICK }, words),
  ];
}

/** @param {Step} step @param {import("../drawing/picture.js").Style} style */
function drawing(step, style) {
  const element = drawingElement(step.sketch, step.solution, style, nothingCovered, step.title);
  for (const name of step.failed) element.append(svg("g", {}, ...flash(step.sketch, name, style).map(drawn)));
  return element;
}

/** @param {import("../desk.js").Desk} desk */
export async function openFailures(desk) {
  const answered = await post(`${desk.solveUrl}?with=failures`, JSON.stringify(desk.doc.settled));
  if (!answered?.ok) return desk.tell(answered ? answered.body.detail : "The server is away: try again in a moment.");
  const { steps, closing } = answered.body.failures;
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
    const names = steps[here].sketch.parts.map((part) => part.name);
    figure.replaceChildren(drawing(steps[here], desk.look.style));
    title.textContent = steps[here].title;
    sentence.replaceChildren(...withNames(steps[here].sentence, new Set(names)));
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
