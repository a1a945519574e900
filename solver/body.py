"""One body as equations: groups of conductors that ideal batteries join are its nodes, conductances its edges.

The same equations give steady currents, resistances, and the charges that pass while a network settles.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass

from solver.arithmetic import Arithmetic, Edge, Scalar, Solved
from solver.ideal import IdealGroups
from solver.network import Network


@dataclass(frozen=True, slots=True)
class Link:
    """A resistor, or a battery with internal resistance, between conductors a (its from end) and b.

    The current from a to b is conductance × (potential at a − potential at b − emf); conductance in siemens.
    `index` counts among the network's resistors, or among its batteries where `is_battery`.
    """

    a: int
    b: int
    conductance: Scalar
    emf: Scalar
    index: int
    is_battery: bool


def links_of(network: Network) -> list[Link]:
    """Every conductance of the network between two different conductors."""
    one, zero = network.arithmetic.one, network.arithmetic.zero
    links = [
        Link(part.a, part.b, one / part.resistance, zero, index, False)
        for index, part in enumerate(network.resistors)
        if part.a != part.b
    ]
    links.extend(
        Link(part.a, part.b, one / part.internal, part.emf, index, True)
        for index, part in enumerate(network.batteries)
        if part.internal is not None and part.a != part.b
    )
    return links


class Body:
    """The equations of the conductors of one body.

    A column of unknowns has one entry per node; node 0 is held at zero. Columns go in and come out by node.
    `conductors` come as in IdealGroups.order, each after the one that its ideal battery hangs from.
    """

    def __init__(self, conductors: Sequence[int], links: Iterable[Link], ideal: IdealGroups, sums: Arithmetic) -> None:
        self.conductors = conductors
        self.links = list(links)
        self._sums = sums
        nodes: dict[int, int] = {}
        self.node = {c: nodes.setdefault(ideal.group_of[c], len(nodes)) for c in conductors}
        self.size = len(nodes)

    def edges(self) -> list[Edge]:
        """The conductances between different nodes."""
        node = self.node
        return [(node[link.a], node[link.b], link.conductance) for link in self.links if node[link.a] != node[link.b]]

    def column(self) -> list[Scalar]:
        """A column of zeros."""
        return [self._sums.zero] * self.size

    def driven(self, offset: Mapping[int, Scalar], emf_of: Sequence[Scalar]) -> list[Scalar]:
        """The currents (amperes) that emfs push into each node.

        `offset[c]` is what ideal batteries add at conductor c, `emf_of[k]` the emf of link k of this body.
        """
        column = self.column()
        for link, emf in zip(self.links, emf_of, strict=True):
            pushed = offset[link.a] - offset[link.b] - emf
            if pushed:
                current = link.conductance * pushed
                column[self.node[link.a]] -= current
                column[self.node[link.b]] += current
        return column

    def solve(self, columns: Sequence[list[Scalar]]) -> Solved:
        """The node values that carry these currents away; see Arithmetic.solve."""
        return self._sums.solve(self.size, self.edges(), columns)


def supplied_by_ideal(network: Network, ideal: IdealGroups, outflow: list[Scalar]) -> list[Scalar]:
    """What each ideal battery has to supply out of its + terminal so that every conductor balances.

    `outflow[c]` is what leaves conductor c by everything else (amperes or coulombs); it is used up. Batteries that
    are not ideal, or close a loop, come out as zero.
    """
    supplied = [network.arithmetic.zero] * len(network.batteries)
    for conductor in reversed(ideal.order):
        step = ideal.parent[conductor]
        if step is None:
            continue
        above, index = step
        needed = outflow[conductor]
        supplied[index] = needed if network.batteries[index].a == conductor else -needed
        outflow[above] = outflow[above] + needed
    return supplied
