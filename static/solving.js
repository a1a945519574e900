// Asks the server for the solution after every change, and says how the answer at hand relates to the sheet.

/** @typedef {import("./sketch.js").Sketch} Sketch */
/**
 * @typedef {{exact: string|null, value: number|null, text: string}} Reading
 * @typedef {{code: string, parts: string[], joints: string[], text: string}} Message
 * @typedef {"current"|"asking"|"away"|"fault"} State
 */

const PATIENCE = 400;
const LATE = 400;
const FIRST_RETRY = 1000;
const LAST_RETRY = 20000;

/** What the solution depends on: not where things are drawn, nor what is covered. @param {Sketch} sketch */
const electrical = (sketch) =>
  JSON.stringify([
    sketch.parts.map(({ bend, ...part }) => part),
    Object.keys(sketch.joints),
    sketch.zero,
    sketch.figures,
    sketch.probes,
  ]);

export class Solving {
  #asked = "";
  #wanted = "";
  #request = null;
  #retry = 0;
  #wait = FIRST_RETRY;
  #lateness = 0;
  #tell;
  #url;
  #sketch = null;

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
    window.addEventListener("online", () => this.#again());
  }

  /** The sheet now holds this sketch (with the pair of joints being read, if any). @param {Sketch} sketch */
  follow(sketch) {
    const key = electrical(sketch);
    if (key === this.#wanted) return;
    this.#wanted = key;
    this.#sketch = sketch;
    if (this.state !== "away") this.state = "asking";
    this.#lateness ||= setTimeout(() => this.#isLate(), LATE);
    if (this.#request === null) this.#ask();
    else if (performance.now() - this.#request.since > PATIENCE) this.#request.abort.abort();
  }

  /** Another sketch altogether is on the sheet: nothing of the old answer may stand beside it. */
  forget() {
    [this.solution, this.faults] = [null, []];
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
    this.#request = { abort, since: performance.now() };
    let outcome;
    try {
      const response = await fetch(this.#url, {
        method: "POST",
        headers: { "Content-Type": "application/json" },
        body: JSON.stringify(this.#sketch),
        signal: abort.signal,
      });
      outcome = { ok: response.ok, body: await response.json() };
    } catch {
      outcome = null;
    }
    this.#request = null;
    if (key !== this.#wanted) return this.#ask();
    if (outcome === null) return this.#away();
    this.#asked = key;
    this.#wait = FIRST_RETRY;
    this.#inTime();
    if (outcome.ok) [this.solution, this.faults, this.state] = [outcome.body, [], "current"];
    else [this.solution, this.faults, this.state] = [null, outcome.body.errors, "fault"];
    this.#tell();
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
