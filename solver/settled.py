"""What charge decides: the potentials of bodies against each other, from the charge that each one keeps.

Charge moves freely within a body and never leaves it, so the charge on all plates that belong to a body is what it
was before anything was connected: ∑ C·(V_here − V_there) = charge the body started with, at every body.
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Collection, Mapping, Sequence
from dataclasses import dataclass
from typing import NamedTuple

from solver.arithmetic import Arithmetic, Scalar, Solved
from solver.network import Battery, Capacitor, Network, Resistor
from solver.steady import Steady


class PlateCharges(NamedTuple):
    """The sum of the charges on all plates of a conductor, in the end and before anything was connected (coulombs)."""

    held: Scalar
    began: Scalar


@dataclass(frozen=True)
class Settled:
    """The final state: `level[c]` / `denominator[piece of c]` is the potential of conductor c (volts).

    Potentials of a piece are counted from its zero; `largest[piece]` is the size of the largest one, or of an emf or an
    initial voltage, which tells floats what is rounding. `charges` are those of the conductors where a capacitor ends
    that has its other end elsewhere. `capacitance[k]` is what battery k sees with itself taken away (farads), for the
    batteries that were asked for.
    """

    level: list[Scalar]
    denominator: list[Scalar]
    largest: list[Scalar]
    charges: dict[int, PlateCharges]
    capacitance: dict[int, Scalar]
    residuals: list[float]


def settle(network: Network, state: Steady, asked: Collection[int]) -> Settled:
    """Solves every piece; `asked` are batteries, none bypassed by a conducting path, to be looked into."""
    sums = network.arithmetic
    level = [sums.zero] * len(network.conductors)
    denominator = [sums.one] * len(network.pieces)
    largest = [sums.zero] * len(network.pieces)
    capacitance: dict[int, Scalar] = {}
    residuals: list[float] = []
    rise = [
        value if (divisor := state.denominator[network.body_of[c]]) == sums.one else sums.ratio(value, divisor)
        for c, value in enumerate(state.rise)
    ]
    sides = positive_sides(network, asked)
    for number, piece in enumerate(pieces_of(network)):
        looked_into = [index for index in piece.batteries if index in asked]
        # A single battery on capacitors that started empty: its one-volt column times its emf is the whole answer.
        alone = len(looked_into) == len(piece.batteries) == 1 and not any(part.initial for part in piece.capacitors)
        rises: list[Mapping[int, Scalar]] = [
            {c: sums.one if c in sides[index] else sums.zero for c in piece.conductors} for index in looked_into
        ]
        columns = [piece.pushed(one_volt) for one_volt in rises]
        if not alone:
            rises.append({c: rise[c] for c in piece.conductors})
            columns.append(piece.pushed(rises[-1], started=True))
        solved = piece.solve(columns)
        residuals.append(solved.residual)
        common = sums.common([solved.denominator, *(state.denominator[body] for body in network.pieces[number])])
        factor = sums.ratio(common, solved.denominator)
        levels: dict[int, Scalar] = {}
        for place, (risen, column) in enumerate(zip(rises, solved.columns, strict=True)):
            shifts = column if factor == sums.one else [shift * factor for shift in column]
            # What did not rise is not worth a multiplication: that is most, and its numbers are long.
            levels = {
                c: shifts[node] + common * risen[c] if risen[c] else shifts[node] for c, node in piece.node.items()
            }
            if place < len(looked_into):
                index = looked_into[place]
                capacitance[index] = sums.ratio(piece.charge(sides[index], levels), common)
        zero = levels[network.zeros[number]]
        emf = network.batteries[piece.batteries[0]].emf if alone else sums.one
        for conductor, value in levels.items():
            level[conductor] = (value - zero) * emf if alone else value - zero
        denominator[number] = common
        largest[number] = sums.largest(
            [
                *(level[conductor] for conductor in piece.conductors),
                *(network.batteries[index].emf for index in piece.batteries),
                *(part.initial for part in piece.capacitors),
            ]
        )
    charges = _charges(network, level, denominator, largest)
    return Settled(level, denominator, largest, charges, capacitance, residuals)


def _charges(
    network: Network, level: Sequence[Scalar], denominator: Sequence[Scalar], largest: Sequence[Scalar]
) -> dict[int, PlateCharges]:
    sums = network.arithmetic
    plates: dict[int, list[Scalar]] = defaultdict(list)
    began: dict[int, Scalar] = {}
    weights, unit = network.whole
    for part, weight in zip(network.capacitors, weights, strict=True):
        a, b = part.a, part.b
        if a != b:
            held = weight * sums.denoised(level[a] - level[b], largest[network.piece_at[a]])
            plates[a].append(held)
            plates[b].append(-held)
            if part.initial:
                then = part.capacitance * part.initial
                began[a] = began.get(a, sums.zero) + then
                began[b] = began.get(b, sums.zero) - then
    charges = {}
    for conductor, own in plates.items():
        total = sums.denoised(sum(own[1:], own[0]), sums.largest(own))
        held = sums.ratio(total, denominator[network.piece_at[conductor]] * unit) if total else sums.zero
        charges[conductor] = PlateCharges(held, began.get(conductor, sums.zero))
    return charges


class Piece:
    """The equations of one piece: bodies as nodes, capacitors between different bodies as edges.

    `capacitors` are those with two ends, `weights` their capacitances in the network's unit for whole numbers;
    `batteries` are told by their places in the network.
    """

    def __init__(self, network: Network, bodies: tuple[int, ...]) -> None:
        self._sums: Arithmetic = network.arithmetic
        self.size = len(bodies)
        self.capacitors: list[Capacitor] = []
        self.weights: list[Scalar] = []
        self._unit: Scalar = network.whole[1]
        self.batteries: list[int] = []
        self.node = {c: place for place, body in enumerate(bodies) for c in network.bodies[body]}
        self.conductors = tuple(self.node)

    def solve(self, columns: Sequence[list[Scalar]]) -> Solved:
        """The potentials of bodies that hold these charges; see Arithmetic.solve."""
        node = self.node
        weighed = zip(self.capacitors, self.weights, strict=True)
        edges = [(a, b, weight) for part, weight in weighed if (a := node[part.a]) != (b := node[part.b])]
        given = [[charge * self._unit if charge else charge for charge in column] for column in columns]
        return self._sums.solve(self.size, edges, given)

    def pushed(self, rise: Mapping[int, Scalar], *, started: bool = False) -> list[Scalar]:
        """The charges that rises within bodies, and where `started` the charges there were, put on each body."""
        column = [self._sums.zero] * self.size
        for part in self.capacitors:
            a, b = self.node[part.a], self.node[part.b]
            if a != b:
                pushed = rise[part.a] - rise[part.b]
                if started:
                    pushed -= part.initial
                if pushed:
                    charge = part.capacitance * pushed
                    column[a] -= charge
                    column[b] += charge
        return column

    def charge(self, side: Collection[int], levels: Mapping[int, Scalar]) -> Scalar:
        """The charge on all plates of the conductors on one side, over the denominator of the levels."""
        leaving = [part for part in self.capacitors if (part.a in side) != (part.b in side)]
        total = self._sums.zero
        for part in leaving:
            charge = part.capacitance * (levels[part.a] - levels[part.b])
            total += charge if part.a in side else -charge
        # One volt stands between the sides, so the capacitances tell how large a charge could be.
        return self._sums.denoised(total, self._sums.largest(part.capacitance for part in leaving))


def pieces_of(network: Network) -> list[Piece]:
    """The equations of every piece."""
    pieces = [Piece(network, bodies) for bodies in network.pieces]
    for part, weight in zip(network.capacitors, network.whole[0], strict=True):
        if part.a != part.b:
            piece = pieces[network.piece_at[part.a]]
            piece.capacitors.append(part)
            piece.weights.append(weight)
    for index, battery in enumerate(network.batteries):
        pieces[network.piece_at[battery.a]].batteries.append(index)
    return pieces


def positive_sides(network: Network, batteries: Collection[int]) -> dict[int, frozenset[int]]:
    """For each of these batteries, the conductors still joined to its + terminal when it is taken away."""
    beyond: dict[int, list[tuple[int, int]]] = defaultdict(list)
    conducting: list[Resistor | Battery] = [*network.batteries, *network.resistors]
    for number, part in enumerate(conducting):
        beyond[part.a].append((number, part.b))
        beyond[part.b].append((number, part.a))
    sides = {}
    for battery in batteries:
        start = network.batteries[battery].a
        side = {start}
        queue = [start]
        for here in queue:
            for number, there in beyond[here]:
                if number != battery and there not in side:
                    side.add(there)
                    queue.append(there)
        sides[battery] = frozenset(side)
    return sides
