"""How a network comes to rest: the deviations of its potentials from the end, made of as few as there are rates.

Conductors that ideal batteries join move as one node, and where ideal parts meet charge moves at once. From then on
capacitors release their charge through the resistors: with u for the nodes' deviations from the end state,
C·du/dt = −G·u. What the start and this equation bring about, again and again, spans the deviations that there ever are.
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Sequence
from dataclasses import dataclass
from typing import Final

import flint

from solver.arithmetic import Edge, Scalar
from solver.body import links_of
from solver.decay import AtOnce, Change, Decay, One, Several, Weights
from solver.ideal import IdealGroups
from solver.network import Network, groups
from solver.outcome import Outcome


class TooManyTimeConstants(Exception):
    """More time constants than are worked out, or more than one where symbols occur, or too close to one another."""


@dataclass(frozen=True)
class Motion:
    """The way of the nodes' deviations to zero: `weights[node]` is what each is made of, as `decay` takes it."""

    weights: Sequence[Weights]
    decay: Decay


class Relaxations:
    """What follows from the capacitors and resistors of a network alone, kept for the next one that has the same."""

    def __init__(self) -> None:
        self._known: Final[dict[object, _Equations]] = {}

    def equations(self, nodes: Nodes, moving: Sequence[bool]) -> _Equations:
        """The equations of the clusters that move."""
        stores = tuple((nodes.node[part.a], nodes.node[part.b], part.capacitance) for part in nodes.stores)
        links = tuple((nodes.node[link.a], nodes.node[link.b], link.conductance) for link in nodes.links)
        key = nodes.count, stores, links, tuple(moving)
        found = self._known.get(key)
        if found is None:
            found = self._known[key] = _equations(nodes, moving, stores, links)
        return found


def motion_of(nodes: Nodes, most: int, known: Relaxations) -> Motion:
    """The way to the settled state, of so many time constants at the most. Raises TooManyTimeConstants."""
    deviation = nodes.first_deviation()
    if not any(deviation):
        return Motion([()] * nodes.count, AtOnce(nodes.sums.zero))
    if isinstance(nodes.sums.zero, flint.fmpq):
        return _rational(nodes, deviation, most, known)
    return _of_one_rate(nodes, deviation)


def _of_one_rate(nodes: Nodes, deviation: list[Scalar]) -> Motion:
    """With symbols, or rounded, the rates of several time constants cannot be told."""
    whole, changed = nodes.step(deviation)
    if not any(changed):
        return Motion([()] * nodes.count, AtOnce(nodes.sums.zero))
    place = next(index for index, entry in enumerate(deviation) if entry)
    own = deviation[place]
    if any(one * changed[place] != other * own for one, other in zip(deviation, changed, strict=True) if one or other):
        raise TooManyTimeConstants
    return Motion([(entry / own,) for entry in whole], One(changed[place] / own, own))


def _rational(nodes: Nodes, deviation: list[Scalar], most: int, known: Relaxations) -> Motion:
    """First deviations and what comes of them depend on one another sooner or later: what they span is all there is."""
    moves = [False] * len(nodes.islands)
    for node, entry in enumerate(deviation):
        if entry:
            moves[nodes.island_of[nodes.cluster_of[node]]] = True
    equations = known.equations(nodes, moves)
    change, start = equations.change, [deviation[node] for node in equations.states]
    count = min(len(start), most + 1)
    rank = change.rank(start, count)
    if rank > most:
        raise TooManyTimeConstants
    if rank == len(start):
        return Motion(equations.weights, _decay(change, start))
    whole, _ = flint.fmpq_mat(len(start), 1, start).numer_denom()
    reduced, rank = flint.fmpq_mat(flint.fmpz_mat(change.repeated(whole, count))).rref()
    if rank > most:
        raise TooManyTimeConstants
    rows = reduced.tolist()[:rank]
    kept = [next(place for place, entry in enumerate(row) if entry) for row in rows]
    made = flint.fmpq_mat(rows).transpose()
    own = flint.fmpq_mat([change.matrix.tolist()[place] for place in kept]) * made
    weights: list[Weights] = [
        tuple(row) for row in (flint.fmpq_mat([list(row) for row in equations.weights]) * made).tolist()
    ]
    return Motion(weights, _decay(Change(own), [start[place] for place in kept]))


def _decay(change: Change, start: list[flint.fmpq]) -> Decay:
    return One(change.matrix[0, 0], start[0]) if len(start) == 1 else Several(change, start)


@dataclass(frozen=True)
class _Equations:
    """The equations of what moves: `states` are the nodes, all but the first of each cluster, whose deviations from
    that first one have the equations; every node's whole deviation is made of them."""

    states: tuple[int, ...]
    weights: Sequence[Weights]
    change: Change


def _equations(nodes: Nodes, moving: Sequence[bool], stores: Sequence[Edge], links: Sequence[Edge]) -> _Equations:
    """Clusters besides the first of each island are set where no charge gathers on them, as the resistors have it."""
    clusters = [cluster for number, cluster in enumerate(nodes.clusters) if moving[nodes.island_of[number]]]
    states = tuple(node for cluster in clusters for node in cluster[1:])
    firsts = {group[0] for group in nodes.islands}
    floating = [
        number for number in range(len(nodes.clusters)) if moving[nodes.island_of[number]] and number not in firsts
    ]
    count, free = len(states), len(floating)
    own: list[list[int]] = [[] for _ in range(nodes.count)]
    for place, node in enumerate(states):
        own[node].append(place)
    for place, number in enumerate(floating, count):
        for node in nodes.clusters[number]:
            own[node].append(place)
    leaving = _stamped(count + free, own, links)
    held = _stamped(count, [[place for place in each if place < count] for each in own], stores)
    currents = _block(leaving, range(count), range(count))
    weights = [[flint.fmpq(0)] * count for _ in range(nodes.count)]
    if free:
        after = range(count, count + free)
        rises = _block(leaving, after, after).solve(_block(leaving, after, range(count)))
        currents -= _block(leaving, range(count), after) * rises
        for place, number in enumerate(floating):
            row = [-rises[place, column] for column in range(count)]
            for node in nodes.clusters[number]:
                weights[node] = row.copy()
    for place, node in enumerate(states):
        weights[node][place] += 1
    change = Change(_block(held, range(count), range(count)).solve(currents))
    return _Equations(states, [tuple(row) for row in weights], change)


def _stamped(size: int, own: Sequence[Sequence[int]], edges: Sequence[Edge]) -> list[list[flint.fmpq]]:
    """What leaves along edges, in terms of unknowns, of which each node has its `own`."""
    matrix = [[flint.fmpq(0)] * size for _ in range(size)]
    for a, b, weight in edges:
        for here, there in ((a, b), (b, a)):
            for row in own[here]:
                for column in own[here]:
                    matrix[row][column] += weight
                for column in own[there]:
                    matrix[row][column] -= weight
    return matrix


def _block(matrix: Sequence[Sequence[flint.fmpq]], rows: range, columns: range) -> flint.fmpq_mat:
    entries = [matrix[row][column] for row in rows for column in columns]
    return flint.fmpq_mat(len(rows), len(columns), entries)


class Nodes:
    """The network as nodes (conductors that ideal batteries join) with capacitors and conductances between them."""

    def __init__(self, outcome: Outcome) -> None:
        network: Network = outcome.network
        ideal: IdealGroups = outcome.ideal
        self.outcome: Final = outcome
        self.sums: Final = network.arithmetic
        self.node: Final = ideal.group_of
        self.count: Final = max(ideal.group_of, default=-1) + 1
        self.offset: Final = ideal.offset
        self.links: Final = links_of(network)
        node = self.node
        self.stores: Final = [part for part in network.capacitors if node[part.a] != node[part.b]]
        self.cluster_of, self.clusters = groups(self.count, ((node[part.a], node[part.b]) for part in self.stores))
        cluster = self.cluster_of
        self.island_of, self.islands = groups(
            len(self.clusters), ((cluster[node[link.a]], cluster[node[link.b]]) for link in self.links)
        )

    def first_deviation(self) -> list[Scalar]:
        """How far each node is from its end state just after the start, against the first node of its cluster."""
        zero = self.sums.zero
        column = [zero] * self.count
        for part in self.stores:
            kept = part.capacitance * (part.initial - self.offset[part.a] + self.offset[part.b])
            column[self.node[part.a]] += kept
            column[self.node[part.b]] -= kept
        started = self._spread(column)
        final = self._final()
        deviation = [zero] * self.count
        for cluster in self.clusters:
            for member in cluster:
                deviation[member] = started[member] - (final[member] - final[cluster[0]])
        return deviation

    def _final(self) -> list[Scalar]:
        final = [self.sums.zero] * self.count
        for conductor, node in enumerate(self.node):
            final[node] = self.outcome.potential(conductor) - self.offset[conductor]
        return final

    def step(self, deviation: list[Scalar]) -> tuple[list[Scalar], list[Scalar]]:
        """The nodes' whole deviations, clusters set where no charge gathers on them; and −d/dt within clusters."""
        floats = self._float(self._currents(deviation))
        whole = [value + floats[self.cluster_of[node]] for node, value in enumerate(deviation)]
        return whole, self._spread(self._currents(whole))

    def _currents(self, level: Sequence[Scalar]) -> list[Scalar]:
        """What leaves each node through conductances at these potentials (amperes)."""
        leaving = [self.sums.zero] * self.count
        for link in self.links:
            a, b = self.node[link.a], self.node[link.b]
            current = link.conductance * (level[a] - level[b])
            leaving[a] += current
            leaving[b] -= current
        return leaving

    def _float(self, leaving: Sequence[Scalar]) -> list[Scalar]:
        """The potentials that clusters have to rise by, so that as much comes to each as leaves it."""
        column = [self.sums.zero] * len(self.clusters)
        for node, current in enumerate(leaving):
            column[self.cluster_of[node]] -= current
        edges = [
            (self.cluster_of[self.node[link.a]], self.cluster_of[self.node[link.b]], link.conductance)
            for link in self.links
        ]
        return self._solved(self.islands, self.island_of, edges, column)

    def _spread(self, charges: Sequence[Scalar]) -> list[Scalar]:
        """The potentials, within each cluster, at which its capacitors hold these charges on its nodes."""
        edges = [(self.node[part.a], self.node[part.b], part.capacitance) for part in self.stores]
        return self._solved(self.clusters, self.cluster_of, edges, charges)

    def _solved(
        self,
        members: Sequence[tuple[int, ...]],
        group_of: Sequence[int],
        edges: Sequence[Edge],
        column: Sequence[Scalar],
    ) -> list[Scalar]:
        """Solves each group by itself, its first member at zero."""
        found = [self.sums.zero] * len(group_of)
        own: dict[int, list[Edge]] = defaultdict(list)
        place = {member: index for group in members for index, member in enumerate(group)}
        for a, b, weight in edges:
            if a != b:
                own[group_of[a]].append((place[a], place[b], weight))
        for number, group in enumerate(members):
            given = [column[member] for member in group]
            if len(group) > 1 and any(given):
                solved = self.sums.solve(len(group), own[number], [given])
                for member, value in zip(group, solved.columns[0], strict=True):
                    found[member] = self.sums.ratio(value, solved.denominator)
        return found
