"""Ideal batteries fix the potential differences of conductors between them, before anything is solved.

They form a forest over the conductors; a battery that closes a loop either agrees with it or contradicts it.
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Sequence
from dataclasses import dataclass
from itertools import pairwise

from solver.arithmetic import Scalar
from solver.network import Battery, Network, groups


@dataclass(frozen=True)
class IdealGroups:
    """Conductors joined by ideal batteries.

    `group_of[c]` is the group of conductor c and `offset[c]` its potential above the group's first conductor (volts).
    `order` lists the conductors of all groups, each after its parent; `parent[c]` is (conductor, battery) towards
    the group's first one, None for that one itself. `in_loop` are the batteries that lie on a loop of ideal
    batteries, `loops` the same with loops that share a battery as one, `contradictions` the loops whose emfs do not
    add up to zero.
    """

    group_of: list[int]
    offset: list[Scalar]
    order: list[int]
    parent: list[tuple[int, int] | None]
    in_loop: frozenset[int]
    loops: tuple[tuple[int, ...], ...]
    contradictions: tuple[tuple[int, ...], ...]


def ideal_of(network: Network) -> IdealGroups:
    """The groups of a network's conductors."""
    return ideal_groups(len(network.conductors), network.batteries, network.arithmetic.zero)


def ideal_groups(count: int, batteries: Sequence[Battery], zero: Scalar) -> IdealGroups:
    """Groups `count` conductors by the batteries that are ideal and not shorted; they are told by their place."""
    at: dict[int, list[tuple[int, int, Scalar]]] = defaultdict(list)
    ideal = [index for index, battery in enumerate(batteries) if battery.internal is None and battery.a != battery.b]
    for index in ideal:
        battery = batteries[index]
        at[battery.b].append((battery.a, index, battery.emf))
        at[battery.a].append((battery.b, index, -battery.emf))
    group_of, offset, depth = [-1] * count, [zero] * count, [0] * count
    parent: list[tuple[int, int] | None] = [None] * count
    order: list[int] = []
    tree: set[int] = set()
    number = 0
    for start in range(count):
        if group_of[start] >= 0:
            continue
        group_of[start] = number
        queue = [start]
        for here in queue:
            for there, index, rise in at.get(here, ()):
                if group_of[there] < 0:
                    group_of[there] = number
                    offset[there] = offset[here] + rise
                    depth[there] = depth[here] + 1
                    parent[there] = (here, index)
                    tree.add(index)
                    queue.append(there)
        order.extend(queue)
        number += 1
    loops, contradictions = [], []
    for index in ideal:
        if index in tree:
            continue
        battery = batteries[index]
        loop = [index, *_path(battery.a, battery.b, parent, depth)]
        loops.append(loop)
        if offset[battery.a] - offset[battery.b] != battery.emf:
            contradictions.append(tuple(sorted(loop)))
    joined = _joined(loops, len(batteries))
    in_loop = frozenset(index for loop in joined for index in loop)
    return IdealGroups(group_of, offset, order, parent, in_loop, joined, tuple(contradictions))


def _path(a: int, b: int, parent: list[tuple[int, int] | None], depth: list[int]) -> list[int]:
    """The batteries of the forest between two conductors of one group: from both up to where the ways meet."""
    path: list[int] = []
    while a != b:
        if depth[a] < depth[b]:
            a, b = b, a
        step = parent[a]
        assert step is not None
        a = step[0]
        path.append(step[1])
    return path


def _joined(loops: list[list[int]], count: int) -> tuple[tuple[int, ...], ...]:
    """Loops that share a battery, as one: the split of the current is open in all of it."""
    _, members = groups(count, (pair for loop in loops for pair in pairwise(loop)))
    return tuple(group for group in members if len(group) > 1)
