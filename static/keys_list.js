// The list of keys and gestures.

import { openDialog } from "./dialogs.js";
import { html } from "./dom.js";

const GESTURES = [
  ["Drag from dot to dot", "draw a line, then type what it is"],
  ["Drag a part by its symbol", "move it whole; what is joined to it stretches"],
  ["Click a joint, then drag it", "move the joint"],
  ["Drop an end on a line", "join it there"],
  ["Drag a value sideways", "step through preferred numbers (IEC 60063)"],
  ["Click a value", "type another"],
  ["Type ? as a value", "ask what it must be for the reading you want"],
  ["Shift and click", "select several parts, or pick two joints to read between them"],
  ["Shift and drag", "select what lies in a box"],
  ["Wheel, two fingers", "zoom; two fingers or the middle button move the sheet"],
];
const KEYS = [
  ["Arrows", "move the cursor dot (Shift: five steps); with a part selected, step its value"],
  ["Enter", "begin a line at the dot, end it; open the value of the selected part"],
  ["1 … 9", "type another value for the selected part"],
  ["Space", "select what is at the dot (Shift: add it to the selection)"],
  ["N, Shift N", "select the next part, the one before"],
  ["+", "another in series with the selected part"],
  ["/", "another in parallel with it"],
  ["T", "tidy: lay the whole drawing out anew, as on a board"],
  ["M", "pick up what is selected; arrows move it, Enter puts it down"],
  ["F", "turn the selected parts round"],
  ["Delete", "take away what is selected"],
  ["V  Q  U", "show or hide potential, charge, energy"],
  [".", "cover all readings, uncover them"],
  ["W", "open the worked solution, close it"],
  ["0", "fit the drawing to the window"],
  ["Home, K, Shift K, End", "the moment just after the switches, after one time constant, after five, the end"],
  ["P", "play the stage, pause it"],
  ["Ctrl Z, Ctrl Shift Z", "undo, redo"],
  ["Ctrl A, Ctrl C, Ctrl X, Ctrl V", "select all, copy, cut, paste, also into another tab"],
  ["Escape", "drop what is being done, let go of the selection"],
];

const STEPS = [
  ["Right, Left", "the next step, the one before (while the focus is in the solution or nowhere)"],
  ["Page Down, Page Up", "the same from anywhere, as on a presenter's remote"],
  ["Down, Up", "read on; at the end of what is shown, the next step"],
  ["Home, End", "the opening alone; all steps"],
  ["Escape", "close the worked solution"],
];

const MOMENTS = [
  ["Right, Left", "a tenth of a time constant on, or back (Shift: half of one)"],
  ["Page Up, Page Down", "a whole time constant on, or back"],
  ["0 or Home, 1, 5, End", "just after the start, after one time constant, after five, the end"],
  ["Space", "play, pause"],
];

const list = (rows) => html("dl", { class: "keys-list" }, ...rows.flatMap(([what, does]) => [html("dt", {}, what), html("dd", {}, does)]));

export function showKeys() {
  openDialog("Keys and gestures", [html("h3", {}, "On the sheet"), list(GESTURES), html("h3", {}, "Keys, while the sheet has the focus"), list(KEYS), html("h3", {}, "Keys of the time line, while it has the focus"), list(MOMENTS), html("h3", {}, "Keys of the worked solution"), list(STEPS)]);
}
