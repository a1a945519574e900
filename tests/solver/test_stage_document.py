"""A stage's course as a document: its time constants as they are read, and what each resistor takes."""

from __future__ import annotations

from typing import Any

import pytest

from solver import Sketch, battery, capacitor, resistor, switch
from solver.sketch import Stage
from solver.stage_document import stages_document
from solver.stages import solve_stages


def course(emf: str, resistance: str, capacitance: str, *more: Any, figures: int = 3) -> Any:
    """The course of a battery that charges a capacitor through a resistor."""
    parts = (
        battery("E1", emf, "e", "0"),
        switch("S1", "e", "a"),
        resistor("R1", resistance, "a", "b"),
        capacitor("C1", capacitance, "b", "0"),
        *more,
    )
    solved = solve_stages(Sketch.of(*parts, stages=[Stage(closed=("S1",))], figures=figures))
    return stages_document(solved, 0)[0]["course"]


@pytest.mark.parametrize(
    ("resistance", "capacitance", "figures", "text"),
    [
        ("1.5 kΩ", "10 µF", 3, "15.0 ms"),
        ("1.5 kΩ", "10 µF", 2, "15 ms"),
        # Half a unit in the last place exactly, which the nearest float of 1/rate lies below: 10.05 s to three figures.
        ("1.005 MΩ", "10 µF", 3, "10.1 s"),
    ],
)
def test_the_only_time_constant_is_rounded_from_its_exact_value(
    resistance: str, capacitance: str, figures: int, text: str
) -> None:
    assert course("9 V", resistance, capacitance, figures=figures)["timeTexts"] == [text]


def test_time_constants_of_several_stand_longest_first() -> None:
    # Quadratic formula for R1·C1·R2·C2·s² + (R1·C1 + R1·C2 + R2·C2)·s + 1 with 1.5 kΩ, 10 µF, 4.7 kΩ, 22 µF.
    b, c = 0.015 + 0.033 + 0.1034, 0.015 * 0.1034
    root = (b * b - 4 * c) ** 0.5
    found = course("9 V", "1.5 kΩ", "10 µF", resistor("R2", "4.7 kΩ", "b", "c"), capacitor("C2", "22 µF", "c", "0"))
    assert found["timeConstants"] == pytest.approx([(b + root) / 2, (b - root) / 2])
    assert found["timeTexts"] == ["140 ms", "11.1 ms"]


def test_in_symbols_the_time_constant_has_a_text_and_no_number() -> None:
    found = course("E", "R", "C")
    assert found["timeTexts"] == ["CR"]
    assert found["timeConstants"] == []
    voltage = found["parts"]["C1"]["voltage"]
    assert (voltage["first"]["text"], voltage["final"]["text"]) == ("0 V", "E")


def test_in_symbols_the_resistor_takes_half_of_what_the_battery_gives() -> None:
    assert course("E", "R", "C")["parts"]["R1"]["heat"]["text"] == "CE²/2"


def test_a_symbol_outside_the_time_constant_leaves_it_a_number() -> None:
    found = course("E", "1 kΩ", "10 µF")
    assert found["timeConstants"] == [0.01]
    assert found["timeTexts"] == ["10.0 ms"]


def test_where_nothing_takes_time_there_is_no_course() -> None:
    parts = (battery("E1", "9 V", "e", "0"), switch("S1", "e", "a"), capacitor("C1", "1 µF", "a", "0"))
    solved = solve_stages(Sketch.of(*parts, stages=[Stage(closed=("S1",))]))
    assert stages_document(solved, 0)[0]["course"] is None
