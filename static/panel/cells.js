// The cells of the ledger: a reading that can be covered, a text that can be edited in its place.

import { html, withSubscripts } from "../dom.js";

/** Characters beyond which a reading may take several lines. */
const LONG = 12;
/** Characters beyond which a text, such as a build, is edited in a wider field. */
const LONG_TEXT = 14;

/** A reading as it stands in a cell: a long one breaks after an arrow, or before a sum's next term or what the whole is divided by. @param {string} text */
function writtenIn(text) {
  const written = withSubscripts(text);
  return text.length > LONG ? written.replace(/(?<!→) (?![+−] )/gu, "\u00a0").replaceAll(")/(", ")\u200b/(") : written;
}

/** A reading as its button tells it, which covers it. */
const toldOf = (reading, key) => `${reading.told ?? reading.text}, ${key.slice(key.lastIndexOf(".") + 1)} of ${key.slice(0, key.lastIndexOf("."))}: cover it`;

/** The same button with another reading, as at another moment. @param {HTMLElement} button @param {object} reading */
export function rewrite(button, reading) {
  const text = writtenIn(reading.text);
  if (button.textContent === text || button.classList.contains("covered")) return;
  button.textContent = text;
  button.setAttribute("aria-label", toldOf(reading, button.dataset.focus));
}

/** @param {object} reading @param {string} key @param {import("../desk.js").Desk} desk @param {(key: string) => boolean} isCovered */
export function readingButton(reading, key, desk, isCovered) {
  const covered = isCovered(key);
  const [owner, quantity] = [key.slice(0, key.lastIndexOf(".")), key.slice(key.lastIndexOf(".") + 1)];
  const button = html("button", { type: "button", class: covered ? "covered" : reading.text.length > LONG ? "mute formula" : "mute", "data-focus": key, "data-room": (!covered && reading.room) || null }, covered ? "?" : writtenIn(reading.text));
  button.setAttribute("aria-label", covered ? `Uncover ${quantity} of ${owner}` : toldOf(reading, key));
  button.title = covered ? "Uncover this reading" : "Cover this reading";
  button.addEventListener("click", () => desk.editing.coverOne(key));
  return button;
}

/** Whether nothing was typed in a field that stands in the column for good: it may then be written out anew. @param {HTMLInputElement} input */
export const isUntouched = (input) => input.dataset.entry !== undefined && input.value === input.defaultValue;

/** A field whose text is put in on Enter or on leaving it. @param {Record<string, unknown>} attributes @param {string} value @param {(typed: string) => void} put */
export function entryField(attributes, value, put) {
  const input = /** @type {HTMLInputElement} */ (html("input", { type: "text", autocomplete: "off", "data-entry": "", ...attributes }));
  input.defaultValue = value;
  input.addEventListener("change", () => put(input.value.trim()));
  input.addEventListener("keydown", (event) => {
    event.stopPropagation();
    if (event.key === "Enter") input.blur();
  });
  return input;
}

/**
 * A button that turns into an input when pressed.
 * @param {{shown: Node|string, text: string, label: string, focus: string, className?: string, take: (text: string) => Promise<string|null>|string|null, taken: () => void}} cell
 *   `take` gives back what is wrong with the text, or null when it has been taken; then `taken` is called
 */
export function editable({ shown, text, label, focus, className = "", take, taken }) {
  const button = html("button", { type: "button", class: className, "aria-label": label, "data-focus": focus }, shown);
  button.addEventListener("click", () => {
    const input = /** @type {HTMLInputElement} */ (html("input", { type: "text", maxlength: 160, "aria-label": label, "data-focus": focus, autocomplete: "off", spellcheck: "false" }));
    const slip = html("span", { class: "slip", role: "alert" });
    input.value = text;
    if (text.length > LONG_TEXT) input.classList.add("long");
    let ended = false;
    const end = () => {
      if (ended) return;
      ended = true;
      input.replaceWith(button);
      slip.remove();
    };
    const accept = async () => {
      if (ended) return;
      if (input.value.trim() === text) return end();
      const wrong = await take(input.value.trim());
      if (ended) return;
      if (wrong === null) {
        end();
        return taken();
      }
      slip.textContent = wrong;
      input.after(slip);
    };
    input.addEventListener("keydown", (event) => {
      event.stopPropagation();
      if (event.key === "Enter") accept();
      if (event.key === "Escape") {
        end();
        button.focus();
      }
    });
    input.addEventListener("blur", accept);
    button.replaceWith(input);
    input.focus();
    input.select();
  });
  return button;
}
