// A column's tiles, drawn at the scale that is common to all columns; a placeholder while they would give away a covered reading.

import { html, withSubscripts } from "../dom.js";
import { coveredSentence, givenAway } from "../tiles/covers.js";
import { Figure } from "../tiles/figure.js";
import { SANS, SOFT } from "../drawing/palette.js";
import { node } from "../paint.js";
import { pictureNodes, planOf, sentence } from "../tiles/picture.js";

/** Of the highest tiles, at the usual size of type. */
const HEIGHT = 210;
/**
 * Pixels at the usual size of type: across which tiles hold what is written in them; between a drawing that is narrower than
 * that and the wider one in the room that it leaves free; and the least that this one may take.
 */
const [NARROW, BETWEEN, LEAST_WIDE] = [40, 96, 90];
const NOTHING = new Set();

/** The same picture with the ticks of the common scale, as far as it reaches. */
function onScale(picture, scales) {
  const low = Math.min(...picture.tiles.map((tile) => tile.bottom));
  const high = Math.max(...picture.tiles.map((tile) => tile.top));
  const within = (ticks, from, to) => ticks.filter(({ at }) => at >= from - 1e-9 * Math.abs(to - from) && at <= to + 1e-9 * Math.abs(to - from));
  const across = within(scales.across[picture.kind].ticks, 0, picture.width.value);
  // Where the next tick of the common scale is beyond a narrow picture, its own end has to tell how wide it is.
  const end = { at: picture.width.value, text: withSubscripts(picture.width.text) };
  return { ...picture, ticks: { across: across.some(({ at }) => at > 0) ? across : [end, ...across], up: within(scales.up.ticks, low, high) } };
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

/** Digits in threes where there are more than four, as the solver writes them. @param {number} whole */
const grouped = (whole) => (whole < 1e4 ? `${whole}` : `${whole}`.replace(/\B(?=(\d{3})+$)/g, "\u202f"));

/** The largest of 1, 2, 5, 10, 20 … that is no more than this. @param {number} most */
function roundFactor(most) {
  const ten = 10 ** Math.floor(Math.log10(most));
  return ten * (most >= 5 * ten ? 5 : most >= 2 * ten ? 2 : 1);
}

/**
 * Tiles that are slivers at the common scale a second time beside it, charge or current drawn so many times as wide, and
 * voltage as before; nothing where they are wide enough, or where there is no room.
 * @param {import("../tiles/picture.js").Picture} picture the server's own, with its own ticks
 * @returns {import("../paint.js").Node[]}
 */
function widened(picture, solution, setting, width) {
  const { big } = setting;
  const plan = planOf(picture, setting);
  const narrow = plan.right - plan.left;
  const inset = { ...picture, bars: picture.bars.map((bar) => ({ ...bar, potential: { ...bar.potential, text: "" } })), ticks: { ...picture.ticks, up: [] } };
  const start = plan.right + BETWEEN * big;
  const room = width - start - planOf(inset, setting).left;
  if (narrow > NARROW * big || narrow <= 0 || room < LEAST_WIDE * big) return [];
  const times = roundFactor(room / narrow);
  if (times < 2) return [];
  const own = { ...setting, width: width - start };
  const across = (setting.reach.across * planOf(inset, own).w) / plan.w / times;
  const wide = pictureNodes(inset, solution, { ...own, reach: { ...setting.reach, across } });
  const middle = plan.right + (BETWEEN / 2 + 26) * big;
  const words = ["the same,", `${grouped(times)} times`, "as wide"].map((word, line) =>
    node("text", { x: middle, y: plan.top + plan.h / 2 + (line - 0.7) * 16 * big, "text-anchor": "middle", "font-family": SANS, "font-size": 12 * big, fill: SOFT }, word),
  );
  return [node("g", {}, words, "wider"), node("g", { transform: `translate(${start} 0)` }, wide, "widened")];
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
      const common = { ...setting, width: width - (planOf(own, setting).w - across) };
      figure.show(own, solution, common, table, widened({ ...own, ticks: { ...own.ticks, across: picture.ticks.across } }, solution, common, width));
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

  show(picture, solution, setting, table, wider) {
    this.draw(picture, solution, setting, table, wider);
    const [only, ...others] = picture.tiles;
    this.line.textContent = withSubscripts(others.length === 0 ? sentence(only, picture) : this.whole(picture));
  }
}
