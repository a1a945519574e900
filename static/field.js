// The typing field: opens on a line, says while one types what the text will become, and hands on what it is.

import { html, need } from "./dom.js";
import { UNKNOWN } from "./panel/asked.js";
import { wholeValue, withUnit } from "./reading_text.js";

/**
 * @typedef {{kind: string, value?: string, tolerance?: string, rated?: string, closed?: boolean}} Typed what a text makes of a line
 * @typedef {{kind?: string, place?: string, text?: string, label: string, chips?: string[], optional?: boolean, typed?: boolean, before?: string, unit?: string, tolerance?: string,
 *   at: {left: number, right: number, top: number, bottom: number}, done: (typed: Typed) => void, cancelled?: () => void}} Request
 *   `kind` where the part is there already; `place` which of its values; `at` the box of what it is for, in pixels of the sheet
 */

/** Pixels between the field and what it is for. */
const BESIDE = 26;
const ASKS = "? asks what it must be";

export class TypingField {
  #request = null;
  #asked = 0;

  /** @param {import("./reading_text.js").TextReader} reader @param {object} kinds shared/kinds.json */
  constructor(reader, kinds) {
    this.reader = reader;
    this.kinds = kinds;
    this.place = need("field-place");
    /** Opens the form for a capacitor's build. @type {((wish: {text: string, done: (typed: Typed) => void, cancelled: () => void}) => void)|null} */
    this.buildForm = null;
  }

  /** Whether the value that is typed may be a question: the value of a part that is there. */
  get #mayAsk() {
    return this.#request?.kind !== undefined && this.#request.place === "value";
  }

  get isOpen() {
    return this.#request !== null;
  }

  /** @param {Request} request */
  open(request) {
    this.cancel();
    this.#request = request;
    const id = "typed";
    this.input = /** @type {HTMLInputElement} */ (
      html("input", { id, type: "text", maxlength: 160, autocomplete: "off", autocapitalize: "off", spellcheck: "false", enterkeyhint: "done", "aria-describedby": "typed-means" })
    );
    this.input.value = request.text ?? "";
    this.output = html("output", { id: "typed-means", for: id, "aria-live": "polite" });
    const done = html("button", { type: "button", class: "done", "aria-label": "Enter", title: "Enter" }, "Enter");
    done.addEventListener("click", () => this.accept());
    const chips = (request.chips ?? []).map((text) => {
      const chip = html("button", { type: "button" }, text);
      chip.addEventListener("click", () => this.#tap(text));
      return chip;
    });
    if (this.#mayAsk) {
      const ask = html("button", { type: "button", "aria-label": ASKS, title: ASKS }, UNKNOWN);
      ask.addEventListener("click", () => {
        this.input.value = UNKNOWN;
        this.accept();
      });
      chips.push(ask);
    }
    if (this.buildForm && (!request.kind || (request.kind === "capacitor" && request.place === "value"))) {
      const build = html("button", { type: "button", "aria-haspopup": "dialog" }, "Build…");
      build.addEventListener("click", () => this.#build());
      chips.push(build);
    }
    this.box = html("form", { class: "typing" }, html("label", { for: id }, request.label), this.input, this.output, html("div", { class: "chips" }, ...chips, done));
    this.box.addEventListener("submit", (event) => {
      event.preventDefault();
      this.accept();
    });
    this.box.addEventListener("keydown", (event) => {
      event.stopPropagation();
      if (event.key === "Escape") this.cancel();
    });
    this.input.addEventListener("input", () => this.#feel());
    this.place.append(this.box);
    this.#stand(request.at);
    this.input.focus({ preventScroll: true, focusVisible: false });
    if (!request.typed) this.input.select();
    this.#feel();
  }

  /** Puts the field beside what it is for, inside the sheet. @param {{left: number, right: number, top: number, bottom: number}} line */
  #stand(line) {
    const room = this.place.parentElement.getBoundingClientRect();
    const { width, height } = this.box.getBoundingClientRect();
    const [x, y] = [(line.left + line.right - width) / 2, (line.top + line.bottom - height) / 2];
    const beside = [
      { x: line.right + BESIDE, y },
      { x: line.left - width - BESIDE, y },
    ];
    const under = [
      { x, y: line.bottom + BESIDE },
      { x, y: line.top - height - BESIDE },
    ];
    const upright = line.bottom - line.top >= line.right - line.left;
    const fits = (spot) => spot.x >= 8 && spot.y >= 8 && spot.x + width <= room.width - 8 && spot.y + height <= room.height - 8;
    const within = (spot) => ({ x: Math.max(8, Math.min(room.width - width - 8, spot.x)), y: Math.max(8, Math.min(room.height - height - 8, spot.y)) });
    const overlaps = (spot) => spot.x < line.right && spot.x + width > line.left && spot.y < line.bottom && spot.y + height > line.top;
    const spots = upright ? [...beside, ...under] : [...under, ...beside];
    const best = spots.find(fits) ?? spots.map(within).find((spot) => !overlaps(spot)) ?? within(spots[0]);
    this.box.style.left = `${best.x}px`;
    this.box.style.top = `${best.y}px`;
  }

  #tap(text) {
    const words = Object.keys(this.kinds.kinds);
    if (words.includes(text)) {
      this.input.value = text === "wire" ? "" : text;
      this.accept();
      return;
    }
    this.input.value = `${this.input.value.replace(/\s*[^\d.,/\s]+$/u, "").trim()} ${text}`.trimStart();
    this.input.focus({ preventScroll: true, focusVisible: false });
    this.#feel();
  }

  /** What is typed, with the unit of the value it replaces where it has none. */
  #whole(request) {
    return request.kind ? withUnit(this.input.value, request.before ?? "", request.unit, request.tolerance) : this.input.value;
  }

  /** Live feedback on what the text will become. */
  async #feel() {
    const [request, turn] = [this.#request, (this.#asked += 1)];
    const text = this.#whole(request);
    const meaning = await this.reader.read(text, request);
    if (request !== this.#request || turn !== this.#asked) return;
    this.output.textContent = meaning.ok && text !== this.input.value ? wholeValue(meaning.typed) : meaning.feedback || (this.#mayAsk ? ASKS : "");
    this.output.classList.toggle("wrong", !meaning.ok && !meaning.unfinished);
  }

  /** Takes what is typed, or says why it cannot be taken. @returns {Promise<boolean>} whether it was taken */
  async accept() {
    const request = this.#request;
    if (!request) return true;
    const meaning = await this.reader.read(this.#whole(request), request);
    if (request !== this.#request) return true;
    if (!meaning.ok) {
      this.output.textContent = meaning.feedback;
      this.output.classList.add("wrong");
      this.input.focus({ preventScroll: true, focusVisible: false });
      return false;
    }
    this.#close();
    request.done(meaning.typed);
    return true;
  }

  /** The form for a capacitor's build takes over. */
  #build() {
    const request = this.#request;
    const text = this.#whole(request);
    this.#close();
    const { tolerance } = request;
    this.buildForm({ text, done: (typed) => request.done({ ...(tolerance ? { tolerance } : {}), ...typed }), cancelled: () => request.cancelled?.() });
  }

  cancel() {
    const request = this.#request;
    if (!request) return;
    this.#close();
    request.cancelled?.();
  }

  #close() {
    this.#request = null;
    this.box.remove();
    need("sheet").focus({ preventScroll: true, focusVisible: false });
  }
}
