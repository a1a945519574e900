// Where a class stands in a worked solution: which step is the last one shown, and whether its result is shown yet.

export class Walk {
  constructor() {
    /** Steps there are. */
    this.count = 0;
    /** The step that is looked at, counted from 1; 0 is the opening alone. */
    this.at = 0;
    /** Whether that step's result is shown, not only what it asks. */
    this.told = true;
    /** Whether every step asks before it tells. */
    this.asks = false;
  }

  get atEnd() {
    return this.at === this.count && this.told;
  }

  get atStart() {
    return this.at === 0;
  }

  /** Whether the result of a step is shown. @param {number} step counted from 1 */
  tells(step) {
    return step < this.at || (step === this.at && this.told);
  }

  /** A solution of so many steps is there; the number of the step stays as far as it can. @param {number} count */
  follow(count) {
    this.count = count;
    if (this.at > count) this.#to(count, true);
  }

  #to(at, told) {
    [this.at, this.told] = [at, told];
  }

  /** The result that was asked for, else the next step. @returns {boolean} whether there was more */
  forward() {
    if (!this.told) this.told = true;
    else if (this.at < this.count) this.#to(this.at + 1, !this.asks);
    else return false;
    return true;
  }

  /** The step before this one. @returns {boolean} whether there was one */
  back() {
    if (this.at === 0) return false;
    this.#to(this.at - 1, true);
    return true;
  }

  toStart() {
    this.#to(0, true);
  }

  toEnd() {
    this.#to(this.count, true);
  }

  /** Whether steps ask first from here on. @param {boolean} asks */
  ask(asks) {
    this.asks = asks;
    if (!asks) this.told = true;
  }
}
