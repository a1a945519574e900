"""Highest and lowest values of sums of decaying exponentials: attained where told, and never passed."""

from __future__ import annotations

import math

import flint
import pytest
from hypothesis import given
from hypothesis import strategies as st

from solver.extremes import highest, lowest

q = flint.fmpq


def both(final, terms):
    with flint.ctx.workprec(192):
        enclosed = [(flint.arb(amplitude), flint.arb(rate)) for amplitude, rate in terms]
    first = final + sum((amplitude for amplitude, _ in terms), q(0))
    return highest(first, final, enclosed), lowest(first, final, enclosed)


def test_a_pulse_is_highest_where_its_slope_is_zero():
    """f = 3·exp(−t) − 3·exp(−2t): f′ = 0 at exp(−t) = 1/2, so at t = ln 2, and there f = 3/2 − 3/4."""
    top, bottom = both(q(0), [(q(3), q(1)), (q(-3), q(2))])
    assert float(top.value) == pytest.approx(0.75, rel=1e-12)
    assert top.value <= top.bound <= top.value * (1 + q(2, 10**9))
    assert top.time == pytest.approx(math.log(2), rel=1e-9)
    assert (bottom.value, bottom.bound) == (0, 0)


@pytest.mark.parametrize(
    ("amplitudes", "at_start"), [((q(1), q(2)), True), ((q(-1), q(-2)), False), ((q(5), q(0)), True)]
)
def test_what_goes_one_way_is_highest_and_lowest_at_its_ends_exactly(amplitudes, at_start):
    top, bottom = both(q(1, 3), list(zip(amplitudes, (q(1), q(7)), strict=True)))
    first = q(1, 3) + sum(amplitudes, q(0))
    assert (top.value, top.bound) == (max(first, q(1, 3)),) * 2
    assert (bottom.value, bottom.bound) == (min(first, q(1, 3)),) * 2
    assert (top.time == 0.0) is at_start


def test_there_may_be_no_exponentials_at_all():
    top, bottom = both(q(4), [])
    assert (top.value, bottom.value) == (4, 4)


def test_the_first_of_two_humps_may_be_the_higher_one():
    """Rates a thousand apart: the fast pair makes its hump long before the slow pair begins to matter."""
    fast, slow = [(q(8), q(1000)), (q(-8), q(2000))], [(q(3), q(1)), (q(-3), q(2))]
    top, _ = both(q(0), [*fast, *slow])
    assert 2 < float(top.value) < 2.1
    assert 0.0005 < top.time < 0.001


NUMBER = st.integers(-60, 60)
TERM = st.tuples(NUMBER.map(lambda n: q(n, 7)), st.integers(1, 5000).map(lambda n: q(n, 10)))


@given(NUMBER, st.lists(TERM, min_size=1, max_size=5, unique_by=lambda term: str(term[1])))
def test_no_moment_passes_the_bounds_and_the_extremes_are_attained(end, terms):
    final = q(end)
    top, bottom = both(final, terms)

    def at(time):
        return float(final) + sum(float(amplitude) * math.exp(-float(rate) * time) for amplitude, rate in terms)

    size = 1e-9 * (abs(end) + sum(abs(float(amplitude)) for amplitude, _ in terms) + 1)
    moments = [10 ** (step / 12) for step in range(-84, 48)]
    assert all(float(bottom.bound) - size <= at(time) <= float(top.bound) + size for time in (0.0, *moments))
    for extreme in (top, bottom):
        where = at(extreme.time) if math.isfinite(extreme.time) else float(final)
        assert where == pytest.approx(float(extreme.value), abs=size)
        assert abs(extreme.bound - extreme.value) <= abs(extreme.bound) * q(2, 10**9)
