"""Gathers the branches of a network into one tree: series, parallel, what hangs, and meshes where those end.

It works from the parts inwards, so that a chain of thousands takes no longer than it has parts.
"""

from __future__ import annotations

from collections import deque
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import replace

import networkx as nx

from solver.layout.tree import (
    Branch,
    Hanging,
    Line,
    Mesh,
    Parallel,
    Series,
    chain,
    from_end,
    in_parallel,
)

_SEARCHED = 150
"""Up to so many conductors a mesh is searched for smaller ones within it, which takes the square of their number."""


class Gathering:
    """The branches of one piece of a network, and what hangs from its conductors so far."""

    def __init__(self, hanging: Mapping[int, Sequence[Hanging]] | None = None) -> None:
        self.hanging: dict[int, list[Hanging]] = {}
        for conductor, bunch in (hanging or {}).items():
            self.hanging[conductor] = list(bunch)

    def between(self, branches: Iterable[Branch], a: int, b: int) -> Branch | None:
        """One tree for all that lies between two conductors, None where nothing does.

        What is joined to these two but does not lie between them hangs from one of them, and stays in `hanging`.
        """
        left = _reduced(branches, {a, b}, self.hanging)
        if len(left) < 2 and all({branch.a, branch.b} == {a, b} for branch in left):
            return left[0] if left else None
        main = self._without_hanging(left, a, b)
        return self._split(main, a, b) if main else None

    def taken(self, conductor: int) -> list[Hanging]:
        """What hangs from a conductor; it is for the caller to place now."""
        return self.hanging.pop(conductor, [])

    def _without_hanging(self, branches: list[Branch], a: int, b: int) -> list[Branch]:
        """Those branches that a way from `a` to `b` leads through; the others are hung where they join them."""
        blocks = _blocks([*((branch.a, branch.b) for branch in branches), (a, b)])
        at: dict[int, list[int]] = {}
        for number, block in enumerate(blocks):
            for conductor in dict.fromkeys(end for pair in block for end in pair):
                at.setdefault(conductor, []).append(number)
        of_pair = {frozenset((branch.a, branch.b)): branch for branch in branches}
        block_of = {frozenset(pair): number for number, block in enumerate(blocks) for pair in block}
        root = block_of[frozenset((a, b))]
        cut: dict[int, int | None] = {root: None}
        order = [root]
        for number in order:
            for conductor in dict.fromkeys(end for pair in blocks[number] for end in pair):
                for other in at[conductor]:
                    if other not in cut:
                        cut[other] = conductor
                        order.append(other)
        inside: list[list[Branch]] = [[] for _ in blocks]
        for pair, branch in of_pair.items():
            inside[block_of[pair]].append(branch)
        for number in reversed(order[1:]):
            held = cut[number]
            assert held is not None
            hung = self._hung(inside[number], held)
            self.hanging.setdefault(held, []).append(hung)
        return inside[root]

    def _hung(self, block: list[Branch], held: int) -> Hanging:
        """A block joined to the rest at one conductor: one of its branches, a battery if possible, leads down from
        there, the others back."""
        first = min(
            (branch for branch in block if held in (branch.a, branch.b)),
            key=lambda branch: (not branch.inside.batteries, branch.inside.first),
        )
        end = _far(first, held)
        below = self.taken(end)
        rest = self.between([branch for branch in block if branch is not first], held, end)
        # What came to hang at the far end meanwhile hangs there too.
        both = in_parallel(held, end, [first, rest] if rest else [first])
        if isinstance(both, Parallel) and first.inside.batteries and first in both.members:
            both = replace(both, left=first)
        return _hanging(held, both, [*below, *self.taken(end)])

    def _split(self, branches: list[Branch], a: int, b: int) -> Branch:
        """A tree for branches of which every one is on a way from `a` to `b`."""
        if len(branches) == 1:
            return branches[0]
        blocks = _chain_of_blocks(branches, a, b)
        if len(blocks) > 1:
            stops = [a, *(end for _, end in blocks)]
            members = [
                self._between_again(inside, start, end) for (inside, end), start in zip(blocks, stops, strict=False)
            ]
            for place in range(1, len(members)):
                held = self.taken(stops[place])
                if held:
                    members[place] = in_parallel(stops[place], stops[place + 1], [members[place], *held])
            return chain(members, stops)
        sides = _components(branches, {a, b})
        if len(sides) > 1:
            return in_parallel(a, b, [self._between_again(side, a, b) for side in sides])
        return self._mesh(branches, a, b)

    def _between_again(self, branches: list[Branch], a: int, b: int) -> Branch:
        apart = {end: self.taken(end) for end in (a, b)}
        found = self.between(branches, a, b)
        assert found is not None
        for end, bunch in apart.items():
            if bunch:
                self.hanging.setdefault(end, [])[:0] = bunch
        return found

    def _mesh(self, branches: list[Branch], a: int, b: int) -> Mesh:
        """A mesh, its smaller meshes that lie between two conductors gathered into one branch each."""
        while found := _smaller(branches, a, b):
            inside, start, end = found
            gone = {id(branch) for branch in inside}
            branches = [branch for branch in branches if id(branch) not in gone]
            branches.append(self._between_again(inside, start, end))
        inner = dict.fromkeys(end for branch in branches for end in (branch.a, branch.b) if end not in (a, b))
        hanging = {conductor: tuple(bunch) for conductor in inner if (bunch := self.taken(conductor))}
        return Mesh(a, b, tuple(branches), hanging)


def _reduced(branches: Iterable[Branch], ends: set[int], hanging: dict[int, list[Hanging]]) -> list[Branch]:
    """The branches after everything in series and in parallel has been joined and what dangles has been hung."""
    at: dict[int, dict[int, Branch]] = {}
    beside: dict[tuple[int, int], int] = {}
    waiting: deque[int] = deque()
    count = 0

    def put(branch: Branch) -> None:
        nonlocal count
        _ = branch.inside  # known from the inside out, however deep the branches lie within each other
        a, b = branch.a, branch.b
        if a == b:
            hanging.setdefault(a, []).append(_loop(branch))
            waiting.append(a)
            return
        pair = (min(a, b), max(a, b))
        if pair in beside:
            other = take(beside[pair], pair)
            branch = in_parallel(*pair, [other, branch])
            _ = branch.inside
        beside[pair] = count
        at.setdefault(a, {})[count] = branch
        at.setdefault(b, {})[count] = branch
        count += 1
        waiting.extend(pair)

    def take(number: int, pair: tuple[int, int]) -> Branch:
        del beside[pair]
        at[pair[0]].pop(number)
        return at[pair[1]].pop(number)

    def taken_at(conductor: int) -> list[Branch]:
        found = list(at[conductor].items())
        return [take(number, (min(each.a, each.b), max(each.a, each.b))) for number, each in found]

    def led_on(branch: Branch, conductor: int, start: int) -> tuple[list[Branch], list[int]]:
        """The chain that a branch leads to from a conductor on, and where it comes by. It comes from `start`."""
        members, stops = [branch], [conductor]
        while True:
            stops.append(_far(members[-1], stops[-1]))
            if stops[-1] in (*ends, start) or len(at[stops[-1]]) != 1 or stops[-1] in hanging:
                return members, stops
            members.extend(taken_at(stops[-1]))

    together: dict[tuple[int, int], list[Branch]] = {}
    for branch in branches:
        together.setdefault((min(branch.a, branch.b), max(branch.a, branch.b)), []).append(branch)
    for (a, b), bunch in together.items():
        for branch in bunch if a == b else [in_parallel(a, b, bunch)]:
            put(branch)
    while waiting:
        conductor = waiting.popleft()
        if conductor in ends or not 0 < len(at.get(conductor, ())) < 3:
            continue
        first, *others = taken_at(conductor)
        held = hanging.pop(conductor, [])
        if not others:
            holder = _far(first, conductor)
            hanging.setdefault(holder, []).append(_hanging(holder, first, held))
            waiting.append(holder)
        else:
            backward, before = led_on(first, conductor, _far(others[0], conductor))
            forward, after = led_on(others[0], conductor, before[-1])
            if held:
                forward[0] = in_parallel(forward[0].a, forward[0].b, [forward[0], *held])
            put(chain([*backward[::-1], *forward], [*before[:0:-1], *after]))
    left = {number: branch for held_at in at.values() for number, branch in held_at.items()}
    return [left[number] for number in sorted(left)]


def _far(branch: Branch, conductor: int) -> int:
    """The conductor at the other end of a branch."""
    return branch.b if branch.a == conductor else branch.a


def _hanging(holder: int, branch: Branch, below: Sequence[Hanging]) -> Hanging:
    """A branch that hangs from a conductor, and what hangs from its other end."""
    if below:
        end = _far(branch, holder)
        branch = chain([branch, Parallel(end, end, tuple(below))], (holder, end, end))
    held = Hanging(holder, holder, branch)
    _ = held.inside
    return held


def _loop(branch: Branch) -> Hanging:
    """What leads from a conductor back to it: down on one side and up on the other, a battery on the left."""
    held = branch.a
    if not isinstance(branch, Series):
        return Hanging(held, held, Parallel(held, held, (branch, Line(held, held))))
    members, stops = from_end(branch, held)
    battery = next((place for place, member in enumerate(members) if member.inside.batteries), len(members) // 2 - 1)
    cut = min(battery + 1, len(members) - 1)
    one = chain(members[:cut], stops[: cut + 1])
    other = chain(members[cut:], stops[cut:])
    left = one if one.inside.batteries else other if other.inside.batteries else None
    return Hanging(held, held, Parallel(held, stops[cut], (one, other), left))


def _blocks(pairs: Iterable[tuple[int, int]]) -> list[list[tuple[int, int]]]:
    graph = nx.Graph()
    graph.add_edges_from(pairs)
    return [list(block) for block in nx.biconnected_component_edges(graph)]


def _chain_of_blocks(branches: list[Branch], a: int, b: int) -> list[tuple[list[Branch], int]]:
    """The blocks on the way from `a` to `b`, each with the conductor at its far end."""
    blocks = _blocks((branch.a, branch.b) for branch in branches)
    block_of = {frozenset(pair): number for number, block in enumerate(blocks) for pair in block}
    inside: list[list[Branch]] = [[] for _ in blocks]
    for branch in branches:
        inside[block_of[frozenset((branch.a, branch.b))]].append(branch)
    ends = [dict.fromkeys(end for branch in block for end in (branch.a, branch.b)) for block in inside]
    ordered: list[tuple[list[Branch], int]] = []
    here, left = a, set(range(len(blocks)))
    while left:
        number = min(number for number in left if here in ends[number])
        left.discard(number)
        here = next((end for end in ends[number] if any(end in ends[other] for other in left)), b)
        ordered.append((inside[number], here))
    return ordered


def _components(branches: Iterable[Branch], without: set[int]) -> list[list[Branch]]:
    """The branches that hang together when some conductors are taken away; one between two of these is by itself."""
    listed = list(branches)
    graph = nx.Graph()
    for number, branch in enumerate(listed):
        graph.add_node(("branch", number))
        for end in (branch.a, branch.b):
            if end not in without:
                graph.add_edge(("branch", number), end)
    parts = (sorted(node[1] for node in part if isinstance(node, tuple)) for part in nx.connected_components(graph))
    return [[listed[number] for number in part] for part in sorted(parts)]


def _smaller(branches: list[Branch], a: int, b: int) -> tuple[list[Branch], int, int] | None:
    """The largest part of a mesh that only two conductors join to the rest, with these two."""
    graph = nx.Graph()
    graph.add_edges_from((branch.a, branch.b) for branch in branches)
    if len(graph) > _SEARCHED:
        return None
    graph.add_edge(a, b)
    best: tuple[list[Branch], int, int] | None = None
    seen = set()
    for one in sorted(graph):
        rest = graph.subgraph(node for node in graph if node != one)
        for other in sorted(nx.articulation_points(rest)):
            pair = frozenset((one, other))
            if pair in seen:
                continue
            seen.add(pair)
            inside: list[Branch] = []
            for part in _components(branches, {one, other}):
                touched = {end for branch in part for end in (branch.a, branch.b)}
                if touched >= {one, other} and not (touched & {a, b}) - pair:
                    inside.extend(part)
            if 1 < len(inside) < len(branches) and (best is None or len(inside) > len(best[0])):
                best = inside, one, other
    return best
