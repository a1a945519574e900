"""Writes a ratio of whole numbers to so many significant figures, with an SI prefix: rounded once, half away from zero.

All of it is whole-number arithmetic, so a value exactly between two figures is known to be that.
"""

from __future__ import annotations

import math
from typing import Final

from solver.numerals import TO_SUPERSCRIPT
from solver.units import PREFIXES

PREFIX_OF_POWER: Final = {power: prefix for prefix, power in PREFIXES.items()}
_POWERS_OF_TEN: Final[tuple[int, ...]] = tuple(int(10**power) for power in range(64))


def ten_to(power: int) -> int:
    """10 to a power that is not negative."""
    return _POWERS_OF_TEN[power] if power < 64 else int(10**power)


def round_ratio(top: int, bottom: int, figures: int) -> tuple[int, int]:
    """The ratio of two positive whole numbers to so many figures: (digits, power of ten of the first digit).

    >>> round_ratio(9995, 10, 3)
    (100, 3)
    """
    # The logarithms may be off by their last bit, and then the first digit by one place: that is seen and put right.
    power = math.floor(math.log10(top) - math.log10(bottom))
    smallest, largest = ten_to(figures - 1), ten_to(figures)
    while True:
        shift = figures - 1 - power
        scaled_top, scaled_bottom = (top * ten_to(shift), bottom) if shift >= 0 else (top, bottom * ten_to(-shift))
        digits, rest = divmod(scaled_top, scaled_bottom)
        if digits >= largest:
            power += 1
        elif digits < smallest:
            power -= 1
        else:
            break
    if 2 * rest >= scaled_bottom:
        digits += 1
        if digits == largest:
            return smallest, power + 1
    return digits, power


def rounded_text(top: int, bottom: int, unit: str, figures: int) -> str:
    """`top` / `bottom` (bottom positive) to so many figures, with prefix and unit, as format.format_number has it.

    Raises ValueError for less than one figure.
    """
    if figures < 1:
        raise ValueError(f"a number is rounded to one figure or more, not to {figures}")
    space = " " if unit else ""
    if top == 0:
        return f"0{space}{unit}"
    sign = ""
    if top < 0:
        sign, top = "−", -top
    digits, power = round_ratio(top, bottom, figures)
    text = str(digits)
    group = power // 3 * 3 if unit else 0
    prefix = PREFIX_OF_POWER.get(group)
    if prefix is None or (not unit and not -5 < power < 9):
        mantissa = f"{text[0]}.{text[1:]}" if figures > 1 else text
        return f"{sign}{mantissa} × 10{str(power).translate(TO_SUPERSCRIPT)}{space}{unit}"
    whole = power - group + 1
    if whole < 1:
        return f"{sign}0.{'0' * -whole}{text}"
    if figures <= whole:
        return f"{sign}{text}{'0' * (whole - figures)}{space}{prefix}{unit}"
    return f"{sign}{text[:whole]}.{text[whole:]}{space}{prefix}{unit}"
