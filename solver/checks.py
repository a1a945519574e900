"""Sums that must come out as zero: loops, the charges on isolated conductors, and the energy of every piece."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping
from dataclasses import dataclass
from functools import cached_property
from itertools import islice
from typing import Final, Literal

from solver.arithmetic import Scalar
from solver.energy import EnergyAccount
from solver.loops import Loop, loops, number_of_loops, turned
from solver.network import Battery, Branch, Capacitor
from solver.outcome import Outcome
from solver.quantities import Quantity
from solver.readings import BatteryReadings, CapacitorReadings, PartReadings, Reading, ResistorReadings

_WITH_VOLTAGE: Final = (CapacitorReadings, ResistorReadings, BatteryReadings)
SHOWN: Final = 12
"""How many checks of each kind a document lists at most."""


@dataclass(frozen=True, slots=True)
class Check:
    """Terms that must add up to zero.

    `loop`: voltages round a loop, one term for each part. `charge`: the charges of the plates on an isolated
    conductor, one term for each plate, and where it did not start neutral a last term that takes away `start`, the
    charge it started with. `energy`: the batteries' work, less the rise of the stored energy, less the energy lost
    (worked out by itself as ∑ ½C·(change of voltage)²); its parts are the batteries and capacitors of the piece.
    """

    kind: Literal["loop", "charge", "energy"]
    parts: tuple[str, ...]
    terms: tuple[Reading, ...]
    sum: Reading
    conductor: str | None = None
    start: Reading | None = None


class Checks:
    """All checks of a solution, made as they are asked for: loops, then charges, then energies if there are accounts.

    >>> from solver import Sketch, battery, capacitor, solve
    >>> checks = solve(Sketch.of(battery("E1", "9 V", "a", "0"), capacitor("C1", "10 µF", "a", "0"))).checks
    >>> [(check.kind, check.terms, check.sum) for check in checks][0]
    ('loop', (<voltage 9.00 V>, <voltage −9.00 V>), <voltage 0 V>)
    """

    def __init__(
        self,
        outcome: Outcome,
        accounts: list[EnergyAccount],
        parts: Mapping[str, PartReadings],
        reading: Callable[[Scalar, Quantity], Reading],
    ) -> None:
        self._outcome: Final = outcome
        self._accounts: Final = accounts
        self._parts: Final = parts
        self._reading: Final = reading
        network = outcome.network
        self._plates: Final[dict[int, list[tuple[Capacitor, bool]]]] = {c: [] for c in isolated(outcome)}
        for part in network.capacitors:
            if part.a != part.b:
                for conductor, at_start in ((part.a, True), (part.b, False)):
                    if conductor in self._plates:
                        self._plates[conductor].append((part, at_start))
        with_capacitors = {network.piece_at[part.a] for part in network.capacitors}
        self._pieces: Final = sorted(with_capacitors - outcome.flows) if accounts else []

    def __len__(self) -> int:
        return number_of_loops(self._outcome.network) + len(self._plates) + len(self._pieces)

    def __iter__(self) -> Iterator[Check]:
        yield from self._loops()
        yield from self._charges()
        yield from self._energies()

    def shown(self) -> tuple[Check, ...]:
        """The first 12 of each kind, which is what a document lists."""
        return self._shown

    @cached_property
    def _shown(self) -> tuple[Check, ...]:
        kinds = self._loops(), self._charges(), self._energies()
        return tuple(check for some in kinds for check in islice(some, SHOWN))

    def number_shown(self) -> int:
        """How many checks a document lists."""
        counts = (number_of_loops(self._outcome.network), len(self._plates), len(self._pieces))
        return sum(min(count, SHOWN) for count in counts)

    def _loops(self) -> Iterator[Check]:
        for loop in loops(self._outcome.network):
            first = self._voltage(loop[0].part)
            # The first term reads better as a plus: "9.00 − 3.00 − 6.00 = 0".
            yield self._loop(turned(loop) if (first.value or 0.0) < 0 else loop)

    def _loop(self, loop: Loop) -> Check:
        level, denominator = self._outcome.settled.level, self._denominator(loop[0].part)
        terms = []
        # Summed over the piece's denominator, with an ideal battery's emf as typed, not as it came out.
        total = self._outcome.network.arithmetic.zero
        for part, backwards in loop:
            voltage = self._voltage(part)
            terms.append(voltage if backwards else -voltage)
            if isinstance(part, Battery) and part.internal is None:
                across = part.emf * denominator
            else:
                across = level[part.a] - level[part.b]
            total += across if backwards else -across
        names = tuple(step.part.name for step in loop)
        return Check("loop", names, tuple(terms), self._sum(total, denominator, Quantity.VOLTAGE))

    def _charges(self) -> Iterator[Check]:
        zero, level = self._outcome.network.arithmetic.zero, self._outcome.settled.level
        for conductor, plates in self._plates.items():
            denominator = self._denominator(plates[0][0])
            terms, start, total = [], zero, zero
            for part, at_start in plates:
                charge = self._of_capacitor(part).charge
                terms.append(charge if at_start else -charge)
                gained = part.capacitance * (level[part.a] - level[part.b])
                if part.initial:
                    began = part.capacitance * part.initial
                    start += began if at_start else -began
                    gained -= began * denominator
                total += gained if at_start else -gained
            started = self._reading(start, Quantity.CHARGE)
            if start:
                terms.append(-started)
            names = tuple(part.name for part, _ in plates)
            summed = self._sum(total, denominator, Quantity.CHARGE)
            yield Check("charge", names, tuple(terms), summed, conductor_name(conductor), started)

    def _energies(self) -> Iterator[Check]:
        network = self._outcome.network
        names: dict[int, list[str]] = {piece: [] for piece in self._pieces}
        involved: tuple[Branch, ...] = (*network.batteries, *network.capacitors)
        for part in involved:
            if (own := names.get(network.piece_at[part.a])) is not None:
                own.append(part.name)
        for piece in self._pieces:
            account = self._accounts[piece]
            terms = (
                self._reading(account.work, Quantity.WORK),
                self._reading(-account.rise, Quantity.ENERGY),
                self._reading(-account.lost, Quantity.ENERGY),
            )
            total = self._reading(account.work - account.rise - account.lost, Quantity.ENERGY)
            yield Check("energy", tuple(names[piece]), terms, total)

    def _sum(self, total: Scalar, denominator: Scalar, quantity: Quantity) -> Reading:
        return self._reading(self._outcome.network.arithmetic.ratio(total, denominator), quantity)

    def _denominator(self, part: Branch) -> Scalar:
        return self._outcome.settled.denominator[self._outcome.network.piece_at[part.a]]

    def _voltage(self, part: Branch) -> Reading:
        readings = self._parts[part.name]
        assert isinstance(readings, _WITH_VOLTAGE)
        return readings.voltage

    def _of_capacitor(self, part: Capacitor) -> CapacitorReadings:
        readings = self._parts[part.name]
        assert isinstance(readings, CapacitorReadings)
        return readings


def isolated(outcome: Outcome) -> list[int]:
    """The conductors where only capacitors end, so that their charge cannot change."""
    network = outcome.network
    alone = {body[0] for body in network.bodies if len(body) == 1}
    plates = {conductor for part in network.capacitors if part.a != part.b for conductor in (part.a, part.b)}
    return sorted(alone & plates)


def conductor_name(conductor: int) -> str:
    """What a solution calls the conductor of this number."""
    return f"k{conductor + 1}"
