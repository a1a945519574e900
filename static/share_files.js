// What of a sheet can be taken along as a file: pictures of the drawing and the tiles, the ledger, the worked solution, all of it.

import { html } from "./dom.js";
import { download, fileName, fileText, pngBlob } from "./exporting.js";

/**
 * @typedef {object} FileContext
 * @property {() => import("./sketch.js").Sketch} sketch the sheet, outside any unfinished gesture
 * @property {() => SVGElement} drawing the drawing as it stands
 * @property {(key: string) => boolean} isCovered
 * @property {boolean} zigzag
 * @property {import("./files.js").Files} files
 */

/** A line that says how it went. @returns {{status: HTMLElement, saves: (label: string, make: () => Promise<{blob: Blob, name: string}>) => HTMLElement}} */
function saving() {
  const status = html("p", { role: "status", class: "share-status" });
  const say = (text, wrong) => {
    status.className = wrong ? "share-status wrong" : "share-status";
    status.textContent = text;
  };
  const saves = (label, make) => {
    const button = html("button", { type: "button", class: "edged" }, label);
    button.addEventListener("click", async () => {
      try {
        const { blob, name } = await make();
        download(blob, name);
        say(`Saved as “${name}”.`, false);
      } catch (error) {
        say(error.message, true);
      }
    });
    return button;
  };
  return { status, saves };
}

/** The solution with a view beside the readings. Throws an Error whose message is for people. */
async function solved({ files, sketch }, view) {
  const { solution, faults } = await files.ask(sketch(), [view]);
  if (!solution) throw new Error(faults.map((fault) => fault.text).join(" "));
  return solution;
}

/** @param {FileContext} context @param {string} what @returns {Promise<SVGElement>} */
async function pictured(context, what) {
  const title = context.sketch().title ?? "";
  if (what === "drawing") return context.drawing();
  const { sideBySide, tilesElement } = await import("./exporting_tiles.js");
  const tiles = tilesElement(await solved(context, "tiles"), context.sketch(), context.isCovered, title);
  return what === "tiles" ? tiles : sideBySide(context.drawing(), tiles, title);
}

/** @param {FileContext} context */
export function pictureSection(context) {
  const { status, saves } = saving();
  const choice = (value, label, checked = false) => html("label", {}, html("input", { type: "radio", name: "pictured", value, checked }), ` ${label}`);
  const choices = html("div", { class: "share-choices", role: "radiogroup", "aria-label": "What is on the picture" }, choice("drawing", "Drawing", true), choice("tiles", "Tiles"), choice("both", "Drawing and tiles"));
  const chosen = () => /** @type {HTMLInputElement} */ (choices.querySelector(":checked")).value;
  const picture = (label, ending, make) =>
    saves(label, async () => {
      const text = fileText(await pictured(context, chosen()));
      return { blob: await make(text), name: fileName(context.sketch().title ?? "", ending) };
    });
  const svg = picture("SVG", "svg", (text) => new Blob([text], { type: "image/svg+xml" }));
  const png = picture("PNG", "png", (text) => pngBlob(text));
  return html(
    "section",
    {},
    html("h3", {}, "A picture"),
    html("p", {}, "As it stands on the sheet; readings that are covered stay covered."),
    choices,
    html("p", { class: "share-actions" }, svg, png),
    status,
  );
}

/** @param {FileContext} context */
export function filesSection(context) {
  const { files, sketch, zigzag } = context;
  const { status, saves } = saving();
  const named = (blob, ending) => ({ blob, name: fileName(sketch().title ?? "", ending) });
  const offline = saves("One file that works offline", async () => named(await files.offline(sketch(), zigzag), "html"));
  const ledger = saves("Ledger (CSV)", async () => named(await files.csv(sketch()), "csv"));
  const worked = saves("Worked solution (LaTeX)", async () => named(files.latex(sketch(), await solved(context, "steps")), "tex"));
  return html(
    "section",
    {},
    html("h3", {}, "A file"),
    html("p", {}, "For a memory stick: the sheet with readings, covers, tiles and steps in one HTML file that needs no network. Or the ledger for a spreadsheet, covered readings left out; or the worked solution."),
    html("p", { class: "share-actions" }, offline, ledger, worked),
    status,
  );
}
