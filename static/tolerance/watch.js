// Asks for the spread of the readings: only while some part has a tolerance, nothing moves and the ledger is in sight.

import { post } from "../post.js";
import { electrical } from "../solving.js";

/** @typedef {import("../sketch.js").Sketch} Sketch @typedef {import("../solving.js").Reading} Reading */
/** @typedef {{spreads: Record<string, {low: Reading, high: Reading}>, proved: boolean, leftOut: string[], reason: string|null}} Spreads */

/** Milliseconds for which nothing may have changed before the spread is asked for. */
const AT_REST = 150;
/** Milliseconds of work from which on it is shown, and can be stopped. */
const LATE = 500;

/** @param {Sketch} sketch */
export const hasTolerance = (sketch) => sketch.parts.some((part) => part.tolerance !== undefined);

export class SpreadWatch {
  #url;
  #tell;
  #key = "";
  #sketch = null;
  #timer = 0;
  #late = 0;
  #abort = null;
  #inSight = false;

  /** @param {string} url @param {Element} ledger the place that has to be in sight @param {() => void} tell called whenever there is news */
  constructor(url, ledger, tell) {
    this.#url = url;
    this.#tell = tell;
    /** @type {"idle"|"waiting"|"asking"|"late"|"done"|"stopped"|"failed"} */
    this.state = "idle";
    /** About how much of the work is behind, from 0 to 1. */
    this.share = 0;
    /** What is wrong, where it failed. */
    this.wrong = "";
    /** The last answer; it belongs to the sheet only while `state` is "done". @type {Spreads|null} */
    this.answer = null;
    new IntersectionObserver((entries) => {
      this.#inSight = entries[entries.length - 1].isIntersecting;
      this.#begin();
    }).observe(ledger);
  }

  /** Whether readings have bars, or will have. */
  get isOn() {
    return this.state !== "idle";
  }

  /** The spread of a reading, where it is known now. @param {string} key */
  of(key) {
    return this.state === "done" ? (this.answer?.spreads[key] ?? null) : null;
  }

  /** The sheet holds this sketch; `current` says whether its readings are there. @param {Sketch} sketch @param {boolean} current */
  follow(sketch, current) {
    // At a moment on the way readings are not those that the spread is of.
    if (!hasTolerance(sketch) || sketch.moment !== undefined) {
      this.#end("idle");
      this.#key = "";
      return;
    }
    const { lot: _drawn, questions: _asked, ...nominal } = sketch;
    const key = electrical(nominal);
    if (key !== this.#key) {
      this.#end("waiting");
      [this.#key, this.#sketch] = [key, nominal];
    }
    if (current) this.#begin();
    else clearTimeout(this.#timer);
  }

  /** Leaves off, as somebody wished. */
  stop() {
    this.#end("stopped");
    this.#tell();
  }

  /** Asks after all. */
  again() {
    this.state = "waiting";
    this.#begin();
    this.#tell();
  }

  #end(state) {
    clearTimeout(this.#timer);
    clearTimeout(this.#late);
    this.#abort?.abort();
    [this.#abort, this.state] = [null, state];
  }

  /** Shows how far the work is, without painting what is round it anew. */
  #goOn() {
    const bar = /** @type {HTMLProgressElement|null} */ (document.getElementById("spread-share"));
    if (bar) bar.value = this.share;
  }

  #begin() {
    if (this.state !== "waiting" || !this.#inSight) return;
    clearTimeout(this.#timer);
    this.#timer = setTimeout(() => this.#ask(), AT_REST);
  }

  async #ask() {
    const [key, abort] = [this.#key, new AbortController()];
    [this.#abort, this.state] = [abort, "asking"];
    this.#late = setTimeout(() => {
      this.state = "late";
      this.#tell();
    }, LATE);
    /** @type {Spreads} */
    const answer = { spreads: {}, proved: true, leftOut: [], reason: null };
    this.share = 0;
    // Slice after slice, so that to leave off is to ask no more.
    for (let from = null, first = true; first || from; first = false) {
      const outcome = await post(this.#url, JSON.stringify({ sketch: this.#sketch, from }), abort.signal);
      if (abort.signal.aborted || key !== this.#key) return;
      if (!outcome?.ok) {
        [this.wrong, this.state] = [outcome?.body.detail ?? "The server is away.", "failed"];
        break;
      }
      const { spreads, leftOut, proved, reason, share } = outcome.body;
      Object.assign(answer.spreads, spreads);
      answer.leftOut.push(...leftOut);
      [answer.proved, answer.reason, this.share, from] = [proved, reason, share, outcome.body.from];
      if (!from) [this.answer, this.state] = [answer, "done"];
      else if (this.state === "late") this.#goOn();
    }
    clearTimeout(this.#late);
    this.#abort = null;
    this.#tell();
  }
}
