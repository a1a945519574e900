"""From a sketch to its solution: reads the values, finds the faults, solves, and puts the readings together."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from solver.arithmetic import Arithmetic, Scalar
from solver.elements import Element, ValueReader, symbols_of, symbols_used_twice
from solver.exact import Rationals
from solver.faults import BatteriesContradict, BatteryShorted, Note, SketchFault, SketchFaults, note
from solver.ideal import IdealGroups, ideal_groups
from solver.network import Network, build
from solver.passed import Passed, passed
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
from solver.settled import Settled, settle
from solver.sketch import Sketch
from solver.solution import Conductor, Joint, Solution, Totals
from solver.steady import Steady, steady


def solve(sketch: Sketch | Mapping[str, Any]) -> Solution:
    """Every reading of a sketch.

    Raises SketchFaults with everything that is wrong with it.
    """
    if not isinstance(sketch, Sketch):
        sketch = Sketch.read(sketch)
    reader = ValueReader()
    elements = [reader.element(part) for part in sketch.parts]
    faults = [*reader.faults, *symbols_used_twice(elements)]
    network = build(sketch, elements, Rationals())
    faults += network_faults(network)
    if faults:
        raise SketchFaults(faults)
    ideal = ideal_groups(len(network.conductors), network.batteries, network.arithmetic.zero)
    state = steady(network, ideal, resistances=True)
    settled = settle(network, state, state.bridges)
    went = passed(network, ideal, state, settled)
    return Assembly(sketch, network, ideal, state, settled, went).solution()


def network_faults(network: Network) -> list[SketchFault]:
    faults: list[SketchFault] = [
        BatteryShorted(parts=[battery.name])
        for battery in network.batteries
        if battery.a == battery.b and battery.internal is None
    ]
    ideal = ideal_groups(len(network.conductors), network.batteries, network.arithmetic.zero)
    faults.extend(
        BatteriesContradict(parts=[network.batteries[index].name for index in loop]) for loop in ideal.contradictions
    )
    return faults


class Assembly:
    def __init__(self, sketch, network, ideal, state, settled, went):
        self.sketch = sketch
        self.network: Network = network
        self.ideal: IdealGroups = ideal
        self.state: Steady = state
        self.settled: Settled = settled
        self.went: Passed = went
        self.writing = Writing(sketch.figures)
        sums = network.arithmetic
        self.potentials = [
            sums.ratio(level, settled.denominator[network.piece_of_conductor(c)])
            for c, level in enumerate(settled.level)
        ]

    def reading(self, scalar, quantity):
        return Reading(scalar, quantity, self.writing)

    def solution(self):
        n, s = self.network, self.settled
        sums = n.arithmetic
        Q = Quantity
        r = self.reading
        pot = [r(p, Q.POTENTIAL) for p in self.potentials]
        joints = {j: Joint(pot[c], f"k{c + 1}") for j, c in n.conductor_of.items()}
        charge = [None] * len(n.conductors)
        fixed = set()
        parts = {}
        energy = sums.zero
        caps = 0
        for p in n.capacitors:
            caps += 1
            v = self.potentials[p.a] - self.potentials[p.b]
            q = p.capacitance * v
            e = q * v / 2
            parts[p.name] = CapacitorReadings(r(v, Q.VOLTAGE), r(q, Q.CHARGE), r(e, Q.ENERGY))
            energy += e
            if p.a != p.b:
                charge[p.a] = (charge[p.a] or sums.zero) + q
                charge[p.b] = (charge[p.b] or sums.zero) - q
        power = sums.zero
        for k, p in enumerate(n.resistors):
            v = self.potentials[p.a] - self.potentials[p.b]
            i = self.state.resistor_current[k]
            parts[p.name] = ResistorReadings(
                r(v, Q.VOLTAGE),
                r(i, Q.CURRENT),
                r(v * i, Q.POWER),
                None if i else r(self.went.resistor[k], Q.CHARGE),
            )
            power += v * i
            if p.a != p.b:
                fixed |= {p.a, p.b}
        work = sums.zero
        flows = False
        for k, p in enumerate(n.batteries):
            v = self.potentials[p.a] - self.potentials[p.b]
            i = self.state.battery_current[k]
            open_ = k in self.ideal.in_loop
            q = self.went.battery[k]
            if p.internal is not None:
                power += i * i * p.internal
            flows |= bool(i)
            work += p.emf * q
            if self.state.resistance[k] is not None:
                eq = r(self.state.resistance[k], Q.RESISTANCE)
            elif k in s.capacitance:
                eq = r(s.capacitance[k], Q.CAPACITANCE)
            else:
                eq = None
            parts[p.name] = BatteryReadings(
                r(v, Q.VOLTAGE),
                None if open_ else r(i, Q.CURRENT),
                None if open_ else r(p.emf * i, Q.POWER),
                None if open_ or i else r(q, Q.CHARGE),
                None if open_ or i else r(q * p.emf, Q.WORK),
                eq,
            )
            if p.a != p.b:
                fixed |= {p.a, p.b}
        ordered: dict[str, PartReadings] = {}
        for p in self.sketch.parts:
            if p.name in parts:
                ordered[p.name] = parts[p.name]
            elif p.kind == "switch":
                a, b = n.conductor_of[p.start], n.conductor_of[p.end]
                same = n.piece_of_conductor(a) == n.piece_of_conductor(b)
                ordered[p.name] = SwitchReadings(
                    r(self.potentials[a] - self.potentials[b], Q.VOLTAGE) if same else None
                )
            else:
                ordered[p.name] = WireReadings()
        conductors = {
            f"k{c + 1}": Conductor(
                f"k{c + 1}",
                js,
                f"b{n.body_of[c] + 1}",
                pot[c],
                None if charge[c] is None else r(charge[c], Q.CHARGE),
                None,
                charge[c] is not None and c not in fixed,
            )
            for c, js in enumerate(n.conductors)
        }
        totals = Totals(
            r(energy, Q.ENERGY) if caps else None,
            r(power, Q.POWER) if n.resistors else None,
            r(work, Q.WORK) if n.batteries and not flows else None,
            r(work - energy, Q.ENERGY) if caps and not flows else None,
        )
        return Solution("exact", None, joints, conductors, ordered, (), totals, (), ())
