// The preferred numbers round a value, as the server lists them; the value itself stands among them.

export class Ladder {
  /** @param {{steps: string[], position: number}} meaning */
  constructor({ steps, position }) {
    this.steps = steps;
    this.position = position;
  }

  /** The same ladder, stood on so many steps up, or down. @param {number} by */
  after(by) {
    return new Ladder({ steps: this.steps, position: this.#place(by) });
  }

  get isAtEnd() {
    return this.position === 0 || this.position === this.steps.length - 1;
  }

  #place(by) {
    return Math.max(0, Math.min(this.steps.length - 1, this.position + by));
  }

  /** The text so many steps up, or down; it stops at either end. @param {number} by */
  at(by) {
    return this.steps[this.#place(by)];
  }
}
