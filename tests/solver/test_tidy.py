"""How particular networks are laid out: what a person would draw on a board, and what the sketch says stays said."""

from __future__ import annotations

import json
from dataclasses import replace
from itertools import combinations, pairwise
from pathlib import Path

import pytest

from solver import Sketch, SketchFaults, battery, capacitor, resistor, solve, switch, wire
from solver.say_it import parse, write
from solver.say_it.description import named
from solver.sketch import Part, Stage
from solver.tidy import draw, tidy
from tests.solver.drawn import Drawn, crossings, drawn, mistakes, same_network

SAMPLES = json.loads((Path(__file__).parents[2] / "shared" / "samples.json").read_text(encoding="utf-8"))["samples"]


def lines(sketch: Sketch) -> dict[str, Drawn]:
    """The lines of a drawing that nothing is wrong with, by the names of their parts."""
    assert mistakes(sketch) == []
    assert crossings(sketch) == []
    return {line.part.name: line for line in drawn(sketch)}


def of_line(text: str) -> dict[str, Drawn]:
    """What a say-it line draws."""
    return lines(draw(named(parse(text))))


def resistors(*pairs: tuple[object, object]) -> Sketch:
    """A battery between the first pair, and a resistor between each other one."""
    parts: list[Part] = [battery("E1", "9 V", f"n{pairs[0][0]}", f"n{pairs[0][1]}")]
    parts += [resistor(f"R{number}", "1 Ω", f"n{a}", f"n{b}") for number, (a, b) in enumerate(pairs[1:], 1)]
    return Sketch.of(*parts)


def test_series_parts_follow_one_another_down_one_column_the_battery_left_of_it():
    found = of_line("9 V : 10 µF + 22 µF + 1 kΩ")
    column = [found[name] for name in ("C1", "C2", "R1")]
    assert all(line.upright and line.start[1] < line.end[1] for line in column)
    assert [one.end for one in column[:-1]] == [other.start for other in column[1:]]
    assert found["E1"].start[0] < column[0].start[0]
    assert (found["E1"].start[1], found["E1"].end[1]) == (column[0].start[1], column[-1].end[1])


def test_branches_side_by_side_have_equal_tops_and_bottoms():
    found = of_line("9 V : 10 µF ∥ (22 µF + 47 µF) ∥ 33 µF")
    assert {found[name].start[1] for name in ("E1", "C1", "C2", "C4")} == {0}
    assert len({found[name].end[1] for name in ("E1", "C1", "C3", "C4")}) == 1
    columns = [found[name].start[0] for name in ("E1", "C1", "C2", "C4")]
    assert columns == sorted(columns)
    # A symbol and its words take nine steps on the right of a capacitor, its plates two on the left of the next one.
    assert all(right - left >= 9 for left, right in pairwise(columns))


def test_one_in_series_with_two_stands_over_the_middle_of_the_two():
    found = of_line("9 V : 30 µF + (10 µF ∥ 5 µF)")
    left, right = found["C2"].start[0], found["C3"].start[0]
    assert found["C1"].end[1] == found["C2"].start[1] == found["C3"].start[1]
    assert abs(2 * found["C1"].start[0] - left - right) <= 1


def test_a_bridge_has_two_columns_and_the_bridging_part_level_between_them():
    found = lines(tidy(resistors(("a", "0"), ("a", "p"), ("p", "0"), ("a", "q"), ("q", "0"), ("p", "q"))))
    level = found["R5"]
    assert not level.upright
    assert {found["R1"].start[0], found["R3"].start[0]} == {level.start[0], level.end[0]}
    assert found["R1"].start[0] == found["R2"].start[0]
    assert found["R3"].start[0] == found["R4"].start[0]
    assert found["R1"].end[1] == found["R3"].end[1] == level.start[1]


def test_a_bridge_of_several_rungs_has_them_all_level():
    pairs = [("s", "t"), ("s", "a1"), ("s", "b1"), ("a3", "t"), ("b3", "t")]
    pairs += [(f"a{k}", f"b{k}") for k in (1, 2, 3)]
    pairs += [(f"{side}{k}", f"{side}{k + 1}") for side in "ab" for k in (1, 2)]
    found = lines(tidy(resistors(*pairs)))
    assert [name for name, line in found.items() if not line.upright and name[0] == "R"] == ["R5", "R6", "R7"]
    assert len({line.start[0] for name, line in found.items() if line.upright and name[0] == "R"}) == 2


def test_a_ladder_has_level_rails_and_upright_rungs():
    found = of_line("12 V : 1 kΩ + (2 kΩ ∥ (1 kΩ + (2 kΩ ∥ (1 kΩ + (2 kΩ ∥ 1 kΩ)))))")
    rails, rungs = ("R1", "R3", "R5"), ("R2", "R4", "R6", "R7")
    assert {found[name].start[1] for name in rails} == {0}
    assert not any(found[name].upright for name in rails)
    assert {(found[name].start[1], found[name].end[1]) for name in ("E1", *rungs)} == {(0, found["E1"].end[1])}


def test_a_chain_within_branches_has_a_column_of_its_own_whichever_way_its_parts_follow():
    for text in (
        "9 V : 30 µF + (((10 µF ∥ 10 µF) + 10 µF) ∥ 5 µF ∥ 10 µF)",
        "9 V : 30 µF + (5 µF ∥ (1 µF + (10 µF ∥ 10 µF) + 10 µF))",
        "9 V : 30 µF + (5 µF ∥ ((10 µF ∥ 10 µF) + 1 µF + 10 µF))",
    ):
        found = of_line(text)
        assert all(line.upright for line in found.values() if line.part.kind != "wire")
    found = of_line("9 V : 30 µF + (((10 µF ∥ 10 µF) + 10 µF) ∥ 5 µF ∥ 10 µF)")
    left, right, below = found["C2"], found["C3"], found["C4"]
    assert left.end[1] == right.end[1] == below.start[1]
    assert left.start[0] <= below.start[0] <= right.start[0] < found["C5"].start[0]


def test_a_ladder_ends_where_its_rails_do():
    found = of_line("9 V : 1 Ω + (2 Ω ∥ (1 Ω + (2 Ω ∥ (1 Ω + (2 Ω ∥ ((3 Ω ∥ 3 Ω) + 4 Ω))))))")
    assert [name for name, line in found.items() if not line.upright and name[0] == "R"] == ["R1", "R3", "R5"]
    assert found["R9"].start[1] == found["R7"].end[1]


def test_a_ladder_of_two_wires_has_parts_in_both_its_rails():
    sections = [("a0", "b0")]
    for k in range(4):
        sections += [(f"a{k}", f"a{k + 1}"), (f"b{k}", f"b{k + 1}"), (f"a{k + 1}", f"b{k + 1}")]
    found = lines(tidy(resistors(*sections)))
    level = {line.start[1] for line in found.values() if not line.upright and line.part.kind == "resistor"}
    assert len(level) == 2
    assert sum(line.upright for line in found.values()) == 5


def test_a_cube_lies_flat_without_a_crossing_where_its_battery_joins_two_corners_of_one_face():
    edges = [(a, a ^ bit) for a in range(8) for bit in (1, 2, 4) if a < a ^ bit]
    for corner in (1, 3):
        lines(tidy(resistors((0, corner), *edges)))


@pytest.mark.parametrize(
    ("name", "pairs", "least"),
    [
        # Crossing numbers: those of K5, K3,3 and K6 are 1, 1 and 3 (R. K. Guy, "Crossing numbers of graphs", 1972). A
        # cube with one more line from corner to opposite corner is not planar, since the two share no face.
        ("a cube across its diagonal", [(0, 7), *((a, a ^ b) for a in range(8) for b in (1, 2, 4) if a < a ^ b)], 1),
        ("all pairs of five", list(combinations(range(5), 2)), 1),
        ("three to three", [(a, b) for a in (0, 1, 2) for b in (3, 4, 5)], 1),
        ("all pairs of six", list(combinations(range(6), 2)), 3),
    ],
)
def test_what_no_plane_holds_crosses_hardly_more_often_than_it_must(
    name: str, pairs: list[tuple[int, int]], least: int
):
    sketch = resistors(*pairs)
    tidied = tidy(sketch)
    assert mistakes(tidied) == []
    assert same_network(sketch, tidied)
    assert least <= len(crossings(tidied)) <= least + 1


def test_batteries_in_series_share_the_left_column_their_plus_above():
    found = lines(
        tidy(
            Sketch.of(
                battery("E1", "9 V", "a", "m"),
                capacitor("C1", "10 µF", "a", "0"),
                battery("E2", "1.5 V", "m", "0"),
            )
        )
    )
    one, other = found["E1"], found["E2"]
    assert one.end == other.start
    assert one.start[0] == other.end[0] < found["C1"].start[0]


def test_batteries_side_by_side_each_stand_in_a_column_with_what_is_in_series_with_them():
    sketch = Sketch.of(
        battery("E1", "9 V", "a", "0"),
        resistor("R1", "1 kΩ", "a", "m"),
        resistor("R3", "470 Ω", "m", "0"),
        resistor("R2", "2 kΩ", "b", "m"),
        battery("E2", "12 V", "b", "0"),
    )
    found = lines(tidy(sketch))
    assert found["E1"].start[0] == found["R1"].start[0]
    assert found["E2"].start[0] == found["R2"].start[0]
    assert len({found[name].start[0] for name in ("E1", "E2", "R3")}) == 3


def test_a_sheet_with_an_order_from_left_to_right_keeps_it():
    branches = [capacitor(f"C{number}", "1 µF", f"a{number}", f"b{number}") for number in (1, 2, 3)]
    wires = [wire(f"W{end}{n}", f"{end}{n}", f"{end}{n + 1}") for end in "ab" for n in (0, 1, 2)]
    sketch = Sketch.of(battery("E1", "9 V", "a0", "b0"), *branches, *wires)
    for places in ((0, 10, 20, 30), (40, 30, 20, 10), (7, 20, 10, 30)):
        across = {f"{end}{n}": (place, 0 if end == "a" else 8) for end in "ab" for n, place in enumerate(places)}
        found = lines(tidy(replace(sketch, joints=across)))
        order = sorted((1, 2, 3), key=lambda n: places[n])
        assert sorted((1, 2, 3), key=lambda n: found[f"C{n}"].start[0]) == order
        assert found["E1"].start[0] < min(found[f"C{n}"].start[0] for n in (1, 2, 3))


def test_a_bridge_keeps_its_left_and_its_right():
    sketch = resistors(("a", "0"), ("a", "p"), ("p", "0"), ("a", "q"), ("q", "0"), ("p", "q"))
    for left, right in (("p", "q"), ("q", "p")):
        places = {"na": (20, 0), "n0": (20, 20), f"n{left}": (10, 10), f"n{right}": (30, 10)}
        tidied = tidy(replace(sketch, joints=places))
        assert tidied.joints[f"n{left}"][0] < tidied.joints[f"n{right}"][0]


def test_of_two_chains_that_could_end_a_ladder_the_right_hand_one_stays_right():
    sketch = Sketch.of(
        capacitor("C1", "1 µF", "j0", "j3"),
        capacitor("C2", "1 µF", "j0", "j2"),
        capacitor("C3", "1 µF", "j0", "j6"),
        capacitor("C4", "1 µF", "j1", "j6"),
        capacitor("C5", "1 µF", "j2", "j3"),
        capacitor("C6", "1 µF", "j4", "j6"),
        resistor("R1", "1 Ω", "j1", "j2"),
        resistor("R2", "1 Ω", "j2", "j4"),
    )
    tidied = tidy(sketch)
    assert tidy(tidied) == tidied


def test_separate_networks_stand_side_by_side_in_their_order():
    sketch = Sketch.of(
        battery("E1", "9 V", "a", "b"),
        capacitor("C1", "1 µF", "a", "b"),
        resistor("R1", "1 Ω", "c", "d"),
        resistor("R2", "1 Ω", "c", "d"),
    )
    apart = {"a": (50, 0), "b": (50, 9), "c": (0, 0), "d": (0, 9)}
    found = lines(tidy(replace(sketch, joints=apart)))
    assert max(found[name].start[0] for name in ("R1", "R2")) < min(found[name].start[0] for name in ("E1", "C1"))
    assert {found[name].start[1] for name in ("R1", "R2", "E1", "C1")} == {0}


def test_what_dangles_hangs_from_where_it_is_joined_and_stays_loose():
    sketch = Sketch.of(
        battery("E1", "9 V", "a", "0"),
        resistor("R1", "1 Ω", "a", "m"),
        resistor("R2", "1 Ω", "m", "0"),
        capacitor("C1", "1 µF", "m", "loose"),
    )
    tidied = tidy(sketch)
    hanging = lines(tidied)["C1"]
    assert hanging.start[1] < hanging.end[1]
    assert [part.name for part in tidied.parts if hanging.part.end in (part.start, part.end)] == ["C1"]


def test_a_part_with_both_ends_on_one_conductor_has_a_wire_beside_it():
    tidied = tidy(Sketch.of(battery("E1", "9 V", "a", "0"), resistor("R1", "1 Ω", "a", "a"), wire("W1", "a", "b")))
    part = lines(tidied)["R1"].part
    assert part.start != part.end


def test_an_open_end_of_a_wire_stays_one():
    sketch = Sketch.of(
        capacitor("C1", "1 µF", "a", "b"),
        capacitor("C2", "2 µF", "a", "b"),
        wire("W1", "a", "c"),
        wire("W2", "b", "d"),
    )
    tidied = tidy(sketch)
    ends = [joint for part in tidied.parts for joint in (part.start, part.end)]
    upper, lower = (
        joint for joint in sorted(tidied.joints, key=lambda j: tidied.joints[j][1]) if ends.count(joint) == 1
    )
    assert tidied.joints[upper][1] < tidied.joints[lower][1]
    lines(tidied)


def test_wires_and_joints_without_a_part_stay():
    sketch = Sketch(joints={"a": (0, 0), "b": (3, 9), "c": (7, 7)}, parts=(wire("W7", "a", "b"),), zero="c")
    tidied = tidy(sketch)
    assert set(tidied.joints) == {"a", "b", "c"}
    assert [(part.name, part.kind, {part.start, part.end}) for part in tidied.parts] == [("W1", "wire", {"a", "b"})]
    assert tidied.zero == "c"
    assert tidy(tidied) == tidied


def test_an_empty_sheet_stays_empty():
    assert tidy(Sketch(joints={}, parts=(), title="Nothing")) == Sketch(joints={}, parts=(), title="Nothing")


def test_what_the_sketch_says_besides_stays_said():
    sketch = Sketch(
        joints={"a": (9, 9), "b": (20, 9), "c": (31, 2), "d": (31, 30), "e": (9, 30), "f": (20, 40)},
        parts=(
            battery("E1", "9 V", "a", "e", internal="1 Ω"),
            wire("W1", "a", "b"),
            wire("W2", "b", "c"),
            capacitor("C1", "10 µF", "c", "d", initial="2 V", rated="16 V"),
            switch("S1", "d", "f", closed=True),
            wire("W3", "f", "e"),
        ),
        title="Storm lantern",
        zero="b",
        figures=4,
        probes=(("b", "f"),),
        covered=("C1.voltage", "joint b.potential", "but joint d.potential", "total.energy"),
        stages=(Stage(("S1",), (("C1", "20 µF"),), "first"), Stage()),
    )
    tidied = tidy(sketch)
    assert replace(tidied, joints=sketch.joints, parts=sketch.parts) == sketch
    assert {"b", "d", "f"} <= set(tidied.joints)
    assert same_network(sketch, tidied)
    assert (min(x for x, _ in tidied.joints.values()), min(y for _, y in tidied.joints.values())) == (9, 2)


def test_a_joint_that_is_spoken_of_and_gone_is_followed_by_another_of_its_conductor():
    sketch = Sketch(
        joints={"a": (0, 0), "b": (5, 0), "c": (9, 0), "0": (0, 9)},
        parts=(wire("W1", "a", "b"), wire("W2", "b", "c"), capacitor("C1", "1 µF", "c", "0")),
        probes=(("a", "0"), ("b", "0"), ("a", "b")),
        zero="c",
        covered=("joint a.potential",),
    )
    tidied = tidy(sketch)
    assert same_network(sketch, tidied)
    assert set(tidied.joints) >= {joint for pair in tidied.probes for joint in pair} | {tidied.zero}
    assert [each.voltage for each in solve(tidied).probes] == [solve(sketch).probes[0].voltage] * len(tidied.probes)
    assert len(tidied.covered) == 1


def test_new_wires_take_no_name_that_a_part_has():
    sketch = Sketch.of(battery("W1", "9 V", "a", "0"), capacitor("W3", "1 µF", "a", "0"))
    assert [part.name for part in tidy(sketch).parts] == ["W1", "W3", "W2", "W4"]


@pytest.mark.parametrize("sample", SAMPLES, ids=lambda sample: sample["id"])
def test_a_sample_is_laid_out_and_says_the_same(sample):
    sketch = Sketch.read(sample["sketch"])
    tidied = tidy(sketch)
    lines(tidied)
    assert same_network(sketch, tidied)
    assert solve(tidied).totals == solve(sketch).totals


@pytest.mark.parametrize(
    "text",
    [
        "9 V : 30 µF + (10 µF ∥ 5 µF)",
        "9 V + 1.5 V : 1 kΩ",
        "9 V : switch + (10 µF ∥ 4.7 µF) + 1 kΩ",
        "10 µF + 5 µF",
        "10 µF ∥ (5 µF + 5 µF)",
        "9 V",
        "9 V + 1.5 V",
        "22 µF",
    ],
)
def test_what_a_line_draws_is_what_the_line_says_and_is_tidy(text: str):
    sketch = draw(named(parse(text)))
    lines(sketch)
    assert write(sketch).text == text
    again = tidy(sketch)
    assert write(again).text == text
    assert again.joints == sketch.joints


def test_deep_lines_and_long_ones_are_drawn():
    deep = "1 Ω"
    for _ in range(9):
        deep = f"1 Ω + (1 Ω ∥ ({deep}))"
    lines(draw(named(parse(f"9 V : {deep}"))))
    lines(draw(named(parse("9 V : " + " + ".join(["(1 Ω ∥ 2 Ω)"] * 40)))))


def test_potentials_that_fade_along_a_mesh_leave_its_order():
    pairs: list[tuple[object, object]] = [("a0", "b0")]
    for k in range(30):
        pairs += [(f"a{k}", f"a{k + 1}"), (f"b{k}", f"b{k + 1}"), (f"a{k}", f"b{k + 1}"), (f"a{k + 1}", f"b{k + 1}")]
    sketch = resistors(*pairs)
    lines(tidy(sketch))


def test_a_network_that_would_not_fit_on_the_sheet_is_refused_by_name():
    parts = [capacitor(f"C{number}", "1 µF", "a", "b") for number in range(18_500)]
    with pytest.raises(SketchFaults) as refusal:
        tidy(Sketch.of(*parts))
    (fault,) = refusal.value.faults
    assert fault.code == "sheet-too-small"
    assert "200000" in str(fault)
