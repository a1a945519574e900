// The handout's page: the sheet that came in the link, what the teacher chooses, the sheets as they will be printed.

import { coverOf } from "../covering.js";
import { html, need } from "../dom.js";
import { download, fileName } from "../exporting.js";
import { DamagedLink, decodeLink } from "../link.js";
import { Files } from "../files.js";
import { hasLimits } from "../ratings/strains.js";
import { fitFormulas } from "../solution/formula.js";
import { wayBack } from "../way_back.js";
import { ChoiceForm } from "./choices.js";
import { pdfRequest } from "./pdf.js";
import { answerKey, giveRoom, questionSheet } from "./sheets.js";

const page = JSON.parse(need("page").textContent);
const pages = need("pages");
const files = new Files(page.urls);
const form = new ChoiceForm(show);
/** @type {import("./sheets.js").Matter|null} */
let matter = null;
/** The room to write that the page turned out to have. */
let writing = { lines: 0, ownPage: false };
/** Set where the last answer was for another way. */
let way = "";

function say(text, wrong = false) {
  const status = need("status");
  status.textContent = text;
  status.classList.toggle("wrong", wrong);
}

const papers = ["a4", "letter"].map((paper) => ({ paper, link: /** @type {HTMLLinkElement} */ (need(`paper-${paper}`)) }));

/** Only one of the two style sheets for paper may tell the printer its size. @param {string} chosen */
function cutPaper(chosen) {
  for (const { paper, link } of papers) link.media = paper === chosen ? "all" : "not all";
}

/** Both are there, so that what is on a page can be measured. */
const papersAreThere = Promise.all(papers.map(({ link }) => link.sheet ?? new Promise((resolve) => link.addEventListener("load", resolve))));

function show() {
  if (!matter) return;
  if (form.way && form.way !== way) return void ask();
  const { choices } = form;
  cutPaper(choices.paper);
  const sheets = choices.question ? [questionSheet(matter, choices)] : [];
  const key = choices.key ? answerKey(matter, choices) : null;
  if (key) sheets.push(key.sheet);
  pages.replaceChildren(...sheets);
  fitFormulas(key?.formulas ?? []);
  writing = choices.question ? giveRoom(sheets[0]) : { lines: 0, ownPage: false };
  document.title = `${choices.title || "Network"} · Handout`;
}

function showFaults(faults) {
  matter = null;
  const items = faults.map((fault) => html("li", {}, fault.text));
  const section = html("section", { class: "paper none", "aria-label": "What is wrong" }, html("h2", {}, "No handout yet"), html("p", {}, "The network has to be one that can be solved. Put this right on the sheet:"), html("ul", {}, ...items));
  pages.replaceChildren(section);
}

/** Asks for the readings, the tiles, the steps and the handout's own texts. */
async function ask() {
  way = form.way;
  const { sketch } = /** @type {import("./sheets.js").Matter} */ (matter ?? { sketch: opened });
  pages.setAttribute("aria-busy", "true");
  const outcome = await files.ask(sketch, ["tiles", "steps", "handout", ...(hasLimits(sketch) ? ["ratings"] : [])], way);
  pages.setAttribute("aria-busy", "false");
  need("task").removeAttribute("placeholder");
  for (const id of ["print", "pdf", "latex", "csv", "offline"]) /** @type {HTMLButtonElement} */ (need(id)).disabled = !outcome.solution || (id === "pdf" && !canMakePdf);
  if (!outcome.solution) return showFaults(outcome.faults);
  const { solution } = outcome;
  matter = { sketch, solution, kinds: page.kinds.kinds, isCovered: coverOf(sketch) };
  way = solution.steps.way;
  form.offerWays(solution.steps.ways, way);
  form.propose(solution.handout.task);
  show();
}

/** A button that makes a file and says how it went. @param {string} id @param {() => Promise<[Blob, string]>} make */
function makes(id, make) {
  const button = /** @type {HTMLButtonElement} */ (need(id));
  button.addEventListener("click", async () => {
    button.disabled = true;
    say("One moment …");
    try {
      const [blob, ending] = await make();
      const name = fileName(form.choices.title || "handout", ending);
      download(blob, name);
      say(`Saved as “${name}”.`);
    } catch (error) {
      say(error.message, true);
    } finally {
      button.disabled = false;
    }
  });
}

/** @type {HTMLAnchorElement} */ (need("back")).href = wayBack() ?? page.urls.home;
addEventListener("hashchange", () => location.reload());
need("print").addEventListener("click", () => print());

let canMakePdf = false;
const here = () => /** @type {import("./sheets.js").Matter} */ (matter);
makes("pdf", async () => [await files.pdf(pdfRequest(here(), form.choices, way, writing)), "pdf"]);
makes("latex", async () => [files.latex(here().sketch, here().solution, form.choices.paper), "tex"]);
makes("csv", async () => [await files.csv(here().sketch), "csv"]);
makes("offline", async () => [await files.offline(here().sketch, form.choices.zigzag), "html"]);

/** @type {import("../sketch.js").Sketch|undefined} */
let opened;
try {
  opened = await decodeLink(location.hash, page.kinds.kinds);
  form.entitle(opened.title ?? "");
  await papersAreThere;
  await ask();
} catch (error) {
  if (!(error instanceof DamagedLink)) throw error;
  showFaults([{ text: error.message }]);
}
const { pdf, reason } = await files.paper();
canMakePdf = pdf;
/** @type {HTMLButtonElement} */ (need("pdf")).disabled = !pdf || !matter;
need("no-pdf").hidden = pdf;
need("no-pdf").textContent = reason ?? "";
