"""The letter-and-digit code of IEC 60062: a letter stands in for the decimal point, 4k7 or R47, and its everyday kin.

Everyday kin (common practice): a prefix letter after the number, 22u or 4.7k, k as well as K, and V for a voltage, 1V5.
"""

from __future__ import annotations

import re
from dataclasses import dataclass, replace
from typing import Final

from solver.numerals import Numeral
from solver.quantities import Quantity

# Letter → SI prefix. IEC 60062 has R, K, M, G, T for ohms (L, a thousandth, is rarer) and p, n, µ, m, F for farads.
_RESISTANCE: Final = {"R": "", "K": "k", "k": "k", "M": "M", "G": "G", "L": "m"}
_CAPACITANCE: Final = {"p": "p", "n": "n", "u": "µ", "µ": "µ", "m": "m", "F": ""}

_WITHIN: Final = re.compile(r"(-?)([0-9]{1,9})([RKkMGTLpnuµmFV])([0-9]{1,9})(F|Ω|ohms?|Ohm)?")
# One digit after the letter is a symbol with a subscript, R1; the code writes two or more, R10 or R47.
_LEADING: Final = re.compile(r"(-?)([RKkMpnuµmF])([0-9]{2,9})")
# One digit before R is a multiple of the symbol R; the code writes it 2R0.
_TRAILING_R: Final = re.compile(r"(-?)([0-9]{2,9})R")
_TRAILING: Final = frozenset("KkMGpnuµ")


@dataclass(frozen=True)
class Coded:
    """A value in letters and digits: the number, the SI prefix its letter stands for, and the quantity it tells."""

    numeral: Numeral
    prefix: str
    quantity: Quantity


def read_code(cleaned: str) -> Coded | None:
    """The value a cleaned text codes, or None where it is no code.

    >>> code = read_code("4k7")
    >>> code.numeral.exact, code.prefix, code.quantity.word
    (47/10, 'k', 'resistance')
    >>> read_code("R47").numeral.exact, read_code("2R")
    (47/100, None)
    """
    if match := _WITHIN.fullmatch(cleaned):
        sign, whole, letter, part, unit = match.groups()
        code = _coded(sign, whole + part, -len(part), letter)
        return code if unit is None or (unit == "F") == (code.quantity is Quantity.CAPACITANCE) else None
    if match := _LEADING.fullmatch(cleaned):
        sign, letter, part = match.groups()
        return _coded(sign, part, -len(part), letter)
    if match := _TRAILING_R.fullmatch(cleaned):
        return _coded(match[1], match[2], 0, "R")
    return None


def read_trailing_letter(numeral: Numeral, letter: str, place: Quantity | None) -> Coded | None:
    """A number followed by one prefix letter alone: "22u", "4.7 k"; None where the letter tells no quantity.

    m is read only for a capacitor known to be one: elsewhere 10m may well mean volts or ohms.
    """
    if letter in _TRAILING or (letter == "m" and place is Quantity.CAPACITANCE):
        return _with_letter(numeral, letter)
    return None


def _coded(sign: str, digits: str, power: int, letter: str) -> Coded:
    return _with_letter(Numeral(sign == "-", digits.lstrip("0").zfill(1), power), letter)


def _with_letter(numeral: Numeral, letter: str) -> Coded:
    if letter == "T":  # tera lies beyond the prefixes a class meets
        return Coded(replace(numeral, ten=12), "", Quantity.RESISTANCE)
    if letter == "V":
        return Coded(numeral, "", Quantity.VOLTAGE)
    if letter in _RESISTANCE:
        return Coded(numeral, _RESISTANCE[letter], Quantity.RESISTANCE)
    return Coded(numeral, _CAPACITANCE[letter], Quantity.CAPACITANCE)
