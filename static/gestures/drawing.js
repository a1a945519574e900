// Draw a line: from dot to dot, straight or bent once in the direction it set out; then the field asks what it is.

import { bendLeaving, plainRoute, rounded, touched } from "../geometry.js";
import { sameSpot } from "../sketch.js";

/** Where a line may start or end near a point: a joint, a spot on a line, else the nearest dot. */
export function spotNear(desk, point, slack) {
  const { sketch } = desk.doc;
  const hit = touched(sketch, point, slack, desk.kinds);
  if (hit?.joint) return sketch.joints[hit.joint];
  return hit?.on === "line" ? hit.spot : rounded(point);
}

/** @param {import("../desk.js").Desk} desk */
export function drawLine(desk, event, start, slack) {
  let across = null;
  let end = start;
  let bend = "upper";
  return {
    cursor: "crosshair",
    move(now) {
      const point = desk.sheet.gridPoint(now);
      if (across === null && Math.hypot(point[0] - start[0], point[1] - start[1]) > 0.8)
        across = Math.abs(point[0] - start[0]) >= Math.abs(point[1] - start[1]);
      end = spotNear(desk, point, slack);
      bend = bendLeaving(start, end, across ?? true);
      desk.sheet.gesture.draft = sameSpot(start, end) ? null : { points: plainRoute(start, end, bend) };
      desk.sheet.mark();
    },
    end() {
      if (sameSpot(start, end)) return this.cancel();
      desk.editing.askWhatItIs(start, end, bend);
    },
    cancel() {
      desk.sheet.gesture.draft = null;
      desk.sheet.mark();
    },
  };
}
