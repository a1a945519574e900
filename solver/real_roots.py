"""All roots of a polynomial whose roots are known to be real, positive and simple, as intervals that hold them.

They are looked for from below, one after the other, by Laguerre's method, which from the left of such roots comes to
the first of them without passing it (W. Kahan, "Laguerre's method and a circle which contains at least one zero of a
polynomial", SIAM J. Numer. Anal. 4 (1967) 474–482; from memory), those found divided out.
Whether what is found is right is then proved: Newton's method on an interval says that it holds one root, and
intervals that do not touch hold different ones (R. E. Moore, Interval Analysis, 1966).
"""

from __future__ import annotations

from itertools import pairwise
from math import sqrt
from typing import Any, Final

import flint

_MOST_STEPS: Final = 60
_CLOSE: Final = 1e-12


def positive_roots(polynomial: Any, unit: Any, precision: int) -> list[Any] | None:
    """The roots divided by the unit (all of which are sizes that floats have), smallest first, to about so many bits;
    None where they are not told apart."""
    with flint.ctx.workprec(2 * precision):
        value = flint.arb_poly(polynomial)
        slope = value.derivative()
        rest, found = value, []
        try:
            for _ in range(polynomial.degree()):
                at = _polished(value, slope, flint.arb(_lowest(rest, unit)) * unit, precision)
                found.append(_proved(value, slope, at))
                rest = _without(rest, at)
        except (ArithmeticError, ValueError):
            return None
        found.sort()
        apart = all(one < other for one, other in pairwise(found))
        return [root / unit for root in found] if apart else None


def _lowest(polynomial: Any, unit: Any) -> float:
    """Nearly the lowest root, divided by the unit."""
    left = polynomial.degree()
    slope = polynomial.derivative()
    bend = slope.derivative()
    x = 0.0
    for _ in range(_MOST_STEPS):
        at = flint.arb(x) * unit
        here = polynomial(at)
        if here.contains(0):
            break
        # ∑ 1/(x − root), and ∑ 1/(x − root)².
        share = unit / here
        once = float(slope(at) * share)
        twice = once * once - float(bend(at) * share * unit)
        if once >= 0:
            # Rounding has brought it past the root.
            break
        step = left / (once - sqrt(max((left - 1) * (left * twice - once * once), 0.0)))
        x -= step
        if abs(step) <= _CLOSE * x:
            break
    return x


def _polished(value: Any, slope: Any, at: Any, precision: int) -> Any:
    """A number near a root brought so close that one step more of Newton's method has that many bits right."""
    close = flint.arb(2) ** (-precision // 2)
    for _ in range(_MOST_STEPS):
        off = value(at) / slope(at)
        at = (at - off).mid()
        if abs(off) <= at * close:
            break
    return at


def _proved(value: Any, slope: Any, at: Any) -> Any:
    """The interval about a number that holds a root. Raises ArithmeticError where that cannot be told."""
    off = value(at) / slope(at)
    around = at + off.union(-off) * 2
    narrowed = at - value(at) / slope(around)
    if around.contains_interior(narrowed) or off.is_zero():
        return narrowed
    raise ArithmeticError


def _without(polynomial: Any, root: Any) -> Any:
    """The polynomial with one root divided out; those below it have to be out already, else rounding would grow."""
    total, quotient = flint.arb(0), []
    for coefficient in reversed(polynomial.coeffs()):
        total = (total * root + coefficient).mid()
        quotient.append(total)
    return flint.arb_poly(quotient[-2::-1])
