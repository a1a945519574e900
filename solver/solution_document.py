"""A solution as the web interface sends it."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from solver.checks import Check
from solver.readings import PartReadings, Reading, entries

if TYPE_CHECKING:
    from solver.solution import Conductor, Probe, Solution, Totals


def solution_document(solution: Solution) -> dict[str, Any]:
    """The solution's document; what is not determined is absent from it."""
    return {
        "method": solution.method,
        "residual": solution.residual,
        "joints": {
            name: {"potential": joint.potential.document(), "conductor": joint.conductor}
            for name, joint in solution.joints.items()
        },
        "conductors": {name: _conductor(conductor) for name, conductor in solution.conductors.items()},
        "parts": {name: _read_of(readings) for name, readings in solution.parts.items()},
        "probes": [_probe(probe) for probe in solution.probes],
        "totals": _read_of(solution.totals),
        "checks": [_check(check) for check in solution.checks.shown()],
        "notes": [note.document() for note in solution.notes],
    }


def _read_of(readings: PartReadings | Totals) -> dict[str, Any]:
    return {name: reading.document() for name, reading in entries(readings) if name != "passed"}


def _conductor(conductor: Conductor) -> dict[str, Any]:
    document: dict[str, Any] = {
        "joints": list(conductor.joints),
        "potential": conductor.potential.document(),
        "isolated": conductor.isolated,
        "body": conductor.body,
    }
    if conductor.charge is not None:
        document["charge"] = conductor.charge.document()
    return document


def _probe(probe: Probe) -> dict[str, Any]:
    def read(reading: Reading | None) -> dict[str, Any] | None:
        return None if reading is None else reading.document()

    return {
        "between": list(probe.between),
        "voltage": read(probe.voltage),
        "capacitance": read(probe.capacitance),
        "resistance": read(probe.resistance),
    }


def _check(check: Check) -> dict[str, Any]:
    document: dict[str, Any] = {
        "kind": check.kind,
        "parts": list(check.parts),
        "terms": [term.document() for term in check.terms],
        "sum": check.sum.document(),
    }
    if check.conductor is not None:
        document["conductor"] = check.conductor
    if check.start is not None:
        document["start"] = check.start.document()
    return document
