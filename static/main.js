// Sets the page up: one document, one solution, and the views that follow the two.

import { showActions, hintFor } from "./actions.js";
import { chargeSum } from "./charge_sum.js";
import { Clipboard } from "./clipboard.js";
import { openPlanner } from "./bank/from_sheet.js";
import { openComparison } from "./compare/from_sheet.js";
import { coverOf } from "./covering.js";
import { Desk } from "./desk.js";
import { SheetDocument } from "./document.js";
import { need } from "./dom.js";
import { Editing } from "./editing.js";
import { drawingElement } from "./exporting.js";
import { TypingField } from "./field.js";
import { Files } from "./files.js";
import { listenToPointers } from "./gestures/pointer.js";
import { openHandout } from "./handout/from_sheet.js";
import { listenToKeys } from "./keys.js";
import { Look } from "./look.js";
import { openOther, startingSheet } from "./opening.js";
import { cautionSection } from "./panel/caution.js";
import { AWAY } from "./post.js";
import { Panel } from "./panel/panel.js";
import { onceReleased } from "./pressed.js";
import { hasLimits } from "./ratings/strains.js";
import { isOpenQuestion, withFound } from "./panel/asked.js";
import { TextReader } from "./reading_text.js";
import { openShare } from "./share.js";
import { SayIt } from "./say_it.js";
import { Sheet } from "./sheet.js";
import { emptySketch, samePair } from "./sketch.js";
import { Solving } from "./solving.js";
import { Tidying } from "./tidy.js";
import { withChanges } from "./stages/changes.js";
import { StageStrip } from "./stages/strip.js";
import { LotBar } from "./tolerance/lot.js";
import { SpreadWatch } from "./tolerance/watch.js";
import { TilesView } from "./tiles/view.js";

const page = JSON.parse(need("page").textContent);
const readOnly = page.mode === "embed";
const table = page.kinds;
const look = new Look(table.kinds);
const doc = new SheetDocument(emptySketch());
const sheet = new Sheet(need("sheet"));
const reader = new TextReader(page.urls.values, table);
const field = new TypingField(reader, table);
const solving = new Solving(page.urls.solve, () => onceReleased(news));
const desk = new Desk({ doc, sheet, solving, reader, field, table, readOnly });
Object.assign(desk, { look, solveUrl: page.urls.solve });
desk.editing = new Editing(desk);
desk.pointer = listenToPointers(desk);
desk.refreshActions = () => showActions(need("actions"), desk);
const panel = new Panel(need("panel"), desk);
desk.spreads = readOnly ? null : new SpreadWatch(page.urls.spread, need("panel"), () => panel.show(coverOf(doc.sketch), marked()));
const lot = new LotBar(need("lot"), desk);
const tiles = readOnly ? null : new TilesView(need("tiles"), desk);
desk.hovering = (hit) => {
  sheet.gesture.callout = chargeSum(desk, hit);
  tiles?.point(hit);
};
/** @type {import("./solution/panel.js").SolutionPanel|null} */
let worked = null;
const stages = readOnly ? null : new StageStrip(need("stages"), need("begin-stages"), desk, look);
field.buildForm = async (wish) => (await import("./builds/form.js")).openBuildForm({ ...wish, reader, shapes: table.kinds.capacitor.shapes, dielectrics: page.dielectrics });
if (!readOnly) desk.sayIt = new SayIt(desk, page.urls.line);
const title = /** @type {HTMLInputElement} */ (need("title"));
const fitting = { wanted: true };
/** @type {Awaited<ReturnType<typeof startingSheet>>|undefined} */
let start;

/** The worked solution is loaded by those who open it. */
async function toggleSolution() {
  try {
    const { SolutionPanel } = await import("./solution/panel.js");
    worked ??= new SolutionPanel({ place: need("solution"), aside: need("readings"), button: need("explain"), desk, look, changed: refreshSheet });
    worked.toggle();
  } catch {
    desk.tell(AWAY);
  }
}

/** Whether what the pointer rests on is still on the sheet. */
const isThere = ({ joint, part }) => (joint === undefined || joint in doc.sketch.joints) && (part === undefined || doc.sketch.parts.some((each) => each.name === part));

function marked() {
  const faulty = solving.state === "fault" ? solving.faults.filter((fault) => !isOpenQuestion(fault)).flatMap((fault) => fault.parts) : [];
  return { selected: doc.selection.parts, joints: doc.selection.joints, faulty: new Set(faulty), pair: doc.pair, lit: worked?.light, settled: doc.sketch === doc.settled && !desk.moment };
}

/** The last answer, as far as it may stand beside the sheet: not after an error; faded while the server is away. */
function answer() {
  return solving.state === "fault" ? null : desk.shownSolution;
}

/** An answer as it is written out: with what readings were in the stage before, where that is wanted. */
desk.readingsShown = (solution) => (look.changes && solution ? withChanges(solution, doc.sketch, solving.state === "current") : solution);

/** What is covered on the sheet: a worked solution beside it uncovers what it has arrived at. */
const shownCover = () => worked?.coverOf(coverOf(doc.sketch)) ?? coverOf(doc.sketch);

function refreshSheet() {
  const [joint] = doc.selection.joints.size === 1 ? doc.selection.joints : [];
  sheet.gesture.callout = chargeSum(desk, desk.hovered ?? (joint && { joint }));
  const cover = shownCover();
  sheet.show(withFound(desk.shownSketch, answer(), cover), desk.readingsShown(answer()), look.style, marked(), cover, solving.state === "away" || solving.late);
}

desk.fit = () => {
  sheet.fit();
  if (!look.suit(sheet.view.scale)) return;
  refreshSheet();
  sheet.fit();
};

/** Fits the sheet as soon as the readings of what is drawn on it are there. */
desk.fitSoon = () => {
  fitting.wanted = true;
  desk.viewMoved = false;
};

function showHint() {
  const [hint, text] = [need("hint"), hintFor(desk)];
  if (hint.textContent !== text) hint.textContent = text;
}

/** There is news of the readings. */
function news() {
  paintAll();
  if (fitting.wanted && solving.state !== "asking") {
    fitting.wanted = false;
    if (!desk.viewMoved) desk.fit();
  }
  desk.solved();
  desk.sayIt?.follow();
}

function follow() {
  solving.include("caution", true);
  if (!readOnly) panel.ask();
  solving.include("ratings", hasLimits(doc.sketch));
  tiles?.ask();
  stages?.ask();
  const { pair, sketch } = doc;
  const extra = pair && !sketch.probes?.some((each) => samePair(each, pair)) ? { probes: [...(sketch.probes ?? []), pair] } : {};
  solving.follow({ ...sketch, ...extra });
}

/** Milliseconds that a changed sheet waits for its readings, to be painted once and not twice. */
const TOGETHER = 150;
/** Readings that change again so soon (ms) jump to where they belong: motion would lag behind and hold up the next. */
const IN_A_ROW = 300;
let waiting = 0;
const eased = { sketch: null, solution: null, at: -Infinity };

function paintAll() {
  clearTimeout(waiting);
  waiting = 0;
  easeOrJump();
  worked?.show();
  stages?.show();
  lot.show();
  // The tiles measure the size of type: before the sheet is painted there is nothing to be styled anew for that.
  tiles?.show(coverOf(doc.sketch), marked());
  refreshSheet();
  desk.spreads?.follow(doc.sketch, solving.state === "current");
  panel.show(coverOf(doc.sketch), marked());
  // A frame on a course page has no column of readings: the caution lies on the sheet, folded.
  if (readOnly) need("caution").replaceChildren(...[cautionSection(desk, false)].filter((section) => section !== null));
  desk.refreshActions();
  showHint();
}

function easeOrJump() {
  const [{ sketch }, { solution }, at] = [doc, solving, performance.now()];
  if (sketch === eased.sketch || solution === eased.solution) return;
  document.body.classList.toggle("in-a-row", at - eased.at < IN_A_ROW);
  Object.assign(eased, { sketch, solution, at });
}

/** Paints what changed: at once where the readings are those of the sheet, else together with them when they come. */
function paintSoon() {
  if (solving.state !== "asking" || solving.late || !solving.solution) paintAll();
  else {
    need("panel").setAttribute("aria-busy", "true");
    waiting ||= setTimeout(() => onceReleased(paintAll), TOGETHER);
  }
}

function refresh() {
  if (document.activeElement !== title) title.value = doc.sketch.title ?? "";
  const name = `${doc.sketch.title || "Sheet"} · Farandole`;
  if (document.title !== name) document.title = name;
  follow();
  paintSoon();
  document.body.classList.toggle("drawn", doc.sketch.parts.length > 0);
  if (readOnly) return;
  need("undo").disabled = !doc.canUndo;
  need("redo").disabled = !doc.canRedo;
  const covered = (doc.sketch.covered?.length ?? 0) > 0;
  need("cover").setAttribute("aria-pressed", String(covered));
  need("cover").firstElementChild.textContent = covered ? "Uncover readings" : "Cover readings";
}

desk.refresh = refresh;
/** The time line shows another moment of the same answer. */
desk.followMoment = () => {
  refreshSheet();
  tiles?.show(coverOf(doc.sketch), marked(), true);
  panel.follow(coverOf(doc.sketch), marked());
};
look.listen((what) => {
  refresh();
  if (what === "size" && !desk.viewMoved) desk.fit();
});

/** A sketch takes the sheet. */
function openSketch(sketch, steps = undefined) {
  start?.opened(sketch);
  fitting.wanted = true;
  desk.viewMoved = false;
  solving.forget();
  worked?.begin();
  doc.open(sketch, steps);
}

/** Another sketch altogether. */
function openAnother(sketch) {
  look.endChanges();
  openSketch(sketch);
}

start = await startingSheet({ page, desk, openSketch: openAnother });

doc.listen(() => {
  if (desk.hovered && !isThere(desk.hovered)) desk.hover(null);
  refresh();
  start.keep(doc.settled);
});
openSketch(start.sketch, start.stash?.found ? start.stash.steps : undefined);
window.addEventListener("pagehide", () => start.stash?.keepSteps(doc.steps));

const showKeys = async () => (await import("./keys_list.js")).showKeys();
listenToKeys(desk, { toggleOverlay: (which) => look.toggleOverlay(which), showKeys, toggleSolution });
for (const [id, factor] of [["closer", 1.25], ["farther", 0.8]])
  need(id).addEventListener("click", () => {
    const { width, height } = sheet.place.getBoundingClientRect();
    desk.moveView(sheet.view.zoomedAt(factor, width / 2, height / 2));
  });
need("fit").addEventListener("click", () => desk.fit());
for (const which of ["V", "Q", "U"]) need(`overlay-${which}`).addEventListener("click", () => look.toggleOverlay(which));
need("cover").addEventListener("click", () => desk.editing.coverAll());
// A drawing that somebody works on stays where it is; one that was only opened follows the window.
new ResizeObserver(() => {
  if (!desk.viewMoved && !doc.canUndo) desk.fit();
}).observe(sheet.place);

if (!readOnly) {
  desk.clipboard = new Clipboard(desk);
  desk.tidying = new Tidying(desk, page.urls.tidy);
  need("tidy").addEventListener("click", () => desk.editing.tidy());
  title.addEventListener("input", () => doc.preview({ ...doc.sketch, title: title.value }));
  title.addEventListener("change", () => doc.settle());
  title.addEventListener("keydown", (event) => {
    if (event.key === "Enter") title.blur();
  });
  need("explain").addEventListener("click", toggleSolution);
  need("undo").addEventListener("click", () => doc.undo());
  need("redo").addEventListener("click", () => doc.redo());
  need("keys").addEventListener("click", () => showKeys());
  need("compare").addEventListener("click", () => openComparison(desk, page.urls.compare));
  need("bank").addEventListener("click", () => openPlanner(page.urls.bank));
  need("handout").addEventListener("click", () => openHandout(desk, page.urls.handout));
  need("open").addEventListener("click", () => openOther(start, { page, desk, openSketch: openAnother }));
  need("share").addEventListener("click", () =>
    openShare({
      sketch: () => doc.settled,
      taken: {
        sketch: () => doc.settled,
        drawing: () => drawingElement(doc.sketch, desk.currentSolution, look.style, coverOf(doc.sketch), doc.sketch.title ?? ""),
        isCovered: coverOf(doc.sketch),
        zigzag: look.zigzag,
        files: new Files(page.urls),
      },
      urls: page.urls,
      stored: () => start.stored,
      setStored: (stored) => start.setStored(stored, doc.settled),
      announce: (text) => desk.announce(text),
    }),
  );
  sheet.place.focus({ preventScroll: true, focusVisible: false });
}
