// A capacitor's build in words: which values are builds.

/** Whether a part is given by its build, told by the word that begins one. @param {{kind: string, value?: string}} part @param {object} kinds */
export const isBuilt = (part, kinds) => part.kind === "capacitor" && (part.value ?? "").trim().toLowerCase().split(" ")[0] in kinds.capacitor.shapes;

/** A build's words, broken between lines only where a size ends. @param {string} words */
export const unbroken = (words) => words.replace(/(\d) (?=[a-zµ])/gu, "$1\u00a0");
