"""Answers to the questions of time on a sheet: a sentence each, and the logarithm or the exponential they come from."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Any, Final

import flint

from solver.arithmetic import Scalar
from solver.course import Course, OverTime
from solver.faults import listing
from solver.formula import Amount, Formula, Fraction, Number, Product, Sum, Symbol, difference
from solver.formula_functions import Exponential, pure, times_logarithm
from solver.moments import NoAnswer, Passage, Then, When, looked_up
from solver.quantities import Quantity
from solver.reading_keys import words_of
from solver.readings import Reading, Writing
from solver.sketch import Question
from solver.solving import SolvedNetwork
from solver.step_teller import chain
from solver.transient import TooManyTimeConstants
from solver.worked import Line

TAU: Final = Symbol("τ")
TIME: Final = Symbol("t")
_TOO_MANY: Final = (
    "This network has too many time constants for its course to be worked out; with symbols, one at most."
)


@dataclass(frozen=True)
class Answer:
    """The answer to a question: a sentence, its formulas, the moments that it speaks of, and the value at one of them.

    `is_answered` tells whether the question could be understood and answered at all.
    """

    question: Question
    text: str
    lines: tuple[Line, ...] = ()
    times: tuple[Reading, ...] = ()
    value: Reading | None = None
    is_answered: bool = True

    def document(self) -> dict[str, Any]:
        """The answer as the web interface sends it."""
        return {
            **self.question.document(),
            "text": self.text,
            "lines": [line.document() for line in self.lines],
            "times": [time.document() for time in self.times],
            "value": None if self.value is None else self.value.document(),
            "answered": self.is_answered,
        }


def answers_of(questions: Sequence[Question], solved: SolvedNetwork) -> tuple[Answer, ...]:
    """The answers, for the course of a network from the moment at which its parts are connected."""
    try:
        course = Course(solved.outcome, solved.over_time)
    except (TooManyTimeConstants, ArithmeticError):
        return tuple(Answer(question, _TOO_MANY, is_answered=False) for question in questions)
    return tuple(answer_of(course, question, solved.writing) for question in questions)


def answer_of(course: Course, question: Question, writing: Writing) -> Answer:
    """The answer to one question."""
    try:
        found = looked_up(course, question)
    except NoAnswer as refusal:
        return Answer(question, str(refusal), is_answered=False)
    except TooManyTimeConstants:
        return Answer(question, _TOO_MANY, is_answered=False)
    if isinstance(found, Then):
        return _then(course, question, found, writing)
    return _when(course, question, found, writing)


def _when(course: Course, question: Question, found: When, writing: Writing) -> Answer:
    told = _Told(found.reading, question.reading, writing)
    value = told.text(found.value)
    times = tuple(
        Reading(passage.time, Quantity.TIME, writing) for passage in found.passages if passage.time is not None
    )
    lines = tuple(line for passage in found.passages if (line := logarithm_line(course, passage, writing)))
    after = [f"after {time.text}" for time in times]
    if found.passages and not times:
        return Answer(question, f"{told.name} is {value} at a time that depends on the symbols.", lines)
    if not found.passages:
        return Answer(question, told.never(course, found, value))
    if found.starts:
        text = f"{told.name} is {value} at the very start, and again {listing(after)}."
    elif len(after) == 1:
        text = f"{told.name} reaches {value} {after[0]}."
    else:
        often = "twice" if len(after) == 2 else f"{len(after)} times"
        text = f"{told.name} is {value} {often}: {listing(after)}."
    return Answer(question, text, lines, times)


def logarithm_line(course: Course, passage: Passage, writing: Writing) -> Line | None:
    """t = τ ln 5 = 2.00 s × ln 5 = 3.22 s; None where there are several time constants."""
    constant = course.constant
    if constant is None or passage.ratio is None:
        return None
    ratio = pure(passage.ratio, writing.figures)
    amount = Amount(Reading(constant, Quantity.TIME, writing))
    sides: list[Formula] = [
        times_logarithm(Fraction(TAU, Number(2)) if passage.halved else TAU, ratio),
        times_logarithm(Fraction(amount, Number(2)) if passage.halved else amount, ratio),
    ]
    if passage.time is not None:
        sides.append(Amount(Reading(passage.time, Quantity.TIME, writing)))
    return chain(TIME, *sides)


def _then(course: Course, question: Question, found: Then, writing: Writing) -> Answer:
    after = Reading(found.after, Quantity.TIME, writing)
    if found.value is None:
        return Answer(question, "With symbols its value at a time has no number.", _lines_then(course, found, writing))
    value = Reading(found.value, found.reading.quantity, writing)
    text = f"After {after.text} the {words_of(question.reading)} is {value.text}."
    if found.after == 0:
        text = f"Just after the start the {words_of(question.reading)} is {value.text}."
    elif not course.takes_time or found.reading.curve.first == found.reading.curve.final:
        text = f"The {words_of(question.reading)} is {value.text} all the time."
    return Answer(question, text, _lines_then(course, found, writing), (after,), value)


def _lines_then(course: Course, found: Then, writing: Writing) -> tuple[Line, ...]:
    return exponential_lines(course, found, writing) if found.after else ()


def exponential_lines(course: Course, found: Then, writing: Writing) -> tuple[Line, ...]:
    """The value as an exponential with numbers; nothing where there are several time constants or nothing changes."""
    constant, reading = course.constant, found.reading
    first, final = reading.curve.first, reading.curve.final
    if constant is None or reading.square is not None or first == final:
        return ()
    exponent = Fraction(
        Amount(Reading(found.after, Quantity.TIME, writing)), Amount(Reading(constant, Quantity.TIME, writing))
    )
    sides = [settling(reading, Exponential(exponent), writing)]
    if found.value is not None:
        sides.append(Amount(Reading(found.value, reading.quantity, writing)))
    letter = Symbol(_LETTERS[reading.quantity])
    return (chain(letter, *sides),)


_LETTERS: Final = {
    Quantity.VOLTAGE: "V",
    Quantity.POTENTIAL: "V",
    Quantity.CHARGE: "Q",
    Quantity.CURRENT: "I",
}


def settling(reading: OverTime, decaying: Exponential, writing: Writing) -> Formula:
    """end + (start − end) times what is decaying, with numbers and in the shortest form."""

    def amount(scalar: Scalar) -> Formula:
        return Amount(Reading(scalar, reading.quantity, writing))

    first, final = reading.curve.first, reading.curve.final
    if not final:
        return Product(amount(first), decaying)
    if not first:
        return Product(amount(final), difference(Number(1), decaying))
    change = amount(first - final)
    if change.text().startswith("−"):
        return difference(amount(final), Product(amount(final - first), decaying))
    return Sum(amount(final), Product(change, decaying))


class _Told:
    """Words for one reading."""

    def __init__(self, reading: OverTime, key: str, writing: Writing) -> None:
        self._reading: Final = reading
        self._writing: Final = writing
        self.name: Final = f"The {words_of(key)}"

    def text(self, scalar: Scalar) -> str:
        return Reading(scalar, self._reading.quantity, self._writing).text

    def never(self, course: Course, found: When, value: str) -> str:
        """Why a value is not reached after the start."""
        reading = self._reading
        first, final = self.text(reading.first), self.text(reading.final)
        if not course.takes_time:
            told = f"{self.name} is {final} all the time: nothing here takes time."
            return told if found.starts else f"{told[:-1]}, so it never reaches {value}."
        if reading.curve.first == reading.curve.final and course.constant is not None:
            return f"{self.name} is {final} all the time" + ("." if found.starts else f", so it never reaches {value}.")
        if found.starts and found.nears:
            return f"{self.name} is {value} at the very start, and comes near it again only in the end."
        if found.starts:
            return f"{self.name} is {value} at the very start, and never again."
        if found.nears:
            return f"{self.name} comes nearer and nearer to {value}, and never quite reaches it."
        low, high = self._extremes(course)
        if {low, high} == {first, final}:
            return f"{self.name} never reaches {value}: it goes from {first} to {final}."
        return f"{self.name} never reaches {value}: it stays between {low} and {high}."

    def _extremes(self, course: Course) -> tuple[str, str]:
        reading = self._reading
        if course.constant is not None:
            return self.text(reading.first), self.text(reading.final)
        low, high = course.extremes(reading.curve)
        if reading.square is not None:
            square = float(reading.square)
            ends = sorted((square * low * low, square * high * high))
            low, high = (0.0 if low < 0 < high else ends[0]), ends[1]
        return tuple(self.text(_exact(end)) for end in (low, high))  # type: ignore[return-value]


def _exact(value: float) -> flint.fmpq:
    return flint.fmpq(*value.as_integer_ratio())
