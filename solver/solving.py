"""From a sketch to its solution: reads the values, finds the faults, chooses the arithmetic, solves."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field, replace
from functools import cached_property
from typing import Any, Self

from solver.arithmetic import Arithmetic
from solver.assembly import Assembly
from solver.built import past_breakdown
from solver.checks import Checks
from solver.effort import (
    MOST_BITS,
    MOST_BITS_OF_EQUIVALENTS,
    MOST_FLOATS,
    bits_of_answer,
    bits_of_equivalents,
    symbols_are_quick,
)
from solver.elements import ValueReader, symbol_units, symbols_used_twice
from solver.energy import accounts
from solver.exact import Rationals
from solver.faults import (
    BatteriesContradict,
    BatteryShorted,
    BatteryShortedBySwitch,
    SketchFault,
    SketchFaults,
    TooManySymbols,
    listing,
)
from solver.functions import Functions
from solver.ideal import IdealGroups, ideal_of
from solver.lot import drawn
from solver.network import Network, build, switches_between
from solver.outcome import Outcome
from solver.readings import Writing
from solver.relaxation import Relaxations
from solver.remarks import remarks
from solver.sketch import Part, Sketch
from solver.solution import Solution
from solver.sparse import Floats
from solver.transient import Transient, transient


def solve(sketch: Sketch | Mapping[str, Any]) -> Solution:
    """Every reading of a sketch, or of a sketch document.

    Solves exactly: on rationals, or on rational functions where symbols occur. Networks without symbols that are too
    large for that are solved in floats, which the solution's `method`, `residual` and notes say. Where the sketch asks
    for a lot from the drawer, the readings are those of the parts drawn.
    Raises SketchFaults with everything that is wrong with the sketch.

    >>> from solver import Sketch, battery, capacitor
    >>> sketch = Sketch.of(
    ...     battery("E1", "9 V", "a", "0"), capacitor("C1", "30 µF", "a", "b"), capacitor("C2", "15 µF", "b", "0")
    ... )
    >>> solution = solve(sketch)
    >>> solution.parts["C1"].charge.exact, solution.parts["C1"].charge.text
    (9/100000, '90.0 µC')
    >>> solution.parts["E1"].equivalent, solution.totals.energy
    (<capacitance 10.0 µF>, <energy 405 µJ>)
    """
    read = sketch if isinstance(sketch, Sketch) else Sketch.read(sketch)
    lot = drawn(read)
    return solution_of(solve_network(lot.sketch if lot else read))


@dataclass(frozen=True)
class SolvedNetwork:
    """A sketch with its solved network: the numbers that every view of the solution is made from.

    `equivalents` says whether what each battery sees has been worked out, at one more column of the equations for each.
    `moved` says that plates or slabs were moved by hand on the way, so work less stored energy is not what was lost.
    `known` keeps what the courses of networks with the same capacitors and resistors have in common.
    """

    sketch: Sketch
    outcome: Outcome
    writing: Writing
    equivalents: bool
    moved: bool = False
    known: Relaxations = field(default_factory=Relaxations, compare=False, repr=False)

    @cached_property
    def over_time(self) -> Transient:
        """The way to the settled state, worked out once for all who follow it. Raises TooManyTimeConstants."""
        return transient(self.outcome, known=self.known)

    @property
    def at_rest(self) -> SolvedNetwork:
        """The same with every two-way switch as a closed switch, for views that know parts of two ends only."""
        return replace(self, sketch=self.sketch.at_rest)

    @classmethod
    def of(cls, sketch: Sketch, network: Network, ideal: IdealGroups, writing: Writing, *, equivalents: bool) -> Self:
        """Solves a network without contradictions, in the arithmetic that it is built in."""
        return cls(sketch, Outcome.of(network, ideal, equivalents=equivalents), writing, equivalents)


def solve_network(read: Sketch) -> SolvedNetwork:
    """Reads the values, finds the faults, chooses the arithmetic, solves. Raises SketchFaults as `solve` does."""
    reader = ValueReader()
    elements = [reader.element(part) for part in read.parts]
    units = symbol_units(elements)
    exact: Arithmetic = Functions(tuple(units)) if units else Rationals()
    network = build(read, elements, exact)
    ideal = ideal_of(network)
    if faults := [*reader.faults, *symbols_used_twice(elements), *contradictions(read, network, ideal)]:
        raise SketchFaults(faults)
    if units:
        if not symbols_are_quick(network, elements):
            raise SketchFaults([TooManySymbols(symbols=listing(list(units)))])
        equivalents = True
    else:
        bits = bits_of_answer(network)
        equivalents = bits_of_equivalents(network, bits) <= MOST_BITS_OF_EQUIVALENTS
        if sum(bits) > MOST_BITS:
            network = build(read, elements, Floats())
            ideal = ideal_of(network)
            equivalents = len(network.conductors) * len(network.batteries) <= MOST_FLOATS
    return SolvedNetwork.of(read, network, ideal, Writing(read.figures, units), equivalents=equivalents)


def solution_of(solved: SolvedNetwork) -> Solution:
    """Every reading of a solved network."""
    outcome = solved.outcome
    energies = accounts(outcome)
    assembly = Assembly(solved.sketch, outcome, solved.writing)
    parts = assembly.parts()
    probes, probe_notes = assembly.probes()
    checks = Checks(outcome, [] if solved.moved else energies, parts, assembly.reading)
    totals = assembly.totals(energies)
    return Solution(
        method="exact" if outcome.network.arithmetic.exact else "float",
        residual=outcome.residual,
        joints=assembly.joints(),
        conductors=assembly.conductors(),
        parts=parts,
        probes=probes,
        totals=replace(totals, lost=None) if solved.moved else totals,
        checks=checks,
        notes=(
            *remarks(outcome, checks, equivalents_left_out=not solved.equivalents),
            *past_breakdown(assembly.built),
            *probe_notes,
        ),
    )


def contradictions(sketch: Sketch, network: Network, ideal: IdealGroups) -> list[SketchFault]:
    """What ideal batteries make impossible: one joined to itself, or several at odds round a loop."""
    parts = {part.name: part for part in sketch.parts}
    faults: list[SketchFault] = [
        _shorted(sketch, parts[battery.name])
        for battery in network.batteries
        if battery.a == battery.b and battery.internal is None
    ]
    faults.extend(
        BatteriesContradict(parts=[network.batteries[index].name for index in loop]) for loop in ideal.contradictions
    )
    return faults


def _shorted(sketch: Sketch, battery: Part) -> SketchFault:
    switches = switches_between(sketch, battery.start, battery.end)
    if not switches:
        return BatteryShorted(parts=[battery.name])
    names = [switch.name for switch in switches]
    one = switches[0]
    return BatteryShortedBySwitch(
        parts=[battery.name, *names],
        joining=f"{listing(names)} {'joins' if len(names) == 1 else 'together join'}",
        remedy=f"open {one.name}" if one.kind == "switch" else f"throw {one.name} over",
    )
