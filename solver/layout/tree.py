"""A network between two conductors as a tree: branches in series, side by side, hanging, and meshes of others.

Every branch knows the conductors `a` and `b` that it lies between; which of them comes to lie above is for the layout.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass, field
from fractions import Fraction
from functools import cached_property

from solver.layout.links import Link
from solver.layout.room import UPRIGHT

Order = tuple[bool, Fraction, int]
"""Sorts branches by their places on the sheet, then by the order of the parts."""


@dataclass(frozen=True, eq=False)
class _Branch:
    a: int
    b: int

    @cached_property
    def inside(self) -> Inside:
        """What its parts come to."""
        return Inside()

    def order(self, axis: int = UPRIGHT) -> Order:
        """Where it is to stand among branches side by side: from left to right if upright, else from above down."""
        inside = self.inside
        if not inside.placed:
            return True, Fraction(0), inside.first
        return False, Fraction(inside.across if axis == UPRIGHT else inside.down, inside.placed), inside.first


@dataclass(frozen=True)
class Inside:
    """Sums over the parts of a branch: how many have a place on the sheet, and where; the first one's number.

    `batteries` counts the batteries, `depth` the branches within branches; `plain` says that only parts in series and
    in parallel are inside, nothing that hangs and no mesh.
    """

    placed: int = 0
    across: int = 0
    down: int = 0
    first: int = 1 << 40
    batteries: int = 0
    depth: int = 0
    plain: bool = True


def _sum(branches: Iterable[Branch], *, plain: bool) -> Inside:
    all_inside = [branch.inside for branch in branches]
    return Inside(
        sum(each.placed for each in all_inside),
        sum(each.across for each in all_inside),
        sum(each.down for each in all_inside),
        min((each.first for each in all_inside), default=1 << 40),
        sum(each.batteries for each in all_inside),
        1 + max((each.depth for each in all_inside), default=0),
        plain and all(each.plain for each in all_inside),
    )


@dataclass(frozen=True, eq=False)
class Leaf(_Branch):
    """One part."""

    link: Link

    @cached_property
    def inside(self) -> Inside:
        """What the part comes to."""
        link = self.link
        across, down = link.place or (0, 0)
        return Inside(int(link.place is not None), across, down, link.number, int(link.part.kind == "battery"))


@dataclass(frozen=True, eq=False)
class Line(_Branch):
    """A plain wire between two places of one conductor, beside a part that has both ends on it."""

    @cached_property
    def inside(self) -> Inside:
        """Nothing."""
        return Inside(plain=False)


@dataclass(frozen=True, eq=False)
class Lead(_Branch):
    """A short wire from conductor `a` to an open end; `b` is the same conductor."""

    @cached_property
    def inside(self) -> Inside:
        """Nothing."""
        return Inside(plain=False)


@dataclass(frozen=True, eq=False)
class Series(_Branch):
    """Branches one after the other from `a` to `b`; `stops` are all conductors on the way, both ends included."""

    members: tuple[Branch, ...]
    stops: tuple[int, ...]

    @cached_property
    def inside(self) -> Inside:
        """The sum over its members."""
        return _sum(self.members, plain=True)

    def turned(self) -> Series:
        """The same from `b` to `a`."""
        return Series(self.b, self.a, self.members[::-1], self.stops[::-1])


@dataclass(frozen=True, eq=False)
class Parallel(_Branch):
    """Branches side by side between `a` and `b`, one of which may have to be on the left of all others.

    Where all of them hang from `a`, `b` is `a` too.
    """

    members: tuple[Branch, ...]
    left: Branch | None = None

    def in_order(self, axis: int = UPRIGHT) -> list[Branch]:
        """The members from left to right, or from above down."""
        return sorted(self.members, key=lambda member: (member is not self.left, member.order(axis)))

    @cached_property
    def inside(self) -> Inside:
        """The sum over its members."""
        return _sum(self.members, plain=True)


@dataclass(frozen=True, eq=False)
class Hanging(_Branch):
    """A branch held at `a` alone, and led no further at its other end; `b` is `a` too."""

    branch: Branch

    @cached_property
    def inside(self) -> Inside:
        """What hangs."""
        return _sum((self.branch,), plain=False)


@dataclass(frozen=True, eq=False)
class Mesh(_Branch):
    """Branches between several conductors that neither series nor parallel reduces, and what hangs from these."""

    branches: tuple[Branch, ...]
    hanging: Mapping[int, Sequence[Hanging]] = field(default_factory=dict)

    @cached_property
    def inside(self) -> Inside:
        """The sum over its branches."""
        hanging = (each for bunch in self.hanging.values() for each in bunch)
        return _sum((*self.branches, *hanging), plain=False)


Branch = Leaf | Line | Lead | Series | Parallel | Hanging | Mesh


def from_end(branch: Branch, conductor: int) -> tuple[tuple[Branch, ...], tuple[int, ...]]:
    """The members of a chain, and the conductors on its way, beginning at one of its ends."""
    if isinstance(branch, Series):
        chain = branch if branch.a == conductor else branch.turned()
        return chain.members, chain.stops
    return (branch,), (conductor, branch.b if branch.a == conductor else branch.a)


def chain(members: Sequence[Branch], stops: Sequence[int]) -> Branch:
    """Branches one after the other, chains within the chain opened."""
    opened: list[Branch] = []
    way = [stops[0]]
    for member, start in zip(members, stops, strict=False):
        inner, on_way = from_end(member, start)
        opened.extend(inner)
        way.extend(on_way[1:])
    if len(opened) == 1:
        return opened[0]
    return Series(way[0], way[-1], tuple(opened), tuple(way))


def in_parallel(a: int, b: int, members: Iterable[Branch]) -> Branch:
    """Branches side by side, those within opened; one alone is itself."""
    opened = tuple(
        inner for member in members for inner in (member.members if isinstance(member, Parallel) else (member,))
    )
    return opened[0] if len(opened) == 1 and not isinstance(opened[0], Hanging) else Parallel(a, b, opened)


def leaves(branch: Branch) -> Iterator[Leaf]:
    """All parts of a branch."""
    waiting = [branch]
    while waiting:
        match waiting.pop():
            case Leaf() as leaf:
                yield leaf
            case Series(members=inner) | Parallel(members=inner) | Mesh(branches=inner) as outer:
                waiting.extend(reversed(inner))
                if isinstance(outer, Mesh):
                    waiting.extend(each for bunch in outer.hanging.values() for each in bunch)
            case Hanging(branch=held):
                waiting.append(held)
            case _:
                pass
