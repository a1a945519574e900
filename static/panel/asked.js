// A value that is “?”, or a build with a “?” in it: which parts have one, and how it is told once it is found.

export const UNKNOWN = "?";

/** @typedef {import("../sketch.js").Sketch} Sketch */

/** As in `covered`: what a part's value was found to be. @param {string} name */
export const valueKey = (name) => `${name}.value`;

/** No other value has a question mark in it. @param {{value?: string}} part */
export const isAsked = (part) => Boolean(part.value?.includes(UNKNOWN));

/** Whether a part is asked for, in the stage shown or in another. @param {Sketch} sketch @param {import("../sketch.js").Part} part */
export const isAskedAtAll = (sketch, part) => isAsked(part) || (sketch.stages ?? []).some(({ set }) => set?.[part.name]?.includes(UNKNOWN));

/** What was found for each text with a “?” in it, by part and text. @param {{found?: import("./unknown.js").FoundValue[]}|null|undefined} solution */
function foundTexts(solution) {
  return new Map((solution?.found ?? []).map((value) => [value.part, new Map(value.texts.map((each) => [each.typed, each]))]));
}

/** The sketch with values in place of each “?”, in all stages. @param {Sketch} sketch @param {(name: string, typed: string) => string} text @returns {Sketch} */
export function filled(sketch, text) {
  const put = (name, typed) => (typed?.includes(UNKNOWN) ? text(name, typed) : typed);
  const parts = sketch.parts.map((part) => (isAsked(part) ? { ...part, value: put(part.name, part.value) } : part));
  if (!sketch.stages) return { ...sketch, parts };
  const stages = sketch.stages.map((stage) => (stage.set ? { ...stage, set: Object.fromEntries(Object.entries(stage.set).map(([name, typed]) => [name, put(name, typed)])) } : stage));
  return { ...sketch, parts, stages };
}

/** The sketch with what was found in place of each “?”. @param {Sketch} sketch @param {object|null} solution */
export function answered(sketch, solution) {
  const texts = foundTexts(solution);
  return filled(sketch, (name, typed) => texts.get(name)?.get(typed)?.text ?? typed);
}

/** Whether nothing is wrong, only the question is not yet all asked. @param {{code: string}} fault */
export const isOpenQuestion = ({ code }) => code === "requirement-missing";

/**
 * The sketch with what was found behind each “?”, as the drawing and the ledger tell it: of a build its words as `value`, the
 * size alone as `size`. What is covered is not told.
 * @param {import("../sketch.js").Sketch} sketch @param {{found?: import("./unknown.js").FoundValue[]}|null} solution @param {(key: string) => boolean} isCovered
 */
export function withFound(sketch, solution, isCovered) {
  if (!solution?.found) return sketch;
  const texts = foundTexts(solution);
  const sizes = new Map(solution.found.map(({ part, size }) => [part, size && `${size.word.replace(/^thickness of the (layer with )?/u, "")} ${UNKNOWN} = ${size.shown}`]));
  const told = (part) => (isCovered(valueKey(part.name)) ? undefined : texts.get(part.name)?.get(part.value)?.told);
  return { ...sketch, parts: sketch.parts.map((part) => (isAsked(part) && told(part) ? { ...part, value: told(part), ...(sizes.get(part.name) ? { size: sizes.get(part.name) } : {}) } : part)) };
}
