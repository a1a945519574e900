// Opens the page that compares, from the sheet: with the parts that are selected, else with those that go together (one part
// alone has nothing to be compared with).

import { answered } from "../panel/asked.js";
import { coversOfSheet } from "./covers.js";
import { TooLargeForLink, encodeLink } from "../link.js";

const COMPARABLE = ["capacitor", "resistor"];

/** @param {import("../desk.js").Desk} desk @param {string} address of the page */
export async function openComparison(desk, address) {
  const sketch = desk.doc.settled;
  const there = sketch.parts.filter(({ kind }) => COMPARABLE.includes(kind));
  if (!there.length) return desk.tell("There is nothing to compare yet: draw a capacitor or a resistor.");
  const { parts } = desk.doc.selection;
  const chosen = there.map(({ name }) => name).filter((name) => parts.has(name));
  const { stages, required, questions, ...rest } = answered(sketch, desk.currentSolution);
  const covered = coversOfSheet(rest.covered);
  const compare = { columns: ["series", "parallel"], ...(chosen.length > 1 ? { parts: chosen } : {}), ...(covered ? { covered } : {}) };
  try {
    location.assign(`${address}#${await encodeLink({ ...rest, compare })}`);
  } catch (error) {
    if (!(error instanceof TooLargeForLink)) throw error;
    desk.tell("This sheet is too large to be carried over to a comparison.");
  }
}
