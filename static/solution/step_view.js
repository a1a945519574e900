// One step of the worked solution on the page: its title, the reason, its formulas, and the network that it leaves.

import { html } from "../dom.js";
import { FormulaLine } from "./formula.js";
import { questionOf } from "./question.js";
import { reducedDrawing } from "./reduced.js";
import { withNames } from "./words.js";

/**
 * @typedef {{kind: string, title: string, parts: string[], conductors: string[], reason: string, lines: import("./formula.js").Line[],
 *   readings: Record<string, import("../solving.js").Reading>, sketch: import("../sketch.js").Sketch|null}} Step
 */

export class StepView {
  /**
   * @param {Step} step @param {number} number counted from 1 @param {boolean} told whether its result is shown
   * @param {{names: Set<string>, fresh: Set<string>, style: import("../drawing/picture.js").Style, tell: () => void}} with_
   */
  constructor(step, number, told, { names, fresh, style, tell }) {
    this.formulas = told ? step.lines.map((line) => new FormulaLine(line)) : [];
    const title = html("h3", { id: `step-${number}` }, html("span", { class: "number" }, html("span", { class: "spoken" }, "Step "), `${number}`), html("span", {}, ...withNames(step.title, names)));
    this.element = html("li", { class: "step", "aria-labelledby": `step-${number}` }, title);
    if (!told) {
      const button = html("button", { type: "button", class: "covered ask", onclick: tell }, html("b", {}, "?"), html("span", {}, ...withNames(questionOf(step), names), " ", html("small", {}, "Predict it first, then show it.")));
      button.setAttribute("aria-label", `Show step ${number}: ${questionOf(step)}`);
      this.element.append(button);
      return;
    }
    const drawing = step.sketch ? [reducedDrawing(step.sketch, style, fresh)] : [];
    const reason = step.reason ? [html("p", { class: "reason" }, ...withNames(step.reason, names))] : [];
    // A drawing in a row of its own follows the sentences; else they run round it.
    this.element.append(...(drawing[0]?.classList.contains("wide") ? [...reason, ...drawing] : [...drawing, ...reason]));
    if (this.formulas.length) this.element.append(html("div", { class: "formulas" }, ...this.formulas.map((formula) => formula.element)));
  }
}
