"""Writes a number from its nearest float, wherever that is sure to read as the exact number rounded once.

A screen of readings is mostly such numbers, and whole-number arithmetic on hundreds of digits would take most of the
time. Close to a tie the float cannot tell, and format.py has to look at the exact value.
"""

from __future__ import annotations

from functools import lru_cache
from math import floor, log10
from typing import Final

from solver.rounding import PREFIX_OF_POWER

_MOST_FIGURES: Final = 10
# Powers of ten that a float holds exactly; what lies beyond is left to exact arithmetic.
_SCALES: Final = {power: float(10**power) for power in range(23)} | {-power: 1 / 10**power for power in range(1, 23)}
# The float, its scale and their product are each right to 2⁻⁵³, so ten figures are right to about 0.00001 of the last.
_DOUBT: Final = 0.0001


def quick_text(value: float, unit: str, figures: int) -> str | None:
    """The text that format_number gives for the exact number whose nearest float this is; None where unsure.

    A number other than zero whose nearest float is zero is not for this function; typed values stay far from there.

    >>> quick_text(1 / 30000, "F", 3), quick_text(-0.0025, "V", 1), quick_text(1e-30, "F", 3)
    ('33.3 µF', None, None)
    """
    if not value:
        return f"0 {unit}"
    size = -value if value < 0 else value
    if figures > _MOST_FIGURES:
        return None
    power = floor(log10(size))
    scale = _SCALES.get(figures - 1 - power)
    if scale is None:
        return None
    scaled = size * scale
    whole = int(scaled)
    rest = scaled - whole
    if -_DOUBT < rest - 0.5 < _DOUBT:
        return None
    text = str(whole + (rest > 0.5))
    if len(text) != figures:
        # Rounded up to a power of ten, or the logarithm was off by its last bit.
        return None
    layout = _layout(power, unit, figures)
    if layout is None:
        return None
    before, suffix = layout
    if value < 0:
        return f"−{text[:before]}.{text[before:]}{suffix}" if figures > before else f"−{text}{suffix}"
    return f"{text[:before]}.{text[before:]}{suffix}" if figures > before else text + suffix


@lru_cache(maxsize=4096)
def _layout(power: int, unit: str, figures: int) -> tuple[int, str] | None:
    """Digits before the point, and what follows the digits, for a first digit that counts 10 to the power."""
    group = power // 3 * 3
    prefix = PREFIX_OF_POWER.get(group)
    if prefix is None:
        return None
    before = power - group + 1
    return before, f"{'0' * max(before - figures, 0)} {prefix}{unit}"
