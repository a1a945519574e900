"""The readings of a network over time by their keys: "C1.voltage", "R1.current", "probe a b.voltage", "C1.energy"."""

from __future__ import annotations

from dataclasses import dataclass
from math import exp
from typing import Final

from solver.arithmetic import Scalar
from solver.crossings import turning_points
from solver.functions import number_of
from solver.outcome import Outcome
from solver.quantities import Quantity
from solver.transient import Curve, PartCurves, Transient


@dataclass(frozen=True)
class OverTime:
    """A reading over time: that of `curve`, or where `square` is not None that times its square.

    Energy of a capacitor is ½C times the square of its voltage, power of a resistor R times the square of its current.
    """

    curve: Curve
    quantity: Quantity
    square: Scalar | None = None

    @property
    def first(self) -> Scalar:
        """Just after the start."""
        return self._of(self.curve.first)

    @property
    def final(self) -> Scalar:
        """In the end."""
        return self._of(self.curve.final)

    def _of(self, value: Scalar) -> Scalar:
        return value if self.square is None else self.square * value * value


class Course:
    """The course of a solved network from its start; `found` is its way to the settled state."""

    def __init__(self, outcome: Outcome, found: Transient) -> None:
        self._outcome: Final = outcome
        self._found: Final = found
        self.decay: Final = found.decay

    @property
    def takes_time(self) -> bool:
        """Whether anything changes after the start."""
        return bool(self.decay.rates) or self.decay.exact is not None

    @property
    def constant(self) -> Scalar | None:
        """The one time constant (seconds) where there is only one, exactly."""
        return None if self.decay.exact is None else 1 / self.decay.exact

    def reading(self, key: str) -> OverTime | None:
        """The reading of this key; None where there is none, or its course is not determined."""
        owner, _, word = key.rpartition(".")
        match owner.split(), word:
            case ["joint", joint], "potential" if joint in self._outcome.network.conductor_of:
                return OverTime(self._found.potentials[self._outcome.network.conductor_of[joint]], Quantity.POTENTIAL)
            case ["probe", a, b], "voltage":
                return self._between(a, b)
            case [name], _ if name in self._found.parts:
                return self._of_part(name, self._found.parts[name], word)
        return None

    def at(self, curve: Curve, time: float) -> float | None:
        """A curve's value so many seconds after the start; None where symbols remain."""
        final = _float(curve.final)
        if final is None or len(curve.amplitudes) != len(self.decay.rates):
            return None
        return final + sum(a * exp(-rate * time) for a, rate in zip(curve.amplitudes, self.decay.rates, strict=True))

    def extremes(self, curve: Curve) -> tuple[float, float]:
        """The lowest and the highest value of a curve of numbers, from just after the start to the end."""
        turns = turning_points(curve.amplitudes, self.decay.rates)
        values = [_float(curve.first), _float(curve.final), *(self.at(curve, time) for time in turns)]
        numbers = [value for value in values if value is not None]
        return min(numbers), max(numbers)

    def _between(self, a: str, b: str) -> OverTime | None:
        network = self._outcome.network
        places = network.conductor_of
        if a not in places or b not in places or network.piece_at[places[a]] != network.piece_at[places[b]]:
            return None
        return OverTime(self._found.between(places[a], places[b]), Quantity.VOLTAGE)

    def _of_part(self, name: str, curves: PartCurves, word: str) -> OverTime | None:
        network = self._outcome.network
        plain: dict[str, tuple[Curve | None, Quantity]] = {
            "voltage": (curves.voltage, Quantity.VOLTAGE),
            "current": (curves.current, Quantity.CURRENT),
        }
        if curves.charge is not None:
            plain["charge"] = curves.charge, Quantity.CHARGE
        if word in plain:
            curve, quantity = plain[word]
            return None if curve is None else OverTime(curve, quantity)
        squares: list[tuple[str, str, Scalar, Curve, Quantity]] = [
            *((c.name, "energy", c.capacitance / 2, curves.voltage, Quantity.ENERGY) for c in network.capacitors),
            *(
                (r.name, "power", r.resistance, curves.current or curves.voltage, Quantity.POWER)
                for r in network.resistors
            ),
        ]
        for part, own, factor, curve, quantity in squares:
            if (part, own) == (name, word):
                return OverTime(curve, quantity, factor)
        return None


def _float(scalar: Scalar) -> float | None:
    if isinstance(scalar, float):
        return scalar
    number = number_of(scalar)
    return None if number is None else float(number)
