// The part of the share dialog that stores the sheet on the server and shows what that gives: links, QR code, frame.

import { copyField } from "./copying.js";
import { openDialog } from "./dialogs.js";
import { html } from "./dom.js";
import { canonicalText } from "./link.js";
import { Refused, SavedFirst, ServerAway, readStored, store, storeChanges, storedAt } from "./storing.js";

const AWAY = "The server does not answer, so nothing was stored. Nothing is lost: the sheet stays open here. Try again in a while.";
const KEEP = "Whoever has this link can change the sheet; keep it to yourself.";

/** @param {import("./share.js").ShareContext} context @returns {HTMLElement} */
export function shortLinkSection(context) {
  const url = context.urls.sketches;
  const status = html("p", { role: "status", tabindex: "-1", class: "share-status" });
  const actions = html("p", { class: "share-actions" });
  const links = html("div", { class: "share-links", hidden: true });
  let busy = false;

  function say(text, wrong = false) {
    status.textContent = text;
    status.classList.toggle("wrong", wrong);
  }

  function offer(...choices) {
    const focused = actions.contains(document.activeElement);
    actions.replaceChildren(...choices);
    if (focused) status.focus();
  }

  function show(stored, addresses) {
    links.replaceChildren(...linkNodes(storedAt(url, stored.id), addresses, context.sketch().title ?? ""));
    links.hidden = false;
  }

  /** @param {string} saying @param {() => Promise<void>} work */
  async function attempt(saying, work) {
    if (busy) return;
    busy = true;
    say(saying);
    try {
      await work();
    } catch (error) {
      tell(error);
    } finally {
      busy = false;
    }
  }

  function tell(error) {
    if (error instanceof ServerAway) return say(AWAY, true);
    if (!(error instanceof Refused)) throw error;
    say(error.message, true);
    if (error instanceof SavedFirst) offer(openTheirs(error.theirs), storeAsNew("Store mine as a new sheet"));
    else if (context.stored() !== null) offer(storeAsNew("Store as a new sheet"));
  }

  function adopt({ stored, links: addresses }) {
    context.setStored(stored);
    offer();
    show(stored, addresses);
    say(`Stored as version ${stored.version}: the short link shows the sheet as it is now.`);
  }

  const button = (label, press) => html("button", { type: "button", class: "main", onclick: press }, label);
  const openTheirs = (address) => html("a", { class: "button", href: address, target: "_blank", rel: "noopener" }, "Open theirs");
  const storeAsNew = (label) =>
    button(label, () => attempt("Storing…", async () => adopt(await store(url, context.sketch()))));
  const storeAgain = () =>
    button("Store the changes", () => attempt("Storing…", async () => adopt(await storeChanges(url, context.stored(), context.sketch()))));

  async function compare() {
    const stored = context.stored();
    const now = await readStored(url, stored).catch((error) => {
      if (error instanceof ServerAway) offer(button("Try again", () => attempt("Asking the server…", compare)));
      throw error;
    });
    show(stored, now.links);
    if (canonicalText(now.sketch) === canonicalText(context.sketch())) {
      if (now.version !== stored.version) context.setStored({ ...stored, version: now.version });
      say(`Stored as version ${now.version}: the short link shows the sheet as it is now.`);
      offer();
    } else if (stored.key === null) {
      say(`The short link shows version ${now.version}; your sheet is different from it.`);
      offer(storeAsNew("Store as a new sheet"));
    } else if (now.version !== stored.version) {
      say(`Version ${now.version} has been stored since, and your sheet goes back to version ${stored.version}.`, true);
      offer(openTheirs(now.links.view), storeAsNew("Store mine as a new sheet"));
    } else {
      say(`The short link shows version ${now.version}; the sheet has changed since.`);
      offer(storeAgain());
    }
  }

  if (context.stored() === null) offer(storeAsNew("Store on this server"));
  else attempt("Asking the server…", compare);
  return html(
    "section",
    {},
    html("h3", {}, "A short link"),
    html("p", {}, "Stored on this server, the sheet has a short link; whoever has that can look at it."),
    status,
    actions,
    links,
  );
}

/** @param {string} stored the sketch's address in the interface @param {import("./storing.js").Links} links @param {string} title */
function linkNodes(stored, { view, edit }, title) {
  const fields = [copyField("View link", view)];
  // Closed at first, because this dialog is also shown to a class.
  if (edit !== null) fields.push(html("details", {}, html("summary", {}, "Edit link, for you alone"), copyField("Edit link", edit, { note: KEEP })));
  fields.push(copyField("Frame for a course page", frameFor(view, title), { rows: 6 }));
  return [qrButton(`${stored}/qr.svg`, view), html("div", { class: "share-fields" }, ...fields)];
}

function qrButton(address, link) {
  const code = () => html("img", { src: address, alt: "", width: 320, height: 320 });
  const enlarge = () =>
    openDialog("Scan to open the sheet", [html("img", { src: address, alt: "QR code of the view link" }), html("p", {}, link)], { className: "whole" });
  return html(
    "button",
    { type: "button", class: "qr", onclick: enlarge },
    code(),
    html("span", {}, "QR code of the view link: press to fill the screen"),
  );
}

/** HTML for another site, which shows the sheet in a frame. */
function frameFor(view, title) {
  const frame = document.createElement("iframe");
  const attributes = { src: `${view}/embed`, title: title || "Sheet", width: "100%", height: "480" };
  for (const [name, value] of Object.entries(attributes)) frame.setAttribute(name, value);
  return frame.outerHTML;
}
