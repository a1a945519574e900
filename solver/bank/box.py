"""The strings that a box of parts allows, as far as they can serve in a bank of so many parts, and what it can at most.

A string that holds, and from which a part can be left out so that the rest still holds, is never needed: without that
part the bank has fewer parts and more capacitance. So strings grow from such that do not hold yet, and end where
they do.

The bound: a bank's energy is the sum of its parts' energies, and a part whose voltage stays within its limit v stores
no more than ½Cv². So at the working voltage V a part adds at most C·min(v, V)²/V² to the capacitance of the bank.
"""

from __future__ import annotations

from collections.abc import Container
from dataclasses import dataclass
from functools import lru_cache
from itertools import accumulate

import flint

from solver.bank.strings import String
from solver.bank.wish import Wish

MOST_TRIED = 90_000
"""What one table may cost, a string counting as its length; about half a second of work."""
_ZERO = flint.fmpq(0)


class TooManyStrings(Exception):
    """The box allows more strings than are looked at."""


@dataclass(frozen=True)
class Entry:
    """A string that holds, with what it counts for in all and per part."""

    string: String
    needs: tuple[tuple[int, int], ...]
    length: int
    counted: flint.fmpq
    each: flint.fmpq


@dataclass(frozen=True)
class Table:
    """The strings for banks of `parts` parts, those that count for most per part first, and `most[n]`: what n parts can
    count for at the very most. `tried` is what it cost."""

    parts: int
    entries: tuple[Entry, ...]
    most: tuple[flint.fmpq, ...]
    tried: int


@dataclass(frozen=True, slots=True)
class _Open:
    """A string that does not hold yet: its 1/C, and the sum of its parts' limits, which has to come to the voltage."""

    elastance: flint.fmpq
    limits: flint.fmpq


@lru_cache(maxsize=8)
def bounds(wish: Wish) -> tuple[flint.fmpq, ...]:
    """What 0, 1, 2 … of all parts at hand can count for at the very most, in farads."""
    volts = wish.voltage
    each = sorted((wish.counted(kind) * min(kind.limit, volts) ** 2 / volts**2, kind.count) for kind in wish.kinds)
    weights = [weight for weight, count in reversed(each) for _ in range(count)]
    return (_ZERO, *accumulate(weights))


def fewest_thinkable(wish: Wish) -> int | None:
    """A number of parts below which no bank can do it; None where all parts together cannot."""
    return next((count for count, most in enumerate(bounds(wish)) if most >= wish.capacitance), None)


@lru_cache(maxsize=4)
def table(wish: Wish, parts: int) -> Table:
    """The strings for banks of so many parts. Raises TooManyStrings."""
    most = bounds(wish)
    highest = max(kind.limit for kind in wish.kinds)
    entries: list[Entry] = []
    still_open: dict[tuple[int, ...], _Open] = {(): _Open(_ZERO, _ZERO)}
    tried = 0
    for length in range(1, parts + 1):
        longer: dict[tuple[int, ...], _Open] = {}
        rest = parts - length
        for places, shorter in still_open.items():
            for place in range(places[-1] if places else 0, len(wish.kinds)):
                tried += length
                if tried > MOST_TRIED:
                    raise TooManyStrings
                kind, grown = wish.kinds[place], (*places, place)
                found = _Open(shorter.elastance + 1 / wish.counted(kind), shorter.limits + kind.limit)
                if found.limits + rest * highest < wish.voltage or not _all_open(grown, still_open):
                    continue
                counted = 1 / found.elastance
                if counted + most[min(rest, len(most) - 1)] < wish.capacitance:
                    continue  # and neither can what grows from it, which has less capacitance and more parts
                if grown.count(place) > kind.count:
                    continue
                string = String(wish, grown)
                if found.limits >= wish.voltage and string.holds:
                    needs = tuple((each, grown.count(each)) for each in dict.fromkeys(grown))
                    entries.append(Entry(string, needs, length, counted, counted / length))
                else:
                    longer[grown] = found
        still_open = longer
        if not still_open:
            break
    entries.sort(key=lambda entry: (-entry.each, entry.string.places))
    return Table(parts, tuple(entries), most, tried)


def _all_open(grown: tuple[int, ...], still_open: Container[tuple[int, ...]]) -> bool:
    """Whether no string with one part less holds already."""
    return all(
        (index and grown[index - 1] == place) or grown[:index] + grown[index + 1 :] in still_open
        for index, place in enumerate(grown)
    )
