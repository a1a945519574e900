"""Numbers that a plan has beside those of a sketch: percentages, seconds, counts, prices, read and written exactly."""

from __future__ import annotations

from typing import Any, Final

import flint

from solver.format import format_float, format_number
from solver.numerals import AbsurdExponent, clean, take_numeral
from solver.value_faults import LONGEST

FIGURES: Final = 3
_MOST: Final = flint.fmpq(10**15)
_MINUTES: Final = {"min": 60, "minute": 60, "minutes": 60, "h": 3600, "hour": 3600, "hours": 3600}
_SECONDS: Final = {"s": 1, "second": 1, "seconds": 1, "ms": flint.fmpq(1, 1000)}
_UNITS_OF_TIME: Final[dict[str, Any]] = _MINUTES | _SECONDS


class NotRead(ValueError):
    """A text that is no such number, or one far outside anything that could be meant."""


def read_number(text: str) -> flint.fmpq:
    """A plain number, exactly: "12", "0,35", "1/3". Raises NotRead."""
    number, rest = _numeral(text)
    if rest:
        raise NotRead(text)
    return number


def read_count(text: str) -> int:
    """A whole number of at least zero. Raises NotRead."""
    number = read_number(text)
    if number.q != 1 or number < 0:
        raise NotRead(text)
    return int(number.p)


def read_share(text: str) -> flint.fmpq:
    """A percentage, with or without its sign, as a share of one. Raises NotRead.

    >>> read_share("80 %"), read_share("12,5")
    (4/5, 1/8)
    """
    number, rest = _numeral(text)
    if rest not in ("", "%"):
        raise NotRead(text)
    return number / 100


def is_number(text: str) -> bool:
    """Whether a text is a plain number, with nothing after it.

    >>> is_number("45"), is_number("45 V"), is_number("")
    (True, False, False)
    """
    try:
        read_number(text)
    except NotRead:
        return False
    return True


def read_seconds(text: str) -> flint.fmpq:
    """A time, in seconds: "60 s", "5 min", "1 h". Raises NotRead."""
    number, rest = _numeral(text)
    if rest not in _UNITS_OF_TIME:
        raise NotRead(text)
    seconds: flint.fmpq = number * _UNITS_OF_TIME[rest]
    return seconds


def _numeral(text: str) -> tuple[flint.fmpq, str]:
    cleaned = clean(text[: LONGEST + 1])
    if len(cleaned) > LONGEST:
        raise NotRead(text)
    try:
        numeral, rest = take_numeral(cleaned)
        number = numeral.exact
    except (AbsurdExponent, ZeroDivisionError):
        raise NotRead(text) from None
    if numeral.implied or abs(number) > _MOST or 0 < abs(number) < 1 / _MOST:
        raise NotRead(text)
    return number, rest.strip()


def percent(share: flint.fmpq) -> dict[str, Any]:
    """A share of one as a document has it, to two figures.

    >>> percent(flint.fmpq(1, 3))["text"]
    '33 %'
    """
    return {"exact": str(share), "value": float(share), "text": f"{format_number(share * 100, '', 2)} %"}


def seconds_text(seconds: float) -> str:
    """A time as a class reads it: seconds, from two minutes on minutes, from two hours on hours.

    >>> seconds_text(4.2), seconds_text(300), seconds_text(9000)
    ('4.20 s', '5.00 min', '2.50 h')
    """
    if seconds < 120:
        return format_float(seconds, "s", FIGURES)
    unit, size = ("min", 60) if seconds < 7200 else ("h", 3600)
    return f"{format_float(seconds / size, '', FIGURES)} {unit}"


def price_text(price: flint.fmpq) -> str:
    """A price to hundredths, half away from zero.

    >>> price_text(flint.fmpq(21, 10)), price_text(flint.fmpq(1, 200))
    ('2.10', '0.01')
    """
    hundredths = int((price * 100 + flint.fmpq(1, 2)).floor())
    return f"{hundredths // 100}.{hundredths % 100:02d}"
