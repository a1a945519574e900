"""The line of a sheet says the network that is on it, or why it cannot."""

from __future__ import annotations

from dataclasses import replace

import pytest
from hypothesis import given

from solver import Sketch, battery, capacitor, resistor, solve, switch, wire
from solver.say_it import Description, parse, write
from solver.say_it.description import all_items, named, with_items
from solver.say_it.writing import text_of, without_needless_names
from tests.solver.exactly import fraction
from tests.solver.say_it_trees import capacitance, descriptions, sheets
from tests.solver.strategies import networks

E1 = battery("E1", "9 V", "a", "0")


def farad(name, start, end, value="C", **extras):
    return capacitor(name, value, start, end, **extras)


def line(*parts, **entries):
    return write(Sketch.of(*parts, **entries))


@given(descriptions)
def test_a_written_line_is_read_as_what_it_describes(description):
    assert parse(text_of(description)) == description


@given(descriptions)
def test_names_left_out_are_those_that_the_order_gives(description):
    # Every other name is one of somebody's own.
    parts = named(description)
    odd = (
        replace(item, name=f"{item.name}x" if index % 2 and item.name else item.name)
        for index, item in enumerate(all_items(parts))
    )
    full = with_items(parts, odd)
    assert named(parse(text_of(without_needless_names(full)))) == full
    assert not any(item.name for item in all_items(without_needless_names(parts)))


@given(sheets())
def test_the_line_of_a_sheet_has_the_capacitance_that_the_solver_finds(sheet):
    sketch, expected = sheet
    described = parse(write(sketch).text)
    assert capacitance(described.network) == expected
    assert fraction(solve(sketch).parts["E1"].equivalent) * 10**6 == expected
    names = {part.name: part.value for part in sketch.parts if part.kind != "wire"}
    assert {item.name: item.value for item in all_items(named(described))} == names


@given(networks())
def test_every_sheet_has_a_line_or_a_sentence(sketch):
    found = write(sketch)
    assert (found.text is None) == (found.misfit is not None)
    if found.text:
        count = sum(part.kind != "wire" for part in sketch.parts)
        assert sum(item.kind != "wire" for item in all_items(parse(found.text))) == count
    elif found.misfit:
        assert found.misfit.endswith(".")


def test_names_are_written_where_the_order_would_give_others():
    assert line(E1, farad("C1", "a", "b"), farad("C2", "b", "0")).text == "9 V : C + C"
    assert line(E1, farad("C2", "a", "b"), farad("C1", "b", "0")).text == "9 V : C2 = C + C"
    assert line(E1, farad("C4", "a", "b", "4u7"), farad("C1", "b", "0")).text == "9 V : C4 = 4.7 µF + C"


def test_parts_side_by_side_stand_in_the_order_of_the_sketch():
    parts = [farad("C1", "a", "0"), farad("C2", "a", "b"), farad("C3", "b", "0", "2C")]
    assert line(E1, *parts).text == "9 V : C ∥ (C + 2C)"
    assert line(E1, parts[1], parts[2], parts[0]).text == "9 V : (C2 = C + C3 = 2C) ∥ C"


def test_three_alike_are_a_repeat():
    chain = [farad(f"C{number + 1}", f"n{number}", f"n{number + 1}") for number in range(3)]
    closing = [wire("W1", "a", "n0"), wire("W2", "n3", "0")]
    assert line(E1, *chain, *closing).text == "9 V : 3 × C in series"
    assert line(E1, *chain, *closing, farad("C4", "a", "0")).text == "9 V : (3 × C in series) ∥ C"


def test_which_way_round_a_part_lies_is_said_where_it_matters():
    assert line(E1, farad("C1", "0", "a")).text == "9 V : C"
    assert line(E1, farad("C1", "0", "a", initial="3 V")).text == "9 V : C (turned, starts at 3 V)"
    assert line(E1, farad("C1", "a", "0", initial="0 V", rated="16V")).text == "9 V : C (rated 16 V)"


def test_batteries_in_a_chain_stand_before_the_colon():
    second = battery("E2", "3 V", "d", "a", internal="1 Ω")
    assert line(E1, second, resistor("R1", "1k", "d", "0")).text == "E2 = 3 V (inside 1 Ω) + 9 V : 1 kΩ"
    opposed = battery("E2", "3 V", "a", "d")
    assert line(E1, opposed, resistor("R1", "1k", "d", "0")).text == "9 V (turned) + 3 V : 1 kΩ"


def test_switches_open_and_closed_are_parts_of_the_line():
    parts = [switch("S1", "a", "b"), switch("S2", "b", "d", closed=True), farad("C1", "d", "0")]
    assert line(E1, *parts).text == "9 V : switch + closed switch + C"


def test_what_a_wire_shorts_stands_beside_a_wire():
    parts = [farad("C1", "a", "b"), farad("C2", "b", "d"), wire("W1", "b", "d"), farad("C3", "d", "0")]
    assert line(E1, *parts).text == "9 V : C + (C ∥ wire) + C"
    assert line(E1, farad("C1", "a", "0"), farad("C2", "0", "0")).text == "9 V : C + (C ∥ wire)"
    assert line(E1, wire("W1", "a", "0")).text == "9 V : wire"


def test_without_a_battery_the_line_lies_between_two_ends():
    chain = [farad("C1", "a", "b"), farad("C2", "b", "d", "2C")]
    assert line(*chain).text == "C + 2C"
    assert line(farad("C1", "a", "b"), farad("C2", "a", "b", "2C")).text == "C ∥ 2C"
    ring = [*chain, farad("C3", "a", "d", "3C")]
    assert line(*ring, probes=[("a", "b")]).text == "C ∥ (C3 = 3C + 2C)"


def test_an_empty_sheet_has_an_empty_line_and_a_lone_battery_itself():
    assert write(Sketch({}, ())).text == ""
    assert line(E1).text == "9 V"
    assert line(battery("E1", "X_1", "a", "0")).text == "X_1 :"
    assert parse("X_1 :") == Description(parse("X_1 : C").source, None)


BRIDGE = [farad("C1", "a", "b"), farad("C2", "a", "d"), farad("C3", "b", "0"), farad("C4", "d", "0")]


@pytest.mark.parametrize(
    ("parts", "misfit"),
    [
        (
            [E1, *BRIDGE, farad("C5", "b", "d")],
            "C5 crosses over as a bridge: neither series nor parallel joins it.",
        ),
        (
            [E1, *BRIDGE, farad("C5", "b", "e"), farad("C6", "e", "d")],
            "C5 and C6 cross over as a bridge: neither series nor parallel joins them.",
        ),
        (
            [E1, farad("C1", "a", "b")],
            "The circuit is not closed yet: nothing leads from C1 to the − terminal of E1.",
        ),
        (
            [E1, farad("C1", "a", "b"), farad("C2", "a", "b")],
            "The circuit is not closed yet: nothing leads from C1 and C2 to the − terminal of E1.",
        ),
        (
            [E1, farad("C1", "0", "b"), farad("C2", "b", "d")],
            "The circuit is not closed yet: nothing leads from C1 and C2 to the + terminal of E1.",
        ),
        (
            [E1, farad("C1", "a", "b"), farad("C2", "0", "d")],
            "The circuit is not closed yet: nothing joins the free ends of C1 and C2.",
        ),
        (
            [E1, farad("C1", "a", "0"), farad("C2", "a", "b"), farad("C3", "b", "d")],
            "C2 and C3 are joined at one end only: nothing leads on from their other end yet.",
        ),
        (
            [E1, farad("C1", "a", "0"), farad("C2", "p", "q")],
            "C2 is not joined to the rest: a line describes one network.",
        ),
        (
            [E1, battery("E2", "9 V", "a", "0"), resistor("R1", "R", "a", "0")],
            "E1 and E2 do not follow one another: a line begins with its batteries in one chain.",
        ),
        ([E1, wire("W1", "a", "0"), farad("C1", "a", "0")], "Both terminals of E1 are joined by wire."),
        ([wire("W1", "a", "0")], "Only wires are on the sheet."),
        ([E1, farad("C1", "a", "0", " ")], "C1 has no capacitance yet."),
        ([E1, farad("C1", "a", "0", "9 V")], "“9 V” on C1 is not understood."),
        (
            [farad("C1", "a", "b"), farad("C2", "b", "d"), farad("C3", "d", "a")],
            "There is no battery, and no two open ends: keep a reading between the two joints that are meant.",
        ),
        (
            [E1, *(farad(f"C{number}", "a", "0") for number in range(200))],
            "201 parts are more than a line holds, which is 200.",
        ),
    ],
)
def test_what_no_line_describes_is_said(parts, misfit):
    found = line(*parts)
    assert (found.text is None) == (misfit is not None)
    assert found.misfit == misfit


def test_a_value_to_be_found_has_a_name_that_says_what_it_is():
    parts = [farad("C1", "a", "b", "?"), resistor("R1", "1k", "b", "0")]
    assert line(battery("E1", "?", "a", "0"), *parts).text == "? : C1 = ? + 1 kΩ"
    described = parse("? : C1 = ? + 1 kΩ")
    assert [(item.kind, item.value) for item in all_items(described)] == [
        ("battery", "?"),
        ("capacitor", "?"),
        ("resistor", "1 kΩ"),
    ]
    by_unit = all_items(parse("? V : C1 = ? µF + ? kΩ"))
    assert [(item.kind, item.value) for item in by_unit] == [("battery", "?"), ("capacitor", "?"), ("resistor", "?")]
    assert line(E1, farad("Lamp", "a", "0", "?")).misfit == (
        "The value of Lamp is to be found, and its name does not say what Lamp is."
    )


def test_a_capacitor_told_by_its_build_stands_in_quotation_marks():
    build = "plates 10 cm² mica 0.2 mm + air 0.1 mm"
    assert line(E1, farad("C1", "a", "b", build), farad("C2", "b", "0")).text == f"9 V : “{build}” + C"
    assert [item.value for item in all_items(parse(f'9 V : "{build}" + C'))] == ["9 V", build, "C"]
    assert parse(f"C4 = “{build}”").network.name == "C4"
