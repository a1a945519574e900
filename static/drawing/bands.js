// Potential on the sheet: a soft band along every conductor, darker the higher, and a flag with the number.

import { STEP, routes } from "../geometry.js";
import { node } from "../paint.js";
import { textWidth, withSubscripts } from "../dom.js";
import { endsOf } from "../sketch.js";
import { TWO_WAY } from "../two_way.js";
import { lines, pathOf } from "./ink.js";
import { ACCENT, SANS, SHEET, SOFT, easingOf, onRamp, ramp } from "./palette.js";

/**
 * The stretches of line that belong to each conductor, in sheet units.
 * @returns {Map<string, number[][][]>} conductor → lines
 */
export function stretches(sketch, solution, kinds) {
  const all = new Map();
  const add = (joint, line) => {
    const conductor = solution.joints[joint]?.conductor;
    if (conductor === undefined) return;
    if (!all.has(conductor)) all.set(conductor, []);
    all.get(conductor).push(line);
  };
  const ways = routes(sketch);
  for (const part of sketch.parts) {
    lines(part, ways.get(part.name), kinds[part.kind]).forEach((line, place) => add(endsOf(part)[place], line));
  }
  return all;
}

/** @param {ReturnType<typeof stretches>} owned @returns {import("../paint.js").Node[]} */
export function bandNodes(owned, sketch, solution, shares, hidden) {
  const nodes = [];
  const easing = easingOf(sketch);
  for (const [id, pieces] of owned) {
    const conductor = solution.conductors[id];
    if (!conductor) continue;
    const d = pieces.map(pathOf).join("");
    const key = `band ${conductor.joints[0]}`;
    const line = { d, fill: "none", "stroke-linecap": "round", "stroke-linejoin": "round" };
    if (conductor.isolated) {
      nodes.push(node("path", { ...line, stroke: ACCENT, "stroke-width": 20 }, undefined, `${key} edge`));
      nodes.push(node("path", { ...line, stroke: SHEET, "stroke-width": 17.4 }, undefined, `${key} gap`));
    }
    const share = hidden(conductor) ? null : shares.get(id);
    const stroke = share === null || share === undefined ? "#d9d3c4" : ramp(share);
    nodes.push(node("path", { ...line, stroke, "stroke-width": 16, "stroke-opacity": 0.38, class: easing }, undefined, key));
  }
  return nodes;
}

/** Contacts that nothing is joined to, whose potential would say nothing. @returns {Set<string>} */
function looseContacts(sketch) {
  const ends = sketch.parts.flatMap(endsOf);
  const contacts = sketch.parts.filter((part) => part.kind === TWO_WAY).flatMap((part) => [part.to, part.second]);
  return new Set(contacts.filter((joint) => ends.indexOf(joint) === ends.lastIndexOf(joint)));
}

/** Sheet units that other writing keeps away from a flag. */
const EDGE = 3;
/** Characters of a formula beyond which it would be a flag too long to stand on the sheet. */
const LONG = 24;

/** Straight pieces of a conductor, longest first. */
function legsOf(pieces) {
  const legs = [];
  for (const piece of pieces)
    for (let index = 0; index + 1 < piece.length; index += 1) {
      const [a, b] = [piece[index], piece[index + 1]];
      legs.push({ middle: [(a[0] + b[0]) / 2, (a[1] + b[1]) / 2], length: Math.hypot(a[0] - b[0], a[1] - b[1]), across: a[1] === b[1] });
    }
  return legs.sort((a, b) => b.length + (b.across ? 40 : 0) - a.length - (a.across ? 40 : 0));
}

/** The best place for a conductor's flag: on one of its lines, where there is room; null where it has none. */
function flagBox(sketch, conductor, id, pieces, w, h, room) {
  const spots = legsOf(pieces).slice(0, 12).flatMap(({ middle, length, across }) => {
    const on = [middle];
    if (across && length > 3 * w) on.push([middle[0] - length / 4, middle[1]], [middle[0] + length / 4, middle[1]]);
    if (length < (across ? w + 12 : h + 8)) on.splice(0, 1, ...(across ? [[middle[0], middle[1] - h], [middle[0], middle[1] + h]] : [[middle[0] - w / 2 - 12, middle[1]], [middle[0] + w / 2 + 12, middle[1]]]));
    return on;
  });
  spots.push(...conductor.joints.filter((joint) => joint in sketch.joints).slice(0, 12).map((joint) => sketch.joints[joint].map((n) => n * STEP)));
  const options = spots.map(([x, y]) => ({ x: x - w / 2, y: y - h / 2, w, h }));
  return options.length ? options[room().best(options, `band ${id}`).index] : null;
}

/**
 * A flag for every conductor, where there is room. Takes its box in the crowd that `room` gives; stays where it was `before`, if given.
 * @param {ReturnType<typeof stretches>} owned
 * @returns {{nodes: import("../paint.js").Node[], boxes: {conductor: string, joint: string, box: object}[]}}
 */
export function flagNodes(owned, sketch, solution, shares, hidden, style, room, before) {
  const nodes = [];
  const boxes = [];
  const easing = easingOf(sketch);
  const size = 13 * style.big;
  const loose = looseContacts(sketch);
  for (const [id, pieces] of owned) {
    const conductor = solution.conductors[id];
    if (!conductor || conductor.joints.every((joint) => loose.has(joint))) continue;
    const covered = hidden(conductor);
    if (!covered && conductor.potential.value === null && conductor.potential.text.length > LONG) continue;
    const text = covered ? "?" : withSubscripts(conductor.potential.text);
    const words = [text, conductor.potential.room ?? ""].map((each) => textWidth(each, `600 ${size}px ${SANS}`));
    const w = Math.max(34, Math.max(...words) + 20 * style.big);
    const h = 24 * style.big;
    const last = before?.get(conductor.joints[0]);
    const kept = last && Math.abs(last.w - w) < 14 ? { x: last.x + (last.w - w) / 2, y: last.y, w, h } : null;
    const box = kept ?? flagBox(sketch, conductor, id, pieces, w, h, room);
    if (!box) continue;
    if (!kept) room().add({ x: box.x - EDGE, y: box.y - EDGE, w: w + 2 * EDGE, h: h + 2 * EDGE }, "", 3);
    boxes.push({ conductor: id, joint: conductor.joints[0], box });
    const share = covered ? null : shares.get(id);
    const plain = share === null || share === undefined;
    nodes.push(
      node("g", {}, [
        node("rect", { ...{ x: box.x, y: box.y, width: w, height: h }, rx: h / 2, fill: plain ? SHEET : ramp(share), stroke: plain ? SOFT : "none", class: easing }),
        node("text", { x: box.x + w / 2, y: box.y + h / 2 + size * 0.36, "text-anchor": "middle", "font-family": SANS, "font-size": size, "font-weight": 600, fill: plain ? SOFT : onRamp(share) }, text),
      ], `flag ${conductor.joints[0]}`),
    );
  }
  return { nodes, boxes };
}
