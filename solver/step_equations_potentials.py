"""Potentials within bodies: each conductor from the one before it, by way of a battery or a resistor."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Collection, Iterable, Mapping
from dataclasses import dataclass
from typing import Final

from solver.arithmetic import Scalar
from solver.formula import Formula
from solver.network import Battery, Resistor
from solver.quantities import Quantity
from solver.step_equations_circuit import Conduction
from solver.step_equations_words import signed, term
from solver.step_teller import Teller


@dataclass(frozen=True, slots=True)
class Climb:
    """How a conductor's potential comes from that of another: by a part, `up` where its voltage is added."""

    before: int
    part: Battery | Resistor
    up: bool


class Rises:
    """The potential of every conductor above the root of its body, and how it comes about.

    `rise` is in volts; `climb` has no entry for the roots.
    """

    def __init__(
        self,
        teller: Teller,
        conduction: Conduction,
        voltage: Mapping[str, Scalar],
        roots: Collection[int],
    ) -> None:
        self._teller: Final = teller
        self._conduction: Final = conduction
        network = teller.network
        spare = {battery.name for battery in conduction.spare}
        beyond: dict[int, list[tuple[int, Climb]]] = defaultdict(list)
        parts: list[Battery | Resistor] = [part for part in network.batteries if part.name not in spare]
        parts.extend(network.resistors)
        for part in parts:
            beyond[part.b].append((part.a, Climb(part.b, part, True)))
            beyond[part.a].append((part.b, Climb(part.a, part, False)))
        self.rise: Final[dict[int, Scalar]] = {}
        self.climb: Final[dict[int, Climb]] = {}
        first = {network.body_of[root]: root for root in roots}
        for number, body in enumerate(network.bodies):
            root = first.get(number, body[0])
            self.rise[root] = network.arithmetic.zero
            queue = [root]
            for here in queue:
                for there, climb in beyond[here]:
                    if there not in self.rise:
                        step = voltage[climb.part.name]
                        self.rise[there] = self.rise[here] + (step if climb.up else -step)
                        self.climb[there] = climb
                        queue.append(there)
        self._voltage: Final = voltage

    def on_the_way(self, conductors: Iterable[int]) -> list[int]:
        """These conductors and all that lie between them and the roots, each after the one that it comes from."""
        ordered: dict[int, None] = {}
        for conductor in conductors:
            way = [conductor]
            while (climb := self.climb.get(way[-1])) is not None:
                way.append(climb.before)
            ordered |= dict.fromkeys(reversed(way))
        return list(ordered)

    def sums(self, conductor: int, *, bare: bool) -> tuple[list[Formula], list[Formula]]:
        """The potential before plus or minus a voltage, in symbols and with that voltage as a number.

        Where `bare`, the potential before is zero and left out.
        """
        climb, teller = self.climb[conductor], self._teller
        before = teller.symbols.potential(f"k{climb.before + 1}")
        if isinstance(climb.part, Resistor) and climb.part.name not in self._conduction.circuit_of:
            return [before], [before]
        symbol = signed(self._symbol(climb.part), minus=not climb.up)
        voltage = self._voltage[climb.part.name]
        amount = term(teller, voltage if climb.up else -voltage, Quantity.VOLTAGE)
        return ([symbol], [amount]) if bare else ([before, symbol], [before, amount])

    def _symbol(self, part: Battery | Resistor) -> Formula:
        """The emf of a battery where it stands whole at the terminals; else the voltage of the part."""
        whole = isinstance(part, Battery) and (part.internal is None or part.name not in self._conduction.circuit_of)
        return self._teller.symbols.value(part.name) if whole else self._teller.symbols.voltage(part.name)
