// Turns readings into what the eye compares: shades of potential, numbers of signs, areas of discs. Drawing, not physics.

/** Largest radius of an energy disc, in sheet units. */
const LARGEST = 54;
const MOST_SIGNS = 6;

/** @param {{value: number|null}|undefined} reading */
const numberOf = (reading) => reading?.value ?? null;

/** Every conductor's place between the lowest (0) and the highest (1) potential; null where there is no number. Where a
 * solution has a `reach`, the scales go up to that. */
export function potentialShares(solution) {
  const entries = Object.entries(solution.conductors).map(([id, conductor]) => [id, numberOf(conductor.potential)]);
  const values = entries.map(([, value]) => value).filter((value) => value !== null);
  const [low, high] = solution.reach?.potential ?? [Math.min(...values), Math.max(...values)];
  return new Map(entries.map(([id, value]) => [id, value === null ? null : high > low ? (value - low) / (high - low) : 0]));
}

/** The next of 1, 2, 5, 10 … at or above a size, so that the scale stays put while a value is dragged. @param {number} size */
function roundScale(size) {
  const decade = 10 ** Math.floor(Math.log10(size));
  return decade * [1, 2, 5, 10].find((step) => size <= step * decade * (1 + 1e-9));
}

const sizes = (solution, reading) =>
  Object.entries(solution.parts)
    .map(([name, readings]) => [name, numberOf(readings[reading])])
    .filter(([, value]) => value !== null);

/** Radius of every capacitor's energy disc, its area in proportion to the energy. @returns {Map<string, number>} */
export function discRadii(solution) {
  const energies = sizes(solution, "energy");
  const most = solution.reach?.energy ?? Math.max(0, ...energies.map(([, value]) => value));
  if (most === 0) return new Map();
  const scale = roundScale(most);
  return new Map(energies.map(([name, value]) => [name, LARGEST * Math.sqrt(Math.max(0, value) / scale)]));
}

/** How many signs every capacitor's plates carry, signed as the plate at `from`. @returns {Map<string, number>} */
export function signCounts(solution, parts) {
  const charges = parts
    .filter((part) => part.kind === "capacitor")
    .map((part) => [part.name, numberOf(solution.parts[part.name]?.charge) ?? 0]);
  const most = solution.reach?.charge ?? Math.max(0, ...charges.map(([, value]) => Math.abs(value)));
  if (most === 0) return new Map();
  const fits = (count) => charges.every(([, value]) => Math.abs(((value / most) * count) % 1) < 0.02 || Math.abs(((value / most) * count) % 1) > 0.98);
  let scale = MOST_SIGNS;
  for (let count = 3; count <= MOST_SIGNS; count += 1)
    if (!solution.reach && fits(count)) {
      scale = count;
      break;
    }
  return new Map(
    charges.map(([name, value]) => {
      const count = Math.round((Math.abs(value) / most) * scale);
      return [name, Math.sign(value) * (value !== 0 && count === 0 && Math.abs(value) > most / 1000 ? 1 : count)];
    }),
  );
}
