// The sketch as immutable data, and what every edit is made of: joints, parts, names. No drawing, no physics.

import { TWO_WAY } from "./two_way.js";

/**
 * @typedef {[number, number]} Spot grid position, across and down
 * @typedef {{name: string, kind: string, from: string, to: string, value?: string, tolerance?: string, closed?: boolean,
 *   initial?: string, rated?: string, reverse?: string, internal?: string, bend?: "upper"|"lower", second?: string, rests?: "first"|"second", size?: string}} Part `size` only where a size that was found is shown
 * @typedef {{title?: string, joints: Record<string, Spot>, parts: Part[], zero?: string, figures?: number,
 *   probes?: [string, string][], covered?: string[], required?: {reading: string, value: string, after?: string}[], questions?: {reading: string, reaches?: string, at?: string}[],
 *   stages?: {name?: string, text?: string, closed: string[], second?: string[], set?: Record<string, string>}[], stage?: number, moment?: number, usable?: number, lot?: number}} Sketch
 */

/** @returns {Sketch} */
export const emptySketch = () => ({ title: "New sheet", joints: {}, parts: [], figures: 3 });

/** @param {Spot} a @param {Spot} b */
export const sameSpot = (a, b) => a[0] === b[0] && a[1] === b[1];

/** @param {Sketch} sketch @param {string} name @returns {Part|undefined} */
export const partNamed = (sketch, name) => sketch.parts.find((part) => part.name === name);

/** The joints where a part ends: two, or three for a two-way switch. @param {Part} part */
export const endsOf = (part) => (part.second === undefined ? [part.from, part.to] : [part.from, part.to, part.second]);

/** The part with its ends at other joints. @param {Part} part @param {(joint: string) => string} swap @returns {Part} */
export const endingAt = (part, swap) => ({ ...part, from: swap(part.from), to: swap(part.to), ...(part.second === undefined ? {} : { second: swap(part.second) }) });

export const isSwitch = (part) => part.kind === "switch" || part.kind === TWO_WAY;

/** How a switch stands, in words. @param {Part} part */
export const stateOf = (part) => (part.kind === TWO_WAY ? `on contact ${part.rests === "second" ? 2 : 1}` : part.closed ? "closed" : "open");

/** What is different about a switch that has gone over. @param {Part} part @returns {Partial<Part>} */
export const goneOver = (part) => (part.kind === TWO_WAY ? { rests: part.rests === "second" ? undefined : "second" } : { closed: !part.closed });

/** What a press on a switch does. @param {Part} part */
export const throwing = (part) => (part.kind === TWO_WAY ? "Throw it over" : part.closed ? "Open it" : "Close it");

/** The joint at a grid position, or null. @param {Sketch} sketch @param {Spot} spot */
export function jointAt(sketch, spot) {
  for (const [id, place] of Object.entries(sketch.joints)) if (sameSpot(place, spot)) return id;
  return null;
}

/** Whether two pairs are the same two joints, whichever is named first. @param {readonly string[]} one @param {readonly string[]} other */
export const samePair = (one, other) => (one[0] === other[0] && one[1] === other[1]) || (one[0] === other[1] && one[1] === other[0]);

/** A joint id not in use: a … z, then a1 … @param {Sketch} sketch @param {Iterable<string>} [taken] */
export function freshJoint(sketch, taken = []) {
  const used = new Set([...Object.keys(sketch.joints), ...taken]);
  for (let round = 0; ; round += 1)
    for (const letter of "abcdefghijklmnopqrstuvwxyz") {
      const id = round ? `${letter}${round}` : letter;
      if (!used.has(id)) return id;
    }
}

/** A part name not in use. @param {Iterable<string>} used @param {string} letter */
export function freshName(used, letter) {
  const taken = new Set(used);
  let number = 1;
  while (taken.has(`${letter}${number}`)) number += 1;
  return `${letter}${number}`;
}

/** @param {Sketch} sketch */
export const names = (sketch) => sketch.parts.map((part) => part.name);

/** @param {Sketch} sketch @param {Spot} spot @returns {{sketch: Sketch, joint: string}} */
export function addJoint(sketch, spot) {
  const joint = freshJoint(sketch);
  return { sketch: { ...sketch, joints: { ...sketch.joints, [joint]: spot } }, joint };
}

/** @param {Sketch} sketch @param {string} name @param {Partial<Part>} fields a field set to undefined is taken away */
export function setFields(sketch, name, fields) {
  const parts = sketch.parts.map((part) => {
    if (part.name !== name) return part;
    const next = { ...part, ...fields };
    for (const key of Object.keys(fields)) if (fields[key] === undefined) delete next[key];
    return next;
  });
  return { ...sketch, parts };
}

/** Swaps the ends of the named parts: signs turn, nothing else. Two-way switches have another turn (see contacts.js). @param {Sketch} sketch @param {Set<string>} which */
export function turnRound(sketch, which) {
  const parts = sketch.parts.map((part) => (which.has(part.name) && part.kind !== TWO_WAY ? { ...part, from: part.to, to: part.from } : part));
  return { ...sketch, parts };
}

/** @param {Sketch} sketch @param {string} name @param {string} next */
export function rename(sketch, name, next) {
  const parts = sketch.parts.map((part) => (part.name === name ? { ...part, name: next } : part));
  const key = (old) => (old.startsWith(`${name}.`) ? next + old.slice(name.length) : old);
  const renamed = { ...sketch, parts };
  if (sketch.covered) renamed.covered = sketch.covered.map((entry) => splitCover(entry).map(key).join(""));
  for (const list of ["required", "questions"]) if (sketch[list]) renamed[list] = sketch[list].map((each) => ({ ...each, reading: key(each.reading) }));
  if (sketch.stages) renamed.stages = sketch.stages.map((stage) => renamedIn(stage, name, next));
  return renamed;
}

/** A stage after a part got another name. */
function renamedIn(stage, name, next) {
  const swap = (each) => (each === name ? next : each);
  const after = { ...stage, closed: stage.closed.map(swap) };
  if (stage.second) after.second = stage.second.map(swap);
  if (stage.set) after.set = Object.fromEntries(Object.entries(stage.set).map(([part, value]) => [swap(part), value]));
  return after;
}

/**
 * Takes parts away, with joints that nothing ends at any more.
 * @param {Sketch} sketch @param {Set<string>} which part names
 * @param {Set<string>} [joints] joints to take away too, with every part at them
 */
export function removeParts(sketch, which, joints = new Set()) {
  const goes = (part) => which.has(part.name) || endsOf(part).some((joint) => joints.has(joint));
  return dropLoose({ ...sketch, parts: sketch.parts.filter((part) => !goes(part)) });
}

/** Takes away joints without parts, and what speaks of joints or parts that are gone. @param {Sketch} sketch */
function dropLoose(sketch) {
  const used = new Set(sketch.parts.flatMap(endsOf));
  const next = { ...sketch, joints: Object.fromEntries(Object.entries(sketch.joints).filter(([id]) => used.has(id))) };
  if (next.zero !== undefined && !used.has(next.zero)) delete next.zero;
  if (next.probes) next.probes = next.probes.filter((pair) => pair.every((joint) => used.has(joint)));
  if (next.covered) {
    const parts = new Set(names(next));
    next.covered = next.covered.filter((key) => stillThere(key, parts, used));
  }
  for (const list of ["required", "questions"]) if (next[list]) next[list] = next[list].filter(({ reading }) => reading === "time constant" || stillThere(reading, new Set(names(next)), used));
  if (next.stages) next.stages = next.stages.map((stage) => stageOf(stage, new Set(names(next))));
  return next;
}

/** A stage without what speaks of parts that are gone. */
function stageOf(stage, parts) {
  const after = { ...stage, closed: stage.closed.filter((name) => parts.has(name)) };
  if (stage.second) after.second = stage.second.filter((name) => parts.has(name));
  if (stage.set) after.set = Object.fromEntries(Object.entries(stage.set).filter(([name]) => parts.has(name)));
  return after;
}

/** "but C1.voltage" → ["but ", "C1.voltage"]. @param {string} key */
const splitCover = (key) => (key.startsWith("but ") ? ["but ", key.slice(4)] : ["", key]);

/** @param {string} entry of `covered` @param {Set<string>} parts @param {Set<string>} joints */
function stillThere(entry, parts, joints) {
  const key = splitCover(entry)[1];
  if (key === "*" || key.startsWith("total.")) return true;
  const owner = key.slice(0, key.lastIndexOf("."));
  const words = owner.split(" ");
  return words.length === 1 ? parts.has(owner) : words.slice(1).every((joint) => joints.has(joint));
}

/** Two joints become one: `gone` is replaced by `kept`. @param {Sketch} sketch @param {string} gone @param {string} kept */
export function mergeJoints(sketch, gone, kept) {
  const swap = (joint) => (joint === gone ? kept : joint);
  const joints = { ...sketch.joints };
  delete joints[gone];
  const next = { ...sketch, joints, parts: sketch.parts.map((part) => endingAt(part, swap)) };
  if (next.zero !== undefined) next.zero = swap(next.zero);
  if (next.probes) {
    const probes = next.probes.map(([a, b]) => /** @type {[string, string]} */ ([swap(a), swap(b)]));
    next.probes = probes.filter(([a, b]) => a !== b);
  }
  return next;
}

/** A copy of some parts and their joints, for the clipboard. @param {Sketch} sketch @param {Set<string>} which @returns {Sketch} */
export function excerpt(sketch, which) {
  const parts = sketch.parts.filter((part) => which.has(part.name));
  const joints = {};
  for (const part of parts) for (const end of endsOf(part)) joints[end] = sketch.joints[end];
  return { joints, parts };
}

/**
 * Puts a copy of `piece` on the sheet, moved by [across, down], with names and joints of its own.
 * @param {Sketch} sketch @param {Sketch} piece @param {Spot} by
 * @param {Record<string, {letter: string}>} kinds
 * @returns {{sketch: Sketch, added: Set<string>}}
 */
export function insertPiece(sketch, piece, by, kinds) {
  const joints = { ...sketch.joints };
  const ids = new Map();
  for (const [id, [x, y]] of Object.entries(piece.joints)) {
    const fresh = freshJoint({ joints, parts: [] });
    ids.set(id, fresh);
    joints[fresh] = [x + by[0], y + by[1]];
  }
  const parts = [...sketch.parts];
  const taken = new Set(names(sketch));
  const added = new Set();
  for (const part of piece.parts) {
    const name = taken.has(part.name) ? freshName(taken, kinds[part.kind].letter) : part.name;
    taken.add(name);
    added.add(name);
    parts.push(endingAt({ ...part, name }, (joint) => ids.get(joint)));
  }
  return { sketch: { ...sketch, joints, parts }, added };
}
