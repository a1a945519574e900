"""What can be wrong with a say-it line: each mistake has its place in the text and one sentence, and all are here."""

from __future__ import annotations

from collections.abc import Callable, Iterable
from dataclasses import dataclass, replace
from typing import Any, Final

from solver.numerals import quoted
from solver.value_faults import ValueFault, ValueNotPositive, with_article

LONGEST: Final = 2000
"""Characters of a line; a network of 60 parts with names takes about 900."""
DEEPEST: Final = 20
"""Brackets within brackets."""
MOST: Final = 200
"""Parts that one line describes."""

EXAMPLE: Final = "9 V : 30 µF + (10 µF ∥ 5 µF)"


@dataclass(frozen=True)
class LineFault:
    """One mistake in a line.

    It lies at the characters from `start` up to, not including, `end` of the text as typed; the two are equal where
    something is missing. `instead` is whole lines that may have been meant.
    """

    code: str
    text: str
    start: int
    end: int
    instead: tuple[str, ...] = ()

    def document(self) -> dict[str, Any]:
        """The fault as the web interface sends it."""
        return {
            "code": self.code,
            "parts": [],
            "joints": [],
            "text": self.text,
            "at": [self.start, self.end],
            "instead": list(self.instead),
        }


class LineFaults(Exception):
    """A line that is not understood: everything that was found wrong, in the order of the text."""

    def __init__(self, faults: Iterable[LineFault]) -> None:
        self.faults = tuple(sorted(faults, key=lambda fault: (fault.start, fault.end)))
        super().__init__(" ".join(fault.text for fault in self.faults))

    def offering(self, fits: Callable[[str], bool]) -> LineFaults:
        """The same with those lines alone that fit, of all that its faults offer."""
        return LineFaults(
            replace(fault, instead=tuple(line for line in fault.instead if fits(line))) for fault in self.faults
        )


class Mistakes:
    """Collects the mistakes of one line while it is read."""

    def __init__(self) -> None:
        self.found: list[LineFault] = []

    def note(self, code: str, text: str, span: tuple[int, int]) -> None:
        """Keeps a mistake that does not stand in the way of reading on."""
        self.found.append(LineFault(code, text, *span))

    def are_within(self, span: tuple[int, int]) -> bool:
        """Whether one has been found there already."""
        return any(span[0] <= fault.start <= fault.end <= span[1] for fault in self.found)

    def stop(self, code: str, text: str, span: tuple[int, int], instead: tuple[str, ...] = ()) -> LineFaults:
        """The exception for a mistake that nothing can be read after."""
        return LineFaults([*self.found, LineFault(code, text, *span, instead=instead)])


def ended(sentence: str) -> str:
    """The sentence with its full stop, where it does not end in a mark already."""
    return sentence if sentence[-1] in ".…?!" else f"{sentence}."


# What a text is that makes no part, or a part in the wrong place.


def about_value(text: str, fault: ValueFault) -> str:
    """A value that is not understood.

    >>> from solver.quantities import Quantity
    >>> from solver.value_faults import ValueWrongUnit
    >>> about_value("5 A", ValueWrongUnit("5 A", None, "current"))
    '5 A is a current; a part takes F, Ω or V.'
    """
    if fault.found:
        return ended(fault.hint)
    if isinstance(fault, ValueNotPositive):
        return ended(f"{quoted(text)} cannot be: {fault.hint}")
    return ended(f"“{quoted(text)}” is not understood: {fault.hint}")


def not_positive(text: str, what: str) -> str:
    return f"{quoted(text)} as {with_article(what)} has to be more than zero."


def negative(text: str, what: str) -> str:
    return f"{quoted(text)} as {with_article(what)} cannot be less than zero."


def name_for_unknown() -> str:
    return "A value to be found goes with a unit or a name that says what the part is, such as ? µF or C1 = ?"


def too_long() -> str:
    return f"The line is too long: {LONGEST} characters at most."


def too_many() -> str:
    return f"Here the line passes {MOST} parts, the most that it takes."


def too_deep() -> str:
    return f"Brackets go {DEEPEST} deep at most."


def no_network() -> str:
    return f"Type a network, such as {EXAMPLE}"


def second_colon() -> str:
    return "A line has one colon, after its batteries."


def no_battery_before_colon() -> str:
    return "A battery has to stand before the colon, such as 9 V; without one, leave the colon out."


def not_a_battery(text: str, word: str) -> str:
    return f"{text} is {with_article(word)}: before the colon stand batteries, joined by +."


def batteries_side_by_side() -> str:
    return "Before the colon batteries stand one after the other, joined by +."


def battery_after_colon(text: str) -> str:
    return f"{text} is a battery: batteries stand before the colon, joined by +."


def battery_without_colon(text: str) -> str:
    return f"{text} is a battery: put it first, with a colon after it."


def mixed(series: str, parallel: str) -> str:
    return f"+ and ∥ are mixed here without brackets. Which is meant: {series}, or {parallel}?"


def mixed_at_large() -> str:
    return "+ and ∥ are mixed here without brackets: put brackets round what belongs together."


def nothing_before(sign: str) -> str:
    return f"Nothing stands before this {sign}."


def nothing_after(sign: str) -> str:
    return f"Nothing stands after this {sign}."


def empty_brackets() -> str:
    return "Nothing stands in these brackets."


def not_closed() -> str:
    return "This bracket is not closed."


def closed_by_another(opening: str, closing: str) -> str:
    return f"{closing} does not close {opening}: brackets open and close in pairs of one kind."


def closes_nothing() -> str:
    return "This bracket closes nothing."


def sign_missing() -> str:
    return "Between the two, + for series or ∥ for parallel is missing."


def which_joining(text: str) -> str:
    return f"Which is meant: {text} in series, or {text} in parallel?"


def joining_without_repeat(words: str) -> str:
    return f"“{words}” goes with a repeat, such as 3 × 10 µF {words}."


def repeat_of_none(count: str) -> str:
    return f"{count} of a part is not a network: a repeat begins at 2."


def name_on_repeat(name: str) -> str:
    return f"A repeat makes several parts, and {name} can be the name of one only."


def name_not_understood(name: str) -> str:
    return f"“{name}” cannot be a name: it begins with a letter; letters, digits and _ may follow, 20 in all."


def name_twice(name: str) -> str:
    return f"Two parts are called {name}; give one of them another name."


def name_on_wire() -> str:
    return "A wire has no name in a line."


def nothing_named(name: str) -> str:
    return f"What is {name}? Put its value after the = sign."


def unknown_extra(kind: str, takes: Iterable[str]) -> str:
    known = " or ".join(f"({words})" for words in takes)
    if not known:
        return f"Brackets after {with_article(kind)} say nothing; to join more, put + or ∥ before them."
    return f"Brackets after {with_article(kind)} can say {known}; to join more, put + or ∥ before them."


def extra_twice(words: str) -> str:
    return f"“{words}” is said twice."
