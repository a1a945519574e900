// The view of the sheet: one immutable transform that holds all arithmetic between screen, sheet and grid.

import { STEP } from "./geometry.js";

const CLOSEST = 4;
const FARTHEST = 0.1;

export class View {
  /** Sheet units × scale + offset = pixels from the sheet's corner. @param {number} scale @param {number} x @param {number} y */
  constructor(scale = 1, x = 0, y = 0) {
    this.scale = scale;
    this.x = x;
    this.y = y;
    Object.freeze(this);
  }

  /** Pixels → grid steps, not rounded. @param {number} px @param {number} py @returns {[number, number]} */
  toGrid(px, py) {
    return [(px - this.x) / this.scale / STEP, (py - this.y) / this.scale / STEP];
  }

  /** Grid steps → pixels. @param {[number, number]} spot @returns {[number, number]} */
  toPixels([gx, gy]) {
    return [gx * STEP * this.scale + this.x, gy * STEP * this.scale + this.y];
  }

  pannedBy(dx, dy) {
    return new View(this.scale, this.x + dx, this.y + dy);
  }

  /** Zoomed by a factor, the point under (px, py) staying where it is. */
  zoomedAt(factor, px, py) {
    const scale = Math.min(CLOSEST, Math.max(FARTHEST, this.scale * factor));
    const ratio = scale / this.scale;
    return new View(scale, px - (px - this.x) * ratio, py - (py - this.y) * ratio);
  }

  /**
   * The view that shows a box of the sheet whole in a window.
   * @param {{left: number, right: number, top: number, bottom: number}|null} box in sheet units
   * @param {number} width pixels @param {number} height pixels @param {number} most largest scale
   */
  static fitting(box, width, height, most) {
    if (!box) return new View(1, STEP, STEP);
    const margin = Math.min(40, width / 20);
    const [w, h] = [box.right - box.left || 1, box.bottom - box.top || 1];
    const scale = Math.max(FARTHEST, Math.min(most, (width - 2 * margin) / w, (height - 2 * margin) / h));
    const x = (width - w * scale) / 2 - box.left * scale;
    const y = (height - h * scale) / 2 - box.top * scale;
    return new View(scale, x, y);
  }

  get transform() {
    return `translate(${this.x} ${this.y}) scale(${this.scale})`;
  }
}
