// Formulas on the page: MathML elements made from the tree that the server sends, from a list of elements, never markup.

/** @typedef {[string, ...(Math|string|Record<string, string>)[]]} Math an element's name, its attributes at choice, its children */

const MATHML = "http://www.w3.org/1998/Math/MathML";
const ELEMENTS = new Set("math mrow mi mn mo ms mtext mspace mfrac msub msup msubsup munder mover munderover msqrt mroot mtable mtr mtd".split(" "));
const ATTRIBUTES = { mathvariant: new Set(["normal"]), form: new Set(["infix", "prefix"]), stretchy: new Set(["true", "false"]), displaystyle: new Set(["true", "false"]), class: new Set(["aligned", "flowing"]) };
/** Signs at which a chain may go on in the next line, and those at which a sum may. */
const EQUALS = new Set(["=", "≈"]);
const ADDS = new Set(["+", "−"]);

const isAttributes = (child) => typeof child === "object" && !Array.isArray(child);

/**
 * @param {Math} tree
 * @returns {MathMLElement}
 * @throws {TypeError} where the tree holds an element or attribute that is not on the list
 */
export function mathElement([name, ...children]) {
  if (!ELEMENTS.has(name)) throw new TypeError(`no element of a formula: ${name}`);
  const element = /** @type {MathMLElement} */ (document.createElementNS(MATHML, name));
  for (const child of children) {
    if (typeof child === "string") element.append(child);
    else if (!isAttributes(child)) element.append(mathElement(child));
    else
      for (const [attribute, value] of Object.entries(child)) {
        if (!ATTRIBUTES[attribute]?.has(value)) throw new TypeError(`no attribute of a formula: ${attribute}`);
        element.setAttribute(attribute, value);
      }
  }
  return element;
}

const isSign = (child, signs) => child[0] === "mo" && child.length === 2 && signs.has(child[1]);

/** @typedef {{side: number, row: Math[]}} Piece what stands on one side of an equals sign, or a term of it, with the sign before it */

/**
 * Where a formula may go on in another line: at its equals signs, and between the terms of a sum.
 * @param {Math} tree @returns {Piece[]}
 */
export function piecesOf(tree) {
  const children = tree.slice(1);
  const row = children.length === 1 && children[0][0] === "mrow" ? children[0].slice(1) : children;
  if (!row.every(Array.isArray)) return [{ side: 0, row }];
  const pieces = [{ side: 0, row: [] }];
  row.forEach((child, index) => {
    const last = pieces[pieces.length - 1];
    // A minus that follows an equals sign is that of a negative number.
    const begins = isSign(child, EQUALS) || (isSign(child, ADDS) && index > 0 && !isSign(row[index - 1], EQUALS));
    if (!begins || index === 0) last.row.push(child);
    else pieces.push({ side: last.side + (isSign(child, EQUALS) ? 1 : 0), row: [["mo", { form: "infix" }, child[1]]] });
  });
  return pieces;
}

const cell = (...row) => ["mtd", ["mrow", ...row]];

/** Every piece in a row of its own, to see how wide each is. @param {Piece[]} pieces @returns {Math} */
export const apart = (pieces) => ["math", ["mtable", ...pieces.map(({ row }) => ["mtr", cell(...row)])]];

/**
 * A formula in several lines: what stands left of the equals signs, then line under line.
 * @param {Math[]} left empty where there is no such column
 * @param {{row: Math[], goesOn: boolean}[]} lines `goesOn`: the line before is continued, so this one is set in
 * @returns {Math}
 */
export function inLines(left, lines) {
  const rows = lines.map(({ row, goesOn }, index) => {
    const set = goesOn ? cell(["mspace"], ...row) : cell(...row);
    return left.length ? ["mtr", cell(...(index ? [] : left)), set] : ["mtr", set];
  });
  return ["math", { class: left.length ? "aligned" : "flowing" }, ["mtable", ...rows]];
}
