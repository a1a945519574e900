// Sets the page up on which networks are compared: one document, one answer, and the views that follow the two.

import { copyField } from "../copying.js";
import { toggleAll } from "../covering.js";
import { openDialog } from "../dialogs.js";
import { SheetDocument } from "../document.js";
import { html, need } from "../dom.js";
import { isTyping } from "../keys.js";
import { DamagedLink, TooLargeForLink, decodeLink, encodeLink } from "../link.js";
import { TextReader } from "../reading_text.js";
import { Asking } from "./asking.js";
import { Columns } from "./columns.js";
import { compared, question, sketchOf } from "./comparison.js";
import { Covers } from "./covers.js";
import { PageLook } from "./look.js";
import { Table } from "./table.js";
import { SharedValues } from "./values.js";

const page = JSON.parse(need("page").textContent);
const doc = new SheetDocument(compared(page.sample));
const asking = new Asking(page.urls.compare, show);
const look = new PageLook(need("larger"), () => show());
const announce = (text) => (need("spoken").textContent = text);
const desk = { doc, look, announce, reader: new TextReader(page.urls.values, page.kinds), table: page.kinds, urls: page.urls };
const values = new SharedValues(need("values"), desk);
const columns = new Columns(need("columns"), desk);
const table = new Table(need("table"), desk);
/** What the address carries now. */
let carried = "";

/** The sketch that the address brings, or the worked example. */
async function brought() {
  if (location.hash.length <= 1) return page.sample;
  try {
    return await decodeLink(location.hash, page.kinds.kinds);
  } catch (error) {
    if (!(error instanceof DamagedLink)) throw error;
    const notice = need("notice");
    notice.textContent = `${error.message} Here is a worked example instead.`;
    notice.hidden = false;
    return page.sample;
  }
}

function showFaults() {
  const place = need("faults");
  place.hidden = asking.state !== "fault" && asking.state !== "away";
  place.replaceChildren(html("ul", { class: "faults", role: "list" }, ...asking.told.map((text) => html("li", {}, text))));
}

/** Paints everything from the document and the last answer. */
function show() {
  const { answer, state } = asking;
  const whole = doc.sketch;
  const named = whole.title ? `Compare: ${whole.title}` : "Compare";
  need("title").textContent = named;
  document.title = `${named} · Farandole`;
  values.last = answer?.parts;
  values.show(answer);
  const covers = answer && new Covers(whole, answer);
  columns.show(answer, covers);
  if (answer) table.show(answer, covers);
  showFaults();
  const notes = need("notes");
  notes.hidden = !answer?.notes.length;
  notes.replaceChildren(...(answer?.notes ?? []).map((note) => html("p", {}, note)));
  document.body.classList.toggle("stale", state === "fault" || state === "away");
  need("columns").setAttribute("aria-busy", String(state === "asking"));
  need("undo").disabled = !doc.canUndo;
  need("redo").disabled = !doc.canRedo;
  const covered = (whole.compare.covered?.length ?? 0) > 0;
  need("cover").textContent = covered ? "Uncover all" : "Cover all";
  need("cover").setAttribute("aria-pressed", String(covered));
}

/** The address always carries what is on the page, so that it can be kept, sent and reloaded. */
async function carry() {
  const whole = doc.settled;
  const [fragment, sheet] = await Promise.all([encodeLink(whole), encodeLink(sketchOf(whole))]);
  if (whole !== doc.settled) return;
  carried = `#${fragment}`;
  history.replaceState(null, "", `${page.urls.page}${carried}`);
  need("back").setAttribute("href", `${page.urls.carried}#${sheet}`);
}

async function share() {
  const note = "Nothing is stored; whoever has the link has the comparison.";
  try {
    const link = `${new URL(page.urls.page, location.href)}#${await encodeLink(doc.settled)}`;
    openDialog("Share this comparison", [html("section", {}, copyField("Link", link, { focused: true, note }))], { className: "share" });
  } catch (error) {
    if (!(error instanceof TooLargeForLink)) throw error;
    openDialog("Share this comparison", [html("p", { class: "wrong" }, error.message)], { className: "share" });
  }
}

doc.listen(() => {
  asking.follow(question(doc.sketch));
  show();
  carry();
});
doc.open(compared(await brought()));

window.addEventListener("hashchange", async () => {
  if (location.hash !== carried) doc.open(compared(await brought()));
});
need("undo").addEventListener("click", () => doc.undo());
need("redo").addEventListener("click", () => doc.redo());
need("share").addEventListener("click", share);
need("cover").addEventListener("click", () => {
  doc.change({ ...doc.sketch, compare: toggleAll(doc.sketch.compare) });
  announce(doc.sketch.compare.covered ? "All covered" : "All uncovered");
});
document.addEventListener("keydown", (event) => {
  if (isTyping(event.target)) return;
  const key = event.key.toLowerCase();
  if (key === "." && !event.ctrlKey && !event.metaKey && !event.altKey) need("cover").click();
  else if (!(event.ctrlKey || event.metaKey)) return;
  else if (key === "y" || (key === "z" && event.shiftKey)) doc.redo();
  else if (key === "z") doc.undo();
  else return;
  event.preventDefault();
});
