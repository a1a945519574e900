// The strip of stages under the sheet: a small picture of each, the one shown, and what can be done with it.

import { html, svg } from "../dom.js";
import { STEP } from "../geometry.js";
import { node, paint } from "../paint.js";
import { picture } from "../drawing/picture.js";
import { LONGEST_NAME, MOST_STAGES, arranged, begun, described, ended, hasStages, isWhole, madeWhole, ownName, showing, shownStage, without } from "./sequence.js";

/** Size of a small picture, in pixels. */
const [WIDTH, HEIGHT] = [116, 72];
const LAYERS = ["bands", "discs", "ink", "joints", "signs"];
const NOTHING = { selected: new Set(), joints: new Set(), faulty: new Set(), pair: null };

export class StageStrip {
  /** The last good answer's stages, which stay while one of them has a fault. @type {object[]} */
  #known = [];
  /** Small pictures by the number of their stage, with what they were made of. @type {Map<number, {of: unknown[], image: SVGElement}>} */
  #drawn = new Map();
  /** Whether the stage that is shown takes the focus as soon as it is painted. */
  #follows = false;
  #loading = false;
  /** Whether the drawing is fitted to the room that the strip and its time line leave it. */
  #fits = false;

  /** @param {HTMLElement} place @param {HTMLElement} button begins and ends stages @param {import("../desk.js").Desk} desk @param {import("../look.js").Look} look */
  constructor(place, button, desk, look) {
    Object.assign(this, { place, button, desk, look });
    this.cards = html("div", { class: "stage-strip" });
    /** Loaded with the first stage. @type {import("./timeline.js").Timeline|null} */
    this.timeline = null;
    place.replaceChildren(this.cards);
    button.addEventListener("click", () => this.begin());
    place.addEventListener("keydown", (event) => this.#walk(event));
    // A time line that comes takes room from the drawing above it.
    new ResizeObserver(() => {
      if (!place.hidden && !desk.viewMoved) desk.keepInSight();
    }).observe(place);
  }

  /** The first stage is what is drawn; where there are stages the strip has the focus. */
  begin() {
    const { doc } = this.desk;
    this.#follows = true;
    if (hasStages(doc.sketch)) return;
    this.#fits = !this.desk.viewMoved;
    if (this.#fits) this.desk.fitSoon();
    doc.change(begun(doc.sketch));
  }

  /** Answers have the stages from here on where there are any. */
  ask() {
    this.desk.solving.include("stages", hasStages(this.desk.doc.sketch));
  }

  show() {
    const { doc, solving } = this.desk;
    const { sketch } = doc;
    const on = hasStages(sketch);
    this.place.hidden = !on;
    this.button.hidden = on;
    if (on && !this.timeline) this.#loadTimeline();
    this.timeline?.show();
    if (!on) {
      this.#known = [];
      return;
    }
    if (this.cards.querySelector("input:focus, textarea:focus")) return;
    if (solving.state !== "asking" && solving.stages) this.#known = solving.stages;
    const focus = /** @type {HTMLElement|null} */ (document.activeElement)?.dataset?.focus;
    const here = shownStage(sketch);
    this.cards.replaceChildren(
      html("ol", { class: "stage-cards", role: "list", "aria-label": "Stages" }, ...sketch.stages.map((stage, number) => this.#card(stage, number, number === here))),
      ...this.#faults(sketch),
      this.#details(sketch, here),
    );
    this.place.querySelector(".stage-cards .shown")?.scrollIntoView({ block: "nearest", inline: "nearest" });
    if (this.#follows) this.#focus();
    else if (focus) /** @type {HTMLElement|null} */ (this.place.querySelector(`[data-focus="${CSS.escape(focus)}"]`))?.focus({ preventScroll: true });
    this.#follows = false;
  }

  async #loadTimeline() {
    if (this.#loading) return;
    this.#loading = true;
    this.place.setAttribute("aria-busy", "true");
    try {
      const { Timeline } = await import("./timeline.js");
      this.timeline = new Timeline(this.desk);
      this.desk.timeline = this.timeline;
      this.place.append(this.timeline.place);
      this.desk.refresh();
      if (this.#fits && !this.desk.viewMoved) this.desk.fit();
    } catch {
      // The server is away; the next change asks again.
    }
    this.#loading = false;
    this.place.removeAttribute("aria-busy");
  }

  #card(stage, number, shown) {
    const faulty = (this.#known[number]?.faults.length ?? 0) > 0;
    const card = html("button", { type: "button", class: `stage${shown ? " shown" : ""}${faulty ? " faulty" : ""}`, "aria-current": shown ? "step" : null, "data-focus": `stage ${number}` });
    card.append(this.#drawing(number), html("span", { class: "stage-name" }, ...(ownName(stage) ? [html("b", {}, `${number + 1}`), ` ${stage.name}`] : [html("b", {}, `Stage ${number + 1}`)])));
    if (faulty) card.append(html("span", { class: "stage-fault" }, "!"), html("span", { class: "spoken" }, this.#known[number].faults.map((fault) => fault.text).join(" ")));
    card.addEventListener("click", () => this.#go(number));
    return html("li", {}, card);
  }

  /** What is wrong in which stage, in a line each. */
  #faults(sketch) {
    const lines = this.#known.slice(0, sketch.stages.length).flatMap(({ faults }, number) => faults.map((fault) => html("li", {}, html("button", { type: "button", onclick: () => this.#go(number) }, html("b", {}, `Stage ${number + 1}`), ` ${fault.text}`))));
    return lines.length ? [html("ul", { class: "stage-faults", role: "list", "aria-label": "What is wrong in each stage" }, ...lines)] : [];
  }

  /** The stage's small picture: that of the last time, as long as nothing that it shows has changed. */
  #drawing(number) {
    const { sketch } = this.desk.doc;
    const of = [this.#known[number], sketch.joints, sketch.parts, sketch.covered, this.look.zigzag];
    const last = this.#drawn.get(number);
    if (last && of.every((each, place) => each === last.of[place])) return last.image;
    const image = this.#drawnAnew(number);
    this.#drawn.set(number, { of, image });
    return image;
  }

  /** The network as the stage arranges it, with its conductors' potentials, without words. */
  #drawnAnew(number) {
    const { sketch } = this.desk.doc;
    const known = this.#known[number];
    const solution = known?.solution && Object.keys(known.solution.parts).length === sketch.parts.length ? known.solution : null;
    const style = { ...this.look.style, big: 1, overlays: { V: true, Q: true, U: true } };
    const drawn = picture({ ...sketch, parts: arranged(sketch, number), covered: undefined }, this.desk.doc.sketch.covered ? null : solution, style, NOTHING, () => false);
    const image = svg("svg", { width: WIDTH, height: HEIGHT, "aria-hidden": "true", focusable: "false" });
    if (!drawn.box) return image;
    const margin = STEP;
    const [x, y] = [drawn.box.left - margin, drawn.box.top - margin];
    const [w, h] = [drawn.box.right - drawn.box.left + 2 * margin, drawn.box.bottom - drawn.box.top + 2 * margin];
    image.setAttribute("viewBox", `${x} ${y} ${w} ${h}`);
    paint(image, LAYERS.map((layer) => node("g", { class: layer }, drawn.layers[layer], layer)));
    return image;
  }

  #details(sketch, here) {
    const { doc } = this.desk;
    const stage = sketch.stages[here];
    const field = (tag, key, label, limit, placeholder) => {
      const input = /** @type {HTMLInputElement|HTMLTextAreaElement} */ (html(tag, { maxlength: limit, "aria-label": label, placeholder, "data-focus": `stage-${key}`, autocomplete: "off", class: `stage-${key}` }));
      input.value = stage[key] ?? "";
      input.addEventListener("change", () => doc.change(described(doc.sketch, here, { [key]: input.value.trim().replace(/\s+/gu, " ") })));
      input.addEventListener("keydown", (/** @type {KeyboardEvent} */ event) => {
        event.stopPropagation();
        if (event.key === "Enter" || event.key === "Escape") {
          event.preventDefault();
          input.blur();
        }
      });
      return input;
    };
    const act = (words, what, focus) => html("button", { type: "button", class: "edged", onclick: what, "data-focus": focus }, words);
    const next = act("Next stage", () => this.desk.editing.nextStage(), "stage-next");
    /** @type {HTMLButtonElement} */ (next).disabled = sketch.stages.length >= MOST_STAGES;
    return html(
      "div",
      { class: "stage-details" },
      field("input", "name", `Name of stage ${here + 1}`, LONGEST_NAME, "name"),
      next,
      this.#changes(here),
      ...(isWhole(sketch, here) ? [] : [act("Drop what is not there", () => doc.change(madeWhole(doc.sketch, here)), "stage-whole")]),
      act("Remove this stage", () => doc.change(without(doc.sketch, here)), "stage-away"),
      act("End stages", () => doc.change(ended(doc.sketch)), "stage-end"),
      this.#whole(field("textarea", "text", `What happens in stage ${here + 1}`, 400, "what happens, in a sentence"), sketch, here),
    );
  }

  /**
   * A field as high as the longest sentence of any stage, so that all of it is seen and nothing moves from stage to stage: the
   * sentences lie behind it, unseen.
   */
  #whole(input, sketch, here) {
    const behind = sketch.stages.map(({ text }) => html("span", { "aria-hidden": "true" }, text ?? ""));
    input.rows = 1;
    input.addEventListener("input", () => (behind[here].textContent = `${input.value} `));
    return html("div", { class: "stage-told" }, ...behind, input);
  }

  /** Readings with what they were in the stage before, at choice. */
  #changes(here) {
    const toggle = html("button", { type: "button", class: "edged", "aria-pressed": String(this.look.changes), "data-focus": "stage-changes", title: "Readings with what they were in the stage before" }, "Show changes");
    toggle.addEventListener("click", () => this.look.toggleChanges());
    /** @type {HTMLButtonElement} */ (toggle).disabled = here === 0;
    return toggle;
  }

  #go(number) {
    const { doc } = this.desk;
    const count = doc.sketch.stages?.length ?? 0;
    if (number < 0 || number >= count || number === shownStage(doc.sketch)) return;
    this.desk.editing.begunStage = null;
    doc.turn(showing(doc.sketch, number));
    this.desk.announce(`Stage ${number + 1} of ${count}: ${doc.sketch.stages[number].name ?? ""}. ${doc.sketch.stages[number].text ?? ""}`);
  }

  #walk(event) {
    const by = { ArrowLeft: -1, ArrowRight: 1, ArrowUp: -1, ArrowDown: 1, PageUp: -1, PageDown: 1 }[event.key];
    if (!by || event.target.matches("input, textarea")) return;
    event.preventDefault();
    event.stopPropagation();
    this.#follows = true;
    this.#go(shownStage(this.desk.doc.sketch) + by);
  }

  #focus() {
    /** @type {HTMLElement|null} */ (this.place.querySelector(".stage.shown"))?.focus({ preventScroll: true });
  }
}
