// The preferred numbers round a value, as the server lists them; the value itself stands among them.

export class Ladder {
  /** @param {{steps: string[], position: number}} meaning */
  constructor({ steps, position }) {
    this.steps = steps;
    this.position = position;
  }

  /** The text so many steps up, or down; it stops at either end. @param {number} by */
  at(by) {
    return this.steps[Math.max(0, Math.min(this.steps.length - 1, this.position + by))];
  }
}
