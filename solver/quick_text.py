"""Writes a number from its nearest float, wherever that is sure to read as the exact number rounded once.

A screen of readings is mostly such numbers, and whole-number arithmetic on hundreds of digits would take most of the
time. Close to a tie the float cannot tell, and format.py has to look at the exact value.
"""

from __future__ import annotations

from functools import lru_cache

from solver.rounding import PREFIX_OF_POWER

# Digits looked at beyond the rounded ones: far fewer than a float has, so that they are those of the exact number too.
_FURTHER = 5
_TIES = ("50000", "49999")
_HALF = "5"


def quick_text(value: float, unit: str, figures: int) -> str | None:
    """The text that format_number gives for the exact number nearest to which the float is; None where unsure.

    For at most ten figures; `value` is not zero.

    >>> quick_text(1 / 30000, "F", 3), quick_text(0.0025, "V", 1), quick_text(1e-30, "F", 3)
    ('33.3 µF', None, None)
    """
    if figures > 10:
        return None
    digits, _, exponent = f"{value:.{figures - 1 + _FURTHER}e}".partition("e")
    further = digits[-_FURTHER:]
    if further in _TIES:
        return None
    sign = ""
    if value < 0:
        sign, digits = "−", digits[1:]
    text = (digits[0] + digits[2:])[:figures]
    power = int(exponent)
    if further >= _HALF:
        text = str(int(text) + 1)
        if len(text) > figures:
            text, power = text[:-1], power + 1
    layout = _layout(power, unit, figures)
    if layout is None:
        return None
    whole, suffix = layout
    if figures <= whole:
        return sign + text + suffix
    return f"{sign}{text[:whole]}.{text[whole:]}{suffix}"


@lru_cache(maxsize=4096)
def _layout(power: int, unit: str, figures: int) -> tuple[int, str] | None:
    """Digits before the point, and what follows the digits, for a first digit that counts 10 to the power."""
    group = power // 3 * 3
    prefix = PREFIX_OF_POWER.get(group)
    if prefix is None:
        return None
    whole = power - group + 1
    return whole, f"{'0' * max(whole - figures, 0)} {prefix}{unit}"
