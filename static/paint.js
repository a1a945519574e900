// Puts a picture (plain nodes, made new each time) on the page, reusing what is there so that changes can ease.

/**
 * @typedef {{tag: string, key?: string, attributes: Record<string, string|number>, text?: string, children?: Node[]}} Node
 */

/** @param {string} tag @param {Node["attributes"]} attributes @param {Node[]|string} [content] @param {string} [key] @returns {Node} */
export function node(tag, attributes, content, key) {
  if (typeof content === "string") return { tag, key, attributes, text: content };
  return { tag, key, attributes, children: content };
}

const painted = new WeakMap();
const SVG = "http://www.w3.org/2000/svg";

/**
 * Makes the children of `parent` be `nodes`. A node keeps its element as long as its key (else its place) and tag stay.
 * @param {Element} parent @param {Node[]} nodes
 */
export function paint(parent, nodes) {
  const before = painted.get(parent) ?? new Map();
  const after = new Map();
  let place = parent.firstChild;
  nodes.forEach((each, index) => {
    const key = each.key === undefined || after.has(each.key) ? `${index}` : each.key;
    let entry = before.get(key);
    if (entry && entry.node.tag === each.tag) before.delete(key);
    else entry = { element: document.createElementNS(SVG, each.tag), node: { attributes: {} } };
    if (entry.element === place) place = place.nextSibling;
    else parent.insertBefore(entry.element, place);
    if (entry.node !== each) dress(entry.element, entry.node, each);
    after.set(key, { element: entry.element, node: each });
  });
  for (const { element } of before.values()) element.remove();
  painted.set(parent, after);
}

function dress(element, old, fresh) {
  for (const name of Object.keys(old.attributes)) if (!(name in fresh.attributes)) element.removeAttribute(name);
  for (const [name, value] of Object.entries(fresh.attributes))
    if (old.attributes[name] !== value) element.setAttribute(name, String(value));
  if (fresh.children) paint(element, fresh.children);
  else if (fresh.text !== undefined && old.text !== fresh.text) element.textContent = fresh.text;
}
