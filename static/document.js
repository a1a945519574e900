// The one document of the page: the sketch, what is selected, and every change as one step that can be undone.

import { hasStages, mirrored, showing, shownStage } from "./stages/sequence.js";

/** @typedef {import("./sketch.js").Sketch} Sketch @typedef {{past: Sketch[], future: Sketch[]}} Steps */

export class SheetDocument {
  #past = [];
  #future = [];
  #base = null;
  #listeners = new Set();

  /** @param {Sketch} sketch */
  constructor(sketch) {
    /** @type {Sketch} */
    this.sketch = sketch;
    /** @type {{parts: Set<string>, joints: Set<string>}} */
    this.selection = { parts: new Set(), joints: new Set() };
  }

  /** Calls `listener` after every change; `what` is "sketch" or "selection". @param {(what: string) => void} listener */
  listen(listener) {
    this.#listeners.add(listener);
  }

  #tell(what) {
    for (const listener of this.#listeners) listener(what);
  }

  /** One undoable step. @param {Sketch} sketch */
  change(sketch) {
    this.cancelPreview();
    if (sketch === this.sketch) return;
    this.#past.push(this.sketch);
    this.#future = [];
    this.#show(mirrored(sketch, this.sketch));
  }

  /** The same sketch turned to another of its stages: nothing that could be undone. @param {Sketch} sketch */
  turn(sketch) {
    this.cancelPreview();
    this.#show(sketch);
  }

  /** Shows a sketch while a gesture lasts; `settle` makes the whole gesture one step. @param {Sketch} sketch */
  preview(sketch) {
    if (this.#base === null) this.#base = this.sketch;
    this.#show(mirrored(sketch, this.#base));
  }

  /** Ends a gesture as one step. @param {Sketch} [sketch] */
  settle(sketch = this.sketch) {
    const base = this.#base;
    if (base === null) return;
    this.#base = null;
    this.sketch = base;
    this.change(sketch);
  }

  cancelPreview() {
    if (this.#base === null) return;
    const base = this.#base;
    this.#base = null;
    this.#show(base);
  }

  /** What stands outside an unfinished gesture: this is what is kept. @returns {Sketch} */
  get settled() {
    return this.#base ?? this.sketch;
  }

  /** Another sketch altogether takes the sheet; it has a history of its own. @param {Sketch} sketch @param {Steps} [steps] */
  open(sketch, { past, future } = { past: [], future: [] }) {
    this.#base = null;
    this.#past = [...past];
    this.#future = [...future];
    this.selection = { parts: new Set(), joints: new Set() };
    this.#show(hasStages(sketch) ? showing(sketch, shownStage(sketch)) : sketch);
  }

  /** What can be undone, the latest last, and done again, the next one last. @returns {Steps} */
  get steps() {
    return { past: this.#past, future: this.#future };
  }

  get canUndo() {
    return this.#past.length > 0;
  }

  get canRedo() {
    return this.#future.length > 0;
  }

  undo() {
    this.cancelPreview();
    if (!this.canUndo) return;
    this.#future.push(this.sketch);
    this.#show(this.#past.pop());
  }

  redo() {
    this.cancelPreview();
    if (!this.canRedo) return;
    this.#past.push(this.sketch);
    this.#show(this.#future.pop());
  }

  #show(sketch) {
    this.sketch = sketch;
    const parts = new Set(sketch.parts.map((part) => part.name));
    this.selection = {
      parts: new Set([...this.selection.parts].filter((name) => parts.has(name))),
      joints: new Set([...this.selection.joints].filter((joint) => joint in sketch.joints)),
    };
    this.#tell("sketch");
  }

  /** @param {Iterable<string>} [parts] @param {Iterable<string>} [joints] */
  select(parts = [], joints = []) {
    this.selection = { parts: new Set(parts), joints: new Set(joints) };
    this.#tell("selection");
  }

  /** The one selected part's name, or null. */
  get onePart() {
    const { parts, joints } = this.selection;
    return parts.size === 1 && joints.size === 0 ? [...parts][0] : null;
  }

  /** The two joints picked together, or null. @returns {[string, string]|null} */
  get pair() {
    const { parts, joints } = this.selection;
    return parts.size === 0 && joints.size === 2 ? /** @type {[string, string]} */ ([...joints]) : null;
  }
}
