// Which resistors a bank is drawn and printed with: what there can be none of is not offered, and what is missing is said.

import { need } from "../dom.js";

const SORTS = ["balancing", "bleed"];
const box = (sort) => /** @type {HTMLInputElement} */ (need(`with-${sort}`));

export class DrawnWith {
  /** What was chosen, also while it cannot be had. @type {Record<string, boolean>} */
  #chosen = Object.fromEntries(SORTS.map((sort) => [sort, box(sort).checked]));

  constructor() {
    for (const sort of SORTS) box(sort).addEventListener("change", () => (this.#chosen[sort] = box(sort).checked));
  }

  /** @param {{balancing: string|null, bleed: string|null}} undrawn of the plan: why there can be none */
  offer(undrawn) {
    for (const sort of SORTS) {
      box(sort).disabled = undrawn[sort] !== null;
      box(sort).checked = undrawn[sort] === null && this.#chosen[sort];
      need(`why-${sort}`).textContent = undrawn[sort] ?? "";
    }
  }

  /** @returns {{balancing: boolean, bleed: boolean}} */
  get wanted() {
    return { balancing: box("balancing").checked, bleed: box("bleed").checked };
  }
}
