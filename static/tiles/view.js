// The tiles in the right-hand column: a heading, a picture, what is pointed at in one line; hidden while it would give away what is covered.

import { html, nameElement, withSubscripts } from "../dom.js";
import { easingOf } from "../drawing/palette.js";
import { coveredSentence, givenAway } from "./covers.js";
import { Figure } from "./figure.js";
import { reachOf, sentence } from "./picture.js";

/** Least height of a picture at the usual size of type, and its height in widths where the column is wide. */
const HEIGHT = 240;
const TALL = 0.52;
/** Pixels outside the window within which tiles are kept up to date. */
const NEAR = 160;

/** What makes the network another one, whatever its values. @param {import("../sketch.js").Sketch} sketch */
const wiring = (sketch) => sketch.parts.map(({ name, kind, from, to }) => `${name} ${kind} ${from} ${to}`).join("\n");

export class TilesView {
  #figures = [];
  #wiring = "";
  #visible = false;
  /** The part that a pointer is on, here or on the sheet. @type {string|null} */
  #pointed = null;
  #again = () => {};

  /** @param {HTMLElement} place @param {import("../desk.js").Desk} desk */
  constructor(place, desk) {
    this.place = place;
    this.desk = desk;
    new IntersectionObserver(([entry]) => this.#seen(entry.isIntersecting), { rootMargin: `${NEAR}px` }).observe(place);
    let width = 0;
    new ResizeObserver(([{ contentRect }]) => {
      if (contentRect.width !== width) {
        for (const figure of this.#figures) figure.size = null;
        this.#again();
      }
      width = contentRect.width;
    }).observe(place);
    place.addEventListener("pointermove", (event) => event.pointerType === "mouse" && desk.hover(this.#under(event)));
    place.addEventListener("pointerleave", () => desk.hover(null));
    place.addEventListener("click", (event) => this.#clicked(event));
    this.#seen(place.getBoundingClientRect().top < window.innerHeight + NEAR && place.offsetParent !== null);
  }

  #seen(visible) {
    this.#visible = visible;
    if (!visible) return;
    this.ask();
    this.desk.solving.renew();
  }

  /** Answers have the tiles from here on if they can be seen. Out of sight, they are done without at the next change. */
  ask() {
    this.desk.solving.include("tiles", this.#visible);
  }

  /** @returns {object|null} what lies under the pointer, as the sheet tells it */
  #under(event) {
    const { part, conductor } = /** @type {HTMLElement|null} */ (event.target.closest?.("[data-part], [data-conductor]"))?.dataset ?? {};
    if (part !== undefined) return { part, lit: true };
    return conductor === undefined ? null : { conductor };
  }

  #clicked(event) {
    const hit = this.#under(event);
    if (hit) this.desk.editing.clicked(hit, event.shiftKey);
  }

  /** A pointer is on something, here or on the sheet. @param {{part?: string}|null} hit */
  point(hit) {
    const part = hit?.part ?? null;
    if (part === this.#pointed) return;
    this.#pointed = part;
    this.#again();
  }

  /**
   * @param {(key: string) => boolean} isCovered @param {{selected: Set<string>}} marked
   * @param {boolean} [following] whether nothing but the moment has changed
   */
  show(isCovered, marked, following = false) {
    this.#again = () => this.show(isCovered, marked);
    const { solving, doc } = this.desk;
    const solution = this.desk.shownSolution;
    const sketch = doc.sketch;
    this.place.classList.toggle("stale", solving.state === "away" || solving.late);
    if (solving.state === "fault" || (solution && !solution.tiles)) return this.#clear(solving.state !== "fault");
    if (!solution) return this.#clear(false);
    this.place.style.minHeight = "";
    if (wiring(sketch) !== this.#wiring) {
      this.#wiring = wiring(sketch);
      for (const figure of this.#figures) figure.reach = null;
    }
    const { pictures, notes } = solution.tiles;
    const fits = this.#figures.length === pictures.length && pictures.every(({ kind }, index) => this.#figures[index].kind === kind);
    if (!fits) {
      this.#figures = pictures.map(({ kind }) => new ScaledFigure(kind));
      this.place.replaceChildren(...this.#figures.map(({ section }) => section));
    }
    this.#figures.forEach((figure, index) => {
      const covered = givenAway(pictures[index], solution, sketch, isCovered);
      if (covered.length) figure.cover(coveredSentence(covered, isCovered("*")));
      else figure.show(pictures[index], solution, { desk: this.desk, sketch, selected: marked.selected, pointed: this.#pointed, following });
    });
    this.#note(isCovered("*") ? [] : notes);
  }

  /** Takes the pictures away; where they only wait to be seen, what is below stays where it is. */
  #clear(waits) {
    const height = waits && this.place.childElementCount ? `${this.place.offsetHeight}px` : this.place.style.minHeight;
    this.#figures = [];
    this.place.replaceChildren();
    this.place.style.minHeight = waits ? height : "";
  }

  #note(notes) {
    this.place.querySelector(":scope > .tiles-notes")?.remove();
    if (notes.length) this.place.append(html("div", { class: "tiles-notes" }, ...notes.map((note) => html("p", { class: "check" }, note))));
  }
}

/** A picture in the right-hand column, which keeps its scale while it is changed. */
class ScaledFigure extends Figure {
  /** @param {"capacitor"|"resistor"} kind */
  constructor(kind) {
    super(kind, (title, ...children) => html("section", { class: "tiles", "aria-label": title }, ...children), "h2");
    /** @type {import("./picture.js").Reach|null} */
    this.reach = null;
    /** @type {{big: number, width: number}|null} */
    this.size = null;
  }

  /** @param {string} sentence */
  cover(sentence) {
    super.cover(sentence);
    this.reach = null;
  }

  /** @param {import("./picture.js").Picture} picture */
  show(picture, solution, { desk, sketch, selected, pointed, following }) {
    // What is hidden has no width; at another moment of the same answer it is as wide as it was.
    this.open.hidden = false;
    const type = following && this.size ? this.size.big : parseFloat(getComputedStyle(document.documentElement).fontSize) / 16;
    // Measured once for each width of the column: to measure amid a change would lay the page out twice.
    this.size = { big: type, width: this.size?.width || this.section.clientWidth };
    const { big, width } = this.size;
    const height = Math.max(HEIGHT * big, TALL * width);
    this.reach = reachOf(picture, this.reach);
    this.draw(picture, solution, { width, height, big, easing: easingOf(sketch), reach: this.reach, selected, pointed, following }, desk.table);
    const [only] = selected.size === 1 ? selected : [];
    const told = picture.tiles.find((tile) => tile.part === pointed) ?? picture.tiles.find((tile) => tile.part === only);
    this.line.replaceChildren(...(told ? [nameElement(told.part), sentence(told, picture).slice(told.part.length)] : [withSubscripts(this.whole(picture))]));
  }
}
