// Mouse, pen and touch on the sheet: decides from what lies under the pointer which gesture begins.

import { STEP, touched } from "../geometry.js";
import { partNamed } from "../sketch.js";
import { drawLine, spotNear } from "./drawing.js";
import { moveThem } from "./moving.js";
import { spanBox } from "./spanning.js";
import { stepValue } from "./stepping.js";
import { pan, pinch, wheel } from "./viewing.js";

/** Pixels within which a pointer touches something, and within which it has not moved yet. */
const REACH = { mouse: 11, pen: 14, touch: 20 };
const STILL = { mouse: 4, pen: 6, touch: 9 };

/** @param {import("../desk.js").Desk} desk */
export function listenToPointers(desk) {
  const { place } = desk.sheet;
  const fingers = new Map();
  let gesture = null;
  let press = null;

  const slackOf = (event) => (REACH[event.pointerType] ?? REACH.mouse) / desk.sheet.view.scale / STEP;

  /** What lies under the pointer. */
  function under(event) {
    const point = desk.sheet.gridPoint(event);
    const hit = touched(desk.doc.sketch, point, slackOf(event), desk.kinds);
    if (hit?.joint || hit?.on === "symbol") return hit;
    return desk.sheet.written([point[0] * STEP, point[1] * STEP]) ?? hit;
  }

  const isWire = (name) => partNamed(desk.doc.sketch, name).kind === "wire";

  function begin(event, hit) {
    const { doc } = desk;
    const slack = slackOf(event);
    if (desk.readOnly) return pan(desk, event);
    if (hit?.joint)
      return doc.selection.joints.has(hit.joint) ? moveThem(desk, event, desk.editing.jointsOfSelection()) : drawLine(desk, event, doc.sketch.joints[hit.joint], slack);
    if (hit?.value && desk.kinds[partNamed(doc.sketch, hit.part).kind].quantity) return stepValue(desk, event, hit.part);
    if (hit?.on === "line" && !(isWire(hit.part) && doc.selection.parts.has(hit.part))) return drawLine(desk, event, hit.spot, slack);
    if (hit?.part) return moveThem(desk, event, desk.editing.jointsWith(hit.part));
    if (event.shiftKey) return spanBox(desk, event);
    return drawLine(desk, event, spotNear(desk, desk.sheet.gridPoint(event), slack), slack);
  }

  function click(event, hit) {
    desk.editing.clicked(hit, event.shiftKey, desk.sheet.gridPoint(event));
  }

  function stop(how) {
    gesture?.[how]();
    gesture = null;
    press = null;
    place.style.cursor = "";
  }

  place.addEventListener("pointerdown", async (event) => {
    if (event.pointerType === "mouse" && event.button > 1) return;
    event.preventDefault();
    place.focus({ preventScroll: true, focusVisible: false });
    place.setPointerCapture(event.pointerId);
    fingers.set(event.pointerId, event);
    if (fingers.size === 2) {
      stop("cancel");
      gesture = pinch(desk, fingers);
      return;
    }
    if (fingers.size > 2) return;
    if (desk.field.isOpen && !(await desk.field.accept())) return;
    const hit = under(event);
    press = { event, hit, moved: false, middle: event.button === 1 };
    if (!fingers.has(event.pointerId)) {
      click(event, hit);
      press = null;
    }
  });

  place.addEventListener("pointermove", (event) => {
    if (!fingers.has(event.pointerId)) return desk.hover(event.pointerType === "mouse" ? under(event) : null);
    fingers.set(event.pointerId, event);
    if (press && !gesture) {
      const far = Math.hypot(event.clientX - press.event.clientX, event.clientY - press.event.clientY);
      if (far < (STILL[event.pointerType] ?? STILL.mouse)) return;
      gesture = press.middle ? pan(desk, press.event) : begin(press.event, press.hit);
      press.moved = true;
      place.style.cursor = gesture.cursor;
      desk.hover(null);
    }
    gesture?.move(event);
  });

  place.addEventListener("pointerup", (event) => {
    fingers.delete(event.pointerId);
    if (gesture) stop("end");
    else if (press && !press.middle) {
      const { hit } = press;
      press = null;
      click(event, hit);
    }
  });
  const lost = (event) => {
    fingers.delete(event.pointerId);
    stop("cancel");
  };
  place.addEventListener("pointercancel", lost);
  place.addEventListener("lostpointercapture", (event) => fingers.has(event.pointerId) && lost(event));
  place.addEventListener("pointerleave", () => desk.hover(null));
  place.addEventListener("wheel", (event) => wheel(desk, event), { passive: false });
  place.addEventListener("contextmenu", (event) => fingers.size && event.preventDefault());
  return { cancel: () => stop("cancel"), active: () => gesture !== null };
}
