// A field with something to copy, and the button that copies it.

import { html } from "./dom.js";

const SAID = 2000;

let made = 0;

/** @param {HTMLInputElement|HTMLTextAreaElement} field @returns {Promise<boolean>} whether it could be copied */
async function copy(field) {
  try {
    await navigator.clipboard.writeText(field.value);
    return true;
  } catch {
    // Over plain http there is no clipboard, and some browsers ask first: then what is selected can be copied.
    field.focus();
    field.select();
    return document.execCommand("copy");
  }
}

/** Puts a text on the clipboard. @param {string} text @returns {Promise<boolean>} whether it is there */
export async function copyText(text) {
  const before = document.activeElement;
  const field = /** @type {HTMLTextAreaElement} */ (html("textarea", { class: "spoken", readonly: true, "aria-hidden": "true", tabindex: -1 }));
  field.value = text;
  document.body.append(field);
  const done = await copy(field);
  field.remove();
  if (before instanceof HTMLElement) before.focus({ preventScroll: true });
  return done;
}

/** A button that says for a moment how it went. */
function copyButton(field, what) {
  const word = html("span", {}, "Copy");
  const said = html("span", { role: "status", class: "spoken" });
  let timer = 0;
  async function press() {
    const done = await copy(field);
    if (done) button.focus();
    word.textContent = done ? "Copied" : "Press Ctrl+C";
    said.textContent = done ? `Copied the ${what}.` : "It is selected: press Ctrl+C to copy it.";
    clearTimeout(timer);
    timer = setTimeout(() => {
      word.textContent = "Copy";
      said.textContent = "";
    }, SAID);
  }
  const button = html("button", { type: "button", class: "edged", onclick: press }, word, html("span", { class: "spoken" }, ` the ${what}`));
  return [button, said];
}

/**
 * @param {string} label such as "View link" @param {string} text
 * @param {{rows?: number, focused?: boolean, note?: string}} [options] `rows`: more than one line; `focused`: has the
 *   focus first; `note`: a sentence under the field
 * @returns {HTMLElement}
 */
export function copyField(label, text, { rows = 1, focused = false, note = "" } = {}) {
  const noteId = note && `copying-${(made += 1)}`;
  const attributes = { readonly: true, spellcheck: "false", autofocus: focused, "aria-describedby": noteId || null, onfocus: selectAll };
  const field = /** @type {HTMLInputElement|HTMLTextAreaElement} */ (
    rows > 1 ? html("textarea", { ...attributes, rows }) : html("input", { ...attributes, type: "text" })
  );
  field.value = text;
  function selectAll() {
    field.select();
    // Its beginning is what should be seen, once the browser has shown the end of what is selected.
    requestAnimationFrame(() => (field.scrollLeft = 0));
  }
  const content = [html("label", {}, html("span", {}, label), field), ...copyButton(field, label.toLowerCase())];
  if (note) content.push(html("p", { id: noteId, class: "quiet" }, note));
  return html("div", { class: "copying" }, ...content);
}
