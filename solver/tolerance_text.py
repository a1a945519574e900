"""Tolerances as people write them: "10 µF ±10 %", the letters of IEC 60062 as in "4u7K", and the markings on small
capacitors, 104K.

A tolerance is taken off the end of a text; what is left is a value like any other. All of it is exact.
"""

from __future__ import annotations

import re
from dataclasses import dataclass
from typing import Final

import flint

from solver.format import format_exact
from solver.geometry import is_build
from solver.letter_codes import read_code
from solver.numerals import clean, take_numeral
from solver.quantities import Quantity
from solver.value_faults import ToleranceNotUnderstood, ToleranceOutOfRange

TAKES_TOLERANCE: Final = frozenset({"capacitor", "resistor"})
"""The kinds of part whose values may have one: a battery's emf is taken as exact."""

_PICO: Final = flint.fmpq(1, 10**12)
_PREFIXES: Final = {"p": _PICO, "n": _PICO * 1000, "µ": _PICO * 10**6, "u": _PICO * 10**6, "m": _PICO * 10**9}

# IEC 60062:2016, table of tolerance letters, in per cent; C and below 10 pF see _OF_SMALL.
_EVEN: Final = {"B": "0.1", "C": "0.25", "D": "0.5", "F": "1", "G": "2", "J": "5", "K": "10", "M": "20", "N": "30"}
# Unequal ones, down and up: T, Z and P from a maker's chart, Q and S from memory.
_UNEVEN: Final = {"T": (10, 50), "Z": (20, 80), "P": (0, 100), "Q": (10, 30), "S": (20, 50)}
# In picofarads, on capacitors below 10 pF: B, C and D after IEC 60062, F and G from memory.
_OF_SMALL: Final = {"B": "0.1", "C": "0.25", "D": "0.5", "F": "1", "G": "2"}
_SMALL: Final = 10 * _PICO

_N: Final = r"([0-9]{1,9}(?:[.,][0-9]{1,9})?)"
_PER_CENT: Final = r" ?(?:%|per ?cent)"
_BOTH: Final = r"(?:±|\+ ?/? ?-) ?"
_EQUAL: Final = re.compile(rf"(?:{_BOTH})?{_N}{_PER_CENT}")
_DOWN_UP: Final = re.compile(rf"- ?{_N}(?:{_PER_CENT})? ?[/,]? ?\+ ?{_N}{_PER_CENT}")
_UP_DOWN: Final = re.compile(rf"\+ ?{_N}(?:{_PER_CENT})? ?[/,]? ?- ?{_N}{_PER_CENT}")
_FARADS: Final = re.compile(rf"{_BOTH}{_N} ?([pnµum])F")

# What begins a tolerance at the end of a text: a sign after a value, or a number with per cent.
_SIGNED: Final = r"(?:±|\+ ?/? ?-|[+-] ?[0-9.,]+ ?%? ?[/,]? ?[+-]|[+-] ?[0-9.,]+ ?(?:%|per)).*"
_SIGNED_END: Final = re.compile(rf"^(?P<value>.*?[^\s+±/,-]) ?(?P<tolerance>{_SIGNED})$")
# Layers of a build are joined by +, and strips end with per cent: there only ± and −20 +80 % begin a tolerance.
_BUILD_END: Final = re.compile(r"^(?P<value>.*?[^\s,]) ?(?P<tolerance>(?:±|- ?[0-9.,]+ ?%? ?/? ?\+ ?[0-9]).*)$")
_PLAIN_END: Final = re.compile(rf"^(?P<value>.*?[^0-9.,\s+±/-]),? ?(?P<tolerance>{_N}{_PER_CENT})$")

_LETTERS: Final = "".join((*_EVEN, *_UNEVEN))
_CODE: Final = re.compile(rf"([0-9]{{1,9}}[RKkMGTLpnuµmF][0-9]{{1,9}}|[RKkMpnuµmF][0-9]{{2,9}})([{_LETTERS}])")
_LETTERED: Final = re.compile(
    rf"(?P<value>(?P<number>[0-9][0-9., ]*?) ?(?:(?P<prefix>[pnuµm]?)F|[kMGm]?Ω)) (?P<letter>[{_LETTERS}])"
)
_MARKING: Final = re.compile(rf"(?:([1-9][0-9])([0-7])|([0-9]R[0-9]))([{_LETTERS}])?")
_MARKED: Final = re.compile(r"(?:marked|marking) ?:? ?(.*)", re.IGNORECASE)
# With three digits these letters mean something else: 104F is farads, 104C a multiple of C; and, where nothing says
# that the part is a capacitor, 104K is kilohms.
_NOT_ON_CAPACITORS: Final = frozenset("CF")
_OTHERWISE: Final = _NOT_ON_CAPACITORS | frozenset("KMG")


@dataclass(frozen=True)
class Tolerance:
    """How far a real value may be `down` and `up` from what it is called: shares of it, or farads where `absolute`."""

    down: flint.fmpq
    up: flint.fmpq
    absolute: bool = False

    def ends(self, value: flint.fmpq) -> tuple[flint.fmpq, flint.fmpq]:
        """The least and the largest that a part of this value (SI units) can be.

        >>> read_tolerance("±10 %").ends(flint.fmpq(30))
        (27, 33)
        """
        if self.absolute:
            return value - self.down, value + self.up
        return value * (1 - self.down), value * (1 + self.up)

    @property
    def text(self) -> str:
        """The tolerance in its tidy spelling; reading it again gives the same.

        >>> read_tolerance("+80/-20%").text, read_tolerance("10 %").text
        ('−20 +80 %', '±10 %')
        """
        if self.absolute:
            small = self.up < 1000 * _PICO
            return f"±{_decimal(self.up / _PICO)} pF" if small else f"±{format_exact(self.up, 'F')}"
        down, up = (_decimal(100 * share) for share in (self.down, self.up))
        return f"±{up} %" if down == up else f"−{down} +{up} %"


def read_tolerance(text: str) -> Tolerance:
    """Reads a tolerance that stands alone. Raises ToleranceNotUnderstood, and ToleranceOutOfRange for one of 100 % or
    more downwards, or more than 100 % upwards."""
    cleaned = clean(text)
    if match := _EQUAL.fullmatch(cleaned):
        share = _exact(match[1]) / 100
        return _checked(text, Tolerance(share, share))
    if match := _DOWN_UP.fullmatch(cleaned):
        return _checked(text, Tolerance(_exact(match[1]) / 100, _exact(match[2]) / 100))
    if match := _UP_DOWN.fullmatch(cleaned):
        return _checked(text, Tolerance(_exact(match[2]) / 100, _exact(match[1]) / 100))
    if match := _FARADS.fullmatch(cleaned):
        size = _exact(match[1]) * _PREFIXES[match[2]]
        return Tolerance(size, size, absolute=True)
    raise ToleranceNotUnderstood(text.strip(), negative=bool(re.match(r"(±|\+ ?/? ?-)? ?-", cleaned)))


def split_tolerance(text: str, place: Quantity | None) -> tuple[str, Tolerance | None]:
    """The text of the value alone, and the tolerance typed with it; `place` is None where any part could be meant.

    Markings, codes and units with a letter behind are taken apart as well; without one, a code is left as it is. Raises
    ToleranceNotUnderstood, ToleranceOutOfRange, and ValueNotUnderstood for a marking that is none.

    >>> split_tolerance("4u7K", Quantity.CAPACITANCE)[0], split_tolerance("10 µF 5%", None)[1].text
    ('4u7', '±5 %')
    >>> split_tolerance("10 µF K", None)[1].text
    '±10 %'
    >>> value, tolerance = split_tolerance("104K", Quantity.CAPACITANCE)
    >>> value, tolerance.text
    ('100 nF', '±10 %')
    """
    cleaned = clean(text)
    if marked := _MARKED.fullmatch(cleaned):
        if place not in (None, Quantity.CAPACITANCE) or not (marking := _MARKING.fullmatch(marked[1])):
            raise ToleranceNotUnderstood(text.strip(), marking=True)
        return _marking(marking)
    marking = _MARKING.fullmatch(cleaned)
    if marking and marking[4] and not marking[3] and _is_marking(marking[4], place):
        return _marking(marking)
    code = _CODE.fullmatch(cleaned)
    if code and not read_code(cleaned) and (coded := read_code(code[1])):
        farads = coded.quantity is Quantity.CAPACITANCE
        size = coded.numeral.exact * _PREFIXES.get(coded.prefix, flint.fmpq(1))
        return code[1], _of_letter(code[2], size if farads else None)
    if lettered := _LETTERED.fullmatch(cleaned):
        return lettered["value"], _of_letter(lettered["letter"], _farads(lettered))
    ends = (_BUILD_END,) if is_build(cleaned) else (_SIGNED_END, _PLAIN_END)
    found = next((match for end in ends if (match := end.match(cleaned))), None)
    if not found:
        return text, None
    return found["value"], read_tolerance(found["tolerance"])


def offered_marking(text: str) -> str | None:
    """What three digits, with a letter or without, would mean on a small capacitor; None where they mean nothing there.

    >>> offered_marking("104"), offered_marking("104K"), offered_marking("22")
    ('100 nF', '100 nF ±10 %', None)
    """
    match = _MARKING.fullmatch(clean(text))
    if not match or not match[1]:
        return None
    value, tolerance = _marking(match)
    return f"{value} {tolerance.text}" if tolerance else value


def _is_marking(letter: str, place: Quantity | None) -> bool:
    if place is Quantity.CAPACITANCE:
        return letter not in _NOT_ON_CAPACITORS
    return place is None and letter not in _OTHERWISE


def _marking(match: re.Match[str]) -> tuple[str, Tolerance | None]:
    """Two digits and the number of zeros, in picofarads, or R for the decimal point (MIL-PRF-39001, EIA-198)."""
    digits, zeros, small, letter = match.groups()
    size = (_exact(small.replace("R", ".")) if small else flint.fmpq(int(digits) * 10 ** int(zeros))) * _PICO
    return format_exact(size, "F"), _of_letter(letter, size) if letter else None


def _farads(lettered: re.Match[str]) -> flint.fmpq | None:
    """What the letter of a capacitor goes by; None for a resistor."""
    if lettered["prefix"] is None:
        return None
    return take_numeral(lettered["number"])[0].exact * _PREFIXES.get(lettered["prefix"], _PICO * 10**12)


def _of_letter(letter: str, farads: flint.fmpq | None) -> Tolerance:
    if farads is not None and farads < _SMALL and letter in _OF_SMALL:
        size = _exact(_OF_SMALL[letter]) * _PICO
        return Tolerance(size, size, absolute=True)
    if letter in _UNEVEN:
        down, up = _UNEVEN[letter]
        return Tolerance(flint.fmpq(down, 100), flint.fmpq(up, 100))
    share = _exact(_EVEN[letter]) / 100
    return Tolerance(share, share)


def _checked(text: str, tolerance: Tolerance) -> Tolerance:
    if tolerance.down >= 1 or tolerance.up > 1:
        raise ToleranceOutOfRange(text.strip())
    return tolerance


def _exact(decimal: str) -> flint.fmpq:
    whole, _, part = decimal.replace(",", ".").partition(".")
    return flint.fmpq(int(whole + part), 10 ** len(part))


def _decimal(value: flint.fmpq) -> str:
    """A number with few decimals, because it was typed with few."""
    digits = 0
    while (value * 10**digits).q != 1:
        digits += 1
    whole = str((value * 10**digits).p).zfill(digits + 1)
    return f"{whole[:-digits]}.{whole[-digits:]}" if digits else whole
