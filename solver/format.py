"""Writes numbers as a class reads them: a few significant figures, an SI prefix, a space and the unit.

Number and unit are written as the SI Brochure (5.4.3) has it, minus as −; the exact value is rounded once.
"""

from __future__ import annotations

import flint

from solver.numerals import decimal_text
from solver.rounding import PREFIX_OF_POWER, round_ratio, rounded_text, ten_to
from solver.symbolic_text import symbolic_text as format_symbolic

__all__ = ["format_exact", "format_float", "format_number", "format_symbolic"]


def format_number(exact: flint.fmpq, unit: str, figures: int) -> str:
    """An exact number in `unit` (an SI unit's symbol) to so many significant figures, half away from zero.

    The prefix is the one that leaves the rounded number in [1, 1000); beyond femto and giga a power of ten stands
    instead. Zero is "0 V". Without a unit there is no prefix either. Raises ValueError for less than one figure.

    >>> format_number(flint.fmpq(1, 30000), "F", 3), format_number(flint.fmpq(19999, 2 * 10**7), "F", 3)
    ('33.3 µF', '1.00 mF')
    >>> format_number(flint.fmpq(-5, 2), "V", 1), format_number(flint.fmpq(123, 10**23), "F", 2)
    ('−3 V', '1.2 × 10⁻²¹ F')
    """
    return rounded_text(int(exact.p), int(exact.q), unit, figures)


def format_float(value: float, unit: str, figures: int) -> str:
    """A float written as format_number writes the exact number it is. Raises ValueError for an infinity or no number.

    >>> format_float(2.5e-06, "F", 3)
    '2.50 µF'
    """
    try:
        top, bottom = value.as_integer_ratio()
    except OverflowError as error:
        raise ValueError("an infinity has no digits to write") from error
    return rounded_text(top, bottom, unit, figures)


def format_exact(exact: flint.fmpq, unit: str) -> str:
    """An exact number in full, as a person would type it: as a decimal where it ends, else as a fraction.

    >>> format_exact(flint.fmpq(47, 10**7), "F"), format_exact(flint.fmpq(1, 3000000), "F")
    ('4.7 µF', '1/3 µF')
    """
    top, bottom = abs(int(exact.p)), int(exact.q)
    sign = "−" if exact < 0 else ""
    _, power = round_ratio(top, bottom, 20) if top else (0, 0)
    group = min(max(power // 3 * 3, min(PREFIX_OF_POWER)), max(PREFIX_OF_POWER))
    text = _in_full(top, bottom, group)
    if text.partition("/")[0].endswith("000") and "/" in text and group + 3 in PREFIX_OF_POWER:
        # 1/3 µF rather than 1000/3 nF
        group += 3
        text = _in_full(top, bottom, group)
    return f"{sign}{text} {PREFIX_OF_POWER[group]}{unit}"


def _in_full(top: int, bottom: int, power: int) -> str:
    """`top` / `bottom` / 10^`power` as a decimal where that ends, else in lowest terms."""
    scaled = flint.fmpq(top * ten_to(max(-power, 0)), bottom * ten_to(max(power, 0)))
    top, bottom = int(scaled.p), int(scaled.q)
    twos = (bottom & -bottom).bit_length() - 1
    fives, rest = 0, bottom >> twos
    while rest % 5 == 0:
        fives, rest = fives + 1, rest // 5
    if rest != 1:
        return f"{top}/{bottom}"
    places = max(twos, fives)
    return decimal_text(str(top * ten_to(places) // bottom), -places)
