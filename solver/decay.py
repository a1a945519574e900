"""Decay rates and amplitudes, from exact numbers: a few deviations x, and what −d/dt makes of each, A·x.

A reading is a sum of multiples of these, so it belongs to a sum of exponentials ∑ₖ aₖ·exp(−λₖ·t). With A = N/n in whole
numbers the rates are the roots μₖ of m(x) = det(x − N), divided by n; with rᵢ for a reading of Nⁱ·x at the start,
rᵢ = ∑ₖ aₖ·μₖⁱ, and with m(x)/(x − μₖ) = ∑ᵢ bᵢ·xⁱ it is aₖ = ∑ᵢ bᵢ·rᵢ / m′(μₖ) (the method of A. N. Krylov, Izv. Akad.
Nauk SSSR 7 (1931) 491–539).
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from functools import cached_property
from operator import mul
from typing import Any, Final, Protocol

import flint

from solver.arithmetic import Scalar
from solver.functions import number_of
from solver.real_roots import positive_roots

_PRECISION: Final = 192
_MANY: Final = 16
"""Rates beyond which twice that precision is what it takes."""
_MOST_PRECISION: Final = 12_000
_SURE_BITS: Final = 64
"""Bits of an amplitude that have to be known, counted from the largest one of its reading."""

_PRIME: Final = 2**61 - 1

Weights = Sequence[Scalar]
"""What a reading is made of: a factor for each of the deviations."""


class Indistinguishable(Exception):
    """Decay rates, or what belongs to them, that no precision of a reasonable length tells apart."""


class Decay(Protocol):
    """The decay rates of a network (per second), slowest first, and the way from readings' weights to amplitudes.

    `exact` is the one rate where there is only one, in the numbers of the network; None where there are several.
    """

    @property
    def rates(self) -> tuple[float, ...]:
        """Slowest first; none where symbols remain."""
        ...

    @property
    def exact(self) -> Scalar | None:
        """The one rate."""
        ...

    def firsts(self, readings: Sequence[Weights]) -> list[Scalar]:
        """What each reading has to go at the start; exact."""
        ...

    def amplitudes(self, readings: Sequence[Weights]) -> list[tuple[float, ...]]:
        """The amplitude of each exponential in each reading; floats.

        Where symbols occur there is one rate at most, and the amplitude is what there is at the start: none is given.
        Raises Indistinguishable.
        """
        ...

    def enclosed(self, readings: Sequence[Weights]) -> list[tuple[tuple[Any, Any], ...]]:
        """The exponentials of each reading, as pairs of amplitude and rate, each an interval (flint.arb) that holds it;
        none where symbols remain. Raises Indistinguishable."""
        ...

    def with_squares(
        self, readings: Sequence[Weights], places: Sequence[int]
    ) -> tuple[list[tuple[float, ...]], list[Scalar]]:
        """The amplitudes, and for the readings at these places, which end at zero, the time integral of the square:
        exact for one rate, else floats. Raises Indistinguishable."""
        ...

    def changed(self, readings: Sequence[Weights]) -> Sequence[Weights]:
        """The weights of what −d/dt makes of each reading."""
        ...

    def ahead(self, readings: Sequence[Weights]) -> Sequence[Weights]:
        """The weights of each reading's time integral from a moment to the end."""
        ...

    def at(self, time: float) -> list[flint.fmpq]:
        """Nearly what each of the deviations is at a time (seconds), as exact numbers to reckon with."""
        ...


@dataclass(frozen=True)
class AtOnce:
    """Nothing takes time."""

    zero: Scalar
    rates: tuple[float, ...] = ()
    exact: Scalar | None = None

    def firsts(self, readings: Sequence[Weights]) -> list[Scalar]:
        """Nothing."""
        return [self.zero for _ in readings]

    def amplitudes(self, readings: Sequence[Weights]) -> list[tuple[float, ...]]:
        """None."""
        return [() for _ in readings]

    def enclosed(self, readings: Sequence[Weights]) -> list[tuple[tuple[Any, Any], ...]]:
        """None."""
        return [() for _ in readings]

    def with_squares(
        self, readings: Sequence[Weights], places: Sequence[int]
    ) -> tuple[list[tuple[float, ...]], list[Scalar]]:
        """None, and nothing."""
        return self.amplitudes(readings), [self.zero for _ in places]

    def changed(self, readings: Sequence[Weights]) -> Sequence[Weights]:
        """As they are: without any weight."""
        return list(readings)

    def ahead(self, readings: Sequence[Weights]) -> Sequence[Weights]:
        """As they are: without any weight."""
        return list(readings)

    def at(self, time: float) -> list[flint.fmpq]:
        """None."""
        return []


@dataclass(frozen=True)
class One:
    """One rate, in the numbers of the network; `start` is the one deviation at the start."""

    exact: Scalar
    start: Scalar

    @cached_property
    def rates(self) -> tuple[float, ...]:
        """The rate as a float; none where symbols remain."""
        number = number_of(self.exact)
        return () if number is None else (float(number),)

    def firsts(self, readings: Sequence[Weights]) -> list[Scalar]:
        """See Decay."""
        return [weight * self.start for [weight] in readings]

    def amplitudes(self, readings: Sequence[Weights]) -> list[tuple[float, ...]]:
        """See Decay."""
        numbers = map(number_of, self.firsts(readings))
        return [() if number is None else (float(number),) for number in numbers]

    def enclosed(self, readings: Sequence[Weights]) -> list[tuple[tuple[Any, Any], ...]]:
        """See Decay."""
        rate, numbers = number_of(self.exact), map(number_of, self.firsts(readings))
        return [() if number is None or rate is None else ((flint.arb(number), flint.arb(rate)),) for number in numbers]

    def with_squares(
        self, readings: Sequence[Weights], places: Sequence[int]
    ) -> tuple[list[tuple[float, ...]], list[Scalar]]:
        """See Decay."""
        squared = self.firsts([readings[place] for place in places])
        return self.amplitudes(readings), [first * first / (2 * self.exact) for first in squared]

    def changed(self, readings: Sequence[Weights]) -> Sequence[Weights]:
        """See Decay."""
        return [(weight * self.exact,) for [weight] in readings]

    def ahead(self, readings: Sequence[Weights]) -> Sequence[Weights]:
        """See Decay."""
        return [(weight / self.exact,) for [weight] in readings]

    def at(self, time: float) -> list[flint.fmpq]:
        """See Decay."""
        [rate] = self.rates
        return [self.start * (-flint.arb(rate) * flint.arb(time)).exp().mid().fmpq()]


class Several:
    """Several rates. No deviation is made of the others, at all times together."""

    exact: Final[Scalar | None] = None

    def __init__(self, change: Change, start: Sequence[flint.fmpq]) -> None:
        self._change: Final = change
        self._start: Final = start
        self._precision = _PRECISION if len(start) <= _MANY else 2 * _PRECISION
        self._modes_at: Final[dict[int, Any]] = {}

    @cached_property
    def rates(self) -> tuple[float, ...]:
        """Slowest first. Raises Indistinguishable."""
        return tuple(map(float, self._change.spectrum(self._precision).rates))

    def firsts(self, readings: Sequence[Weights]) -> list[Scalar]:
        """See Decay."""
        return _product(readings, flint.fmpq_mat(len(self._start), 1, list(self._start))).entries()

    def amplitudes(self, readings: Sequence[Weights]) -> list[tuple[float, ...]]:
        """See Decay."""
        return [tuple(map(float, found)) for found in self._balls(readings)]

    def enclosed(self, readings: Sequence[Weights]) -> list[tuple[tuple[Any, Any], ...]]:
        """See Decay."""
        found = self._balls(readings)
        rates = self._change.spectrum(self._precision).rates
        return [
            tuple(zip(own, rates, strict=True)) if any(reading) else ()
            for own, reading in zip(found, readings, strict=True)
        ]

    def with_squares(
        self, readings: Sequence[Weights], places: Sequence[int]
    ) -> tuple[list[tuple[float, ...]], list[Scalar]]:
        """See Decay."""
        every = self._balls(readings)
        found = [every[place] for place in places]
        with flint.ctx.workprec(self._precision):
            pairs = self._change.spectrum(self._precision).pairs
            halves = (flint.arb_mat(found) * pairs).tolist() if found else []
            squares = [
                float(sum(map(mul, own, half), flint.arb(0))) if any(readings[place]) else flint.fmpq(0)
                for own, half, place in zip(found, halves, places, strict=True)
            ]
        return [tuple(map(float, own)) for own in every], squares

    def changed(self, readings: Sequence[Weights]) -> Sequence[Weights]:
        """See Decay."""
        return _product(readings, self._change.matrix).tolist()

    def ahead(self, readings: Sequence[Weights]) -> Sequence[Weights]:
        """See Decay."""
        return self._change.undone(_matrix(readings)).tolist() if readings else []

    def at(self, time: float) -> list[flint.fmpq]:
        """See Decay."""
        with flint.ctx.workprec(self._precision):
            rates = self._change.spectrum(self._precision).rates
            left = flint.arb_mat([[(-rate * flint.arb(time)).exp() for rate in rates]])
            return [each.mid().fmpq() for each in (left * self._modes()).entries()]

    def _modes(self) -> Any:
        """What of each deviation goes with each rate: one row for each rate."""
        found = self._modes_at.get(self._precision)
        if found is None:
            rows, factor = self._repeated
            found = self._change.spectrum(self._precision).weights * flint.arb_mat(rows) / factor
            self._modes_at[self._precision] = found
        return found

    @cached_property
    def _repeated(self) -> tuple[flint.fmpz_mat, flint.fmpz]:
        """The deviations at the start, and what N makes of them again and again, as rows over one denominator."""
        column, factor = flint.fmpq_mat(len(self._start), 1, list(self._start)).numer_denom()
        return flint.fmpz_mat(self._change.repeated(column, len(self._start))), factor

    def _balls(self, readings: Sequence[Weights]) -> list[list[Any]]:
        """Amplitudes, each known to as many bits as a float has. Raises Indistinguishable."""
        if not readings:
            return []
        while True:
            with flint.ctx.workprec(self._precision):
                weights = flint.arb_mat(_matrix(readings))
                found: list[list[Any]] = (weights * self._modes().transpose()).tolist()
            if all(map(_are_known, found)):
                return found
            self._precision *= 2


def _are_known(amplitudes: Sequence[Any]) -> bool:
    if all(amplitude.rel_accuracy_bits() > _SURE_BITS for amplitude in amplitudes):
        return True
    most = max(abs(float(amplitude)) for amplitude in amplitudes) * 2.0**-_SURE_BITS
    return all(float(amplitude.rad()) <= most for amplitude in amplitudes)


def _matrix(rows: Sequence[Weights]) -> flint.fmpq_mat:
    return flint.fmpq_mat(len(rows), len(rows[0]), [entry for row in rows for entry in row])


def _product(readings: Sequence[Weights], matrix: flint.fmpq_mat) -> flint.fmpq_mat:
    if not readings:
        return flint.fmpq_mat(0, matrix.ncols())
    return _matrix(readings) * matrix


class Change:
    """What −d/dt makes of deviations, and all that follows from it alone, worked out once."""

    def __init__(self, matrix: flint.fmpq_mat) -> None:
        self.matrix: Final = matrix
        self._whole, self._denominator = matrix.numer_denom()
        self._spectra: Final[dict[int, Spectrum]] = {}

    def undone(self, rows: flint.fmpq_mat) -> flint.fmpq_mat:
        """The rows of which it makes these; there are such, since all that moves comes to rest."""
        return self.matrix.transpose().solve(rows.transpose()).transpose()

    def repeated(self, column: Any, count: int) -> list[list[Any]]:
        """The column, and what N = the matrix times its denominator makes of it again and again, each as a row; the
        column may be of whole numbers, or of such modulo a prime."""
        whole = self._whole if isinstance(column, flint.fmpz_mat) else flint.nmod_mat(self._whole, column.modulus())
        rows = []
        for _ in range(count):
            rows.append(column.entries())
            column = whole * column
        return rows

    def rank(self, start: Sequence[flint.fmpq], count: int) -> int:
        """How many of that many rows are found to be independent: those that are so modulo a prime."""
        column, _ = flint.fmpq_mat(len(start), 1, list(start)).numer_denom()
        rows = self.repeated(flint.nmod_mat(column, _PRIME), count)
        return int(flint.nmod_mat(count, len(start), [entry for row in rows for entry in row], _PRIME).rank())

    @cached_property
    def _polynomial(self) -> Any:
        return self._whole.charpoly()

    def spectrum(self, precision: int) -> Spectrum:
        """The rates, known at least to half of so many bits. Raises Indistinguishable."""
        found = self._spectra.get(precision)
        if found is None:
            found = self._spectra[precision] = _spectrum(self._polynomial, self._denominator, precision)
        return found


@dataclass(frozen=True)
class Spectrum:
    """Rates as intervals, slowest first, and for each a row of what Nⁱ of a reading at the start counts for in its
    amplitude."""

    rates: tuple[Any, ...]
    weights: Any

    @cached_property
    def pairs(self) -> Any:
        """The time integral of the product of two exponentials, for each two rates."""
        return flint.arb_mat([[1 / (one + other) for other in self.rates] for one in self.rates])


def _spectrum(polynomial: Any, denominator: flint.fmpz, precision: int) -> Spectrum:
    wanted = precision // 2
    while precision <= _MOST_PRECISION:
        rates = positive_roots(polynomial, denominator, precision) or _any_roots(polynomial, denominator, precision)
        if rates and all(rate.rel_accuracy_bits() >= wanted for rate in rates):
            with flint.ctx.workprec(precision):
                slope = flint.arb_poly(polynomial).derivative()
                weights = flint.arb_mat([_counting(polynomial, slope, rate * denominator) for rate in rates])
                return Spectrum(tuple(rates), weights)
        precision *= 2
    raise Indistinguishable


def _any_roots(polynomial: Any, denominator: flint.fmpz, precision: int) -> list[Any]:
    """The same roots from flint, where they are not found from below; none where they are not told apart."""
    with flint.ctx.workprec(precision):
        rates = sorted((root.real / denominator for root, _ in polynomial.complex_roots()), key=float)
        return rates if len(rates) == polynomial.degree() else []


def _counting(polynomial: Any, slope: Any, root: Any) -> list[Any]:
    """What each row counts for in the amplitude of this root."""
    # Synthetic division by (x − root), from the highest power down; what is left over would be m(root).
    weight, inverse = flint.arb(1), 1 / slope(root)
    weights = []
    for coefficient in reversed(polynomial.coeffs()[:-1]):
        weights.append(weight * inverse)
        weight = weight * root + coefficient
    weights.reverse()
    return weights
