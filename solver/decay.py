"""Decay rates and amplitudes, from rows of exact numbers: each row is what −d/dt makes of the one before.

Any reading's rows r₀, r₁ … (its deviation at the start, and so on) belong to the sum of exponentials
∑ₖ aₖ·exp(−λₖ·t) with rᵢ = ∑ₖ aₖ·λₖⁱ. With m(x) = ∏ (x − λₖ) and m(x)/(x − λₖ) = ∑ᵢ bᵢ·xⁱ, so aₖ = ∑ᵢ bᵢ·rᵢ / m′(λₖ).
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Any, Final

import flint

from solver.arithmetic import Scalar

_PRECISION: Final = 192
_MOST_PRECISION: Final = 12_000


@dataclass(frozen=True)
class Decay:
    """The decay rates of a network (per second), slowest first, and the way to readings' amplitudes.

    `exact` is the one rate where there is only one, in the numbers of the network; None where there are several.
    """

    rates: tuple[float, ...]
    exact: Scalar | None
    _roots: tuple[Any, ...] = ()
    _polynomial: tuple[Any, ...] = ()
    _precision: int = 53

    def amplitudes(self, rows: Sequence[Scalar]) -> tuple[float, ...]:
        """The amplitude of each exponential in a reading with these rows (one row for each rate); floats.

        Where symbols occur there is one rate at most, and the amplitude is the first row itself: none is given.
        """
        if self.exact is not None:
            number = number_of(rows[0])
            return () if number is None else (float(number),)
        return tuple(float(amplitude) for amplitude in self._enclosed(rows))

    def square(self, rows: Sequence[Scalar]) -> Scalar:
        """The time integral of the square of a reading with these rows, which ends at zero; exact for one rate, else a
        float."""
        if self.exact is not None:
            return rows[0] * rows[0] / (2 * self.exact)
        if not self.rates:
            return flint.fmpq(0)
        pairs = list(zip(self._enclosed(rows), self._roots, strict=True))
        with flint.ctx.workprec(self._precision):
            total = flint.arb(0)
            for one, root in pairs:
                for other, other_root in pairs:
                    total += one * other / (root + other_root)
            return float(total)

    def _enclosed(self, rows: Sequence[Scalar]) -> list[Any]:
        if not any(rows):
            return [flint.arb(0)] * len(self._roots)
        with flint.ctx.workprec(self._precision):
            return self._amplitudes(rows)

    def _amplitudes(self, rows: Sequence[Scalar]) -> list[Any]:
        found = []
        for root in self._roots:
            # Synthetic division by (x − root), from the highest power down; what is left over would be m(root).
            weight, total, slope, power = flint.arb(1), flint.arb(0), flint.arb(0), flint.arb(1)
            weights = []
            for coefficient in reversed(self._polynomial[:-1]):
                weights.append(weight)
                weight = weight * root + coefficient
            for row, each in zip(rows, reversed(weights), strict=True):
                total += each * row
                slope += each * power
                power *= root
            found.append(total / slope)
        return found


def decay_of(rows: list[list[Scalar]], *, exact_only: bool) -> Decay:
    """The rates of a network whose deviations have these rows, the last of which depends on the others.

    Raises ArithmeticError where the rates cannot be told apart, which exact rates never come to.
    """
    count = len(rows) - 1
    if count < 1:
        return Decay((), None)
    if count == 1:
        place = next(index for index, entry in enumerate(rows[0]) if entry)
        rate = rows[1][place] / rows[0][place]
        number = number_of(rate)
        return Decay(() if number is None else (float(number),), rate)
    if exact_only:
        raise ArithmeticError("several time constants with symbols")
    table = flint.fmpq_mat(count + 1, len(rows[0]), [entry for row in rows for entry in row]).transpose()
    reduced, _ = table.rref()
    polynomial = flint.fmpq_poly([-reduced[row, count] for row in range(count)] + [1])
    whole: Any = polynomial.numer()
    precision = _PRECISION
    while precision <= _MOST_PRECISION:
        with flint.ctx.workprec(precision):
            roots: list[Any] = sorted((found[0].real for found in whole.complex_roots()), key=float)
            good = len(roots) == count and all(root.rel_accuracy_bits() >= precision // 2 for root in roots)
            if good:
                coefficients = tuple(flint.arb(flint.fmpq(polynomial[index])) for index in range(count + 1))
                return Decay(tuple(map(float, roots)), None, tuple(roots), coefficients, precision)
        precision *= 2
    raise ArithmeticError("the decay rates are too close to be told apart")


def number_of(scalar: Scalar) -> flint.fmpq | None:
    """The rational number that an exact scalar is; None where symbols remain."""
    return scalar if isinstance(scalar, flint.fmpq) else scalar.constant
