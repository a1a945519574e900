// The desk: what gestures, keys and buttons work with — the document, the sheet, the readings, and the words to the user.

import { need } from "./dom.js";
import { Crowd, legBox } from "./drawing/crowd.js";
import { STEP, routes } from "./geometry.js";

/** Half the side of a square round a symbol, in sheet units. */
const SYMBOL = 28;
/** Room between a passing word and the edge of the sheet, in pixels. */
const EDGE = 12;
/** How long a passing word stays on the sheet, in milliseconds. */
const PASSING = 6000;

export class Desk {
  #waiting = [];
  #passing = 0;
  #saidFaults = "";

  /**
   * @param {{doc: import("./document.js").SheetDocument, sheet: import("./sheet.js").Sheet, solving: import("./solving.js").Solving,
   *   reader: import("./reading_text.js").TextReader, field: import("./field.js").TypingField, table: object, readOnly: boolean}} parts
   */
  constructor(parts) {
    Object.assign(this, parts);
    this.kinds = parts.table.kinds;
    this.hovered = null;
    this.viewMoved = false;
    /** The solution at the moment that the time line shows; null where what is shown is the answer itself. */
    this.moment = null;
  }

  /** The answer that belongs to the sheet as it is now, or null. */
  get currentSolution() {
    return this.solving.state === "current" ? this.shownSolution : null;
  }

  /** The last good answer as it is shown: at a moment of the stage, where one is chosen. */
  get shownSolution() {
    return this.moment ?? this.solving.solution;
  }

  /** The sketch as it is shown: with the values that its capacitors still have at the moment. */
  get shownSketch() {
    const { sketch } = this.doc;
    const values = this.moment?.moment?.values;
    if (!values?.size) return sketch;
    return { ...sketch, parts: sketch.parts.map((part) => (values.has(part.name) ? { ...part, value: values.get(part.name) } : part)) };
  }

  /** The box round some grid positions, in pixels of the sheet. @param {[number, number][]} spots */
  boxOf(spots) {
    const pixels = spots.map((spot) => this.sheet.view.toPixels(spot));
    const [xs, ys] = [pixels.map(([x]) => x), pixels.map(([, y]) => y)];
    return { left: Math.min(...xs), right: Math.max(...xs), top: Math.min(...ys), bottom: Math.max(...ys) };
  }

  /** The box round a part's symbol and its value, in pixels of the sheet. */
  boxOfPart(name) {
    const [x, y] = routes(this.doc.sketch).get(name).symbol.at;
    const { whole } = this.sheet.drawn.labels.get(name) ?? { whole: { x: x * STEP, y: y * STEP, w: 0, h: 0 } };
    const reach = 1.4;
    return this.boxOf([[x - reach, y - reach], [x + reach, y + reach], [whole.x / STEP, whole.y / STEP], [(whole.x + whole.w) / STEP, (whole.y + whole.h) / STEP]]);
  }

  moveView(view) {
    this.viewMoved = true;
    this.sheet.look(view);
    this.sheet.mark();
  }

  /** Moves the sheet just so far that all of the drawing is in the window; fits it where it is too large. */
  keepInSight() {
    const { width, height } = this.sheet.place.getBoundingClientRect();
    const { box } = this.sheet.drawn;
    if (!box) return;
    const [left, top] = this.sheet.view.toPixels([box.left / STEP, box.top / STEP]);
    const [right, bottom] = this.sheet.view.toPixels([box.right / STEP, box.bottom / STEP]);
    if (right - left > width || bottom - top > height) return this.fit();
    const edge = 16;
    const move = (low, high, size) => {
      if (low >= 0 && high <= size) return 0;
      if (high - low > size - 2 * edge) return (size - low - high) / 2;
      return low < 0 ? edge - low : size - edge - high;
    };
    const [dx, dy] = [move(left, right, width), move(top, bottom, height)];
    if (!dx && !dy) return;
    this.sheet.look(this.sheet.view.pannedBy(dx, dy));
    this.sheet.mark();
  }

  /** Said to screen readers. @param {string} text */
  announce(text) {
    need("spoken").textContent = text;
  }

  /** Said to everybody, for a while, with a button at choice. @param {string} text @param {{label: string, act: () => void}} [button] */
  tell(text, button) {
    const notice = need("notice");
    notice.textContent = text;
    notice.hidden = false;
    clearTimeout(this.#passing);
    if (button) {
      const element = document.createElement("button");
      element.textContent = button.label;
      element.addEventListener("click", () => {
        notice.hidden = true;
        button.act();
      });
      notice.append(element);
    }
    this.#place(notice);
    this.#passing = setTimeout(() => (notice.hidden = true), button ? 3 * PASSING : PASSING);
  }

  /** Puts a passing word where it covers least of the drawing: above, below, or in a corner. @param {HTMLElement} notice */
  #place(notice) {
    Object.assign(notice.style, { left: "", top: "", right: "", margin: "" });
    const [place, own] = [this.sheet.place, notice].map((each) => each.getBoundingClientRect());
    const { labels, flags } = this.sheet.drawn;
    const { scale, x, y } = this.sheet.view;
    const crowd = new Crowd();
    const take = (box) => crowd.add({ x: box.x * scale + x, y: box.y * scale + y, w: box.w * scale, h: box.h * scale });
    for (const { whole } of labels.values()) take(whole);
    for (const { box } of flags) take(box);
    for (const { points, symbol } of routes(this.doc.sketch).values()) {
      const [across, down] = symbol.at.map((n) => n * STEP);
      take({ x: across - SYMBOL, y: down - SYMBOL, w: 2 * SYMBOL, h: 2 * SYMBOL });
      for (let leg = 0; leg + 1 < points.length; leg += 1) take(legBox(...[points[leg], points[leg + 1]].map((point) => point.map((n) => n * STEP))));
    }
    for (const other of document.querySelectorAll("#moment, .zoom")) {
      const { left, top, width, height } = other.getBoundingClientRect();
      crowd.add({ x: left - place.left, y: top - place.top, w: width, h: height });
    }
    const [w, h] = [own.width, own.height];
    const [middle, right, foot] = [(place.width - w) / 2, place.width - w - EDGE, place.height - h - EDGE];
    const spots = [[middle, EDGE], [right, EDGE], [EDGE, EDGE], [EDGE, foot], [middle, foot], [EDGE, foot - 3 * EDGE - 4], [middle, (foot + EDGE) / 2], [right, (foot + EDGE) / 2], [EDGE, (foot + EDGE) / 2]];
    const best = crowd.best(spots.map(([left, top]) => ({ x: left, y: top, w, h })));
    const [left, top] = spots[best.index];
    // Where nothing is gained it stands above the drawing, wherever the window's edges move.
    if (best.index > 0) Object.assign(notice.style, { left: `${left}px`, top: `${top}px`, right: "auto", margin: "0" });
  }

  hover(hit) {
    const same = JSON.stringify(hit) === JSON.stringify(this.hovered);
    if (same) return;
    this.hovered = hit;
    const { place, gesture } = this.sheet;
    gesture.hover = this.readOnly ? null : hit;
    place.style.cursor = hit?.value ? "ew-resize" : hit?.on === "symbol" || hit?.part ? "grab" : "";
    if (hit?.on === "line" && !this.doc.selection.parts.has(hit.part)) place.style.cursor = "";
    this.hovering?.(hit);
    this.sheet.mark();
  }

  /** Runs once the readings belong to the sheet as it is now. @param {() => void} act */
  afterSolving(act) {
    this.#waiting.push(act);
  }

  /** There is news of the readings. */
  solved() {
    if (this.solving.state === "asking") return;
    const faults = this.solving.faults.map((fault) => fault.text).join(" ");
    if (faults && faults !== this.#saidFaults) this.announce(faults);
    this.#saidFaults = faults;
    const waiting = this.#waiting;
    this.#waiting = [];
    if (!faults) for (const act of waiting) act();
  }
}
