"""What goes after what once capacitors are past their ratings: each to a short, the others left with what they hold.

For teaching: real parts fail early, late, and in other ways than to a short. A part goes when it reaches all of its
rated voltage, or, if polarised, its limit the other way round. Of those that are past it at once, the one furthest past
goes first, since it would be the first if the voltages rose evenly; after that whichever gets there first.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass, replace
from typing import Final

import flint

from solver.carried import Charges, holding
from solver.crossings import crossings
from solver.elements import ValueReader, symbol_units
from solver.exact import Rationals
from solver.faults import SketchFaults
from solver.functions import Functions
from solver.ideal import ideal_of
from solver.network import build
from solver.readings import Writing
from solver.sketch import Part, Sketch
from solver.solving import SolvedNetwork, contradictions
from solver.strains import Limit, Path, Strain, limits_of, paths_of, resists, strains_of

_MOST: Final = 20
_ZERO: Final = flint.fmpq(0)


@dataclass(frozen=True)
class Failure:
    """One step on the way down: the part that goes to a short, `time` after what came before it (seconds), at `voltage`
    (volts, signed), `is_reversed` where it is a polarised one the wrong way round.

    `sketch` is what is left, with a wire in its place; `solved` its end, `strains` what the others come to on the way
    there; both None and empty where `shorts` names a battery that nothing limits any more. `alike` are parts that are
    just as far past their limits: of them the one that is named first goes.
    """

    part: str
    time: float
    voltage: flint.fmpq
    is_reversed: bool
    sketch: Sketch
    solved: SolvedNetwork | None
    strains: tuple[Strain, ...]
    shorts: tuple[str, ...] = ()
    alike: tuple[str, ...] = ()


def failures(sketch: Sketch, charges: Charges | None = None) -> tuple[Failure, ...]:
    """What goes one after the other, from these charges where there are any (coulombs), else the initial voltages.

    Ends where nothing is past a limit, or where a battery without internal resistance is shorted. Derating plays no
    part. With symbols what takes time is not followed, so nothing is told there. Raises SketchFaults.
    """
    here = replace(sketch, usable=100, stages=(), stage=None)
    solved = _solved(here, charges)
    if solved.writing.symbol_units and resists(solved.outcome.network):
        return ()
    found: list[Failure] = []
    while len(found) < _MOST:
        limits = limits_of(here)
        paths = paths_of(solved, solved, _names(here))
        going = _next(limits, paths)
        if going is None:
            break
        limit, time, alike = going
        voltages = {name: path.at(time) if time else path.first for name, path in paths.items()}
        parts = tuple(_short(part) if part.name == limit.part else part for part in here.parts)
        here = replace(here, parts=parts)
        held = _charges(solved, voltages)
        voltage = voltages[limit.part]
        gone = Failure(limit.part, time, voltage, limit.is_polarised and bool(voltage < 0), here, None, (), (), alike)
        try:
            solved = _solved(here, held)
        except SketchFaults as fault:
            shorts = tuple(name for each in fault.faults for name in each.parts)
            found.append(replace(gone, shorts=shorts))
            break
        left = limits_of(here)
        # What they had before the failure has been judged already.
        after = {name: replace(path, before=path.first) for name, path in paths_of(solved, solved, left).items()}
        found.append(replace(gone, solved=solved, strains=strains_of(left, after)))
    return tuple(found)


def _names(sketch: Sketch) -> set[str]:
    return {part.name for part in sketch.parts if part.kind == "capacitor"}


def _short(part: Part) -> Part:
    return Part(part.name, "wire", part.start, part.end, bend=part.bend)


def _charges(solved: SolvedNetwork, voltages: Mapping[str, flint.fmpq]) -> Charges:
    return {part.name: part.capacitance * voltages[part.name] for part in solved.outcome.network.capacitors}


def _next(limits: Mapping[str, Limit], paths: Mapping[str, Path]) -> tuple[Limit, float, tuple[str, ...]] | None:
    """Which part goes next, when, and which others could as well; None where all hold."""
    here = {name: limit for name, limit in limits.items() if name in paths}
    shares = {name: limit.share(paths[name].first) for name, limit in here.items()}
    most = max(shares.values(), default=_ZERO)
    if most > 1:
        first, *alike = [name for name, share in shares.items() if share == most]
        return here[first], 0.0, tuple(alike)
    later = [(time, limit.part) for name, limit in here.items() for time in _reached(limit, paths[name])]
    if not later:
        return None
    time, name = min(later)
    return here[name], time, ()


def _reached(limit: Limit, path: Path) -> Iterator[float]:
    """The times at which a way passes a limit (seconds)."""
    for bound in ([limit.up] if limit.up is not None else []) + ([-limit.down] if limit.down is not None else []):
        terms = [(float(path.final - bound), 0.0), *((float(one), float(rate)) for one, rate in path.terms)]
        first = crossings(terms, starts_at_zero=bool(path.first == bound))[:1]
        # Just at its limit in the end it is never past it.
        yield from first if path.final != bound else [time for time in first if path.terms]


def _solved(sketch: Sketch, charges: Charges | None) -> SolvedNetwork:
    """The sketch solved exactly, from these charges where there are any."""
    reader = ValueReader()
    elements = [reader.element(part) for part in sketch.parts]
    units = symbol_units(elements)
    network = build(sketch, elements, Functions(tuple(units)) if units else Rationals())
    ideal = ideal_of(network)
    if faults := [*reader.faults, *contradictions(sketch, network, ideal)]:
        raise SketchFaults(faults)
    if charges is not None:
        network = holding(network, charges)
    return SolvedNetwork.of(sketch, network, ideal, Writing(sketch.figures, units), equivalents=False)
