// The drawing as a file: a standalone SVG document of what the sheet shows, a PNG of that, and names for the files.

import { svg } from "./dom.js";
import { SHEET } from "./drawing/palette.js";
import { picture } from "./drawing/picture.js";

/** @typedef {import("./paint.js").Node} Node */

const MARGIN = 24;
const EMPTY_BOX = { left: 0, top: 0, right: 480, bottom: 320 };
/** Pixels that a canvas holds on phones too. */
const MOST_PIXELS = 16_000_000;
const NOTHING_MARKED = { selected: new Set(), joints: new Set(), faulty: new Set() };

/** Signs that XML cannot hold, even escaped. */
const NOT_XML = /[^\t\n\r\u{20}-\u{D7FF}\u{E000}-\u{FFFD}\u{10000}-\u{10FFFF}]/gu;

const short = (value) => (typeof value === "number" ? Math.round(value * 100) / 100 : value);

/** A node and all in it as an element that needs no page round it. @param {Node} node @returns {SVGElement} */
export function drawn({ tag, attributes, text, children }) {
  const kept = Object.entries(attributes).filter(([name]) => name !== "class" && !name.startsWith("data-"));
  const content = children?.map(drawn) ?? (text === undefined ? [] : [text]);
  return svg(tag, Object.fromEntries(kept.map(([name, value]) => [name, short(value)])), ...content);
}

/** An element as the text of a file. @param {SVGElement} element */
export const fileText = (element) => new XMLSerializer().serializeToString(element).replace(NOT_XML, "\u{FFFD}");

/** The box of a picture, its energy discs included. */
function boxOf({ box, layers }) {
  if (box === null) return EMPTY_BOX;
  const all = { ...box };
  for (const { attributes: { cx, cy, r } } of layers.discs) {
    all.left = Math.min(all.left, cx - r);
    all.right = Math.max(all.right, cx + r);
    all.top = Math.min(all.top, cy - r);
    all.bottom = Math.max(all.bottom, cy + r);
  }
  return all;
}

/**
 * The drawing as an element that stands alone; what is covered stays covered.
 * @param {import("./sketch.js").Sketch} sketch @param {object|null} solution the answer for this very sketch, or null
 * @param {import("./drawing/picture.js").Style} style @param {(key: string) => boolean} isCovered @param {string} title
 */
export function drawingElement(sketch, solution, style, isCovered, title) {
  const whole = picture(sketch, solution, style, NOTHING_MARKED, isCovered);
  const box = boxOf(whole);
  const [x, y] = [Math.floor(box.left - MARGIN), Math.floor(box.top - MARGIN)];
  const [width, height] = [Math.ceil(box.right + MARGIN) - x, Math.ceil(box.bottom + MARGIN) - y];
  const layers = Object.values(whole.layers).filter((nodes) => nodes.length > 0);
  return svg(
    "svg",
    { viewBox: `${x} ${y} ${width} ${height}`, width, height, role: "img" },
    svg("title", {}, title),
    svg("rect", { x, y, width, height, fill: SHEET }),
    ...layers.map((nodes) => svg("g", {}, ...nodes.map(drawn))),
  );
}

/** @param {string} address @returns {Promise<HTMLImageElement>} */
function loaded(address) {
  return new Promise((resolve, reject) => {
    const image = new Image();
    image.onload = () => resolve(image);
    image.onerror = () => reject(new Error("This browser could not make a PNG of the drawing: take the SVG."));
    image.src = address;
  });
}

/**
 * @param {string} text an SVG document with a width and a height
 * @param {number} [scale] pixels to a sheet unit; less where the picture would be more than a browser can hold
 * @returns {Promise<Blob>} Throws an Error whose message is for people.
 */
export async function pngBlob(text, scale = 2) {
  const address = URL.createObjectURL(new Blob([text], { type: "image/svg+xml" }));
  try {
    const image = await loaded(address);
    const { naturalWidth: width, naturalHeight: height } = image;
    const fitting = Math.min(scale, Math.sqrt(MOST_PIXELS / (width * height)));
    const canvas = document.createElement("canvas");
    [canvas.width, canvas.height] = [Math.round(width * fitting), Math.round(height * fitting)];
    canvas.getContext("2d").drawImage(image, 0, 0, canvas.width, canvas.height);
    const blob = await new Promise((resolve) => canvas.toBlob(resolve, "image/png"));
    if (blob === null) throw new Error("This drawing is too large for a PNG: take the SVG.");
    return blob;
  } finally {
    URL.revokeObjectURL(address);
  }
}

/** Names that Windows keeps for devices. */
const DEVICE = /^(con|prn|aux|nul|com\d|lpt\d)$/i;
const LONGEST_NAME = 60;

/** A title as a file name that every system takes. @param {string} title @param {string} ending without the dot */
export function fileName(title, ending) {
  const plain = title.normalize("NFC").replace(/[\p{C}\\/:*?"<>|]+/gu, " ").replace(/\s+/g, " ");
  const name = [...plain].slice(0, LONGEST_NAME).join("").replace(/^[. ]+|[. ]+$/g, "");
  return `${name === "" || DEVICE.test(name) ? `sheet ${name}`.trim() : name}.${ending}`;
}

/** Hands a file to the reader's browser. @param {Blob} blob @param {string} filename */
export function download(blob, filename) {
  const address = URL.createObjectURL(blob);
  const anchor = document.createElement("a");
  anchor.href = address;
  anchor.download = filename;
  anchor.click();
  // Some browsers read the blob only after this turn.
  setTimeout(() => URL.revokeObjectURL(address), 60_000);
}
