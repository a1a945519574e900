"""Where a sum of decaying exponentials passes through zero, all of it: turning points of a sum with one term less
bracket the zeros (Rolle's theorem, after each division by the slowest term), so none is overlooked."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from itertools import pairwise
from math import exp
from typing import Final

_NEGLIGIBLE: Final = 1e-13
_HALVINGS: Final = 200

Term = tuple[float, float]
"""A coefficient and a decay rate (per second)."""


def crossings(terms: Sequence[Term], *, starts_at_zero: bool = False) -> list[float]:
    """The times t > 0 (seconds) at which ∑ coefficient·exp(−rate·t) is zero, in rising order; rates are distinct, and
    zero for a constant. `starts_at_zero` says that the sum is exactly zero at t = 0.

    >>> [round(time, 9) for time in crossings([(-3.0, 0.0), (9.0, 1.0)])]
    [1.098612289]
    """
    largest = max((abs(coefficient) for coefficient, _ in terms), default=0.0)
    kept = [term for term in sorted(terms, key=lambda term: term[1]) if abs(term[0]) > _NEGLIGIBLE * largest]
    return _crossings(kept, starts_at_zero=starts_at_zero)


def turning_points(amplitudes: Sequence[float], rates: Sequence[float]) -> list[float]:
    """The times t > 0 (seconds) at which a curve with these exponentials has its highest or lowest values."""
    return crossings([(-amplitude * rate, rate) for amplitude, rate in zip(amplitudes, rates, strict=True)])


def _crossings(terms: Sequence[Term], *, starts_at_zero: bool = False) -> list[float]:
    if len(terms) < 2:
        return []
    base = terms[0][1]
    shifted = [(coefficient, rate - base) for coefficient, rate in terms]
    turns = _crossings([(-coefficient * rate, rate) for coefficient, rate in shifted[1:]])

    def value(time: float) -> float:
        return sum(coefficient * exp(-rate * time) for coefficient, rate in shifted)

    found = []
    pieces = list(pairwise([0.0, *turns]))
    last = turns[-1] if turns else 0.0
    far = max(2 * last, 1 / shifted[1][1])
    while value(far) * shifted[0][0] <= 0:
        far *= 2
    pieces.append((last, far))
    for number, (low, high) in enumerate(pieces):
        # Between turning points it goes one way only: from zero at the start it does not come back before the first.
        if number == 0 and starts_at_zero:
            continue
        if value(low) * value(high) < 0:
            found.append(_between(value, low, high))
        elif value(high) == 0:
            found.append(high)
    return found


def _between(value: Callable[[float], float], low: float, high: float) -> float:
    rising = value(high) > 0
    for _ in range(_HALVINGS):
        middle = (low + high) / 2
        if middle in (low, high):
            break
        if (value(middle) > 0) == rising:
            high = middle
        else:
            low = middle
    return high
