"""How far a reading goes while one value goes from nothing to without end: the bounds of a quotient of polynomials."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

import flint


@dataclass(frozen=True)
class Reach:
    """The greatest lower and least upper bound for values above zero, None where there is no bound."""

    low: flint.fmpq | None
    high: flint.fmpq | None


def reach(top: flint.fmpz_poly, bottom: flint.fmpz_poly) -> Reach:
    """The reach of top(x)/bottom(x) over x > 0, where bottom has no root: its ends, and where it turns.

    Where it turns at an irrational x the bound is the nearest float's value.

    >>> reach(flint.fmpz_poly([0, 5]), flint.fmpz_poly([5, 1]))
    Reach(low=0, high=5)
    """
    ends = [_at_zero(top, bottom), _far_out(top, bottom)]
    turning = [_value(top, bottom, x) for x in _turns(top, bottom)]
    finite = [bound for bound in (*ends, *turning) if isinstance(bound, flint.fmpq)]
    return Reach(
        None if "-" in ends else min(finite, default=None),
        None if "+" in ends else max(finite, default=None),
    )


def _at_zero(top: flint.fmpz_poly, bottom: flint.fmpz_poly) -> Any:
    """The limit towards zero: a number, or "+" or "-" where there is none."""
    if bottom[0] != 0:
        return flint.fmpq(top[0], bottom[0])
    lowest = next(power for power in range(bottom.degree() + 1) if bottom[power] != 0)
    start = next((power for power in range(top.degree() + 1) if top[power] != 0), lowest + 1)
    if start > lowest:
        return flint.fmpq(0)
    if start == lowest:
        return flint.fmpq(top[start], bottom[lowest])
    return "+" if (top[start] > 0) == (bottom[lowest] > 0) else "-"


def _far_out(top: flint.fmpz_poly, bottom: flint.fmpz_poly) -> Any:
    if top.degree() < bottom.degree():
        return flint.fmpq(0)
    leading, divisor = top[top.degree()], bottom[bottom.degree()]
    if top.degree() == bottom.degree():
        return flint.fmpq(leading, divisor)
    return "+" if (leading > 0) == (divisor > 0) else "-"


def _turns(top: flint.fmpz_poly, bottom: flint.fmpz_poly) -> list[flint.fmpq]:
    slope: Any = top.derivative() * bottom - top * bottom.derivative()
    if slope.degree() < 1:
        return []
    found = []
    for root, _ in slope.complex_roots():
        if root.imag == 0 and root.real > 0:
            numerator, denominator = float(root.real).as_integer_ratio()
            found.append(flint.fmpq(numerator, denominator))
    return found


def _value(top: flint.fmpz_poly, bottom: flint.fmpz_poly, x: flint.fmpq) -> flint.fmpq:
    return flint.fmpq_poly(top)(x) / flint.fmpq_poly(bottom)(x)
