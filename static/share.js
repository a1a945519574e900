// The dialog that hands a sheet on: in a link that carries it, stored under a short link, or as a picture.

import { copyField } from "./copying.js";
import { openDialog } from "./dialogs.js";
import { html } from "./dom.js";
import { download, fileName, pngBlob } from "./exporting.js";
import { TooLargeForLink, encodeLink } from "./link.js";
import { shortLinkSection } from "./shortlink.js";

/**
 * @typedef {object} ShareContext
 * @property {() => import("./sketch.js").Sketch} sketch the sheet, outside any unfinished gesture
 * @property {() => {svg: string, title: string} | Promise<{svg: string, title: string}>} picture
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
  openDialog("Share this sheet", [...ownAddressNote(), carried, shortLinkSection(context), pictureSection(context)], { className: "share" });
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

/** @param {ShareContext} context */
function pictureSection({ picture }) {
  const status = html("p", { role: "status", class: "share-status" });
  const button = (label, save) => html("button", { type: "button", class: "edged", onclick: () => attempt(label, save) }, label);
  async function attempt(label, save) {
    try {
      const { svg, title } = await picture();
      const name = fileName(title, label.toLowerCase());
      download(await save(svg), name);
      status.className = "share-status";
      status.textContent = `Saved as “${name}”.`;
    } catch (error) {
      status.className = "share-status wrong";
      status.textContent = error.message;
    }
  }
  return html(
    "section",
    {},
    html("h3", {}, "A picture"),
    html("p", {}, "The drawing as it stands; readings that are covered stay covered."),
    html("p", { class: "share-actions" }, button("SVG", (svg) => new Blob([svg], { type: "image/svg+xml" })), button("PNG", (svg) => pngBlob(svg))),
    status,
  );
}
