"""Ways that write equations: charge sums, junction and loop equations, one battery at a time.

Currents come first, since in the end capacitors carry none; then the capacitors, at the potentials that this leaves.
"""

from __future__ import annotations

from collections.abc import Iterator
from typing import Final

from solver.checks import conductor_name
from solver.faults import listing
from solver.formula import Fraction
from solver.network import Battery, groups
from solver.quantities import Quantity
from solver.reduction import Reduction
from solver.solution import Solution
from solver.solving import SolvedNetwork
from solver.step_equations_alone import OneAtATime
from solver.step_equations_charges import Potentials
from solver.step_equations_circuit import Conduction, conduction_of
from solver.step_equations_currents import Currents
from solver.step_equations_held import Held
from solver.step_equations_plates import Plates, plates_of
from solver.step_equations_potentials import Rises
from solver.step_plan import Plan
from solver.step_prepare import Preparation
from solver.step_symbols import Symbols
from solver.step_teller import Teller, chain
from solver.superposition import is_possible
from solver.worked import Step, Way

CHARGES: Final = Way("charges", "Charge sums")
LOOPS: Final = Way("loops", "Junctions and loops")
SUPERPOSITION: Final = Way("superposition", "One battery at a time")


def ways_of(solved: SolvedNetwork) -> tuple[Way, ...]:
    """The ways that make sense for a network, the first one by default; none where nothing drives a charge."""
    conduction, plates = _sorted_out(solved)
    if conduction.circuits or conduction.shorted:
        first = LOOPS
    elif plates.held or any(part.initial for part in solved.outcome.network.capacitors):
        first = CHARGES
    else:
        return ()
    return (first, SUPERPOSITION) if is_possible(solved.outcome.network, conduction, plates) else (first,)


def opening_of(solved: SolvedNetwork, way: str) -> str:
    """How a way goes, in a sentence or two."""
    if way == LOOPS.way:
        then = (
            " Then come the capacitors, at the potentials that the currents leave."
            if _sorted_out(solved)[1].held
            else ""
        )
        return (
            "As much current arrives at a junction as leaves it, and round every loop the voltages across the "
            "resistances add up to the emfs. Together these rules give as many equations as there are unknown currents."
            + then
        )
    if way == SUPERPOSITION.way:
        return (
            "Every voltage, charge and current is the sum of what each battery would cause alone. So one battery at a "
            "time is left, the others replaced by wires or by their internal resistances; then the results are added."
        )
    return (
        "The potentials of conductors that batteries reach are known. An isolated conductor keeps the charge that it "
        "started with, so the charges on its plates make one equation for each potential that is not known."
    )


def equation_steps(
    solved: SolvedNetwork, solution: Solution, way: str, symbols: Symbols | None = None
) -> tuple[Step, ...]:
    """The steps of a way, with the symbols given, else those of the network's parts."""
    equations = Equations(solved, symbols)
    return tuple(equations.steps_one_at_a_time() if way == SUPERPOSITION.way else equations.steps())


def _sorted_out(solved: SolvedNetwork) -> tuple[Conduction, Plates]:
    network = solved.outcome.network
    conduction = conduction_of(network, solved.outcome.ideal.in_loop)
    return conduction, plates_of(network, conduction)


class Equations:
    """One network: what does nothing, then the currents, the potentials, and what the capacitors hold."""

    potentials: type[Potentials] = Potentials
    held: type[Held] = Held

    def __init__(self, solved: SolvedNetwork, symbols: Symbols | None) -> None:
        network = solved.outcome.network
        self._solved: Final = solved
        self._network: Final = network
        self._conduction, self._plates = _sorted_out(solved)
        numbers = range(len(network.conductors))
        self.teller: Final = Teller(network, solved.writing, numbers, symbols or Symbols.of(network))

    def steps(self) -> Iterator[Step]:
        """All steps, in their order."""
        outcome, teller, conduction, plates = self._solved.outcome, self.teller, self._conduction, self._plates
        yield from self._aside()
        for battery in conduction.shorted:
            yield self._short_circuit(battery)
        if conduction.spare:
            yield self._spare()
        currents = Currents(teller, outcome, conduction)
        yield from currents.steps()
        if not plates.held:
            yield from self.held(teller, conduction, plates, {}).steps()
            return
        unknowns = [unknown.conductor for own in plates.unknowns.values() for unknown in own]
        rises = Rises(teller, conduction, currents.voltage, [*self._network.zeros, *unknowns])
        potentials = self.potentials(teller, outcome, plates, rises)
        yield from potentials.steps()
        yield from self.held(teller, conduction, plates, potentials.voltage).steps()

    def steps_one_at_a_time(self) -> Iterator[Step]:
        """The same network by superposition."""
        return OneAtATime(
            self._solved,
            self._conduction,
            self._plates,
            self.teller,
            lambda solved, solution, symbols: equation_steps(solved, solution, "", symbols),
        ).steps()

    def _aside(self) -> Iterator[Step]:
        """Switches, and parts that do nothing in the end."""
        network, plates, idle = self._network, self._plates, self._conduction.idle
        node, _ = groups(len(network.conductors), ((part.a, part.b) for part in idle))
        shorted = [part.name for part in plates.shorted]
        shorted.extend(part.name for part in network.resistors if part.a == part.b)
        plan = Plan(
            node=tuple(node),
            shorted=tuple(shorted),
            idle=tuple(part.name for part in idle),
            level=tuple(part.name for part in plates.level),
            dead=tuple(part.name for part in plates.dead),
            flows=(),
            resistors=None,
            capacitors=Reduction((), ()),
            between=None,
            obstacle=None,
        )
        yield from Preparation(self._solved.sketch, self.teller, plan).steps()

    def _short_circuit(self, battery: Battery) -> Step:
        teller, symbols, name = self.teller, self.teller.symbols, battery.name
        assert battery.internal is not None
        current = battery.emf / battery.internal
        result = teller.amount(current, Quantity.CURRENT)
        return Step(
            kind="given",
            title=f"The short circuit of {name}",
            parts=(name,),
            conductors=(conductor_name(battery.a),),
            reason=(
                f"Both terminals of {name} are on one conductor, so no voltage is left between them: the whole emf "
                "drives the current through the internal resistance. On paper only: a real battery gets hot in a short "
                "circuit and may catch fire."
            ),
            lines=(
                chain(
                    symbols.current(name),
                    Fraction(symbols.value(name), symbols.internal(name)),
                    Fraction(
                        teller.amount(battery.emf, Quantity.VOLTAGE),
                        teller.amount(battery.internal, Quantity.RESISTANCE),
                    ),
                    result,
                ),
            ),
            readings={
                f"{name}.current": result.reading,
                f"{name}.voltage": teller.reading(self._network.arithmetic.zero, Quantity.VOLTAGE),
                f"{name}.power": teller.reading(battery.emf * current, Quantity.POWER),
            },
        )

    def _spare(self) -> Step:
        names = [battery.name for battery in self._conduction.spare]
        looped = [battery.name for battery in self._network.batteries if battery.name in self._conduction.looped]
        it_is = "it is" if len(names) == 1 else "they are"
        return Step(
            kind="set-aside",
            title=f"Without {listing(names)}",
            parts=tuple(looped),
            conductors=(),
            reason=(
                f"{listing(looped)} are ideal and form a loop in which their emfs balance. How a current divides "
                f"between them is not determined. Every potential stays where it is without {listing(names)}, so "
                f"{it_is} left out of the equations."
            ),
        )
