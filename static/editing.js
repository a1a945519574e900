// What one can do to the sheet, whatever asked for it: a gesture, a key, a button, a cell of the ledger.

import { addInParallel, addInSeries } from "./arrange.js";
import { turnContacts, withSecondContact } from "./contacts.js";
import { coverOf, toggleAll, toggleOne } from "./covering.js";
import { plainRoute, routes } from "./geometry.js";
import { drawPart } from "./joining.js";
import { Ladder } from "./ladder.js";
import { MOST_STAGES, begun, hasStages, isCopy, shownStage, withNext, withThrown } from "./stages/sequence.js";
import { endsOf, freshName, goneOver, isSwitch, names, partNamed, removeParts, rename, samePair, setFields, stateOf, turnRound } from "./sketch.js";
import { wholeValue } from "./reading_text.js";
import { withFound } from "./panel/asked.js";
import { strainOf } from "./ratings/strains.js";
import { sentence } from "./spoken.js";
import { TWO_WAY } from "./two_way.js";

const PLACES = { value: "Value", initial: "Starting voltage", rated: "Rated voltage", reverse: "Largest voltage the wrong way round", internal: "Internal resistance" };
/** What a polarised capacitor stands reversed where nobody says otherwise: an oxide layer takes about 1 to 1.5 V. */
const REVERSE = "1 V";
const SHARED = "That is now so in every stage: the drawing is shared. To disconnect a part from one stage on, make a wire a switch and open it.";

export class Editing {
  #steps = Promise.resolve();
  /** The ladder that a part's value was last stepped along. @type {{name: string, ladder: Ladder}|null} */
  #walk = null;

  /** @param {import("./desk.js").Desk} desk */
  constructor(desk) {
    this.desk = desk;
    /** A joint waiting for a second one to be read against. @type {string|null} */
    this.against = null;
    /** Whether every click adds to the selection, as if Shift were held. */
    this.gathering = false;
    /** The stage that was begun by its button and is shown since: all switches thrown now belong to it. @type {{number: number, count: number}|null} */
    this.begunStage = null;
  }

  get doc() {
    return this.desk.doc;
  }

  /** A line has been drawn: the field asks what it is. An upright part begins at its upper end, others at their left. */
  askWhatItIs(start, end, bend) {
    const { desk } = this;
    const forward = start[0] === end[0] || start[1] !== end[1] ? start[1] <= end[1] : start[0] <= end[0];
    const [from, to] = forward ? [start, end] : [end, start];
    const points = plainRoute(from, to, bend);
    desk.sheet.gesture.draft = { points: plainRoute(start, end, bend) };
    desk.sheet.mark();
    const finish = () => {
      desk.sheet.gesture.draft = null;
      desk.sheet.mark();
    };
    desk.field.open({
      label: "What is it?",
      chips: [...desk.table.chips, "switch", TWO_WAY, "wire"],
      at: desk.boxOf(points),
      done: (typed) => {
        finish();
        // The arm of a two-way switch is where the line began.
        const ends = typed.kind === TWO_WAY ? [start, end] : [from, to];
        const { sketch, name } = drawPart(this.doc.sketch, { ...typed, bend }, desk.kinds[typed.kind].letter, ...ends);
        this.doc.change(sketch);
        // Drawn by keyboard, the arrows go on leading the dot; a selected part would take them as steps of its value.
        this.doc.select(typed.kind === "wire" || desk.sheet.gesture.cursor ? [] : [name]);
        desk.afterSolving(() => desk.keepInSight());
        this.#tellShared();
        desk.sheet.gesture.cursor = desk.sheet.gesture.cursor && end;
        this.speakSoon(name);
      },
      cancelled: finish,
    });
  }

  /** A wire becomes whatever it is said to be. @param {string} wire */
  sayWhatItIs(wire) {
    const { desk } = this;
    desk.field.open({
      label: "What is it?",
      chips: [...desk.table.chips, "switch", TWO_WAY, "wire"],
      at: desk.boxOf(routes(this.doc.sketch).get(wire).points),
      done: (typed) => {
        if (typed.kind === "wire") return;
        const name = freshName(names(this.doc.sketch), desk.kinds[typed.kind].letter);
        this.doc.change(withSecondContact(setFields(this.doc.sketch, wire, { name, ...typed }), name));
        this.doc.select([name]);
        this.speakSoon(name);
      },
    });
  }

  /** The field opens on one of a part's texts. @param {string} name @param {"value"|"initial"|"rated"|"reverse"|"internal"} [place] @param {string|null} [typed] what has been typed already */
  editText(name, place = "value", typed = null) {
    const part = partNamed(this.doc.sketch, name);
    const kind = this.desk.kinds[part.kind];
    const takes = place === "value" ? kind.quantity : kind.optional[place];
    if (!takes) return;
    const { unit } = this.desk.table.quantities[takes];
    const optional = place !== "value";
    this.desk.field.open({
      kind: part.kind,
      place,
      optional,
      text: typed ?? (place === "value" ? wholeValue(part) : (part[place] ?? "")),
      typed: typed !== null,
      before: part[place],
      tolerance: place === "value" ? part.tolerance : undefined,
      unit: place === "value" ? undefined : unit,
      label: `${PLACES[place]} of ${name}`,
      chips: this.desk.table.chips.filter((chip) => chip.endsWith(unit)),
      at: this.desk.boxOfPart(name),
      done: (typed) => this.setTyped(name, place, typed),
    });
  }

  /** Sets what a text has been read as; with a value goes the tolerance that was typed with it, or none, and its rated voltage where one was. @param {import("./field.js").Typed} typed */
  setTyped(name, place, typed) {
    const text = typed.value === "" ? undefined : typed.value;
    const rated = typed.rated ? { rated: typed.rated } : {};
    this.doc.change(setFields(this.doc.sketch, name, place === "value" ? { value: text, tolerance: typed.tolerance, ...rated } : { [place]: text }));
    this.speakSoon(name);
  }

  /** A capacitor becomes a polarised one, its + plate where it begins. */
  polarise(name) {
    this.setTyped(name, "reverse", { kind: "capacitor", value: REVERSE });
  }

  /** @returns {string|null} what is wrong with the new name, if anything */
  renamePart(name, next) {
    if (next === name) return null;
    if (!/^[A-Za-zΑ-Ωα-ω][A-Za-zΑ-Ωα-ω0-9_]{0,19}$/u.test(next)) return "A name begins with a letter; letters, digits and _ may follow, 20 in all.";
    if (partNamed(this.doc.sketch, next)) return `There is a part called ${next} already.`;
    this.doc.change(rename(this.doc.sketch, name, next));
    this.doc.select([next]);
    return null;
  }

  /** The preferred numbers round a part's value. @returns {Promise<Ladder|null>} */
  async ladder(part) {
    const meaning = await this.desk.reader.read(part.value ?? "", { kind: part.kind, place: "value" });
    return meaning.ok && meaning.steps?.length ? new Ladder(meaning) : null;
  }

  /** Steps a part's value by preferred numbers; quick steps count one by one. @param {string} name @param {number} by */
  step(name, by) {
    const { place } = this.desk.sheet;
    place.setAttribute("aria-busy", "true");
    const steps = this.#steps.then(() => this.#stepNow(name, by));
    this.#steps = steps;
    steps.then(() => steps === this.#steps && place.removeAttribute("aria-busy"));
  }

  async #stepNow(name, by) {
    const part = partNamed(this.doc.sketch, name);
    if (!part || !this.desk.kinds[part.kind].quantity) return;
    if (this.#walk?.name !== name || this.#walk.ladder.at(0) !== part.value || this.#walk.ladder.isAtEnd) {
      const ladder = await this.ladder(part);
      if (!ladder) return this.desk.tell(`${name} has no number to step from: Enter opens its value.`);
      this.#walk = { name, ladder };
    }
    const ladder = this.#walk.ladder.after(by);
    this.#walk = { name, ladder };
    if (ladder.at(0) !== part.value) {
      this.doc.change(setFields(this.doc.sketch, name, { value: ladder.at(0) }));
      this.speakSoon(name);
    }
  }

  addInSeries(name) {
    this.#add(addInSeries, name);
  }

  addInParallel(name) {
    this.#add(addInParallel, name);
  }

  #add(arrange, name) {
    const part = partNamed(this.doc.sketch, name);
    if (part.kind === "wire") return this.desk.tell("A wire has nothing to put in series or in parallel: select a part.");
    if (part.kind === TWO_WAY) return this.desk.tell("A two-way switch has three ends: nothing is in series or in parallel with it.");
    const { sketch, added } = arrange(this.doc.sketch, name, this.desk.kinds);
    this.doc.change(sketch);
    this.doc.select([added]);
    this.desk.afterSolving(() => this.desk.keepInSight());
    this.#tellShared();
    this.speakSoon(added);
  }

  turnRound() {
    const { parts } = this.doc.selection;
    if (!parts.size) return;
    const turned = turnRound(turnContacts(this.doc.sketch, parts), parts);
    if (this.doc.onePart && JSON.stringify(turned) === JSON.stringify(this.doc.sketch)) return this.desk.tell("There is no room for the second contact on the other side, or something is joined to it: drag it to where it should be.");
    this.doc.change(turned);
    if (!this.doc.onePart) return;
    const { name, kind, initial, reverse } = partNamed(turned, this.doc.onePart);
    // A starting voltage turns with its part, and a polarised part then stands the other way round: more changes than signs.
    if ((kind === "capacitor" || kind === "resistor") && initial === undefined && reverse === undefined) this.desk.tell(`${name} is counted the other way round now: its signs change, nothing else.`);
    this.speakSoon(name);
  }

  /** A newcomer takes a later stage for a drawing of its own. */
  #tellShared() {
    const { sketch } = this.doc;
    if (hasStages(sketch) && shownStage(sketch) > 0) this.desk.tell(SHARED);
  }

  removeSelected() {
    const { parts, joints } = this.doc.selection;
    if (!parts.size && !joints.size) return;
    const gone = [...parts];
    this.doc.change(removeParts(this.doc.sketch, parts, joints));
    this.desk.announce(gone.length ? `${gone.join(", ")} taken away` : "Taken away");
    this.#tellShared();
  }

  toggleSwitch(name) {
    const { sketch } = this.doc;
    const over = goneOver(partNamed(sketch, name));
    // In a sequence of stages a switch that goes over is what happens next.
    if (hasStages(sketch) && (isCopy(sketch, shownStage(sketch)) || this.#isBegun)) this.doc.change(withThrown(sketch, name));
    else if (hasStages(sketch) && sketch.stages.length < MOST_STAGES) this.doc.change(withNext(sketch, name));
    else {
      const held = !hasStages(sketch) && this.#isCharged;
      this.doc.change(setFields(sketch, name, over));
      if (held) this.desk.tell("Readings are counted from the start again.", { label: "Keep the charge instead", act: () => this.#goOnFromCharge(name) });
    }
    this.desk.announce(`${name} ${stateOf(partNamed(this.doc.sketch, name))}`);
  }

  get #isCharged() {
    const { currentSolution } = this.desk;
    return Object.values(currentSolution?.parts ?? {}).some(({ charge, energy }) => energy && charge.value !== 0);
  }

  /** A switch that was thrown becomes the second of two stages, which begins with the charge that there was before. */
  #goOnFromCharge(name) {
    const { sketch } = this.doc;
    const part = partNamed(sketch, name);
    if (hasStages(sketch) || !part || !isSwitch(part)) return;
    this.doc.change(withNext(begun(setFields(sketch, name, goneOver(part))), name));
  }

  /** Another stage, as the one shown until something is changed in it. */
  nextStage() {
    this.doc.change(withNext(this.doc.sketch));
    const { sketch } = this.doc;
    this.begunStage = { number: shownStage(sketch), count: sketch.stages.length };
  }

  get #isBegun() {
    const { sketch } = this.doc;
    return this.begunStage?.number === shownStage(sketch) && this.begunStage.count === sketch.stages.length;
  }

  makeZero(joint) {
    this.doc.change({ ...this.doc.sketch, zero: joint });
    this.desk.announce(`Joint ${joint} is at 0 volts`);
  }

  /** Keeps the readings between two joints on the sheet, or takes them off it. */
  toggleProbe(pair) {
    const probes = this.doc.sketch.probes ?? [];
    const same = (other) => samePair(other, pair);
    this.doc.change({ ...this.doc.sketch, probes: probes.some(same) ? probes.filter((each) => !same(each)) : [...probes, pair] });
  }

  coverAll() {
    this.doc.change(toggleAll(this.doc.sketch));
    this.desk.announce(this.doc.sketch.covered ? "Readings covered" : "Readings uncovered");
  }

  coverOne(key) {
    this.doc.change(toggleOne(this.doc.sketch, key));
  }

  /** Lays the whole drawing out anew. */
  tidy() {
    return this.desk.tidying.run();
  }

  /** Joints that move when a part is dragged: its own, or those of all that is selected with it. */
  jointsWith(name) {
    if (this.doc.selection.parts.has(name)) return this.jointsOfSelection();
    const part = partNamed(this.doc.sketch, name);
    return new Set(endsOf(part));
  }

  jointsOfSelection() {
    const { parts, joints } = this.doc.selection;
    const ends = this.doc.sketch.parts.filter((part) => parts.has(part.name)).flatMap(endsOf);
    return new Set([...joints, ...ends]);
  }

  /** A click on the sheet. @param {object|null} hit @param {boolean} shift whether it adds to the selection */
  clicked(hit, shift, point) {
    const { doc, desk } = this;
    const more = shift || (this.gathering && hit !== null);
    if (hit === null) this.gathering = false;
    const waiting = this.against;
    this.against = null;
    if (hit?.joint && waiting && waiting !== hit.joint) return doc.select([], [waiting, hit.joint]);
    if (hit?.reading && coverOf(doc.sketch)(hit.reading)) return this.coverOne(hit.reading);
    if (hit?.conductor) return this.#clickedFlag(hit.conductor);
    if (hit?.value && doc.selection.parts.has(hit.part) && !desk.readOnly) return this.open(hit.part);
    if (hit?.value && !more && !desk.readOnly) {
      doc.select([hit.part]);
      return this.open(hit.part);
    }
    if (hit?.part && !more && !desk.readOnly && doc.onePart === hit.part && isSwitch(partNamed(doc.sketch, hit.part))) return this.toggleSwitch(hit.part);
    const flip = (set, item) => new Set(set.has(item) ? [...set].filter((each) => each !== item) : [...set, item]);
    const { parts, joints } = doc.selection;
    if (hit?.joint) doc.select(more ? parts : [], more ? flip(joints, hit.joint) : [hit.joint]);
    else if (hit?.part) doc.select(more ? flip(parts, hit.part) : [hit.part], more ? joints : []);
    else if (!more) {
      doc.select();
      if (desk.sheet.gesture.cursor) desk.sheet.gesture.cursor = [Math.round(point[0]), Math.round(point[1])];
      desk.sheet.mark();
    }
    if (hit?.part) desk.announce(this.sentenceOf(hit.part));
  }

  #clickedFlag(id) {
    const conductor = this.desk.shownSolution?.conductors[id];
    if (!conductor) return;
    const key = conductor.joints.map((joint) => `joint ${joint}.potential`).find(coverOf(this.doc.sketch));
    if (key) this.coverOne(key);
    else this.doc.select([], [conductor.joints[0]]);
  }

  /** Enter on a part: a switch changes over, a wire asks what it is to be, others open their value. */
  open(name) {
    const part = partNamed(this.doc.sketch, name);
    if (isSwitch(part)) this.toggleSwitch(name);
    else if (part.kind === "wire") this.sayWhatItIs(name);
    else this.editText(name);
  }

  sentenceOf(name) {
    const part = partNamed(withFound(this.doc.sketch, this.desk.currentSolution, coverOf(this.doc.sketch)), name);
    return part ? sentence(part, this.desk.currentSolution?.parts[name], this.desk.table, coverOf(this.doc.sketch), strainOf(this.desk.currentSolution, name, coverOf(this.doc.sketch))) : "";
  }

  /** Says a part's readings as soon as they are there. */
  speakSoon(name) {
    this.desk.afterSolving(() => this.desk.announce(this.sentenceOf(name)));
  }

}
