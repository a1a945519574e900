// Drag a value sideways: it steps through preferred numbers, readings following.

import { partNamed, setFields } from "../sketch.js";

/** Pixels of drag for one step. */
const PIXELS = 14;

/** @param {import("../desk.js").Desk} desk @param {string} name */
export function stepValue(desk, event, name) {
  const base = desk.doc.sketch;
  const part = partNamed(base, name);
  const startX = event.clientX;
  let ladder = null;
  let last = null;
  let over = false;
  const follow = (x) => {
    if (over) return;
    const text = ladder?.at(Math.round((x - startX) / PIXELS));
    if (text === undefined || text === last) return;
    last = text;
    desk.doc.preview(setFields(base, name, { value: text }));
  };
  let x = startX;
  const asked = desk.editing.ladder(part).then((found) => {
    ladder = found;
    if (desk.doc.sketch === base) follow(x);
  });
  return {
    cursor: "ew-resize",
    move(now) {
      x = now.clientX;
      follow(x);
    },
    async end() {
      await asked;
      over = true;
      desk.doc.settle();
      desk.editing.speakSoon(name);
    },
    cancel() {
      over = true;
      desk.doc.cancelPreview();
    },
  };
}
