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
from solver.functions import number_of

_PRECISION: Final = 192
_MOST_PRECISION: Final = 12_000
_SURE_BITS: Final = 64
"""Bits of an amplitude that have to be known, counted from the largest one of its reading."""


class Indistinguishable(Exception):
    """Decay rates, or what belongs to them, that no precision of a reasonable length tells apart."""


@dataclass(frozen=True)
class Decay:
    """The decay rates of a network (per second), slowest first, and the way to readings' amplitudes.

    `exact` is the one rate where there is only one, in the numbers of the network; None where there are several.
    """

    rates: tuple[float, ...]
    exact: Scalar | None
    _enclosure: _Enclosure | None = None

    def amplitudes(self, rows: Sequence[Scalar]) -> tuple[float, ...]:
        """The amplitude of each exponential in a reading with these rows (one row for each rate); floats.

        Where symbols occur there is one rate at most, and the amplitude is the first row itself: none is given.
        Raises Indistinguishable.
        """
        if self.exact is not None:
            number = number_of(rows[0])
            return () if number is None else (float(number),)
        if self._enclosure is None or not any(rows):
            return (0.0,) * len(self.rates)
        return tuple(map(float, self._enclosure.amplitudes(rows)))

    def enclosed(self, rows: Sequence[Scalar]) -> tuple[tuple[Any, Any], ...]:
        """The exponentials of a reading with these rows, as pairs of amplitude and rate, each an interval (flint.arb)
        that holds it; none where symbols remain. Raises Indistinguishable."""
        if self.exact is not None:
            amplitude, rate = number_of(rows[0]), number_of(self.exact)
            return () if amplitude is None or rate is None else ((flint.arb(amplitude), flint.arb(rate)),)
        if self._enclosure is None or not any(rows):
            return ()
        amplitudes = self._enclosure.amplitudes(rows)
        return tuple(zip(amplitudes, self._enclosure.roots, strict=True))

    def square(self, rows: Sequence[Scalar]) -> Scalar:
        """The time integral of the square of a reading with these rows, which ends at zero; exact for one rate, else a
        float."""
        if self.exact is not None:
            return rows[0] * rows[0] / (2 * self.exact)
        if self._enclosure is None or not any(rows):
            return flint.fmpq(0)
        return self._enclosure.square(rows)

    def left(self, rows: Sequence[Scalar]) -> Scalar:
        """The time integral of a reading with these rows (one for each rate), which ends at zero; exact.

        What stands before the first row such that −d/dt makes the first of it: m takes it, too, to zero.
        """
        if self.exact is not None:
            return rows[0] / self.exact
        if self._enclosure is None:
            return flint.fmpq(0)
        lowest, *higher = self._enclosure.polynomial
        return -sum((each * row for each, row in zip(higher, rows, strict=True)), flint.fmpq(0)) / lowest

    def weights_at(self, time: float) -> list[flint.fmpq]:
        """Numbers, one for each row, whose products with a reading's rows add up to nearly what is left of it at a
        time (seconds); as they are exact, what is left of a sum is exactly the sum of what is left."""
        if self._enclosure is None:
            return [(-flint.arb(rate) * flint.arb(time)).exp().mid().fmpq() for rate in self.rates]
        return self._enclosure.weights_at(time)


class _Enclosure:
    """The rates as enclosed by balls, and the matrix that makes amplitudes of rows, as exactly as they turn out to be
    needed."""

    def __init__(self, polynomial: Sequence[flint.fmpq]) -> None:
        """`polynomial` has the coefficients of m, lowest power first."""
        self.polynomial: Final = tuple(polynomial)
        self._whole: Final[Any] = flint.fmpq_poly(list(polynomial)).numer()
        self._precision = _PRECISION
        self._enclose()

    @property
    def rates(self) -> tuple[float, ...]:
        """Slowest first."""
        return tuple(map(float, self._roots))

    def _enclose(self) -> None:
        count = len(self.polynomial) - 1
        while self._precision <= _MOST_PRECISION:
            with flint.ctx.workprec(self._precision):
                roots = sorted((found[0].real for found in self._whole.complex_roots()), key=float)
                if len(roots) == count and all(root.rel_accuracy_bits() >= self._precision // 2 for root in roots):
                    self._roots: list[Any] = roots
                    self._matrix = flint.arb_mat([self._weights(root) for root in roots])
                    return
            self._precision *= 2
        raise Indistinguishable

    def _weights(self, root: Any) -> list[Any]:
        """What each row counts for in the amplitude of this rate."""
        # Synthetic division by (x − root), from the highest power down; what is left over would be m(root).
        weight, slope, power = flint.arb(1), flint.arb(0), flint.arb(1)
        weights = []
        for coefficient in reversed(self.polynomial[:-1]):
            weights.append(weight)
            weight = weight * root + coefficient
        weights.reverse()
        for each in weights:
            slope += each * power
            power *= root
        return [each / slope for each in weights]

    @property
    def roots(self) -> tuple[Any, ...]:
        """The rates as intervals, slowest first, as closely as they are known by now."""
        return tuple(self._roots)

    def amplitudes(self, rows: Sequence[Scalar]) -> list[Any]:
        """Known to as many bits as a float has. Raises Indistinguishable."""
        while True:
            with flint.ctx.workprec(self._precision):
                found = [entry for [entry] in (self._matrix * flint.arb_mat([[row] for row in rows])).tolist()]
            largest = max(abs(float(amplitude)) for amplitude in found)
            if all(float(amplitude.rad()) <= largest * 2.0**-_SURE_BITS for amplitude in found):
                return found
            self._precision *= 2
            self._enclose()

    def square(self, rows: Sequence[Scalar]) -> float:
        """The time integral of the square of the reading."""
        amplitudes = self.amplitudes(rows)
        with flint.ctx.workprec(self._precision):
            total = flint.arb(0)
            for place, (one, root) in enumerate(zip(amplitudes, self._roots, strict=True)):
                total += one * one / (2 * root)
                for other, other_root in zip(amplitudes[:place], self._roots[:place], strict=True):
                    total += 2 * one * other / (root + other_root)
            return float(total)

    def weights_at(self, time: float) -> list[flint.fmpq]:
        """See Decay.weights_at."""
        with flint.ctx.workprec(self._precision):
            left = flint.arb_mat([[(-root * flint.arb(time)).exp() for root in self._roots]])
            [weights] = (left * self._matrix).tolist()
            return [weight.mid().fmpq() for weight in weights]


def decay_of(rows: list[list[Scalar]], *, exact_only: bool) -> Decay:
    """The rates of a network whose deviations have these rows, the last of which depends on the others.

    Raises Indistinguishable where the rates cannot be told apart.
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
        raise Indistinguishable
    table = flint.fmpq_mat(count + 1, len(rows[0]), [entry for row in rows for entry in row]).transpose()
    reduced, _ = table.rref()
    enclosure = _Enclosure([*(-reduced[row, count] for row in range(count)), flint.fmpq(1)])
    return Decay(enclosure.rates, None, enclosure)
