"""A lot from the drawer: parts drawn within their tolerances, the same ones for the same number."""

from __future__ import annotations

from collections import Counter
from dataclasses import replace

import flint
import pytest
from hypothesis import given
from hypothesis import strategies as st

from solver import Sketch, battery, capacitor, resistor, solve
from solver.lot import drawn
from solver.quantities import Quantity
from solver.sketch import Stage
from solver.tolerance import spreads_of
from solver.tolerance_text import read_tolerance
from solver.values import read_value

LANTERN = Sketch.of(
    battery("E1", "9 V", "a", "0"),
    capacitor("C1", "30 µF", "a", "b", tolerance="±10 %"),
    capacitor("C2", "10 µF", "b", "0", tolerance="−20 +80 %"),
    resistor("R1", "1 kΩ", "a", "0"),
)


def lot(number: int, sketch: Sketch = LANTERN):
    found = drawn(replace(sketch, lot=number))
    assert found is not None
    return found


def test_without_a_lot_nothing_is_drawn():
    assert drawn(LANTERN) is None


def test_a_lot_is_the_same_every_time_and_on_every_machine():
    # Pinned: a lot that somebody wrote down must not change with a new version.
    assert [part.value for part in lot(7).sketch.parts] == ["9 V", "30.021 µF", "9.317 µF", "1 kΩ"]
    assert lot(7) == lot(7)
    assert lot(7).values != lot(8).values


def test_a_part_is_drawn_alike_whatever_else_is_on_the_sheet():
    alone = Sketch.of(capacitor("C1", "30 µF", "a", "b", tolerance="±10 %"))
    assert lot(3, alone).values["C1"] == lot(3).values["C1"]


def test_what_has_no_tolerance_stays_as_typed_and_what_was_drawn_has_none_left():
    sketch = lot(5).sketch
    assert [part.tolerance for part in sketch.parts] == [None] * 4
    assert (sketch.parts[0], sketch.parts[3]) == (LANTERN.parts[0], LANTERN.parts[3])
    assert sketch.lot is None
    assert set(lot(5).values) == {"C1", "C2"}


def test_a_drawn_sketch_can_be_written_as_it_was_typed():
    assert replace(lot(5).as_typed(lot(5).sketch), lot=None) == LANTERN


@given(st.integers(1, 999_999), st.sampled_from(["±10 %", "±0.05 %", "−20 +80 %", "−0 +100 %", "±99 %"]))
def test_every_part_lies_within_its_tolerance(number, text):
    sketch = Sketch.of(
        capacitor("C1", "4.7 nF", "a", "b", tolerance=text), resistor("R1", "R", "a", "b", tolerance=text)
    )
    found = lot(number, sketch)
    low, high = read_tolerance(text).ends(flint.fmpq(47, 10**10))
    assert low <= found.values["C1"].exact <= high
    assert read_value(found.sketch.parts[0].value, Quantity.CAPACITANCE).factor == found.values["C1"].exact
    assert found.sketch.parts[1].value == "R"


def test_parts_are_drawn_evenly():
    sketch = Sketch.of(capacitor("C1", "10 µF", "a", "b", tolerance="±10 %"))
    count = 4000
    tenths = Counter(
        min(9, int((lot(number, sketch).values["C1"].value * 1e6 - 9) / 0.2)) for number in range(1, count + 1)
    )
    # Each tenth of the range has 400 of 4000; five standard deviations of √(4000 · 0.1 · 0.9) ≈ 19 are 95.
    assert all(abs(tenths[tenth] - count / 10) < 95 for tenth in range(10)), tenths


def test_readings_are_those_of_the_drawn_parts_and_within_the_spread():
    spreads = spreads_of(LANTERN).spreads
    for number in range(1, 30):
        solution = solve(replace(LANTERN, lot=number))
        assert solution.parts["C1"].voltage == solve(lot(number).sketch).parts["C1"].voltage
        for word in ("voltage", "charge", "energy"):
            spread, reading = spreads[f"C1.{word}"], getattr(solution.parts["C1"], word)
            assert spread.low.exact <= reading.exact <= spread.high.exact


def test_a_value_that_a_stage_sets_is_as_far_off_as_the_part_is():
    stages = [Stage(settings=(("C1", "30 µF"),)), Stage(settings=(("C1", "60 µF"),))]
    sketch = lot(7, replace(LANTERN, stages=tuple(stages))).sketch
    texts = [dict(stage.settings)["C1"] for stage in sketch.stages]
    first, second = (read_value(text, Quantity.CAPACITANCE).factor for text in texts)
    assert sketch.parts[1].value == texts[0]
    assert float(second) == pytest.approx(2 * float(first), rel=1e-4)


@pytest.mark.parametrize("tolerance", ["±100 %", "a little"])
def test_a_tolerance_at_fault_is_left_for_the_solver_to_tell(tolerance):
    sketch = Sketch.of(capacitor("C1", "10 µF", "a", "b", tolerance=tolerance))
    assert lot(1, sketch).sketch.parts == sketch.parts
