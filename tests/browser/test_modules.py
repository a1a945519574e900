"""The modules that need no page: the sketch and its edits, the history, the view, covering, words, the ladder."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

import pytest

from tests.browser.module_page import sample_sketches, shared

Run = Callable[..., Any]

MIXED = sample_sketches()[3]
KINDS = shared("kinds")
# Nothing that an edit is given may change: what is frozen throws when written to. Numbers that look random, seeded.
FROZEN = """
  const freeze = (thing) => {
    if (thing && typeof thing === "object") Object.values(Object.freeze(thing)).forEach(freeze);
    return thing;
  };
  const dice = (seed) => () => ((seed = (seed * 1103515245 + 12345) % 2147483648) / 2147483648);
"""


def edit(run: Run, call: str, **given: Any) -> Any:
    """What a function of sketch.js makes of a frozen sketch."""
    body = f"{FROZEN} const module = await import('/static/sketch.js'); const s = freeze(given.sketch); return {call};"
    return run(body, {"sketch": MIXED, **given})


def part(sketch: dict[str, Any], name: str) -> dict[str, Any]:
    return next(each for each in sketch["parts"] if each["name"] == name)


def test_turning_round_swaps_the_ends_and_nothing_else(run: Run) -> None:
    turned = edit(run, "module.turnRound(s, new Set(['C1']))")
    before = part(MIXED, "C1")
    assert part(turned, "C1") == {**before, "from": before["to"], "to": before["from"]}
    assert [each for each in turned["parts"] if each["name"] != "C1"] == [
        each for each in MIXED["parts"] if each["name"] != "C1"
    ]


def test_a_part_taken_away_takes_its_loose_joints_and_what_is_said_of_them_along(run: Run) -> None:
    sketch = {**MIXED, "probes": [["d", "f"], ["a", "c"]], "covered": ["C2.voltage", "C1.charge", "joint d.potential"]}
    left = edit(run, "module.removeParts(s, new Set(['C2', 'W2']))", sketch=sketch)
    assert set(left["joints"]) == set(MIXED["joints"]) - {"d"}
    assert left["probes"] == [["a", "c"]]
    assert left["covered"] == ["C1.charge"]


def test_a_joint_taken_away_takes_every_part_at_it_along(run: Run) -> None:
    left = edit(run, "module.removeParts(s, new Set(), new Set(['c']))")
    assert {each["name"] for each in left["parts"]} == {"E1", "W1", "C2", "C3", "W4", "W5"}
    assert "c" not in left["joints"]


def test_a_zero_that_is_gone_is_no_longer_named(run: Run) -> None:
    left = edit(run, "module.removeParts(s, new Set(), new Set(['0']))")
    assert "zero" not in left


def test_a_new_name_takes_what_is_covered_along(run: Run) -> None:
    sketch = {**MIXED, "covered": ["C1.charge", "C10.charge", "*"]}
    renamed = edit(run, "module.rename(s, 'C1', 'Cx')", sketch=sketch)
    assert renamed["covered"] == ["Cx.charge", "C10.charge", "*"]


def test_two_joints_become_one_in_parts_zero_and_probes(run: Run) -> None:
    sketch = {**MIXED, "probes": [["0", "c"], ["0", "f"]]}
    merged = edit(run, "module.mergeJoints(s, '0', 'f')", sketch=sketch)
    assert merged["zero"] == "f"
    assert merged["probes"] == [["f", "c"]]
    assert "0" not in merged["joints"]
    assert part(merged, "E1")["to"] == "f"


def test_fresh_names_fill_gaps_and_fresh_joints_are_not_in_use(run: Run) -> None:
    assert edit(run, "module.freshName(['C1', 'C3', 'R2'], 'C')") == "C2"
    assert edit(run, "module.freshJoint(s)") == "h"
    many = {**MIXED, "joints": {letter: [0, 0] for letter in "abcdefghijklmnopqrstuvwxyz"}}
    assert edit(run, "module.freshJoint(s)", sketch=many) == "a1"


def test_a_piece_is_put_on_the_sheet_under_names_and_joints_of_its_own(run: Run) -> None:
    pasted = edit(
        run,
        "(({ sketch, added }) => ({ sketch, added: [...added] }))"
        "(module.insertPiece(s, module.excerpt(s, new Set(['C2', 'C3'])), [2, 3], given.kinds))",
        kinds=KINDS["kinds"],
    )
    assert pasted["added"] == ["C4", "C5"]
    sketch = pasted["sketch"]
    assert [sketch["joints"][joint] for joint in MIXED["joints"]] == list(MIXED["joints"].values())
    for old, new in (("C2", "C4"), ("C3", "C5")):
        for end in ("from", "to"):
            x, y = MIXED["joints"][part(MIXED, old)[end]]
            assert sketch["joints"][part(sketch, new)[end]] == [x + 2, y + 3]
            assert part(sketch, new)[end] not in MIXED["joints"]


HISTORY = (
    FROZEN
    + """
  const random = dice(given);
  const { SheetDocument } = await import('/static/document.js');
  const sketchOf = (number) => freeze({ joints: { [`j${number}`]: [number, 0] }, parts: [{ name: `C${number}` }] });
  const doc = new SheetDocument(sketchOf(0));
  // The plain model: all sheets so far, and which of them is shown.
  let [past, at, made, base] = [[doc.sketch], 0, 0, null];
  const step = (sketch) => { past = [...past.slice(0, at + 1), sketch]; at += 1; };
  const doings = {
    change() { base = null; const sketch = sketchOf((made += 1)); doc.change(sketch); step(sketch); },
    same() { base = null; doc.change(doc.settled); },
    preview() { base ??= past[at]; doc.preview(sketchOf((made += 1))); },
    settle() { const shown = doc.sketch; doc.settle(); if (base !== null && shown !== base) step(shown); base = null; },
    cancel() { base = null; doc.cancelPreview(); },
    undo() { base = null; doc.undo(); at = Math.max(0, at - 1); },
    redo() { base = null; doc.redo(); at = Math.min(past.length - 1, at + 1); },
    select() { doc.select(doc.sketch.parts.map((each) => each.name), Object.keys(doc.sketch.joints)); },
  };
  const names = Object.keys(doings);
  const trail = [];
  for (let turn = 0; turn < 1000; turn += 1) {
    const name = names[Math.floor(random() * names.length)];
    doings[name]();
    trail.push(name);
    const told = trail.slice(-6).join(" ");
    if (doc.settled !== past[at]) return `another sheet after ${told}`;
    if (base === null && doc.sketch !== past[at]) return `another sheet shown after ${told}`;
    if (doc.canUndo !== at > 0) return `undo not as it should be after ${told}`;
    if (doc.canRedo !== at < past.length - 1) return `redo not as it should be after ${told}`;
    const there = [...doc.sketch.parts.map((each) => each.name), ...Object.keys(doc.sketch.joints)];
    const selected = [...doc.selection.parts, ...doc.selection.joints];
    if (selected.some((each) => !there.includes(each))) return `what is gone is selected after ${told}`;
  }
  doings.cancel();
  for (let left = at; left > 0; left -= 1) doc.undo();
  if (doc.sketch !== past[0] || doc.canUndo) return "not the first sheet after all was undone";
  for (let left = 0; left < past.length - 1; left += 1) doc.redo();
  return doc.sketch === past[past.length - 1] && !doc.canRedo ? "" : "not the last sheet after all was redone";
"""
)


@pytest.mark.parametrize("seed", range(4))
def test_any_run_of_changes_gestures_undo_and_redo_shows_the_sheet_it_should(run: Run, seed: int) -> None:
    assert run(HISTORY, seed) == ""


def test_every_change_is_told_to_those_who_listen_and_nothing_else(run: Run) -> None:
    told = run(
        """
        const { SheetDocument } = await import('/static/document.js');
        const doc = new SheetDocument({ joints: {}, parts: [] });
        const told = [];
        doc.listen((what) => told.push(what));
        doc.change(doc.sketch);
        doc.undo();
        doc.settle();
        doc.cancelPreview();
        doc.change({ joints: {}, parts: [] });
        doc.select([]);
        doc.undo();
        return told;
        """
    )
    assert told == ["sketch", "selection", "sketch"]


VIEWS = (
    FROZEN
    + """
  const { View } = await import('/static/view.js');
  const random = dice(given);
  const near = (a, b) => a.every((each, index) => Math.abs(each - b[index]) < 1e-6);
  let view = new View();
  for (let turn = 0; turn < 300; turn += 1) {
    const [px, py] = [random() * 900, random() * 600];
    const under = view.toGrid(px, py);
    if (!near(view.toPixels(under), [px, py])) return "pixels → grid → pixels";
    const zoomed = view.zoomedAt(0.4 + random() * 2, px, py);
    if (!near(zoomed.toGrid(px, py), under)) return "the point under the pointer moved";
    if (zoomed.scale < 0.1 - 1e-9 || zoomed.scale > 4 + 1e-9) return "nearer or farther than one may";
    const panned = zoomed.pannedBy(px - 450, py - 300);
    if (!near(panned.toGrid(px, py), zoomed.toGrid(450, 300))) return "panned";
    const box = { left: -random() * 900, top: -random() * 900, right: random() * 900, bottom: random() * 900 };
    const fitted = View.fitting(box, 900, 600, 1.35);
    const [left, top] = fitted.toPixels([box.left / 24, box.top / 24]);
    const [right, bottom] = fitted.toPixels([box.right / 24, box.bottom / 24]);
    if (Math.min(left, top, 900 - right, 600 - bottom) < -1e-6) return "the box is not whole in the window";
    view = turn % 20 ? panned : new View();
  }
  return "";
"""
)


@pytest.mark.parametrize("seed", range(2))
def test_a_view_is_undone_exactly_by_its_inverse_and_zooms_about_the_pointer(run: Run, seed: int) -> None:
    assert run(VIEWS, seed) == ""


SOLUTION = {
    "parts": {"C1": {"voltage": {}, "charge": {}}, "R1": {"current": {}}},
    "conductors": {"k1": {"joints": ["a", "b"]}, "k2": {"joints": ["0"]}},
    "probes": [{"between": ["a", "0"], "voltage": {}, "capacitance": {}, "resistance": None}],
    "totals": {"energy": {}},
}
ALL_KEYS = {
    "C1.voltage",
    "C1.charge",
    "R1.current",
    "joint a.potential",
    "joint 0.potential",
    "probe a 0.voltage",
    "probe a 0.capacitance",
    "total.energy",
}
COVERING = (
    "const module = await import('/static/covering.js'); const { readingKeys, toggleAll, toggleOne, coverOf } = module;"
)


def test_all_are_covered_and_uncovered_and_the_sketch_is_as_before(run: Run) -> None:
    assert run(f"{COVERING} return toggleAll(toggleAll(given));", MIXED) == MIXED
    assert run(f"{COVERING} return coverOf(toggleAll(given))('anything.at all');", MIXED) is True


def test_one_is_covered_and_uncovered_and_the_sketch_is_as_before(run: Run) -> None:
    given = {"sketch": MIXED, "solution": SOLUTION}
    twice = "toggleOne(toggleOne(given.sketch, 'C1.voltage'), 'C1.voltage')"
    assert run(f"{COVERING} return {twice};", given) == MIXED


def test_one_of_all_uncovered_leaves_every_other_covered(run: Run) -> None:
    given = {"sketch": MIXED, "solution": SOLUTION, "keys": sorted(ALL_KEYS)}
    left = run(
        f"{COVERING} const covers = coverOf(toggleOne(toggleAll(given.sketch), 'C1.charge'));"
        "return given.keys.filter(covers);",
        given,
    )
    assert set(left) == ALL_KEYS - {"C1.charge"}


@pytest.mark.parametrize(
    ("text", "words"),
    [
        ("90.0 µC", "90.0 microcoulombs"),
        ("30 µF", "30 microfarads"),
        ("3.00 V", "3.00 volts"),
        ("−3.00 V", "minus 3.00 volts"),
        ("1 V", "1 volt"),
        ("4.7 nF", "4.7 nanofarads"),
        ("1.5 kΩ", "1.5 kiloohms"),
        ("120 mA", "120 milliamperes"),
        ("0 J", "0 joules"),
        ("2.20 MΩ", "2.20 megaohms"),
        ("2C", "2C"),
        ("V₀/3", "V₀/3"),
    ],
)
def test_quantities_are_said_in_words(run: Run, text: str, words: str) -> None:
    given = {"text": text, "table": KINDS}
    assert run("return (await import('/static/spoken.js')).inWords(given.text, given.table);", given) == words


@pytest.mark.parametrize(
    ("what", "readings", "words"),
    [
        (
            {"name": "C1", "kind": "capacitor", "value": "30 µF"},
            {"voltage": "3.00 V", "charge": "90.0 µC"},
            "C1, 30 microfarads, 3.00 volts, charge covered",
        ),
        ({"name": "C2", "kind": "capacitor"}, {}, "C2, capacitor without a value"),
        ({"name": "S1", "kind": "switch", "closed": True}, {}, "S1, closed"),
        ({"name": "W1", "kind": "wire"}, {}, "W1, wire"),
    ],
)
def test_a_part_is_said_with_its_readings_and_never_with_covered_ones(
    run: Run, what: dict[str, Any], readings: dict[str, str], words: str
) -> None:
    given = {"part": what, "readings": {key: {"text": text} for key, text in readings.items()}, "table": KINDS}
    said = run(
        "const { sentence } = await import('/static/spoken.js');"
        "return sentence(given.part, given.readings, given.table, (key) => key === 'C1.charge');",
        given,
    )
    assert said == words


def test_a_ladder_is_climbed_step_by_step_and_stops_at_its_ends(run: Run) -> None:
    climbed = run(
        """
        const { Ladder } = await import('/static/ladder.js');
        const ladder = new Ladder(given);
        const after = [ladder.after(1).after(1), ladder.after(9).after(-1)];
        return [...[0, 1, -1, 9, -9].map((by) => ladder.at(by)), ...after.map((each) => each.at(0))];
        """,
        {"steps": ["a", "b", "c", "d"], "position": 1},
    )
    assert climbed == ["b", "c", "a", "d", "a", "d", "c"]
