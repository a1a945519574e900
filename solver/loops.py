"""A basis of loops to read the loop rule from: short ones, each beginning with a battery where it has one."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from itertools import pairwise
from typing import NamedTuple

from solver.network import Branch, Network


class Step(NamedTuple):
    """One part of a loop, gone through from its from end to its to end, or `backwards`."""

    part: Branch
    backwards: bool


Loop = tuple[Step, ...]


def loops(network: Network) -> Iterator[Loop]:
    """Independent loops, as many as number_of_loops says.

    Parts are added one by one, batteries first; a part whose ends are already joined closes a loop with the shortest
    way there is between them. So every loop has a part that no earlier one has, which makes them independent.
    Each begins with a battery if it has one, gone through from − to +.
    """
    group = list(range(len(network.conductors)))
    beside: list[dict[int, int]] = [{} for _ in network.conductors]
    branches = network.branches
    for number, part in enumerate(branches):
        a, b = part.a, part.b
        if a == b:
            continue
        here, there = _find(group, a), _find(group, b)
        if here == there:
            nodes = _shortest(beside, a, b)
            numbers = [beside[here][there] for here, there in pairwise(nodes)]
            steps = [Step(branches[each], branches[each].a != here) for each, here in zip(numbers, nodes, strict=False)]
            yield _from_first([*steps, Step(part, backwards=True)], [*numbers, number])
        else:
            group[here] = there
        beside[a].setdefault(b, number)
        beside[b].setdefault(a, number)


def _find(group: list[int], node: int) -> int:
    while group[node] != node:
        group[node] = group[group[node]]
        node = group[node]
    return node


def _shortest(beside: Sequence[Mapping[int, int]], a: int, b: int) -> list[int]:
    """The nodes of a shortest way from a to b, which are known to be joined; searched for from both ends."""
    before: dict[int, int] = {a: a}
    after: dict[int, int] = {b: b}
    fringe, other_fringe = [a], [b]
    near, far = before, after
    while True:
        if len(fringe) > len(other_fringe):
            fringe, other_fringe, near, far = other_fringe, fringe, far, near
        ahead: list[int] = []
        for node in fringe:
            for neighbour in beside[node]:
                if neighbour in near:
                    continue
                near[neighbour] = node
                if neighbour in far:
                    return _through(before, after, neighbour)
                ahead.append(neighbour)
        fringe = ahead


def _through(before: Mapping[int, int], after: Mapping[int, int], middle: int) -> list[int]:
    nodes = [middle]
    while before[nodes[-1]] != nodes[-1]:
        nodes.append(before[nodes[-1]])
    nodes.reverse()
    while after[nodes[-1]] != nodes[-1]:
        nodes.append(after[nodes[-1]])
    return nodes


def number_of_loops(network: Network) -> int:
    """How many independent loops there are: parts − conductors + pieces (L. Euler; G. Kirchhoff 1847)."""
    between = sum(part.a != part.b for part in network.branches)
    return between - len(network.conductors) + len(network.pieces)


def turned(loop: Loop) -> Loop:
    """The same loop gone round the other way, beginning with the same part."""
    return tuple(Step(step.part, not step.backwards) for step in (loop[0], *reversed(loop[1:])))


def _from_first(steps: Sequence[Step], numbers: Sequence[int]) -> Loop:
    """The loop beginning with the part of the lowest number, gone through backwards."""
    start = numbers.index(min(numbers))
    loop = (*steps[start:], *steps[:start])
    return loop if loop[0].backwards else turned(loop)
