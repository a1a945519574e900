"""Writes a solution as JSON text, straight from its readings: a large network has thousands of them.

Names of parts and joints need no backslashes, since the sketch's schema lets in only letters, digits and underscores.
"""

from __future__ import annotations

import json
from collections.abc import Iterable
from typing import TYPE_CHECKING, Any

from solver.checks import Check
from solver.readings import PartReadings, Reading, entries

if TYPE_CHECKING:
    from solver.solution import Conductor, Probe, Solution, Totals


def solution_text(solution: Solution) -> str:
    """The solution's document; what is not determined is absent from it."""
    return _object(
        ("method", f'"{solution.method}"'),
        ("residual", json.dumps(solution.residual)),
        (
            "joints",
            _object(
                *(
                    (name, f'{{"potential":{joint.potential.json()},"conductor":"{joint.conductor}"}}')
                    for name, joint in solution.joints.items()
                )
            ),
        ),
        (
            "conductors",
            _object(*((name, _conductor(conductor)) for name, conductor in solution.conductors.items())),
        ),
        ("parts", _object(*((name, _part(part)) for name, part in solution.parts.items()))),
        ("probes", _list(map(_probe, solution.probes))),
        ("totals", _part(solution.totals)),
        ("checks", _list(map(_check, solution.checks.shown()))),
        ("notes", _plain([note.document() for note in solution.notes])),
    )


def _plain(data: Any) -> str:
    return json.dumps(data, ensure_ascii=False, separators=(",", ":"))


def _object(*members: tuple[str, str]) -> str:
    return "{" + ",".join([f'"{name}":{text}' for name, text in members]) + "}"


def _list(texts: Iterable[str]) -> str:
    return "[" + ",".join(texts) + "]"


def _names(names: Iterable[str]) -> str:
    return _list([f'"{name}"' for name in names])


def _part(readings: PartReadings | Totals) -> str:
    members = [f'"{name}":{reading.json()}' for name, reading in entries(readings) if name != "passed"]
    return "{" + ",".join(members) + "}"


def _conductor(conductor: Conductor) -> str:
    members = [
        ("joints", _names(conductor.joints)),
        ("potential", conductor.potential.json()),
        ("isolated", "true" if conductor.isolated else "false"),
        ("body", f'"{conductor.body}"'),
    ]
    if conductor.charge is not None:
        members.append(("charge", conductor.charge.json()))
    return _object(*members)


def _probe(probe: Probe) -> str:
    def read(reading: Reading | None) -> str:
        return "null" if reading is None else reading.json()

    return _object(
        ("between", _names(probe.between)),
        ("voltage", read(probe.voltage)),
        ("capacitance", read(probe.capacitance)),
        ("resistance", read(probe.resistance)),
    )


def _check(check: Check) -> str:
    members = [
        ("kind", f'"{check.kind}"'),
        ("parts", _names(check.parts)),
        ("terms", _list([term.json() for term in check.terms])),
        ("sum", check.sum.json()),
    ]
    if check.conductor is not None:
        members.append(("conductor", f'"{check.conductor}"'))
    if check.start is not None:
        members.append(("start", check.start.json()))
    return _object(*members)
