// Will it hold: how far the battery may go and what limits it, what is past its rating, and how much of a rating to use.

import { html, svg } from "../dom.js";
import { withNames } from "../solution/words.js";
import { AWAY } from "../post.js";
import { hasStages } from "../stages/sequence.js";
import { hasLimits, warningPath } from "./strains.js";

/** How much of each rated voltage may be used, in per cent. */
const USABLE = [100, 90, 80, 70, 60, 50];

/** Whether the ledger has a place for ratings before any is given. */
let asked = false;

/** @param {import("../sketch.js").Sketch} sketch */
export const showsRatings = (sketch) => hasLimits(sketch) || asked;

/** The mark of what is past a limit, for the text that it stands in. */
export function warningMark() {
  return svg("svg", { class: "warning-mark", viewBox: "-1 -13 17 14", "aria-hidden": "true", focusable: "false" }, svg("path", { d: warningPath(0, 0, 12), fill: "none", stroke: "currentColor", "stroke-width": 1.6, "stroke-linejoin": "round", "stroke-linecap": "round" }));
}

function derating(desk) {
  const { sketch } = desk.doc;
  const now = sketch.usable ?? 100;
  const select = html("select", { "aria-label": "Share of each rated voltage to use at the most", "data-focus": "usable" });
  for (const share of USABLE.includes(now) ? USABLE : [now, ...USABLE]) select.append(html("option", { value: share, selected: share === now }, share === 100 ? "All of a rating may be used" : `Use at most ${share} % of a rating`));
  select.addEventListener("change", () => {
    const usable = Number(/** @type {HTMLSelectElement} */ (select).value);
    const { usable: _before, ...rest } = desk.doc.sketch;
    desk.doc.change(usable === 100 ? rest : { ...rest, usable });
  });
  return select;
}

/** Nothing has a rating yet: how to give one. */
function invitation(desk) {
  const give = html("button", { type: "button", class: "edged", "data-focus": "give ratings" }, "Give ratings");
  give.addEventListener("click", () => {
    asked = true;
    desk.refresh();
    const [first] = desk.doc.sketch.parts.filter((part) => part.kind === "capacitor");
    /** @type {HTMLElement|null} */ (document.querySelector(`#panel [data-focus="${CSS.escape(`${first.name}.rated`)}"]`))?.focus();
  });
  return html("p", { class: "check" }, "Say what voltage each capacitor is rated for, and how far the battery may go stands here. ", give);
}

/** @param {{battery: string, sentence: string, then?: string}} highest @param {Set<string>} names */
function highestLine({ sentence, then }, names) {
  return [html("p", { class: "holds" }, ...withNames(sentence, names)), ...(then ? [html("p", { class: "check" }, ...withNames(then, names))] : [])];
}

/** @param {import("../desk.js").Desk} desk @returns {HTMLElement|null} */
export function ratingsSection(desk) {
  const { sketch } = desk.doc;
  if (desk.readOnly || !sketch.parts.some((part) => part.kind === "capacitor")) return null;
  const section = html("section", { "aria-label": "Will it hold", class: "ratings" });
  const head = html("h2", {}, html("span", {}, "Will it hold?"));
  section.append(head);
  if (!hasLimits(sketch)) {
    section.append(invitation(desk));
    return section;
  }
  head.append(derating(desk));
  const ratings = desk.solving.solution?.ratings;
  if (sketch.covered?.length) section.append(html("p", { class: "check" }, "Shown once the readings are uncovered."));
  else if (ratings) section.append(...answer(desk, ratings));
  return section;
}

function momentsThatCount(sketch, followed) {
  if (!followed) return "Only the end was looked at: so many capacitors take too long to follow all the way.";
  return hasStages(sketch) ? "Every moment of every stage was looked at." : "Every moment from start to end was looked at.";
}

function answer(desk, { strains, highest, followed, leftOut }) {
  const past = Object.values(strains).filter((strain) => strain.isPast);
  const names = new Set(desk.doc.sketch.parts.map((part) => part.name));
  const lines = highest.flatMap((each) => highestLine(each, names));
  if (!highest.length) lines.push(html("p", { class: "check" }, Object.keys(strains).length ? "What these capacitors get does not depend on the voltage of a battery here." : "Ratings are compared once all values are numbers."));
  if (highest.length) lines.push(...leftOut.map((sentence) => html("p", { class: "check" }, ...withNames(sentence, names))));
  if (past.length) lines.push(html("ul", { class: "past", role: "list", "aria-label": "Past a limit" }, ...past.map((strain) => html("li", {}, warningMark(), " ", ...withNames(strain.sentence, names)))));
  const told = html("p", { class: "check" }, `${momentsThatCount(desk.doc.sketch, followed)} For teaching: what a real part can take, only its maker can say. `);
  // Without a part that goes, or a voltage from which on one would, there is nothing to be told.
  if (past.length || highest.some(({ emf }) => emf)) told.append(onwards(desk));
  lines.push(told);
  return lines;
}

function onwards(desk) {
  const further = html("button", { type: "button", class: "edged further", "data-focus": "failures" }, "What happens past it");
  // Loaded by those who open it.
  further.addEventListener("click", () => import("./failures.js").then(({ openFailures }) => openFailures(desk), () => desk.tell(AWAY)));
  return further;
}
