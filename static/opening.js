// Which sheet the page opens on, how it is kept in the browser, and the choice of another one.

import { openPlanner } from "./bank/from_sheet.js";
import { openDialog } from "./dialogs.js";
import { html, need } from "./dom.js";
import { decodeLink, DamagedLink } from "./link.js";
import { emptySketch } from "./sketch.js";
import { Stash } from "./stash.js";
import { keyIn } from "./storing.js";

/** @typedef {import("./sketch.js").Sketch} Sketch */

const KEPT = {
  kept: "kept on this device",
  full: "not kept: the storage of this browser is full",
  none: "not kept: this browser stores nothing",
};

/** The sheet of this page and where it is kept. A sheet is kept from its first change on. */
class Keeping {
  #opened;
  #found;
  #changed = false;

  /** @param {Stash|null} stash null where nothing is to be kept @param {Sketch|null} found what the stash held already */
  constructor(stash, sketch, stored, found = null) {
    this.#found = found;
    this.stash = stash;
    this.sketch = sketch;
    this.stored = stored;
    if (stash) stash.onremoved = (outcome) => this.#say(outcome);
  }

  /** Another sketch is on the sheet, as it was opened. */
  opened(sketch) {
    this.#changed = sketch === this.#found;
    [this.#opened, this.#found, this.sketch] = [sketch, null, sketch];
    if (this.#changed) return this.#say("kept");
    need("kept").textContent = this.stored ? `version ${this.stored.version} on the server` : "";
    need("kept").classList.remove("wrong");
  }

  keep(sketch) {
    this.#changed ||= sketch !== this.#opened;
    if (!this.stash || !this.#changed || sketch === this.sketch) return;
    this.sketch = sketch;
    this.#write();
  }

  setStored(stored, sketch) {
    [this.stored, this.sketch, this.#changed] = [stored, sketch, true];
    this.#write();
  }

  /** The key to the stored sheet has come. @param {string} key */
  unlock(key) {
    if (this.stored) this.setStored({ ...this.stored, key }, this.sketch);
  }

  #write() {
    this.#say(this.stash.keep({ sketch: this.sketch, stored: this.stored }));
  }

  #say(outcome) {
    const place = need("kept");
    const text = this.stored && outcome === "kept" ? `${KEPT.kept}, version ${this.stored.version} on the server` : KEPT[outcome];
    if (place.textContent !== text) place.textContent = text;
    place.classList.toggle("wrong", outcome !== "kept");
  }
}

const sampleOf = (page, id) => page.samples.samples.find((sample) => sample.id === id).sketch;

/** The sketch that the address brings: stored, carried in the link, or a worked example; null where the link is damaged. */
async function brought(page, desk) {
  if (page.open) {
    const { id, version, sketch } = page.open;
    return { sketch, stored: { id, version, key: null } };
  }
  if (location.pathname === new URL(page.urls.carried, location.href).pathname && location.hash.length > 1) {
    try {
      return { sketch: await decodeLink(location.hash, desk.kinds), stored: null };
    } catch (error) {
      if (!(error instanceof DamagedLink)) throw error;
      desk.tell(error.message);
      return null;
    }
  }
  return { sketch: sampleOf(page, page.samples.first), stored: null };
}

/** The key of an edit link, taken out of the address bar, where a class could read it. @returns {string|null} */
function takeKey() {
  const key = keyIn(location.href);
  if (key !== null) history.replaceState(null, "", location.pathname + location.search);
  return key;
}

/**
 * @param {{page: object, desk: import("./desk.js").Desk, openSketch: (sketch: object) => void}} context
 * @returns {Promise<Keeping>}
 */
export async function startingSheet({ page, desk, openSketch }) {
  if (desk.readOnly) return new Keeping(null, page.open.sketch, null);
  const key = page.open ? takeKey() : null;
  const stash = await Stash.forPage(location.pathname + location.search + location.hash, desk.kinds);
  const found = stash.found;
  const { sketch, stored } = found ?? (await brought(page, desk)) ?? { sketch: emptySketch(), stored: null };
  const keeping = new Keeping(stash, sketch, stored, found?.sketch);
  if (key !== null) keeping.unlock(key);
  window.addEventListener("hashchange", async () => {
    if (page.open) {
      const later = takeKey();
      if (later !== null) keeping.unlock(later);
      return;
    }
    const next = await brought(page, desk);
    if (next === null) return;
    stash.startNew();
    keeping.stored = next.stored;
    openSketch(next.sketch);
  });
  greet({ page, desk, openSketch, keeping, found });
  return keeping;
}

/** What there is to say on opening: a newer version on the server, or the last sheet of this device. */
function greet({ page, desk, openSketch, keeping, found }) {
  const { open } = page;
  const { stash, stored } = keeping;
  if (found && open && stored?.id === open.id && stored.version < open.version) {
    const act = () => {
      stash.startNew();
      keeping.stored = { ...stored, version: open.version };
      openSketch(open.sketch);
    };
    desk.tell("Here is your own copy. A newer version of this sheet has been stored since.", { label: "Open the newer one", act });
  }
  const [last] = stash.recent();
  if (!found && !open && !location.hash && last?.parts)
    desk.tell(`Your last sheet on this device is “${last.title || "without a title"}”.`, { label: "Go on with it", act: () => take(keeping, last.id, openSketch) });
}

async function take(keeping, id, openSketch) {
  const kept = await keeping.stash.take(id);
  if (!kept) return;
  keeping.stored = kept.stored;
  openSketch(kept.sketch);
}

/** The dialog that opens another sheet: an empty one, a worked example, one from this device. */
export function openOther(keeping, { page, desk, openSketch }) {
  let chosen = null;
  const choice = (title, text, act) =>
    html("li", {}, html("button", { type: "button", onclick: () => ((chosen = act), opened.close()) }, html("b", {}, title), html("span", {}, text)));
  const fresh = (sketch) => () => {
    keeping.stash.startNew();
    openSketch(sketch);
    keeping.setStored(null, sketch);
  };
  const ready = [
    choice("Empty sheet", "Nothing on it yet.", fresh(emptySketch())),
    ...page.samples.samples.map((sample) => choice(sample.title, sample.shows, fresh(sample.sketch))),
    choice(page.samples.bank.title, page.samples.bank.shows, () => openPlanner(page.urls.bank, page.samples.bank.wish)),
    choice("Plan a bank", "Which of your own parts, in which strings, hold a voltage and store what you need.", () => openPlanner(page.urls.bank)),
  ];
  const when = new Intl.DateTimeFormat(undefined, { dateStyle: "medium", timeStyle: "short" });
  const recent = keeping.stash
    .recent()
    .map(({ id, title, time, parts }) => choice(title || "Without a title", `${parts} ${parts === 1 ? "part" : "parts"}, ${when.format(time)}`, () => take(keeping, id, openSketch)));
  const content = [html("ul", { class: "ready" }, ...ready)];
  if (recent.length) content.push(html("h3", {}, "On this device"), html("ul", { class: "ready" }, ...recent));
  content.push(html("p", { class: "quiet" }, "The sheet you have now stays on this device, under “On this device”."));
  const onclose = async () => {
    if (!chosen) return;
    await chosen();
    desk.sheet.place.focus({ preventScroll: true, focusVisible: false });
  };
  const opened = openDialog("Open a sheet", content, { onclose });
}
