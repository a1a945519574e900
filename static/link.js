// A sketch carried whole in a link's fragment: JSON, deflated (zlib's format, whose checksum tells damage), base64url.

import { isSketch } from "./shape.js";

/** @typedef {import("./sketch.js").Sketch} Sketch */

/** What a sketch may unpack to, in bytes; it is as much as the server takes. */
const MOST_BYTES = 8_000_000;

const SENTENCES = {
  empty: "This link carries no sheet: what should follow the “#” is missing.",
  signs: "This link is damaged: it has signs in it that such a link never has. Copy it again, whole.",
  cut: "This link is damaged: a piece of it is missing or changed. Copy it again, whole.",
  large: "This link unpacks to more than a sheet can be, so it was not opened.",
  content: "This link came through whole, but what it carries is not a sheet that can be drawn.",
};

/** A link that cannot be opened; `message` is the sentence for people. */
export class DamagedLink extends Error {
  /** @param {keyof typeof SENTENCES} reason */
  constructor(reason) {
    super(SENTENCES[reason]);
    this.name = "DamagedLink";
    this.reason = reason;
  }
}

/** A sketch that no link can carry; `message` is the sentence for people. */
export class TooLargeForLink extends Error {
  constructor() {
    super("This sheet is too large for a link: store it instead.");
    this.name = "TooLargeForLink";
  }
}

const PART_KEYS = ["name", "kind", "value", "tolerance", "closed", "initial", "rated", "reverse", "internal", "from", "to", "second", "rests", "bend"];
const SKETCH_KEYS = ["title", "joints", "parts", "zero", "figures", "probes", "covered", "required", "questions", "stages", "stage", "moment", "usable", "lot"];

/** The same entries, the known ones first, then the others by name. */
function inOrder(entries, keys) {
  const others = Object.keys(entries).filter((key) => !keys.includes(key));
  const all = [...keys, ...others.sort()].filter((key) => Object.hasOwn(entries, key));
  return Object.fromEntries(all.map((key) => [key, entries[key]]));
}

/**
 * A sketch as JSON text that does not depend on the order in which it was edited. The order of joints and of parts
 * stays: the first joint is at 0 V where nothing else says which is.
 * @param {Sketch} sketch
 */
export function canonicalText(sketch) {
  const parts = sketch.parts.map((part) => inOrder(part, PART_KEYS));
  return JSON.stringify({ ...inOrder(sketch, SKETCH_KEYS), parts });
}

function toBase64url(bytes) {
  let binary = "";
  for (let start = 0; start < bytes.length; start += 0x8000) binary += String.fromCharCode(...bytes.subarray(start, start + 0x8000));
  return btoa(binary).replaceAll("+", "-").replaceAll("/", "_").replace(/=+$/, "");
}

function fromBase64url(text) {
  if (text === "") throw new DamagedLink("empty");
  if (!/^[\w-]+$/.test(text)) throw new DamagedLink("signs");
  if (text.length % 4 === 1) throw new DamagedLink("cut");
  return Uint8Array.from(atob(text.replaceAll("-", "+").replaceAll("_", "/")), (each) => each.charCodeAt(0));
}

/** @param {Sketch} sketch @returns {Promise<string>} what follows the "#". Throws TooLargeForLink. */
export const encodeLink = (sketch) => packed(canonicalText(sketch));

/** @param {string} text JSON @returns {Promise<string>} Throws TooLargeForLink. */
export async function packed(text) {
  const plain = new TextEncoder().encode(text);
  if (plain.length > MOST_BYTES) throw new TooLargeForLink();
  const deflated = new Blob([plain]).stream().pipeThrough(new CompressionStream("deflate"));
  return toBase64url(new Uint8Array(await new Response(deflated).arrayBuffer()));
}

/** @returns {Promise<Uint8Array<ArrayBuffer>>} stops as soon as there is too much */
async function inflate(bytes) {
  const reader = new Blob([bytes]).stream().pipeThrough(new DecompressionStream("deflate")).getReader();
  const pieces = [];
  let size = 0;
  for (;;) {
    const { done, value } = await reader.read().catch(() => {
      throw new DamagedLink("cut");
    });
    if (done) break;
    size += value.length;
    if (size > MOST_BYTES) {
      reader.cancel().catch(() => {});
      throw new DamagedLink("large");
    }
    pieces.push(value);
  }
  return new Uint8Array(await new Blob(pieces).arrayBuffer());
}

function parse(bytes) {
  try {
    return JSON.parse(new TextDecoder("utf-8", { fatal: true, ignoreBOM: true }).decode(bytes));
  } catch {
    throw new DamagedLink("content");
  }
}

/** What was packed, as data. @param {string} fragment what follows the "#", or that sign with it. Throws DamagedLink. */
export const unpacked = async (fragment) => parse(await inflate(fromBase64url(fragment.replace(/^#/, ""))));

/**
 * @param {string} fragment what follows the "#", or that sign with it
 * @param {object} [kinds] where given, every part has to be of a kind that stands in this table
 * @returns {Promise<Sketch>} Throws DamagedLink.
 */
export async function decodeLink(fragment, kinds) {
  const sketch = await unpacked(fragment);
  if (!isSketch(sketch, kinds)) throw new DamagedLink("content");
  return sketch;
}
