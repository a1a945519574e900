// Which curves the time line draws: a button, and under it a box to tick for each reading.

import { html, nameElement } from "../dom.js";

/** @typedef {import("./plot.js").Line} Line */

export class CurveChoices {
  #keys = "";

  /** @param {(key: string, wanted: boolean) => void} chosen */
  constructor(chosen) {
    this.chosen = chosen;
    this.list = html("div", { id: "time-choices", class: "choices time-choices", role: "group", "aria-label": "Curves", hidden: true });
    this.button = html("button", { type: "button", class: "edged", "aria-expanded": "false", "aria-controls": "time-choices", onclick: () => this.open(this.list.hidden) }, "Curves");
    this.list.addEventListener("keydown", (event) => {
      if (event.key !== "Escape") return;
      this.open(false);
      this.button.focus();
    });
    document.addEventListener("pointerdown", ({ target }) => this.#leave(target));
    document.addEventListener("focusin", ({ target }) => this.#leave(target));
  }

  /** Somebody goes on elsewhere. */
  #leave(target) {
    if (!this.list.hidden && target instanceof Node && !this.list.contains(target) && !this.button.contains(target)) this.open(false);
  }

  /** @param {boolean} open */
  open(open) {
    this.list.hidden = !open;
    this.button.setAttribute("aria-expanded", String(open));
  }

  /** @param {Line[]} lines @param {(line: Line) => boolean} isChosen */
  fill(lines, isChosen) {
    const keys = lines.map(({ key }) => key).join(" ");
    if (this.#keys === keys) return;
    this.#keys = keys;
    const boxes = lines.map((line) => {
      const box = /** @type {HTMLInputElement} */ (html("input", { type: "checkbox" }));
      box.checked = isChosen(line);
      box.addEventListener("change", () => this.chosen(line.key, box.checked));
      return html("label", {}, box, html("span", {}, nameElement(line.name), ` ${line.quantity}`));
    });
    this.list.replaceChildren(...boxes);
  }
}
