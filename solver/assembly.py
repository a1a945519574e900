"""Puts the readings of a solved network together: parts, joints, conductors, probes and totals."""

from __future__ import annotations

from typing import Final

from solver.arithmetic import Scalar
from solver.between import Equivalent, batteries_between, equivalents
from solver.built import built_of
from solver.checks import conductor_name, isolated
from solver.energy import EnergyAccount
from solver.faults import Note, note
from solver.kinds import SWITCHES
from solver.outcome import Outcome
from solver.quantities import Quantity
from solver.readings import (
    BatteryReadings,
    CapacitorReadings,
    PartReadings,
    Reading,
    ResistorReadings,
    SwitchReadings,
    WireReadings,
    Writing,
)
from solver.sketch import Sketch
from solver.solution import Conductor, Joint, Probe, Totals


class Assembly:
    """Makes the readings of one outcome, all in one writing."""

    def __init__(self, sketch: Sketch, outcome: Outcome, writing: Writing) -> None:
        self._sketch: Final = sketch
        self._outcome: Final = outcome
        self._writing: Final = writing
        self._zeros: Final[dict[str, Reading]] = {}
        self.built: Final = built_of(sketch, outcome, writing)
        """The capacitors that are given by their build, as they are charged."""
        self._potentials: Final = [
            self.reading(outcome.potential(conductor), Quantity.POTENTIAL)
            for conductor in range(len(outcome.network.conductors))
        ]

    def reading(self, scalar: Scalar, quantity: Quantity) -> Reading:
        """The scalar (SI units) as a reading; all zeros of a quantity are one."""
        if scalar:
            return Reading(scalar, quantity, self._writing)
        zero = self._zeros.get(quantity.word)
        if zero is None:
            zero = self._zeros[quantity.word] = Reading(scalar, quantity, self._writing)
        return zero

    def parts(self) -> dict[str, PartReadings]:
        """The readings of every part, in the order of the sketch."""
        network = self._outcome.network
        found: dict[str, PartReadings] = {}
        reading, outcome = self.reading, self._outcome
        across, carried, stored = Quantity.VOLTAGE, Quantity.CHARGE, Quantity.ENERGY
        for capacitor, voltage in zip(network.capacitors, outcome.voltages(network.capacitors), strict=True):
            name, capacitance = capacitor.name, capacitor.capacitance
            found[name] = CapacitorReadings(
                reading(voltage, across),
                reading(capacitance * voltage, carried),
                # In this order the long numbers meet no others that they could have factors in common with.
                reading(voltage * voltage * (capacitance / 2), stored),
                *(self.built[name].readings() if name in self.built else ()),
            )
        passed = outcome.passed.resistor
        for index, voltage in enumerate(outcome.voltages(network.resistors)):
            resistor = network.resistors[index]
            found[resistor.name] = ResistorReadings(
                reading(voltage, Quantity.VOLTAGE),
                reading(voltage / resistor.resistance, Quantity.CURRENT),
                reading(voltage * voltage / resistor.resistance, Quantity.POWER),
                None if voltage else reading(passed[index], Quantity.CHARGE),
            )
        for index, voltage in enumerate(outcome.voltages(network.batteries)):
            found[network.batteries[index].name] = self._battery(index, voltage)
        for part in self._sketch.parts:
            if part.kind in SWITCHES:
                a, b = (network.conductor_of[joint] for joint in part.gap)
                found[part.name] = SwitchReadings(self._if_known(self._outcome.voltage(a, b), Quantity.VOLTAGE))
            elif part.kind == "wire":
                found[part.name] = WireReadings()
        return {part.name: found[part.name] for part in self._sketch.parts}

    def joints(self) -> dict[str, Joint]:
        """Every joint's potential and conductor."""
        return {
            joint: Joint(self._potentials[conductor], conductor_name(conductor))
            for joint, conductor in self._outcome.network.conductor_of.items()
        }

    def conductors(self) -> dict[str, Conductor]:
        """Every conductor, by its name."""
        network, charges = self._outcome.network, self._outcome.settled.charges
        reading, alone, on_it = self.reading, set(isolated(self._outcome)), Quantity.CHARGE
        conductors = {}
        for number, (joints, body, potential) in enumerate(
            zip(network.conductors, network.body_of, self._potentials, strict=True)
        ):
            name, held, started = conductor_name(number), None, None
            if (charge := charges.get(number)) is not None:
                held, started = reading(charge.held, on_it), reading(charge.began, on_it)
            is_isolated = number in alone
            conductors[name] = Conductor(name, joints, f"b{body + 1}", potential, held, started, is_isolated)
        return conductors

    def totals(self, accounts: list[EnergyAccount]) -> Totals:
        """The totals of the sheet."""
        network, zero = self._outcome.network, self._outcome.network.arithmetic.zero
        settles = not self._outcome.flows
        work = sum((account.work for account in accounts), zero)
        rise = sum((account.rise for account in accounts), zero)
        energy = work_read = lost = power = None
        if network.capacitors:
            energy = self.reading(sum((account.stored for account in accounts), zero), Quantity.ENERGY)
            lost = self.reading(work - rise, Quantity.ENERGY) if settles else None
        if network.batteries and settles:
            work_read = self.reading(work, Quantity.WORK)
        if network.resistors or any(battery.internal is not None for battery in network.batteries):
            # What resistances dissipate in the steady state is what the emfs supply; this sum is the shorter one.
            supplied = (
                battery.emf * current
                for battery, current in zip(network.batteries, self._outcome.steady.battery_current, strict=True)
            )
            power = self.reading(sum(supplied, zero), Quantity.POWER)
        return Totals(energy, power, work_read, lost)

    def probes(self) -> tuple[tuple[Probe, ...], list[Note]]:
        """What is read between the sketch's pairs of joints, and the notes on them."""
        network = self._outcome.network
        pairs = [(network.conductor_of[a], network.conductor_of[b]) for a, b in self._sketch.probes]
        apart = [place for place, (a, b) in enumerate(pairs) if a != b]
        found = dict(zip(apart, self._equivalents([pairs[place] for place in apart]), strict=True))
        probes, notes = [], []
        for place, (between, (a, b)) in enumerate(zip(self._sketch.probes, pairs, strict=True)):
            equivalent = found.get(place)
            voltage = self._outcome.voltage(a, b)
            probes.append(
                Probe(
                    between,
                    self._if_known(voltage, Quantity.VOLTAGE),
                    self._if_of(equivalent, Quantity.CAPACITANCE),
                    self._if_of(equivalent, Quantity.RESISTANCE),
                )
            )
            away = batteries_between(network, (a, b))
            if a == b:
                notes.append(note("nothing-between", joints=between))
            elif voltage is None:
                notes.append(note("not-connected", joints=between))
            elif away:
                names = [network.batteries[index].name for index in sorted(away)]
                code = "battery-away" if equivalent is not None else "only-battery"
                notes.append(note(code, parts=names, joints=between))
        return tuple(probes), notes

    def _equivalents(self, pairs: list[tuple[int, int]]) -> list[Equivalent | None]:
        """What lies between the pairs; where that is what a single battery sees, it has been solved already."""
        network = self._outcome.network
        known: dict[int, Equivalent | None] = {}
        for place, pair in enumerate(pairs):
            away = batteries_between(network, pair)
            if len(away) == 1 and (seen := self._seen(*away)) is not None:
                known[place] = seen
        open_places = [place for place in range(len(pairs)) if place not in known]
        solved = equivalents(network, [pairs[place] for place in open_places])
        known.update(zip(open_places, solved, strict=True))
        return [known[place] for place in range(len(pairs))]

    def _seen(self, battery: int) -> Equivalent | None:
        resistance = self._outcome.steady.resistance[battery]
        if resistance is not None:
            return Equivalent(Quantity.RESISTANCE, resistance)
        capacitance = self._outcome.settled.capacitance.get(battery)
        # Nothing but an open end lies there where not even a capacitor does.
        return Equivalent(Quantity.CAPACITANCE, capacitance) if capacitance else None

    def _battery(self, index: int, voltage: Scalar) -> BatteryReadings:
        outcome = self._outcome
        part = outcome.network.batteries[index]
        current = None if outcome.is_undecided(index) else outcome.steady.battery_current[index]
        charge = outcome.charge_of_battery(index)
        seen = self._seen(index)
        return BatteryReadings(
            voltage=self.reading(voltage, Quantity.VOLTAGE),
            current=self._if_known(current, Quantity.CURRENT),
            power=self._if_known(None if current is None else part.emf * current, Quantity.POWER),
            charge=self._if_known(charge, Quantity.CHARGE),
            work=self._if_known(None if charge is None else part.emf * charge, Quantity.WORK),
            equivalent=None if seen is None else self.reading(seen.amount, seen.quantity),
        )

    def _if_known(self, scalar: Scalar | None, quantity: Quantity) -> Reading | None:
        return None if scalar is None else self.reading(scalar, quantity)

    def _if_of(self, equivalent: Equivalent | None, quantity: Quantity) -> Reading | None:
        if equivalent is None or equivalent.quantity is not quantity:
            return None
        return self.reading(equivalent.amount, quantity)
