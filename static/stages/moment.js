// The solution at a moment: the same readings as in the end, each put together from the course that the server sent.
//
// What is multiplied and added is named there; here curves are evaluated and values written, which is drawing. Every
// moment of a stage is drawn to one scale, and every reading has the same room on the sheet all the while.

import { CANCELLED, decayed, valueOf, written } from "./curves.js";
import { picturesAt, tileFrames } from "./moment_tiles.js";

/**
 * @typedef {import("./curves.js").Course} Course @typedef {import("./curves.js").Curve} Curve @typedef {import("./curves.js").Writing} Writing
 * @typedef {import("../solving.js").Reading} Reading
 * @typedef {{first: Reading, final: Reading, constant: number, terms: [number, ...string[]][]}} Sum
 * @typedef {{potential: [number, number], energy: number, charge: number, current: number}} Reach what the drawing's scales go up to
 */

const UNITS = { potential: "V", voltage: "V", current: "A", charge: "C", energy: "J", work: "J", power: "W" };
/** Moments, in parts of the longest time constant, at which it is looked how far readings go. */
const LOOKED_AT = [0, 0.02, 0.05, 0.1, 0.2, 0.35, 0.5, 0.7, 1, 1.4, 2, 3, 5];

/** Readings that are the same at every moment. */
const CONSTANT = ["equivalent", "capacitance", "breakdown"];
const constants = (readings) => Object.fromEntries(CONSTANT.filter((name) => readings[name]).map((name) => [name, readings[name]]));

/** Capacitors that the stage changes have their old values at a moment: what the answer knows of a build is of the new one. @param {object} shown @param {Map<string, string>} before */
export function withValuesBefore(shown, before) {
  for (const name of before.keys()) for (const reading of ["capacitance", "breakdown"]) delete shown.parts[name]?.[reading];
  shown.moment.values = before;
}

/** Every moment of one stage. */
export class Moments {
  /** Each reading with the curve or the sum that it is, by its key. @type {Map<string, Curve|Sum>} */
  #all = new Map();
  #rooms = new Map();

  /**
   * @param {object} solution of the stage in the end @param {Course} course with its `moment` @param {Writing} writing
   * @param {boolean} slow whether something changes only once all has settled, so that the end is another state
   */
  constructor(solution, course, writing, slow) {
    Object.assign(this, { solution, course, writing, slow });
    const { moment } = course;
    for (const [name, readings] of [...Object.entries(course.parts), ...Object.entries(moment.parts)])
      for (const [quantity, curve] of Object.entries(readings)) if (quantity !== "heat") this.#all.set(`${name}.${quantity}`, curve);
    for (const [id, curve] of Object.entries(moment.conductors)) this.#all.set(`conductor ${id}.potential`, curve);
    for (const [total, sum] of Object.entries(moment.totals)) this.#all.set(`total.${total}`, sum);
    moment.probes.forEach((curve, place) => curve && this.#all.set(`probe ${place}.voltage`, curve));
    this.#look();
  }

  #write = (value, unit) => ({ exact: null, value, text: written(value, unit, this.writing) });

  /** How far readings go over the whole course: the drawing's scales, and whether a minus may come before a number. */
  #look() {
    const [constant] = this.course.timeConstants;
    const times = [...LOOKED_AT.map((share) => share * constant), ...this.course.timeConstants.slice(1), Infinity];
    const most = { energy: 0, charge: 0, current: 0 };
    let [low, high] = [0, 0];
    const signed = new Set();
    const looks = times.map((time) => this.#values(time));
    for (const key of this.#all.keys()) {
      const quantity = key.slice(key.lastIndexOf(".") + 1);
      for (const look of looks) {
        const value = look(key);
        if (value < 0) signed.add(key);
        if (quantity === "potential") [low, high] = [Math.min(low, value), Math.max(high, value)];
        else if (quantity in most && !key.startsWith("total.") && this.#isOfCapacitor(key, quantity)) most[quantity] = Math.max(most[quantity], Math.abs(value));
      }
      this.#rooms.set(key, `${signed.has(key) ? "−" : ""}${"8".repeat(this.writing.figures)}. m${UNITS[quantity]}`);
    }
    for (const { potential } of Object.values(this.solution.conductors)) [low, high] = [Math.min(low, potential.value), Math.max(high, potential.value)];
    for (const readings of Object.values(this.solution.parts)) for (const quantity of ["energy", "charge"]) if (readings.energy) most[quantity] = Math.max(most[quantity], Math.abs(readings[quantity].value));
    /** @type {Reach} */
    this.reach = { potential: [low, high], ...most };
    this.frames = tileFrames(this.course.moment.tiles, looks, this.writing);
  }

  /** Batteries too have a charge: what they have supplied. */
  #isOfCapacitor = (key, quantity) => quantity !== "charge" || this.#all.has(`${key.slice(0, key.lastIndexOf("."))}.energy`);

  /** The values of all readings at a time, each worked out once. @param {number} time @returns {(key: string) => number} */
  #values(time) {
    const known = new Map();
    const left = time === Infinity ? null : decayed(this.course.timeConstants, time);
    const find = (reading) => {
      if (time === Infinity) return reading.final.value;
      if (time === 0) return reading.first.value;
      if (reading.amplitudes) return valueOf(reading, left);
      let [sum, largest] = [reading.constant, Math.abs(reading.constant)];
      for (const [factor, ...keys] of reading.terms) {
        const term = keys.reduce((product, key) => product * look(key), factor);
        sum += term;
        largest = Math.max(largest, Math.abs(term));
      }
      return Math.abs(sum) < CANCELLED * largest ? 0 : sum;
    };
    const look = (key) => {
      if (!known.has(key)) known.set(key, find(this.#all.get(key)));
      return known.get(key);
    };
    look.left = left;
    return look;
  }

  /** The stage's own solution, drawn to the scales of its course and with as much room for its readings. */
  get end() {
    const { solution, course: { moment } } = this;
    const roomy = (owner, readings) => Object.fromEntries(Object.entries(readings).map(([quantity, reading]) => [quantity, reading && { ...reading, room: this.#rooms.get(`${owner}.${quantity}`) }]));
    const conductors = Object.fromEntries(Object.entries(solution.conductors).map(([id, conductor]) => [id, { ...conductor, ...roomy(`conductor ${id}`, { potential: conductor.potential }) }]));
    const parts = Object.fromEntries(Object.entries(solution.parts).map(([name, readings]) => [name, roomy(name, readings)]));
    const values = this.#values(Infinity);
    // What fills one rectangle all the while does so in the end too, in the same frame.
    const tiled = solution.tiles && !this.slow && moment.tiles.every(({ note }) => note === null);
    const tiles = tiled ? picturesAt(moment.tiles, this.frames, { values, left: null, parts, conductors, write: this.#write }) : solution.tiles;
    return { ...solution, reach: this.reach, conductors, parts, totals: roomy("total", solution.totals), tiles };
  }

  /** @param {number} time seconds, zero or more @param {string} words what the moment is called @returns {object} a solution */
  at(time, words) {
    const { solution, course: { parts: own, moment } } = this;
    const values = this.#values(time);
    const write = this.#write;
    const reading = (key, quantity) => {
      const found = this.#all.get(key);
      const told = time === 0 ? found.first : write(values(key), UNITS[quantity]);
      return { ...told, room: this.#rooms.get(key) };
    };
    const readings = (owner, known) => Object.fromEntries(Object.keys(known).filter((quantity) => quantity in UNITS).map((quantity) => [quantity, reading(`${owner}.${quantity}`, quantity)]));
    const conductors = Object.fromEntries(Object.entries(solution.conductors).map(([id, conductor]) => [id, { ...conductor, potential: reading(`conductor ${id}.potential`, "potential") }]));
    const parts = Object.fromEntries(
      Object.entries(solution.parts).map(([name, end]) => [name, { ...constants(end), ...readings(name, { ...own[name], ...moment.parts[name] }) }]),
    );
    return {
      ...solution,
      moment: { time, words },
      reach: this.reach,
      joints: Object.fromEntries(Object.entries(solution.joints).map(([joint, each]) => [joint, { ...each, potential: conductors[each.conductor].potential }])),
      conductors,
      parts,
      totals: readings("total", moment.totals),
      probes: solution.probes.map((probe, place) => (moment.probes[place] ? { ...probe, voltage: reading(`probe ${place}.voltage`, "voltage") } : probe)),
      checks: this.#checks(parts),
      tiles: solution.tiles && picturesAt(moment.tiles, this.frames, { values, left: values.left, time, parts, conductors, write }),
    };
  }

  /** Loops and isolated conductors, with the terms that they have at the moment; their sums are what they are at all times. */
  #checks(parts) {
    const { checks } = this.solution;
    return checks.flatMap((check, place) => {
      const signs = this.course.moment.signs[place];
      if (!signs) return [];
      const quantity = check.kind === "loop" ? "voltage" : "charge";
      const terms = signs.map((sign, index) => (sign > 0 ? parts[check.parts[index]][quantity] : opposite(parts[check.parts[index]][quantity])));
      return [{ ...check, terms: [...terms, ...check.terms.slice(terms.length)] }];
    });
  }
}

/** @param {Reading} reading */
const opposite = ({ value, text }) => ({ exact: null, value: -value, text: value === 0 ? text : text.startsWith("−") ? text.slice(1) : `−${text}` });
