"""Readings that need not be extreme at a corner: the energy in a capacitor, the power in a resistor, and the charge on
a capacitor that was charged before, each against the part's own value.

Seen from one part of amount x (a capacitance, or a conductance), all the rest is a source behind an amount s
(L. Thévenin, Annales Télégraphiques 10 (1883) 222–224; from memory), so that the part's voltage is V = v + A/(x + s),
v being its voltage to begin with. Two voltages at two amounts tell s and A exactly. Then

- the charge x·V is extreme where (x + s)² = −s·A/v;
- the energy ½x·V² is extreme where V = 0 and where v·(x + s)² − A·(x + s) + 2s·A = 0; for v = 0 that is x = s, the part
  matching what the rest presents.

Those x that lie within the tolerance are held against its two ends.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from math import isqrt
from typing import Any, Final

import flint
import numpy as np

_BITS: Final = 256


@dataclass(frozen=True)
class Own:
    """A reading of one part: x·V, or factor·x·V² where it is `squared`.

    `low` and `high` are the ends of the part's amount x, the same where it has no tolerance; `start` is v.
    """

    key: str
    voltage: str
    squared: bool
    factor: flint.fmpq
    low: flint.fmpq
    high: flint.fmpq
    start: flint.fmpq

    def values(self, at_low: flint.fmpq, at_high: flint.fmpq) -> list[flint.fmpq]:
        """What the reading can be at most and at least, among others, all else being at one corner: exact but for an
        extreme at an irrational amount, which is nearer than the 70th digit. `at_low` and `at_high` are the part's
        voltages at its two ends."""
        found = [self._at(self.low, at_low)]
        if self.low == self.high:
            return found
        found.append(self._at(self.high, at_high))
        one, other = at_low - self.start, at_high - self.start
        if one != other:
            beside = (other * self.high - one * self.low) / (one - other)
            strength = one * (self.low + beside)
            for amount in self._extremes(beside, strength, _root):
                if self.low < amount < self.high:
                    found.append(self._at(amount, self.start + strength / (amount + beside)))
        return found

    def bounds(self, at_low: Any, at_high: Any) -> tuple[Any, Any]:
        """The least and the largest of `values` at many corners at once, in floats."""
        low, high, start, factor = (float(each) for each in (self.low, self.high, self.start, self.factor))
        found = [self._near(factor, low, at_low), self._near(factor, high, at_high)]
        if low < high:
            with np.errstate(all="ignore"):
                one, other = at_low - start, at_high - start
                beside = (other * high - one * low) / (one - other)
                strength = one * (low + beside)
                for amount in self._extremes(beside, strength, lambda square: np.sqrt(square)):
                    value = self._near(factor, amount, start + strength / (amount + beside))
                    found.append(np.where((amount > low) & (amount < high), value, found[0]))
        whole = np.array([each * np.ones(np.shape(at_low)) for each in found])
        return whole.min(axis=0), whole.max(axis=0)

    def _at(self, amount: flint.fmpq, voltage: flint.fmpq) -> flint.fmpq:
        return self.factor * amount * voltage * voltage if self.squared else amount * voltage

    def _near(self, factor: float, amount: Any, voltage: Any) -> Any:
        return factor * amount * voltage**2 if self.squared else amount * voltage

    def _extremes(self, beside: Any, strength: Any, root: Any) -> Iterator[Any]:
        """Amounts at which the reading is extreme, in the numbers of its arguments."""
        start = self.start if isinstance(beside, flint.fmpq) else float(self.start)
        if not start:
            if self.squared:
                yield beside
            return
        if self.squared:
            yield -strength / start - beside
            square = root(strength * strength - 8 * start * beside * strength)
            sums = [] if square is None else [(strength + square) / (2 * start), (strength - square) / (2 * start)]
        else:
            square = root(-beside * strength / start)
            sums = [] if square is None else [square]
        for total in sums:
            yield total - beside


def _root(square: flint.fmpq) -> flint.fmpq | None:
    """The square root, exact where it is rational; None of a negative number."""
    if square < 0:
        return None
    top, bottom = int(square.p), int(square.q)
    whole, under = isqrt(top), isqrt(bottom)
    if whole * whole == top and under * under == bottom:
        return flint.fmpq(whole, under)
    return flint.fmpq(isqrt((top << 2 * _BITS) // bottom), 1 << _BITS)
