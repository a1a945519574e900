// Which curves the time line draws: a button, and under it a box to tick for each reading.

import { html, nameElement } from "../dom.js";

/** @typedef {import("./plot.js").Line} Line */

/** Curves that are drawn before anything is chosen. */
export const FIRST = 6;

/** What is drawn before anything is chosen: the capacitors' voltages, and the current where one resistor carries any. @param {Line[]} lines @param {import("../sketch.js").Part[]} parts @returns {Set<string>} their keys */
export function firstChosen(lines, parts) {
  const named = (kind) => parts.filter((part) => part.kind === kind).map(({ name }) => name);
  const [capacitors, resistors] = [new Set(named("capacitor")), named("resistor")];
  const own = lines.filter(({ name, quantity }) => quantity === "voltage" && capacitors.has(name)).slice(0, FIRST);
  const flowing = lines.filter(({ name, quantity, curve }) => quantity === "current" && resistors.includes(name) && curve.amplitudes.some((each) => each !== 0));
  if (flowing.length === 1) own.push(...flowing);
  return new Set((own.length ? own : lines.slice(0, FIRST)).map(({ key }) => key));
}

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
