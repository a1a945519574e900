// Asks the server for the solution after every change, and says how the answer at hand relates to the sheet.

import { post } from "./post.js";

/** @typedef {import("./sketch.js").Sketch} Sketch */
/**
 * @typedef {{exact: string|null, value: number|null, text: string}} Reading
 * @typedef {{code: string, parts: string[], joints: string[], text: string}} Message
 * @typedef {"current"|"asking"|"away"|"fault"} State
 * @typedef {"tiles"|"steps"|"line"|"stages"|"caution"|"builds"|"ratings"} View
 */

/** Views that are asked for when a part is selected: the readings stand as they are meanwhile. @type {Set<View>} */
const ASIDE = new Set(["builds"]);
const PATIENCE = 400;
const LATE = 400;
/** Milliseconds for which nothing may have moved before views are asked for anew. */
const AT_REST = 120;
const FIRST_RETRY = 1000;
const LAST_RETRY = 20000;

/** What the solution depends on: not where things are drawn, nor what is covered. @param {Sketch} sketch */
export const electrical = (sketch) =>
  JSON.stringify([
    sketch.parts.map(({ bend, ...part }) => part),
    Object.keys(sketch.joints),
    sketch.zero,
    sketch.figures,
    sketch.probes,
    sketch.required,
    sketch.questions,
    sketch.stages?.map(({ closed, second, set }) => [closed, second, set]),
    sketch.usable,
    sketch.lot,
    sketch.stage,
  ]);

/** @param {Sketch} sketch */
const placement = (sketch) => JSON.stringify([sketch.joints, sketch.parts.map(({ bend }) => bend)]);

export class Solving {
  #asked = "";
  #wanted = "";
  #request = null;
  #retry = 0;
  #wait = FIRST_RETRY;
  #lateness = 0;
  #resting = 0;
  #tell;
  #url;
  #sketch = null;
  #placed = "";
  /** What an answer must have beside the readings. @type {Set<View>} */
  #views = new Set();
  /** What the last answer had beside the readings. @type {Set<View>} */
  #had = new Set();
  /** The way of the worked solution that is asked for; the first one where null. @type {string|null} */
  #way = null;

  /** @param {string} url @param {() => void} tell called whenever there is news */
  constructor(url, tell) {
    this.#url = url;
    this.#tell = tell;
    /** @type {State} */
    this.state = "asking";
    /** Whether an answer is being waited for so long that the old one must be marked. */
    this.late = false;
    /** The last good answer; it belongs to the sheet only while `state` is "current". */
    this.solution = null;
    /** @type {Message[]} */
    this.faults = [];
    /** The stages of the last answer, also where the one shown is at fault. @type {object[]|null} */
    this.stages = null;
    window.addEventListener("online", () => this.#again());
  }

  /** The sheet now holds this sketch (with the pair of joints being read, if any). @param {Sketch} sketch */
  follow(sketch) {
    const placed = placement(sketch);
    const moved = this.#views.size > 0 && placed !== this.#placed;
    [this.#sketch, this.#placed] = [sketch, placed];
    this.#want(electrical(sketch) + this.#query((view) => !ASIDE.has(view)));
    this.#complete();
    // Views keep to the order on the sheet. The readings stand as they are, so nothing is marked as being asked for.
    if (moved && this.state === "current") {
      clearTimeout(this.#resting);
      this.#resting = setTimeout(() => this.#request ?? this.#ask(), AT_REST);
    }
  }

  /** From the next question on answers have a view beside the readings, or no longer. @param {View} view @param {boolean} wanted */
  include(view, wanted) {
    if (wanted) this.#views.add(view);
    else this.#views.delete(view);
  }

  /** Asks at once where the views that are wanted have changed. */
  renew() {
    if (this.#sketch) this.follow(this.#sketch);
  }

  /** Asks for another way of the worked solution. @param {string|null} way */
  take(way) {
    this.#way = way;
    this.renew();
  }

  #query(wanted = (_view) => true) {
    const views = [...this.#views].filter(wanted);
    if (views.length === 0) return "";
    return `?${new URLSearchParams({ with: views.join(","), ...(this.#way && this.#views.has("steps") ? { way: this.#way } : {}) })}`;
  }

  /** Asks for a view that has become wanted beside readings that are there. */
  #complete() {
    const lacks = [...ASIDE].some((view) => this.#views.has(view) && !this.#had.has(view));
    if (lacks && this.state === "current" && this.#request === null) this.#ask();
  }

  #want(key) {
    if (key === this.#wanted) return;
    this.#wanted = key;
    if (this.state !== "away") this.state = "asking";
    this.#lateness ||= setTimeout(() => this.#isLate(), LATE);
    if (this.#request === null) this.#ask();
    else if (performance.now() - this.#request.since > PATIENCE) this.#request.abort.abort();
  }

  /** Another sketch altogether is on the sheet: nothing of the old answer may stand beside it. */
  forget() {
    [this.solution, this.faults, this.stages] = [null, [], null];
    this.#wanted = "";
    if (this.state !== "away") this.state = "asking";
  }

  #again() {
    clearTimeout(this.#retry);
    if (this.#request === null && this.#asked !== this.#wanted) this.#ask();
  }

  async #ask() {
    clearTimeout(this.#retry);
    const key = this.#wanted;
    const abort = new AbortController();
    const views = new Set(this.#views);
    this.#request = { abort, since: performance.now() };
    const outcome = await post(this.#url + this.#query(), JSON.stringify(this.#sketch), abort.signal);
    this.#request = null;
    if (key !== this.#wanted) return this.#ask();
    if (outcome === null) return this.#away();
    [this.#asked, this.#had] = [key, views];
    this.#wait = FIRST_RETRY;
    this.#inTime();
    this.stages = outcome.body.stages ?? null;
    if (outcome.ok) [this.solution, this.faults, this.state] = [outcome.body, [], "current"];
    else [this.solution, this.faults, this.state] = [null, outcome.body.errors, "fault"];
    this.#tell();
    this.#complete();
  }

  #isLate() {
    if (this.state !== "asking") return;
    this.late = true;
    this.#tell();
  }

  #inTime() {
    clearTimeout(this.#lateness);
    [this.#lateness, this.late] = [0, false];
  }

  #away() {
    this.#inTime();
    this.state = "away";
    this.#retry = setTimeout(() => this.#again(), this.#wait);
    this.#wait = Math.min(this.#wait * 2, LAST_RETRY);
    this.#tell();
  }
}
