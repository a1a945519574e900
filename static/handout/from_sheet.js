// Opens the handout's page, from the sheet: the link there carries the sheet, and the way back is remembered in this tab.

import { TooLargeForLink, encodeLink } from "../link.js";
import { rememberWay } from "../way_back.js";

/** @param {import("../desk.js").Desk} desk @param {string} address of the page */
export async function openHandout(desk, address) {
  const sketch = desk.doc.settled;
  if (!sketch.parts.length) return desk.tell("There is nothing to hand out yet: draw a network.");
  try {
    const carried = await encodeLink(sketch);
    rememberWay();
    location.assign(`${address}#${carried}`);
  } catch (error) {
    if (!(error instanceof TooLargeForLink)) throw error;
    desk.tell("This sheet is too large to be carried over to a handout.");
  }
}
