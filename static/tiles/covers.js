// What a picture of tiles would give away of readings that are covered: its shapes are voltages, charges and energies.

import { potentialHidden } from "../drawing/picture.js";

const QUANTITIES = { capacitor: ["voltage", "charge", "energy"], resistor: ["voltage", "current", "power"] };
/** Of a battery, what can be measured in the picture: its height, its width, all the area. */
const OF_BATTERY = ["voltage", "charge", "current", "work", "power", "equivalent"];
const LISTED = 3;

/**
 * The covered readings that a picture shows, in words: "the charge of C1". None where it may be shown.
 * @param {import("./picture.js").Picture} picture @param {object} solution @param {import("../sketch.js").Sketch} sketch @param {(key: string) => boolean} isCovered
 * @returns {string[]}
 */
export function givenAway(picture, solution, sketch, isCovered) {
  const found = [];
  const look = (owner, quantities) => {
    for (const quantity of quantities) if (solution.parts[owner]?.[quantity] && isCovered(`${owner}.${quantity}`)) found.push(`the ${quantity} of ${owner}`);
  };
  const hidden = potentialHidden(isCovered);
  const conductors = new Set(picture.bars.flatMap((bar) => bar.conductors));
  for (const id of conductors) if (hidden(solution.conductors[id])) found.push(`the potential of joint ${solution.conductors[id].joints[0]}`);
  for (const tile of picture.tiles) look(tile.part, QUANTITIES[picture.kind]);
  for (const part of sketch.parts)
    if (part.kind === "battery" && [part.from, part.to].some((joint) => conductors.has(solution.joints[joint]?.conductor))) look(part.name, OF_BATTERY);
  const total = QUANTITIES[picture.kind][2];
  if (isCovered(`total.${total}`)) found.push(`the ${total} of all`);
  for (const { between, voltage } of solution.probes ?? [])
    if (voltage && isCovered(`probe ${between.join(" ")}.voltage`)) found.push(`the voltage between ${between.join(" and ")}`);
  return found;
}

/** What stands in a covered picture's place. @param {string[]} found @param {boolean} all whether every reading is covered */
export function coveredSentence(found, all) {
  if (all) return "Covered: the tiles are drawn once the readings are uncovered.";
  const shown = found.length > LISTED ? `${found.length} readings that are covered` : [found.slice(0, -1).join(", "), found.at(-1)].filter(Boolean).join(" and ");
  return `Covered: the tiles would give away ${shown}.`;
}
