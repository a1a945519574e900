// A column's tiles, drawn at the scale that is common to all columns; a placeholder while they would give away a covered reading.

import { html, withSubscripts } from "../dom.js";
import { coveredSentence, givenAway } from "../tiles/covers.js";
import { Figure } from "../tiles/figure.js";
import { planOf, sentence } from "../tiles/picture.js";

/** Of the highest tiles, at the usual size of type. */
const HEIGHT = 210;
const NOTHING = new Set();

/** The same picture with the ticks of the common scale, as far as it reaches. */
function onScale(picture, scales) {
  const low = Math.min(...picture.tiles.map((tile) => tile.bottom));
  const high = Math.max(...picture.tiles.map((tile) => tile.top));
  const within = (ticks, from, to) => ticks.filter(({ at }) => at >= from - 1e-9 * Math.abs(to - from) && at <= to + 1e-9 * Math.abs(to - from));
  return { ...picture, ticks: { across: within(scales.across[picture.kind].ticks, 0, picture.width.value), up: within(scales.up.ticks, low, high) } };
}

const settingOf = (picture, scales, width, big) => ({
  width,
  height: HEIGHT * big,
  big,
  easing: "eased",
  reach: { across: scales.across[picture.kind].high, up: scales.up.high - scales.up.low },
  selected: NOTHING,
  pointed: null,
});

/**
 * Pixels that the full width of the scale takes in every column: as many as fit where the least room is beside it.
 * @param {object} answer @param {number} width of a column in pixels @param {number} big
 */
export function roomAcross(answer, width, big) {
  const { columns, scales } = answer;
  const pictures = columns.flatMap(({ tiles }) => tiles.pictures);
  return Math.min(...pictures.map((picture) => planOf(onScale(picture, scales), settingOf(picture, scales, width, big)).w));
}

export class TilesOfColumn {
  #figures = [];

  constructor() {
    this.element = html("div", { class: "tiles-column" });
  }

  /**
   * @param {object} column @param {object} scales @param {(key: string) => boolean} isCovered
   * @param {{width: number, big: number, across: number, table: object}} setting
   */
  show({ solution, sketch, tiles }, scales, isCovered, { width, big, across, table }) {
    const { pictures, notes } = tiles;
    if (this.#figures.map(({ kind }) => kind).join() !== pictures.map(({ kind }) => kind).join()) {
      this.#figures = pictures.map(({ kind }) => new ColumnFigure(kind));
      this.element.replaceChildren(...this.#figures.map(({ section }) => section));
    }
    pictures.forEach((picture, index) => {
      const figure = this.#figures[index];
      const covered = givenAway(picture, solution, sketch, isCovered);
      if (covered.length) return figure.cover(coveredSentence(covered, isCovered("*")));
      const own = onScale(picture, scales);
      const setting = settingOf(picture, scales, width, big);
      // The room for what is written beside it differs from column to column; the scale must not.
      const spare = planOf(own, setting).w - across;
      figure.show(own, solution, { ...setting, width: width - spare }, table);
    });
    this.element.querySelector(":scope > .check")?.remove();
    if (notes.length && !isCovered("*")) this.element.append(html("p", { class: "check" }, notes.join(" ")));
  }
}

class ColumnFigure extends Figure {
  /** @param {"capacitor"|"resistor"} kind */
  constructor(kind) {
    super(kind, (_title, ...children) => html("div", { class: "tiles" }, ...children), "h3");
  }

  show(picture, solution, setting, table) {
    this.draw(picture, solution, setting, table);
    const [only, ...others] = picture.tiles;
    this.line.textContent = withSubscripts(others.length === 0 ? sentence(only, picture) : this.whole(picture));
  }
}
