// The kinds of column that there are, in the order in which they are offered.

/** @type {import("./comparison.js").Kind[]} */
export const KINDS = ["series", "parallel", "other-series", "other-parallel", "network", "copy"];
