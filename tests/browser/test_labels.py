"""What is written beside parts lies on no neighbour where that can be avoided: it is broken, set narrow, put on the
free side, or its readings are left to the ledger."""

from __future__ import annotations

from collections.abc import Callable
from math import hypot
from typing import Any

import pytest

from solver import solve
from tests.browser.module_page import shared

Run = Callable[..., Any]
Box = tuple[float, float, float, float]

STEP = 24
KINDS = shared("kinds")["kinds"]
# Square sheet units of a box of writing, which has a margin round the letters, on something else.
HARDLY = 30
LONG = 18  # characters of a formula
PICTURE = """
  const { picture } = await import('/static/drawing/picture.js');
  const style = { kinds: given.kinds, big: given.big ?? 1, zigzag: false, overlays: { V: true, Q: true, U: true } };
  const marked = { selected: new Set(given.selected ?? []), joints: new Set(), faulty: new Set(), pair: null };
  const drawn = picture(given.sketch, given.solution, style, marked, () => false);
  const round = ({ key, attributes: { cx, cy, r } }) => [key.slice("disc ".length), [cx, cy, r]];
  const discs = Object.fromEntries(drawn.layers.discs.map(round));
  const written = ([name, { value, readings }]) => [name, { value, readings }];
  const labels = Object.fromEntries([...drawn.labels].map(written));
  return { labels, discs, flags: drawn.flags.map(({ box }) => box), box: drawn.box };
"""


def part(name: str, kind: str, start: str, end: str, **more: str) -> dict[str, str]:
    return {"name": name, "kind": kind, "from": start, "to": end, **more}


def side_by_side(apart: int, second: dict[str, str]) -> dict[str, Any]:
    """A battery, a capacitor four dots to the right, and another part some dots to the right of that."""
    across = {"1": 2, "2": 6, "3": 6 + apart}
    joints = {f"{end}{n}": [x, y] for n, x in across.items() for end, y in (("a", 2), ("z", 8))}
    wires = [part(f"W{end}{n}", "wire", f"{end}{n}", f"{end}{n + 1}") for end in "az" for n in (1, 2)]
    parts = [
        part("E1", "battery", "a1", "z1", value="9 V"),
        part("C1", "capacitor", "a2", "z2", value="10 µF"),
        {"from": "a3", "to": "z3", **second},
    ]
    return {"joints": joints, "parts": [*parts, *wires]}


CAPACITOR = {"name": "C2", "kind": "capacitor", "value": "22 µF"}
RESISTOR = {"name": "R1", "kind": "resistor", "value": "1 kΩ"}
WITH_SWITCHES = {
    "joints": {"a": [4, 3], "b": [9, 3], "c": [14, 3], "0": [4, 12], "d": [9, 12], "e": [14, 12]},
    "parts": [
        part("E1", "battery", "a", "0", value="12 V"),
        part("S1", "switch", "a", "b"),
        part("C1", "capacitor", "b", "d", value="6 µF", rated="25 V"),
        part("S2", "switch", "b", "c"),
        part("C2", "capacitor", "c", "e", value="3 µF"),
        part("W1", "wire", "0", "d"),
        part("W2", "wire", "d", "e"),
    ],
}
CROWDED = {
    **{f"capacitor {n} dots apart": side_by_side(n, CAPACITOR) for n in (4, 5, 6, 7, 8)},
    **{f"resistor {n} dots apart": side_by_side(n, RESISTOR) for n in (4, 5, 6)},
    "switches": WITH_SWITCHES,
}


def drawn(run: Run, sketch: dict[str, Any], **more: Any) -> dict[str, Any]:
    made: dict[str, Any] = run(
        PICTURE, {"sketch": sketch, "solution": solve(sketch).document(), "kinds": KINDS, **more}
    )
    return made


def overlap(one: Box, other: Box) -> float:
    w = min(one[0] + one[2], other[0] + other[2]) - max(one[0], other[0])
    h = min(one[1] + one[3], other[1] + other[3]) - max(one[1], other[1])
    return max(0.0, w) * max(0.0, h)


def box(of: dict[str, float]) -> Box:
    return of["x"], of["y"], of["w"], of["h"]


def ends(sketch: dict[str, Any], each: dict[str, str]) -> tuple[list[int], list[int]]:
    return sketch["joints"][each["from"]], sketch["joints"][each["to"]]


def line_box(sketch: dict[str, Any], each: dict[str, str]) -> Box:
    """Every line in these sketches is straight."""
    (ax, ay), (bx, by) = ends(sketch, each)
    left, top = min(ax, bx) * STEP - 1.5, min(ay, by) * STEP - 1.5
    return left, top, abs(ax - bx) * STEP + 3, abs(ay - by) * STEP + 3


def symbol_box(sketch: dict[str, Any], each: dict[str, str]) -> Box:
    (ax, ay), (bx, by) = ends(sketch, each)
    drawing = KINDS[each["kind"]]["drawing"]
    w, h = (drawing["side"], drawing["reach"]) if ax == bx else (drawing["reach"], drawing["side"])
    return (ax + bx) / 2 * STEP - w, (ay + by) / 2 * STEP - h, 2 * w, 2 * h


def on_others(sketch: dict[str, Any], made: dict[str, Any], owner: str) -> list[str]:
    """What the writing beside a part lies on, flags and other writing included."""
    label = made["labels"][owner]
    written = [box(label["value"]), *(box(reading["box"]) for reading in label["readings"])]
    things = [(f"line of {each['name']}", line_box(sketch, each)) for each in sketch["parts"]]
    things += [
        (f"symbol of {each['name']}", symbol_box(sketch, each))
        for each in sketch["parts"]
        if each["kind"] != "wire" and each["name"] != owner
    ]
    things += [("a flag", box(flag)) for flag in made["flags"]]
    for name, other in made["labels"].items():
        if name != owner:
            things += [
                (f"label of {name}", box(each)) for each in (other["value"], *(r["box"] for r in other["readings"]))
            ]
    hit = [what for what, thing in things if any(overlap(each, thing) > HARDLY for each in written)]
    for name, (cx, cy, r) in made["discs"].items():
        near = [hypot(max(x - cx, 0, cx - x - w), max(y - cy, 0, cy - y - h)) for x, y, w, h in written]
        if name != owner and min(near) < r - 6:
            hit.append(f"disc of {name}")
    return hit


@pytest.mark.parametrize("title", CROWDED)
def test_writing_lies_on_no_neighbour(run: Run, title: str) -> None:
    sketch = CROWDED[title]
    made = drawn(run, sketch)
    assert [hit for name in made["labels"] for hit in on_others(sketch, made, name)] == []


@pytest.mark.parametrize(("apart", "count"), [(4, 0), (7, 3), (12, 3)])
def test_readings_are_left_to_the_ledger_only_where_they_find_no_room(run: Run, apart: int, count: int) -> None:
    made = drawn(run, side_by_side(apart, CAPACITOR))
    assert len(made["labels"]["C1"]["readings"]) == count
    assert len(made["labels"]["C2"]["readings"]) == 3


def test_a_part_that_is_chosen_has_its_readings_beside_it(run: Run) -> None:
    made = drawn(run, side_by_side(4, CAPACITOR), selected=["C1"])
    assert len(made["labels"]["C1"]["readings"]) == 3


def test_formulas_that_are_long_stand_in_the_ledger_alone(run: Run) -> None:
    """Two in series: the charge is V_0 C_1 C_2/(C_1 + C_2), the energies are longer still."""
    joints = {"a": [4, 2], "b": [12, 2], "c": [12, 7], "0": [12, 12], "d": [4, 12]}
    parts = [
        part("E1", "battery", "a", "d", value="V_0"),
        part("W1", "wire", "a", "b"),
        part("C1", "capacitor", "b", "c", value="C_1"),
        part("C2", "capacitor", "c", "0", value="C_2"),
        part("W2", "wire", "0", "d"),
    ]
    sketch = {"joints": joints, "parts": parts}
    readings = solve(sketch).document()["parts"]["C1"]
    assert len(readings["energy"]["text"]) > LONG
    made = drawn(run, sketch)
    shown = [each["key"] for each in made["labels"]["C1"]["readings"]]
    assert shown == [f"C1.{name}" for name in ("voltage", "charge") if len(readings[name]["text"]) <= LONG]
    # The drawing is no wider than the network with a label of two short readings on one side of it.
    assert made["box"]["right"] - made["box"]["left"] < 8 * STEP + 300
