"""What charge decides: the potentials of bodies against each other, from the charge that each one keeps.

Charge moves freely within a body and never leaves it, so the charge on all plates that belong to a body is what it
was before anything was connected: ∑ C·(V_here − V_there) = charge the body started with, at every body.
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Collection, Mapping, Sequence
from dataclasses import dataclass

from solver.arithmetic import Arithmetic, Scalar, Solved
from solver.network import Battery, Capacitor, Network, Resistor
from solver.steady import Steady


@dataclass(frozen=True, slots=True)
class PlateCharges:
    """The sum of the charges on all plates of a conductor, in the end and before anything was connected (coulombs)."""

    held: Scalar
    began: Scalar


@dataclass(frozen=True)
class Settled:
    """The final state: `level[c]` / `denominator[piece of c]` is the potential of conductor c (volts).

    Potentials of a piece are counted from its zero; `largest[piece]` is the size of the largest one, which tells floats
    what is rounding. `charges` are those of the conductors where a capacitor ends that has its other end elsewhere.
    `capacitance[k]` is what battery k sees with itself taken away
    (farads), for the batteries that were asked for. `residual` is None where everything is exact.
    """

    level: list[Scalar]
    denominator: list[Scalar]
    largest: list[Scalar]
    charges: dict[int, PlateCharges]
    capacitance: dict[int, Scalar]
    residual: float | None


def settle(network: Network, state: Steady, asked: Collection[int]) -> Settled:
    """Solves every piece; `asked` are batteries, none bypassed by a conducting path, to be looked into."""
    sums = network.arithmetic
    level = [sums.zero] * len(network.conductors)
    denominator = [sums.one] * len(network.pieces)
    largest = [sums.zero] * len(network.pieces)
    capacitance: dict[int, Scalar] = {}
    worst: float | None = None
    batteries: dict[int, list[int]] = defaultdict(list)
    for index, battery in enumerate(network.batteries):
        batteries[network.piece_at[battery.a]].append(index)
    rise = [
        value if (divisor := state.denominator[network.body_of[c]]) == sums.one else sums.ratio(value, divisor)
        for c, value in enumerate(state.rise)
    ]
    for number, piece in enumerate(pieces_of(network)):
        bodies = network.pieces[number]
        own = batteries[number]
        looked_into = [index for index in own if index in asked]
        sides = [positive_side(network, index) for index in looked_into]
        rises: list[Mapping[int, Scalar]] = [
            {c: sums.one if c in side else sums.zero for c in piece.conductors} for side in sides
        ]
        columns = [piece.pushed(volt) for volt in rises]
        # A single battery on capacitors that started empty: its one-volt column times its emf is the whole answer.
        scaled = len(looked_into) == len(own) == 1 and not any(part.initial for part in piece.capacitors)
        if not scaled:
            rises.append({c: rise[c] for c in piece.conductors})
            columns.append(piece.pushed(rises[-1], started=True))
        solved = piece.solve(columns)
        if solved.residual is not None:
            worst = max(worst or 0.0, solved.residual)
        common = sums.common([solved.denominator, *(state.denominator[body] for body in bodies)])
        factor = sums.ratio(common, solved.denominator)
        levels: dict[int, Scalar] = {}
        for place, (volt, column) in enumerate(zip(rises, solved.columns, strict=True)):
            shifts = [shift * factor for shift in column]
            levels = {c: volt[c] * common + shifts[piece.node[c]] for c in piece.conductors}
            if place < len(looked_into):
                capacitance[looked_into[place]] = sums.ratio(piece.charge(sides[place], levels), common)
        emf = network.batteries[own[0]].emf if scaled else sums.one
        zero = levels[network.zeros[number]]
        for conductor, value in levels.items():
            level[conductor] = (value - zero) * emf if scaled else value - zero
        denominator[number] = common
        largest[number] = sums.largest(level[conductor] for conductor in piece.conductors)
    return Settled(level, denominator, largest, _charges(network, level, denominator), capacitance, worst)


def _charges(network: Network, level: Sequence[Scalar], denominator: Sequence[Scalar]) -> dict[int, PlateCharges]:
    sums = network.arithmetic
    zero, ratio = sums.zero, sums.ratio
    held: dict[int, Scalar] = {}
    began: dict[int, Scalar] = {}
    for part in network.capacitors:
        a, b = part.a, part.b
        if a != b:
            now = part.capacitance * (level[a] - level[b])
            held[a] = held[a] + now if a in held else now
            held[b] = held[b] - now if b in held else -now
            if part.initial:
                then = part.capacitance * part.initial
                began[a] = began.get(a, zero) + then
                began[b] = began.get(b, zero) - then
    return {
        conductor: PlateCharges(
            ratio(charge, denominator[network.piece_at[conductor]]) if charge else zero, began.get(conductor, zero)
        )
        for conductor, charge in held.items()
    }


class Piece:
    """The equations of one piece: bodies as nodes, capacitors between different bodies as edges."""

    def __init__(self, network: Network, bodies: tuple[int, ...], capacitors: list[Capacitor]) -> None:
        self._sums: Arithmetic = network.arithmetic
        self.size = len(bodies)
        self.capacitors = capacitors
        self.node = {c: place for place, body in enumerate(bodies) for c in network.bodies[body]}
        self.conductors = tuple(self.node)

    def solve(self, columns: Sequence[list[Scalar]]) -> Solved:
        """The potentials of bodies that hold these charges; see Arithmetic.solve."""
        node = self.node
        edges = [(a, b, part.capacitance) for part in self.capacitors if (a := node[part.a]) != (b := node[part.b])]
        return self._sums.solve(self.size, edges, columns)

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
        total = self._sums.zero
        for part in self.capacitors:
            if (part.a in side) != (part.b in side):
                charge = part.capacitance * (levels[part.a] - levels[part.b])
                total += charge if part.a in side else -charge
        return total


def pieces_of(network: Network) -> list[Piece]:
    """The equations of every piece; capacitors whose two ends are one conductor take no part in them."""
    capacitors: list[list[Capacitor]] = [[] for _ in network.pieces]
    for part in network.capacitors:
        if part.a != part.b:
            capacitors[network.piece_at[part.a]].append(part)
    return [Piece(network, bodies, own) for bodies, own in zip(network.pieces, capacitors, strict=True)]


def positive_side(network: Network, battery: int) -> frozenset[int]:
    """The conductors of the body that stay joined to the battery's + terminal when it is taken away."""
    part = network.batteries[battery]
    body = network.body_of[part.a]
    beyond: dict[int, list[int]] = defaultdict(list)
    conducting: list[Resistor | Battery] = [*network.resistors, *network.batteries]
    for other in conducting:
        if other is not part and network.body_of[other.a] == body:
            beyond[other.a].append(other.b)
            beyond[other.b].append(other.a)
    side = {part.a}
    queue = [part.a]
    for here in queue:
        for there in beyond[here]:
            if there not in side:
                side.add(there)
                queue.append(there)
    return frozenset(side)
