"""Corners found by climbing, for networks with more parts with a tolerance than all their corners can be looked at.

Readings rise or fall throughout in every single value, so at a corner one look at each part's other end tells whether
moving that part alone helps. A reading's climb ends where none does: a corner that no single step makes better.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, field
from typing import Any, Final

import numpy as np

from solver.tolerance_corners import Corners

_ROUNDS: Final = 12
_GAIN: Final = 1e-11
"""Gains below this share of a reading's size are rounding."""


@dataclass
class _Climb:
    """The climb of one reading, up or down (`sign`); `tried` is the corner it is to go to next."""

    key: str
    sign: float
    tried: Any
    best: Any = None
    value: float = -np.inf
    single: Any = field(default=None)
    over: bool = False


def climbed(corners: Corners, keys: Sequence[str]) -> Any:
    """Corners, one a row: for every reading the ones at which its climbs up and down end, each of them also with every
    capacitor and resistor whose voltage is climbing at its other end; all least, and all largest."""
    count = len(corners.loose)
    climbs = [
        _Climb(key, sign, first)
        for key, slopes in _slopes(corners, keys).items()
        for sign, first in ((1.0, slopes > 0), (-1.0, slopes < 0))
    ]
    for _ in range(_ROUNDS):
        going = [climb for climb in climbs if not climb.over]
        if not going:
            break
        _round(corners, going, count)
    ends = {row.tobytes(): row for row in (np.zeros(count, dtype=bool), np.ones(count, dtype=bool))}
    places = {f"{part.name}.voltage": place for place, part in enumerate(corners.loose)}
    for climb in climbs:
        ends.setdefault(climb.best.tobytes(), climb.best)
        if (place := places.get(climb.key)) is not None:
            other = climb.best.copy()
            other[place] = not other[place]
            ends.setdefault(other.tobytes(), other)
    return np.array(list(ends.values()))


def _slopes(corners: Corners, keys: Sequence[str]) -> dict[str, Any]:
    """How much each reading rises over each part's tolerance, the others being in the middle of theirs."""
    count = len(corners.loose)
    rows = np.repeat(corners.middle()[None, :], 2 * count, axis=0)
    for place in range(count):
        rows[2 * place : 2 * place + 2, place] = corners.ends[place]
    floats = corners.at_values(rows)
    return {key: floats[key][1::2] - floats[key][::2] for key in keys if key in floats}


def _round(corners: Corners, going: list[_Climb], count: int) -> None:
    """Every climb looks round at the corner it tried, and goes on from it, or from one step beside the best so far."""
    distinct: dict[bytes, int] = {}
    rows: list[Any] = []
    for climb in going:
        if distinct.setdefault(climb.tried.tobytes(), len(rows)) == len(rows):
            rows.append(climb.tried)
    around = np.repeat(np.array(rows), count + 1, axis=0).reshape(len(rows), count + 1, count)
    for place in range(count):
        around[:, place + 1, place] ^= True
    floats = corners.in_floats(around.reshape(-1, count))
    for climb in going:
        if climb.key not in floats:
            climb.best, climb.over = climb.tried, True
            continue
        index = distinct[climb.tried.tobytes()]
        values = climb.sign * floats[climb.key].reshape(len(rows), count + 1)[index]
        _go_on(climb, values)


def _go_on(climb: _Climb, values: Any) -> None:
    least = _GAIN * max(abs(values).max(), 1e-300)
    if climb.best is not None and values[0] <= climb.value + least:
        # All the steps at once led down: the best one alone leads up.
        climb.over = climb.single is None
        climb.tried, climb.single = (climb.best if climb.over else climb.single), None
        return
    climb.best, climb.value = climb.tried, values[0]
    gains = values[1:] - values[0]
    better = gains > least
    if not better.any():
        climb.over = True
        return
    climb.single = climb.best.copy()
    climb.single[gains.argmax()] ^= True
    if better.sum() == 1:
        climb.tried, climb.single = climb.single, None
    else:
        climb.tried = climb.best ^ better
