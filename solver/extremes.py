"""The highest and lowest value of a sum of decaying exponentials over all time, with bounds that are proved.

With s = exp(−λt) for the slowest rate λ the course is f(s) = end + ∑ aₖ·s^(λₖ/λ) on 0 ≤ s ≤ 1. Intervals of s are
halved, the most promising first; on each f is bounded by f(middle) + f′(interval)·(interval − middle), in interval
arithmetic (R. E. Moore, Interval Analysis, 1966), until bound and best value found agree.
"""

from __future__ import annotations

import heapq
from collections.abc import Sequence
from dataclasses import dataclass
from functools import lru_cache
from itertools import count
from math import exp
from typing import Any, Final

import flint

from solver.crossings import turning_points

_PRECISION: Final = 128
_CLOSE: Final = flint.fmpq(1, 10**9)
_LARGER: Final = 1 + 2.0**-40
_MOST_INTERVALS: Final = 4000

IN_THE_END: Final = float("inf")
"""The time (seconds) of a course's end."""

Terms = Sequence[tuple[Any, Any]]
"""Amplitudes and decay rates (per second), both intervals (flint.arb)."""


@dataclass(frozen=True)
class Extreme:
    """A highest or lowest value: `value` is attained at `time` (seconds; 0 at the start, infinite in the end), and the
    course never passes `bound`. At either end of the course `value` is exact, between them as good as a float."""

    value: flint.fmpq
    bound: flint.fmpq
    time: float


def highest(first: flint.fmpq, final: flint.fmpq, terms: Terms, enough: flint.fmpq | None = None) -> Extreme:
    """The highest value of a course that begins at `first` and ends at `final`, both exact.

    With `enough` the bound is only as low as it takes to tell whether the course passes that; where it does, there is
    nothing to be proved, and the bound is the value.
    """
    found = found_highest(first, final, terms)
    if _goes_one_way(terms) or (enough is not None and found.value > enough):
        return found
    with flint.ctx.workprec(_PRECISION):
        return _Search(found, final, terms, enough).extreme()


def lowest(first: flint.fmpq, final: flint.fmpq, terms: Terms, enough: flint.fmpq | None = None) -> Extreme:
    """The lowest value, as `highest`."""
    limit = None if enough is None else -enough
    return _turned(highest(-first, -final, [(-amplitude, rate) for amplitude, rate in terms], limit))


def found_highest(first: flint.fmpq, final: flint.fmpq, terms: Terms) -> Extreme:
    """The highest value as it is found, at the ends or where the slope is zero; its bound is not proved."""
    best = Extreme(first, first, 0.0) if first >= final else Extreme(final, final, IN_THE_END)
    if _goes_one_way(terms):
        return best
    pairs = tuple((float(amplitude), float(rate)) for amplitude, rate in terms)
    upright = pairs[0][0] > 0
    # The highest and the lowest value are looked for one after the other.
    for time in _turns(pairs if upright else tuple((-amplitude, rate) for amplitude, rate in pairs)):
        value = value_at(final, pairs, time)
        if value > best.value and time > 0:
            best = Extreme(value, value, time)
    return best


def value_at(final: flint.fmpq, terms: Terms, time: float) -> flint.fmpq:
    """The value of a course that ends at `final`, so many seconds after its start, to the precision of floats."""
    way = sum(float(amplitude) * exp(-float(rate) * time) for amplitude, rate in terms)
    return final + flint.fmpq(*way.as_integer_ratio())


@lru_cache(maxsize=256)
def _turns(pairs: tuple[tuple[float, float], ...]) -> tuple[float, ...]:
    """Where a sum of exponentials turns, which it does upside down too (seconds)."""
    return tuple(turning_points(*zip(*pairs, strict=True)))


def found_lowest(first: flint.fmpq, final: flint.fmpq, terms: Terms) -> Extreme:
    """The lowest value, as `found_highest`."""
    return _turned(found_highest(-first, -final, [(-amplitude, rate) for amplitude, rate in terms]))


def _turned(found: Extreme) -> Extreme:
    return Extreme(-found.value, -found.bound, found.time)


def _goes_one_way(terms: Terms) -> bool:
    """Whether all amplitudes have one sign, so that the ends are the extremes."""
    return all(amplitude >= 0 for amplitude, _ in terms) or all(amplitude <= 0 for amplitude, _ in terms)


class _Search:
    def __init__(self, best: Extreme, final: flint.fmpq, terms: Terms, enough: flint.fmpq | None) -> None:
        self.best = best
        self.enough = enough
        self.final = flint.arb(final)
        self.slowest = min((rate for _, rate in terms), key=float)
        self.amplitudes = [amplitude for amplitude, _ in terms]
        self.powers = [flint.arb(1) if rate is self.slowest else rate / self.slowest for _, rate in terms]
        self.slopes = [amplitude * power for amplitude, power in zip(self.amplitudes, self.powers, strict=True)]
        self.known: dict[flint.fmpq, tuple[list[Any], list[Any]]] = {}

    def extreme(self) -> Extreme:
        order = count()
        waiting: list[tuple[float, int, flint.fmpq, flint.fmpq, flint.fmpq]] = []

        def wait(low: flint.fmpq, high: flint.fmpq) -> None:
            bound = self._bound(low, high)
            if bound is not None and bound > self.best.value:
                heapq.heappush(waiting, (-float(bound), next(order), bound, low, high))

        wait(flint.fmpq(0), flint.fmpq(1))
        bound = self.best.value
        for _ in range(_MOST_INTERVALS):
            if not waiting:
                return Extreme(self.best.value, self.best.value, self.best.time)
            _, _, bound, low, high = heapq.heappop(waiting)
            if self.enough is not None and bound <= self.enough:
                break
            if bound - self.best.value <= max(abs(self.best.value), abs(bound)) * _CLOSE:
                break
            middle = (low + high) / 2
            wait(low, middle)
            wait(middle, high)
        return Extreme(self.best.value, max(bound, self.best.value), self.best.time)

    def _bound(self, low: flint.fmpq, high: flint.fmpq) -> flint.fmpq | None:
        """What f does not pass between; None where it only rises or only falls, so that the ends have all there is."""
        ends = zip(self._raised(low)[1], self._raised(high)[1], strict=True)
        slope = _sum(self.slopes, [one.union(other) for one, other in ends])
        self._try(low)
        self._try(high)
        if slope > 0 or slope < 0:
            return None
        here = self._try((low + high) / 2)
        highest: flint.fmpq = (here + slope * flint.arb(0, float((high - low) / 2) * _LARGER)).upper().fmpq()
        return highest

    def _try(self, place: flint.fmpq) -> Any:
        """f at a place, kept where it is the best so far. Both ends of the course are known exactly."""
        here = self.final + _sum(self.amplitudes, self._raised(place)[0])
        if 0 < place < 1 and (found := here.lower().fmpq()) > self.best.value:
            self.best = Extreme(found, found, float(-flint.arb(place).log() / self.slowest))
        return here

    def _raised(self, place: flint.fmpq) -> tuple[list[Any], list[Any]]:
        """Each power of a place, and each power less one, as in f and in its slope."""
        if place not in self.known:
            if place == 0:
                whole = [flint.arb(0)] * len(self.powers)
                # One less than the slowest term's power is zero, and only there.
                less = [flint.arb(int(power == 1)) for power in self.powers]
            else:
                logarithm = flint.arb(place).log()
                whole = [(logarithm * power).exp() for power in self.powers]
                less = [each / flint.arb(place) for each in whole]
            self.known[place] = whole, less
        return self.known[place]


def _sum(factors: Sequence[Any], numbers: Sequence[Any]) -> Any:
    return sum((factor * number for factor, number in zip(factors, numbers, strict=True)), flint.arb(0))
