// Keys of the worked solution: arrows while nothing else wants them, a presenter's remote (Page Down, Page Up) wherever the focus is.

import { isTyping } from "../keys.js";

const STEPS = { PageDown: "forward", PageUp: "back", ArrowRight: "forward", ArrowLeft: "back", Home: "toStart", End: "toEnd" };
/** Keys of a remote, which nothing else on the page is asked by. */
const REMOTE = new Set(["PageDown", "PageUp"]);
/** Up and down read on where there is more to read, and step where there is not. */
const READING = { ArrowDown: "forward", ArrowUp: "back", " ": "forward" };

/** Whether a list can scroll on. @param {HTMLElement} list @param {string} key */
function readsOn(list, key) {
  const { scrollTop, scrollHeight, clientHeight } = list;
  return key === "ArrowUp" ? scrollTop > 1 : scrollTop + clientHeight < scrollHeight - 1;
}

/**
 * @param {{place: HTMLElement, list: HTMLElement, isOpen: boolean, step: (how: string) => void, close: () => void}} panel
 */
export function listenToStepKeys(panel) {
  document.addEventListener("keydown", (event) => {
    if (!panel.isOpen || event.defaultPrevented || event.ctrlKey || event.metaKey || event.altKey || event.shiftKey || isTyping(event.target)) return;
    const target = /** @type {Element} */ (event.target);
    const inside = panel.place.contains(target);
    const free = inside || target === document.body;
    const { key } = event;
    if (!free && !REMOTE.has(key)) return;
    if (key === "Escape") panel.close();
    else if (key in STEPS) {
      // A formula that is wider than the panel is read to its end with the same keys.
      if (!REMOTE.has(key) && target.closest(".formula.scrolls")) return;
      panel.step(STEPS[key]);
    } else if (key in READING) {
      if ((key === " " && target.closest("button, label, input")) || readsOn(panel.list, key)) return;
      panel.step(READING[key]);
    } else return;
    event.preventDefault();
  });
}
