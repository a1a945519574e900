"""From a stage's start to its end: every reading as a constant and a sum of decaying exponentials.

Conductors that ideal batteries join move as one node, and where ideal parts meet charge moves at once. From then on
capacitors release their charge through the resistors: with u for the nodes' deviations from the end state,
C·du/dt = −G·u. The first deviation and what this equation makes of it again and again are exact numbers; the smallest
polynomial that takes them to zero has the decay rates as its roots, all simple and positive, which python-flint
encloses (the method of A. N. Krylov, Izv. Akad. Nauk SSSR 7 (1931) 491–539). Nothing goes in steps of time.
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field
from typing import Final

import flint

from solver.arithmetic import Edge, Scalar
from solver.body import links_of, supplied_by_ideal
from solver.decay import Decay, Indistinguishable, decay_of
from solver.ideal import IdealGroups
from solver.network import Network, groups
from solver.outcome import Outcome

MOST_TIME_CONSTANTS: Final = 40
"""Time constants beyond which a network's course is not worked out."""


class TooManyTimeConstants(Exception):
    """More time constants than are worked out, or more than one where symbols occur, or too close to one another."""


@dataclass(frozen=True)
class Curve:
    """A reading over time: `final` + ∑ `amplitudes[k]`·exp(−rate k · t), for t > 0; in SI units.

    `first` is the value just after the start; both ends are exact, and so are `rows`: what is to go at the start, what
    −d/dt makes of it, and so on, one for each rate.
    """

    first: Scalar
    final: Scalar
    amplitudes: tuple[float, ...]
    rows: tuple[Scalar, ...] = field(default=(), compare=False, repr=False)


@dataclass(frozen=True)
class PartCurves:
    """The voltage of a part over time, and its current: a battery's out of its + terminal, None where it is open how
    ideal batteries share it.

    `charge` is that of a capacitor, or what a battery has supplied so far. `heat` (joules) is what a resistor, or the
    inside of a battery, takes until all has settled. Neither is there where a steady current goes on.
    """

    voltage: Curve
    current: Curve | None
    charge: Curve | None = None
    heat: Scalar | None = None


@dataclass(frozen=True)
class Transient:
    """The course of a network from the moment its parts are connected.

    `decay` has the rates, slowest first. Conductors are told by number, parts by name. `work` is what all batteries
    have done so far, None where a steady current goes on.
    """

    decay: Decay
    potentials: tuple[Curve, ...]
    parts: Mapping[str, PartCurves]
    work: Curve | None

    def between(self, a: int, b: int) -> Curve:
        """The voltage between two conductors of one piece. Raises TooManyTimeConstants."""
        one, other = self.potentials[a], self.potentials[b]
        rows = tuple(x - y for x, y in zip(one.rows, other.rows, strict=True))
        try:
            amplitudes = self.decay.amplitudes(rows)
        except Indistinguishable:
            raise TooManyTimeConstants from None
        return Curve(one.first - other.first, one.final - other.final, amplitudes, rows)


def transient(outcome: Outcome, *, most: int = MOST_TIME_CONSTANTS) -> Transient:
    """The way from the capacitors' initial voltages to the settled state, of so many time constants at the most.

    Raises TooManyTimeConstants.
    """
    course = _Course(outcome)
    rows = course.rows(most)
    try:
        decay = decay_of(rows, exact_only=not _is_rational(outcome))
        return _Reader(outcome, course, rows, decay).transient()
    except Indistinguishable:
        raise TooManyTimeConstants from None


def _is_rational(outcome: Outcome) -> bool:
    return isinstance(outcome.network.arithmetic.zero, flint.fmpq)


class _Course:
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

    def rows(self, most: int) -> list[list[Scalar]]:
        """Nodes' deviations at the start, what −d/dt makes of them, and so on until they depend on one another."""
        rows: list[list[Scalar]] = []
        deviation = self.first_deviation()
        while any(deviation) and len(rows) <= most + 1:
            whole, deviation = self._step(deviation)
            rows.append(whole)
            if _dependent(rows):
                break
            if len(rows) > 2 and not isinstance(self.sums.zero, flint.fmpq):
                # With symbols the rates of several time constants cannot be told.
                raise TooManyTimeConstants
        if len(rows) > most + 1:
            raise TooManyTimeConstants
        return rows

    def _final(self) -> list[Scalar]:
        final = [self.sums.zero] * self.count
        for conductor, node in enumerate(self.node):
            final[node] = self.outcome.potential(conductor) - self.offset[conductor]
        return final

    def _step(self, deviation: list[Scalar]) -> tuple[list[Scalar], list[Scalar]]:
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


def _dependent(rows: list[list[Scalar]]) -> bool:
    """Whether the last row is a sum of multiples of the others."""
    if not isinstance(rows[0][0], flint.fmpq):
        return len(rows) > 1 and _proportional(rows[0], rows[1])
    table = flint.fmpq_mat(len(rows), len(rows[0]), [entry for row in rows for entry in row])
    return bool(table.rank() < len(rows))


def _proportional(one: list[Scalar], other: list[Scalar]) -> bool:
    place = next(index for index, entry in enumerate(one) if entry)
    return all(bool(a * other[place] == b * one[place]) for a, b in zip(one, other, strict=True))


class _Reader:
    """Turns the rows into curves: whatever is a sum of multiples of the nodes' deviations is one of their decay."""

    def __init__(self, outcome: Outcome, course: _Course, rows: list[list[Scalar]], decay: Decay) -> None:
        self.outcome = outcome
        self.course = course
        self.decay = decay
        self.rows = rows
        # One row more than there are rates: for what depends on how fast the potentials change.
        self.count = max(len(rows) - 1, 0)
        network = outcome.network
        zeros = [network.zeros[piece] for piece in network.piece_at]
        self.potential_rows = [
            [row[node] - row[course.node[zero]] for node, zero in zip(course.node, zeros, strict=True)] for row in rows
        ]

    def transient(self) -> Transient:
        network, count = self.outcome.network, self.count
        finals = [self.outcome.potential(conductor) for conductor in range(len(network.conductors))]
        potentials = tuple(
            self._curve(final, [row[conductor] for row in self.potential_rows[:count]])
            for conductor, final in enumerate(finals)
        )
        parts: dict[str, PartCurves] = {}
        zero = network.arithmetic.zero
        for part, voltage in zip(network.capacitors, self.outcome.voltages(network.capacitors), strict=True):
            falls = self._falls(part.a, part.b)
            change = [-part.capacitance * fall for fall in falls[1:]]
            parts[part.name] = PartCurves(
                voltage=self._curve(voltage, falls[:count]),
                current=self._curve(zero, change),
                charge=self._curve(part.capacitance * voltage, [part.capacitance * fall for fall in falls[:count]]),
            )
        for resistor, voltage in zip(network.resistors, self.outcome.voltages(network.resistors), strict=True):
            falls, resistance = self._falls(resistor.a, resistor.b)[:count], resistor.resistance
            current = self._curve(voltage / resistance, [fall / resistance for fall in falls])
            parts[resistor.name] = PartCurves(
                voltage=self._curve(voltage, falls), current=current, heat=self._heat(current, resistance)
            )
        supplied = self._supplied_by_batteries()
        parts |= self._batteries(supplied)
        return Transient(self.decay, potentials, parts, self._work(supplied))

    def _heat(self, current: Curve, resistance: Scalar) -> Scalar | None:
        if current.final:
            return None
        squared = self.decay.square(current.rows)
        return squared * (float(resistance) if isinstance(squared, float) else resistance)

    def _falls(self, a: int, b: int) -> list[Scalar]:
        return [row[a] - row[b] for row in self.potential_rows]

    def _curve(self, final: Scalar, rows: Sequence[Scalar]) -> Curve:
        first = final + rows[0] if rows else final
        return Curve(first, final, self.decay.amplitudes(rows), tuple(rows))

    def _supplied_by_batteries(self) -> list[list[Scalar]]:
        """The rows of what each battery supplies beside its steady current."""
        network = self.outcome.network
        ideal = [self._supplied_by_ideal(row) for row in range(self.count)]
        return [
            [row[index] for row in ideal]
            if part.internal is None
            else [-fall / part.internal for fall in self._falls(part.a, part.b)[: self.count]]
            for index, part in enumerate(network.batteries)
        ]

    def _batteries(self, supplied: Sequence[Sequence[Scalar]]) -> dict[str, PartCurves]:
        network = self.outcome.network
        found = {}
        for index, voltage in enumerate(self.outcome.voltages(network.batteries)):
            part = network.batteries[index]
            falls = self._falls(part.a, part.b)[: self.count]
            current = heat = charge = None
            if not self.outcome.is_undecided(index):
                current = self._curve(self.outcome.steady.battery_current[index], supplied[index])
                if part.internal is not None:
                    heat = self._heat(current, part.internal)
            if (whole := self.outcome.charge_of_battery(index)) is not None:
                charge = self._so_far(whole, supplied[index])
            found[part.name] = PartCurves(self._curve(voltage, falls), current, charge, heat)
        return found

    def _so_far(self, whole: Scalar, rows: Sequence[Scalar]) -> Curve:
        """The time integral, up to each moment, of what has these rows: in the end it is whole."""
        if not rows:
            return self._curve(whole, [])
        return self._curve(whole, [-self.decay.left(rows), *(-row for row in rows[:-1])])

    def _work(self, supplied: Sequence[Sequence[Scalar]]) -> Curve | None:
        outcome = self.outcome
        if outcome.flows:
            return None
        batteries, zero = outcome.network.batteries, outcome.network.arithmetic.zero
        whole = sum((part.emf * charge for part, charge in zip(batteries, outcome.passed.battery, strict=True)), zero)
        rows = [
            sum((part.emf * own[row] for part, own in zip(batteries, supplied, strict=True)), zero)
            for row in range(self.count)
        ]
        return self._so_far(whole, rows)

    def _supplied_by_ideal(self, row: int) -> list[Scalar]:
        """What ideal batteries supply beside their steady currents, in terms of the rows."""
        network = self.outcome.network
        level, rate = self.potential_rows[row], self.potential_rows[row + 1]
        outflow = [network.arithmetic.zero] * len(network.conductors)
        for link in self.course.links:
            current = link.conductance * (level[link.a] - level[link.b])
            outflow[link.a] += current
            outflow[link.b] -= current
        for part in network.capacitors:
            current = -part.capacitance * (rate[part.a] - rate[part.b])
            outflow[part.a] += current
            outflow[part.b] -= current
        return supplied_by_ideal(network, self.outcome.ideal, outflow)
