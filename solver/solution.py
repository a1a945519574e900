"""The solution of a sketch: plain attributes for a notebook, and the document that the web interface sends."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any, Literal

import orjson

from solver.checks import Checks
from solver.faults import Note
from solver.readings import PartReadings, Reading, entries
from solver.solution_document import solution_document


@dataclass(frozen=True, slots=True)
class Conductor:
    """All joints at one potential because wires and closed switches join them.

    `charge` is the sum of the plates' charges on it, None where no capacitor ends; `started` is what that sum was
    before anything was connected. It is `isolated` where only capacitors end, so that its charge cannot change.
    """

    name: str
    joints: tuple[str, ...]
    body: str
    potential: Reading
    charge: Reading | None
    started: Reading | None
    isolated: bool


@dataclass(frozen=True, slots=True)
class Joint:
    """A joint's potential, and the name of its conductor."""

    potential: Reading
    conductor: str


@dataclass(frozen=True, slots=True)
class Probe:
    """What is read between two joints; None where it is not determined, or not of this sort.

    `capacitance` where no conducting path joins the two, else `resistance`.
    """

    between: tuple[str, str]
    voltage: Reading | None
    capacitance: Reading | None
    resistance: Reading | None


@dataclass(frozen=True, slots=True)
class Totals:
    """Of the whole sheet: energy stored, power dissipated in resistances (the internal ones too), work of the
    batteries and energy lost while all settled. None where there is nothing to add up or it is not determined."""

    energy: Reading | None
    power: Reading | None
    work: Reading | None
    lost: Reading | None


@dataclass(frozen=True)
class Solution:
    """Every reading of a sketch.

    `method` is "exact", or "float" with the largest relative `residual` of an equation. Mappings keep the order of
    the sketch. `checks` has all checks, each made when it is come to; a document lists the first 12 of each kind.

    >>> from solver import Sketch, battery, capacitor
    >>> from solver import solve
    >>> solve(Sketch.of(battery("E1", "9 V", "a", "0"), capacitor("C1", "10 µF", "a", "0"))).parts["C1"].charge
    <charge 90.0 µC>
    """

    method: Literal["exact", "float"]
    residual: float | None
    joints: Mapping[str, Joint]
    conductors: Mapping[str, Conductor]
    parts: Mapping[str, PartReadings]
    probes: tuple[Probe, ...]
    totals: Totals
    checks: Checks
    notes: tuple[Note, ...]

    def document(self) -> dict[str, Any]:
        """The solution as the web interface sends it; what is not determined is absent."""
        return solution_document(self)

    def json(self) -> bytes:
        """The document as JSON text in UTF-8."""
        return orjson.dumps(self.document())

    def __repr__(self) -> str:
        lines = [f"<Solution, {self.method}"]
        for name, part in self.parts.items():
            told = ", ".join(f"{word} {reading.text}" for word, reading in entries(part))
            lines.append(f"  {name}: {told or 'nothing to read'}")
        return "\n".join(lines) + ">"
