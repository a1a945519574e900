// Opens a dialog over the page: a title, a close button, what it is about; the focus goes back where it was.

import { html } from "./dom.js";

/** What the page would take for a gesture of its own, such as Delete for the selected part. */
const PRIVATE = ["keydown", "keyup", "copy", "cut", "paste"];

let opened = 0;

/**
 * Escape, the close button and a press beside the dialog close it. An element with `autofocus` in the content has
 * the focus first.
 * @param {string} title
 * @param {(Node|string)[]} content
 * @param {{className?: string, onclose?: () => void}} [options]
 * @returns {{dialog: HTMLDialogElement, close: () => void}}
 */
export function openDialog(title, content, { className = "", onclose } = {}) {
  const before = document.activeElement;
  const heading = html("h2", { id: `dialog-${(opened += 1)}` }, title);
  const close = () => dialog.close();
  const button = html("button", { type: "button", class: "edged", onclick: close }, "Close");
  const dialog = /** @type {HTMLDialogElement} */ (
    html(
      "dialog",
      { class: `over ${className}`.trim(), "aria-labelledby": heading.id },
      html("div", { class: "over-head" }, heading, button),
      html("div", { class: "over-body" }, ...content),
    )
  );
  for (const type of PRIVATE) dialog.addEventListener(type, (event) => event.stopPropagation());
  closeWhenPressedBeside(dialog);
  dialog.addEventListener("close", () => {
    dialog.remove();
    if (before instanceof HTMLElement || before instanceof SVGElement) before.focus({ preventScroll: true });
    onclose?.();
  });
  document.body.append(dialog);
  dialog.showModal();
  return { dialog, close };
}

/** A press that begins and ends beside it, so that a selection dragged out of a field closes nothing. */
function closeWhenPressedBeside(dialog) {
  const beside = (event) => {
    const box = dialog.getBoundingClientRect();
    const inside = event.clientX >= box.left && event.clientX <= box.right && event.clientY >= box.top && event.clientY <= box.bottom;
    return event.target === dialog && !inside;
  };
  let pressed = false;
  dialog.addEventListener("pointerdown", (event) => (pressed = beside(event)));
  dialog.addEventListener("click", (event) => {
    if (pressed && beside(event)) dialog.close();
  });
}
