// Opens the planner from the sheet; the way back is remembered in this tab.

import { BACK } from "../handout/from_sheet.js";

/** @param {string} address of the page */
export function openPlanner(address) {
  try {
    sessionStorage.setItem(BACK, location.href);
  } catch {
    // A browser that keeps nothing goes back to the first page.
  }
  location.assign(address);
}
