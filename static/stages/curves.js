// Readings over time: the values of their curves, how a value under the cursor is written, and round marks for axes.
//
// A curve is evaluated here from the exponentials that the server sent: that is drawing, not physics. Its value under
// the cursor is the one reading that the browser writes itself, since asking for it would lag behind the hand; tests
// hold it to the solver's own writing, number by number. At both ends the server's readings stand as they are.

/**
 * @typedef {import("../solving.js").Reading} Reading
 * @typedef {{first: Reading, final: Reading, amplitudes: number[]}} Curve
 * @typedef {{timeConstants: number[], timeTexts: string[], parts: Record<string, {voltage: Curve, current?: Curve}>}} Course
 * @typedef {{figures: number, prefixes: Record<string, number>}} Writing prefixes of SI units with their powers of ten
 * @typedef {{low: number, high: number, ticks: {at: number, text: string}[], unit: string}} Scale
 */

/** What is left of a sum after its terms have cancelled is rounding and no voltage. */
export const CANCELLED = 1e-13;

/** Whether all of a curve is numbers. @param {Curve} curve @param {number[]} constants */
export const isDrawable = (curve, constants) => constants.length > 0 && curve.amplitudes.length === constants.length && curve.final.value !== null;

/** What is left of each exponential after so many seconds. @param {number[]} constants */
export const decayed = (constants, time) => constants.map((constant) => Math.exp(-time / constant));

/** @param {Curve} curve @param {number[]} left as `decayed` gives it, for a time after the start */
export function valueOf(curve, left) {
  const final = /** @type {number} */ (curve.final.value);
  let [sum, largest] = [final, Math.abs(final)];
  for (let index = 0; index < left.length; index += 1) {
    const term = curve.amplitudes[index] * left[index];
    sum += term;
    largest = Math.max(largest, Math.abs(term));
  }
  return Math.abs(sum) < CANCELLED * largest ? 0 : sum;
}

/** The reading at a time as people read it. @param {Curve} curve @param {number} time seconds, Infinity in the end @param {Writing} writing */
export function textAt(curve, constants, time, unit, writing) {
  if (time === 0) return curve.first.text;
  if (time === Infinity) return curve.final.text;
  return written(valueOf(curve, decayed(constants, time)), unit, writing);
}

const RAISED = "⁰¹²³⁴⁵⁶⁷⁸⁹";
/** @param {number} power */
export const raised = (power) => String(power).replace("-", "⁻").replace(/\d/g, (digit) => RAISED[digit]);

const prefixOf = ({ prefixes }, power) => Object.keys(prefixes).find((prefix) => prefixes[prefix] === power);

/** A number with its unit, rounded once, half away from zero. @param {number} value @param {string} unit @param {Writing} writing */
export function written(value, unit, writing) {
  if (value === 0) return `0 ${unit}`;
  const sign = value < 0 ? "−" : "";
  // This rounds the exact number that the float is, a half up.
  const [mantissa, exponent] = Math.abs(value).toExponential(writing.figures - 1).split("e");
  const power = Number(exponent);
  const group = Math.floor(power / 3) * 3;
  const prefix = prefixOf(writing, group);
  if (prefix === undefined) return `${sign}${mantissa} × 10${raised(power)} ${unit}`;
  const digits = mantissa.replace(".", "").padEnd(power - group + 1, "0");
  const whole = digits.slice(0, power - group + 1);
  const rest = digits.slice(whole.length);
  return `${sign}${whole}${rest && `.${rest}`} ${prefix}${unit}`;
}

/** The round step that divides a range into so many pieces at the most: its digit (1, 2 or 5) and power of ten. */
function stepOf(range, most) {
  let power = Math.floor(Math.log10(range / most));
  for (;;) {
    for (const digit of [1, 2, 5]) if (range / (digit * 10 ** power) <= most + 1e-9) return { digit, power };
    power += 1;
  }
}

const multiple = (count, { digit, power }) => (power < 0 ? (count * digit) / 10 ** -power : count * digit * 10 ** power);

/**
 * An axis with zero on it, marked at round numbers, all with one prefix.
 * @param {number} low @param {number} high @param {number} most pieces @param {string} unit @param {Writing} writing
 * @param {boolean} [exact] whether the axis ends where it is told to, and not at a mark
 * @returns {Scale}
 */
export function scaleOf(low, high, most, unit, writing, exact = false) {
  [low, high] = [Math.min(low, 0), Math.max(high, 0)];
  if (low === high) high = 1;
  const step = stepOf(high - low, most);
  const size = multiple(1, step);
  const near = 1e-9;
  const from = exact ? Math.ceil(low / size - near) : Math.floor(low / size + near);
  const to = exact ? Math.floor(high / size + near) : Math.ceil(high / size - near);
  const largest = Math.max(Math.abs(from), Math.abs(to)) * step.digit;
  const top = Math.floor(Math.log10(largest) + near) + step.power;
  const group = prefixOf(writing, Math.floor(top / 3) * 3) === undefined ? step.power : Math.floor(top / 3) * 3;
  const shift = step.power - group;
  const ticks = Array.from({ length: to - from + 1 }, (_, index) => {
    const count = from + index;
    const size = Math.abs(count) * step.digit;
    const text = count === 0 ? "0" : shift < 0 ? (size / 10 ** -shift).toFixed(-shift) : String(size * 10 ** shift);
    return { at: multiple(count, step), text: `${count < 0 ? "−" : ""}${text}` };
  });
  const prefix = prefixOf(writing, group);
  const last = ticks.at(-1).at;
  return { low: exact ? low : ticks[0].at, high: exact ? high : last, ticks, unit: prefix === undefined ? `10${raised(group)} ${unit}` : `${prefix}${unit}` };
}

/** Times that are close enough to one another for a smooth curve, seconds. @param {number[]} constants @param {number} span */
export function sampled(constants, span) {
  const EVEN = 160;
  const times = Array.from({ length: EVEN + 1 }, (_, index) => (span * index) / EVEN);
  for (const constant of constants) {
    if (constant > span / 12) continue;
    for (let part = 1; part <= 40; part += 1) if ((constant * part) / 8 < span) times.push((constant * part) / 8);
  }
  return times.sort((a, b) => a - b);
}

/**
 * The curves as a file for spreadsheets (RFC 4180): time and readings in SI units, plain numbers.
 * @param {{name: string, quantity: string, unit: string, curve: Curve}[]} lines @param {number[]} constants @param {number} span
 */
export function curvesCsv(lines, constants, span) {
  const ROWS = 240;
  const rows = [["time (s)", ...lines.map(({ name, quantity, unit }) => `${name} ${quantity} (${unit})`)]];
  for (let row = 0; row <= ROWS; row += 1) {
    const time = (span * row) / ROWS;
    const left = decayed(constants, time);
    rows.push([time, ...lines.map(({ curve }) => (row === 0 ? curve.first.value : valueOf(curve, left)))].map(String));
  }
  return `${rows.map((row) => row.join(",")).join("\r\n")}\r\n`;
}
