"""An exact search for banks of mixed parts, fewest parts first, in slices that are short enough to be stopped.

Banks of n parts are looked through for n from a lower bound up. Strings are taken in the order of what they count for
per part, so whatever is still to come can be bounded by the one in hand; what cannot reach the wish is passed over.
The first n that has a bank is therefore the fewest parts there can be, and every bank of n parts is looked at.
A slice goes on from where the one before it stopped, and keeps nothing in between.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from typing import Any, Final, Self

import flint

from solver.bank.arrangement import Arrangement
from solver.bank.box import Entry, Table, TooManyStrings, fewest_thinkable, table
from solver.bank.faults import BankFaults, fault, sentence
from solver.bank.wish import Wish

STEPS: Final = 80_000
"""Looks in one slice; about a quarter of a second of work."""
_OF_A_BANK: Final = 20
_OF_A_STRING: Final = 1
"""Looks that working out a bank, or a string, takes the time of."""
_AT_LEAST: Final = 1000
LISTED: Final = 12
_ZERO: Final = flint.fmpq(0)


@dataclass(frozen=True)
class Place:
    """Where a search is: banks of so many `parts`, the strings `at`, the last of which comes next, and whether any bank
    of so many parts was found before."""

    parts: int
    at: tuple[int, ...] = (0,)
    found: bool = False

    @classmethod
    def read(cls, document: Mapping[str, Any]) -> Self:
        """Reads SearchPlace of shared/openapi.json."""
        return cls(document["parts"], tuple(document["at"]), document["found"])

    def document(self) -> dict[str, Any]:
        """The place as the web interface sends it."""
        return {"parts": self.parts, "at": list(self.at), "found": self.found}


@dataclass(frozen=True)
class Slice:
    """What a slice found, best first, how many in all, and where to go on; `place` is None at the end of the search."""

    banks: tuple[Arrangement, ...]
    count: int
    place: Place | None
    looking_at: int
    share: float
    end: str | None = None


def start(wish: Wish, equal: int | None) -> Place | None:
    """Where a search begins; None where it would be in vain. `equal` is the fewest parts in equal strings, if any."""
    fewest = fewest_thinkable(wish)
    if len(wish.kinds) < 2 or fewest is None or (equal is not None and fewest > equal):
        return None
    return Place(fewest)


def last(wish: Wish, equal: int | None) -> int:
    """The most parts that are looked at: no more than equal strings need, or all there are."""
    return equal if equal is not None else sum(kind.count for kind in wish.kinds)


def look(wish: Wish, place: Place, equal: int | None, steps: int = STEPS) -> Slice:
    """One slice of the search. Raises BankFaults for a place where no search can be."""
    begin, end = start(wish, equal), last(wish, equal)
    if begin is None or not begin.parts <= place.parts <= end:
        raise BankFaults([fault("bank-search-lost")])
    found: list[Arrangement] = []
    parts, at, before = place.parts, place.at, place.found
    while True:
        try:
            walk = _Walk(wish, table(wish, parts), at)
        except TooManyStrings:
            return Slice((), 0, None, parts, 1.0, sentence("bank-search-too-large"))
        steps -= walk.table.tried * _OF_A_STRING
        given = max(steps, _AT_LEAST)
        steps -= given - walk.go(given)
        found += walk.found
        if not walk.done:
            share = (parts - begin.parts + walk.share) / (end - begin.parts + 1)
            return _slice(found, Place(parts, walk.at, before or bool(found)), parts, share)
        if before or found or parts == end:
            return _slice(found, None, parts, 1.0, None if before or found else _in_vain(equal))
        parts, at = parts + 1, (0,)
        if steps <= 0:
            return _slice(found, Place(parts), parts, (parts - begin.parts) / (end - begin.parts + 1))


def _slice(found: list[Arrangement], place: Place | None, parts: int, share: float, end: str | None = None) -> Slice:
    best = sorted(found, key=lambda bank: bank.rank)[:LISTED]
    return Slice(tuple(best), len(found), place, parts, share, end)


def _in_vain(equal: int | None) -> str:
    return sentence("bank-no-mixed-at-all" if equal is None else "bank-no-mixed")


@dataclass
class _Walk:
    """A walk through the banks of one number of parts: the strings taken, in the order of the table, and the next."""

    wish: Wish
    table: Table
    at: tuple[int, ...]
    found: list[Arrangement] = field(default_factory=list)
    done: bool = False

    def __post_init__(self) -> None:
        self.taken: list[int] = []
        self.left = [kind.count for kind in self.wish.kinds]
        self.room = self.table.parts
        self.counted: flint.fmpq = _ZERO
        self.next = self.at[-1] if self.at else -1
        entries = self.table.entries
        for before, index in zip((0, *self.at), self.at, strict=False):
            if not before <= index <= len(entries):
                raise BankFaults([fault("bank-search-lost")])
        for index in self.at[:-1]:
            if index == len(entries) or not self._fits(entries[index]):
                raise BankFaults([fault("bank-search-lost")])
            self._take(index)
        if self.next < 0:
            raise BankFaults([fault("bank-search-lost")])

    @property
    def share(self) -> float:
        """About how much of the walk is behind."""
        total, behind, width, before = len(self.table.entries), 0.0, 1.0, 0
        for index in self.at:
            behind += width * (index - before) / max(total - before, 1)
            width /= max(total - before, 1)
            before = index
        return min(behind, 1.0)

    def go(self, steps: int) -> int:
        """Walk on for so many steps at most; how many are left over."""
        entries, wanted, most = self.table.entries, self.wish.capacitance, self.table.most
        while steps > 0:
            steps -= 1
            entry = entries[self.next] if self.next < len(entries) else None
            if entry is None or self.counted + min(entry.each * self.room, most[self.room]) < wanted:
                if not self.taken:
                    self.done = True
                    return steps
                self._put_back()
            elif not self._fits(entry):
                self.next += 1
            else:
                self._take(self.next)
                if self.counted >= wanted:
                    if self.room == 0:
                        self._note()
                        steps -= _OF_A_BANK
                    self._put_back()  # more strings than these are too many
                elif self.room == 0:
                    self._put_back()
        self.at = (*self.taken, self.next)
        return steps

    def _fits(self, entry: Entry) -> bool:
        return entry.length <= self.room and all(self.left[place] >= count for place, count in entry.needs)

    def _take(self, index: int) -> None:
        entry = self.table.entries[index]
        self.taken.append(index)
        self.room -= entry.length
        self.counted += entry.counted
        for place, count in entry.needs:
            self.left[place] -= count

    def _put_back(self) -> None:
        index = self.taken.pop()
        entry = self.table.entries[index]
        self.room += entry.length
        self.counted -= entry.counted
        for place, count in entry.needs:
            self.left[place] += count
        self.next = index + 1

    def _note(self) -> None:
        strings: dict[int, int] = {}
        for index in self.taken:
            strings[index] = strings.get(index, 0) + 1
        kinds = {place for index in strings for place, _ in self.table.entries[index].needs}
        if len(kinds) > 1:
            bank = tuple((self.table.entries[index].string, times) for index, times in strings.items())
            self.found.append(Arrangement(self.wish, bank))
