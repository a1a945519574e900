// How the page is looked at: overlays, larger type, the form of resistors. A choice of this browser, not of the sketch.

import { need } from "./dom.js";

const KEY = "farandole look";
const LARGER = 1.4;

function remembered() {
  try {
    return JSON.parse(localStorage.getItem(KEY) ?? "{}");
  } catch {
    return {};
  }
}

export class Look {
  #listeners = [];

  /** @param {object} kinds */
  constructor(kinds) {
    const { larger = false, zigzag = false } = remembered();
    this.kinds = kinds;
    this.overlays = { V: true, Q: true, U: true };
    this.larger = larger === true;
    this.zigzag = zigzag === true;
    this.#dress();
    for (const choice of ["larger", "zigzag"]) {
      const box = /** @type {HTMLInputElement|null} */ (document.getElementById(choice));
      if (!box) continue;
      box.checked = this[choice];
      box.addEventListener("change", () => {
        this[choice] = box.checked;
        this.#changed();
      });
    }
    this.#openChoices();
  }

  /** @returns {import("./drawing/picture.js").Style} */
  get style() {
    return { kinds: this.kinds, big: this.larger ? LARGER : 1, zigzag: this.zigzag, overlays: this.overlays };
  }

  /** @param {() => void} listener */
  listen(listener) {
    this.#listeners.push(listener);
  }

  /** @param {"V"|"Q"|"U"} which */
  toggleOverlay(which) {
    this.overlays = { ...this.overlays, [which]: !this.overlays[which] };
    this.#changed();
  }

  #changed() {
    try {
      localStorage.setItem(KEY, JSON.stringify({ larger: this.larger, zigzag: this.zigzag }));
    } catch {
      // A browser that keeps nothing still shows the choice until the page is left.
    }
    this.#dress();
    for (const listener of this.#listeners) listener();
  }

  #dress() {
    document.documentElement.classList.toggle("larger", this.larger);
    for (const which of ["V", "Q", "U"]) need(`overlay-${which}`).setAttribute("aria-pressed", String(this.overlays[which]));
  }

  #openChoices() {
    const button = document.getElementById("look");
    const choices = document.getElementById("look-choices");
    if (!button || !choices) return;
    const show = (open) => {
      choices.hidden = !open;
      button.setAttribute("aria-expanded", String(open));
    };
    button.addEventListener("click", () => show(choices.hidden));
    document.addEventListener("pointerdown", (event) => {
      if (!choices.contains(/** @type {Node} */ (event.target)) && event.target !== button) show(false);
    });
    choices.addEventListener("keydown", (event) => {
      if (event.key !== "Escape") return;
      show(false);
      button.focus();
    });
  }
}
