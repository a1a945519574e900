// Which parts are past a limit, as far as it may be seen: what would give a covered voltage away is left out.

/**
 * @typedef {{share: string, inTheEnd: string, limit: {text: string, value: number, kind: "rated"|"usable"|"reversed"}|null, isPast: boolean, isReversed: boolean, sentence: string}} Strain
 */

/** @param {import("../sketch.js").Sketch} sketch */
export const hasLimits = (sketch) => sketch.parts.some((part) => part.rated !== undefined || part.reverse !== undefined);

/** @param {object|null} solution @param {string} name @param {(key: string) => boolean} isCovered @returns {Strain|null} */
export function strainOf(solution, name, isCovered) {
  const strain = solution?.ratings?.strains[name];
  return strain && !isCovered(`${name}.voltage`) ? strain : null;
}

/** A share with what it is a share of, plainly where only part of a rating may be used: "80 % of 28 V usable". @param {Strain} strain */
export const shareOf = ({ share, limit }) => (limit ? `${share} of ${limit.text}${limit.kind === "usable" ? " usable" : ""}` : share);

/** What stands beside a part that is past a limit; "" for one that is not. @param {Strain|null} strain */
export function pastText(strain) {
  if (!strain?.isPast) return "";
  return strain.isReversed ? `reversed, ${shareOf(strain)}` : shareOf(strain);
}

/** A triangle with a mark of exclamation, `size` high, its left lower corner at (x, y): drawn, so that it looks alike everywhere. */
export const warningPath = (x, y, size) => `M${x} ${y}L${x + size * 0.6} ${y - size}L${x + size * 1.2} ${y}ZM${x + size * 0.6} ${y - size * 0.66}V${y - size * 0.36}M${x + size * 0.6} ${y - size * 0.2}V${y - size * 0.18}`;
