// The bar under the sheet: what can be done with what is selected, for hands without a keyboard and as a reminder of keys.

import { isBuilt } from "./builds/words.js";
import { html, nameElement } from "./dom.js";
import { isSwitch, partNamed, samePair, throwing } from "./sketch.js";
import { hasStages } from "./stages/sequence.js";
import { TWO_WAY } from "./two_way.js";

const button = (text, key, act, label = null) => html("button", { type: "button", onclick: act, "aria-label": label }, text, ...(key ? [html("kbd", {}, key)] : []));

const nameOf = (name) => html("b", { class: "what" }, nameElement(name));

/** For hands without a Shift key: every click adds to the selection; and the clipboard. */
function gathering(desk) {
  const { editing } = desk;
  const toggle = button("Select more", "", () => {
    editing.gathering = !editing.gathering;
    desk.refreshActions();
  });
  toggle.setAttribute("aria-pressed", String(editing.gathering));
  const list = [toggle, button("Copy", "", () => desk.clipboard.copy())];
  for (const each of list) each.classList.add("by-touch");
  return list;
}

/** @param {import("./desk.js").Desk} desk @returns {HTMLElement[]} */
function forOnePart(desk, name) {
  const { editing } = desk;
  const part = partNamed(desk.doc.sketch, name);
  const turn = () => button("Turn round", "F", () => editing.turnRound());
  const away = () => button("Delete", "Del", () => editing.removeSelected());
  if (part.kind === "wire") return [nameOf(name), button("Say what it is", "Enter", () => editing.sayWhatItIs(name)), ...gathering(desk), away()];
  const list = [nameOf(name)];
  if (isSwitch(part)) list.push(button(throwing(part), "Enter", () => editing.toggleSwitch(name)));
  else list.push(button(isBuilt(part, desk.kinds) ? "Its build" : part.value || "Value", "Enter", () => editing.editText(name), `Value of ${name}`));
  if (part.kind === TWO_WAY) return [...list, turn(), ...gathering(desk), away()];
  list.push(button("In series", "+", () => editing.addInSeries(name)), button("In parallel", "/", () => editing.addInParallel(name)));
  list.push(turn(), away());
  // What is wanted less often stands last, where a narrow window cuts it off.
  const rare = gathering(desk);
  if (part.kind === "capacitor") rare.push(button(part.initial ? `Starts at ${part.initial}` : "Starts at…", "", () => editing.editText(name, "initial")));
  if (part.kind === "capacitor") {
    rare.push(button(part.rated ? `Rated ${part.rated}` : "Rated…", "", () => editing.editText(name, "rated"), `Rated voltage of ${name}`));
    rare.push(part.reverse ? button(`Reversed at most ${part.reverse}`, "", () => editing.editText(name, "reverse")) : button("Polarised", "", () => editing.polarise(name), `Make ${name} polarised`));
  }
  if (part.kind === "battery") rare.push(button(part.internal ? `Inside ${part.internal}` : "Inside…", "", () => editing.editText(name, "internal"), "Internal resistance"));
  return [...list, ...rare];
}

function forJoints(desk, joints) {
  const { editing, doc } = desk;
  const list = [html("b", { class: "what" }, joints.length === 1 ? `Joint ${joints[0]}` : `Joints ${joints.join(", ")}`)];
  if (joints.length === 1) {
    const [joint] = joints;
    const waiting = editing.against === joint;
    list.push(
      button(waiting ? "Now click the other joint" : "Measure to another joint", "", () => {
        editing.against = waiting ? null : joint;
        desk.refreshActions();
      }),
      button("Make it 0 V", "", () => editing.makeZero(joint)),
    );
  }
  if (joints.length === 2) {
    const kept = doc.sketch.probes?.some((pair) => samePair(pair, joints));
    list.push(button(kept ? "Drop the reading" : "Keep the reading", "", () => editing.toggleProbe(joints)));
  }
  return list;
}

/** @param {HTMLElement} place @param {import("./desk.js").Desk} desk */
export function showActions(place, desk) {
  const { parts, joints } = desk.doc.selection;
  const one = desk.doc.onePart;
  let list = [];
  if (one) list = forOnePart(desk, one);
  else if (joints.size && !parts.size) list = forJoints(desk, [...joints]);
  else if (parts.size || joints.size)
    list = [
      html("b", { class: "what" }, `${parts.size} ${parts.size === 1 ? "part" : "parts"}`),
      button("Turn round", "F", () => desk.editing.turnRound()),
      ...gathering(desk),
      button("Delete", "Del", () => desk.editing.removeSelected()),
    ];
  else if (desk.clipboard?.holds) list = [button("Paste", "Ctrl V", () => desk.clipboard.paste())];
  const had = place.contains(document.activeElement);
  place.replaceChildren(...list);
  if (had) desk.sheet.place.focus({ preventScroll: true, focusVisible: false });
}

/** One line on what to do next, for a sheet in this state. */
export function hintFor(desk) {
  const { sketch } = desk.doc;
  if (desk.readOnly) return "";
  if (sketch.parts.length === 0) return "Drag from dot to dot, then type what it is: 9 V, 22 µF, 1.5 kΩ, switch. An empty Enter makes a wire.";
  if (sketch.covered?.length) return "Click a “?” to show the class that reading: voltage, charge, then energy.";
  if (hasStages(sketch)) return "Click a switch twice to make the next stage; the drawing is shared by all stages.";
  const labels = [...(desk.sheet.drawn?.labels.values() ?? [])];
  if (labels.some(({ formulas }) => formulas)) return "Formulas that are too long for the sheet stand in the ledger.";
  if (labels.some(({ terse }) => terse)) return "Readings that find no room on the sheet stand in the ledger. Click a part to see them beside it.";
  return "Drag from dot to dot to draw. Click a part for what can be done with it; drag its value sideways to change it.";
}
