"""What a reading has to be after a time, as a condition on the unknown.

With one time constant 1/λ a reading is F + A·exp(−λt), where F, A and λ are quotients of polynomials in the unknown.
Where (v − F)/A is a number r, the condition is λ = −ln(r)/t; where λ is a number, it is F + A·exp(−λt) = v; both are
conditions on a quotient again, with a logarithm or an exponential to forty digits. In all other cases, and with several
time constants, the unknown is looked for between values that are too small and too large.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from typing import Any, Final

import flint

from solver.course import Course, OverTime
from solver.functions import Function

_DIGITS: Final = 40
_PRECISION: Final = 256


class Impossible(Exception):
    """What is required cannot be, whatever the unknown is; the text says why, without a full stop."""


@dataclass(frozen=True)
class Later:
    """A reading `after` so many seconds; `reading` has its value (SI units) for a value of the single unknown.

    Where one time constant is enough: `course` with the reading's ends and its rate as functions, `ratio` how much of
    the way is left, where that is a number. `excess` is the reading less what is required.
    """

    after: flint.fmpq
    reading: Callable[[flint.fmpq], float]
    excess: Callable[[float], float]
    over_time: OverTime | None = None
    rate: Function | None = None
    ratio: flint.fmpq | None = None


@dataclass(frozen=True)
class Reduced:
    """What a condition after a time comes to: that `scalar` be `wanted`; None where there is no such quotient."""

    scalar: Function | None
    wanted: flint.fmpq
    ratio: flint.fmpq | None = None


def reduced(course: Course, reading: OverTime, target: Function, after: flint.fmpq) -> Reduced:
    """The condition that a reading be `target` (SI units) after so many seconds. Raises Impossible."""
    constant = course.constant
    assert constant is not None
    rate: Function = 1 / constant
    first, final = reading.curve.first, reading.curve.final
    number = rate.constant
    if number is not None:
        left = _rational(lambda: (flint.arb(-number * after)).exp())
        value = final + (first - final) * left
        scalar = value if reading.square is None else reading.square * value * value
        return _against(scalar, target)
    if reading.square is not None:
        if final:
            return Reduced(None, flint.fmpq(0))
        share, halves = target / (reading.square * first * first), 2
    else:
        if not first - final:
            return _against(reading.first, target)
        share, halves = (target - final) / (first - final), 1
    ratio = share.constant
    if ratio is None:
        return Reduced(None, flint.fmpq(0))
    if ratio >= 1 or ratio <= 0:
        raise Impossible
    wanted = _rational(lambda: -(flint.arb(ratio)).log()) / (halves * after)
    return Reduced(rate, wanted, ratio)


def _against(scalar: Function, target: Function) -> Reduced:
    """That the scalar be the target: where that is a number, as it is, else their difference be nothing."""
    if target.constant is not None:
        return Reduced(scalar, target.constant)
    return Reduced(scalar - target, flint.fmpq(0))


def float_of(function: Function, value: float) -> float:
    """A function of one unknown at a value of it, in floats."""
    top, bottom = (
        sum(int(factor) * value ** int(powers[0]) for powers, factor in part.terms())
        for part in (function.numerator, function.denominator)
    )
    return top / bottom if bottom else float("nan")


def _rational(of: Callable[[], Any]) -> flint.fmpq:
    """A real number to forty digits behind the point of its leading figures."""
    with flint.ctx.workprec(_PRECISION):
        real = of()
        scale = _DIGITS - int((abs(real).log() / flint.arb(10).log()).floor().unique_fmpz() or 0) if real else _DIGITS
        whole = (real * flint.arb(10) ** scale).floor().unique_fmpz()
    return flint.fmpq(whole) / flint.fmpq(10) ** scale
