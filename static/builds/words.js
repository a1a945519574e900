// A capacitor's build in words: which values are builds.

/** Whether a part is given by its build, told by the word that begins one. @param {{kind: string, value?: string}} part @param {object} kinds */
export const isBuilt = (part, kinds) => part.kind === "capacitor" && (part.value ?? "").trim().toLowerCase().split(" ")[0] in kinds.capacitor.shapes;

const SIZE = /\d[\d.,/e +−-]*(?:nm|[µu]m|mm|cm|dm|km|m)(?![a-z])/gu;

/** Which size of a build is “?”, in a word. @param {string} value @param {Record<string, string[]>} shapes of shared/kinds.json */
export function sizeAsked(value, shapes) {
  const [shape] = value.trim().toLowerCase().split(" ");
  const before = value.slice(0, value.indexOf("?")).toLowerCase().match(SIZE)?.length ?? 0;
  return shapes[shape]?.[before] ?? (value.includes("+") ? "thickness" : "gap");
}

/** Whether a capacitor's voltage is past the breakdown of its dielectric. @param {object} readings */
export const isPast = ({ voltage, breakdown }) => Boolean(voltage?.value && breakdown?.value && Math.abs(voltage.value) > breakdown.value);

/** The same, as far as it may be seen. @param {(reading: string) => boolean} hidden */
export const isSeenPast = (readings, hidden) => isPast(readings) && !hidden("voltage") && !hidden("breakdown");

/** Words of a build that name no dielectric, or none that is to be seen. */
const PLAIN = new Set(["nm", "um", "mm", "cm", "dm", "m", "km", "at", "mv", "air", "vacuum"]);

/** How much of the symbol's gap a build's dielectric fills, next to air or by itself. @param {string} value @returns {"none"|"whole"|"layer"|"strip"} */
export function slabOf(value) {
  const [, ...words] = value.toLowerCase().match(/[a-zκ]+/gu) ?? [];
  if (words.every((word) => PLAIN.has(word))) return "none";
  if (!words.some((word) => word === "air" || word === "vacuum")) return "whole";
  return value.includes("+") ? "layer" : "strip";
}

/** A build's words, broken between lines only where a size ends. @param {string} words */
export const unbroken = (words) => words.replace(/(\d) (?=[a-zµA-ZΩ%])/gu, "$1\u00a0");
