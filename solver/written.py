"""The grammar of a value: a number with a unit, a letter-and-digit code, or a symbol with a rational factor.

It takes a text apart without judging what the value is for; values.py turns the outcome into a Value.

    value  = number unit | code | [number] ["·"] symbol ["/" whole]
    number = [sign] decimal ["/" whole] [power of ten]
    symbol = one Latin or Greek letter, with a subscript: V, V_0, C_eq, R1 (read as R_1)
"""

from __future__ import annotations

import re
from dataclasses import dataclass, replace
from typing import Final

import flint

from solver.kinds import KINDS
from solver.letter_codes import Coded, read_code, read_trailing_letter
from solver.numerals import AbsurdExponent, Numeral, clean, take_numeral
from solver.quantities import Quantity
from solver.units import PREFIXES, find_unit
from solver.value_faults import LONGEST, Reason, ValueNotUnderstood, ValueOutOfRange

_LETTERS: Final = "A-Za-zΑ-ΡΣ-Ψα-ω"  # capital omega is the ohm
_SYMBOL: Final = re.compile(
    rf"(?P<times>[·*×] ?)?(?P<letter>[{_LETTERS}])"
    rf"(?:_?\{{(?P<braced>[{_LETTERS}0-9]{{1,8}})\}}|_(?P<sub>[{_LETTERS}0-9]{{1,8}})|(?P<digits>[0-9]{{1,3}}))?"
    r"(?: ?/ ?(?P<denominator>[0-9]+))?"
)
_LONE_PREFIXES: Final = frozenset("fpnuµmkKMG")
_UNIT_LETTERS: Final = frozenset("VAJWHsv")
_SMALLEST: Final = flint.fmpq(1, 10**30)
_LARGEST: Final = flint.fmpq(10**30)

_LETTER_WORDS: Final = {
    letter: Quantity.VOLTAGE.word if kind.quantity is Quantity.EMF else kind.quantity.word
    for kind in KINDS.values()
    if kind.quantity
    for letter in kind.symbol_letters
}


@dataclass(frozen=True)
class Written:
    """A text taken apart. `prefix` and `unit` are empty for a symbol; `quantity` is the word for what the text alone
    tells (None for a symbol whose letter tells nothing)."""

    numeral: Numeral
    prefix: str
    unit: str
    factor: flint.fmpq
    symbol: str | None
    quantity: str | None


def read_written(text: str, place: Quantity | None) -> Written:
    """Takes the text of a value apart, `place` deciding where it reads two ways (3 C is a charge only where one is
    wanted). Raises ValueNotUnderstood and ValueOutOfRange; whether the quantity suits is not judged."""
    stripped = text.strip()
    if len(stripped) > LONGEST:
        raise ValueNotUnderstood(stripped, place, Reason.TOO_LONG)
    cleaned = clean(stripped)
    if not cleaned:
        raise ValueNotUnderstood(stripped, place, Reason.EMPTY)
    try:
        written = _read(cleaned, place)
    except AbsurdExponent:
        raise ValueOutOfRange(stripped, place) from None
    except ZeroDivisionError:
        raise ValueNotUnderstood(stripped, place, Reason.DIVIDED_BY_ZERO) from None
    if isinstance(written, _Failure):
        raise ValueNotUnderstood(stripped, place, written.reason, written.number, written.rest)
    if written.factor != 0 and not _SMALLEST <= abs(written.factor) <= _LARGEST:
        raise ValueOutOfRange(stripped, place)
    return written


@dataclass(frozen=True)
class _Failure:
    reason: Reason
    number: str
    rest: str


def _read(cleaned: str, place: Quantity | None) -> Written | _Failure:
    if code := read_code(cleaned):
        return _from_code(code)
    numeral, rest = take_numeral(cleaned)
    if not rest:
        return _failure(Reason.OTHER if numeral.implied else Reason.UNIT_MISSING, numeral, rest)
    if rest in _LONE_PREFIXES:
        code = None if numeral.implied else read_trailing_letter(numeral, rest, place)
        return _from_code(code) if code else _failure(Reason.LONE_PREFIX, numeral, rest)
    unit = None if rest == "C" and place is not Quantity.CHARGE else find_unit(rest)
    if unit and not numeral.implied:
        return Written(numeral, unit.prefix, unit.symbol, numeral.exact * unit.factor, None, unit.quantity)
    if match := _SYMBOL.fullmatch(rest):
        return _from_symbol(numeral, match)
    return _failure(Reason.NUMBER_MISSING if unit else _reason(rest), numeral, rest)


def _failure(reason: Reason, numeral: Numeral, rest: str) -> _Failure:
    return _Failure(reason, "" if numeral.implied else numeral.text(), rest)


def _from_code(code: Coded) -> Written:
    power = PREFIXES[code.prefix]
    scale = flint.fmpq(10**power) if power >= 0 else flint.fmpq(1, 10**-power)
    factor = code.numeral.exact * scale
    return Written(code.numeral, code.prefix, code.quantity.unit, factor, None, code.quantity.word)


def _from_symbol(numeral: Numeral, match: re.Match[str]) -> Written | _Failure:
    letter, times, divisor = match["letter"], match["times"], match["denominator"]
    subscript = match["braced"] or match["sub"] or match["digits"]
    if times and numeral.implied:
        return _failure(Reason.OTHER, numeral, match[0])
    if not subscript:
        if letter == "F":
            return _failure(
                Reason.NUMBER_MISSING if numeral.implied and not divisor else Reason.OTHER, numeral, match[0]
            )
        if letter in _LONE_PREFIXES:
            return _failure(Reason.OTHER if divisor else Reason.LONE_PREFIX, numeral, match[0])
        if letter in _UNIT_LETTERS and not numeral.implied and not times:
            return _failure(Reason.VOLTS_OR_SYMBOL if letter == "V" else Reason.OTHER, numeral, match[0])
    if divisor:
        numeral = replace(numeral, denominator=numeral.denominator * int(divisor), implied=False)
    symbol = f"{letter}_{subscript}" if subscript else letter
    return Written(numeral, "", "", numeral.exact, symbol, _LETTER_WORDS.get(letter))


def _reason(rest: str) -> Reason:
    if re.match(r"[.,'’][0-9]", rest):
        return Reason.SEPARATORS
    if rest in ("mf", "mfd"):
        return Reason.OLD_MICRO
    if re.fullmatch(rf"[{_LETTERS}][{_LETTERS}0-9]+", rest) and rest[0] in _LETTER_WORDS:
        return Reason.SUBSCRIPT
    return Reason.OTHER
