// Puts a picture (plain nodes, made new each time) on the page, reusing what is there so that changes can ease.

/**
 * @typedef {{tag: string, key?: string, attributes: Record<string, string|number>, text?: string, children?: Node[]}} Node
 */

/** @param {string} tag @param {Node["attributes"]} attributes @param {Node[]|string} [content] @param {string} [key] @returns {Node} */
export function node(tag, attributes, content, key) {
  if (typeof content === "string") return { tag, key, attributes, text: content };
  return { tag, key, attributes, children: content };
}

/** @typedef {{element: Element, node: Node}} Entry */

/** What stands in an element, in order. @type {WeakMap<Element, Entry[]>} */
const painted = new WeakMap();
const SVG = "http://www.w3.org/2000/svg";
const BARE = { tag: "", attributes: {} };

/**
 * Makes the children of `parent` be `nodes`. A node keeps its element as long as its key (else its place) and tag stay.
 * @param {Element} parent @param {Node[]} nodes
 */
export function paint(parent, nodes) {
  const before = painted.get(parent) ?? [];
  if (before.length === nodes.length && before.every(({ node: old }, index) => old.key === nodes[index].key && old.tag === nodes[index].tag)) {
    before.forEach((entry, index) => redress(entry, nodes[index]));
    return;
  }
  const kept = byKey(before);
  let place = parent.firstChild;
  const after = nodes.map((each, index) => {
    const key = each.key ?? index;
    let entry = kept.get(key);
    if (entry?.node.tag === each.tag) kept.delete(key);
    else entry = { element: document.createElementNS(SVG, each.tag), node: BARE };
    if (entry.element === place) place = place.nextSibling;
    else parent.insertBefore(entry.element, place);
    redress(entry, each);
    return entry;
  });
  const staying = new Set(after);
  for (const entry of before) if (!staying.has(entry)) entry.element.remove();
  painted.set(parent, after);
}

/** A key that stands twice counts for the first. @param {Entry[]} entries @returns {Map<string|number, Entry>} */
function byKey(entries) {
  const all = new Map();
  entries.forEach((entry, index) => {
    const key = entry.node.key ?? index;
    if (!all.has(key)) all.set(key, entry);
  });
  return all;
}

/** @param {Entry} entry @param {Node} fresh */
function redress(entry, fresh) {
  const { element, node: old } = entry;
  if (old === fresh) return;
  entry.node = fresh;
  for (const name in old.attributes) if (!(name in fresh.attributes)) element.removeAttribute(name);
  for (const name in fresh.attributes) if (old.attributes[name] !== fresh.attributes[name]) element.setAttribute(name, String(fresh.attributes[name]));
  if (fresh.children) paint(element, fresh.children);
  else if (fresh.text !== undefined && old.text !== fresh.text) element.textContent = fresh.text;
}
