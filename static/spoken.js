// Parts and readings in words, for screen readers: "C1, 30 microfarads, 3.00 volts, 90.0 microcoulombs".

import { isSeenPast } from "./builds/words.js";
import { isSwitch, stateOf } from "./sketch.js";
import { shareOf } from "./ratings/strains.js";
import { TWO_WAY } from "./two_way.js";

/** "90.0 µC" → "90.0 microcoulombs". @param {string} text @param {object} table shared/kinds.json */
export function inWords(text, table) {
  const match = /^([−-]?[\d./, ×⁻⁰¹²³⁴-⁹]*\d)\s([a-zµ]?|[kMG]?)(F|Ω|V\/m|V|C\/m²|C|J|A|W)$/u.exec(text);
  if (!match) return text;
  const [, number, prefix, unit] = match;
  const quantity = Object.values(table.quantities).find((each) => each.unit === unit);
  if (!quantity || !(prefix in table.prefixWords)) return text;
  const unitWords = number === "1" ? quantity.unitWord : quantity.unitWord.replace(/^\w+/u, "$&s");
  return `${number.replace("−", "minus ")} ${table.prefixWords[prefix]}${unitWords}`;
}

/** "±10 %" → "plus or minus 10 percent". @param {string} text */
const toleranceInWords = (text) => text.replace("±", "plus or minus ").replace("+", "plus ").replace(/[−-]/u, "minus ").replace(/ ?%/gu, " percent");
/** "80 % of 28 V usable" → "80 percent of 28 volts usable, past its limit" where it is. @param {import("./ratings/strains.js").Strain} strain */
const strainInWords = ({ share, limit, isPast }, table) => {
  const whole = shareOf({ share: share.replace("%", "percent"), limit: { ...limit, text: inWords(limit.text, table) } });
  return `${whole}${limit.kind === "reversed" ? " reversed" : ""}${isPast ? ", past its limit" : ""}`;
};
/** What a capacitor given by its build has besides. */
const BUILT = { capacitance: "capacitance", field: "largest field", density: "charge density", breakdown: "breaks down at" };

/** @param {import("./sketch.js").Part} part @param {object|undefined} readings @param {import("./ratings/strains.js").Strain|null} [strain] what it comes to of its limit, where that may be told */
export function sentence(part, readings, table, isCovered, strain = null) {
  const kind = table.kinds[part.kind];
  const words = [part.name];
  if (isSwitch(part)) words.push(part.kind === TWO_WAY ? `${kind.word} ${stateOf(part)}` : stateOf(part));
  else if (part.kind === "wire") words.push("wire");
  else words.push(part.value ? inWords(part.value, table) : `${kind.word} without a value`);
  if (part.tolerance) words.push(toleranceInWords(part.tolerance));
  if (part.rated) words.push(`rated ${inWords(part.rated, table)}`);
  if (strain?.limit) words.push(strainInWords(strain, table));
  if (part.reverse) words.push(`polarised, plus at ${part.from}`);
  for (const reading of kind.readings)
    if (readings?.[reading] && reading !== "equivalent") words.push(isCovered(`${part.name}.${reading}`) ? `${reading} covered` : inWords(readings[reading].text, table));
  for (const reading of kind.built ?? [])
    if (readings?.[reading]) words.push(`${BUILT[reading]} ${isCovered(`${part.name}.${reading}`) ? "covered" : inWords(readings[reading].text, table)}`);
  if (isSeenPast(readings ?? {}, (reading) => isCovered(`${part.name}.${reading}`))) words.push("past breakdown");
  return words.join(", ");
}
