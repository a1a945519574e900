// The list of values that all columns share, and the list of a changed copy's own.

import { html, nameElement, set } from "../dom.js";
import { wholeValue } from "../reading_text.js";
import { goneOver, isSwitch, partNamed, setFields, stateOf, throwing } from "../sketch.js";
import { EMF, MOST_PARTS, arranges, comparable, withSetting } from "./comparison.js";
import { ValueControl } from "./value_control.js";

/** @typedef {import("./comparison.js").Compared} Compared */
/** @typedef {{doc: import("../document.js").SheetDocument, reader: import("../reading_text.js").TextReader, announce: (text: string) => void}} Desk */

/** Keeps one element to a name, so that what is being dragged stays on the page. */
class Items {
  #made = new Map();

  /** @param {HTMLElement} place @param {string[]} keys @param {(key: string) => object} make */
  constructor(place) {
    this.place = place;
  }

  /** @param {string[]} keys in order @param {(key: string) => {item: HTMLElement}} make @returns {object[]} what was made for each */
  keep(keys, make) {
    for (const [key, { item }] of this.#made)
      if (!keys.includes(key)) {
        item.remove();
        this.#made.delete(key);
      }
    return keys.map((key, index) => {
      let entry = this.#made.get(key);
      if (!entry) this.#made.set(key, (entry = make(key)));
      if (this.place.children[index] !== entry.item) this.place.insertBefore(entry.item, this.place.children[index] ?? null);
      return entry;
    });
  }
}

/** How a control changes the document. @param {Desk} desk @param {string} label @param {(whole: Compared, worth: import("./value_control.js").Worth) => Compared} put */
function use(desk, label, kind, put) {
  const { doc, reader } = desk;
  let base = doc.sketch;
  return {
    label,
    kind,
    reader,
    preview: (worth) => {
      if (doc.sketch === doc.settled) base = doc.sketch;
      doc.preview(put(base, worth));
    },
    settle: () => doc.settle(),
    cancel: () => doc.cancelPreview(),
    change: (worth) => {
      doc.change(put(doc.sketch, worth));
      desk.announce(`${label}: ${wholeValue(worth)}`);
    },
  };
}

export class SharedValues {
  #items;
  #desk;

  /** @param {HTMLElement} place @param {Desk} desk */
  constructor(place, desk) {
    this.#items = new Items(place);
    this.#desk = desk;
  }

  /** @param {object|null} answer the last one, which tells what is compared */
  show(answer) {
    const whole = this.#desk.doc.sketch;
    const chosen = new Set(whole.compare.parts ?? answer?.parts ?? []);
    const shown = comparable(whole);
    const batteries = whole.parts.filter(({ kind }) => kind === "battery");
    const keys = [...(batteries.length ? batteries.map(({ name }) => name) : arranges(whole) ? ["emf"] : []), ...shown.map(({ name }) => name)];
    const several = shown.length > 1;
    for (const entry of this.#items.keep(keys, (key) => this.#make(key))) {
      const part = partNamed(whole, entry.key);
      entry.control.show(part ?? { value: whole.compare.emf ?? EMF });
      if (!entry.box) continue;
      entry.box.hidden = !several;
      entry.box.checked = chosen.has(entry.key);
      entry.box.disabled = chosen.has(entry.key) ? chosen.size === 1 : chosen.size >= MOST_PARTS;
      entry.item.classList.toggle("out", !chosen.has(entry.key));
    }
  }

  #make(key) {
    const { doc } = this.#desk;
    const part = partNamed(doc.sketch, key);
    const put = part ? (whole, worth) => setFields(whole, key, { tolerance: undefined, ...worth }) : (whole, { value }) => withSetting(whole, { emf: value });
    const control = new ValueControl(use(this.#desk, part ? `value of ${key}` : "emf of the battery", part?.kind ?? "battery", put));
    const entry = { key, control, item: html("li", {}), box: null };
    if (part && part.kind !== "battery") {
      entry.box = /** @type {HTMLInputElement} */ (html("input", { type: "checkbox", "aria-label": `compare ${key}` }));
      entry.box.addEventListener("change", () => this.#choose(key, entry.box.checked));
      entry.item.append(entry.box);
    }
    entry.item.append(part ? nameElement(key) : html("span", {}, "Battery"), control.element);
    return entry;
  }

  #choose(name, wanted) {
    const { doc } = this.#desk;
    const chosen = new Set(doc.sketch.compare.parts ?? this.last ?? []);
    if (wanted) chosen.add(name);
    else chosen.delete(name);
    doc.change(withSetting(doc.sketch, { parts: comparable(doc.sketch).map((part) => part.name).filter((each) => chosen.has(each)) }));
  }

  /** The parts that the server chose, where nobody has. @type {string[]|undefined} */
  last;
}

/** What a part has where an entry is left out. */
const LEFT_OUT = { value: "", tolerance: null, closed: false, rests: "first" };

/** What a changed copy has of its own: every value and every switch of the network, with what it was. */
export class CopyValues {
  #items;
  #desk;

  /** @param {Desk} desk */
  constructor(desk) {
    this.#desk = desk;
    this.place = html("ul", { class: "value-list copy", "aria-label": "Values of the changed copy" });
    this.#items = new Items(this.place);
  }

  show() {
    const whole = this.#desk.doc.sketch;
    const parts = whole.parts.filter(({ kind }) => kind !== "wire");
    for (const { key, item, control, toggle, was, reset } of this.#items.keep(parts.map(({ name }) => name), (name) => this.#make(name))) {
      const part = partNamed(whole, key);
      const change = whole.compare.changed?.[key];
      item.classList.toggle("changed", change !== undefined);
      control?.show({ ...part, ...change });
      if (toggle) {
        const there = { ...part, ...change };
        toggle.textContent = stateOf(there);
        set(toggle, { "aria-label": `${key} is ${stateOf(there)}: ${throwing(there).toLowerCase()} in the copy` });
      }
      was.textContent = change === undefined ? "" : `was ${isSwitch(part) ? stateOf(part) : wholeValue(part) || "without a value"}`;
      reset.hidden = change === undefined;
    }
  }

  #put(whole, name, change) {
    const { [name]: before, ...others } = whole.compare.changed ?? {};
    const part = partNamed(whole, name);
    const same = change === undefined || Object.entries(change).every(([field, content]) => (part[field] ?? LEFT_OUT[field]) === content);
    const changed = same ? others : { ...others, [name]: change };
    return withSetting(whole, { changed: Object.keys(changed).length ? changed : undefined });
  }

  #make(name) {
    const { doc } = this.#desk;
    const part = partNamed(doc.sketch, name);
    const entry = { key: name, item: html("li", {}), control: null, toggle: null, was: html("span", { class: "was" }), reset: null };
    entry.reset = html("button", { type: "button", class: "edged", "aria-label": `Take back the change of ${name}` }, "Take back");
    entry.reset.addEventListener("click", () => doc.change(this.#put(doc.sketch, name, undefined)));
    if (isSwitch(part)) {
      entry.toggle = html("button", { type: "button", class: "value" });
      entry.toggle.addEventListener("click", () => {
        const over = goneOver({ ...partNamed(doc.sketch, name), ...doc.sketch.compare.changed?.[name] });
        doc.change(this.#put(doc.sketch, name, "rests" in over ? { rests: over.rests ?? "first" } : over));
      });
    } else entry.control = new ValueControl(use(this.#desk, `value of ${name} in the copy`, part.kind, (whole, worth) => this.#put(whole, name, { ...(part.tolerance ? { tolerance: null } : {}), ...worth })));
    entry.item.append(nameElement(name), entry.toggle ?? entry.control.element, entry.was, entry.reset);
    return entry;
  }
}
