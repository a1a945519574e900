// Copy, cut and paste of parts, within the sheet and between tabs, as text on the clipboard.

import { isTyping } from "./keys.js";
import { excerpt, insertPiece, removeParts } from "./sketch.js";

const MARK = "farandole";

/** A piece of a sketch from clipboard text, or null where the text is something else. */
function pieceFrom(text) {
  try {
    const { [MARK]: piece } = JSON.parse(text);
    const ends = piece.parts.flatMap((part) => [part.from, part.to]);
    const whole = piece.parts.length > 0 && ends.every((end) => piece.joints[end]?.every(Number.isInteger));
    return whole && piece.parts.every((part) => typeof part.name === "string" && typeof part.kind === "string") ? piece : null;
  } catch {
    return null;
  }
}

/** @param {import("./desk.js").Desk} desk */
export function listenToClipboard(desk) {
  const { doc } = desk;
  let times = 0;

  function copy(event) {
    if (isTyping(event.target) || !doc.selection.parts.size) return false;
    event.clipboardData.setData("text/plain", JSON.stringify({ [MARK]: excerpt(doc.sketch, doc.selection.parts) }));
    event.preventDefault();
    times = 0;
    return true;
  }

  document.addEventListener("copy", copy);
  document.addEventListener("cut", (event) => {
    if (copy(event)) doc.change(removeParts(doc.sketch, doc.selection.parts));
  });
  document.addEventListener("paste", (event) => {
    if (isTyping(event.target)) return;
    const piece = pieceFrom(event.clipboardData.getData("text/plain"));
    if (!piece || !piece.parts.every((part) => Object.hasOwn(desk.kinds, part.kind))) return;
    event.preventDefault();
    times += 1;
    const { sketch, added } = insertPiece(doc.sketch, piece, [2 * times, 2 * times], desk.kinds);
    doc.change(sketch);
    doc.select(added);
    desk.afterSolving(() => desk.keepInSight());
    desk.announce(`${added.size === 1 ? "One part" : `${added.size} parts`} pasted`);
  });
}
