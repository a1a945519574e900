// A build with a size that is “?”: what it is drawn with as long as that is not known.

/** @typedef {import("./plates.js").Build} Build */

/** How much wider than their gap plates are drawn, and how much larger the outer of two radii is. */
const [WIDER, LARGER] = [5, 2];

const withSize = (sizes, index, value) => sizes.map((size, place) => (place === index ? { ...size, value } : size));

/** @param {Build} build @returns {Build} */
function plates(build) {
  const gaps = build.layers.map(({ thickness }) => thickness.value);
  const known = gaps.filter((gap) => gap !== null);
  const whole = (build.stacked ? known : known.slice(0, 1)).reduce((sum, gap) => sum + gap, 0);
  if (build.sizes[0].value === null) return { ...build, sizes: withSize(build.sizes, 0, (WIDER * whole) ** 2), unknown: "area" };
  if (known.length === gaps.length) return build;
  const usual = known.length ? whole / known.length : Math.sqrt(build.sizes[0].value) / WIDER;
  const layers = build.layers.map((layer) => (layer.thickness.value === null ? { ...layer, thickness: { ...layer.thickness, value: usual } } : layer));
  return { ...build, layers, unknown: build.stacked && layers.length > 1 ? "thickness" : "gap" };
}

/**
 * A build as it can be drawn: `unknown` says which size only stands there, where one does.
 * @param {Build} build @param {Record<string, string[]>} shapes what the sizes of each are called @returns {Build}
 */
export function drawable(build, shapes) {
  if (build.shape === "plates") return plates(build);
  const index = build.sizes.findIndex(({ value }) => value === null);
  if (index < 0) return build;
  const other = index === 0 ? (build.sizes[1]?.value ?? 1) / LARGER : build.sizes[0].value * LARGER;
  // How long cylinders are is not seen.
  return { ...build, sizes: withSize(build.sizes, index, other), unknown: index === 2 ? undefined : shapes[build.shape][index] };
}

/** @param {string} word */
export const notKnown = (word) => `the ${word} is not known yet, so it is drawn at some size.`;
