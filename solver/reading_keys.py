"""Readings by their keys, as covers and requirements name them: "C1.voltage", "probe a b.capacitance"."""

from __future__ import annotations

from typing import Final

from solver.readings import Reading
from solver.solution import Solution

TIME_CONSTANT: Final = "time constant"


def reading_at(solution: Solution, key: str) -> Reading | None:
    """The reading of a solution that has this key; None where there is none."""
    owner, _, word = key.rpartition(".")
    match owner.split():
        case ["total"]:
            holder: object = solution.totals
        case ["joint", joint]:
            holder = solution.joints.get(joint)
        case ["probe", a, b]:
            holder = next((probe for probe in solution.probes if probe.between == (a, b)), None)
        case [part]:
            holder = solution.parts.get(part)
        case _:
            return None
    reading = getattr(holder, word, None) if word in getattr(holder, "__slots__", ()) else None
    return reading if isinstance(reading, Reading) else None


def words_of(key: str) -> str:
    """A key in words.

    >>> words_of("C1.voltage"), words_of("probe a b.capacitance")
    ('voltage of C1', 'capacitance between a and b')
    """
    owner, _, word = key.rpartition(".")
    match owner.split():
        case []:
            return word
        case ["total"]:
            return f"{word} in all"
        case ["joint", joint]:
            return f"{word} at joint {joint}"
        case ["probe", a, b]:
            return f"{word} between {a} and {b}"
    return f"{word} of {owner}"
