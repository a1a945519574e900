// Move joints and parts: what is joined to them stretches; dropped on a joint or a line, they join it.

import { closedOnThemselves, joined, moveJoints } from "../joining.js";

/** @param {import("../desk.js").Desk} desk @param {Set<string>} joints */
export function moveThem(desk, event, joints) {
  const base = desk.doc.sketch;
  const from = desk.sheet.gridPoint(event);
  let by = [0, 0];
  return {
    cursor: "grabbing",
    move(now) {
      const point = desk.sheet.gridPoint(now);
      const next = [Math.round(point[0] - from[0]), Math.round(point[1] - from[1])];
      if (next[0] === by[0] && next[1] === by[1]) return;
      by = next;
      desk.doc.preview(moveJoints(base, joints, by));
    },
    end() {
      if (by[0] === 0 && by[1] === 0) return this.cancel();
      settleMove(desk, joints);
    },
    cancel() {
      desk.doc.cancelPreview();
    },
  };
}

/** Joins up what was moved and makes it one step; a move that would close a part on itself is taken back. */
export function settleMove(desk, joints) {
  const after = joined(desk.doc.sketch, joints);
  const closed = closedOnThemselves(after).filter((part) => !closedOnThemselves(desk.doc.settled).some((old) => old.name === part.name));
  if (closed.length) {
    desk.doc.cancelPreview();
    desk.tell(`${closed.map((part) => part.name).join(", ")} would have both ends on one joint, so it stays where it was.`);
  } else desk.doc.settle(after);
}
