// The search for mixed parts: slice after slice from the server, with its progress, until it ends or is stopped.

import { html } from "../dom.js";
import { post, whyNot } from "../post.js";

const LISTED = 12;

/** Fewer parts first, and so on down the ranks. */
function byRank(one, other) {
  const place = one.rank.findIndex((number, index) => number !== other.rank[index]);
  return place < 0 ? 0 : one.rank[place] - other.rank[place];
}

export class MixedSearch {
  #running = null;
  /** How many parts the best bank of equal strings takes. @type {number|null} */
  #equal = null;
  #place;
  #url;
  #card;
  #caution;

  /** @param {HTMLElement} place @param {string} url @param {(bank: object) => HTMLElement} card @param {(caution: object|null) => void} caution told of a caution that comes with what is found */
  constructor(place, url, card, caution) {
    [this.#place, this.#url, this.#card, this.#caution] = [place, url, card, caution];
  }

  /** What can be looked for, from a plan; an earlier search is given up. @param {object} wish @param {object} plan */
  offer(wish, plan) {
    this.stop();
    const { search } = plan;
    this.#equal = plan.banks[0]?.parts ?? null;
    this.#place.hidden = !search;
    if (!search) return this.#place.replaceChildren();
    const start = html("button", { type: "button", class: "edged", onclick: () => this.#run(wish, search) }, "Look for mixed parts");
    const told = plan.count ? "Different parts together may do with fewer, or with as many." : "Different parts together may do it.";
    this.#place.replaceChildren(html("h2", { id: "mixed-head" }, "Banks of mixed parts"), html("p", {}, start, " ", html("span", { class: "quiet" }, told)));
  }

  stop() {
    this.#running?.abort();
    this.#running = null;
  }

  async #run(wish, { from, last }) {
    const running = (this.#running = new AbortController());
    const bar = /** @type {HTMLProgressElement} */ (html("progress", { max: 1, value: 0, "aria-label": "How much has been looked at" }));
    const status = html("p", { role: "status" }, "Looking…");
    const stop = html("button", { type: "button", class: "edged", onclick: () => this.stop() }, "Stop");
    const list = html("ol", { class: "banks", role: "list" });
    const row = html("p", { class: "searching" }, bar, stop);
    this.#place.replaceChildren(html("h2", { id: "mixed-head" }, "Banks of mixed parts"), row, status, list);
    stop.focus({ preventScroll: true });
    let [best, count, next] = [[], 0, from];
    while (next && !running.signal.aborted) {
      const outcome = await post(this.#url, JSON.stringify({ wish, from: next }), running.signal);
      if (running.signal.aborted) break;
      if (!outcome?.ok) return this.#end(row, status, whyNot(outcome), wish, { from: next, last });
      const slice = outcome.body;
      bar.value = slice.share;
      count += slice.count;
      if (slice.banks.length) {
        best = [...best, ...slice.banks].sort(byRank).slice(0, LISTED);
        list.replaceChildren(...best.map(this.#card));
        this.#caution(slice.caution);
      }
      status.textContent = `Looking at banks of ${slice.parts} parts, of up to ${last}.`;
      next = slice.from;
      if (!next) return this.#end(row, status, this.#sum(best, count, slice.end));
    }
    if (this.#place.contains(row)) this.#end(row, status, best.length ? `Stopped: ${this.#sum(best, count, null)}` : "Stopped before anything was found.", wish, { from: next, last });
  }

  #sum(best, count, end) {
    if (end) return end;
    const [{ parts }] = best;
    const listed = count > best.length ? ` The best ${best.length} are listed.` : "";
    const beside = this.#equal === null ? "" : parts < this.#equal ? `; equal strings take ${this.#equal}` : ", and no fewer than equal strings take";
    return `${count === 1 ? "One bank takes" : `${count} banks take`} ${parts} parts, the fewest that mixed parts can do with${beside}.${listed}`;
  }

  /** @param {object} [wish] where the search could go on from a place @param {object} [search] */
  #end(row, status, text, wish, search) {
    this.#running = null;
    status.textContent = text;
    const again = wish ? [html("button", { type: "button", class: "edged", onclick: () => this.#run(wish, search) }, "Look again")] : [];
    const had = row.contains(document.activeElement);
    row.replaceChildren(...again);
    if (had) (again[0] ?? this.#place.querySelector("button"))?.focus({ preventScroll: true });
  }
}
