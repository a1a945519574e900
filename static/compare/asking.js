// Asks the server for the comparison after every change; an answer that is no longer asked for is dropped.

import { post } from "../post.js";

/** @typedef {"current"|"asking"|"away"|"fault"} State */

const FIRST_RETRY = 1000;
const LAST_RETRY = 20000;
const AWAY = "The server is away: what you see is out of date. It is asked again until it answers.";

export class Asking {
  #url;
  #tell;
  #wanted = "";
  #busy = false;
  #retry = 0;
  #wait = FIRST_RETRY;

  /** @param {string} url @param {() => void} tell called whenever there is news */
  constructor(url, tell) {
    this.#url = url;
    this.#tell = tell;
    /** @type {State} */
    this.state = "asking";
    /** The last good answer; it belongs to what is asked only while `state` is "current". */
    this.answer = null;
    /** @type {{code: string, parts: string[], text: string}[]} */
    this.faults = [];
    window.addEventListener("online", () => this.#ask());
  }

  /** What is wrong, in sentences. @returns {string[]} */
  get told() {
    return this.state === "away" ? [AWAY] : this.faults.map(({ text }) => text);
  }

  /** @param {object} question */
  follow(question) {
    const text = JSON.stringify(question);
    if (text === this.#wanted) return;
    this.#wanted = text;
    if (this.state !== "away") this.state = "asking";
    this.#ask();
  }

  async #ask() {
    if (this.#busy || this.state === "current" || this.state === "fault") return;
    clearTimeout(this.#retry);
    this.#busy = true;
    const asked = this.#wanted;
    const outcome = await post(this.#url, asked);
    this.#busy = false;
    if (asked !== this.#wanted) return this.#ask();
    if (outcome === null) return this.#away();
    this.#wait = FIRST_RETRY;
    if (outcome.ok) [this.answer, this.faults, this.state] = [outcome.body, [], "current"];
    else [this.faults, this.state] = [outcome.body.errors, "fault"];
    this.#tell();
  }

  #away() {
    this.state = "away";
    this.#retry = setTimeout(() => this.#ask(), this.#wait);
    this.#wait = Math.min(2 * this.#wait, LAST_RETRY);
    this.#tell();
  }
}
