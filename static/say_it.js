// The say-it line: shows the network on the sheet as one line of text, and draws what is typed into it.

import { html, need, textWidth } from "./dom.js";
import { post } from "./post.js";

/**
 * @typedef {{text: string|null, misfit: string|null}} Line
 * @typedef {{code: string, text: string, at?: [number, number], instead?: string[]}} Fault
 * @typedef {{sketch: import("./sketch.js").Sketch, line: Line, makes: string|null}} Described
 */

/** Milliseconds without a keystroke after which the line says what it will become. */
const PAUSE = 250;
const HOW = "+ is series, || is parallel, brackets say what belongs together. Enter draws it.";
const AWAY = "The server is away: the line is drawn when it is back.";

/** Whether two sketches are drawn alike, in whatever order their entries stand. */
function alike(one, other) {
  const told = ({ joints, parts, zero, probes, covered }) =>
    JSON.stringify([Object.entries(joints).sort(), parts.map((part) => Object.entries(part).sort()), zero ?? "", probes ?? [], covered ?? []]);
  return told(one) === told(other);
}

export class SayIt {
  /** The line of the sheet as last told. @type {Line} */
  #line = { text: "", misfit: null };
  /** Whether the text in the field is somebody's own, not yet drawn. */
  #draft = false;
  #turn = 0;
  #pausing = 0;
  /** The sketch that the server was last asked to write the line of, where no answer brought one. */
  #asked = null;
  /** @type {Fault[]} */
  #faults = [];

  /** @param {import("./desk.js").Desk} desk @param {string} url */
  constructor(desk, url) {
    this.desk = desk;
    this.url = url;
    this.input = /** @type {HTMLInputElement} */ (need("line"));
    this.example = this.input.placeholder;
    this.input.addEventListener("input", () => this.#typed());
    this.input.addEventListener("focus", () => this.#explain());
    this.input.addEventListener("blur", () => this.#leave());
    this.input.addEventListener("scroll", () => this.#mark());
    this.input.addEventListener("keydown", (event) => this.#key(event));
    need("say-it").addEventListener("submit", (event) => {
      event.preventDefault();
      this.#draw();
    });
    new ResizeObserver(() => this.#mark()).observe(this.input);
    desk.doc.listen((what) => {
      // What was begun here and left gives way to what is done on the sheet.
      if (what === "sketch" && this.#draft && document.activeElement !== this.input) this.#restore();
    });
    desk.solving.include("line", true);
  }

  /** There is news of the readings: the line goes with them, as long as nobody is changing it. */
  follow() {
    const { solving, doc } = this.desk;
    if (solving.state === "current" && solving.solution.line) this.#take(solving.solution.line);
    else if (solving.state === "fault" && this.#asked !== doc.settled) this.#askForLine(doc.settled);
  }

  /** A sheet whose network cannot be solved can have a line all the same. */
  async #askForLine(sketch) {
    this.#asked = sketch;
    const answer = await post(this.url, JSON.stringify({ sketch }));
    if (answer?.ok && this.#asked === sketch && this.desk.solving.state === "fault") this.#take(answer.body.line);
  }

  /** @param {Line} line */
  #take(line) {
    this.#line = line;
    if (!this.#draft) this.#show();
  }

  /** The field shows the line of the sheet; the caret stays. */
  #show() {
    const { text, misfit } = this.#line;
    const caret = this.input.selectionEnd;
    if (this.input.value !== (text ?? "")) this.input.value = text ?? "";
    if (document.activeElement === this.input) this.input.setSelectionRange(caret, caret);
    const held = misfit ?? this.example;
    if (this.input.placeholder !== held) this.input.placeholder = held;
    // A placeholder has one line, which a small screen cuts: what does not fit a line of text is written over the field.
    need("line-misfit").textContent = misfit ?? "";
  }

  /** Whatever was typed is given up. */
  #restore() {
    this.#stop();
    this.#draft = false;
    this.#show();
    this.#say("");
  }

  /** Whatever was asked about the text in the field no longer matters. */
  #stop() {
    clearTimeout(this.#pausing);
    this.#turn += 1;
  }

  #explain() {
    if (!this.#draft) this.#say(this.#line.misfit ? `${this.#line.misfit} What is typed here takes the place of the drawing.` : HOW);
  }

  #leave() {
    if (!this.#draft) this.#say("");
  }

  #key(event) {
    if (event.key === "Escape") {
      if (this.#draft) {
        this.#restore();
        this.#explain();
      } else need("sheet").focus({ preventScroll: true });
    } else if ((event.ctrlKey || event.metaKey) && event.key.toLowerCase() === "z" && !this.#draft) {
      // Nothing is typed that could be taken back: what was drawn is.
      event.preventDefault();
      if (event.shiftKey) this.desk.doc.redo();
      else this.desk.doc.undo();
    }
    event.stopPropagation();
  }

  #typed() {
    this.#stop();
    this.#draft = this.input.value !== (this.#line.text ?? "");
    if (!this.#draft) return this.#restore();
    this.#say("");
    this.#pausing = setTimeout(() => this.#feel(), PAUSE);
  }

  /** What the text will become, or what it lacks so far, in quiet words. */
  async #feel() {
    const turn = this.#turn;
    const text = this.input.value;
    if (!text.trim()) return this.#say(HOW);
    const answer = await post(this.url, JSON.stringify({ sketch: this.desk.doc.settled, text }));
    if (turn !== this.#turn) return;
    if (answer === null) this.#say(AWAY);
    else if (answer.ok) this.#say(`Enter draws ${answer.body.makes}.`);
    else this.#say(answer.body.errors[0].text, answer.body.errors);
  }

  async #draw() {
    const text = this.input.value;
    if (!this.#draft || !text.trim()) return this.#restore();
    this.#stop();
    const turn = this.#turn;
    const { doc } = this.desk;
    doc.cancelPreview();
    const sketch = doc.sketch;
    const answer = await post(this.url, JSON.stringify({ sketch, text }));
    if (turn !== this.#turn) return;
    if (answer === null) return this.#refuse([{ code: "away", text: AWAY }]);
    if (!answer.ok) return this.#refuse(answer.body.errors);
    if (doc.sketch !== sketch) return this.#draw();
    const { sketch: drawn, line, makes } = answer.body;
    this.#draft = false;
    this.#take(line);
    this.#say("");
    if (alike(sketch, drawn)) return;
    if (JSON.stringify(Object.entries(sketch.joints).sort()) !== JSON.stringify(Object.entries(drawn.joints).sort())) this.desk.fitSoon();
    doc.change(drawn);
    this.desk.announce(`Drawn: ${makes}`);
  }

  /** Says what is wrong, at its place; the sheet and the text stay as they are. @param {Fault[]} faults */
  #refuse(faults) {
    this.#say("", faults, faults[0].text);
    const place = faults[0].at?.[1];
    if (place !== undefined && document.activeElement === this.input) {
      const caret = this.#units(place);
      this.input.setSelectionRange(caret, caret);
    }
    this.#mark();
  }

  /** Words above the line. @param {string} means @param {Fault[]} [faults] where it is not understood @param {string} [wrong] said aloud */
  #say(means, faults = [], wrong = "") {
    need("line-means").textContent = means;
    need("line-wrong").textContent = wrong;
    const instead = faults[0]?.instead ?? [];
    need("line-instead").hidden = instead.length === 0;
    need("line-instead").replaceChildren(...instead.map((text) => this.#offer(text)));
    need("line-words").classList.toggle("silent", !means && !wrong);
    this.input.setAttribute("aria-invalid", String(wrong !== ""));
    this.#faults = faults;
    need("line-places").classList.toggle("wrong", wrong !== "");
    this.#mark();
  }

  /** A line that may have been meant. @param {string} text */
  #offer(text) {
    const button = html("button", { type: "button" }, text);
    // The field keeps the focus, so that what is offered does not go before it is pressed.
    button.addEventListener("pointerdown", (event) => event.preventDefault());
    button.addEventListener("click", () => {
      this.input.value = text;
      this.#draft = true;
      this.input.focus();
      this.#draw();
    });
    return button;
  }

  /** Characters as the server counts them → places in the field's text. @param {number} count */
  #units(count) {
    return [...this.input.value].slice(0, count).join("").length;
  }

  /** Underlines the places of the faults. */
  #mark() {
    // Without a fault there is nothing to measure.
    if (!this.#faults.length) return need("line-places").replaceChildren();
    const { fontStyle, fontWeight, fontSize, fontFamily } = getComputedStyle(this.input);
    const font = `${fontStyle} ${fontWeight} ${fontSize} ${fontFamily}`;
    const room = need("line-places").clientWidth;
    const marks = this.#faults.flatMap(({ at }) => {
      if (!at) return [];
      const [start, end] = at.map((count) => this.#units(count));
      const left = textWidth(this.input.value.slice(0, start), font) - this.input.scrollLeft;
      const width = textWidth(this.input.value.slice(start, end), font);
      const [from, to] = [Math.max(0, left), Math.min(room, left + Math.max(width, 9))];
      if (from >= to) return [];
      const mark = html("span", {});
      mark.style.left = `${from}px`;
      mark.style.width = `${to - from}px`;
      return [mark];
    });
    need("line-places").replaceChildren(...marks);
  }
}
