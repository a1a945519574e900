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
    layout = _layout(floor(log10(size)), unit, figures)
    if layout is None:
        return None
    scale, before, suffix = layout
    scaled = size * scale
    whole = int(scaled)
    rest = scaled - whole - 0.5
    if rest > _DOUBT:
        whole += 1
    elif rest > -_DOUBT:
        return None
    text = str(whole)
    if len(text) != figures:
        # Rounded up to a power of ten, or the logarithm was off by its last bit.
        return None
    sign = "−" if value < 0 else ""
    return f"{sign}{text[:before]}.{text[before:]}{suffix}" if before < figures else f"{sign}{text}{suffix}"


@lru_cache(maxsize=4096)
def _layout(power: int, unit: str, figures: int) -> tuple[float, int, str] | None:
    """How to write a number whose first digit counts 10 to the power: what makes its digits a whole number, how many of
    them stand before the point, and what follows them. None where exact arithmetic has to do it."""
    group = power // 3 * 3
    scale, prefix = _SCALES.get(figures - 1 - power), PREFIX_OF_POWER.get(group)
    if figures > _MOST_FIGURES or scale is None or prefix is None:
        return None
    before = power - group + 1
    return scale, before, f"{'0' * max(before - figures, 0)} {prefix}{unit}"
