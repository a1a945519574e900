"""A worked solution: steps in words and formulas, each with the readings it arrives at and the network it leaves."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, field
from typing import Any

from solver.formula import Formula
from solver.readings import Reading
from solver.sketch import Sketch


@dataclass(frozen=True, slots=True)
class Way:
    """A way to work a network out: its name in addresses, and what a reader sees."""

    way: str
    title: str

    def document(self) -> dict[str, str]:
        """The way as the web interface sends it."""
        return {"way": self.way, "title": self.title}


@dataclass(frozen=True, slots=True)
class Line:
    """One line of a step: a formula, mostly a chain of equal sides."""

    formula: Formula

    def document(self) -> dict[str, Any]:
        """The formula in its three ways of writing."""
        return {"math": self.formula.math(), "latex": self.formula.latex(), "text": self.formula.text()}


@dataclass(frozen=True)
class Step:
    """One step: the parts and conductors it looks at, why it is right, its formulas and what they come to.

    `kind` tells steps apart for those who draw them ("series", "parallel", "whole", "back", …). `reason` is one
    sentence or a few. `readings` go by the keys of covers ("C2.charge"). `sketch` is the reduced network after the
    step, with the joints where they are on the sheet; None where the network stays as it was.
    """

    kind: str
    title: str
    parts: tuple[str, ...]
    conductors: tuple[str, ...]
    reason: str
    lines: tuple[Line, ...] = ()
    readings: Mapping[str, Reading] = field(default_factory=dict)
    sketch: Sketch | None = None

    def document(self, sketch: dict[str, Any] | None = None) -> dict[str, Any]:
        """The step as the web interface sends it; `sketch` is the document of its own sketch, if there is one yet."""
        return {
            "kind": self.kind,
            "title": self.title,
            "parts": list(self.parts),
            "conductors": list(self.conductors),
            "reason": self.reason,
            "lines": [line.document() for line in self.lines],
            "readings": {key: reading.document() for key, reading in self.readings.items()},
            "sketch": sketch or (None if self.sketch is None else self.sketch.document()),
        }


@dataclass(frozen=True, slots=True)
class Offer:
    """A way, with its opening sentences and its steps for when they are asked for."""

    way: Way
    opening: Callable[[], str]
    steps: Callable[[], Sequence[Step]]


@dataclass(frozen=True)
class WorkedSolution:
    """All steps of one way, and which other ways there are."""

    way: str
    ways: tuple[Way, ...]
    opening: str
    closing: str
    steps: tuple[Step, ...]

    def document(self) -> dict[str, Any]:
        """The worked solution as the web interface sends it."""
        # A network is drawn on the way in and again on the way back.
        drawn = {id(step.sketch): step.sketch for step in self.steps if step.sketch is not None}
        sketches = {key: sketch.document() for key, sketch in drawn.items()}
        return {
            "way": self.way,
            "ways": [way.document() for way in self.ways],
            "opening": self.opening,
            "closing": self.closing,
            "steps": [step.document(sketches.get(id(step.sketch))) for step in self.steps],
        }
