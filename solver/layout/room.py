"""How much room parts take on the sheet, in grid steps: their symbols, and the words and readings beside them.

The sizes are those of the drawing (shared/kinds.json for the symbols): a label stands to the right of an upright part
and above a level one.
"""

from __future__ import annotations

from dataclasses import dataclass
from math import ceil
from typing import Final

from solver.layout.links import Link

STEP: Final = 24
"""Sheet units in one grid step."""

_LETTER: Final = {"name": 11.0, "index": 7.5, "value": 8.0}
"""Widths of a character in sheet units, from measuring digits and units in common fonts, rounded up."""


@dataclass(frozen=True, slots=True)
class Room:
    """Steps on either side of a part's line, `before` (left of an upright part, above a level one) and `after`, and the
    least length of the line."""

    before: int
    after: int
    length: int


_UPRIGHT: Final = {
    "capacitor": Room(2, 9, 6),
    "resistor": Room(2, 7, 6),
    "battery": Room(2, 7, 6),
    "switch": Room(2, 5, 6),
    "two-way switch": Room(3, 8, 6),
    "wire": Room(1, 1, 2),
}
_LEVEL: Final = {
    "capacitor": Room(5, 2, 11),
    "resistor": Room(4, 2, 11),
    "battery": Room(4, 2, 10),
    "switch": Room(4, 2, 9),
    "two-way switch": Room(5, 5, 9),
    "wire": Room(1, 1, 2),
}
_OFF: Final = {"capacitor": 58, "resistor": 25, "battery": 42, "switch": 30, "two-way switch": 78, "wire": 0}
"""Sheet units from an upright part's line to its label."""

UPRIGHT: Final = 1
LEVEL: Final = 0


def room_of(kind: str, axis: int) -> Room:
    """What a part of this kind usually takes when it is drawn upright or level."""
    return (_UPRIGHT if axis == UPRIGHT else _LEVEL)[kind]


def room(link: Link, axis: int) -> Room:
    """What a part takes when it is drawn upright or level; long words take more."""
    part = link.part
    usual = room_of(part.kind, axis)
    if part.kind == "wire":
        return usual
    words = _words(link)
    if axis == UPRIGHT:
        return Room(usual.before, max(usual.after, ceil((_OFF[part.kind] + words) / STEP)), usual.length)
    return Room(usual.before, usual.after, max(usual.length, ceil(words / STEP) + 2))


def _words(link: Link) -> float:
    """The width of a label's first line, in sheet units: name, value and what stands beside it."""
    part = link.part
    letters = len(part.name.rstrip("0123456789"))
    beside = "".join(
        f"{words} {text}"
        for words, text in (("", part.rated), (", starts at", part.initial), (", inside", part.internal))
        if text
    )
    value = part.value or ("closed" if part.kind == "switch" else "value?")
    return (
        _LETTER["name"] * letters
        + _LETTER["index"] * (len(part.name) - letters)
        + 6
        + _LETTER["value"] * len(value + beside)
    )
