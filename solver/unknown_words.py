"""Why no value of a part can make a reading what is required: in words a student learns from."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Final

import flint

from solver.kinds import KINDS
from solver.numerals import quoted
from solver.quantities import Quantity
from solver.reach import Reach, reach
from solver.reading_keys import words_of
from solver.readings import Reading
from solver.roots import equation, roots_of, univariate
from solver.unknown_conditions import Asked, Condition

_TOTAL: Final = {Quantity.CAPACITANCE: "capacitor", Quantity.RESISTANCE: "resistor"}


def why_not(asked: Asked, condition: Condition) -> str:
    """The reason, without a full stop; for a single unknown."""
    [part] = asked.unknown
    words = words_of(condition.requirement.reading)
    if condition.scalar is None:
        kind = KINDS[part.kind].word
        after, wanted = condition.requirement.after, quoted(condition.requirement.value)
        return f"from the smallest {kind} to the largest the {words} is never {wanted} after {after}"
    if condition.later is not None:
        return _in_time(condition, part.name, words)
    range_ = reach(univariate(condition.scalar.numerator, 0), univariate(condition.scalar.denominator, 0))
    return _range_in_words(asked, condition, words, range_) + _would_take(asked, condition)


def together(words: Sequence[str]) -> str:
    """The kinds of one or two unknown parts, as a sentence says that none of them can do something.

    >>> together(["capacitor"]), together(["resistor", "resistor"]), together(["battery", "capacitor"])
    ('capacitor', 'two resistors', 'battery with any capacitor')
    """
    first, *others = words
    if not others:
        return first
    plural = "batteries" if first == "battery" else f"{first}s"
    return f"two {plural}" if others == [first] else f"{first} with any {others[0]}"


def impossible_in_time(asked: Asked) -> str:
    """The reason where what is required lies outside of the reading's way, whatever the unknown is."""
    requirement = asked.required[0]
    first, final = asked.ends(0)
    words = words_of(requirement.reading)
    return (
        f"on its way from {first} to {final} the {words} is never {quoted(requirement.value)} after {requirement.after}"
    )


def _in_time(condition: Condition, name: str, words: str) -> str:
    requirement = condition.requirement
    return f"whatever {name} is, the {words} is not {quoted(requirement.value)} after {requirement.after}"


def _range_in_words(asked: Asked, condition: Condition, words: str, range_: Reach) -> str:
    [part] = asked.unknown

    def told(bound: flint.fmpq | None) -> str:
        return "" if bound is None else Reading(bound, condition.quantity, asked.writing).text

    low, high = told(range_.low), told(range_.high)
    if _TOTAL.get(condition.quantity) == part.kind and condition.wanted > 0:
        # Capacitances add up in parallel, resistances in series.
        adds, divides = ("in parallel", "in series") if part.kind == "capacitor" else ("in series", "in parallel")
        if range_.low and range_.high is None:
            return f"{adds} the total is always above {low}"
        if range_.low == 0 and range_.high is not None:
            return f"{divides} the total is always below {high}"
    if low == high and low:
        return f"the {words} is {low} whatever {part.name} is"
    if not low:
        return f"the {words} is always below {high}, whatever {part.name} is"
    if not high:
        return f"the {words} is always above {low}, whatever {part.name} is"
    return f"the {words} stays between {low} and {high}, whatever {part.name} is"


def _would_take(asked: Asked, condition: Condition) -> str:
    """What the equation asks for all the same: less than nothing."""
    [part] = asked.unknown
    assert condition.scalar is not None
    quantity = KINDS[part.kind].quantity
    assert quantity is not None
    each = equation(condition.scalar, condition.wanted)
    roots = [] if each.is_constant() else roots_of(univariate(each, 0))
    if len(roots) != 1 or not isinstance(roots[0], flint.fmpq) or roots[0] >= 0:
        return ""
    return f"; it would take {Reading(roots[0], quantity, asked.writing).text}"
