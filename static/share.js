// The dialog that hands a sheet on: in a link that carries it, stored under a short link, or as a file.

import { copyField } from "./copying.js";
import { openDialog } from "./dialogs.js";
import { html } from "./dom.js";
import { TooLargeForLink, encodeLink } from "./link.js";
import { filesSection, pictureSection } from "./share_files.js";
import { shortLinkSection } from "./shortlink.js";

/**
 * @typedef {object} ShareContext
 * @property {() => import("./sketch.js").Sketch} sketch the sheet, outside any unfinished gesture
 * @property {import("./share_files.js").FileContext} taken what files are made of
 * @property {{carried: string, sketches: string}} urls
 * @property {() => import("./stash.js").Stored|null} stored
 * @property {(stored: import("./stash.js").Stored) => void} setStored
 */

/** Links longer than this are cut by some programs that pass them on. */
const LONG = 2000;

/** Names by which every computer calls itself. */
const OWN = /^(localhost|127\.\d+\.\d+\.\d+|\[::1\])$/;

/** @param {ShareContext} context */
export async function openShare(context) {
  const carried = await carriedSection(context);
  if (document.querySelector("dialog.share")) return;
  openDialog("Share this sheet", [...ownAddressNote(), carried, shortLinkSection(context), pictureSection(context.taken), filesSection(context.taken)], { className: "share" });
}

/** A server that is only for this computer gives links that are only for this computer. */
function ownAddressNote() {
  const { hostname } = location;
  if (!OWN.test(hostname)) return [];
  const text = `This page is at ${hostname}, so links made here open on this computer only. For links that open elsewhere, start Farandole with --host 0.0.0.0 and use the address on the network that it prints.`;
  return [html("p", { class: "quiet share-own" }, text)];
}

/** @param {ShareContext} context */
async function carriedSection({ sketch, urls }) {
  const section = html(
    "section",
    {},
    html("h3", {}, "A link that carries the sheet"),
    html("p", {}, "Nothing is stored; whoever has the link has the sheet."),
  );
  try {
    const link = `${new URL(urls.carried, location.href)}#${await encodeLink(sketch())}`;
    const length = link.length.toLocaleString("en");
    const note = link.length > LONG ? `It is ${length} characters long, and some mail programs cut links this long: store it instead.` : "";
    section.append(copyField("Link", link, { note, focused: true }));
  } catch (error) {
    if (!(error instanceof TooLargeForLink)) throw error;
    section.append(html("p", { class: "wrong" }, error.message));
  }
  return section;
}
