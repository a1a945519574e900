// A sheet that works from a memory stick: drawing, readings, covers, tiles and steps, all in one file, nothing asked for.

import { coverOf } from "../covering.js";
import { html, need } from "../dom.js";
import { STEP } from "../geometry.js";
import { Look } from "../look.js";
import { checksSection } from "../panel/sums.js";
import { Sheet } from "../sheet.js";
import { SolutionPanel } from "../solution/panel.js";
import { TilesView } from "../tiles/view.js";
import { OfflineDesk } from "./desk.js";
import { ledgerSection, potentialsSection } from "./ledger.js";

const matter = JSON.parse(need("matter").textContent);
const look = new Look(matter.kinds.kinds);
const zigzag = /** @type {HTMLInputElement} */ (need("zigzag"));
zigzag.checked = look.zigzag ||= matter.zigzag;
const sheet = new Sheet(need("sheet"));
const desk = new OfflineDesk({ ...matter, table: matter.kinds, sheet }, show);
const panel = need("panel");
const open = { checks: false };
const tiles = new TilesView(need("tiles"), desk);
const worked = new SolutionPanel({ place: need("solution"), button: need("explain"), aside: need("readings"), desk, look, changed: showSheet });
need("explain").addEventListener("click", () => worked.toggle());

const marked = () => ({ selected: desk.doc.selection.parts, joints: new Set(), faulty: new Set(), pair: null, lit: worked.light });

function showSheet() {
  sheet.show(desk.doc.sketch, desk.solving.solution, look.style, marked(), worked.coverOf(coverOf(desk.doc.sketch)), false);
}

function showPanel() {
  const { solution } = desk.solving;
  const isCovered = coverOf(desk.doc.sketch);
  const focus = /** @type {HTMLElement|null} */ (document.activeElement)?.dataset?.focus;
  const more = () => {
    open.checks = true;
    showPanel();
  };
  const notes = solution.notes.map((note) => html("p", { class: "check" }, note.text));
  const sections = [ledgerSection(solution.handout.filled, desk, isCovered), checksSection(desk, solution, isCovered, open.checks, more), potentialsSection(solution, desk, isCovered)];
  if (notes.length) sections.push(html("section", { "aria-label": "Notes" }, html("h2", {}, html("span", {}, "Notes")), ...notes));
  const cautions = solution.handout.cautions.map((sentence) => html("p", { class: "check" }, sentence));
  if (cautions.length) sections.push(html("section", { "aria-label": "Caution" }, ...cautions));
  panel.replaceChildren(...sections.filter((section) => section !== null));
  if (focus) /** @type {HTMLElement|null} */ (panel.querySelector(`[data-focus="${CSS.escape(focus)}"]`))?.focus({ preventScroll: true });
}

function show() {
  worked.show();
  showSheet();
  tiles.show(coverOf(desk.doc.sketch), marked());
  showPanel();
  const covered = (desk.doc.sketch.covered?.length ?? 0) > 0;
  need("cover").setAttribute("aria-pressed", String(covered));
  need("cover").firstElementChild.textContent = covered ? "Uncover readings" : "Cover readings";
}

/** What lies under a pointer on the sheet. @param {PointerEvent} event */
function under(event) {
  const [x, y] = sheet.gridPoint(event);
  return sheet.written([x * STEP, y * STEP]);
}

desk.hovering = (hit) => tiles.point(hit);
sheet.place.addEventListener("click", (event) => desk.clicked(under(event)));
sheet.place.addEventListener("pointermove", (event) => event.pointerType === "mouse" && desk.hover(under(event)));
for (const which of ["V", "Q", "U"]) need(`overlay-${which}`).addEventListener("click", () => look.toggleOverlay(/** @type {"V"} */ (which)));
need("cover").addEventListener("click", () => desk.coverAll());
addEventListener("keydown", (event) => {
  if (event.ctrlKey || event.metaKey || event.altKey || (/** @type {Element} */ (event.target).closest("input, select, textarea"))) return;
  const key = event.key.toUpperCase();
  if (key === ".") desk.coverAll();
  else if (["V", "Q", "U"].includes(key)) look.toggleOverlay(/** @type {"V"} */ (key));
});
look.listen(() => {
  show();
  sheet.fit();
});
new ResizeObserver(() => sheet.fit()).observe(sheet.place);
show();
sheet.fit();
if (look.suit(sheet.view.scale)) {
  show();
  sheet.fit();
}
