// The ledger: the table of parts and readings, which is also where values and names are edited.

import { html, nameElement, withSubscripts } from "../dom.js";
import { isSwitch, stateOf, throwing } from "../sketch.js";
import { isBuilt, isSeenPast, unbroken } from "../builds/words.js";
import { hasStages } from "../stages/sequence.js";
import { wholeValue, withUnit } from "../reading_text.js";
import { withSpread } from "../tolerance/bar.js";
import { showsRatings, warningMark } from "../ratings/section.js";
import { shareOf, strainOf } from "../ratings/strains.js";
import { withFound } from "./asked.js";
import { editable, readingButton } from "./cells.js";

/** The mark of a voltage past the breakdown of a dielectric. */
export const pastMark = () => html("span", { class: "past-mark" }, warningMark(), " past breakdown");

/** Columns of each kind's table, after the part's name: the typed value, then readings. */
const TABLES = [
  { kind: "capacitor", title: "Capacitors", value: "Capacitance", readings: { voltage: "Voltage", charge: "Charge", energy: "Energy" }, total: "energy" },
  { kind: "resistor", title: "Resistors", value: "Resistance", readings: { voltage: "Voltage", current: "Current", power: "Power" }, total: "power" },
];
const BATTERY = { charge: "Charge", work: "Work", current: "Current", power: "Power" };

/** A value with its tolerance in a line of its own, and with what it is in a lot; null where it has none. */
function toleranceOf({ name, value, tolerance }, place, lot) {
  if (place !== "value" || !tolerance) return null;
  const drawn = lot?.values[name] ? [" ", html("span", { class: "tolerance" }, html("b", {}, `here ${lot.values[name].text}`))] : [];
  return html("span", { class: "valued" }, `${withSubscripts(value ?? "value?")} `, html("span", { class: "tolerance" }, tolerance), ...drawn);
}

export class Ledger {
  /** @param {import("../desk.js").Desk} desk @param {number} most rows to write out, all tables together */
  constructor(desk, isCovered, marked, most = Infinity) {
    const solution = desk.shownSolution;
    Object.assign(this, { desk, isCovered, marked, solution: desk.readingsShown?.(solution) ?? solution, sketch: desk.shownSketch });
    this.told = new Map(withFound(this.sketch, this.solution, isCovered).parts.map((part) => [part.name, part.value]));
    this.room = most;
  }

  /** @returns {HTMLElement[]} */
  tables() {
    const tables = TABLES.map((columns) => this.#table(columns)).filter((table) => table !== null);
    const batteries = this.#batteries();
    if (batteries) tables.push(batteries);
    const switches = this.#switches();
    if (switches) tables.push(switches);
    return tables;
  }

  #parts(kind) {
    return this.sketch.parts.filter((part) => part.kind === kind);
  }

  /** A row for each of these parts, as long as there is room. @param {object[]} parts @param {(part: object) => HTMLElement} row */
  #rows(parts, row) {
    const written = parts.slice(0, this.room);
    this.room -= written.length;
    return written.map(row);
  }

  #readings(part) {
    return this.solution?.parts[part.name] ?? {};
  }

  #heads(title, columns) {
    const cells = [title, ...columns].map((text) => html("th", { scope: "col" }, text));
    return html("thead", {}, html("tr", {}, ...cells));
  }

  #row(part, ...cells) {
    const classes = [this.marked.selected.has(part.name) && "chosen", this.marked.faulty.has(part.name) && "faulty"].filter(Boolean);
    const row = html("tr", { class: classes.join(" ") || null }, html("th", { scope: "row" }, this.#name(part)), ...cells.map((cell) => html("td", {}, ...(cell ? [cell] : []))));
    row.addEventListener("click", (event) => {
      if (!(/** @type {Element} */ (event.target).closest("button, input"))) this.desk.doc.select([part.name]);
    });
    return row;
  }

  #name(part) {
    return editable({
      shown: nameElement(part.name),
      text: part.name,
      label: `Name ${part.name}`,
      focus: `${part.name}.name`,
      className: "name",
      take: (text) => this.desk.editing.renamePart(part.name, text),
      taken: this.desk.refresh,
    });
  }

  #value(part, place = "value", what = "value") {
    const text = place === "value" ? wholeValue(part) : (part[place] ?? "");
    // What was found stands behind its “?”; to be typed over is the “?” alone.
    const shown = place === "value" ? { ...part, value: this.told.get(part.name) } : part;
    const told = place === "value" ? wholeValue(shown) : text;
    const built = place === "value" && isBuilt(part, this.desk.kinds) ? this.#built(part, told) : null;
    return editable({
      className: built ? "built-value" : "",
      shown: built ?? toleranceOf(shown, place, this.solution?.lot) ?? (withSubscripts(told) || { value: "value?", initial: "0 V", internal: "0 Ω", rated: "V?" }[place]),
      text,
      label: `${what} of ${part.name}: ${told || "none"}`,
      focus: `${part.name}.${place}`,
      take: async (typed) => {
        const takes = place === "value" ? undefined : this.desk.kinds[part.kind].optional[place];
        const whole = withUnit(typed, part[place] ?? "", takes && this.desk.table.quantities[takes].unit, part.tolerance);
        const meaning = await this.desk.reader.read(whole, { kind: part.kind, place, optional: place !== "value" });
        if (!meaning.ok) return meaning.feedback;
        this.desk.editing.setTyped(part.name, place, meaning.typed);
        return null;
      },
      taken: this.desk.refresh,
    });
  }

  /** Of a build its capacitance, then its words with what was found, and whether it is past breakdown. */
  #built(part, text) {
    const readings = this.#readings(part);
    const shown = readings.capacitance && !this.isCovered(`${part.name}.capacitance`) ? [html("span", {}, readings.capacitance.text)] : [];
    const drawn = this.solution?.lot?.values[part.name];
    if (drawn) shown.push(html("b", { class: "tolerance" }, `here ${drawn.text}`));
    return html("span", {}, ...shown, html("small", {}, unbroken(text)), ...(isSeenPast(readings, (reading) => this.isCovered(`${part.name}.${reading}`)) ? [pastMark()] : []));
  }

  #reading(part, reading) {
    const found = this.#readings(part)[reading];
    return found ? this.#cell(found, `${part.name}.${reading}`, this.marked.selected.has(part.name)) : null;
  }

  #cell(reading, key, chosen) {
    return withSpread(readingButton(reading, key, this.desk, this.isCovered), reading, key, this.desk.spreads, this.isCovered(key), chosen);
  }

  /** A capacitor's value, under it what it is rated for with the share of that which it comes to, and what it stands reversed. */
  #rated(part) {
    const line = html("span", {}, "rated ", this.#value(part, "rated", "rated voltage"));
    const cell = html("div", { class: "rated" }, this.#value(part), line);
    const strain = strainOf(this.solution, part.name, this.isCovered);
    if (this.solution?.ratings?.strains[part.name] && !strain) line.append(" ", html("span", { class: "covered" }, "?"));
    else if (strain) {
      const usable = strain.limit?.kind === "usable";
      const share = html("span", { class: `share${strain.isPast ? " past" : ""}${usable ? " usable" : ""}`, title: strain.sentence }, ...(strain.isPast ? [warningMark(), " "] : []), usable ? shareOf(strain).replace(" of ", "\u00a0of ").replace(/ (V|mV|kV) usable/u, "\u00a0$1\u00a0usable").replace(" %", "\u00a0%") : strain.share);
      if (strain.isPast) share.append(html("span", { class: "spoken" }, ", past its limit"));
      line.append(" ", share);
    }
    if (part.reverse !== undefined) cell.append(html("span", {}, "reversed ", this.#value(part, "reverse", "largest reversed voltage")));
    return cell;
  }

  #table({ kind, title, value, readings, total }) {
    const parts = this.#parts(kind);
    if (!parts.length) return null;
    if (this.solution?.moment && kind === "capacitor") readings = { voltage: "Voltage", charge: "Charge", current: "Current", energy: "Energy" };
    const starts = kind === "capacitor" && parts.some((part) => part.initial !== undefined);
    const rated = kind === "capacitor" && showsRatings(this.sketch);
    const heads = [value, ...(starts ? ["Starts at"] : []), ...Object.values(readings)];
    const rows = this.#rows(parts, (part) =>
      this.#row(part, rated ? this.#rated(part) : this.#value(part), ...(starts ? [this.#value(part, "initial", "starting voltage")] : []), ...Object.keys(readings).map((reading) => this.#reading(part, reading))),
    );
    const table = html("table", { class: "ledger", "aria-label": title }, this.#heads("Part", heads), html("tbody", {}, ...rows));
    const foot = this.#foot(kind, total, heads.length);
    if (foot) table.append(foot);
    return table;
  }

  /**
   * Whether one battery alone makes all readings of parts of one kind, which begin without charge: only then are charge and
   * energy of all parts those of the equivalent across it.
   */
  #oneAcross() {
    const later = (this.sketch.stage ?? 0) > 0;
    const kinds = ["capacitor", "resistor"].filter((kind) => this.#parts(kind).length);
    return this.#parts("battery").length === 1 && kinds.length === 1 && !later && !this.sketch.parts.some((part) => part.initial !== undefined);
  }

  /** "Across E1" where that is all there is; else the total alone. */
  #foot(kind, total, columns) {
    if (!this.solution) return null;
    const batteries = this.#parts("battery");
    const sum = this.solution.totals[total];
    const cell = (reading, key) => html("td", {}, ...(reading ? [this.#cell(reading, key, batteries.some((part) => this.marked.selected.has(part.name)))] : []));
    const readings = this.#oneAcross() ? this.#readings(batteries[0]) : {};
    if (readings.equivalent) {
      const name = batteries[0].name;
      const middle = kind === "capacitor" ? "charge" : "current";
      const cells = [cell(readings.equivalent, `${name}.equivalent`), cell(readings.voltage, `${name}.voltage`), cell(readings[middle], `${name}.${middle}`), cell(sum, `total.${total}`)];
      return html("tfoot", {}, html("tr", {}, html("th", { scope: "row" }, "Across ", nameElement(name)), ...cells));
    }
    if (!sum) return null;
    const label = html("th", { scope: "row", colspan: columns }, kind === "capacitor" ? "Stored in all" : "Power in all");
    return html("tfoot", {}, html("tr", {}, label, cell(sum, `total.${total}`)));
  }

  #batteries() {
    const parts = this.#parts("battery");
    if (!parts.length) return null;
    const inside = parts.some((part) => part.internal !== undefined);
    const shown = Object.keys(BATTERY).filter((reading) => parts.some((part) => this.#readings(part)[reading] && !this.#idle(part, reading)));
    const sees = !this.#oneAcross() && parts.some((part) => this.#readings(part).equivalent);
    const heads = ["Emf", ...(inside ? ["Inside", "Voltage"] : []), ...(sees ? ["Equivalent"] : []), ...shown.map((reading) => BATTERY[reading])];
    const rows = this.#rows(parts, (part) =>
      this.#row(
        part,
        this.#value(part, "value", "emf"),
        ...(inside ? [this.#value(part, "internal", "internal resistance"), this.#reading(part, "voltage")] : []),
        ...(sees ? [this.#reading(part, "equivalent")] : []),
        ...shown.map((reading) => this.#reading(part, reading)),
      ),
    );
    return html("table", { class: "ledger", "aria-label": "Batteries" }, this.#heads("Battery", heads), html("tbody", {}, ...rows));
  }

  /** Where no current remains a column of zeros would say nothing: charge and work are there instead. */
  #idle(part, reading) {
    const readings = this.#readings(part);
    if (this.solution.moment) return false;
    return (reading === "current" || reading === "power") && readings[reading].value === 0 && readings.charge !== undefined;
  }

  #switches() {
    const parts = this.sketch.parts.filter(isSwitch);
    if (!parts.length) return null;
    const rows = this.#rows(parts, (part) => {
      const button = html("button", { type: "button", "data-focus": `${part.name}.closed`, "aria-label": `${part.name} is ${stateOf(part)}: ${throwing(part).toLowerCase()}` }, stateOf(part));
      button.addEventListener("click", () => this.desk.editing.toggleSwitch(part.name));
      return this.#row(part, button, this.#reading(part, "voltage"));
    });
    const told = hasStages(this.sketch) ? [] : [html("caption", {}, "Readings are for the switches as they stand, counted from the start each time. “Before and after” goes from one to the next.")];
    return html("table", { class: "ledger", "aria-label": "Switches" }, ...told, this.#heads("Switch", ["State", "Voltage"]), html("tbody", {}, ...rows));
  }
}
