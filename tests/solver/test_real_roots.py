"""Roots of polynomials that are made from their roots: each lies in its interval, or none is claimed."""

from __future__ import annotations

from fractions import Fraction
from math import prod
from typing import Any

import flint
from hypothesis import given, settings
from hypothesis import strategies as st

from solver.real_roots import positive_roots


def with_roots(roots: list[Fraction]) -> flint.fmpz_poly:
    """The polynomial in whole numbers: the product of (denominator·x − numerator)."""
    return prod((flint.fmpz_poly([-root.numerator, root.denominator]) for root in roots), start=flint.fmpz_poly([1]))


def assert_holds(found: list[Any], roots: list[Fraction], unit: int = 1) -> None:
    assert len(found) == len(roots)
    for interval, root in zip(found, sorted(roots), strict=True):
        with flint.ctx.workprec(1000):
            assert (interval * unit * root.denominator - root.numerator).contains(0)


def assert_found(roots: list[Fraction], unit: int = 1) -> None:
    found = positive_roots(with_roots(roots), flint.fmpz(unit), 192)
    assert found is not None
    assert_holds(found, roots, unit)
    for interval, root in zip(found, sorted(roots), strict=True):
        assert interval.rel_accuracy_bits() >= 96
        assert float(interval) == float(root / unit)


def test_one_two_three() -> None:
    assert_found([Fraction(3), Fraction(1), Fraction(2)])


def test_roots_are_given_in_the_unit_asked_for() -> None:
    assert_found([Fraction(300), Fraction(7)], unit=100)


def test_roots_far_apart_and_close_together_are_told_apart() -> None:
    assert_found([Fraction(1, 10**6), Fraction(10**6), Fraction(10**6 + 1), Fraction(10**12)])


def test_roots_too_close_for_floats_are_not_claimed_or_they_are_right() -> None:
    for close in range(8, 40, 4):
        roots = [Fraction(1, 3), Fraction(1), 1 + Fraction(1, 10**close), Fraction(5)]
        found = positive_roots(with_roots(roots), flint.fmpz(1), 192)
        if found is not None:
            assert_holds(found, roots)


def test_forty_roots_in_a_row() -> None:
    assert_found([Fraction(number) for number in range(1, 41)])


def test_a_double_root_is_not_claimed() -> None:
    assert positive_roots(with_roots([Fraction(1), Fraction(2), Fraction(2)]), flint.fmpz(1), 192) is None


def test_roots_that_are_not_real_are_not_claimed() -> None:
    assert positive_roots(flint.fmpz_poly([1, 0, 1]), flint.fmpz(1), 192) is None


@given(st.sets(st.fractions(Fraction(1, 1000), 1000, max_denominator=1000), min_size=1, max_size=12))
@settings(max_examples=100, deadline=None)
def test_any_roots_that_are_real_positive_and_different(roots: set[Fraction]) -> None:
    assert_found(list(roots))
