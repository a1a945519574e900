"""What can be wrong with the text of a value, each with a name, and the short line that helps whoever is typing.

A fault here knows the text and the place it was meant for, never a part: the sketch adds that.
"""

from __future__ import annotations

import enum
from typing import Final

from solver.numerals import quoted
from solver.quantities import Quantity


class Reason(enum.Enum):
    """Why a text is not understood."""

    EMPTY = "empty"
    TOO_LONG = "too long"
    UNIT_MISSING = "unit missing"
    NUMBER_MISSING = "number missing"
    LONE_PREFIX = "a prefix without its unit"
    SEPARATORS = "separators between thousands"
    DIVIDED_BY_ZERO = "divided by zero"
    VOLTS_OR_SYMBOL = "volts or a symbol"
    OLD_MICRO = "small mf, once written for microfarads"
    SUBSCRIPT = "letters after a letter"
    SYMBOL_UNTOLD = "a symbol that could stand for anything"
    ASKED = "a question mark alone"
    OTHER = "something else"


LONGEST: Final = 60
LONGEST_BUILD: Final = 160
_EXAMPLE_UNITS: Final = {Quantity.CAPACITANCE: "µF"}
_OWNERS: Final = {Quantity.CAPACITANCE: "a capacitor", Quantity.EMF: "a battery"}


class ValueFault(Exception):
    """A text that cannot be a value here.

    `code` is the error's code in shared/messages.json, `text` what was typed, `place` the quantity wanted there (None
    in the typing field, where the text itself tells), `found` the word of the quantity it is instead, where that is
    the trouble, and `hint` one short line for the typing field.
    """

    code: str = "value-not-understood"

    def __init__(self, text: str, place: Quantity | None, hint: str, found: str | None = None) -> None:
        super().__init__(hint)
        self.text = text
        self.place = place
        self.hint = hint
        self.found = found


class ValueNotUnderstood(ValueFault):
    """No reading of the text is known: `reason` says why, with the `number` that was read and what followed it."""

    code = "value-not-understood"

    def __init__(self, text: str, place: Quantity | None, reason: Reason, number: str = "", rest: str = "") -> None:
        super().__init__(text, place, _not_understood(place, reason, number, rest))
        self.reason = reason


class ValueWrongUnit(ValueFault):
    """The text is a value, but of another quantity: its word is `found`."""

    code = "value-wrong-unit"

    def __init__(self, text: str, place: Quantity | None, found: str) -> None:
        wanted = f"{with_article(place.word)} in {place.unit_word}s goes here" if place else "a part takes F, Ω or V"
        super().__init__(text, place, f"{quoted(text)} is {with_article(found)}; {wanted}", found)


class ValueOutOfRange(ValueFault):
    """The number is beyond 10⁻³⁰ … 10³⁰ in SI units."""

    code = "value-out-of-range"

    def __init__(self, text: str, place: Quantity | None) -> None:
        super().__init__(text, place, "far outside anything that could be built")


class BuildNotUnderstood(ValueFault):
    """A capacitor's build in words that is not understood, or cannot be."""

    code = "value-not-understood"


class ToleranceNotUnderstood(ValueFault):
    """A tolerance, or a marking, that is none; `negative` where it was written as less than nothing."""

    code = "tolerance-not-understood"

    def __init__(self, text: str, *, negative: bool = False, marking: bool = False) -> None:
        hint = "a tolerance is written like ±10 %"
        if negative:
            hint = "a tolerance cannot be negative; write it like ±10 %"
        if marking:
            hint = "a marking on a capacitor is three digits, such as 104 or 473K, or has an R in it, such as 4R7"
        super().__init__(text, None, hint)


class ToleranceOutOfRange(ValueFault):
    """A tolerance that would let a value be nothing at all, or more than twice as large."""

    code = "tolerance-out-of-range"

    def __init__(self, text: str) -> None:
        super().__init__(text, None, "a tolerance has to be below 100 %, or nothing would be left of the value")


class ToleranceNotHere(ValueFault):
    """A tolerance on a part that takes none."""

    code = "tolerance-not-understood"

    def __init__(self, text: str, owner: str) -> None:
        super().__init__(text, None, f"{owner} takes no tolerance here: only capacitors and resistors do")


class ValueNotPositive(ValueFault):
    """A capacitance, resistance or rated voltage of zero or less; `what` says which, where its quantity does not."""

    code = "value-not-positive"

    def __init__(self, text: str, place: Quantity, what: str = "") -> None:
        super().__init__(text, place, f"{what or with_article(place.word)} has to be more than zero")


def with_article(word: str) -> str:
    """The word with "a" or "an" before it.

    >>> with_article("emf"), with_article("charge")
    ('an emf', 'a charge')
    """
    return f"an {word}" if word[0] in "aeiou" else f"a {word}"


def _not_understood(place: Quantity | None, reason: Reason, number: str, rest: str) -> str:
    number = quoted(number)
    unit = _EXAMPLE_UNITS.get(place, place.unit) if place else "µF"
    match reason:
        case Reason.EMPTY:
            return f"type a value, such as 10 {unit}"
        case Reason.TOO_LONG:
            return f"too long: a value has at most {LONGEST} characters"
        case Reason.UNIT_MISSING:
            # Who writes a power of ten has done the prefix's work already.
            plain = "×" in number
            if place is None:
                return f"{number} what? {'F' if plain else 'µF'}, V, Ω…"
            owner = _OWNERS.get(place, with_article(place.word))
            return (
                f"{number} what? For {owner} add {place.unit_word}s, such as {number} {place.unit if plain else unit}"
            )
        case Reason.NUMBER_MISSING:
            return f"how many {rest}? Put a number before it"
        case Reason.LONE_PREFIX if number:
            units = (place.unit,) if place else ("F", "V", "Ω")
            return f"{number} {rest} what? " + ", ".join(f"{rest}{unit}" for unit in units)
        case Reason.LONE_PREFIX:
            return f"{rest} is short for a power of ten: put a number before it and a unit after it"
        case Reason.SEPARATORS:
            return "write the number without marks between the thousands"
        case Reason.DIVIDED_BY_ZERO:
            return "nothing can be divided by zero"
        case Reason.VOLTS_OR_SYMBOL:
            return "for volts put the fraction first, 2/3 V; for a symbol give it a subscript, 2V_0/3"
        case Reason.OLD_MICRO:
            return f"{number} µF or {number} mF? Small mf could be either"
        case Reason.SUBSCRIPT:
            return f"a symbol is one letter; a subscript goes after _, such as {rest[0]}_{rest[1:9]}"
        case Reason.SYMBOL_UNTOLD:
            return f"{rest} could stand for anything: begin with C, R or V, such as C_{rest[0]}"
        case Reason.ASKED:
            return "? of what? For a value that is to be found type ? µF, ? V or ? Ω"
        case Reason.OTHER if place is None:
            return "a number and a unit, such as 22 µF, 9 V or 1.5 kΩ, or the word switch"
        case Reason.OTHER:
            return f"a number and a unit, such as 10 {unit}"
