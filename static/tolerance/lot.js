// One lot from the drawer: the bar that marks readings as those of drawn parts, with the lot's number and the way back.

import { html } from "../dom.js";
import { entryField } from "../panel/cells.js";
import { hasTolerance } from "./watch.js";

const LARGEST = 999999;

/** @param {import("../sketch.js").Sketch} sketch */
export const isDrawn = (sketch) => sketch.lot !== undefined && hasTolerance(sketch);

/** @param {import("../desk.js").Desk} desk @param {number} [lot] none: the values as typed */
export function drawLot(desk, lot) {
  const { lot: _before, ...rest } = desk.doc.sketch;
  desk.doc.change(lot === undefined ? rest : { ...rest, lot });
  desk.afterSolving(() => desk.announce(lot === undefined ? "Values as typed" : `Readings are those of lot ${lot} from the drawer`));
}

export class LotBar {
  /** @param {HTMLElement} place @param {import("../desk.js").Desk} desk */
  constructor(place, desk) {
    Object.assign(this, { place, desk });
  }

  show() {
    const { sketch } = this.desk.doc;
    this.place.hidden = !isDrawn(sketch);
    if (this.place.hidden || this.place.querySelector("input:focus")) return;
    const focus = /** @type {HTMLElement|null} */ (document.activeElement)?.dataset?.focus;
    const told = " from the drawer: each part lies evenly anywhere within its tolerance, for teaching; real lots are not even.";
    if (this.desk.readOnly) this.place.replaceChildren(html("span", {}, html("b", {}, `Lot ${sketch.lot}`), told));
    else this.place.replaceChildren(html("span", {}, html("b", {}, html("label", {}, "Lot ", this.#number(sketch.lot))), told), ...this.#buttons(sketch.lot));
    if (focus) /** @type {HTMLElement|null} */ (this.place.querySelector(`[data-focus="${CSS.escape(focus)}"]`))?.focus({ preventScroll: true });
  }

  #number(lot) {
    const input = entryField({ inputmode: "numeric", maxlength: 6, "data-focus": "lot" }, String(lot), (typed) => {
      const next = Number(typed);
      if (Number.isInteger(next) && next >= 1 && next <= LARGEST && next !== lot) drawLot(this.desk, next);
      else input.value = String(lot);
    });
    return input;
  }

  #buttons(lot) {
    const button = (label, focus, next) => html("button", { type: "button", class: "edged", "data-focus": focus, onclick: () => drawLot(this.desk, next) }, label);
    return [button("Another lot", "next-lot", (lot % LARGEST) + 1), button("Back to the values as typed", "no-lot", undefined)];
  }
}
