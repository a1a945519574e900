// The columns side by side: what each shows, its drawing, its tiles, and the way to the sheet.

import { html } from "../dom.js";
import { encodeLink } from "../link.js";
import { FEWEST, MOST, nextKind, sketchOf, titleOf, withSetting } from "./comparison.js";
import { Drawing, drawTogether, onOneReach } from "./drawing.js";
import { KINDS } from "./kinds.js";
import { TilesOfColumn, roomAcross } from "./tiles.js";
import { stateOf } from "../sketch.js";
import { CopyValues } from "./values.js";

/** Of a drawing, at the usual size of type; and where a column has many parts. */
const HEIGHT = 250;
const TALLER = 400;
const MANY = 6;
/** Narrower than this, in pixels, a column is only just being laid out. */
const LEAST = 60;

export class Columns {
  #cards = [];
  #again = () => {};

  /** @param {HTMLElement} place @param {object} desk see main.js */
  constructor(place, desk) {
    this.place = place;
    this.desk = desk;
    this.more = html("button", { type: "button", class: "edged more" }, "A third column");
    this.more.addEventListener("click", () => this.#add());
    new ResizeObserver(() => this.#again()).observe(place);
  }

  #add() {
    const { doc } = this.desk;
    const { columns } = doc.sketch.compare;
    doc.change(withSetting(doc.sketch, { columns: [...columns, nextKind(columns)] }));
  }

  /** @param {object|null} answer that belongs to what is compared now, or the last one @param {import("./covers.js").Covers|null} covers */
  show(answer, covers) {
    this.#again = () => this.show(answer, covers);
    const whole = this.desk.doc.sketch;
    const { columns } = whole.compare;
    while (this.#cards.length > columns.length) this.#cards.pop().element.remove();
    while (this.#cards.length < columns.length) {
      this.#cards.push(new Card(this.desk, this.#cards.length));
      this.place.append(this.#cards.at(-1).element);
    }
    this.place.classList.toggle("three", columns.length === MOST);
    if (columns.length < MOST) this.place.after(this.more);
    else this.more.remove();
    const arranged = answer?.arranged[0];
    const part = whole.parts.find(({ name }) => name === arranged)?.kind ?? "capacitor";
    this.#cards.forEach((card) => card.showHead(whole, part));
    if (!answer) return;
    const big = parseFloat(getComputedStyle(document.documentElement).fontSize) / 16;
    const width = Math.min(...this.#cards.map((card) => card.width));
    if (width < LEAST) return;
    const across = roomAcross(answer, width, big);
    const most = Math.max(...answer.columns.map(({ sketch }) => sketch.parts.filter(({ kind }) => kind !== "wire").length));
    const height = (most > MANY ? TALLER : HEIGHT) * big;
    const solutions = onOneReach(answer.columns);
    const shown = answer.columns.flatMap((column, place) => {
      const card = this.#cards[place];
      return card && column.kind === columns[place] ? [{ card, column, drawing: card.drawing, solution: solutions[place], isCovered: covers.ofColumn(place), words: wordsOf(column) }] : [];
    });
    drawTogether(shown, { width, height, big, zigzag: this.desk.look.zigzag });
    for (const { card, column, isCovered } of shown) card.show(column, answer, isCovered, { width, big, across });
  }
}

const wordsOf = ({ title, sketch }) => `${title}: ${sketch.parts.filter(({ kind }) => kind !== "wire").map((part) => `${part.name} ${part.value ?? stateOf(part)}`).join(", ")}`;

class Card {
  /** @param {object} desk @param {number} place */
  constructor(desk, place) {
    this.desk = desk;
    this.place = place;
    this.select = /** @type {HTMLSelectElement} */ (html("select", { "aria-label": `Column ${place + 1} shows` }));
    this.select.addEventListener("change", () => this.#choose(this.select.value));
    this.away = html("button", { type: "button", class: "away", "aria-label": `Take column ${place + 1} away`, title: "Take this column away" }, "×");
    this.away.addEventListener("click", () => this.#remove());
    this.drawing = new Drawing(desk.table.kinds);
    this.tiles = new TilesOfColumn();
    this.copy = new CopyValues(desk);
    this.open = html("a", { class: "button open", target: "_blank", rel: "noopener" }, "Open in the sheet");
    this.frame = html("div", { class: "drawing" }, this.drawing.svg);
    this.element = html("article", { class: "column", "aria-label": `Column ${place + 1}` }, html("div", { class: "column-head" }, this.select, this.away), this.frame, this.copy.place, this.tiles.element, html("p", { class: "column-foot" }, this.open));
  }

  /** Pixels that a drawing may take across. */
  get width() {
    return this.frame.clientWidth;
  }

  get #columns() {
    return this.desk.doc.sketch.compare.columns;
  }

  /** Another kind for this column; a column that shows it already changes places with it. */
  #choose(kind) {
    const { doc } = this.desk;
    const own = this.#columns[this.place];
    doc.change(withSetting(doc.sketch, { columns: this.#columns.map((each, place) => (place === this.place ? kind : each === kind ? own : each)) }));
  }

  #remove() {
    const { doc } = this.desk;
    doc.change(withSetting(doc.sketch, { columns: this.#columns.filter((_, place) => place !== this.place) }));
  }

  showHead(whole, part) {
    const own = whole.compare.columns[this.place];
    this.select.replaceChildren(...KINDS.map((kind) => html("option", { value: kind, selected: kind === own }, titleOf(kind, part))));
    this.select.value = own;
    this.away.hidden = whole.compare.columns.length === FEWEST;
    this.copy.place.hidden = own !== "copy";
    if (own === "copy") this.copy.show();
  }

  show(column, answer, isCovered, { width, big, across }) {
    this.tiles.show(column, answer.scales, isCovered, { width, big, across, table: this.desk.table });
    // What is all covered here is not to be given away there.
    this.#link({ ...column.sketch, covered: isCovered("*") ? ["*"] : undefined });
  }

  async #link(sketch) {
    const own = (this.sketch = sketch);
    const fragment = await encodeLink(sketchOf(sketch));
    if (this.sketch === own) this.open.setAttribute("href", `${this.desk.urls.carried}#${fragment}`);
  }
}
