"""What a solution offers: plain attributes and a readable repr in a notebook, and the document of the web interface."""

from __future__ import annotations

import json

import flint
import pytest
from hypothesis import given

from solver import Sketch, battery, capacitor, resistor, solve, switch, wire
from solver.quantities import Quantity
from solver.readings import LONG, Reading, entries
from tests.solver.exactly import fraction
from tests.solver.strategies import networks

SERIES = Sketch.of(
    battery("E1", "9 V", "a", "0"),
    capacitor("C1", "30 µF", "a", "b"),
    capacitor("C2", "15 µF", "b", "0"),
    probes=[("a", "b")],
)


def test_a_notebook_reads_a_charge_by_name():
    charge = solve(SERIES).parts["C1"].charge
    assert charge.exact == flint.fmpq(9, 100000)
    assert (charge.value, charge.text, charge.quantity) == (9e-05, "90.0 µC", Quantity.CHARGE)
    assert (str(charge), repr(charge), float(charge)) == ("90.0 µC", "<charge 90.0 µC>", 9e-05)


def test_a_solution_shows_every_part_in_a_line():
    assert repr(solve(SERIES)) == (
        "<Solution, exact\n"
        "  E1: voltage 9.00 V, current 0 A, power 0 W, charge 90.0 µC, work 810 µJ, equivalent 10.0 µF\n"
        "  C1: voltage 3.00 V, charge 90.0 µC, energy 135 µJ\n"
        "  C2: voltage 6.00 V, charge 90.0 µC, energy 270 µJ>"
    )


def test_the_document_is_the_one_of_the_web_interface():
    document = solve(SERIES).document()
    assert list(document) == [
        "method",
        "residual",
        "joints",
        "conductors",
        "parts",
        "probes",
        "totals",
        "checks",
        "notes",
    ]
    nine = {"exact": "9", "value": 9.0, "text": "9.00 V"}
    assert (document["method"], document["residual"]) == ("exact", None)
    assert document["joints"]["a"] == {"potential": nine, "conductor": "k1"}
    assert document["conductors"]["k3"] == {
        "joints": ["b"],
        "potential": {"exact": "6", "value": 6.0, "text": "6.00 V"},
        "isolated": True,
        "body": "b2",
        "charge": {"exact": "0", "value": 0.0, "text": "0 C"},
    }
    assert {name: list(part) for name, part in document["parts"].items()} == {
        "E1": ["voltage", "current", "power", "charge", "work", "equivalent"],
        "C1": ["voltage", "charge", "energy"],
        "C2": ["voltage", "charge", "energy"],
    }
    assert document["parts"]["C1"]["charge"] == {"exact": "9/100000", "value": 9e-05, "text": "90.0 µC"}
    assert document["probes"] == [
        {
            "between": ["a", "b"],
            "voltage": {"exact": "3", "value": 3.0, "text": "3.00 V"},
            "capacitance": {"exact": "9/200000", "value": 4.5e-05, "text": "45.0 µF"},
            "resistance": None,
        }
    ]
    assert {name: reading["text"] for name, reading in document["totals"].items()} == {
        "energy": "405 µJ",
        "work": "810 µJ",
        "lost": "405 µJ",
    }
    assert [
        (check["kind"], check["parts"], [term["text"] for term in check["terms"]], check["sum"]["text"])
        for check in document["checks"]
    ] == [
        ("loop", ["E1", "C1", "C2"], ["9.00 V", "−3.00 V", "−6.00 V"], "0 V"),
        ("charge", ["C1", "C2"], ["−90.0 µC", "90.0 µC"], "0 C"),
        ("energy", ["E1", "C1", "C2"], ["810 µJ", "−405 µJ", "−405 µJ"], "0 J"),
    ]
    assert document["checks"][1]["conductor"] == "k3"
    assert document["checks"][1]["start"]["text"] == "0 C"


def test_what_is_not_determined_is_absent_and_never_a_zero():
    parts = [
        battery("E1", "9 V", "a", "0"),
        resistor("R1", "3 Ω", "a", "0"),
        wire("W1", "a", "b"),
        switch("S1", "b", "c"),
    ]
    document = solve(Sketch.of(*parts)).document()
    assert document["parts"] == {
        "E1": document["parts"]["E1"],
        "R1": document["parts"]["R1"],
        "W1": {},
        "S1": {},
    }
    assert list(document["parts"]["E1"]) == ["voltage", "current", "power", "equivalent"]
    assert list(document["parts"]["R1"]) == ["voltage", "current", "power"]
    assert list(document["totals"]) == ["power"]
    assert "charge" not in document["conductors"]["k1"]


def test_a_closed_switch_has_no_voltage_and_an_open_one_what_lies_across_it():
    parts = [battery("E1", "9 V", "a", "0"), switch("S1", "a", "b", closed=True), resistor("R1", "3 Ω", "b", "c")]
    solution = solve(Sketch.of(*parts, switch("S2", "c", "0")))
    assert (solution.parts["S1"].voltage.text, solution.parts["S2"].voltage.text) == ("0 V", "9.00 V")


@given(networks())
def test_the_json_text_is_the_document_and_its_numbers_are_the_exact_ones(sketch):
    solution = solve(sketch)
    document = json.loads(solution.json())
    assert document == solution.document()
    for name, part in solution.parts.items():
        for word, reading in entries(part):
            if word == "passed":
                continue
            sent = document["parts"][name][word]
            assert sent == reading.document()
            assert sent["value"] == float(fraction(reading))
            if reading.exact.height_bits() > LONG:
                assert sent["exact"] is None
            else:
                assert flint.fmpq(*map(int, (sent["exact"] + "/1").split("/")[:2])) == reading.exact


def test_the_exact_text_of_a_huge_fraction_is_left_out_of_the_document_only():
    exact = flint.fmpq(3**300, 2**500)
    reading = Reading(exact, Quantity.VOLTAGE)
    assert reading.exact == exact
    # log₁₀(3³⁰⁰/2⁵⁰⁰) = 300·0.47712 − 500·0.30103 = −7.379, and 10^−7.379 is 41.8 × 10⁻⁹.
    assert reading.document() == {"exact": None, "value": float(exact), "text": "41.8 nV"}


@pytest.mark.parametrize(("exact", "text"), [((5, 2), "2.50 V"), ((-5, 2), "−2.50 V"), ((0, 1), "0 V")])
def test_the_opposite_of_a_reading_is_that_of_the_opposite_number(exact, text):
    reading = Reading(flint.fmpq(*exact), Quantity.VOLTAGE)
    assert reading.text == text
    opposite = -reading
    assert opposite.told() == Reading(-flint.fmpq(*exact), Quantity.VOLTAGE).told()
    assert -opposite == reading


def test_readings_are_equal_where_quantity_and_number_are():
    half = flint.fmpq(1, 2)
    assert Reading(half, Quantity.VOLTAGE) == Reading(flint.fmpq(2, 4), Quantity.VOLTAGE)
    assert Reading(half, Quantity.VOLTAGE) != Reading(half, Quantity.CHARGE)
    assert len({Reading(half, Quantity.VOLTAGE), Reading(half, Quantity.VOLTAGE)}) == 1
    assert Reading(half, Quantity.VOLTAGE) != half


def test_a_formula_is_no_float():
    charge = solve(Sketch.of(battery("E1", "9 V", "a", "0"), capacitor("C1", "C", "a", "0"))).parts["C1"].charge
    with pytest.raises(TypeError, match=r"9\.00 V × C is a number only once its symbols are"):
        float(charge)
