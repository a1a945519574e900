// The section on why capacitors in parallel or in series are like one: plates that slide together when a button is pressed.

import { html, nameElement, svg } from "../dom.js";
import { paint } from "../paint.js";
import { mergePicture } from "./merge.js";
import { unbroken } from "./words.js";

/** @typedef {import("./merge.js").Merge} Merge */

const HEADS = { parallel: ["Why ", " in parallel add"], series: ["Why ", " in series make one wider gap"] };

/** "C1, C2 and C3", as names are written. @param {Merge} merge @returns {(Node|string)[]} */
const named = ({ pieces }) => pieces.flatMap(({ part }, index) => [index === 0 ? "" : index === pieces.length - 1 ? " and " : ", ", nameElement(part)]);

export class MergeView {
  #key = "";
  #together = false;

  /** @param {import("../desk.js").Desk} desk */
  constructor(desk) {
    this.desk = desk;
  }

  /** Nothing where the selected parts do not belong to one group; where one part is selected, the way to its group. @param {number} width in pixels @returns {HTMLElement|null} */
  section(width) {
    const { parts, joints } = this.desk.doc.selection;
    const merges = /** @type {Merge[]} */ (this.desk.solving.solution?.builds?.merges ?? []);
    const merge = joints.size ? undefined : merges.find(({ pieces }) => parts.size && [...parts].every((name) => pieces.some(({ part }) => part === name)));
    const key = merge && parts.size > 1 ? `${merge.kind} ${merge.pieces.map(({ part }) => part).join(" ")}` : "";
    if (key !== this.#key) [this.#key, this.#together] = [key, false];
    if (!merge) return null;
    return parts.size === 1 ? this.#way(merge) : this.#picture(merge, width);
  }

  #way(merge) {
    const [before, after] = HEADS[merge.kind];
    const button = html("button", { type: "button", class: "edged", "data-focus": "merge" }, before, ...named(merge), after);
    button.addEventListener("click", () => this.desk.doc.select(merge.pieces.map(({ part }) => part)));
    return html("section", { class: "merge", "aria-label": "Together like one" }, button);
  }

  /** @param {Merge} merge @param {number} width */
  #picture(merge, width) {
    const [before, after] = HEADS[merge.kind];
    const numbers = !this.desk.doc.sketch.covered?.length;
    const image = svg("svg", { role: "img", "aria-label": `${merge.pieces.map(({ part }) => part).join(", ")} as plates` });
    const notes = html("p", { class: "check" });
    const button = html("button", { type: "button", class: "edged", "data-focus": "merge" });
    const sentence = html("p", { class: "merge-why" });
    const draw = () => {
      const big = parseFloat(getComputedStyle(document.documentElement).fontSize) / 16;
      const drawn = mergePicture(merge, { width, big, together: this.#together, numbers });
      for (const [name, value] of Object.entries({ width: drawn.width, height: drawn.height, viewBox: `0 0 ${drawn.width} ${drawn.height}` })) image.setAttribute(name, String(value));
      paint(image, drawn.nodes);
      notes.textContent = drawn.notes.join(" ");
      notes.hidden = drawn.notes.length === 0;
      button.textContent = this.#together ? "Take them apart" : merge.kind === "parallel" ? "Slide them together" : "Lay them together";
      sentence.textContent = !this.#together ? "" : numbers ? unbroken(merge.sentence) : "With readings covered the numbers are left out.";
    };
    button.addEventListener("click", () => {
      this.#together = !this.#together;
      draw();
      this.desk.announce(this.#together ? sentence.textContent : "Taken apart");
    });
    draw();
    return html("section", { class: "merge", "aria-label": "Together like one" }, html("h2", {}, html("span", {}, before, ...named(merge), after)), html("div", { class: "build-picture" }, image), notes, html("p", {}, button), sentence);
  }
}
