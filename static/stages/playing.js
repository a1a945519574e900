// A clock for the time line: goes through a stage at real speed, slower or faster; in steps where motion is not wanted.

import { raised } from "./curves.js";

/** Seconds that five time constants take where the speed is chosen for the eye. */
const SIGHT = 6;
const PACES = [1, 1.5, 2, 3, 4, 5, 6, 8, 10];
/** Milliseconds between steps where less motion is wished for. */
const STEP = 600;

/** How much slower than real a time constant is shown, a round number or one through one. @param {number} constant seconds */
export function paceFor(constant) {
  const pace = SIGHT / (5 * constant);
  const size = pace < 1 ? 1 / pace : pace;
  const ten = 10 ** Math.floor(Math.log10(size));
  const near = PACES.reduce((a, b) => (Math.abs(Math.log(b * ten) - Math.log(size)) < Math.abs(Math.log(a * ten) - Math.log(size)) ? b : a));
  const round = near * ten;
  return pace < 1 ? 1 / round : round;
}

/** "100 times slower", "2 × 10⁶ times faster". */
export function paceText(pace) {
  if (pace === 1) return "in real time";
  const size = pace < 1 ? 1 / pace : pace;
  const power = Math.floor(Math.log10(size) + 1e-9);
  const number = power < 4 ? String(Math.round(size * 10) / 10) : `${Math.round((size / 10 ** power) * 10) / 10} × 10${raised(power)}`;
  return `${number} times ${pace < 1 ? "faster" : "slower"}`;
}

export class Playing {
  #frame = 0;

  /** @param {(time: number) => void} moved @param {() => void} ended runs when it comes to rest, by itself or not */
  constructor(moved, ended) {
    Object.assign(this, { moved, ended });
  }

  get on() {
    return this.#frame !== 0;
  }

  /** @param {number} from seconds @param {number} until where it jumps to the end @param {number} pace seconds for the eye to a second of the network's */
  begin(from, until, pace) {
    const stepwise = matchMedia("(prefers-reduced-motion: reduce)").matches;
    const since = performance.now();
    const go = () => {
      const past = performance.now() - since;
      const time = from + (stepwise ? Math.floor(past / STEP) * STEP : past) / 1000 / pace;
      if (time >= until) {
        this.moved(Infinity);
        return this.halt();
      }
      this.moved(time);
      this.#frame = requestAnimationFrame(go);
    };
    cancelAnimationFrame(this.#frame);
    this.#frame = requestAnimationFrame(go);
  }

  halt() {
    if (!this.on) return;
    cancelAnimationFrame(this.#frame);
    this.#frame = 0;
    this.ended();
  }
}
