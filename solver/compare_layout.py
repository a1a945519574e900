"""Draws parts in series or in parallel with one battery, as on a board: battery left, parts right, no crossings."""

from __future__ import annotations

from collections.abc import Collection, Sequence
from itertools import count, pairwise
from typing import Final

from solver.sketch import Part, Sketch
from solver.step_drawing import joint_names

ACROSS: Final = 9
"""Grid steps from the battery to the first column of parts and on to the next, so that labels have room."""
DOWN: Final = 6
"""Grid steps that a part takes from joint to joint."""
GAP: Final = 3
STACKED: Final = 4
"""Parts that stand one above the other, or side by side, before the next column or row begins."""

_SHORT: Final = 7
"""Letters of a value that ACROSS has room for."""
_MORE: Final = 6

_Spot = tuple[int, int]


class _Board:
    """A drawing being made: joints by their places, parts in order, wires with names of their own."""

    def __init__(self, names: Sequence[str], turned: Collection[str]) -> None:
        self._turned: Final = turned
        self.joints: dict[str, _Spot] = {}
        self._at: dict[_Spot, str] = {}
        self._free = (name for number in count(1) if (name := f"W{number}") not in names)
        self._letters = joint_names()
        self.parts: list[Part] = []

    def joint(self, spot: _Spot, name: str | None = None) -> str:
        if spot not in self._at:
            self._at[spot] = name or next(self._letters)
            self.joints[self._at[spot]] = spot
        return self._at[spot]

    def lay(self, part: Part, start: _Spot, end: _Spot) -> None:
        ends = self.joint(start), self.joint(end)
        if part.name in self._turned:
            ends = ends[1], ends[0]
        self.parts.append(part._replace(start=ends[0], end=ends[1], bend=None))

    def wire(self, *spots: _Spot) -> None:
        for start, end in pairwise(spots):
            if start != end:
                self.lay(Part(next(self._free), "wire", "", ""), start, end)

    def sketch(self, title: str, figures: int) -> Sketch:
        return Sketch(self.joints, tuple(self.parts), title=title, zero="0", figures=figures)


def _slices(parts: Sequence[Part], size: int) -> list[Sequence[Part]]:
    return [parts[start : start + size] for start in range(0, len(parts), size)]


def _room(parts: Sequence[Part]) -> int:
    """Grid steps from column to column, more of them where there is more to write beside a part."""
    words = max(len(" ".join(filter(None, (part.value, part.rated, part.internal)))) for part in parts)
    return ACROSS + min(_MORE, max(0, -(-(words - _SHORT) // 2)))


def in_series(battery: Part, parts: Sequence[Part], title: str, figures: int, turned: Collection[str] = ()) -> Sketch:
    """The parts one after the other; each begins at the end nearer the battery's + terminal, those `turned` end there.

    >>> from solver import battery, capacitor
    >>> one, two = capacitor("C1", "1 µF", "x", "y"), capacitor("C2", "2 µF", "x", "y")
    >>> sketch = in_series(battery("E1", "9 V", "x", "y"), [one, two], "Two", 3)
    >>> parts = [part for part in sketch.parts if part.kind != "wire"]
    >>> [(part.name, sketch.joints[part.start], sketch.joints[part.end]) for part in parts]
    [('E1', (0, 0), (0, 12)), ('C1', (9, 0), (9, 6)), ('C2', (9, 6), (9, 12))]
    """
    board = _Board([battery.name, *(part.name for part in parts)], turned)
    # Down, or down and up and down again.
    stacks = 1 if len(parts) <= STACKED else 3
    tall = -(-len(parts) // stacks)
    floor = tall * DOWN
    bottom = floor if stacks == 1 else floor + GAP
    board.joint((0, 0))
    board.joint((0, bottom), "0")
    board.lay(battery, (0, 0), (0, bottom))
    at = (0, 0)
    for number, stack in enumerate(_slices(parts, tall)):
        x, upwards = ACROSS * (number + 1), number % 2
        beginning = (x, floor if upwards else 0)
        board.wire(at, beginning)
        at = beginning
        for part in stack:
            after = (x, at[1] - DOWN if upwards else at[1] + DOWN)
            board.lay(part, at, after)
            at = after
        end = (x, 0 if upwards else bottom if number == stacks - 1 else floor)
        board.wire(at, end)
        at = end
    board.wire(at, (0, bottom))
    return board.sketch(title, figures)


def in_parallel(battery: Part, parts: Sequence[Part], title: str, figures: int, turned: Collection[str] = ()) -> Sketch:
    """The parts side by side between the same two conductors; each begins at that of the battery's + terminal, those
    `turned` end there.

    >>> from solver import battery, capacitor
    >>> one, two = capacitor("C1", "1 µF", "x", "y"), capacitor("C2", "2 µF", "x", "y")
    >>> sketch = in_parallel(battery("E1", "9 V", "x", "y"), [one, two], "Two", 3)
    >>> parts = [part for part in sketch.parts if part.kind != "wire"]
    >>> [(part.name, sketch.joints[part.start], sketch.joints[part.end]) for part in parts]
    [('E1', (0, 0), (0, 6)), ('C1', (9, 0), (9, 6)), ('C2', (18, 0), (18, 6))]
    """
    board = _Board([battery.name, *(part.name for part in parts)], turned)
    across = _room([battery, *parts])
    rows = -(-len(parts) // STACKED)
    wide = -(-len(parts) // rows)
    board.joint((0, 0))
    board.joint((0, DOWN), "0")
    board.lay(battery, (0, 0), (0, DOWN))
    # The rails are + and − in turn, so that every part stands between one of each.
    last = [0] * (rows + 1)
    for row, line in enumerate(_slices(parts, wide)):
        upper, lower = row * DOWN, (row + 1) * DOWN
        for number, part in enumerate(line):
            x = across * (number + 1)
            ends = ((x, upper), (x, lower))
            board.lay(part, *(ends if row % 2 == 0 else reversed(ends)))
            last[row], last[row + 1] = max(last[row], x), max(last[row + 1], x)
    left, right = -GAP, across * wide + across
    for rail, farthest in enumerate(last):
        y = rail * DOWN
        stops = [(x, y) for x in range(across, farthest + 1, across)]
        if rail < 2:
            stops.insert(0, (0, y))
        board.wire(*stops)
    if rows >= 2:
        board.wire((0, 0), (left, 0), (left, 2 * DOWN), (across, 2 * DOWN))
    if rows >= 3:
        board.wire((last[1], DOWN), (right, DOWN), (right, 3 * DOWN), (last[3], 3 * DOWN))
    return board.sketch(title, figures)
