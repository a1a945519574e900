"""From a stage's start to its end: every reading as a constant and a sum of decaying exponentials.

What each reading is made of (see relaxation) follows from the nodes' deviations by sums and differences, as the reading
itself follows from the potentials; how fast these decay, and what of each reading goes with each rate, see decay.
Nothing goes in steps of time.
"""

from __future__ import annotations

from collections.abc import Collection, Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass, field
from operator import add, sub
from typing import Final

from solver.arithmetic import Scalar
from solver.body import supplied_by_ideal
from solver.decay import Decay, Indistinguishable, Weights
from solver.network import Branch
from solver.outcome import Outcome
from solver.relaxation import Motion, Nodes, Relaxations, TooManyTimeConstants, motion_of

__all__ = ["Curve", "PartCurves", "TooManyTimeConstants", "Transient", "transient"]

MOST_TIME_CONSTANTS: Final = 40
"""Time constants beyond which a network's course is not worked out."""

_Key = tuple[str | int, str]
"""Whose reading it is, and which: a conductor has one."""
_WORK: Final[_Key] = ("", "work")


@dataclass(frozen=True)
class Curve:
    """A reading over time: `final` + ∑ `amplitudes[k]`·exp(−rate k · t), for t > 0; in SI units.

    `first` is the value just after the start; both ends are exact, and so are `weights`: what the deviation from the
    end is made of, as the decay takes it. Two readings with the same end and weights are equal at all times.
    """

    first: Scalar
    final: Scalar
    amplitudes: tuple[float, ...]
    weights: tuple[Scalar, ...] = field(default=(), compare=False, repr=False)


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
        weights = tuple(x - y for x, y in zip(one.weights, other.weights, strict=True))
        try:
            [amplitudes] = self.decay.amplitudes([weights])
        except Indistinguishable:
            raise TooManyTimeConstants from None
        return Curve(one.first - other.first, one.final - other.final, amplitudes, weights)


def transient(
    outcome: Outcome,
    *,
    most: int = MOST_TIME_CONSTANTS,
    known: Relaxations | None = None,
    of: Collection[str] | None = None,
) -> Transient:
    """The way from the capacitors' initial voltages to the settled state, of so many time constants at the most.

    `known` keeps what networks with the same capacitors and resistors have in common. With `of` only these parts have
    their curves, beside the potentials, and there is no work. Raises TooManyTimeConstants.
    """
    nodes = Nodes(outcome)
    try:
        motion = motion_of(nodes, most, known or Relaxations())
        return _Reader(outcome, nodes, motion).transient(of)
    except Indistinguishable:
        raise TooManyTimeConstants from None


class _Reader:
    """Turns what nodes' deviations are made of into curves: readings are put down first, and worked out together."""

    def __init__(self, outcome: Outcome, nodes: Nodes, motion: Motion) -> None:
        self.outcome: Final = outcome
        self.network: Final = outcome.network
        self.links: Final = nodes.links
        self.decay: Final = motion.decay
        self._at: Final = [motion.weights[node] for node in nodes.node]
        self._width: Final = len(self._at[0]) if self._at else 0  # a network of nothing has no curves
        self._readings: Final[dict[_Key, tuple[Scalar, Weights]]] = {}

    def transient(self, of: Collection[str] | None) -> Transient:
        """All curves, or the potentials and those of some parts. Raises Indistinguishable."""
        network = self.network
        for conductor, zero in enumerate(network.zeros[piece] for piece in network.piece_at):
            self._put(conductor, "", self.outcome.potential(conductor), self._fall(conductor, zero))
        currents = [*self._of_capacitors(), *self._of_resistors()]
        supplied = self._of_batteries(currents)
        self._put_work(supplied)
        if of is not None:
            for owner, word in [*self._readings]:
                if isinstance(owner, str) and owner not in of:
                    del self._readings[owner, word]
        ends, weights = zip(*self._readings.values(), strict=True)
        resistances, places = self._with_heat()
        amplitudes, squares = self.decay.with_squares(weights, places)
        curves = {
            key: Curve(end + first, end, own, tuple(made_of))
            for key, end, first, own, made_of in zip(
                self._readings, ends, self.decay.firsts(weights), amplitudes, weights, strict=True
            )
        }
        heats = {
            name: square * (float(resistance) if isinstance(square, float) else resistance)
            for (name, resistance), square in zip(resistances.items(), squares, strict=True)
        }
        branches: tuple[Branch, ...] = (*network.capacitors, *network.resistors, *network.batteries)
        return Transient(
            self.decay,
            tuple(curves[conductor, ""] for conductor in range(len(network.conductors))),
            {
                part.name: PartCurves(
                    voltage=curves[part.name, "voltage"],
                    current=curves.get((part.name, "current")),
                    charge=curves.get((part.name, "charge")),
                    heat=heats.get(part.name),
                )
                for part in branches
                if of is None or part.name in of
            },
            curves.get(_WORK),
        )

    def _put(self, owner: str | int, word: str, final: Scalar, weights: Weights) -> None:
        self._readings[owner, word] = final, weights

    def _fall(self, a: int, b: int) -> Weights:
        return list(map(sub, self._at[a], self._at[b]))

    def _of_capacitors(self) -> Iterator[tuple[Branch, Weights]]:
        """Puts them down; each with its current."""
        parts = self.network.capacitors
        falls = [self._fall(part.a, part.b) for part in parts]
        zero = self.network.arithmetic.zero
        voltages = self.outcome.voltages(parts)
        for part, voltage, fall, change in zip(parts, voltages, falls, self.decay.changed(falls), strict=True):
            current = _multiple(-part.capacitance, change)
            self._put(part.name, "voltage", voltage, fall)
            self._put(part.name, "current", zero, current)
            self._put(part.name, "charge", part.capacitance * voltage, _multiple(part.capacitance, fall))
            yield part, current

    def _of_resistors(self) -> Iterator[tuple[Branch, Weights]]:
        """Puts them down; each with its current."""
        parts, one = self.network.resistors, self.network.arithmetic.one
        for part, voltage in zip(parts, self.outcome.voltages(parts), strict=True):
            fall = self._fall(part.a, part.b)
            current = _multiple(one / part.resistance, fall)
            self._put(part.name, "voltage", voltage, fall)
            self._put(part.name, "current", voltage / part.resistance, current)
            yield part, current

    def _of_batteries(self, currents: Iterable[tuple[Branch, Weights]]) -> list[Weights]:
        """Puts them down; what each supplies beside its steady current."""
        parts, one = self.network.batteries, self.network.arithmetic.one
        falls = [self._fall(part.a, part.b) for part in parts]
        inside = [
            None if part.internal is None else _multiple(-one / part.internal, fall)
            for part, fall in zip(parts, falls, strict=True)
        ]
        ideal: Sequence[Weights] = []
        if None in inside:
            back = [(part, _multiple(-one, own)) for part, own in zip(parts, inside, strict=True) if own is not None]
            ideal = self._of_ideal([*currents, *back])
        supplied = [ideal[index] if own is None else own for index, own in enumerate(inside)]
        ahead = self.decay.ahead(supplied)
        for index, (part, voltage) in enumerate(zip(parts, self.outcome.voltages(parts), strict=True)):
            self._put(part.name, "voltage", voltage, falls[index])
            if not self.outcome.is_undecided(index):
                self._put(part.name, "current", self.outcome.steady.battery_current[index], supplied[index])
            if (whole := self.outcome.charge_of_battery(index)) is not None:
                self._put(part.name, "charge", whole, _multiple(-one, ahead[index]))
        return supplied

    def _of_ideal(self, currents: Iterable[tuple[Branch, Weights]]) -> list[Weights]:
        """What ideal batteries supply beside their steady currents, so that as much comes to each conductor as leaves
        it through all else."""
        network = self.network
        width = self._width
        outflows = [[network.arithmetic.zero] * len(network.conductors) for _ in range(width)]
        for part, current in currents:
            for outflow, own in zip(outflows, current, strict=True):
                if own:
                    outflow[part.a] += own
                    outflow[part.b] -= own
        found = [supplied_by_ideal(network, self.outcome.ideal, outflow) for outflow in outflows]
        return [[own[index] for own in found] for index in range(len(network.batteries))]

    def _put_work(self, supplied: Sequence[Weights]) -> None:
        """What all batteries have done so far; nothing is put down where a steady current goes on."""
        outcome, batteries, zero = self.outcome, self.network.batteries, self.network.arithmetic.zero
        if outcome.flows:
            return
        whole = sum((part.emf * charge for part, charge in zip(batteries, outcome.passed.battery, strict=True)), zero)
        power = [zero] * self._width
        for part, own in zip(batteries, supplied, strict=True):
            power = list(map(add, power, _multiple(part.emf, own)))
        [ahead] = self.decay.ahead([power])
        self._readings[_WORK] = whole, _multiple(-self.network.arithmetic.one, ahead)

    def _with_heat(self) -> tuple[dict[str, Scalar], list[int]]:
        """The resistances whose currents come to an end, by the parts' names, and the places of these currents."""
        network = self.network
        own = [(part.name, part.resistance) for part in network.resistors]
        own += [(part.name, part.internal) for part in network.batteries if part.internal is not None]
        place = {key: number for number, (key, (end, _)) in enumerate(self._readings.items()) if not end}
        ending = {name: resistance for name, resistance in own if (name, "current") in place}
        return ending, [place[name, "current"] for name in ending]


def _multiple(factor: Scalar, weights: Weights) -> Weights:
    return [factor * weight if weight else weight for weight in weights]
