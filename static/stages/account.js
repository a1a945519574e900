// What became of charge and energy in a stage: the account that has to close, and the sums that could not change.

import { html, nameElement, withSubscripts } from "../dom.js";
import { nameList, sumText } from "../panel/sums.js";
import { hasStages, shownStage } from "./sequence.js";

const amount = (reading) => html("b", {}, withSubscripts(reading.text));

/** Stored before + work + by hand = stored after + lost. */
function accountTable(account) {
  const row = (words, reading) => html("tr", {}, html("th", { scope: "row" }, ...words), html("td", {}, withSubscripts(reading.text)));
  const came = [row(["Stored before"], account.before), ...Object.entries(account.work).map(([name, reading]) => row(["Work of ", nameElement(name)], reading))];
  if (account.byHand.value !== 0) came.push(row(["Work done by hand"], account.byHand));
  const went = [row(["Stored after"], account.after), row(["Lost as heat and spark"], account.lost)];
  return html("table", { class: "ledger", "aria-label": "Energy of this stage" }, html("tbody", {}, ...came), html("tbody", { class: "went" }, ...went));
}

/** One isolated conductor: its plates before and after. */
function keptLine(kept) {
  const none = kept.parts.map(() => null);
  const all = () => false;
  return html("p", { class: "check" }, "On the plates of ", nameList(kept.parts), " at ", kept.joints.join(", "), ": ", sumText(kept.before, none, all), " before, ", sumText(kept.after, none, all), " after; ", amount(kept.sum), " both times");
}

/** @param {import("../desk.js").Desk} desk @returns {HTMLElement|null} */
export function stageSection(desk) {
  const { sketch } = desk.doc;
  if (!hasStages(sketch)) return null;
  const stage = desk.solving.solution?.stages?.[shownStage(sketch)];
  if (!stage?.solution) return null;
  if (sketch.covered?.length) return null;
  const section = html("section", { "aria-label": "This stage" }, html("h2", {}, html("span", {}, "Charge and energy of this stage")));
  const { text } = sketch.stages[shownStage(sketch)];
  if (text) section.append(html("p", { class: "check" }, text));
  if (stage.account) {
    section.append(accountTable(stage.account));
    if (stage.account.lost.value !== 0 && !stage.course) section.append(html("p", { class: "check" }, "Without a resistance to take it, what is lost goes as a spark and cannot be given to one part."));
    if (stage.account.byHand.value !== 0) section.append(html("p", { class: "check" }, `Plates or slab moved slowly, so that nothing is lost by it. ${stage.account.byHand.value < 0 ? "Less than zero: they pull themselves along, and the hand holds back." : ""}`));
  } else section.append(html("p", { class: "check" }, "A current goes on in the end, so the energy has no end to be counted to."));
  section.append(...stage.kept.map(keptLine));
  return section;
}
