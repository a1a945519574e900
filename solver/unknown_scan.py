"""Looks for the values of one unknown at which a condition holds that no formula solves: from the smallest part anybody
builds to the largest, and closer in wherever the reading passes what is required."""

from __future__ import annotations

from collections.abc import Callable
from itertools import pairwise
from math import isfinite
from typing import Final

RANGES: Final = {"capacitor": (-13, 2), "resistor": (-3, 11), "battery": (-3, 6)}
"""Powers of ten of farads, ohms and volts between which values are looked for."""
_TO_A_DECADE: Final = 5


def scanned(excess: Callable[[float], float], kind: str) -> list[float]:
    """The values (SI units) of a part of this kind at which the excess of a reading over what is required vanishes."""
    # Loaded when needed: few sketches do, and it would take a seventh of the start of every solver process.
    from scipy.optimize import brentq

    low, high = RANGES[kind]
    places = [10 ** (low + step / _TO_A_DECADE) for step in range((high - low) * _TO_A_DECADE + 1)]
    if kind == "battery":
        places = [*(-place for place in reversed(places)), *places]
    values = [(place, excess(place)) for place in places]
    found = []
    for (a, at_a), (b, at_b) in pairwise(values):
        if not (isfinite(at_a) and isfinite(at_b)):
            continue
        if at_a == 0:
            found.append(a)
        elif at_a * at_b < 0:
            found.append(float(brentq(excess, a, b, xtol=1e-16 * abs(b), rtol=1e-14)))
    return found
