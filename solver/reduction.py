"""Reduces the links between some nodes: series and parallel groups, innermost first, and stars for triangles.

A law says whether values add in series (resistances) or in parallel (capacitances). Every change is kept, in its order,
so that the way back can be told as well.
"""

from __future__ import annotations

from collections.abc import Callable, Collection, Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from itertools import combinations
from typing import Final

from solver.step_changes import Change, Law, Link, Parallel, Series, Star, Triangle


@dataclass(frozen=True, slots=True)
class Reduction:
    """The changes in their order, and the links that are left."""

    changes: tuple[Change, ...]
    left: tuple[Link, ...]


Namer = Callable[[Sequence[str]], str]
"""Gives what stands for parts its name; called with the names of the parts in it, none for an arm or side."""


def reduced(links: Iterable[Link], ends: Collection[int], law: Law, namer: Namer) -> Reduction:
    """Puts series and parallel groups together for as long as there are any; the nodes in `ends` stay.

    A group is as large as it can be: three in series are one group, not two in one. No link may join a node to itself.
    """
    draft = _Draft(links, ends, law)
    draft.combine()
    return draft.named(namer)


def reduced_with_stars(links: Iterable[Link], ends: Collection[int], law: Law, namer: Namer, centre: int) -> Reduction:
    """The same, and where no group is left a triangle becomes a star, or a star a triangle, and on it goes.

    Every change leaves fewer nodes or links, so it comes to an end; not always at a single link, for such changes do
    not take every network apart. They do so with planar ones between two ends (G. V. Epifanov, Soviet Math. Dokl. 7
    (1966) 13–17; from memory).
    Centres of stars are numbered from `centre` on.
    """
    draft = _Draft(links, ends, law)
    draft.combine()
    while draft.change(centre):
        centre += 1
        draft.combine()
    return draft.named(namer)


@dataclass(frozen=True, slots=True)
class _Entry:
    """A change by the numbers of its links; `nodes` are those between in a series, or the corners and the centre."""

    sort: type[Change]
    gone: tuple[int, ...]
    made: tuple[int, ...]
    nodes: tuple[int, ...]


class _Draft:
    """Links under way, by number; names come last, because groups that grow into others need none."""

    def __init__(self, links: Iterable[Link], ends: Collection[int], law: Law) -> None:
        self._ends: Final = frozenset(ends)
        self._law: Final = law
        self._all: Final = list(links)
        self._left: Final = dict(enumerate(self._all))
        self._entries: Final[dict[int, _Entry]] = {}
        """By the first link that each made."""

    def combine(self) -> None:
        """Makes groups until there are none."""
        while self._parallel() or self._series():
            pass

    def _parallel(self) -> bool:
        beside: dict[tuple[int, int], list[int]] = {}
        for number, link in self._left.items():
            beside.setdefault((min(link.a, link.b), max(link.a, link.b)), []).append(number)
        for numbers in beside.values():
            if len(numbers) > 1:
                first = self._left[numbers[0]]
                self._group(Parallel, numbers, (first.a, first.b))
                return True
        return False

    def _series(self) -> bool:
        at = self._at()
        seed = next((node for node in at if self._passes(node, at)), None)
        if seed is None:
            return False
        one, other = at[seed]
        chain, nodes = [one], [seed, self._left[one].other(seed)]
        self._extend(chain, nodes, at)
        chain.reverse()
        nodes.reverse()
        chain.append(other)
        nodes.append(self._left[other].other(seed))
        self._extend(chain, nodes, at)
        if chain[0] > chain[-1]:
            # Begins with the part that was given first.
            chain.reverse()
            nodes.reverse()
        self._group(Series, chain, nodes)
        return True

    def _at(self) -> dict[int, list[int]]:
        at: dict[int, list[int]] = {}
        for number, link in self._left.items():
            at.setdefault(link.a, []).append(number)
            at.setdefault(link.b, []).append(number)
        return at

    def _passes(self, node: int, at: Mapping[int, Sequence[int]]) -> bool:
        """Whether two links and nothing else meet at the node."""
        return node not in self._ends and len(at[node]) == 2

    def _extend(self, chain: list[int], nodes: list[int], at: Mapping[int, Sequence[int]]) -> None:
        while self._passes(nodes[-1], at):
            one, other = at[nodes[-1]]
            chain.append(other if chain[-1] == one else one)
            nodes.append(self._left[chain[-1]].other(nodes[-1]))

    def _group(self, sort: type[Series | Parallel], numbers: Sequence[int], nodes: Sequence[int]) -> None:
        """Makes one link of these; members that are groups of the same sort are taken in with their own members.

        `nodes` are those along a series from end to end, or the two ends of a parallel group.
        """
        members: list[int] = []
        between: list[int] = []
        for place, number in enumerate(numbers):
            entry = self._entries.get(number)
            own, inside = [number], []
            if entry is not None and entry.sort is sort:
                del self._entries[number]
                own, inside = list(entry.gone), list(entry.nodes)
                if self._left[number].a != nodes[place % len(nodes)] and sort is Series:
                    own.reverse()
                    inside.reverse()
            members += own
            if sort is Series:
                between += [*nodes[place : place + 1 if place else 0], *inside]
        if sort is Parallel:
            members.sort()
        value = self._law.combined(sort, [self._all[number].value for number in members])
        self._record(sort, members, numbers, (Link("", nodes[0], nodes[-1], value),), between)

    def change(self, centre: int) -> bool:
        """Changes a triangle or a star that leads on; whether there was one."""
        at = self._at()
        between = {frozenset((link.a, link.b)): number for number, link in self._left.items()}
        return self._to_star(at, between, centre) or self._to_triangle(at, between)

    def _to_star(self, at: Mapping[int, Sequence[int]], between: Mapping[frozenset[int], int], centre: int) -> bool:
        best, corners = 0, (0, 0, 0)
        for triangle in _triangles(at, between):
            # A corner where only one more link ends joins two in series afterwards.
            score = sum(node not in self._ends and len(at[node]) == 3 for node in triangle)
            if score > best:
                best, corners = score, triangle
        if not best:
            return False
        sides = {corner: between[frozenset(set(corners) - {corner})] for corner in corners}
        # In the order of the sides as they were given.
        first, second, third = sorted(corners, key=sides.__getitem__)
        corners = (first, second, third)
        numbers = [sides[corner] for corner in corners]
        values = self._law.arms([self._left[number].value for number in numbers])
        arms = [Link("", corner, centre, value) for corner, value in zip(corners, values, strict=True)]
        self._record(Star, numbers, numbers, arms, (*corners, centre))
        return True

    def _to_triangle(self, at: Mapping[int, Sequence[int]], between: Mapping[frozenset[int], int]) -> bool:
        best, centre = -1, None
        for node, numbers in at.items():
            if node not in self._ends and len(numbers) == 3:
                around = [self._left[number].other(node) for number in numbers]
                # A side beside a link that is there already is in parallel with it.
                score = sum(frozenset(pair) in between for pair in combinations(around, 2))
                if score > best:
                    best, centre = score, node
        if centre is None:
            return False
        numbers = at[centre]
        first, second, third = corners = [self._left[number].other(centre) for number in numbers]
        values = self._law.sides([self._left[number].value for number in numbers])
        pairs = ((second, third), (third, first), (first, second))
        sides = [Link("", *pair, value) for pair, value in zip(pairs, values, strict=True)]
        self._record(Triangle, numbers, numbers, sides, (*corners, centre))
        return True

    def _record(
        self,
        sort: type[Change],
        members: Sequence[int],
        gone: Sequence[int],
        links: Sequence[Link],
        nodes: Sequence[int],
    ) -> None:
        for number in gone:
            del self._left[number]
        made = tuple(range(len(self._all), len(self._all) + len(links)))
        self._all.extend(links)
        self._left.update(zip(made, links, strict=True))
        self._entries[made[0]] = _Entry(sort, tuple(members), made, tuple(nodes))

    def named(self, namer: Namer) -> Reduction:
        """The changes and what is left, with names."""
        inside: dict[int, list[int]] = {}
        links = dict(enumerate(self._all))
        changes: list[Change] = []
        for entry in self._entries.values():
            if entry.sort in (Series, Parallel):
                inside[entry.made[0]] = sorted(part for member in entry.gone for part in inside.get(member, [member]))
            for number in entry.made:
                plain = links[number]
                names = [links[part].name for part in inside.get(number, ())]
                links[number] = Link(namer(names), plain.a, plain.b, plain.value)
            changes.append(_change(entry, links))
        return Reduction(tuple(changes), tuple(links[number] for number in self._left))


def _change(entry: _Entry, links: Mapping[int, Link]) -> Change:
    gone, made = tuple(links[number] for number in entry.gone), tuple(links[number] for number in entry.made)
    if entry.sort is Series:
        return Series(made[0], gone, entry.nodes)
    if entry.sort is Parallel:
        return Parallel(made[0], gone)
    first, second, third, centre = entry.nodes
    sort = Star if entry.sort is Star else Triangle
    (one, two, three), (new, newer, newest) = gone, made
    return sort((first, second, third), (one, two, three), (new, newer, newest), centre)


def _triangles(
    at: Mapping[int, Iterable[int]], between: Mapping[frozenset[int], int]
) -> Iterator[tuple[int, int, int]]:
    """Three nodes each joined to the other two, in the order in which the nodes first occur."""
    place = {node: number for number, node in enumerate(at)}
    beyond: dict[int, list[int]] = {node: [] for node in at}
    for pair in between:
        one, other = sorted(pair, key=place.__getitem__)
        beyond[one].append(other)
    for first, others in beyond.items():
        for second, third in combinations(sorted(others, key=place.__getitem__), 2):
            if frozenset((second, third)) in between:
                yield first, second, third
