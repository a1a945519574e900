"""What can be wrong with a comparison beside what is wrong with a sketch, each fault with its sentence."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Any, Final

from solver.faults import listing

MOST_PARTS: Final = 12
"""Capacitors and resistors whose readings stand beside one another."""
FEWEST_COLUMNS: Final = 2
MOST_COLUMNS: Final = 3


@dataclass(frozen=True)
class ComparisonFault(Exception):
    """Why there is nothing to compare: a code, the parts concerned, one sentence."""

    code: str
    text: str
    parts: tuple[str, ...] = ()

    def document(self) -> dict[str, Any]:
        """The fault as the web interface sends it."""
        return {"code": self.code, "parts": list(self.parts), "joints": [], "text": self.text}


def nothing_to_compare() -> ComparisonFault:
    """A sketch without capacitors and resistors."""
    return ComparisonFault(
        "nothing-to-compare", "There is no capacitor and no resistor on this sheet, so there is nothing to compare."
    )


def unknown_parts(names: Sequence[str]) -> ComparisonFault:
    """Parts that are asked for and are no capacitors or resistors of the sketch, or are asked for twice."""
    return ComparisonFault(
        "part-not-comparable",
        f"{listing(names)}: only capacitors and resistors on the sheet can be compared, each once.",
        tuple(names),
    )


def too_many_parts(names: Sequence[str]) -> ComparisonFault:
    """More parts than a table can hold for a class to read."""
    return ComparisonFault(
        "too-many-to-compare",
        f"Up to {MOST_PARTS} parts can be compared at once, and {len(names)} are chosen: take some out.",
        tuple(names),
    )


def unknown_change(names: Sequence[str]) -> ComparisonFault:
    """Changes of the copy that concern no part, or give a part what its kind does not have."""
    return ComparisonFault(
        "change-not-possible",
        f"{listing(names)}: the copy can only change what its own parts have, a value or the state of a switch.",
        tuple(names),
    )
