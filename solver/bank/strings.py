"""Strings: parts in series, with their capacitance and the highest voltage that tolerances can put on each part.

Parts in series carry one charge, so each has the share of the voltage that its 1/C has of the sum of all 1/C. That
share is largest where the part is at its least and all the others are at their most, which is the exact worst case. For
equal parts within ±t it is V(1 + t)/(N − (N − 2)t).
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Sequence
from dataclasses import dataclass
from functools import cached_property

import flint

from solver.bank.wish import Kind, Wish

_ZERO = flint.fmpq(0)


@dataclass(frozen=True)
class String:
    """Kinds in series, given as their places in `Wish.kinds`, each as often as it stands in the string."""

    wish: Wish
    places: tuple[int, ...]

    @cached_property
    def kinds(self) -> tuple[Kind, ...]:
        """The kinds themselves, in their order."""
        return tuple(self.wish.kinds[place] for place in self.places)

    @cached_property
    def sorts(self) -> tuple[tuple[int, Kind, int], ...]:
        """Parts alike together: where the first of them stands in the string, their kind, and how many they are."""
        counts = Counter(self.places)
        return tuple((self.places.index(place), self.wish.kinds[place], count) for place, count in counts.items())

    @cached_property
    def capacitance(self) -> flint.fmpq:
        """In farads, as marked."""
        return in_series([kind.capacitance for kind in self.kinds])

    @cached_property
    def least(self) -> flint.fmpq:
        """In farads, with every part at its least."""
        return in_series([kind.least for kind in self.kinds])

    @cached_property
    def most(self) -> flint.fmpq:
        """In farads, with every part at its most."""
        return in_series([kind.most for kind in self.kinds])

    @cached_property
    def voltages(self) -> tuple[flint.fmpq, ...]:
        """The voltage on each part with all capacitances as marked."""
        return tuple(self.wish.voltage * self.capacitance / kind.capacitance for kind in self.kinds)

    @cached_property
    def worst(self) -> tuple[flint.fmpq, ...]:
        """The highest voltage on each part over all tolerances."""
        return worst_voltages(self.wish.voltage, self.kinds)

    @cached_property
    def holds(self) -> bool:
        """Whether no part is ever past its limit."""
        return all(worst <= kind.limit for worst, kind in zip(self.worst, self.kinds, strict=True))


def in_series(capacitances: Sequence[flint.fmpq]) -> flint.fmpq:
    """The capacitance of capacitors in series.

    >>> in_series([flint.fmpq(30), flint.fmpq(60)])
    20
    """
    return 1 / sum((1 / capacitance for capacitance in capacitances), _ZERO)


def worst_voltages(voltage: flint.fmpq, kinds: Sequence[Kind]) -> tuple[flint.fmpq, ...]:
    """The highest voltage on each of these parts in series across `voltage`, over all tolerances; exact."""
    total = sum((kind.elastances[0] for kind in kinds), _ZERO)
    found = []
    for kind in kinds:
        low, own = kind.elastances
        found.append(voltage * own / (own + total - low))
    return tuple(found)
