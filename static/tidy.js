// Lays the drawing out anew, as one step that can be undone: the server says where everything comes to lie.

import { post } from "./post.js";

/** @typedef {import("./sketch.js").Sketch} Sketch */

const AWAY = "The server is away: the drawing can be laid out anew when it is back.";
const CHANGED = "The sheet changed meanwhile, so it was left as it is.";

/** Whether two sketches are the same drawing, in whatever order their joints stand. @param {Sketch} one @param {Sketch} other */
function alike(one, other) {
  const drawing = ({ joints, parts }) => JSON.stringify([Object.entries(joints).sort(), parts.map((part) => Object.entries(part).sort())]);
  return drawing(one) === drawing(other);
}

export class Tidying {
  /** Whether an answer is being waited for. */
  #asking = false;

  /** @param {import("./desk.js").Desk} desk @param {string} url */
  constructor(desk, url) {
    this.desk = desk;
    this.url = url;
  }

  /** Lays out what is on the sheet. */
  async run() {
    const { doc } = this.desk;
    const sketch = doc.settled;
    if (this.#asking) return;
    if (sketch.parts.length === 0) return this.desk.tell("Nothing is on the sheet yet.");
    this.#asking = true;
    const answer = await post(this.url, JSON.stringify(sketch));
    this.#asking = false;
    if (!answer) return this.desk.tell(AWAY);
    if (!answer.ok) return this.desk.tell(answer.body.detail ?? answer.body.title);
    if (doc.settled !== sketch) return this.desk.tell(CHANGED);
    this.#show(sketch, answer.body);
  }

  /** @param {Sketch} before @param {Sketch} tidied */
  #show(before, tidied) {
    const { desk } = this;
    if (alike(before, tidied)) {
      desk.fit();
      return desk.announce("The drawing is tidy already");
    }
    desk.doc.change(tidied);
    // Where nothing is asked anew, because only places have changed, the readings are there already.
    if (desk.solving.state === "asking") desk.fitSoon();
    else desk.fit();
    desk.announce("The drawing is laid out anew. Ctrl Z takes it back.");
  }
}
