// The desk of a sheet on a memory stick: nothing is changed but what is covered, and all answers are there already.

import { coverOf, toggleAll, toggleOne } from "../covering.js";
import { need } from "../dom.js";

/** @typedef {import("../sketch.js").Sketch} Sketch */

/** Stands where the page asks a server: every view is in the solution, every way of the worked solution beside it. */
class Answered {
  constructor(solution, ways, news) {
    [this.solution, this.ways, this.news] = [solution, ways, news];
    [this.state, this.late, this.faults] = ["current", false, []];
  }

  include() {}

  renew() {}

  /** Another way of the worked solution. @param {string} way */
  take(way) {
    this.solution = { ...this.solution, steps: this.ways[way] };
    this.news();
  }
}

export class OfflineDesk {
  /**
   * @param {{sketch: Sketch, solution: object, ways: Record<string, object>, table: object, sheet: import("../sheet.js").Sheet}} matter
   * @param {() => void} refresh paints everything anew
   */
  constructor({ sketch, solution, ways, table, sheet }, refresh) {
    this.doc = { sketch, selection: { parts: new Set(), joints: new Set() }, select: (parts = []) => this.#select(parts) };
    this.solving = new Answered(solution, ways, refresh);
    Object.assign(this, { table, kinds: table.kinds, sheet, refresh, viewMoved: false, hovered: null });
    this.editing = { coverOne: (key) => this.#cover(toggleOne(this.doc.sketch, key)), clicked: (hit) => this.clicked(hit) };
  }

  /** There are no moments here. */
  get shownSolution() {
    return this.solving.solution;
  }

  get shownSketch() {
    return this.doc.sketch;
  }

  #cover(sketch) {
    this.doc.sketch = sketch;
    this.refresh();
  }

  coverAll() {
    this.#cover(toggleAll(this.doc.sketch));
    this.announce(this.doc.sketch.covered ? "Readings covered" : "Readings uncovered");
  }

  #select(parts) {
    this.doc.selection.parts = new Set(parts);
    this.refresh();
  }

  /** A click on the sheet or on the tiles. @param {object|null} hit as `Sheet.written` tells it */
  clicked(hit) {
    const isCovered = coverOf(this.doc.sketch);
    const conductor = hit?.conductor && this.solving.solution.conductors[hit.conductor];
    const flag = conductor?.joints.map((joint) => `joint ${joint}.potential`).find(isCovered);
    if (hit?.reading && isCovered(hit.reading)) this.editing.coverOne(hit.reading);
    else if (flag) this.editing.coverOne(flag);
    else this.#select(hit?.part && !this.doc.selection.parts.has(hit.part) ? [hit.part] : []);
  }

  /** Something is pointed at. */
  hover(hit) {
    if (JSON.stringify(hit) === JSON.stringify(this.hovered)) return;
    this.hovered = hit;
    this.hovering(hit);
  }

  hovering() {}

  fit() {
    this.sheet.fit();
  }

  announce(text) {
    need("spoken").textContent = text;
  }
}
