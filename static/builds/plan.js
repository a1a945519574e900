// A build as the form has it: from what the server has read, and back into the words that a value is typed in.

/**
 * @typedef {{number: string, unit: string, before?: string}} Amount `before`: the number that a “?” took the place of
 * @typedef {{words: string, own: boolean, constant: string, strength: string, thickness: Amount, share: string}} Filling `words` from the table, else what is one's `own`
 * @typedef {{shape: string, sizes: Record<string, Amount>, kind: "one"|"layers"|"strips", gap: Amount, fillings: Filling[]}} Plan a build as the form has it
 */

export const ASKED = "?";
export const LENGTHS = ["nm", "µm", "mm", "cm", "m", "km"];
export const AREAS = ["mm²", "cm²", "dm²", "m²"];

/** @param {string} words @returns {Filling} */
export const filling = (words = "air", thickness = { number: "0.1", unit: "mm" }, share = "1/2") => ({ words, own: false, constant: "", strength: "", thickness, share });

/** Sizes that a shape begins with. */
const USUAL = { area: ["20", "cm²"], "inner radius": ["3", "cm"], "outer radius": ["4", "cm"], length: ["10", "cm"], radius: ["15", "cm"] };

/** @returns {Plan} */
export const usualPlan = () => ({ shape: "plates", sizes: Object.fromEntries(Object.entries(USUAL).map(([name, [number, unit]]) => [name, { number, unit }])), kind: "one", gap: { number: "0.1", unit: "mm" }, fillings: [filling()] });

/** "0.1 mm"; "?", which may have no unit. @param {string} text @param {string} [usual] @returns {Amount} */
function amount(text, usual = "mm") {
  const end = text.lastIndexOf(" ");
  return end < 0 ? { number: text, unit: usual } : { number: text.slice(0, end), unit: text.slice(end + 1) };
}

/** Makes a size the one that is asked for, or a number again. @param {Plan} plan @param {Amount} asked */
export function toggleAsked(plan, asked) {
  const amounts = [...Object.values(plan.sizes), plan.gap, ...plan.fillings.map(({ thickness }) => thickness)];
  const wanted = asked.number !== ASKED;
  for (const each of amounts) if (each.number === ASKED) each.number = each.before || "1";
  if (!wanted) return;
  asked.before = asked.number;
  asked.number = ASKED;
}

/** What one's own is: "κ 6 at 12 MV/m". @param {import("./plates.js").Layer} layer @returns {Filling} */
function fillingOf(layer) {
  const own = /^κ (\S+)(?: at (\S+) MV\/m)?$/u.exec(layer.words);
  const entry = filling(layer.words, layer.thickness ? amount(layer.thickness.text) : undefined, layer.share.text);
  return own ? { ...entry, words: "", own: true, constant: own[1], strength: own[2] ?? "" } : entry;
}

/** A build that the server has read, as the form has it. @param {import("./plates.js").Build} build @param {Record<string, string[]>} shapes @returns {Plan} */
export function planOf(build, shapes) {
  const plan = usualPlan();
  shapes[build.shape].forEach((name, index) => (plan.sizes[name] = amount(build.sizes[index].text, USUAL[name][1])));
  const kind = build.layers.length < 2 ? "one" : build.stacked ? "layers" : "strips";
  const gap = build.shape === "plates" ? amount(build.layers[0].thickness.text) : plan.gap;
  return { ...plan, shape: build.shape, kind, gap, fillings: build.layers.map(fillingOf) };
}

const written = ({ number, unit }) => `${number.trim()} ${unit}`;
const material = ({ own, words, constant, strength }) => (own ? `κ ${constant.trim()}${strength.trim() ? ` at ${strength.trim()} MV/m` : ""}` : words);

/** The words of a plan, for the server to read. @param {Plan} plan @param {Record<string, string[]>} shapes */
export function wordsOf(plan, shapes) {
  const sizes = [plan.shape, ...shapes[plan.shape].map((name) => written(plan.sizes[name]))].join(" ");
  const [first] = plan.fillings;
  if (plan.shape !== "plates") return `${sizes} ${material(first)}`;
  if (plan.kind === "one") return `${sizes} ${written(plan.gap)} ${material(first)}`;
  if (plan.kind === "layers") return `${sizes} ${plan.fillings.map((each) => `${material(each)} ${written(each.thickness)}`).join(" + ")}`;
  return `${sizes} ${written(plan.gap)}, ${plan.fillings.map((each) => `${material(each)} ${each.share.trim()}`).join(", ")}`;
}
