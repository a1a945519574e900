// What is compared, as data: a sketch with one more entry, `compare`, so that it travels in a link like any sketch.

import { TWO_WAY } from "../two_way.js";
import { coversOfSheet } from "./covers.js";
import { KINDS } from "./kinds.js";

/** @typedef {import("../sketch.js").Sketch} Sketch */
/**
 * @typedef {"series"|"parallel"|"other-series"|"other-parallel"|"network"|"copy"} Kind
 * @typedef {{value?: string, tolerance?: string|null, rated?: string, closed?: boolean, rests?: "first"|"second"}} Change
 * @typedef {{columns: Kind[], parts?: string[], emf?: string, changed?: Record<string, Change>, covered?: string[]}} Setting
 * @typedef {Sketch & {compare: Setting}} Compared
 */

export const FEWEST = 2;
export const MOST = 3;
/** Parts that can be compared at once. */
export const MOST_PARTS = 12;
/** The emf of the arrangements where the sheet has no battery. */
export const EMF = "9 V";
/** Kinds of part that are compared. */
export const COMPARABLE = ["capacitor", "resistor"];

const isObject = (data) => typeof data === "object" && data !== null && !Array.isArray(data);
const texts = (data) => (Array.isArray(data) ? data.filter((each) => typeof each === "string") : []);

/** A value with the tolerance, null for none any more, and the rated voltage that were typed with it. @param {Record<string, any>} change @returns {Change} */
function valueIn({ value, tolerance, rated }) {
  const found = /** @type {Change} */ ({ value });
  if (typeof tolerance === "string" || tolerance === null) found.tolerance = tolerance;
  if (typeof rated === "string") found.rated = rated;
  return found;
}

/** @param {Record<string, unknown>} data @param {Sketch} sketch @returns {Record<string, Change>} */
function changesIn(data, sketch) {
  const found = {};
  for (const { name, kind } of sketch.parts) {
    const change = Object.hasOwn(data, name) && isObject(data[name]) ? data[name] : {};
    if (kind === "switch" && typeof change.closed === "boolean") found[name] = { closed: change.closed };
    if (kind === TWO_WAY && (change.rests === "first" || change.rests === "second")) found[name] = { rests: change.rests };
    if (["capacitor", "resistor", "battery"].includes(kind) && typeof change.value === "string") found[name] = valueIn(change);
  }
  return found;
}

/** A sketch as it came, with a setting that this page understands; what it does not is left out. @param {Sketch} sketch @returns {Compared} */
export function compared(sketch) {
  const given = isObject(sketch.compare) ? sketch.compare : {};
  const columns = KINDS.filter((kind) => texts(given.columns).includes(kind));
  columns.sort((a, b) => given.columns.indexOf(a) - given.columns.indexOf(b));
  const setting = { columns: columns.length < FEWEST ? ["series", "parallel"] : columns.slice(0, MOST) };
  const there = sketch.parts.filter(({ kind }) => COMPARABLE.includes(kind)).map(({ name }) => name);
  const parts = texts(given.parts).filter((name) => there.includes(name));
  if (parts.length) setting.parts = [...new Set(parts)];
  if (typeof given.emf === "string") setting.emf = given.emf;
  const changed = isObject(given.changed) ? changesIn(given.changed, sketch) : {};
  if (Object.keys(changed).length) setting.changed = changed;
  const covered = isObject(sketch.compare) ? texts(given.covered) : (coversOfSheet(sketch.covered) ?? []);
  if (covered.length) setting.covered = covered;
  return { ...sketch, compare: setting };
}

/** The sketch alone. @param {Compared} whole @returns {Sketch} */
export function sketchOf(whole) {
  const { compare, ...sketch } = whole;
  return sketch;
}

/** What the server is asked. @param {Compared} whole */
export function question(whole) {
  const { columns, parts, emf, changed } = whole.compare;
  return { sketch: sketchOf(whole), columns, ...(parts ? { parts } : {}), ...(emf ? { emf } : {}), ...(changed && columns.includes("copy") ? { changed } : {}) };
}

/** @param {Compared} whole @param {Partial<Setting>} fields a field set to undefined is taken away @returns {Compared} */
export function withSetting(whole, fields) {
  const compare = { ...whole.compare, ...fields };
  for (const key of Object.keys(fields)) if (fields[key] === undefined) delete compare[key];
  return { ...whole, compare };
}

/** Whether any column puts the chosen parts in an arrangement of its own. @param {Compared} whole */
export const arranges = (whole) => whole.compare.columns.some((kind) => kind !== "network" && kind !== "copy");

/** The parts that can be compared. @param {Compared} whole */
export const comparable = (whole) => whole.parts.filter(({ kind }) => COMPARABLE.includes(kind));

/** A column more: the first that goes well with those that are there. @param {Kind[]} columns @returns {Kind|undefined} */
export function nextKind(columns) {
  const wanted = columns.includes("network") || columns.includes("copy") ? ["network", "copy", "series", "parallel"] : ["series", "parallel", "other-series", "network"];
  return /** @type {Kind|undefined} */ ([...wanted, ...KINDS].find((kind) => !columns.includes(kind)));
}

/** What a column can show, in words. @param {Kind} kind @param {string} part the kind of part that is arranged */
export function titleOf(kind, part) {
  const other = part === "resistor" ? "capacitors" : "resistors";
  return { series: "In series", parallel: "In parallel", "other-series": `As ${other}, in series`, "other-parallel": `As ${other}, in parallel`, network: "The network as it is", copy: "A changed copy" }[kind];
}
