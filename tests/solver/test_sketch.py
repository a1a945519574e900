"""The sketch: built in a notebook or read from a document, the same either way, and quick however large."""

from __future__ import annotations

import json
from dataclasses import FrozenInstanceError
from time import process_time

import pytest

from solver import Sketch, SketchFaults, battery, capacitor, resistor, solve, switch, wire
from solver.sketch import Part

LANTERN = {
    "title": "Storm lantern, three capacitors",
    "joints": {"a": [4, 3], "b": [9, 6], "0": [4, 12]},
    "parts": [
        {"name": "E1", "kind": "battery", "value": "9 V", "from": "a", "to": "0", "internal": "0.5 Ω"},
        {"name": "C1", "kind": "capacitor", "value": "30 µF", "from": "a", "to": "b", "bend": "lower"},
        {
            "name": "C2",
            "kind": "capacitor",
            "value": "10 µF",
            "from": "b",
            "to": "0",
            "rated": "16 V",
            "initial": "0 V",
        },
        {"name": "S1", "kind": "switch", "from": "b", "to": "0", "closed": False},
        {"name": "W1", "kind": "wire", "from": "b", "to": "b"},
    ],
    "zero": "0",
    "figures": 4,
    "probes": [["a", "0"]],
    "covered": ["C1.voltage", "*"],
}


def test_a_document_read_and_given_back_is_the_same():
    assert Sketch.read(LANTERN).document() == LANTERN


def test_what_is_left_out_of_a_document_stays_out():
    bare = {"joints": {}, "parts": []}
    assert Sketch.read(bare).document() == bare | {"figures": 3}
    part = {"name": "S1", "kind": "switch", "from": "a", "to": "b"}
    assert Sketch.read({"joints": {"a": [0, 0], "b": [1, 0]}, "parts": [part]}).document()["parts"] == [part]


def test_a_part_keeps_its_texts_as_typed():
    part = Sketch.read(LANTERN).parts[2]
    assert part == Part("C2", "capacitor", "b", "0", "10 µF", initial="0 V", rated="16 V")


def test_a_sketch_cannot_be_changed():
    with pytest.raises(FrozenInstanceError):
        Sketch.read(LANTERN).figures = 2
    with pytest.raises(TypeError):
        Sketch.read(LANTERN).joints["a"] = (0, 0)


def test_a_notebooks_sketch_has_its_parts_ends_as_joints_on_the_grid():
    sketch = Sketch.of(
        battery("E1", "9 V", "a", "0"),
        resistor("R1", "1 Ω", "a", "b"),
        switch("S1", "b", "c"),
        wire("W1", "c", "0"),
        capacitor("C1", "1 F", "a", "0"),
        zero="b",
        figures=2,
        probes=[("a", "c")],
        title="Built by hand",
    )
    assert dict(sketch.joints) == {"a": (0, 0), "0": (4, 0), "b": (8, 0), "c": (12, 0)}
    assert (sketch.zero, sketch.figures, sketch.probes, sketch.title) == ("b", 2, (("a", "c"),), "Built by hand")
    assert Sketch.read(sketch.document()) == sketch


def test_solving_a_document_is_solving_its_sketch():
    assert solve(LANTERN).document() == solve(Sketch.read(LANTERN)).document()


def test_the_number_of_figures_rounds_the_text_and_nothing_else():
    joints = {"a": [0, 0], "0": [0, 4]}
    parts = [
        {"name": "E1", "kind": "battery", "value": "1 V", "from": "a", "to": "0"},
        {"name": "R1", "kind": "resistor", "value": "3 Ω", "from": "a", "to": "0"},
    ]
    read = [solve({"joints": joints, "parts": parts, "figures": f}).parts["R1"].current for f in (1, 3, 12)]
    assert [reading.text for reading in read] == ["300 mA", "333 mA", "333.333333333 mA"]
    assert len({reading.exact for reading in read}) == 1


def test_positions_written_with_a_point_are_whole_numbers_all_the_same():
    sketch = Sketch.read(json.loads('{"joints": {"a": [4.0, 3e1]}, "parts": []}'))
    assert sketch.joints["a"] == (4, 30)


def test_a_sketch_with_nothing_on_it_solves_to_nothing():
    document = solve({"joints": {}, "parts": []}).document()
    assert document == {
        "method": "exact",
        "residual": None,
        "joints": {},
        "conductors": {},
        "parts": {},
        "probes": [],
        "totals": {},
        "checks": [],
        "notes": [],
    }


def test_joints_without_parts_solve_to_potentials_of_their_own():
    solution = solve({"joints": {"a": [0, 0], "b": [4, 0]}, "parts": []})
    assert [joint.potential.text for joint in solution.joints.values()] == ["0 V", "0 V"]
    assert [note.code for note in solution.notes] == ["loose-joints"]


def test_ten_thousand_parts_are_read_in_a_moment():
    document = {
        "joints": {f"n{k}": [k % 200, k // 200] for k in range(5001)},
        "parts": [
            {"name": f"C{k}", "kind": "capacitor", "value": "10 µF", "from": f"n{k // 2}", "to": f"n{k // 2 + 1}"}
            for k in range(10_000)
        ],
    }
    start = process_time()
    assert len(Sketch.read(document).parts) == 10_000
    # About 0.1 s; the limit leaves room for a machine that is busy with other things.
    assert process_time() - start < 1.0


def test_ten_thousand_parts_at_fault_are_refused_in_a_moment():
    document = {"joints": {}, "parts": [{"name": f"C{k}", "kind": "capacitor", "colour": k} for k in range(10_000)]}
    start = process_time()
    with pytest.raises(SketchFaults) as caught:
        Sketch.read(document)
    assert len(caught.value.faults) == 50
    assert process_time() - start < 3.0
