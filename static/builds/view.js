// The section on how the selected capacitor is built: the side view, what is read of it, and the way to change it.

import { html, nameElement, svg } from "../dom.js";
import { paint } from "../paint.js";
import { readingButton } from "../panel/cells.js";
import { pastMark } from "../panel/ledger.js";
import { partNamed } from "../sketch.js";
import { isAsked, valueKey } from "../panel/asked.js";
import { platesView } from "./plates.js";
import { roundView } from "./round.js";
import { drawable } from "./unknown.js";
import { isBuilt, isPast } from "./words.js";

/** @typedef {import("./plates.js").Build} Build @typedef {import("./plates.js").Setting} Setting */

const READINGS = { capacitance: "Capacitance", field: "Largest field", density: "Charge density", breakdown: "Breaks down at" };
/** Lines of the field: so many where it is weak, so many at breakdown. */
const [FEW, MANY] = [3, 8];
const USUAL = 5;

/** How many lines to draw for a voltage: more towards breakdown. @param {object} readings */
export function linesOf({ voltage, breakdown }) {
  if (!voltage?.value) return 0;
  if (!breakdown?.value) return USUAL;
  return Math.round(FEW + (MANY - FEW) * Math.min(1, Math.abs(voltage.value) / breakdown.value));
}

/** The picture with what is to be said about it. @param {Build} build @param {Setting} setting @param {string} label @returns {HTMLElement[]} */
export function buildPicture(build, setting, label) {
  const draw = build.shape === "plates" ? platesView : roundView;
  const { nodes, width, height, notes } = draw(drawable(build, setting.shapes), setting);
  const image = svg("svg", { width, height, viewBox: `0 0 ${width} ${height}`, role: "img", "aria-label": label });
  paint(image, nodes);
  return [html("div", { class: "build-picture" }, image), html("p", { class: "check" }, notes.join(" "))];
}

/** What each layer has, where there are several. */
function layersTable(build, covered) {
  if (build.layers.length < 2) return null;
  const order = build.stacked ? "Layers from the upper plate down" : "Strips from left to right";
  // Layers share one density; that of strips is each its own.
  const heads = [...(build.stacked ? ["Layer", "Thickness", "Field"] : ["Strip", "Of area", "Field", "Density"]), "Withstands"].map((head) => html("th", { scope: "col" }, head));
  const rows = build.layers.map((layer) =>
    html(
      "tr",
      { class: layer.past ? "past" : null },
      html("th", { scope: "row" }, layer.name),
      html("td", {}, build.stacked ? layer.thickness.shown : layer.share.text),
      html("td", {}, covered ? "?" : layer.field.text, ...(layer.past && !covered ? [pastMark()] : [])),
      ...(build.stacked ? [] : [html("td", {}, covered ? "?" : layer.density.text)]),
      html("td", {}, layer.strength ?? "not listed"),
    ),
  );
  return html("table", { class: "ledger", "aria-label": order }, html("caption", {}, order), html("thead", {}, html("tr", {}, ...heads)), html("tbody", {}, ...rows));
}

/** Opens the form on the build as it stands. */
function changeButton(desk, name) {
  const part = partNamed(desk.doc.sketch, name);
  const change = () =>
    desk.field.buildForm({ text: part.value, done: (typed) => desk.editing.setTyped(name, "value", { tolerance: part.tolerance, ...typed }), cancelled: () => {} });
  return html("button", { type: "button", class: "edged", "data-focus": `${name}.build`, "aria-haspopup": "dialog", onclick: change }, "Change it");
}

/** The head of the section, with the way to the form. */
const headed = (desk, name) => html("section", { class: "build", "aria-label": `How ${name} is built` }, html("h2", {}, html("span", {}, "How ", nameElement(name), " is built"), changeButton(desk, name)));

/** As long as a size is not known: the build as far as it is. */
function openSection(desk, name, setting) {
  const section = headed(desk, name);
  // The server has read it when it was typed, so that this is there at once.
  desk.reader.read(partNamed(desk.doc.sketch, name).value, { kind: "capacitor", place: "value" }).then(({ build }) => build && section.append(...buildPicture(build, setting, `${name}: ${build.words}`)));
  return section;
}

/** Nothing where the one selected part has no build. @param {import("../desk.js").Desk} desk @param {(key: string) => boolean} isCovered @param {number} width in pixels */
export function buildSection(desk, isCovered, width) {
  const name = desk.doc.onePart;
  const part = name === null ? undefined : partNamed(desk.doc.sketch, name);
  if (!part) return null;
  const solution = desk.solving.state === "fault" ? null : desk.solving.solution;
  const build = solution?.builds?.parts[name];
  const readings = build && solution.parts[name];
  const isOpen = !readings?.capacitance || (isAsked(part) && isCovered(valueKey(name)));
  if (isOpen && !(isAsked(part) && isBuilt(part, desk.kinds))) return null;
  const big = parseFloat(getComputedStyle(document.documentElement).fontSize) / 16;
  const { from, to } = part;
  const plain = /** @type {Setting} */ ({ width, big, ends: [from, to], lines: 0, positive: true, shapes: desk.kinds.capacitor.shapes });
  if (isOpen) return openSection(desk, name, plain);
  const covered = ["voltage", "charge", "field", "density"].some((reading) => isCovered(`${name}.${reading}`));
  const setting = { ...plain, lines: covered ? 0 : linesOf(readings), positive: (readings.voltage.value ?? 1) >= 0 };
  const shown = covered ? { ...build, layers: build.layers.map((layer) => ({ ...layer, past: false })) } : build;
  const cells = Object.entries(READINGS)
    .filter(([reading]) => readings[reading])
    .map(([reading, words]) => html("tr", {}, html("th", { scope: "row" }, words), html("td", {}, ...(reading === "breakdown" && isPast(readings) && !covered ? [pastMark()] : []), readingButton(readings[reading], `${name}.${reading}`, desk, isCovered))));
  const section = headed(desk, name);
  if (desk.moment?.moment) section.append(html("p", { class: "check" }, "As in the end of the stage:"));
  section.append(...buildPicture(shown, setting, `${name}: ${build.words}`));
  section.append(html("table", { class: "ledger built", "aria-label": `Field and charge of ${name}` }, html("tbody", {}, ...cells)));
  const layers = layersTable(build, covered);
  if (layers) section.append(layers);
  return section;
}
