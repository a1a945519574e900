"""What a say-it line describes: batteries, and between their ends parts joined in series and in parallel, as a tree."""

from __future__ import annotations

from collections.abc import Callable, Collection, Iterator
from dataclasses import dataclass, replace
from typing import Final

from solver.kinds import KINDS
from solver.sketch import Part


@dataclass(frozen=True, slots=True)
class Item:
    """One part as the line describes it; the texts are tidy values, as they will stand on the part.

    Its first end is the one towards the line's beginning: a battery's + terminal, a capacitor's `from` plate; where it
    is `turned`, the other way round. `name` is None where the line leaves it to the order.
    """

    kind: str
    value: str | None = None
    name: str | None = None
    closed: bool | None = None
    initial: str | None = None
    rated: str | None = None
    reverse: str | None = None
    internal: str | None = None
    tolerance: str | None = None
    turned: bool = False

    def part(self, start: str, end: str) -> Part:
        """The part between these joints, `start` being the one towards the line's beginning. It must have a name."""
        if self.name is None:
            raise ValueError("an item without a name makes no part")
        ends = (end, start) if self.turned else (start, end)
        return Part(
            self.name,
            self.kind,
            *ends,
            self.value,
            initial=self.initial,
            rated=self.rated,
            reverse=self.reverse,
            internal=self.internal,
            tolerance=self.tolerance,
            closed=self.closed,
        )


@dataclass(frozen=True, slots=True)
class Series:
    """Two or more branches one after the other, none of them a Series; the first is towards the line's beginning."""

    members: tuple[Branch, ...]


@dataclass(frozen=True, slots=True)
class Parallel:
    """Two or more branches between the same two ends, none of them a Parallel, in the order of the line."""

    members: tuple[Branch, ...]


Branch = Item | Series | Parallel


@dataclass(frozen=True, slots=True)
class Description:
    """A whole line: the batteries left of the colon, and what lies between the ends of their chain.

    `source` is the batteries in series, from the + end on; empty where the network lies between two open joints.
    `network` is None where nothing is joined to the batteries.
    """

    source: tuple[Item, ...]
    network: Branch | None


def in_series(members: list[Branch]) -> Branch:
    """The branches one after the other, chains within the chain opened; one alone is itself."""
    opened = [inner for member in members for inner in (member.members if isinstance(member, Series) else (member,))]
    return opened[0] if len(opened) == 1 else Series(tuple(opened))


def in_parallel(members: list[Branch]) -> Branch:
    """The branches side by side, those within opened; one alone is itself."""
    opened = [inner for member in members for inner in (member.members if isinstance(member, Parallel) else (member,))]
    return opened[0] if len(opened) == 1 else Parallel(tuple(opened))


def items(branch: Branch | None) -> Iterator[Item]:
    """The parts of a branch in the order of the line."""
    if isinstance(branch, Item):
        yield branch
    elif branch is not None:
        for member in branch.members:
            yield from items(member)


def all_items(description: Description) -> Iterator[Item]:
    """All parts of a line in its order, the batteries first."""
    yield from description.source
    yield from items(description.network)


def with_items(description: Description, fresh: Iterator[Item]) -> Description:
    """The same arrangement of other parts, taken in the order of the line."""

    def renewed(branch: Branch) -> Branch:
        if isinstance(branch, Item):
            return next(fresh)
        return type(branch)(tuple(renewed(member) for member in branch.members))

    source = tuple(next(fresh) for _ in description.source)
    return Description(source, None if description.network is None else renewed(description.network))


_LETTERS: Final = {name: kind.letter for name, kind in KINDS.items()}


def named(description: Description) -> Description:
    """The line with a name for every part: those without one take, in their order, the lowest free numbers.

    >>> line = Description((Item("battery", "9 V"),), Series((Item("capacitor", "C", "C2"), Item("capacitor", "C"))))
    >>> [item.name for item in all_items(named(line))]
    ['E1', 'C2', 'C1']
    """
    written = list(all_items(description))
    given = lowest_free({item.name for item in written if item.name})
    fresh = (item if item.name else replace(item, name=given(item.kind)) for item in written)
    return with_items(description, fresh)


def lowest_free(taken: Collection[str]) -> Callable[[str], str]:
    """Gives parts their names one after the other: to each kind its letter and the lowest number not yet used.

    >>> name = lowest_free({"C2"})
    >>> name("capacitor"), name("capacitor"), name("resistor")
    ('C1', 'C3', 'R1')
    """
    last = dict.fromkeys(_LETTERS.values(), 0)

    def given(kind: str) -> str:
        letter = _LETTERS[kind]
        last[letter] += 1
        while f"{letter}{last[letter]}" in taken:
            last[letter] += 1
        return f"{letter}{last[letter]}"

    return given
