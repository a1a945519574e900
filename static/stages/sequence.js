// A sketch's stages: which one its parts show, and the sketch after a stage is shown, made, changed or taken away.

import { goneOver, isSwitch, partNamed, setFields, stateOf } from "../sketch.js";
import { TWO_WAY } from "../two_way.js";

/** @typedef {import("../sketch.js").Sketch} Sketch @typedef {import("../sketch.js").Part} Part */

export const MOST_STAGES = 50;
/** Characters that a stage's name may have. */
export const LONGEST_NAME = 60;

/** @param {Sketch} sketch */
export const hasStages = (sketch) => (sketch.stages?.length ?? 0) > 0;

/** The stage that the parts show. @param {Sketch} sketch */
export const shownStage = (sketch) => Math.min(sketch.stage ?? 0, (sketch.stages?.length ?? 1) - 1);

/** How the switches stand, as a stage has it: those closed, and two-way switches on their second contact. @param {Part[]} parts */
function standing(parts) {
  const those = (test) => parts.filter(test).map((part) => part.name);
  const second = those((part) => part.kind === TWO_WAY && part.rests === "second");
  return { closed: those((part) => part.kind === "switch" && part.closed), ...(second.length ? { second } : {}) };
}

/** The value that stages up to this one have set for a part; undefined where none has. */
function setValue(stages, number, name) {
  for (let place = number; place >= 0; place -= 1) if (stages[place].set && Object.hasOwn(stages[place].set, name)) return stages[place].set[name];
  return undefined;
}

/** The parts as a stage has them. @param {Sketch} sketch @param {number} number @returns {Part[]} */
export function arranged(sketch, number) {
  const closed = new Set(sketch.stages[number].closed);
  const second = new Set(sketch.stages[number].second);
  return sketch.parts.map((part) => {
    if (part.kind === "switch") return part.closed === closed.has(part.name) ? part : { ...part, closed: closed.has(part.name) };
    if (part.kind === TWO_WAY) return (part.rests === "second") === second.has(part.name) ? part : { ...part, rests: second.has(part.name) ? "second" : "first" };
    const value = setValue(sketch.stages, number, part.name);
    return value === undefined || value === part.value ? part : { ...part, value };
  });
}

/** @param {Sketch} sketch @param {number} number @returns {Sketch} the same sketch, showing another stage */
export function showing(sketch, number) {
  const { moment, ...rest } = sketch;
  // Another stage is shown as it is in the end.
  return { ...rest, parts: arranged(sketch, number), stage: number, ...(moment !== undefined && number === shownStage(sketch) ? { moment } : {}) };
}

/** The same stage at a moment, seconds after its start; as it is in the end where null. @param {Sketch} sketch @param {number|null} moment */
export function atMoment(sketch, moment) {
  const { moment: _moment, ...rest } = sketch;
  return moment === null ? rest : { ...rest, moment };
}

/** The first stage is the sketch as it is drawn. @param {Sketch} sketch @returns {Sketch} */
export const begun = (sketch) => ({ ...sketch, stages: [{ name: "Start", ...standing(sketch.parts) }], stage: 0 });

/** No more stages: what is shown stays. @param {Sketch} sketch @returns {Sketch} */
export function ended(sketch) {
  const { stages: _stages, stage: _stage, moment: _moment, ...rest } = sketch;
  return rest;
}

/** What has become of a switch that was thrown. @param {Part} part */
const happened = (part) => (part.kind === TWO_WAY ? stateOf(part) : part.closed ? "closed" : "opened");

/** Another stage after the one shown, with one switch the other way where it is named. @param {Sketch} sketch @param {string} [thrown] */
export function withNext(sketch, thrown) {
  const here = shownStage(sketch);
  const over = thrown === undefined ? sketch : setFields(sketch, thrown, goneOver(partNamed(sketch, thrown)));
  const name = thrown === undefined ? {} : { name: `${thrown} ${happened(partNamed(over, thrown))}` };
  const stages = [...sketch.stages.slice(0, here + 1), { ...name, ...standing(over.parts) }, ...sketch.stages.slice(here + 1)];
  return showing({ ...sketch, stages }, here + 1);
}

/** A stage's own name; none where it only counts the stages, as its card does anyhow. @param {{name?: string}} stage */
export const ownName = ({ name = "" }) => (/^Stage \d+$/.test(name) ? "" : name);

/** Whether nothing has been changed in a stage against the one before. @param {Sketch} sketch @param {number} number */
export function isCopy({ stages }, number) {
  if (number === 0 || Object.keys(stages[number].set ?? {}).length) return false;
  const stands = ({ closed, second }) => JSON.stringify([[...closed].sort(), [...(second ?? [])].sort()]);
  return stands(stages[number]) === stands(stages[number - 1]);
}

/** "S1 opened, S2 closed": the switches that stand another way. @param {Part[]} before @param {Part[]} after */
function thrownBetween(before, after) {
  const stood = new Map(before.map((part) => [part.name, part]));
  const thrown = after.filter((part) => isSwitch(part) && stateOf(part) !== stateOf(stood.get(part.name)));
  const words = thrown.map((part) => `${part.name} ${happened(part)}`).join(", ");
  return words.length > LONGEST_NAME ? `${thrown.length} switches thrown` : words;
}

/** The stage shown, which is not the first, with one switch the other way; it is named after all that were, unless it has a name of its own. @param {Sketch} sketch @param {string} thrown */
export function withThrown(sketch, thrown) {
  const here = shownStage(sketch);
  const before = arranged(sketch, here - 1);
  const { parts } = setFields(sketch, thrown, goneOver(partNamed(sketch, thrown)));
  const { name: _name, second: _second, ...rest } = sketch.stages[here];
  const given = ownName(sketch.stages[here]);
  const name = given && given !== thrownBetween(before, sketch.parts) ? given : thrownBetween(before, parts);
  const stage = { ...(name ? { name } : {}), ...rest, ...standing(parts) };
  return atMoment({ ...sketch, parts, stages: sketch.stages.map((each, place) => (place === here ? stage : each)) }, null);
}

/** @param {Sketch} sketch @param {number} number @param {{name?: string, text?: string}} entries */
export function described(sketch, number, entries) {
  const stages = sketch.stages.map((stage, place) => {
    if (place !== number) return stage;
    const after = { ...stage, ...entries };
    for (const key of ["name", "text"]) if (!after[key]) delete after[key];
    return after;
  });
  return { ...sketch, stages };
}

/** A stage without what it says of parts that are not on the sheet, or that are of another kind. @param {Sketch} sketch @param {number} number */
function wholeStage(sketch, number) {
  const stage = sketch.stages[number];
  const of = (...kinds) => new Set(sketch.parts.filter(({ kind }) => kinds.includes(kind)).map(({ name }) => name));
  const [closing, twoWay, valued] = [of("switch"), of(TWO_WAY), of("capacitor", "resistor", "battery")];
  const whole = { ...stage, closed: stage.closed.filter((name) => closing.has(name)) };
  if (stage.second) whole.second = stage.second.filter((name) => twoWay.has(name));
  if (stage.set) whole.set = Object.fromEntries(Object.entries(stage.set).filter(([name]) => valued.has(name)));
  return whole;
}

/** @param {Sketch} sketch @param {number} number */
export const isWhole = (sketch, number) => JSON.stringify(wholeStage(sketch, number)) === JSON.stringify(sketch.stages[number]);

/** @param {Sketch} sketch @param {number} number */
export const madeWhole = (sketch, number) => ({ ...sketch, stages: sketch.stages.map((stage, place) => (place === number ? wholeStage(sketch, number) : stage)) });

/** @param {Sketch} sketch @param {number} number */
export function without(sketch, number) {
  const gone = sketch.stages[number];
  const stages = sketch.stages.filter((_, place) => place !== number);
  if (!stages.length) return ended(sketch);
  // What the first stage sets is what its values are at all.
  if (number === 0 && gone.set) stages[0] = { ...stages[0], set: { ...gone.set, ...stages[0].set } };
  return showing({ ...sketch, stages }, Math.min(Math.max(number - 1, 0), stages.length - 1));
}

/**
 * What was changed on the parts becomes part of the stage that they show.
 * @param {Sketch} next @param {Sketch} before @returns {Sketch}
 */
export function mirrored(next, before) {
  if (!hasStages(next) || next.stages !== before.stages || next.stage !== before.stage) return next;
  if (next.parts === before.parts) return next;
  const here = shownStage(next);
  const stages = next.stages.map((stage) => ({ ...stage }));
  const { second: _second, ...rest } = stages[here];
  stages[here] = { ...rest, ...standing(next.parts) };
  const old = new Map(before.parts.map((part) => [part.name, part.value]));
  for (const { name, value } of next.parts) {
    const was = setValue(stages, here, name);
    if (value === undefined || value === (was ?? old.get(name))) continue;
    if (was === undefined && (here === 0 || old.get(name) === undefined)) continue;
    if (was === undefined) stages[0].set = { ...stages[0].set, [name]: old.get(name) };
    stages[here].set = { ...stages[here].set, [name]: value };
  }
  return { ...next, stages };
}
