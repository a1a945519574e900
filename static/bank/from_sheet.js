// Opens the planner from the sheet; the way back is remembered in this tab.

import { packed } from "../link.js";
import { rememberWay } from "../way_back.js";

/** @param {string} address of the page @param {object} [wish] what its form has in it; else what this device kept last */
export async function openPlanner(address, wish) {
  rememberWay();
  location.assign(wish ? `${address}#${await packed(JSON.stringify(wish))}` : address);
}
