// What a typed text means. The server decides; while it is away, the unit alone tells the kind, from the served table.

import { TWO_WAY } from "./two_way.js";

/**
 * @typedef {{ok: boolean, unfinished?: boolean, feedback: string, typed?: import("./field.js").Typed, steps?: string[], position?: number,
 *   build?: import("./builds/plates.js").Build|null, reading?: import("./solving.js").Reading|null}} Meaning
 */

const REMEMBERED = 400;

/**
 * A plain number typed over a value keeps that value's unit and tolerance: "22" over "30 µF ±10 %" is "22 µF ±10 %". A
 * tolerance alone keeps the value.
 * @param {string} text @param {string} before the value as it stands @param {string} [unit] the only unit it could have
 * @param {string} [tolerance] of the value as it stands
 */
export function withUnit(text, before, unit, tolerance) {
  if (before.trim() && /^[±+−-]*\s*[\d.,]+[\d.,\s/+%−-]*%$/u.test(text.trim())) return `${before.trim()} ${text.trim()}`;
  if (!/^[−-]?\d[\d.,]*$/.test(text.trim())) return text;
  const own = /^[−-]?\d[\d.,]*\s*(\D+)$/u.exec(before.trim())?.[1] ?? unit;
  return own ? `${text.trim()} ${own}${tolerance ? ` ${tolerance}` : ""}` : text;
}

/** A value with its tolerance, as one types it. @param {{value?: string, tolerance?: string}} part */
export const wholeValue = ({ value, tolerance }) => [value?.trim(), tolerance?.trim()].filter(Boolean).join(" ");

/** A text with per cent at its end, where the server cannot be asked: the value, and the tolerance. @param {string} text */
function takenApart(text) {
  const [, value = text, tolerance] = /^(.*?[^\d\s.,±+−-])\s*([±+−-]*\s*\d[^µnpmkMFVΩ]*%)$/u.exec(text) ?? [];
  return tolerance ? { value, tolerance } : { value };
}

export class TextReader {
  #known = new Map();

  /** @param {string} url @param {object} table shared/kinds.json */
  constructor(url, table) {
    this.url = url;
    this.table = table;
  }

  /**
   * @param {string} text @param {{kind?: string, place?: string, optional?: boolean}} asked the part it is for, where there is one
   * @returns {Promise<Meaning>}
   */
  async read(text, { kind, place, optional }) {
    const trimmed = text.trim();
    if (optional && trimmed === "") return { ok: true, feedback: "Empty: Enter leaves it out", typed: { kind, value: "" } };
    const key = JSON.stringify([trimmed, kind ?? "", place ?? ""]);
    const known = this.#known.get(key);
    if (known) return known;
    let response, body;
    try {
      response = await fetch(this.url, { method: "POST", headers: { "Content-Type": "application/json" }, body: JSON.stringify({ text: trimmed, kind, place }) });
      body = await response.json();
    } catch {
      return this.#guess(trimmed, kind);
    }
    // A server that is busy or broken says nothing of the text.
    if (response.status >= 500) return this.#guess(trimmed, kind);
    const meaning = response.ok ? this.#meaning(body) : { ok: false, unfinished: body.code === "value-missing" || /^[−-]?[\d.,/ ]*$/.test(trimmed), feedback: body.detail };
    if (this.#known.size > REMEMBERED) this.#known.clear();
    this.#known.set(key, meaning);
    return meaning;
  }

  /** @returns {Meaning} */
  #meaning(body) {
    const typed = { kind: body.kind };
    if (body.kind === "switch") typed.closed = body.closed ?? false;
    else if (body.kind !== "wire" && body.kind !== TWO_WAY) typed.value = body.text;
    if (body.tolerance) typed.tolerance = body.tolerance;
    if (body.rated) typed.rated = body.rated;
    return { ok: true, feedback: body.feedback, typed, steps: body.steps, position: body.position, build: body.build, reading: body.reading };
  }

  /** The kind that a text's ending names. @returns {Meaning} */
  #guess(text, kind) {
    const away = "The server is away: taken as typed, checked later";
    if (kind) return { ok: true, feedback: away, typed: { kind, ...takenApart(text) } };
    if (text === "" || text === "wire") return { ok: true, feedback: "Enter makes it a wire", typed: { kind: "wire" } };
    if (text === TWO_WAY) return { ok: true, feedback: "A two-way switch", typed: { kind: TWO_WAY } };
    if (/^((open|closed) )?switch$/.test(text)) return { ok: true, feedback: "A switch", typed: { kind: "switch", closed: text.startsWith("closed") } };
    for (const [word, entry] of Object.entries(this.table.kinds)) {
      const unit = entry.quantity && this.table.quantities[entry.quantity].unit;
      const spellings = unit ? this.table.unitSpellings[unit] : [];
      const apart = takenApart(text);
      if (spellings.some((spelling) => apart.value.endsWith(spelling))) return { ok: true, feedback: `${away}: a ${entry.word}`, typed: { kind: word, ...apart } };
    }
    return { ok: false, unfinished: true, feedback: "The server is away: type a number with a unit, such as 22 µF, 9 V or 1.5 kΩ" };
  }
}
