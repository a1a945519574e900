// Sets the planner's page up: a form whose texts the address carries, the plan that follows it, and what is made of a bank.

import { unbroken } from "../builds/words.js";
import { Asking } from "../compare/asking.js";
import { html, need } from "../dom.js";
import { download, fileName, fileText } from "../exporting.js";
import { Files } from "../files.js";
import { DamagedLink, TooLargeForLink, encodeLink } from "../link.js";
import { folding } from "../panel/caution.js";
import { post, whyNot } from "../post.js";
import { wayBack } from "../way_back.js";
import { bankCard, withIndices } from "./cards.js";
import { carriedWish, emptyWish, keep, keptWish, wishFrom } from "./carrying.js";
import { DrawnWith } from "./drawn_with.js";
import { WishForm } from "./form.js";
import { MixedSearch } from "./mixed.js";
import { bankDrawing, bankPaper, fitOnePage } from "./paper.js";

const page = JSON.parse(need("page").textContent);
/** How long typing may pause before the server is asked, in milliseconds. */
const PAUSE = 250;
/** Banks that are listed at once. */
const FIRST = 6;

let pause = 0;
/** The wish that the plan on the page belongs to. @type {import("./carrying.js").Wish} */
let planned = emptyWish();
/** @type {object|null} */
let shown = null;
/** @type {object|null} */
let caution = null;

const sample = wishFrom(page.sample);
const form = new WishForm(page.units, sample, changed);
const drawnWith = new DrawnWith();
const asking = new Asking(page.urls.plan, show);
const deeds = { draw, print: printed, save };
const card = (bank) => bankCard(bank, deeds);
const files = new Files(page.urls);
const mixed = new MixedSearch(need("mixed"), page.urls.search, card, (found) => warn(found ?? caution));

const say = (text, wrong = false) => {
  need("status").textContent = text;
  need("status").classList.toggle("wrong", wrong);
};

function changed() {
  clearTimeout(pause);
  pause = setTimeout(() => ask(), PAUSE);
}

/** Whether nothing is typed yet: then there is nothing to ask, and nothing to complain of. */
const isEmpty = () => JSON.stringify(form.wish) === JSON.stringify(emptyWish());

function ask(step = false) {
  clearTimeout(pause);
  keep(form.wish, step);
  if (!isEmpty()) asking.follow(form.wish);
  show();
}

function invite() {
  shown = null;
  mixed.stop();
  form.mark([]);
  warn(null);
  need("faults").replaceChildren();
  need("found").hidden = true;
  document.body.classList.remove("stale");
  need("answer").setAttribute("aria-busy", "false");
  say("Type what the bank has to do, and which parts there are.");
}

/** @param {object|null} found the caution of what is on the page */
function warn(found) {
  caution = found;
  need("caution").replaceChildren(...(found ? [folding(found.figures, found.sentences)] : []));
}

function showFaults() {
  const told = asking.told.map(unbroken);
  const before = told.length && !need("found").hidden ? [html("p", { class: "quiet" }, "What is listed belongs to what was asked before.")] : [];
  need("faults").replaceChildren(...(told.length ? [html("ul", { class: "faults", role: "list" }, ...told.map((text) => html("li", {}, text)))] : []), ...before);
  form.mark(asking.faults);
}

function listed({ banks, count, note }) {
  const head = html("h2", { id: "equal-head" }, "Banks of equal strings");
  if (note) return [head, html("p", {}, note)];
  const list = html("ol", { class: "banks", role: "list" }, ...banks.slice(0, FIRST).map(card));
  const rest = banks.slice(FIRST);
  if (!rest.length) return [head, list];
  const more = html("button", { type: "button", class: "edged" }, `Show ${rest.length} more`);
  const whole = count > banks.length ? html("p", { class: "quiet" }, `There are ${count}; the best ${banks.length} are listed.`) : "";
  more.addEventListener("click", () => {
    const cards = rest.map(card);
    list.append(...cards);
    more.replaceWith(whole);
    cards[0].querySelector("button").focus();
  });
  return [head, list, more];
}

function formulas(plan) {
  const rows = plan.formulas.flatMap(({ what, formula, source }) => [html("dt", {}, ...withIndices(what)), html("dd", {}, html("b", {}, ...withIndices(formula)), " ", html("span", { class: "quiet" }, ...withIndices(source)))]);
  return html("details", {}, html("summary", {}, html("h2", { id: "formulas-head" }, "Formulas, and where they come from")), html("dl", { class: "formulas-list" }, ...rows));
}

function spoken({ count, note, asked }) {
  if (note) return "";
  const does = count === 1 ? "One bank of equal strings does it." : `${count} banks of equal strings do it, the fewest parts first.`;
  return asked.energy ? `${does} At least ${unbroken(asked.capacitance.text)} is needed.` : does;
}

/** Paints the plan, or what is wrong. */
function show() {
  if (isEmpty()) return invite();
  const { state, answer } = asking;
  const stale = state === "fault" || state === "away";
  document.body.classList.toggle("stale", stale);
  need("answer").setAttribute("aria-busy", String(state === "asking"));
  need("found").hidden = !answer || (stale && !(shown && need("found").querySelector("article")));
  showFaults();
  if (stale) mixed.stop();
  if (state === "fault" && !shown) say("");
  if (state !== "current" || answer === shown) return;
  shown = answer;
  planned = form.wish;
  say(spoken(answer));
  warn(answer.caution);
  need("equal").replaceChildren(...listed(answer));
  drawnWith.offer(answer.undrawn);
  mixed.offer(planned, answer);
  need("formulas").replaceChildren(formulas(answer));
}

/** What the server is to draw or to hand out. */
const asWished = ({ strings }) => ({ wish: planned, strings: strings.map(({ times, parts }) => ({ times, parts: parts.map(({ row, count }) => ({ row, count })) })), ...drawnWith.wanted });

/** What the server makes of a bank; null where it makes nothing, which is then said. @param {string} url @param {object} bank */
async function made(url, bank) {
  const outcome = await post(url, JSON.stringify(asWished(bank)));
  if (outcome?.ok) return outcome.body;
  say(whyNot(outcome), true);
  need("status").scrollIntoView({ block: "nearest" });
  return null;
}

async function draw(bank) {
  const sketch = await made(page.urls.sketch, bank);
  if (!sketch) return;
  try {
    location.assign(`${page.urls.carried}#${await encodeLink(sketch)}`);
  } catch (error) {
    if (!(error instanceof TooLargeForLink)) throw error;
    say(error.message, true);
  }
}

async function printed(bank) {
  const paper = await made(page.urls.handout, bank);
  if (!paper) return;
  need("paper").replaceChildren(...bankPaper(paper, bankDrawing(paper.sketch, page.kinds.kinds)));
  fitOnePage(need("paper"));
  print();
}

/** @returns {Promise<string>} what there is to be said */
async function save(bank) {
  const asked = asWished(bank);
  const outcome = await post(page.urls.handout, JSON.stringify(asked));
  if (!outcome?.ok) return whyNot(outcome);
  const drawing = fileText(bankDrawing(outcome.body.sketch, page.kinds.kinds));
  try {
    const name = fileName(`Plan, bank of ${bank.parts} parts, ${bank.capacitance.text}`, "pdf");
    download(await files.pdf({ ...asked, drawing }), name);
    return `Saved as “${name}”.`;
  } catch (error) {
    return error.message;
  }
}

/** What the form begins with: the address, else what this device kept, else the worked example. */
async function beginning() {
  try {
    return (await carriedWish()) ?? keptWish() ?? sample;
  } catch (error) {
    if (!(error instanceof DamagedLink)) throw error;
    say("This link is damaged, so here is the worked example. Copy it again, whole.", true);
    return sample;
  }
}

async function open() {
  form.fill(await beginning());
  ask();
}

function start(wish) {
  form.fill(wish);
  ask(true);
}

/** @type {HTMLAnchorElement} */ (need("back")).href = wayBack() ?? page.urls.home;
need("example").addEventListener("click", () => start(sample));
need("clear").addEventListener("click", () => start(emptyWish()));
need("own").addEventListener("click", () => {
  start(emptyWish());
  need("voltage").focus();
});
addEventListener("popstate", open);
await open();
