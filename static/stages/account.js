// What became of charge and energy in a stage: the account that has to close, and the sums that could not change.

import { html, nameElement, withSubscripts } from "../dom.js";
import { hasStages, shownStage } from "./sequence.js";

/** Isolated bodies that are written out. */
const MOST = 8;

/** Where the loss is: in each resistance over the whole time, and what went as a spark before any of it. */
function lossRows(course, row) {
  if (!course?.spark) return [];
  const rows = Object.entries(course.parts).filter(([, { heat }]) => heat && heat.value !== 0).map(([name, { heat }]) => row(["in ", nameElement(name)], heat));
  return course.spark.value === 0 ? rows : [...rows, row(["at once, as a spark"], course.spark)];
}

/** Stored before + work + by hand = stored after + lost. */
function accountTable(account, course) {
  const row = (words, reading) => html("tr", {}, html("th", { scope: "row" }, ...words), html("td", {}, withSubscripts(reading.text)));
  const came = [row(["Stored before"], account.before), ...Object.entries(account.work).map(([name, reading]) => row(["Work of ", nameElement(name)], reading))];
  if (account.byHand.value !== 0) came.push(row(["Work done by hand"], account.byHand));
  const went = [row(["Stored after"], account.after), row(["Lost as heat and spark"], account.lost)];
  const lost = html("tbody", { class: "lost" }, ...lossRows(course, row));
  return html("table", { class: "ledger", "aria-label": "Energy of this stage" }, html("tbody", {}, ...came), html("tbody", { class: "went" }, ...went), lost);
}

/** What charge stays where nothing leads away from: what each plate brought, and what it has now. */
function keptTable(kept) {
  const row = (head, ...cells) => html("tr", {}, html("th", { scope: "row" }, head), ...cells.map((reading) => html("td", {}, withSubscripts(reading.text))));
  const where = `Nothing leads away from joint${kept.joints.length === 1 ? "" : "s"} ${kept.joints.join(", ")}, so the charge there stays: each plate brought its own.`;
  const heads = ["On the plate of", "Brought along", "Now"].map((text) => html("th", { scope: "col" }, text));
  const plates = kept.parts.map((name, index) => row(nameElement(name), kept.before[index], kept.after[index]));
  return html("table", { class: "ledger kept", "aria-label": `Charge at ${kept.joints.join(", ")}` }, html("caption", {}, where), html("thead", {}, html("tr", {}, ...heads)), html("tbody", {}, ...plates), html("tfoot", {}, row("Together", kept.sum, kept.sum)));
}

/** @param {import("../desk.js").Desk} desk @returns {HTMLElement|null} */
export function stageSection(desk) {
  const { sketch } = desk.doc;
  if (!hasStages(sketch)) return null;
  const stage = desk.solving.solution?.stages?.[shownStage(sketch)];
  if (!stage?.solution) return null;
  if (sketch.covered?.length) return null;
  const section = html("section", { "aria-label": "This stage" }, html("h2", {}, html("span", {}, desk.moment?.moment ? "Charge and energy in the end of the stage" : "Charge and energy of this stage")));
  const { text } = sketch.stages[shownStage(sketch)];
  if (text) section.append(html("p", { class: "check" }, text));
  if (stage.account) {
    section.append(accountTable(stage.account, stage.course));
    if (stage.account.lost.value !== 0 && !stage.course) section.append(html("p", { class: "check" }, "Without a resistance to take it, what is lost goes as a spark and cannot be given to one part."));
    if (stage.account.byHand.value !== 0) section.append(html("p", { class: "check" }, `Plates or slab moved slowly, so that nothing is lost by it. ${stage.account.byHand.value < 0 ? "Less than zero: they pull themselves along, and the hand holds back." : ""}`));
  } else section.append(html("p", { class: "check" }, "A current goes on in the end, so the energy has no end to be counted to."));
  section.append(...stage.kept.slice(0, MOST).map(keptTable));
  return section;
}
