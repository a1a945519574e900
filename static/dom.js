// Making and updating elements: text always goes in as text, never as markup.

const SVG = "http://www.w3.org/2000/svg";

/** @param {Element} element @param {string} name @param {unknown} value */
function setOne(element, name, value) {
  if (value === null || value === undefined || value === false) return element.removeAttribute(name);
  const text = value === true ? "" : String(value);
  if (element.getAttribute(name) !== text) element.setAttribute(name, text);
}

/**
 * Sets attributes; null or undefined takes one away.
 * @param {Element} element
 * @param {Record<string, unknown>} attributes
 */
export function set(element, attributes) {
  for (const [name, value] of Object.entries(attributes)) setOne(element, name, value);
  return element;
}

/**
 * @param {string} tag
 * @param {Record<string, unknown>} [attributes]
 * @param {...(Node|string)} children
 * @returns {SVGElement}
 */
export function svg(tag, attributes = {}, ...children) {
  const element = document.createElementNS(SVG, tag);
  set(element, attributes);
  element.append(...children);
  return element;
}

/**
 * @param {string} tag
 * @param {Record<string, unknown>} [attributes] `onclick` and other `on…` entries are listeners
 * @param {...(Node|string)} children
 * @returns {HTMLElement}
 */
export function html(tag, attributes = {}, ...children) {
  const element = document.createElement(tag);
  for (const [name, value] of Object.entries(attributes)) {
    if (name.startsWith("on") && typeof value === "function") element.addEventListener(name.slice(2), value);
    else setOne(element, name, value);
  }
  element.append(...children);
  return element;
}

/** The element with this id, which the page must have. @param {string} id */
export function need(id) {
  const element = document.getElementById(id);
  if (!element) throw new Error(`the page lacks #${id}`);
  return element;
}

const context = document.createElement("canvas").getContext("2d");
/** Widths of single characters in a font: readings are new texts with every change, but of the same few characters. @type {Map<string, Map<string, number>>} */
const fonts = new Map();

/** Width in pixels of a line of text in a CSS font, kerning aside. @param {string} text @param {string} font */
export function textWidth(text, font) {
  let widths = fonts.get(font);
  if (!widths) fonts.set(font, (widths = new Map()));
  let total = 0;
  for (const character of text) {
    let width = widths.get(character);
    if (width === undefined) {
      context.font = font;
      width = context.measureText(character).width;
      widths.set(character, width);
    }
    total += width;
  }
  return total;
}

/** Symbols as they are written by hand: "2C_1/3" → "2C₁/3". @param {string} text */
export const withSubscripts = (text) => text.replace(/_(\d+)/g, (_, digits) => [...digits].map((digit) => "₀₁₂₃₄₅₆₇₈₉"[digit]).join(""));

/**
 * A part's name in the trade's manner: letters, then digits or what follows "_" as a subscript.
 * @param {string} name
 * @returns {{stem: string, index: string}}
 */
export function splitName(name) {
  const match = /^([^\d_]+)_?(.*)$/u.exec(name);
  return match ? { stem: match[1], index: match[2] } : { stem: name, index: "" };
}

/** A part's name as HTML: italic with a subscript. @param {string} name */
export function nameElement(name) {
  const { stem, index } = splitName(name);
  const element = html("span", { class: "part-name" }, html("i", {}, stem));
  if (index) element.append(html("sub", {}, index));
  return element;
}
