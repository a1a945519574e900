// What a teacher chooses for a handout, and the form it is chosen in.

import { need } from "../dom.js";
import { usualPaper } from "../files.js";
import { remembered } from "../look.js";

/** @typedef {import("./sheets.js").Choices} Choices */

const PAPERS = ["a4", "letter"];

const box = (id) => /** @type {HTMLInputElement} */ (need(id));
const list = (id) => /** @type {HTMLSelectElement} */ (need(id));

export class ChoiceForm {
  /** What the server proposes; the task goes back to it where the field is emptied. */
  #proposed = "";
  #edited = false;

  /** @param {() => void} changed */
  constructor(changed) {
    list("paper").value = usualPaper();
    box("zigzag").checked = remembered().zigzag === true;
    const form = /** @type {HTMLFormElement} */ (need("choices"));
    form.addEventListener("submit", (event) => event.preventDefault());
    form.addEventListener("change", changed);
    need("task").addEventListener("input", () => {
      this.#edited = box("task").value.trim() !== "";
      changed();
    });
    need("heading").addEventListener("input", changed);
    need("propose").addEventListener("click", () => {
      this.#edited = false;
      this.propose(this.#proposed);
      changed();
    });
  }

  /** The task that the network and its covers suggest; what a teacher has written stays. @param {string} task */
  propose(task) {
    this.#proposed = task;
    if (!this.#edited) box("task").value = task;
  }

  /** @param {string} title */
  entitle(title) {
    box("heading").value = title;
  }

  /** @param {{way: string, title: string}[]} ways @param {string} way the one that is shown */
  offerWays(ways, way) {
    const options = ways.map((each) => new Option(each.title, each.way, false, each.way === way));
    list("way").replaceChildren(...options);
    need("way-line").hidden = ways.length < 2;
  }

  /** The way of the worked solution that is chosen; empty before there is a choice. */
  get way() {
    return list("way").value;
  }

  /** @returns {Choices} */
  get choices() {
    const pages = list("which").value;
    return {
      title: box("heading").value.trim(),
      task: box("task").value,
      paper: /** @type {"a4"|"letter"} */ (PAPERS.find((paper) => paper === list("paper").value) ?? "a4"),
      question: pages !== "key",
      key: pages !== "question",
      room: /** @type {"lines"|"blank"|"none"} */ (list("room").value),
      tiles: box("with-tiles").checked,
      steps: box("with-steps").checked,
      zigzag: box("zigzag").checked,
    };
  }
}
