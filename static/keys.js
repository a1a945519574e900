// The keyboard on the sheet: a cursor dot that draws, selects and moves; letters only while the sheet has the focus.

import { touched } from "./geometry.js";
import { moveJoints } from "./joining.js";
import { settleMove } from "./gestures/moving.js";
import { plainRoute, bendLeaving } from "./geometry.js";
import { names, sameSpot } from "./sketch.js";

const ARROWS = { ArrowLeft: [-1, 0], ArrowRight: [1, 0], ArrowUp: [0, -1], ArrowDown: [0, 1] };

/** @param {import("./desk.js").Desk} desk @param {{toggleOverlay: (which: string) => void, showKeys: () => void, toggleSolution: () => void}} page */
export function listenToKeys(desk, page) {
  const { sheet, doc } = desk;
  /** Where a line being drawn by keyboard began. @type {[number, number]|null} */
  let start = null;
  /** Joints being moved by keyboard, and how far. */
  let carried = null;

  const cursor = () => (sheet.gesture.cursor ??= middleOfView());
  function middleOfView() {
    const { width, height } = sheet.place.getBoundingClientRect();
    return sheet.view.toGrid(width / 2, height / 2).map(Math.round);
  }
  const here = () => touched(doc.sketch, cursor(), 0.4, desk.kinds);

  function describe() {
    const hit = here();
    if (hit?.joint) return `Joint ${hit.joint}`;
    if (hit?.part) return `On ${desk.editing.sentenceOf(hit.part)}`;
    return `Dot ${cursor().join(", ")}`;
  }

  function moveCursor([dx, dy], far) {
    const [x, y] = cursor();
    sheet.gesture.cursor = [x + dx * (far ? 5 : 1), y + dy * (far ? 5 : 1)];
    if (start) {
      const bend = bendLeaving(start, sheet.gesture.cursor, true);
      sheet.gesture.draft = sameSpot(start, sheet.gesture.cursor) ? null : { points: plainRoute(start, sheet.gesture.cursor, bend) };
    }
    keepCursorInSight();
    sheet.mark();
    desk.announce(describe());
  }

  function keepCursorInSight() {
    const { width, height } = sheet.place.getBoundingClientRect();
    const [x, y] = sheet.view.toPixels(cursor());
    const dx = x < 20 ? 80 - x : x > width - 20 ? width - 80 - x : 0;
    const dy = y < 20 ? 80 - y : y > height - 20 ? height - 80 - y : 0;
    if (dx || dy) desk.moveView(sheet.view.pannedBy(dx, dy));
  }

  function carry([dx, dy]) {
    carried.by = [carried.by[0] + dx, carried.by[1] + dy];
    doc.preview(moveJoints(carried.base, carried.joints, carried.by));
    desk.announce(`Moved ${carried.by.join(", ")}`);
  }

  function arrow(by, event) {
    if (carried) return carry(by);
    const one = doc.onePart;
    if (one && !start && desk.kinds[doc.sketch.parts.find((part) => part.name === one).kind].quantity) {
      return desk.editing.step(one, (by[0] - by[1]) * (event.shiftKey ? 3 : 1));
    }
    moveCursor(by, event.shiftKey);
  }

  function enter() {
    if (carried) {
      const { joints } = carried;
      carried = null;
      return settleMove(desk, joints);
    }
    if (!start && doc.onePart) return desk.editing.open(doc.onePart);
    if (!start) {
      start = cursor();
      doc.select();
      sheet.mark();
      return desk.announce("A line begins here. Arrows lead it on, Enter ends it, Escape drops it.");
    }
    const [from, to] = [start, cursor()];
    start = null;
    if (sameSpot(from, to)) return desk.announce("The line has no length yet.");
    desk.editing.askWhatItIs(from, to, bendLeaving(from, to, true));
  }

  function selectHere(more) {
    const hit = here();
    desk.editing.clicked(hit, more, cursor());
    if (hit?.joint) desk.announce(`Joint ${hit.joint} selected`);
    sheet.mark();
  }

  function next(by) {
    const all = names({ ...doc.sketch, parts: doc.sketch.parts.filter((part) => part.kind !== "wire") });
    if (!all.length) return;
    const at = doc.onePart ? all.indexOf(doc.onePart) : by > 0 ? -1 : 0;
    const name = all[(at + by + all.length) % all.length];
    doc.select([name]);
    desk.announce(desk.editing.sentenceOf(name));
  }

  /** A change from elsewhere: what was picked up or begun by keyboard is let go. */
  doc.listen((what) => {
    if (carried && doc.settled !== carried.base) carried = null;
    if (what === "sketch" && start) {
      start = null;
      sheet.gesture.draft = null;
    }
  });

  function escape() {
    if (carried) doc.cancelPreview();
    carried = null;
    start = null;
    desk.editing.against = null;
    desk.editing.gathering = false;
    sheet.gesture.draft = null;
    desk.pointer.cancel();
    doc.select();
    sheet.mark();
  }

  function pickUp() {
    const joints = desk.editing.jointsOfSelection();
    if (!joints.size) return;
    carried = { joints, base: doc.sketch, by: [0, 0] };
    desk.announce("Picked up. Arrows move it, Enter puts it down, Escape puts it back.");
  }

  const always = {
    v: () => page.toggleOverlay("V"),
    q: () => page.toggleOverlay("Q"),
    u: () => page.toggleOverlay("U"),
    w: () => page.toggleSolution(),
    "?": () => page.showKeys(),
    Home: () => desk.timeline?.lead("start"),
    End: () => desk.timeline?.lead("end"),
    k: (event) => desk.timeline?.lead(event.shiftKey ? "five" : "constant"),
    p: () => desk.timeline?.play(),
    0: () => desk.fit(),
    n: (event) => next(event.shiftKey ? -1 : 1),
    Escape: escape,
  };
  const editing = {
    Enter: enter,
    " ": (event) => selectHere(event.shiftKey),
    f: () => desk.editing.turnRound(),
    m: pickUp,
    Delete: () => desk.editing.removeSelected(),
    Backspace: () => desk.editing.removeSelected(),
    ".": () => desk.editing.coverAll(),
    t: () => desk.editing.tidy(),
    "+": () => doc.onePart && desk.editing.addInSeries(doc.onePart),
    "/": () => doc.onePart && desk.editing.addInParallel(doc.onePart),
  };

  sheet.place.addEventListener("keydown", (event) => {
    if (event.ctrlKey || event.metaKey || event.altKey) return;
    const key = event.key.length === 1 ? event.key.toLowerCase() : event.key;
    const act = key in ARROWS ? undefined : (always[key] ?? (desk.readOnly ? undefined : editing[key]));
    if (/^[1-9]$/.test(key) && doc.onePart && !desk.readOnly) {
      event.preventDefault();
      return desk.editing.editText(doc.onePart, "value", key);
    }
    if (!act && !(key in ARROWS)) return;
    event.preventDefault();
    if (key in ARROWS) {
      if (!desk.readOnly) arrow(ARROWS[key], event);
    } else act(event);
  });
  sheet.place.addEventListener("focus", () => {
    if (!sheet.place.matches(":focus-visible") || desk.readOnly) return;
    cursor();
    sheet.mark();
  });
  sheet.place.addEventListener("pointerdown", () => {
    if (carried) doc.cancelPreview();
    carried = null;
    sheet.gesture.cursor = null;
    start = null;
    sheet.mark();
  });

  document.addEventListener("keydown", (event) => {
    if (desk.readOnly || !(event.ctrlKey || event.metaKey) || isTyping(event.target)) return;
    const key = event.key.toLowerCase();
    if (key === "z" && event.shiftKey) doc.redo();
    else if (key === "z") doc.undo();
    else if (key === "y") doc.redo();
    else if (key === "a" && sheet.place.contains(document.activeElement)) doc.select(names(doc.sketch));
    else return;
    event.preventDefault();
  });
}

/** @param {EventTarget|null} target */
export const isTyping = (target) => target instanceof HTMLElement && (target.matches("input:not([type=checkbox]), textarea, select") || target.closest("dialog") !== null);
