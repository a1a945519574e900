"""Circuits: the resistors and batteries that a steady current can flow through, as branches between junctions.

Currents flow only where a closed conducting way leads through a battery, which is read from the graph's blocks
(H. Whitney, Trans. Amer. Math. Soc. 34 (1932) 339–362). In a branch, parts one after the other carry one current.
"""

from __future__ import annotations

from collections import Counter, defaultdict
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from functools import cached_property
from typing import Final

import networkx as nx

from solver.loops import Loop, loops
from solver.network import Battery, Network, Resistor, groups, tied

Conducting = Battery | Resistor


@dataclass(frozen=True)
class Branch:
    """Parts one after the other from conductor `start` to `end`, the way in which its current is counted.

    `parts` are in that order; `along[i]` says whether part i counts its own current the same way. The current is named
    after `lead`: the first resistor of the sketch, or where there is none the battery.
    """

    start: int
    end: int
    parts: tuple[Conducting, ...]
    along: tuple[bool, ...]
    lead: Conducting

    @property
    def driven(self) -> bool:
        """Whether a battery lies in it."""
        return any(isinstance(part, Battery) for part in self.parts)

    @property
    def names(self) -> tuple[str, ...]:
        """The names of its parts, in their order along it."""
        return tuple(part.name for part in self.parts)


@dataclass(frozen=True)
class Meeting:
    """A junction: the branches (by number) whose currents arrive at a conductor and those whose currents leave it.

    `found` is the branch whose current the junction rule gives, the others known.
    """

    conductor: int
    arriving: tuple[int, ...]
    leaving: tuple[int, ...]
    found: int


@dataclass(frozen=True)
class Circuit:
    """Branches and how their currents hang together.

    `free` are the branches whose currents are the unknowns. `meetings` are all junctions but the last one, in an order
    in which each gives one more current; `left_out` is that last one, None where there is none. `sums[b]` is the
    current of branch b as +1 or −1 times free ones. `loops` are as many as there are unknowns.
    """

    branches: tuple[Branch, ...]
    free: tuple[int, ...]
    meetings: tuple[Meeting, ...]
    left_out: int | None
    sums: tuple[Mapping[int, int], ...]
    loops: tuple[Loop, ...]

    @cached_property
    def of_part(self) -> Mapping[str, tuple[int, bool]]:
        """The branch of each part, and whether the part counts its current the same way."""
        return {
            part.name: (number, along)
            for number, branch in enumerate(self.branches)
            for part, along in zip(branch.parts, branch.along, strict=True)
        }

    @cached_property
    def parts(self) -> tuple[Conducting, ...]:
        """All its parts, batteries first, then in the order of the sketch."""
        found = [part for branch in self.branches for part in branch.parts]
        return (
            *(part for part in found if isinstance(part, Battery)),
            *(part for part in found if isinstance(part, Resistor)),
        )

    @property
    def conductors(self) -> tuple[int, ...]:
        """Its conductors in rising order."""
        return tuple(sorted({end for part in self.parts for end in (part.a, part.b)}))


@dataclass(frozen=True)
class Conduction:
    """What of a network conducts: its circuits, and what carries no current.

    `idle` are resistors that no closed way with a battery leads through. `spare` are ideal batteries that close a loop
    of ideal ones: the others of the loop hold the same potentials without them. `looped` are all batteries of such
    loops, whose currents are not determined. `shorted` are batteries with both terminals on one conductor.
    """

    circuits: tuple[Circuit, ...]
    idle: tuple[Resistor, ...]
    spare: tuple[Battery, ...]
    looped: frozenset[str]
    shorted: tuple[Battery, ...]

    @cached_property
    def circuit_of(self) -> Mapping[str, Circuit]:
        """The circuit of each part that lies in one."""
        return {part.name: circuit for circuit in self.circuits for part in circuit.parts}


def conduction_of(network: Network, looped: Iterable[int]) -> Conduction:
    """Finds the circuits; `looped` are the batteries (by place) in loops of ideal ones."""
    names = frozenset(network.batteries[place].name for place in looped)
    spare = _spare(network)
    apart: list[Conducting] = [part for part in network.batteries if part.a != part.b and part not in spare]
    apart.extend(part for part in network.resistors if part.a != part.b)
    blocks = [block for block in _blocks(apart) if len(block) > 1 and any(isinstance(part, Battery) for part in block)]
    flowing = {part.name for block in blocks for part in block}
    return Conduction(
        circuits=tuple(circuit_of(network, block) for block in blocks),
        idle=tuple(part for part in network.resistors if part.a != part.b and part.name not in flowing),
        spare=spare,
        looped=names,
        shorted=tuple(battery for battery in network.batteries if battery.a == battery.b),
    )


def _spare(network: Network) -> tuple[Battery, ...]:
    """Ideal batteries whose ends earlier ideal ones join already."""
    found = []
    joined: list[tuple[int, int]] = []
    for battery in network.batteries:
        if battery.internal is not None or battery.a == battery.b:
            continue
        of, _ = groups(len(network.conductors), joined)
        if of[battery.a] == of[battery.b]:
            found.append(battery)
        else:
            joined.append((battery.a, battery.b))
    return tuple(found)


def _blocks(parts: Sequence[Conducting]) -> list[list[Conducting]]:
    """The blocks of the graph of parts, each in the order of the parts."""
    between: dict[frozenset[int], list[int]] = defaultdict(list)
    for number, part in enumerate(parts):
        between[frozenset((part.a, part.b))].append(number)
    graph = nx.Graph()
    graph.add_edges_from(tuple(pair) for pair in between)
    found = [
        sorted(number for edge in block for number in between[frozenset(edge)])
        for block in nx.biconnected_component_edges(graph)
    ]
    return [[parts[number] for number in block] for block in sorted(found)]


class _Drawn:
    """One part as an edge that its current runs along from `tail` to `head`."""

    def __init__(self, part: Conducting) -> None:
        self.part: Final = part
        # Inside a battery the current runs from − to +.
        self.tail, self.head = (part.b, part.a) if isinstance(part, Battery) else (part.a, part.b)

    def other(self, node: int) -> int:
        """The end that is not this one."""
        return self.head if node == self.tail else self.tail


def circuit_of(network: Network, parts: Sequence[Conducting]) -> Circuit:
    """The circuit of the parts of one block."""
    branches = tuple(_branches([_Drawn(part) for part in parts]))
    junctions = sorted({end for branch in branches for end in (branch.start, branch.end)} if len(branches) > 1 else [])
    tree = _tree(branches, junctions)
    free = tuple(number for number in range(len(branches)) if number not in tree)
    left_out, meetings, sums = None, [], {number: {number: 1} for number in free}
    if junctions:
        ends = Counter(end for branch in branches for end in (branch.start, branch.end))
        left_out = max(junctions, key=lambda junction: (ends[junction], junction))
        meetings = _meetings(branches, [junction for junction in junctions if junction != left_out], tree, sums)
    own = tied(
        network.joints,
        network.conductors,
        network.conductor_of,
        network.zero,
        [],
        [part for part in parts if isinstance(part, Resistor)],
        [part for part in parts if isinstance(part, Battery)],
        network.arithmetic,
    )
    return Circuit(
        branches,
        free,
        tuple(meetings),
        left_out,
        tuple(sums[number] for number in range(len(branches))),
        tuple(loops(own)),
    )


def _branches(edges: Sequence[_Drawn]) -> list[Branch]:
    at: dict[int, list[_Drawn]] = defaultdict(list)
    for edge in edges:
        at[edge.tail].append(edge)
        at[edge.head].append(edge)
    gone: set[str] = set()
    found = []
    for edge in edges:
        if edge.part.name in gone:
            continue
        further, end = _onward(edge, edge.head, at)
        before: list[_Drawn] = []
        start = edge.tail
        if end != start or len(at[start]) != 2:
            before, start = _onward(edge, start, at)
        way = [*reversed(before), edge, *further]
        gone.update(drawn.part.name for drawn in way)
        found.append(_directed(start, end, way, edges))
    return found


def _onward(first: _Drawn, node: int, at: Mapping[int, Sequence[_Drawn]]) -> tuple[list[_Drawn], int]:
    """The parts beyond one end of a part, for as long as nothing branches off, and the conductor where that ends."""
    way: list[_Drawn] = []
    edge = first
    while len(at[node]) == 2:
        one, other = at[node]
        edge = other if edge is one else one
        if edge is first:
            break
        way.append(edge)
        node = edge.other(node)
    return way, node


def _directed(start: int, end: int, way: Sequence[_Drawn], order: Sequence[_Drawn]) -> Branch:
    """The branch, counted as its lead counts."""
    along = []
    node = start
    for edge in way:
        along.append(edge.tail == node)
        node = edge.other(node)
    lead = min(way, key=lambda edge: (isinstance(edge.part, Battery), order.index(edge)))
    parts = tuple(edge.part for edge in way)
    if along[way.index(lead)]:
        return Branch(start, end, parts, tuple(along), lead.part)
    return Branch(end, start, parts[::-1], tuple(not own for own in along[::-1]), lead.part)


def _tree(branches: Sequence[Branch], junctions: Sequence[int]) -> set[int]:
    """Branches that join all junctions without a loop, rather without batteries, and rather late ones."""
    root = {junction: junction for junction in junctions}

    def find(junction: int) -> int:
        while root[junction] != junction:
            junction = root[junction]
        return junction

    tree = set()
    order = sorted(range(len(branches)), key=lambda number: (branches[number].driven, -number))
    for number in order if junctions else ():
        here, there = find(branches[number].start), find(branches[number].end)
        if here != there:
            root[here] = there
            tree.add(number)
    return tree


def _meetings(
    branches: Sequence[Branch], junctions: Sequence[int], tree: set[int], sums: dict[int, dict[int, int]]
) -> list[Meeting]:
    """The junction rule where each gives one more current; writes the currents into `sums`."""
    left = list(junctions)
    meetings = []
    while left:
        for junction in left:
            arriving = tuple(number for number, branch in enumerate(branches) if branch.end == junction)
            leaving = tuple(number for number, branch in enumerate(branches) if branch.start == junction)
            unknown = [number for number in (*arriving, *leaving) if number in tree and number not in sums]
            if len(unknown) == 1:
                break
        found = unknown[0]
        total: Counter[int] = Counter()
        for numbers, sign in ((arriving, -1), (leaving, 1)):
            for number in numbers:
                if number != found:
                    for free, factor in sums[number].items():
                        total[free] += sign * factor
        outward = -1 if found in leaving else 1
        sums[found] = {free: outward * factor for free, factor in sorted(total.items()) if factor}
        meetings.append(Meeting(junction, arriving, leaving, found))
        left.remove(junction)
    return meetings
