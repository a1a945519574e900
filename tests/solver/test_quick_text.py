"""The quick way of writing a number says what the exact way says, or leaves it to the exact way."""

from __future__ import annotations

import flint
import pytest
from hypothesis import example, given, settings
from hypothesis import strategies as st

from solver.format import format_number
from solver.quick_text import quick_text

numerators = st.integers(-(10**14), 10**14)
denominators = st.one_of(st.integers(1, 10**12), st.sampled_from([10**power for power in range(25)]))


@settings(max_examples=2000)
@given(numerators, denominators, st.integers(1, 12))
@example(9995, 1000, 3)
@example(1, 10**15, 3)
@example(999999, 1000, 3)
@example(25, 10, 1)
def test_it_agrees_with_the_exact_way(top, bottom, figures):
    exact = flint.fmpq(top, bottom)
    assert quick_text(float(exact), "V", figures) in (None, format_number(exact, "V", figures))


@pytest.mark.parametrize("exact", [flint.fmpq(5, 2), flint.fmpq(12345, 10), flint.fmpq(10**17 + 1, 4 * 10**16)])
def test_at_a_tie_and_next_to_one_it_leaves_the_answer_to_the_exact_way(exact):
    assert quick_text(float(exact), "V", 1 if exact < 100 else 4) is None


def test_most_numbers_are_written_the_quick_way():
    sure = [quick_text(float(flint.fmpq(k, 7)), "V", 3) is not None for k in range(1, 1000) if k % 7]
    assert sum(sure) > 0.98 * len(sure)
