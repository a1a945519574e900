// The button that copies the worked solution, one step or all of it, as LaTeX or as plain text.

import { copyText } from "../copying.js";
import { html } from "../dom.js";

const SAID = 2000;

/**
 * @param {{texts: () => Record<string, string|null>, announce: (text: string) => void}} options `texts`: what can be
 *   copied, by what the button says; null where there is nothing of the kind just now
 * @returns {{element: HTMLElement, close: () => void}}
 */
export function copyMenu({ texts, announce }) {
  const word = html("span", {}, "Copy");
  const opener = html("button", { type: "button", class: "edged", "aria-expanded": "false" }, word);
  const choices = html("div", { class: "choices", role: "group", "aria-label": "Copy", hidden: true });
  const element = html("div", { class: "copies" }, opener, choices);
  let timer = 0;
  const show = (open) => {
    choices.hidden = !open;
    opener.setAttribute("aria-expanded", String(open));
  };
  async function take(what, text) {
    const done = await copyText(text);
    show(false);
    opener.focus({ preventScroll: true });
    announce(done ? `Copied: ${what.toLowerCase()}.` : "This browser does not let the page copy.");
    word.textContent = done ? "Copied" : "Not copied";
    clearTimeout(timer);
    timer = setTimeout(() => (word.textContent = "Copy"), SAID);
  }
  opener.addEventListener("click", () => {
    const buttons = Object.entries(texts()).map(([what, text]) => html("button", { type: "button", disabled: text === null, onclick: () => take(what, text) }, what));
    choices.replaceChildren(...buttons);
    show(choices.hidden);
  });
  element.addEventListener("keydown", (event) => {
    if (event.key !== "Escape" || choices.hidden) return;
    event.preventDefault();
    show(false);
    opener.focus();
  });
  document.addEventListener("pointerdown", (event) => {
    if (!element.contains(/** @type {Node} */ (event.target))) show(false);
  });
  return { element, close: () => show(false) };
}
