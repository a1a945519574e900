// How the page is looked at: overlays, larger type, the form of resistors. A choice of this browser, not of the sketch.

import { need } from "./dom.js";

const KEY = "farandole look";
const LARGER = 1.4;
/** Below this scale writing is enlarged, by this much at the most. */
const LEGIBLE = 0.85;
const MOST_NEAR = 1.7;

/** What was chosen before in this browser. @returns {{larger?: boolean, zigzag?: boolean, changes?: boolean}} */
export function remembered() {
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
    const { larger = false, zigzag = false, changes = false } = remembered();
    this.kinds = kinds;
    /** Enlarges what is written on a sheet that is shown small, so that it stays legible. */
    this.near = 1;
    this.overlays = { V: true, Q: true, U: true };
    this.larger = larger === true;
    this.zigzag = zigzag === true;
    /** Whether readings of a stage tell what they were in the stage before. */
    this.changes = changes === true;
    this.#dress();
    for (const choice of ["larger", "zigzag"]) {
      const box = /** @type {HTMLInputElement|null} */ (document.getElementById(choice));
      if (!box) continue;
      box.checked = this[choice];
      box.addEventListener("change", () => {
        this[choice] = box.checked;
        this.#changed("size");
      });
    }
    this.#openChoices();
  }

  /** @returns {import("./drawing/picture.js").Style} */
  get style() {
    return { kinds: this.kinds, big: Math.min(MOST_NEAR, (this.larger ? LARGER : 1) * this.near), zigzag: this.zigzag, overlays: this.overlays };
  }

  /** Suits the size of writing to the scale the whole drawing is shown at; says whether that changed it. @param {number} scale */
  suit(scale) {
    const near = Math.round(Math.min(MOST_NEAR, Math.max(1, LEGIBLE / scale)) * 10) / 10;
    if (near === this.near) return false;
    this.near = near;
    return true;
  }

  /** @param {(what: "size"|"overlays") => void} listener */
  listen(listener) {
    this.#listeners.push(listener);
  }

  /** @param {"V"|"Q"|"U"} which */
  toggleOverlay(which) {
    this.overlays = { ...this.overlays, [which]: !this.overlays[which] };
    this.#changed("overlays");
  }

  toggleChanges() {
    this.changes = !this.changes;
    this.#changed("overlays");
  }

  /** Another sketch begins without changes shown. */
  endChanges() {
    this.changes = false;
    this.#keep();
  }

  /** @param {"size"|"overlays"} what */
  #changed(what) {
    this.#keep();
    this.#dress();
    for (const listener of this.#listeners) listener(what);
  }

  #keep() {
    try {
      localStorage.setItem(KEY, JSON.stringify({ larger: this.larger, zigzag: this.zigzag, changes: this.changes }));
    } catch {
      // A browser that keeps nothing still shows the choice until the page is left.
    }
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
      // Under its button, as far as the window reaches.
      const [bar, own] = [choices.parentElement, button].map((each) => each.getBoundingClientRect());
      const right = Math.max(own.right, choices.getBoundingClientRect().width + 8);
      choices.style.right = `${Math.max(0, bar.right - right)}px`;
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
