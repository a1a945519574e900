"""Values as people write them: reads "22 µF", "4k7" or "3/2 R" into an exact value, and writes one back tidily.

Nothing typed is ever evaluated: written.py takes a text apart, and every number is an exact rational from the start.
"""

from __future__ import annotations

import re
from dataclasses import dataclass, replace
from functools import lru_cache
from typing import Final

import flint

from solver import feedback
from solver.geometry import BuildFault, asks_size, is_build, read_build
from solver.kinds import KINDS
from solver.numerals import clean
from solver.open_build import open_build
from solver.quantities import Quantity
from solver.rated_text import split_rating
from solver.tidied import tidied
from solver.tolerance_text import TAKES_TOLERANCE, Tolerance, offered_marking, split_tolerance
from solver.value_faults import (
    LONGEST,
    LONGEST_BUILD,
    BuildNotUnderstood,
    Reason,
    ToleranceNotHere,
    ValueFault,
    ValueNotPositive,
    ValueNotUnderstood,
    ValueOutOfRange,
    ValueWrongUnit,
    with_article,
)
from solver.written import Written, read_written

__all__ = [
    "UNKNOWN",
    "TypedText",
    "Value",
    "ValueFault",
    "ValueNotPositive",
    "ValueNotUnderstood",
    "ValueOutOfRange",
    "ValueWrongUnit",
    "asked_kind",
    "fault_of_size",
    "read_text",
    "read_value",
    "tidy",
]

UNKNOWN: Final = "?"
"""Stands for a value that is to be found from what readings have to be."""
_ASKED: Final = re.compile(r"\?\s*([^\W\d_]{1,8})")
_VOLTS: Final = frozenset({Quantity.EMF, Quantity.POTENTIAL, Quantity.VOLTAGE})
_JOULES: Final = frozenset({Quantity.ENERGY, Quantity.WORK})
# What a value is, in a word → the kind of part that it makes.
_KINDS_MADE: Final = {kind.quantity.word: kind for kind in KINDS.values() if kind.quantity} | {
    Quantity.VOLTAGE.word: KINDS["battery"]
}


@dataclass(frozen=True)
class Value:
    """An exact value: `factor` × `symbol`, in SI units, or `factor` alone where `symbol` is None.

    `text` is as typed, without spaces round it. `quantity` is what it is a value of; None only where neither the place
    nor the text tells. Sign and size are not judged here.
    """

    text: str
    quantity: Quantity | None
    factor: flint.fmpq
    symbol: str | None = None


@dataclass(frozen=True)
class TypedText:
    """What a text in the typing field makes.

    `kind` is the kind of part, None where it makes none yet; `feedback` one short line for whoever types; `tidied` the
    text as it will stand on the part ("" for none and for a wire); `closed` tells a switch's state; `fault` is what
    is wrong where `kind` is None; `tolerance` is what was typed with a value, which is then without it, and `rated` the
    rated voltage typed behind a capacitor's.
    """

    kind: str | None
    value: Value | None
    feedback: str
    tidied: str = ""
    closed: bool | None = None
    fault: ValueFault | None = None
    tolerance: Tolerance | None = None
    rated: str | None = None


@lru_cache(maxsize=8192)
def read_value(text: str, quantity: Quantity) -> Value:
    """Reads a value where its quantity is known. The factor is in the quantity's SI unit, exact.

    Raises ValueNotUnderstood, ValueWrongUnit (with the word of what was found) and ValueOutOfRange.

    >>> read_value("4,70 nF", Quantity.CAPACITANCE).factor
    47/10000000000
    >>> value = read_value("3/2 R", Quantity.RESISTANCE)
    >>> value.factor, value.symbol
    (3/2, 'R')
    >>> read_value("9 V", Quantity.CAPACITANCE)
    Traceback (most recent call last):
    solver.value_faults.ValueWrongUnit: 9 V is a voltage; a capacitance in farads goes here
    """
    if quantity is Quantity.CAPACITANCE and is_build(text):
        return _built(text)
    written = read_written(text, quantity)
    if written.quantity is not None and not _suits(written.quantity, quantity, is_symbol=written.symbol is not None):
        raise ValueWrongUnit(text.strip(), quantity, written.quantity)
    return Value(text.strip(), quantity, written.factor, written.symbol)


def read_text(text: str) -> TypedText:
    """Reads a text of the typing field, where the text decides which part it makes. Raises nothing: a text that makes
    no part has `kind` None, a helpful line and the fault.

    >>> read_text("22 µF").feedback
    'F makes it a capacitor'
    >>> read_text("4k7").feedback, read_text("22").feedback
    ('read as 4.7 kΩ: a resistor', '22 what? µF, V, Ω…')
    >>> read_text("marked 104").tidied, read_text("10 µF 5%").tolerance.text
    ('100 nF', '±5 %')
    """
    typed = _read_tolerant(text)
    if typed.kind is None and (pieces := split_rating(text)):
        return _with_rating(typed, *pieces)
    return typed


def asked_kind(text: str) -> str | None:
    """The kind of part whose value a “?” before a unit asks for; None for any other text.

    >>> asked_kind("? µF"), asked_kind("?kΩ"), asked_kind("?"), asked_kind("? C")
    ('capacitor', 'resistor', None, None)
    """
    found = _ASKED.fullmatch(text.strip())
    one = _read_plain(f"1 {found[1]}") if found else None
    return one.kind if one and one.value and one.value.symbol is None else None


def _with_rating(whole: TypedText, value: str, rated: str) -> TypedText:
    """The capacitor of this value with this rated voltage; as the whole text was read, where that is none."""
    typed = _read_tolerant(value)
    if typed.kind != "capacitor":
        return whole
    try:
        rating = read_rating(rated)
    except ValueFault as fault:
        return TypedText(None, None, fault.hint, fault=fault)
    worth = f"{typed.tidied} {typed.tolerance.text}" if typed.tolerance else typed.tidied
    return replace(typed, feedback=f"{worth}, rated {rating}: a capacitor", rated=rating)


def read_rating(text: str) -> str:
    """A rated voltage, or how much a polarised capacitor stands reversed, in its tidy spelling. Raises ValueFault, also
    for a voltage of zero or less.

    >>> read_rating("16v")
    '16 V'
    """
    value = read_value(text, Quantity.VOLTAGE)
    if value.factor <= 0:
        raise ValueNotPositive(value.text, Quantity.VOLTAGE, "a rated voltage")
    return tidy(value)


def _read_tolerant(text: str) -> TypedText:
    try:
        plain, tolerance = split_tolerance(text, None)
    except ValueFault as fault:
        return TypedText(None, None, fault.hint, fault=fault)
    read = _read_plain(plain)
    if plain == text and (marked := offered_marking(text)):
        return replace(read, feedback=f"{read.feedback}; for a capacitor of {marked} type “marked {text.strip()}”")
    if tolerance is not None and read.kind is not None and read.kind not in TAKES_TOLERANCE:
        none = ToleranceNotHere(text.strip(), with_article(KINDS[read.kind].word))
        return TypedText(None, None, none.hint, fault=none)
    if read.kind is None or (tolerance is None and plain == text):
        return read
    if plain.strip() not in text:
        line = f"the marking means {read.tidied}{f' {tolerance.text}' if tolerance else ''}: a capacitor"
        return replace(read, feedback=line, tolerance=tolerance)
    return replace(read, feedback=f"{read.feedback}, {tolerance.text if tolerance else ''}", tolerance=tolerance)


def _read_plain(text: str) -> TypedText:
    typed = text.strip()
    if asked := asked_kind(typed):
        return TypedText(asked, None, f"to be found: {with_article(KINDS[asked].word)}", UNKNOWN)
    if typed == UNKNOWN:
        bare = ValueNotUnderstood(typed, None, Reason.ASKED)
        return TypedText(None, None, bare.hint, fault=bare)
    word = clean(typed[:LONGEST]).lower()
    if word in feedback.WORDS and len(typed) <= LONGEST:
        kind, closed = feedback.WORDS[word]
        spelling = "closed switch" if closed else kind if word else ""
        return TypedText(kind, None, feedback.about_word(word), spelling, closed)
    if is_build(typed):
        return _typed_build(typed)
    try:
        written = read_written(typed, None)
    except ValueFault as fault:
        return _no_part(word, fault)
    made = _KINDS_MADE.get(written.quantity or "")
    if made is None:
        return _no_part(word, _fault_of_no_part(typed, written))
    tidy_text = tidied(written, typed, made.quantity)
    value = Value(typed, made.quantity, written.factor, written.symbol)
    if wrong := fault_of_size(value):
        return TypedText(None, None, wrong.hint, fault=wrong)
    return TypedText(made.name, value, feedback.about_value(written, typed, tidy_text, made), tidy_text)


def _built(text: str) -> Value:
    """The capacitance of a build in words. Raises BuildNotUnderstood."""
    typed = text.strip()
    if len(typed) > LONGEST_BUILD:
        told = f"too long: a build has at most {LONGEST_BUILD} characters"
        raise BuildNotUnderstood(typed, Quantity.CAPACITANCE, told)
    try:
        return Value(typed, Quantity.CAPACITANCE, read_build(typed).capacitance)
    except BuildFault as fault:
        raise BuildNotUnderstood(typed, Quantity.CAPACITANCE, str(fault)) from None


def _typed_build(typed: str) -> TypedText:
    try:
        if len(typed) <= LONGEST_BUILD and asks_size(typed):
            return TypedText("capacitor", None, feedback.about_open_build(open_build(typed).word), typed)
        value = _built(typed)
    except ValueFault as fault:
        return TypedText(None, None, fault.hint, fault=fault)
    return TypedText("capacitor", value, feedback.about_build(value.factor), typed)


def fault_of_size(value: Value) -> ValueFault | None:
    """What is wrong with a capacitance or resistance as the value of a part; None where it is more than zero.

    >>> fault_of_size(read_value("-5 µF", Quantity.CAPACITANCE))
    ValueNotPositive('a capacitance has to be more than zero')
    """
    if value.quantity in (Quantity.CAPACITANCE, Quantity.RESISTANCE) and value.factor <= 0:
        return ValueNotPositive(value.text, value.quantity)
    return None


def _fault_of_no_part(typed: str, written: Written) -> ValueFault:
    if written.symbol:
        return ValueNotUnderstood(typed, None, Reason.SYMBOL_UNTOLD, rest=written.symbol)
    return ValueWrongUnit(typed, None, written.quantity or "")


def _no_part(word: str, fault: ValueFault) -> TypedText:
    return TypedText(None, None, feedback.about_beginning(word) or fault.hint, fault=fault)


@lru_cache(maxsize=8192)
def tidy(value: Value) -> str:
    """The value in its tidy spelling, exact and with the digits typed; reading it again gives the same value.

    >>> tidy(read_value("4u7", Quantity.CAPACITANCE)), tidy(read_value("1e-6 F", Quantity.CAPACITANCE))
    ('4.7 µF', '1 µF')
    """
    if value.quantity is Quantity.CAPACITANCE and is_build(value.text):
        return value.text
    return tidied(read_written(value.text, value.quantity), value.text, value.quantity)


def _suits(found: str, wanted: Quantity, is_symbol: bool) -> bool:
    if wanted in _VOLTS:
        return found == Quantity.VOLTAGE.word
    if wanted in _JOULES:
        return found == Quantity.ENERGY.word or is_symbol
    # Symbols' letters tell capacitors, resistors and batteries apart and nothing else.
    return found == wanted.word or (is_symbol and wanted not in (Quantity.CAPACITANCE, Quantity.RESISTANCE))
