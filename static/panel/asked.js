// A value that is “?”: which parts have one, and how it is told once it is found.

export const UNKNOWN = "?";

/** @param {import("../sketch.js").Part} part */
export const isAsked = (part) => part.value?.trim() === UNKNOWN;

/** Whether nothing is wrong, only the question is not yet all asked. @param {{code: string}} fault */
export const isOpenQuestion = ({ code }) => code === "requirement-missing";

/**
 * The sketch with what was found behind each “?”, as the drawing and the ledger tell it.
 * @param {import("../sketch.js").Sketch} sketch @param {{found?: import("./unknown.js").FoundValue[]}|null} solution
 */
export function withFound(sketch, solution) {
  if (!solution?.found) return sketch;
  const texts = new Map(solution.found.map(({ part, exact, text, value }) => [part, exact ? text : value.text]));
  return { ...sketch, parts: sketch.parts.map((part) => (isAsked(part) && texts.has(part.name) ? { ...part, value: `${UNKNOWN} = ${texts.get(part.name)}` } : part)) };
}
