"""Ticks are round, in range, not too many, and of one prefix."""

from __future__ import annotations

import re
from fractions import Fraction
from itertools import pairwise

import flint
import pytest
from hypothesis import given
from hypothesis import strategies as st

from solver.tile_scale import ticks

NUMBERS = st.fractions(-1000, 1000, max_denominator=10**6)


@given(low=NUMBERS, span=st.fractions(Fraction(1, 10**6), 10**6, max_denominator=10**7), most=st.integers(2, 12))
def test_ticks_are_round_within_the_scale_and_not_too_many(low, span, most):
    high = low + span
    made = ticks(*(flint.fmpq(n.numerator, n.denominator) for n in (low, high)), "V", most)
    assert len(made) <= most + 1
    steps = {later.at - earlier.at for earlier, later in pairwise(made)}
    assert len(steps) <= 1
    for step in steps:
        digits = f"{step.numerator / step.denominator:.9e}"
        assert float(digits.partition("e")[0]) in (1, 2, 5)
        assert all(tick.at % step == 0 and low <= tick.at <= high for tick in made)
        # The next step down of 1, 2, 5 would be too many.
        assert span > most * step * Fraction(2, 5)


@given(low=NUMBERS, span=st.fractions(1, 10**6, max_denominator=10**6))
def test_the_ticks_of_a_scale_are_written_with_one_prefix(low, span):
    made = ticks(*(flint.fmpq(n.numerator, n.denominator) for n in (low, low + span)), "V", 5)
    assert len({re.sub(r"[−\d. ]", "", tick.text) for tick in made if tick.at}) <= 1


@pytest.mark.parametrize(
    ("low", "high", "texts"),
    [
        (0, flint.fmpq(9, 10), ["0", "200 mV", "400 mV", "600 mV", "800 mV"]),
        (0, flint.fmpq(3, 2), ["0", "0.5 V", "1 V", "1.5 V"]),
        (0, 1200, ["0", "0.5 kV", "1 kV"]),
        (-3, 3, ["−2 V", "0", "2 V"]),
        (0, flint.fmpq(1, 10**18), ["0", "2 × 10⁻¹⁹ V", "4 × 10⁻¹⁹ V", "6 × 10⁻¹⁹ V", "8 × 10⁻¹⁹ V", "1 × 10⁻¹⁸ V"]),
    ],
)
def test_ticks_are_written_as_a_person_would(low, high, texts):
    assert [tick.text for tick in ticks(flint.fmpq(low), flint.fmpq(high), "V", 5)] == texts


def test_a_float_at_the_end_of_its_scale_has_its_tick():
    assert [tick.text for tick in ticks(0.0, 0.1 + 0.7, "V", 4)][-1] == "800 mV"
