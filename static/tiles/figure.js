// One picture of tiles on the page: its heading, the drawing, a line about it, and its words for screen readers.

import { html, set, svg } from "../dom.js";
import { paint } from "../paint.js";
import { pictureNodes } from "./picture.js";
import { sentences } from "./spoken.js";

const HEADS = {
  capacitor: { title: "Charge across, voltage up", area: "area ÷ 2 = energy" },
  resistor: { title: "Current across, voltage up", area: "area = power" },
};

export class Figure {
  /** @param {"capacitor"|"resistor"} kind @param {(title: string, ...children: Node[]) => HTMLElement} frame @param {string} heading tag of the heading */
  constructor(kind, frame, heading) {
    this.kind = kind;
    const { title, area } = HEADS[kind];
    this.svg = svg("svg", { "aria-hidden": "true", focusable: "false" });
    this.line = html("p", { class: "tiles-line" });
    this.note = html("p", { class: "check" });
    this.words = html("ul", { class: "spoken" });
    this.covered = html("p", { class: "tiles-covered" });
    this.open = html("div", {}, this.svg, this.line, this.note, this.words);
    this.section = frame(title, html(heading, {}, html("span", {}, title), html("span", { class: "tiles-area" }, area)), this.covered, this.open);
  }

  /** @param {string} sentence why there is nothing to see */
  cover(sentence) {
    this.covered.replaceChildren(html("b", { "aria-hidden": "true" }, "?"), html("span", {}, sentence));
    this.covered.hidden = false;
    this.open.hidden = true;
    paint(this.svg, []);
    for (const each of [this.line, this.note, this.words]) each.replaceChildren();
  }

  /**
   * @param {import("./picture.js").Picture} picture @param {object} setting see `pictureNodes` @param {object} table shared/kinds.json
   * @param {import("../paint.js").Node[]} [beside] what else is drawn, at the right of it
   */
  draw(picture, solution, setting, table, beside = []) {
    this.covered.hidden = true;
    this.covered.replaceChildren();
    this.open.hidden = false;
    set(this.svg, { width: setting.width, height: setting.height });
    paint(this.svg, [...pictureNodes(picture, solution, setting), ...beside]);
    this.note.textContent = picture.note ?? "";
    this.note.hidden = !picture.note;
    // Nobody listens while the hand moves; at rest all is told.
    if (!setting.following) this.words.replaceChildren(...sentences(picture, table).map((each) => html("li", {}, each)));
  }

  /** The area of the whole picture in words. @param {import("./picture.js").Picture} picture */
  whole(picture) {
    if (!picture.tiled) return `In all ${picture.area.text}`;
    return `In all ${picture.height.text} × ${picture.width.text}${this.kind === "capacitor" ? " ÷ 2" : ""} = ${picture.area.text}`;
  }
}
