"""The solution of a sketch: plain attributes for a notebook, and the document that the web interface sends."""

from __future__ import annotations

import json
from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any, Literal

from solver.faults import Note
from solver.readings import PartReadings, Reading, entries


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


@dataclass(frozen=True, slots=True)
class Check:
    """Terms that must add up to zero.

    `loop`: voltages round a loop, one term for each part. `charge`: the charges of the plates on an isolated
    conductor, one term for each part, and where it did not start neutral a last term that takes away `start`, the
    charge it started with. `energy`: the batteries' work, less the rise of the stored energy, less the energy lost
    (worked out by itself as ∑ ½C·(change of voltage)²).
    """

    kind: Literal["loop", "charge", "energy"]
    parts: tuple[str, ...]
    terms: tuple[Reading, ...]
    sum: Reading
    conductor: str | None = None
    start: Reading | None = None


@dataclass(frozen=True)
class Solution:
    """Every reading of a sketch.

    `method` is "exact", or "float" with the largest relative `residual` of an equation. Mappings keep the order of
    the sketch.
    """

    method: Literal["exact", "float"]
    residual: float | None
    joints: Mapping[str, Joint]
    conductors: Mapping[str, Conductor]
    parts: Mapping[str, PartReadings]
    probes: tuple[Probe, ...]
    totals: Totals
    checks: tuple[Check, ...]
    notes: tuple[Note, ...]

    def document(self) -> dict[str, Any]:
        """The solution as the web interface sends it; what is not determined is absent."""
        return {
            "method": self.method,
            "residual": self.residual,
            "joints": {
                name: {"potential": joint.potential.document(), "conductor": joint.conductor}
                for name, joint in self.joints.items()
            },
            "conductors": {name: _conductor(conductor) for name, conductor in self.conductors.items()},
            "parts": {name: _readings(part) for name, part in self.parts.items()},
            "probes": [_probe(probe) for probe in self.probes],
            "totals": {name: reading.document() for name, reading in entries(self.totals)},
            "checks": [_check(check) for check in self.checks],
            "notes": [note.document() for note in self.notes],
        }

    def json(self) -> bytes:
        """The document as JSON text in UTF-8."""
        return json.dumps(self.document(), ensure_ascii=False, separators=(",", ":")).encode()

    def __repr__(self) -> str:
        lines = [f"<Solution, {self.method}"]
        for name, part in self.parts.items():
            told = ", ".join(f"{word} {reading.text}" for word, reading in entries(part))
            lines.append(f"  {name}: {told or 'nothing to read'}")
        return "\n".join(lines) + ">"


def _readings(part: PartReadings) -> dict[str, Any]:
    return {name: reading.document() for name, reading in entries(part) if name != "passed"}


def _conductor(conductor: Conductor) -> dict[str, Any]:
    entry: dict[str, Any] = {
        "joints": list(conductor.joints),
        "potential": conductor.potential.document(),
        "isolated": conductor.isolated,
        "body": conductor.body,
    }
    if conductor.charge is not None:
        entry["charge"] = conductor.charge.document()
    return entry


def _probe(probe: Probe) -> dict[str, Any]:
    def sent(reading: Reading | None) -> dict[str, Any] | None:
        return None if reading is None else reading.document()

    return {
        "between": list(probe.between),
        "voltage": sent(probe.voltage),
        "capacitance": sent(probe.capacitance),
        "resistance": sent(probe.resistance),
    }


def _check(check: Check) -> dict[str, Any]:
    entry: dict[str, Any] = {
        "kind": check.kind,
        "parts": list(check.parts),
        "terms": [term.document() for term in check.terms],
        "sum": check.sum.document(),
    }
    if check.conductor is not None:
        entry["conductor"] = check.conductor
    if check.start is not None:
        entry["start"] = check.start.document()
    return entry
