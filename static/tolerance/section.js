// What the bars in the ledger mean, whether they are proved, and how far the work on them is.

import { html } from "../dom.js";
import { drawLot, isDrawn } from "./lot.js";

const MEANS = "A bar goes from the least to the largest that its reading can be, each part being anywhere within its tolerance; the stroke is the reading. Select a part for its figures.";
const CLIMBED = "With so many parts the ends were found by going from case to case until no part alone makes a reading more extreme: found, not proved.";
const LEFT_OUT = "The energy in all has no bar: nothing tells for certain where it is least and largest.";

const line = (text) => html("p", { class: "check" }, text);

/** @param {string} label @param {string} focus @param {() => void} act */
function button(label, focus, act) {
  const element = html("button", { type: "button", class: "edged", "data-focus": focus }, label);
  element.addEventListener("click", act);
  return element;
}

/** @param {import("./watch.js").SpreadWatch} watch */
function told(watch) {
  switch (watch.state) {
    case "late":
      return [html("p", { class: "check", role: "status" }, "Working out the spread ", html("progress", { id: "spread-share", max: 1, value: watch.share, "aria-label": "Working out the spread" }), " ", button("Stop", "stop-spread", () => watch.stop()))];
    case "stopped":
      return [html("p", { class: "check" }, "Stopped: the bars are empty. ", button("Work out the spread", "spread", () => watch.again()))];
    case "failed":
      return [html("p", { class: "check", role: "status" }, watch.wrong, " ", button("Try again", "spread", () => watch.again()))];
    case "done":
      if (watch.answer.reason) return [line(watch.answer.reason)];
      return [line(MEANS), ...(watch.answer.proved ? [] : [line(CLIMBED)]), ...(watch.answer.leftOut.includes("total.energy") ? [line(LEFT_OUT)] : [])];
    default:
      return [line(MEANS)];
  }
}

/** Nothing where no part has a tolerance. @param {import("../desk.js").Desk} desk @returns {HTMLElement|null} */
export function toleranceSection(desk) {
  const watch = desk.spreads;
  if (!watch?.isOn) return null;
  const section = html("section", { class: "tolerances", "aria-label": "Tolerances" }, html("h2", {}, html("span", {}, "Within the tolerances")), ...told(watch));
  if (!isDrawn(desk.doc.sketch)) section.append(html("p", {}, button("Draw one lot from the drawer", "draw-lot", () => drawLot(desk, 1))));
  return section;
}
