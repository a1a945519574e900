"""One lot from the drawer: every part with a tolerance drawn somewhere within it, as a box of real parts would be.

Drawn evenly, for teaching: real lots are not even. A lot's number and a part's name decide where in its tolerance the
part lies, so that the same lot is the same everywhere, whatever else is on the sheet.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, replace
from hashlib import sha256
from typing import Any, Final

import flint

from solver.format import format_exact
from solver.kinds import KINDS
from solver.quantities import Quantity
from solver.readings import Reading, Writing
from solver.sketch import Part, Sketch
from solver.tolerance_text import TAKES_TOLERANCE, read_tolerance
from solver.value_faults import ValueFault
from solver.values import read_value

_STEPS: Final = 10_000
_FIGURES: Final = 5
"""Significant figures of a drawn value."""


@dataclass(frozen=True)
class Lot:
    """A lot: its number, the sketch with the values drawn, and each of them as a reading, by its part's name.

    The parts drawn have no tolerance any more, and the sketch no lot.
    """

    number: int
    sketch: Sketch
    values: Mapping[str, Reading]
    called: Mapping[str, Part]
    """The parts drawn, as they were typed."""

    def as_typed(self, sketch: Sketch) -> Sketch:
        """A sketch of the parts drawn with the values and tolerances that were typed."""
        parts = (
            part._replace(value=called.value, tolerance=called.tolerance)
            if (called := self.called.get(part.name))
            else part
            for part in sketch.parts
        )
        return replace(sketch, parts=tuple(parts))

    def document(self) -> dict[str, Any]:
        """The lot as the web interface sends it."""
        return {"number": self.number, "values": {name: value.document() for name, value in self.values.items()}}


def drawn(sketch: Sketch) -> Lot | None:
    """The lot that a sketch asks for; None where it asks for none. Values that are symbols or cannot be read stay.

    >>> from solver import battery, capacitor
    >>> parts = [battery("E1", "9 V", "a", "0"), capacitor("C1", "10 µF", "a", "0", tolerance="±10 %")]
    >>> drawn(replace(Sketch.of(*parts), lot=7)).sketch.parts[1].value
    '10.007 µF'
    """
    if sketch.lot is None:
        return None
    parts = {part.name: part for part in sketch.parts}
    values: dict[str, Reading] = {}
    loose = []
    for part in sketch.parts:
        value = _drawn(sketch.lot, part, part.value)
        if value is not None:
            values[part.name] = Reading(value, _quantity(part), Writing(sketch.figures))
            loose.append(part._replace(value=format_exact(value, _quantity(part).unit), tolerance=None))
        else:
            loose.append(part)
    stages = tuple(
        replace(
            stage, settings=tuple((name, _text(sketch.lot, parts.get(name), text)) for name, text in stage.settings)
        )
        for stage in sketch.stages
    )
    called = {name: parts[name] for name in values}
    return Lot(sketch.lot, replace(sketch, parts=tuple(loose), stages=stages, lot=None), values, called)


def _quantity(part: Part) -> Quantity:
    quantity = KINDS[part.kind].quantity
    assert quantity is not None
    return quantity


def _text(lot: int, part: Part | None, text: str) -> str:
    """A value that a stage sets, as the part of this lot has it: as far from what it is called as the part's own."""
    value = _drawn(lot, part, text) if part else None
    return text if part is None or value is None else format_exact(value, _quantity(part).unit)


def _drawn(lot: int, part: Part, text: str | None) -> flint.fmpq | None:
    if part.kind not in TAKES_TOLERANCE or part.tolerance is None or text is None:
        return None
    try:
        called, tolerance = read_value(text, _quantity(part)), read_tolerance(part.tolerance)
    except ValueFault:
        return None
    low, high = tolerance.ends(called.factor)
    if called.symbol is not None or not 0 < low < high:
        return None
    chance = int.from_bytes(sha256(f"{lot} {part.name}".encode()).digest()[:8], "big") % (_STEPS + 1)
    return _rounded(low + (high - low) * flint.fmpq(chance, _STEPS), called.factor)


def _rounded(value: flint.fmpq, called: flint.fmpq) -> flint.fmpq:
    """The value with few figures, rounded towards what the part is called and no further, so that it stays within."""
    scale = flint.fmpq(1)
    while value * scale >= 10**_FIGURES:
        scale /= 10
    while value * scale < 10 ** (_FIGURES - 1):
        scale *= 10
    scaled = value * scale
    if value > called:
        return max(called, flint.fmpq(scaled.floor()) / scale)
    return min(called, flint.fmpq(scaled.ceil()) / scale)
