"""Questions of time: when a reading reaches a value, and what it is so long after the start.

With one time constant τ a reading goes as end + (start − end)·exp(−t/τ), so it has the value v at
t = τ·ln((start − end)/(v − end)): the number under the logarithm is exact. With several, all moments are found from the
sum of exponentials.
"""

from __future__ import annotations

from dataclasses import dataclass
from math import exp, isqrt, log, sqrt

import flint

from solver.arithmetic import Scalar
from solver.course import Course, OverTime
from solver.crossings import crossings
from solver.faults import UnknownReading
from solver.functions import number_of
from solver.numerals import AbsurdExponent, clean, quoted, take_numeral
from solver.quantities import Quantity
from solver.reading_keys import words_of
from solver.sketch import Question
from solver.transient import Curve
from solver.values import ValueFault, read_value


class NoAnswer(Exception):
    """A question that cannot be answered as it is asked; the text is a sentence for whoever asked."""


@dataclass(frozen=True)
class Passage:
    """A moment at which a reading has a value: `time` in seconds, None where it depends on symbols.

    With one time constant τ it is τ·ln(`ratio`), or half of that where `halved`; `ratio` is exact where it is rational.
    """

    time: float | None
    ratio: flint.fmpq | float | None = None
    halved: bool = False


@dataclass(frozen=True)
class When:
    """A reading and the value that it is to reach (SI units); `starts` says that it has it just after the start,
    `nears` that it comes ever nearer to it in the end; `passages` are the moments between."""

    reading: OverTime
    value: Scalar
    starts: bool
    nears: bool
    passages: tuple[Passage, ...]


@dataclass(frozen=True)
class Then:
    """A reading `after` so many seconds; `value` in SI units, None where symbols remain."""

    reading: OverTime
    after: flint.fmpq
    value: float | None


def looked_up(course: Course, question: Question) -> When | Then:
    """The answer to a question. Raises NoAnswer."""
    key = question.reading
    reading = course.reading(key)
    if reading is None:
        raise NoAnswer(UnknownReading(reading=key).text if "." not in key else _not_followed(key))
    if question.at is not None:
        return then(course, reading, read_time(question.at))
    return when(course, reading, read_wanted(question.reaches or "", reading))


def _not_followed(key: str) -> str:
    return f"The {words_of(key)} cannot be followed over time here."


def read_time(text: str) -> flint.fmpq:
    """A time as typed, in seconds. Raises NoAnswer."""
    if not text.strip():
        raise NoAnswer("Type how long after the start, such as 10 s or 5 ms.")
    try:
        value = read_value(text, Quantity.TIME)
    except ValueFault as fault:
        raise NoAnswer(f"“{quoted(fault.text)}” is not understood as a time: {fault.hint}.") from None
    if value.symbol is not None or value.factor < 0:
        raise NoAnswer(f"“{quoted(text)}” is no time after the start: give a number of seconds, such as 10 s.")
    return value.factor


def read_share(text: str) -> flint.fmpq | None:
    """A share as typed, "80 %" being 4/5; None where it is not one."""
    cleaned = clean(text.strip())
    if not cleaned.endswith("%"):
        return None
    try:
        numeral, rest = take_numeral(cleaned.removesuffix("%").rstrip())
    except (AbsurdExponent, ZeroDivisionError):
        return None
    return None if rest or numeral.implied else numeral.exact / 100


def read_wanted(text: str, reading: OverTime) -> Scalar:
    """A value as typed, in SI units; a share is one of the end value, or of the start's where it ends at zero.

    Raises NoAnswer.
    """
    if not text.strip():
        raise NoAnswer(f"Type what it is to reach, such as 6 {reading.quantity.unit}, or a share such as 80 %.")
    share = read_share(text)
    if share is not None:
        return (reading.final or reading.first) * share
    quantity = reading.quantity
    no_number = f"“{text}” is no number: give one, such as 6 {quantity.unit}, or a share, such as 50 %."
    try:
        value = read_value(text, quantity)
    except ValueFault as fault:
        if not any(character.isdigit() for character in text):
            raise NoAnswer(no_number) from None
        raise NoAnswer(
            f"“{quoted(fault.text)}” is not understood as {_with_article(quantity.word)}: {fault.hint}."
        ) from None
    if value.symbol is not None:
        raise NoAnswer(no_number)
    return reading.first * 0 + value.factor


def _with_article(word: str) -> str:
    return f"an {word}" if word[0] in "aeiou" else f"a {word}"


def when(course: Course, reading: OverTime, value: Scalar) -> When:
    """When a reading has a value (SI units). Raises NoAnswer where symbols leave it open."""
    starts, nears = reading.first == value, reading.final == value
    if not course.takes_time:
        return When(reading, value, starts, nears, ())
    passages: list[Passage] = []
    for target, exact in _targets(reading, value):
        passages += _passages(course, reading, value, target, exact=exact)
    if passages and passages[0].time is not None:
        passages.sort(key=lambda passage: passage.time or 0.0)
    return When(reading, value, starts, nears, tuple(passages))


def _targets(reading: OverTime, value: Scalar) -> list[tuple[Scalar | float, bool]]:
    """What the curve itself has to be: the value, or both roots of it where the reading goes with the square."""
    if reading.square is None:
        return [(value, True)]
    number = number_of(value / reading.square) if not isinstance(value, float) else None
    if number is None:
        raise NoAnswer("With symbols the square of a reading cannot be followed; give numbers.")
    if number < 0:
        return []
    top, bottom = isqrt(int(number.p)), isqrt(int(number.q))
    if top * top == number.p and bottom * bottom == number.q:
        whole = flint.fmpq(top, bottom)
        return [(whole, True), (-whole, True)] if whole else [(whole, True)]
    root = sqrt(float(number))
    return [(root, False), (-root, False)]


def _passages(
    course: Course, reading: OverTime, value: Scalar, target: Scalar | float, *, exact: bool
) -> list[Passage]:
    curve, constant = reading.curve, course.constant
    if constant is None:
        return _several(course, curve, target)
    amplitude = curve.first - curve.final
    if not amplitude:
        return []
    if not exact or isinstance(amplitude, float):
        return _rounded(course, reading, value, float(target))
    rest = target - curve.final
    if not rest:
        return []
    ratio = number_of(amplitude / rest) if not isinstance(amplitude / rest, flint.fmpq) else amplitude / rest
    if ratio is None:
        raise NoAnswer("Whether and when that is depends on the symbols: give numbers, or a share such as 80 %.")
    return [Passage(_time(course, ratio), ratio)] if ratio > 1 else []


def _rounded(course: Course, reading: OverTime, value: Scalar, target: float) -> list[Passage]:
    """Where the value is no rational number; with nothing left in the end the square of the ratio is one."""
    curve = reading.curve
    ratio = (float(curve.first) - float(curve.final)) / (target - float(curve.final))
    if ratio <= 1:
        return []
    if not curve.final and isinstance(value, flint.fmpq):
        # ln(a/b) = ½ ln(a²/b²), and a²/b² is rational.
        return [Passage(_time(course, ratio), reading.first / value, halved=True)]
    return [Passage(_time(course, ratio), ratio)]


def _time(course: Course, ratio: flint.fmpq | float) -> float | None:
    constant = course.constant
    number = constant if isinstance(constant, float) or constant is None else number_of(constant)
    return None if number is None else float(number) * log(float(ratio))


def _several(course: Course, curve: Curve, target: Scalar | float) -> list[Passage]:
    rest = float(curve.final - target) if not isinstance(target, float) else float(curve.final) - target
    terms = [(rest, 0.0), *zip(curve.amplitudes, course.decay.rates, strict=True)]
    return [Passage(time) for time in crossings(terms, starts_at_zero=bool(curve.first == target))]


def then(course: Course, reading: OverTime, after: flint.fmpq) -> Then:
    """What a reading is so many seconds after the start."""
    if not course.takes_time or after == 0:
        value = reading.first if isinstance(reading.first, float) else number_of(reading.first)
        return Then(reading, after, None if value is None else float(value))
    constant = course.constant
    if constant is not None and not isinstance(constant, float):
        first, final, rate = (number_of(each) for each in (reading.curve.first, reading.curve.final, 1 / constant))
        if first is None or final is None or rate is None:
            return Then(reading, after, None)
        own = float(final) + float(first - final) * exp(-float(rate * after))
    else:
        found = course.at(reading.curve, float(after))
        if found is None:
            return Then(reading, after, None)
        own = found
    if reading.square is None:
        return Then(reading, after, own)
    square = reading.square if isinstance(reading.square, float) else number_of(reading.square)
    return Then(reading, after, None if square is None else float(square) * own * own)
