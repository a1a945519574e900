// The preferred numbers round a value, as the server lists them, and where the value stands among them.

export class Ladder {
  /** @param {{steps: string[], position: number}} meaning position may lie between two steps (x.5) */
  constructor({ steps, position }) {
    this.steps = steps;
    this.position = position;
  }

  /** The text so many steps up (or down); 0 is the value itself, undefined where it is not a preferred number. */
  at(by) {
    if (by === 0) return this.steps[this.position];
    const place = by > 0 ? Math.floor(this.position) + by : Math.ceil(this.position) + by;
    return this.steps[Math.max(0, Math.min(this.steps.length - 1, place))];
  }
}
