"""A line that says another network draws it anew and plainly, its parts named in reading order."""

from __future__ import annotations

import json
from dataclasses import replace
from pathlib import Path

import pytest

from solver import Sketch
from solver.say_it import change, known_parts, parse, write
from solver.say_it.description import named
from solver.sketch import Part, Question
from solver.tidy import draw
from tests.solver.drawn import crossings, drawn, mistakes

SAMPLES = json.loads((Path(__file__).resolve().parents[2] / "shared" / "samples.json").read_text("utf-8"))["samples"]
MIXED = Sketch.read(next(each["sketch"] for each in SAMPLES if each["id"] == "mixed"))
EMPTY = Sketch({}, ())


def typed(*lines: str, sketch: Sketch = MIXED) -> Sketch:
    """The sheet after these lines, each typed over what the one before has drawn."""
    for line in lines:
        sketch = change(line, sketch)
        assert Sketch.read(sketch.document()) == sketch
        assert crossings(sketch) == mistakes(sketch) == []
    return sketch


def places(sketch: Sketch) -> dict[str, tuple[tuple[int, int], tuple[int, int]]]:
    """Where each part lies, counted from the upper left corner of the drawing."""
    left, top = (min(spot[axis] for spot in sketch.joints.values()) for axis in (0, 1))
    lines = [line for line in drawn(sketch) if line.part.kind != "wire"]
    return {
        line.part.name: ((line.start[0] - left, line.start[1] - top), (line.end[0] - left, line.end[1] - top))
        for line in lines
    }


def part(sketch: Sketch, name: str) -> Part:
    return next(each for each in sketch.parts if each.name == name)


@pytest.mark.parametrize(
    "lines",
    [
        ["9 V : 1 kΩ + (2 kΩ ∥ 10 µF) + switch", "9 V : 10 µF + 5 µF"],
        ["9 V : 30 µF", "9 V : 30 µF + 5 µF"],
        ["9 V : 30 µF + 10 µF"],
        ["9 V : 10 µF ∥ 5 µF"],
        ["9 V : 10 µF + 5 µF", "9 V + 4.5 V (turned) : 10 µF + 5 µF"],
        ["9 V : 10 µF + 5 µF", "9 V : 10 µF + 5 µF + 2 µF", "9 V : 10 µF + 5 µF + 2 µF + 1 µF"],
        ["9 V : 6 × 10 µF in series", *(f"9 V : {n} × 10 µF in series" for n in (5, 4, 3)), "9 V : 10 µF + 10 µF"],
    ],
)
def test_a_line_typed_over_others_is_drawn_as_plainly_as_on_an_empty_sheet(lines):
    last = typed(*lines)
    assert places(last) == places(draw(named(parse(write(last).text or ""))))


def test_a_part_added_to_a_plain_drawing_moves_no_other():
    chain = typed("9 V : 1 kΩ + (10 µF ∥ 5 µF)", sketch=EMPTY)
    longer = typed("9 V : 1 kΩ + (10 µF ∥ 5 µF) + 2 µF", sketch=chain)
    before, after = places(chain), places(longer)
    assert all(after[name] == before[name] for name in ("R1", "C1", "C2"))
    switched = typed("9 V : switch + 30 µF + (10 µF ∥ 5 µF)")
    assert all(places(switched)[name] == spots for name, spots in places(MIXED).items())


def test_more_than_one_part_across_is_not_put_up_with():
    wide = typed("9 V : switch + 30 µF + (10 µF ∥ 5 µF)", "9 V : switch + 30 µF + (10 µF ∥ 5 µF) + switch")
    assert all(line.upright for line in drawn(wide) if line.part.kind != "wire")


@pytest.mark.parametrize(
    ("lines", "text"),
    [
        (["12 V : 10 µF + 10 µF"], "12 V : 10 µF + 10 µF"),
        (["12 V : 10 µF + 10 µF", "12 V : 9 × 10 µF + 1 µF"], "12 V : 9 × 10 µF + 1 µF"),
        (
            ["12 V : 9 × 10 µF + 1 µF", "V_0 : C + (2C ∥ C/3 ∥ 3/2 C)"],
            "V_0 : C + (2C ∥ C/3 ∥ 3C/2)",
        ),
        (["9 V : 10 µF"], "9 V : 10 µF"),
        (["9 V : (10 µF ∥ 5 µF) + 30 µF"], "9 V : (10 µF ∥ 5 µF) + 30 µF"),
        (["9 V : 10 µF ∥ 5 µF", "12 V : 4 µF ∥ 2 µF"], "12 V : 4 µF ∥ 2 µF"),
        (["9 V : (30 µF + 10 µF) ∥ 5 µF", "9 V : 10 µF ∥ 5 µF ∥ 2 µF"], "9 V : 10 µF ∥ 5 µF ∥ 2 µF"),
        (
            ["9 V : 30 µF + (((10 µF ∥ 10 µF) + 10 µF) ∥ 5 µF ∥ 10 µF)"],
            "9 V : 30 µF + (((10 µF ∥ 10 µF) + 10 µF) ∥ 5 µF ∥ 10 µF)",
        ),
        (["9 V : 1 µF + Cx = 2 µF"], "9 V : 1 µF + Cx = 2 µF"),
    ],
)
def test_another_network_has_its_parts_named_in_reading_order(lines, text):
    assert write(typed(*lines)).text == text


def test_in_an_edit_the_parts_that_stay_keep_their_names():
    assert write(typed("9 V : 10 µF ∥ 5 µF")).text == "9 V : C2 = 10 µF ∥ C3 = 5 µF"
    assert write(typed("9 V : 30 µF + (10 µF ∥ (5 µF + 1 kΩ))")).text == "9 V : 30 µF + (10 µF ∥ (5 µF + 1 kΩ))"
    assert write(typed("9 V : 2 µF + 30 µF + (10 µF ∥ 5 µF)")).text == "9 V : C4 = 2 µF + 30 µF + (10 µF ∥ 5 µF)"


def test_what_is_said_of_a_part_goes_on_with_its_name_in_another_network():
    said = replace(
        MIXED, covered=("*", "C1.charge", "C3.voltage"), questions=(Question("C2.voltage", at="1 s"),), zero="a"
    )
    other = typed("12 V : 4 µF + 2 µF", sketch=said)
    assert other.covered == ("*", "C1.charge")
    assert [each.reading for each in other.questions] == ["C2.voltage"]
    assert other.zero is None


def test_another_network_does_not_lie_as_the_old_parts_were_turned():
    around = replace(
        MIXED,
        parts=tuple(
            each._replace(start=each.end, end=each.start) if each.name == "C1" else each for each in MIXED.parts
        ),
    )
    other = typed("12 V : 4 µF + 2 µF", sketch=around)
    assert other.joints[part(other, "C1").start][1] < other.joints[part(other, "C1").end][1]


def test_a_bare_name_of_a_part_on_the_sheet_is_that_part():
    both = typed("9 V : C1 ∥ C2")
    assert write(both).text == "9 V : 30 µF ∥ 10 µF"
    assert write(typed("E1 : C3 + C1")).text == "9 V : C3 = 5 µF + 30 µF"
    assert write(typed("9 V : C_1 ∥ C1")).text == "9 V : C2 = C_1 ∥ 30 µF"
    assert write(typed("9 V : C1 ∥ C2", sketch=EMPTY)).text == "9 V : C_1 ∥ C_2"
    bridge = Sketch.read(next(each["sketch"] for each in SAMPLES if each["id"] == "bridge"))
    values = {each.name: each.value for each in bridge.parts}
    assert write(typed("9 V : C1 + C2", sketch=bridge)).text == f"9 V : {values['C1']} + {values['C2']}"


def test_a_bare_name_brings_all_that_is_said_of_the_part_and_brackets_say_it_anew():
    rated = typed("9 V : 30 µF (rated 16 V) + Lamp = 50 Ω")
    assert write(typed("9 V : C1 ∥ Lamp", sketch=rated)).text == "9 V : 30 µF (rated 16 V) ∥ Lamp = 50 Ω"
    assert write(typed("9 V : C1 (rated 25 V) ∥ Lamp", sketch=rated)).text == "9 V : 30 µF (rated 25 V) ∥ Lamp = 50 Ω"


def test_the_line_of_a_sheet_means_the_same_on_it_where_a_value_is_somebodys_name():
    odd = typed("V_0 : C = 10 µF + C1 = C + S1 = switch", sketch=EMPTY)
    line = write(odd).text or ""
    assert line == "V_0 : C = 10 µF + C1 = C + switch"
    assert change(line, odd) == odd
    assert "switch" not in known_parts(typed("9 V : switch = switch + C", sketch=EMPTY))
