// How a two-way switch runs on the sheet: its arm towards two contacts, with a line from each of the three to its joint.

/** @typedef {import("./sketch.js").Spot} Spot */

export const TWO_WAY = "two-way switch";

/** Half the symbol's length, and how far its contacts lie apart, in grid steps. */
const HALF = 1.25;
const APART = 2;
const TURNS = /** @type {Spot[]} */ ([[1, 0], [0, 1], [-1, 0], [0, -1]]);

/**
 * Which line straight on from the arm each contact lies on. Of two joints on one side the farther one is reached round
 * the nearer one.
 * @param {Spot} first @param {Spot} second the joints as the arm sees them: ahead, and to the side
 */
function lanes([farFirst, first], [farSecond, second]) {
  if (first * second < 0) return [Math.sign(first), Math.sign(second)].map((side) => (side * APART) / 2);
  const aside = (Math.sign(first || second) || 1) * APART;
  const straight = first * second !== 0 && farFirst !== farSecond ? farFirst > farSecond : Math.abs(first) <= Math.abs(second);
  return straight ? [0, aside] : [aside, 0];
}

/** From a contact straight on, then to the side; back to a joint that lies behind it. @param {Spot} contact @param {Spot} joint */
function lead(contact, joint) {
  if (contact[0] === joint[0] || contact[1] === joint[1]) return [contact, joint];
  return [contact, joint[0] > contact[0] ? [joint[0], contact[1]] : [contact[0], joint[1]], joint];
}

/**
 * The arm points to where both contacts are ahead of it, as far as that can be.
 * @param {Spot} arm @param {Spot} first @param {Spot} second the joints, in grid steps
 * @returns {import("./geometry.js").Route}
 */
export function twoWayRoute(arm, first, second) {
  const ahead = ([x, y], [dx, dy]) => (x - arm[0]) * dx + (y - arm[1]) * dy;
  const both = (turn) => Math.min(ahead(first, turn), ahead(second, turn));
  const along = TURNS.reduce((best, turn) => (both(turn) > both(best) ? turn : best));
  const aside = /** @type {Spot} */ ([-along[1], along[0]]);
  const local = (spot) => /** @type {Spot} */ ([ahead(spot, along), ahead(spot, aside)]);
  const onSheet = ([x, y]) => /** @type {Spot} */ ([arm[0] + x * along[0] + y * aside[0], arm[1] + x * along[1] + y * aside[1]]);
  const ends = [local(first), local(second)];
  const sides = lanes(ends[0], ends[1]);
  const reach = both(along);
  // Contacts to the left and right of the arm stand level with their joints.
  const middle = Math.max(HALF, sides[0] * sides[1] < 0 ? reach - HALF : reach / 2);
  const pivot = /** @type {Spot} */ ([middle - HALF, 0]);
  const contacts = sides.map((side) => /** @type {Spot} */ ([middle + HALF, side]));
  const [toFirst, toSecond] = contacts.map((contact, which) => lead(contact, ends[which]).map(onSheet));
  const toArm = [arm, onSheet(pivot)];
  return {
    points: [...toArm, ...toFirst],
    leads: [toArm, toFirst, toSecond],
    symbol: { at: onSheet([middle, (sides[0] + sides[1]) / 2]), along, leg: 1, length: 2 * HALF },
  };
}
