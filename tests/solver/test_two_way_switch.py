"""A two-way switch: its arm is one conductor with the contact that it rests on, and the other contact is open."""

from __future__ import annotations

import json
from pathlib import Path

import flint
import pytest

from solver import Sketch, SketchFaults, battery, capacitor, resistor, solve, switch, two_way_switch, wire
from solver.compare import Wish, compare
from solver.handout import handout_of
from solver.ledger_csv import ledger_csv
from solver.say_it import write
from solver.sketch import Stage
from solver.solving import solution_of, solve_network
from solver.stages import solve_stages
from solver.steps import steps_of
from solver.tidy import tidy
from solver.tiles import tiles_of


def lantern(rests: str = "first", stages: tuple[Stage, ...] = ()) -> Sketch:
    """9 V on the first contact, 15 µF on the second, 30 µF on the arm."""
    return Sketch.of(
        battery("E1", "9 V", "e", "0"),
        two_way_switch("S1", "a", "e", "b", rests=rests),
        capacitor("C1", "30 µF", "a", "0"),
        capacitor("C2", "15 µF", "b", "0"),
        stages=stages,
    )


def micro(number: int) -> flint.fmpq:
    return flint.fmpq(number) / 10**6


def test_the_arm_and_the_contact_that_it_rests_on_are_one_conductor():
    first, second = solve(lantern()), solve(lantern("second"))
    assert first.joints["a"].conductor == first.joints["e"].conductor != first.joints["b"].conductor
    assert second.joints["a"].conductor == second.joints["b"].conductor != second.joints["e"].conductor
    assert first.parts["C1"].voltage.text == "9.00 V"
    assert second.parts["C1"].voltage.text == "0 V"


def test_its_voltage_is_that_from_the_arm_to_the_open_contact():
    assert solve(lantern()).parts["S1"].voltage.text == "9.00 V"
    assert solve(lantern("second")).parts["S1"].voltage.text == "−9.00 V"


def test_a_contact_that_nothing_else_is_joined_to_has_no_voltage_to_it():
    network = Sketch.of(
        battery("E1", "9 V", "e", "0"), two_way_switch("S1", "a", "e", "b"), capacitor("C1", "1 µF", "a", "0")
    )
    assert solve(network).parts["S1"].voltage is None


def test_thrown_over_in_the_second_stage_it_shares_what_the_first_charged():
    # 30 µF · 9 V = 270 µC, on 45 µF in the end: 6 V, 180 µC and 90 µC.
    charged, shared = solve_stages(lantern(stages=(Stage(), Stage(second=("S1",)))))
    assert [stage.sketch.parts[1].rests for stage in (charged, shared)] == ["first", "second"]
    parts = solution_of(shared.solved).parts
    assert (parts["C1"].charge.exact, parts["C2"].charge.exact) == (micro(180), micro(90))
    # ½·30·81 = 1215 µJ before, 270²/90 = 810 µJ after.
    assert shared.account.lost.exact == micro(405)
    [kept] = shared.kept
    assert kept.parts == ("C1", "C2")


def test_a_stage_that_throws_over_what_is_no_two_way_switch_says_so():
    _, wrong, right = solve_stages(lantern(stages=(Stage(), Stage(second=("C1",)), Stage(second=("S1",)))))
    assert [fault.text for fault in wrong.faults] == ["The stage names C1, which is not a two-way switch on the sheet."]
    assert right.solved is not None


def test_it_survives_being_written_and_read():
    sketch = lantern("second", (Stage(name="Charge"), Stage(second=("S1",))))
    assert Sketch.read(sketch.document()) == sketch


def test_a_second_contact_that_is_not_on_the_sheet_is_told():
    document = lantern().document()
    del document["joints"]["b"]
    document["parts"] = document["parts"][:3]
    with pytest.raises(SketchFaults) as caught:
        Sketch.read(document)
    assert [fault.text for fault in caught.value.faults] == ["S1 names the joint “b”, which is not on the sheet."]


@pytest.mark.parametrize("rests", ["first", "second"])
def test_every_view_has_room_for_it(rests):
    sketch = lantern(rests)
    solved = solve_network(sketch)
    solution = solution_of(solved)
    if rests == "first":
        [picture] = tiles_of(solved, solution).pictures
        assert [tile.part for tile in picture.tiles] == ["C1", "C2"]
        first = steps_of(solved, solution).steps[0]
        assert (first.title, first.reason) == (
            "The switch S1",
            "S1 rests on its first contact and acts like a wire to there; nothing passes to the other.",
        )
    line = write(solved.sketch).document()
    assert line["misfit"] == "S1 is a two-way switch: a line has no place for three ends."
    assert f"S1,two-way switch,on contact {1 if rests == 'first' else 2}".encode() in ledger_csv(sketch, solution)
    switches = next(
        table for table in handout_of(sketch, solved, solution).document()["filled"] if table["title"] == "Switches"
    )
    assert switches["rows"][0]["cells"][0]["text"] == f"on contact {1 if rests == 'first' else 2}"


def test_a_changed_copy_may_have_it_thrown_over():
    wish = Wish.read(
        {"sketch": lantern().document(), "columns": ["network", "copy"], "changed": {"S1": {"rests": "second"}}}
    )
    columns = compare(wish).document()["columns"]
    assert [column["solution"]["parts"]["C1"]["voltage"]["text"] for column in columns] == ["9.00 V", "0 V"]


def test_in_a_direct_current_network_it_chooses_the_way():
    def through(rests: str) -> str:
        network = Sketch.of(
            battery("E1", "12 V", "e", "0"),
            two_way_switch("S1", "e", "a", "b", rests=rests),
            resistor("R1", "4 Ω", "a", "z"),
            resistor("R2", "6 Ω", "b", "z"),
            wire("W1", "z", "0"),
        )
        return solve(network).parts["E1"].current.text

    assert (through("first"), through("second")) == ("3.00 A", "2.00 A")


def shorted(*parts) -> tuple[str, tuple[str, ...], str]:
    with pytest.raises(SketchFaults) as caught:
        solve(Sketch.of(battery("E1", "9 V", "a", "0"), *parts))
    [fault] = caught.value.faults
    return fault.code, fault.parts, fault.text


def test_the_switch_that_joins_a_battery_to_itself_is_named():
    assert shorted(wire("W1", "a", "b"), switch("S1", "b", "0", closed=True)) == (
        "battery-shorted-by-switch",
        ("E1", "S1"),
        "S1 joins both terminals of battery E1, and nothing limits its current: open S1 or put a part in the way.",
    )
    assert shorted(two_way_switch("S1", "a", "b", "0", rests="second"))[2] == (
        "S1 joins both terminals of battery E1, and nothing limits its current: throw S1 over or put a part in the way."
    )
    assert shorted(switch("S1", "a", "b", closed=True), switch("S2", "b", "0", closed=True))[2] == (
        "S1 and S2 together join both terminals of battery E1, and nothing limits its current: "
        "open S1 or put a part in the way."
    )
    # Where wires do it without any switch, opening one would not help.
    assert shorted(wire("W1", "a", "0"), switch("S1", "a", "0", closed=True))[0] == "battery-shorted"


TO_TIDY = {
    "charge, then share": lantern(),
    "thrown over": lantern("second"),
    "a chain of both on the arm": Sketch.of(
        battery("E1", "9 V", "e", "0"),
        two_way_switch("S1", "a", "e", "b"),
        capacitor("C1", "30 µF", "a", "0"),
        resistor("R2", "15 Ω", "b", "0"),
        capacitor("C3", "30 µF", "a", "b"),
    ),
    "the arm at the battery": Sketch.of(
        battery("E1", "9 V", "e", "0"),
        two_way_switch("S1", "e", "a", "b"),
        capacitor("C1", "30 µF", "a", "0"),
        capacitor("C2", "15 µF", "b", "0"),
    ),
    "two batteries": Sketch.of(
        battery("E1", "9 V", "e", "0"),
        battery("E2", "6 V", "b", "0"),
        two_way_switch("S1", "a", "e", "b"),
        capacitor("C1", "30 µF", "a", "0"),
    ),
    "a contact that hangs": Sketch.of(
        battery("E1", "9 V", "e", "0"), two_way_switch("S1", "a", "e", "b"), capacitor("C1", "30 µF", "a", "0")
    ),
    "charge and discharge": Sketch.of(
        battery("E1", "9 V", "e", "0"),
        two_way_switch("S1", "a", "e", "0"),
        resistor("R1", "1 kΩ", "a", "p"),
        capacitor("C1", "30 µF", "p", "0"),
    ),
    "nothing else": Sketch.of(two_way_switch("S1", "a", "b", "c")),
}


@pytest.mark.parametrize("which", TO_TIDY)
def test_it_is_laid_out_anew_with_straight_lines_and_contacts_side_by_side(which):
    sketch = TO_TIDY[which]
    tidied = tidy(sketch)
    spots = list(tidied.joints.values())
    assert len(set(spots)) == len(spots)
    for part in tidied.parts:
        (x, y), (u, v) = tidied.joints[part.start], tidied.joints[part.end]
        assert x == u or y == v
    [part] = [part for part in tidied.parts if part.name == "S1"]
    (x, y), (u, v), (p, q) = (tidied.joints[joint] for joint in part.ends)
    # Both contacts are equally far ahead of the arm.
    assert (x == u and v == q) or (y == v and u == p) or (x == p and v == q) or (y == q and u == p)
    assert part.rests == sketch.parts[[each.name for each in sketch.parts].index("S1")].rests
    old, new = solve(sketch), solve(tidied)
    for each in sketch.parts:
        if each.kind != "wire":
            assert new.parts[each.name] == old.parts[each.name]


def test_the_ready_sketch_shares_less_and_loses_less_the_second_time():
    samples = json.loads((Path(__file__).parents[2] / "shared" / "samples.json").read_text("utf-8"))["samples"]
    [sketch] = [Sketch.read(sample["sketch"]) for sample in samples if sample["id"] == "share"]
    assert all(stage.text for stage in sketch.stages)
    stages = solve_stages(sketch)
    held = [solution_of(stage.solved).parts for stage in stages]
    # 270 µC on 45 µF is 6 V; then 270 + 90 = 360 µC on 45 µF, 8 V.
    assert [(parts["C1"].charge.exact, parts["C2"].charge.exact) for parts in held] == [
        (micro(270), 0),
        (micro(180), micro(90)),
        (micro(270), micro(90)),
        (micro(240), micro(120)),
    ]
    assert stages[2].account.work["E1"].exact == micro(90 * 9)
    # ½·30·81 − ½·45·36 = 405 µJ; ½·30·81 + ½·15·36 − ½·45·64 = 45 µJ.
    assert [stages[1].account.lost.exact, stages[3].account.lost.exact] == [micro(405), micro(45)]
