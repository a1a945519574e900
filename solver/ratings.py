"""Will it hold: voltages against ratings, the highest battery voltage that every part survives, and what goes past it.

Every voltage is a linear function of one battery's emf, so two solutions tell all others. For teaching: real parts fail
early, late and in other ways than to a short.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, replace
from typing import Any, Final

import flint

from solver.arithmetic import Scalar
from solver.carried import Charges, charges_held, holding, voltages_held
from solver.elements import Element, ValueReader
from solver.exact import Rationals
from solver.faults import SketchFaults
from solver.ideal import ideal_of
from solver.network import Network, build
from solver.quantities import Quantity
from solver.readings import Reading, Writing
from solver.sketch import Part, Sketch
from solver.solving import SolvedNetwork, contradictions, solution_of
from solver.values import read_value

_MOST_FAILURES: Final = 20


@dataclass(frozen=True)
class Strain:
    """A capacitor's voltage against what it is rated for: `share` is 1 at the rating."""

    part: str
    rated: Reading
    share: flint.fmpq

    @property
    def is_past(self) -> bool:
        """Whether the voltage is past the rating."""
        return bool(self.share > 1)


@dataclass(frozen=True)
class Highest:
    """The highest emf of a battery at which no rated part is past its rating, the parts that are at theirs then, and
    what the battery has delivered and is stored at that emf."""

    battery: str
    emf: Reading
    limited_by: tuple[str, ...]
    charge: Reading | None
    energy: Reading | None


@dataclass(frozen=True)
class Failure:
    """One step on the way down: the part that goes to a short, being furthest past its rating, and the sketch then.

    `strains` are those of the rated parts that are left; `shorts` names the battery that its failure has shorted.
    """

    part: str
    sketch: Sketch
    strains: tuple[Strain, ...]
    shorts: str | None = None


def strains(solved: SolvedNetwork) -> tuple[Strain, ...]:
    """Each capacitor with a rated voltage against its voltage in the solved network, where that is an exact number."""
    return _strains(solved.sketch, voltages_held(solved.outcome))


def _strains(sketch: Sketch, voltages: Mapping[str, Scalar]) -> tuple[Strain, ...]:
    found = []
    for part in sketch.parts:
        if part.rated is not None and part.name in voltages and isinstance(voltages[part.name], flint.fmpq):
            rated = read_value(part.rated, Quantity.VOLTAGE).factor
            share = abs(voltages[part.name]) / rated
            found.append(Strain(part.name, Reading(rated, Quantity.VOLTAGE, Writing(sketch.figures)), share))
    return tuple(found)


def highest_emf(sketch: Sketch, battery: str) -> Highest | None:
    """The highest emf of one battery, all else as it is; None where no rated part's voltage depends on it, or where
    one is past its rating at any emf. Raises SketchFaults, and KeyError where there is no such battery."""
    low, high = (_outcome(_with_emf(sketch, battery, emf)) for emf in ("0 V", "1 V"))
    bounds: dict[str, Any] = {}
    at_zero, at_one = voltages_held(low.outcome), voltages_held(high.outcome)
    for strain in _strains(sketch, at_zero):
        rated, start = strain.rated.scalar, at_zero[strain.part]
        slope = at_one[strain.part] - start
        if abs(start) > rated:
            return None
        if slope:
            bounds[strain.part] = (rated - start) / slope if slope > 0 else (-rated - start) / slope
    if not bounds:
        return None
    highest = min(bounds.values())
    limiting = tuple(name for name, bound in bounds.items() if bound == highest)
    there = solution_of(_outcome(_with_emf(sketch, battery, f"{highest.p}/{highest.q} V")))
    readings = there.parts[battery]
    emf = Reading(highest, Quantity.EMF, Writing(sketch.figures))
    return Highest(battery, emf, limiting, getattr(readings, "charge", None), there.totals.energy)


def failures(sketch: Sketch) -> tuple[Failure, ...]:
    """What goes one after the other while parts are past their ratings: each time the one furthest past, to a short.

    The others then start from the charges that they have. Ends where nothing is past its rating, or where a battery
    without internal resistance is shorted. Raises SketchFaults.
    """
    found: list[Failure] = []
    charges: Charges | None = None
    while len(found) < _MOST_FAILURES:
        solved = _outcome(sketch, charges)
        past = [strain for strain in strains(solved) if strain.is_past]
        if not past:
            break
        first = max(past, key=lambda strain: strain.share)
        charges = charges_held(solved.outcome)
        sketch = replace(
            sketch, parts=tuple(_shorted(part) if part.name == first.part else part for part in sketch.parts)
        )
        try:
            left = strains(_outcome(sketch, charges))
        except SketchFaults as fault:
            batteries = [name for each in fault.faults for name in each.parts]
            found.append(Failure(first.part, sketch, (), shorts=batteries[0] if batteries else None))
            break
        found.append(Failure(first.part, sketch, left))
    return tuple(found)


def _shorted(part: Part) -> Part:
    return Part(part.name, "wire", part.start, part.end, bend=part.bend)


def _with_emf(sketch: Sketch, battery: str, emf: str) -> Sketch:
    if not any(part.name == battery and part.kind == "battery" for part in sketch.parts):
        raise KeyError(battery)
    parts = tuple(replace(part, value=emf) if part.name == battery else part for part in sketch.parts)
    return replace(sketch, parts=parts)


def _outcome(sketch: Sketch, charges: Charges | None = None) -> SolvedNetwork:
    """The sketch solved in rationals, from these charges where there are any."""
    reader = ValueReader()
    elements: list[Element] = [reader.element(part) for part in sketch.parts]
    network: Network = build(sketch, elements, Rationals())
    ideal = ideal_of(network)
    if faults := [*reader.faults, *contradictions(sketch, network, ideal)]:
        raise SketchFaults(faults)
    if charges is not None:
        network = holding(network, charges)
    return SolvedNetwork.of(sketch, network, ideal, Writing(sketch.figures), equivalents=True)
