"""An edited line changes on the sheet what it changes in the line, and nothing else."""

from __future__ import annotations

import json
from dataclasses import replace
from fractions import Fraction
from pathlib import Path

import pytest
from hypothesis import given

from solver import Sketch, solve
from solver.say_it import LineFaults, change, parse, write
from solver.say_it.description import all_items, named, with_items
from solver.say_it.line import as_written
from solver.say_it.writing import text_of
from solver.sketch import Requirement, Stage
from tests.solver.exactly import fraction
from tests.solver.say_it_trees import capacitance, descriptions, sheets

SAMPLES = json.loads((Path(__file__).resolve().parents[2] / "shared" / "samples.json").read_text("utf-8"))["samples"]
MIXED = Sketch.read(next(each["sketch"] for each in SAMPLES if each["id"] == "mixed"))
LINE = "9 V : 30 µF + (10 µF ∥ 5 µF)"
SPOKEN_OF = replace(
    MIXED,
    probes=(("b", "0"),),
    covered=("*", "but C2.voltage", "C3.charge", "joint b.potential", "total.energy"),
)
EMPTY = Sketch({}, (), title="Lantern", figures=4)


def edited(line, sketch=SPOKEN_OF):
    """The changed sheet, which is a sheet that could have been sent."""
    changed = change(line, sketch)
    assert Sketch.read(changed.document()) == changed
    return changed


def part(sketch, name):
    return next(each for each in sketch.parts if each.name == name)


def names(sketch):
    return [each.name for each in sketch.parts if each.kind != "wire"]


def test_the_line_of_the_sheet_changes_nothing():
    assert write(SPOKEN_OF).text == LINE
    assert edited(LINE) == SPOKEN_OF


@pytest.mark.parametrize(
    ("line", "name", "entries"),
    [
        ("9 V : 30 µF + (22 µF ∥ 5 µF)", "C2", {"value": "22 µF"}),
        ("9 V : 30 µF + (10 µF (starts at 3 V) ∥ 5 µF)", "C2", {"initial": "3 V"}),
        ("9 V : 30 µF + (10 µF (rated 16 V) ∥ 5 µF)", "C2", {"rated": "16 V"}),
        ("9 V (inside 1 Ω) : 30 µF + (10 µF ∥ 5 µF)", "E1", {"internal": "1 Ω"}),
        ("V_0 : 30 µF + (10 µF ∥ 5 µF)", "E1", {"value": "V_0"}),
        ("9 V : 30 µF + (10 µF ∥ C3 = C)", "C3", {"value": "C"}),
    ],
)
def test_a_changed_value_moves_nothing(line, name, entries):
    changed = edited(line)
    expected = tuple(each._replace(**entries) if each.name == name else each for each in SPOKEN_OF.parts)
    assert changed == replace(SPOKEN_OF, parts=expected)


def test_texts_that_say_the_same_stay_as_typed():
    typed = replace(
        MIXED, parts=tuple(each._replace(value="10uf") if each.name == "C2" else each for each in MIXED.parts)
    )
    assert part(edited("9 V : 30 µF + (10 µF ∥ 6 µF)", typed), "C2").value == "10uf"


def test_what_is_taken_out_of_the_brackets_is_taken_from_the_part():
    charged = edited("9 V : 30 µF + (10 µF (rated 16 V) ∥ 5 µF)")
    assert edited(LINE, charged) == SPOKEN_OF


def test_a_new_name_goes_where_the_old_one_stood():
    changed = edited("9 V : 30 µF + (Cx = 10 µF ∥ 5 µF)")
    assert names(changed) == ["E1", "C1", "Cx", "C3"]
    assert changed.joints == MIXED.joints
    assert changed.covered == ("*", "but Cx.voltage", "C3.charge", "joint b.potential", "total.energy")


def test_a_name_that_a_wire_had_is_the_parts():
    changed = edited("9 V : W1 = 30 µF + (10 µF ∥ 5 µF)")
    assert part(changed, "W1").kind == "capacitor"
    assert len({each.name for each in changed.parts}) == len(changed.parts) == len(MIXED.parts)


def test_another_kind_takes_the_place_under_a_name_of_its_own():
    changed = edited("9 V : 30 µF + (1 kΩ ∥ 5 µF)")
    assert names(changed) == ["E1", "C1", "R1", "C3"]
    here, there = part(MIXED, "C2"), part(changed, "R1")
    assert (there.start, there.end, there.value) == (here.start, here.end, "1 kΩ")
    assert changed.covered == ("*", "C3.charge", "joint b.potential", "total.energy")


def test_a_part_turned_in_the_line_is_turned_on_the_sheet():
    changed = edited("9 V : 30 µF + (10 µF (turned, starts at 3 V) ∥ 5 µF)")
    here, there = part(MIXED, "C2"), part(changed, "C2")
    assert (there.start, there.end) == (here.end, here.start)
    assert edited("9 V : 30 µF + (10 µF (starts at 3 V) ∥ 5 µF)", changed).joints == MIXED.joints


def test_what_stood_side_by_side_with_a_part_taken_away_stays_where_it_is():
    three = replace(edited("9 V : 30 µF + (10 µF ∥ 5 µF ∥ 2 µF)", EMPTY), covered=("*", "but C2.voltage", "C4.charge"))
    changed = edited("9 V : 30 µF + (10 µF ∥ 5 µF)", three)
    assert names(changed) == ["E1", "C1", "C2", "C3"]
    assert set(changed.joints.items()) < set(three.joints.items())
    assert all(each in three.parts for each in changed.parts)
    assert changed.covered == ("*", "but C2.voltage")


def test_a_part_taken_out_of_a_chain_leaves_a_wire():
    drawn = edited("9 V : 1 kΩ + 30 µF + 2 kΩ + (10 µF ∥ 5 µF)", EMPTY)
    changed = edited("9 V : 1 kΩ + 2 kΩ + (10 µF ∥ 5 µF)", drawn)
    assert names(changed) == ["E1", "R1", "R2", "C2", "C3"]
    assert changed.joints == drawn.joints
    assert write(changed).text == "9 V : 1 kΩ + 2 kΩ + (C2 = 10 µF ∥ C3 = 5 µF)"


def test_a_whole_group_can_be_taken_away():
    drawn = edited("9 V : 1 kΩ + 30 µF + 2 kΩ + (10 µF ∥ 5 µF)", EMPTY)
    changed = edited("9 V : 1 kΩ + 30 µF + 2 kΩ", drawn)
    assert names(changed) == ["E1", "R1", "C1", "R2"]
    # What the group would leave is a wire with corners, so the column is drawn anew, without a gap.
    spots = [changed.joints[joint] for name in ("R1", "C1", "R2") for joint in part(changed, name).ends]
    assert len({across for across, _ in spots}) == 1
    assert [down for _, down in spots] == [0, 6, 6, 12, 12, 18]


def test_the_joint_at_zero_is_the_same_conductor_when_its_joint_goes():
    sketch = replace(MIXED, zero="g")
    changed = edited("9 V : 30 µF + 10 µF", sketch)
    assert "g" not in changed.joints
    assert solve(changed).joints[changed.zero].potential.exact == 0
    assert fraction(solve(changed).joints["a"].potential) == 9


def test_a_part_that_comes_in_leaves_names_zero_probes_and_covers_with_the_others():
    changed = edited("9 V : 30 µF + 1 µF + (10 µF ∥ 5 µF)")
    assert names(changed) == ["E1", "C1", "C4", "C2", "C3"]
    assert write(changed).text == "9 V : 30 µF + C4 = 1 µF + (10 µF ∥ 5 µF)"
    solution = solve(changed)
    # In series 1/(1/30 + 1/1 + 1/15) µF = 30/33 µF; between the joints read, as before, the whole battery's 9 V.
    assert fraction(solution.parts["E1"].equivalent) * 10**6 * 33 == 30
    assert [fraction(probe.voltage) for probe in solution.probes] == [9]
    assert solution.joints[changed.zero].potential.exact == 0
    assert [key for key in changed.covered if not key.startswith("joint")] == [
        "*",
        "but C2.voltage",
        "C3.charge",
        "total.energy",
    ]


def test_a_part_that_lay_the_other_way_round_goes_on_doing_so():
    turned = edited("9 V : 30 µF (turned) + (10 µF ∥ 5 µF)")
    before, after = solve(turned), solve(edited("9 V : 30 µF + (10 µF ∥ 5 µF ∥ 1 µF)", turned))
    assert fraction(before.parts["C1"].voltage) < 0
    assert fraction(after.parts["C1"].voltage) < 0


def test_stages_go_with_their_switches_and_parts():
    sketch = edited("9 V : switch + (10 µF ∥ 5 µF)", EMPTY)
    staged = replace(sketch, stages=(Stage(("S1",), (("C2", "1 µF"),), name="on"),))
    renamed = edited("9 V : S7 = switch + (10 µF ∥ Cx = 5 µF)", staged)
    assert renamed.stages == (Stage(("S7",), (("Cx", "1 µF"),), name="on"),)
    assert edited("9 V : switch + 10 µF", staged).stages == (Stage(("S1",), (), name="on"),)


def test_an_empty_sheet_and_one_that_no_line_describes_take_the_line_whole():
    bridge = Sketch.read(next(each["sketch"] for each in SAMPLES if each["id"] == "bridge"))
    for sheet in (EMPTY, bridge):
        drawn = edited(LINE, sheet)
        assert write(drawn).text == LINE
        assert (drawn.title, drawn.figures) == (sheet.title, sheet.figures)
        assert names(drawn) == ["E1", "C1", "C2", "C3"]


def test_a_mistake_leaves_the_sheet_alone():
    with pytest.raises(LineFaults):
        change("9 V : 30 µF + (10 µF ∥ 5 µF", MIXED)


@given(descriptions)
def test_what_is_drawn_from_a_line_has_that_line(description):
    # Batteries lie as they should: a chain in which more are turned than not is read from its other end.
    lying = (
        replace(item, turned=item.turned and bool(description.source) and item.kind != "battery")
        for item in all_items(description)
    )
    line = text_of(as_written(with_items(description, lying)))
    drawn = edited(line, EMPTY)
    assert write(drawn).text == line
    assert edited(line, drawn) == drawn


def test_batteries_that_are_turned_are_read_from_the_end_where_they_are_not():
    drawn = edited("9 V (turned) + 1.5 V (turned) : 1 kΩ", EMPTY)
    assert write(drawn).text == "E2 = 1.5 V + 9 V : 1 kΩ"
    assert fraction(solve(drawn).parts["R1"].voltage) == -(9 + Fraction(3, 2))


@given(sheets(), sheets())
def test_any_sheet_becomes_what_any_line_says(sheet, other):
    sketch, _ = sheet
    wanted, expected = other
    changed = edited(write(wanted).text, sketch)
    assert capacitance(parse(write(changed).text).network) == expected
    assert fraction(solve(changed).parts["E1"].equivalent) * 10**6 == expected
    assert {item.name for item in all_items(named(parse(write(changed).text)))} == set(names(changed))


def test_a_part_that_comes_into_a_chain_takes_the_place_of_a_wire():
    changed = edited("9 V : switch + 30 µF + (10 µF ∥ 5 µF)")
    assert changed.joints == MIXED.joints
    assert names(changed) == ["E1", "C1", "S1", "C2", "C3"]
    assert [each for each in changed.parts if each.name in names(MIXED)] == [
        each for each in MIXED.parts if each.kind != "wire"
    ]
    assert write(changed).text == "9 V : switch + 30 µF + (10 µF ∥ 5 µF)"


def test_a_battery_that_joins_the_chain_leaves_zero_at_its_lower_end():
    # 30 µF takes 15/45 of the 12 V and leaves 8 V; the second battery stands 3 V above zero.
    for sheet in (replace(MIXED, zero=None), EMPTY):
        solution = solve(edited("9 V + 3 V : 30 µF + (10 µF ∥ 5 µF)", sheet))
        assert sorted({fraction(joint.potential) for joint in solution.joints.values()}) == [0, 3, 8, 12]


def test_what_a_reading_has_to_be_goes_with_its_part():
    asked = replace(MIXED, required=(Requirement("C3.voltage", "6 V"), Requirement("C1.charge", "90 µC")))
    renamed = edited("9 V : 30 µF + (C2 = ? ∥ Cx = 5 µF)", asked)
    assert [each.reading for each in renamed.required] == ["Cx.voltage", "C1.charge"]
    assert [each.reading for each in edited("9 V : 30 µF + 10 µF", asked).required] == ["C1.charge"]
