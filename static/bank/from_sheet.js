// Opens the planner from the sheet; the way back is remembered in this tab.

import { BACK } from "../handout/from_sheet.js";
import { packed } from "../link.js";

/** @param {string} address of the page @param {object} [wish] what its form has in it; else what this device kept last */
export async function openPlanner(address, wish) {
  try {
    sessionStorage.setItem(BACK, location.href);
  } catch {
    // A browser that keeps nothing goes back to the first page.
  }
  location.assign(wish ? `${address}#${await packed(JSON.stringify(wish))}` : address);
}
