// Files that are made of a sheet: what the server makes (PDF, CSV, the page for a memory stick), and the LaTeX document.

import { allAsLatex } from "./solution/copies.js";
import { latexDocument } from "./latex.js";
import { AWAY } from "./post.js";
import { NetworkNames } from "./solution/network_names.js";

/** @typedef {import("./sketch.js").Sketch} Sketch */

/** Where letter paper is in use (countries, as the languages of browsers name them); common practice. */
const LETTER = /-(US|CA|MX|PH|CL|CO|VE)\b/i;

/** The paper that is usual where the browser is. @returns {"a4"|"letter"} */
export const usualPaper = () => (LETTER.test(navigator.language) ? "letter" : "a4");

export class Files {
  /** @param {{solve?: string, paper?: string, pdf?: string, csv?: string, offline?: string}} urls those that the page has a use for */
  constructor(urls) {
    this.urls = urls;
  }

  /** @param {string} url @param {object} body @returns {Promise<Response>} Throws an Error whose message is for people. */
  async #post(url, body) {
    const options = { method: "POST", headers: { "Content-Type": "application/json" }, body: JSON.stringify(body) };
    const response = await fetch(url, options).catch(() => {
      throw new Error(AWAY);
    });
    if (response.ok) return response;
    const problem = await response.json().catch(() => ({ detail: AWAY }));
    throw Object.assign(new Error(problem.detail), { faults: problem.errors });
  }

  /**
   * The solution with views beside the readings, or what is wrong.
   * @param {Sketch} sketch @param {string[]} views @param {string} [way] of the worked solution
   * @returns {Promise<{solution: object|null, faults: {text: string}[]}>}
   */
  async ask(sketch, views, way = "") {
    const query = new URLSearchParams({ with: views.join(","), ...(way ? { way } : {}) });
    try {
      const response = await this.#post(`${this.urls.solve}?${query}`, sketch);
      return { solution: await response.json(), faults: [] };
    } catch (error) {
      return { solution: null, faults: error.faults ?? [{ text: error.message }] };
    }
  }

  /** Whether the server makes PDFs; if not, why. @returns {Promise<{pdf: boolean, reason: string|null}>} */
  async paper() {
    const response = await fetch(this.urls.paper).catch(() => null);
    return response?.ok ? response.json() : { pdf: false, reason: AWAY };
  }

  /** @param {object} request see handout/pdf.js and bank/main.js @returns {Promise<Blob>} */
  async pdf(request) {
    return (await this.#post(this.urls.pdf, request)).blob();
  }

  /** The ledger for spreadsheets; what is covered stays covered. @param {Sketch} sketch @returns {Promise<Blob>} */
  async csv(sketch) {
    return (await this.#post(this.urls.csv, sketch)).blob();
  }

  /** One file that shows the sheet without a server. @param {Sketch} sketch @param {boolean} zigzag @returns {Promise<Blob>} */
  async offline(sketch, zigzag) {
    return (await this.#post(this.urls.offline, { sketch, zigzag })).blob();
  }

  /** The worked solution as a document. @param {Sketch} sketch @param {object} solution with its steps @param {string} [paper] @returns {Blob} */
  latex(sketch, solution, paper = usualPaper()) {
    if (!solution.steps.steps.length) throw new Error(solution.steps.opening);
    const title = sketch.title || "Worked solution";
    const body = allAsLatex({ ...solution.steps, title }, new NetworkNames(sketch, solution.steps.steps).all);
    return new Blob([latexDocument(body, paper)], { type: "application/x-tex" });
  }
}
