"""Where parts run on the sheet, and the order in which they leave their joints if no lines cross or overlap.

The browser draws the same routes (static/geometry.js); a test holds the two against each other.
"""

from __future__ import annotations

from bisect import bisect_left, bisect_right
from collections import defaultdict
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from itertools import pairwise
from typing import Final

from solver.sketch import Part, Sketch

Spot = tuple[float, float]
_Leg = tuple[float, float, int]
"""Where a straight leg begins and ends along its row or column, and the place of its part."""

APART: Final = 6
"""How far parts between the same two joints are drawn apart, in grid steps."""
_LOOP: Final = 4


@dataclass(frozen=True, slots=True)
class Route:
    """A part's line from joint to joint in straight legs, and the middle of its symbol: grid steps, across and down."""

    points: tuple[Spot, ...]
    middle: Spot


def routes(sketch: Sketch) -> dict[str, Route]:
    """The route of every part, by its name.

    >>> from solver import Sketch, wire
    >>> sketch = Sketch.read({"joints": {"a": [0, 0], "b": [4, 2]}, "parts": [wire("W1", "a", "b").document()]})
    >>> routes(sketch)["W1"].points
    ((0, 0), (4, 0), (4, 2))
    """
    seen: dict[tuple[str, ...], int] = {}
    found = {}
    for part in sketch.parts:
        pair = (*sorted((part.start, part.end)), part.bend or "")
        before = seen.get(pair, 0)
        seen[pair] = before + 1
        points = _points(sketch.joints, part, before)
        found[part.name] = Route(points, _middle(points, part))
    return found


def _points(joints: Mapping[str, tuple[int, int]], part: Part, before: int) -> tuple[Spot, ...]:
    a, b = joints[part.start], joints[part.end]
    if part.start == part.end:
        x, y = a
        return a, (x + _LOOP, y), (x + _LOOP, y + _LOOP), (x, y + _LOOP), a
    straight = a[0] == b[0] or a[1] == b[1]
    upper, lower = (a, b) if a[1] <= b[1] else (b, a)
    turn = (upper[0], lower[1]) if part.bend == "lower" else (lower[0], upper[1])
    if not before:
        return (a, b) if straight else (a, turn, b)
    by = before * APART
    if a[0] == b[0]:
        return a, (a[0] + by, a[1]), (b[0] + by, b[1]), b
    if a[1] == b[1]:
        return a, (a[0], a[1] + by), (b[0], b[1] + by), b
    out = (turn[0] + by, turn[1] + by)
    if turn[1] == a[1]:
        return a, (a[0], out[1]), out, (out[0], b[1]), b
    return a, (out[0], a[1]), out, (b[0], out[1]), b


def _middle(points: Sequence[Spot], part: Part) -> Spot:
    leg = 0
    if len(points) == 3:
        first, second = (abs(a[0] - b[0]) + abs(a[1] - b[1]) for a, b in pairwise(points))
        leg = int(second > first or (first == second and points[0][0] != points[1][0]))
    elif len(points) > 3:
        leg = 1 if part.start == part.end else (len(points) - 1) // 2
    (ax, ay), (bx, by) = points[leg], points[leg + 1]
    return (ax + bx) / 2, (ay + by) / 2


def clockwise(sketch: Sketch, parts: Sequence[Part], found: Mapping[str, Route]) -> list[int] | None:
    """The order in which these parts leave their joints on the sheet; None where lines touch other than at a joint.

    Ends are numbered 2·place for where the part of that place starts and 2·place + 1 for where it ends; the answer
    gives for each end the next one clockwise round the same joint. No part may begin and end at one joint.
    """
    if not _is_plane(sketch, parts, found):
        return None
    leaving: dict[str, list[tuple[int, int]]] = defaultdict(list)
    for place, part in enumerate(parts):
        points = found[part.name].points
        leaving[part.start].append((_quarter(points[0], points[1]), 2 * place))
        leaving[part.end].append((_quarter(points[-1], points[-2]), 2 * place + 1))
    following = [0] * (2 * len(parts))
    for ends in leaving.values():
        ends.sort()
        for (_, end), (_, after) in zip(ends, [*ends[1:], ends[0]], strict=True):
            following[end] = after
    return following


def _quarter(a: Spot, b: Spot) -> int:
    """Which way a leg leaves: 0 up, 1 right, 2 down, 3 left."""
    if a[0] == b[0]:
        return 0 if b[1] < a[1] else 2
    return 1 if b[0] > a[0] else 3


def _is_plane(sketch: Sketch, parts: Sequence[Part], found: Mapping[str, Route]) -> bool:
    joint_at: dict[Spot, str] = {}
    for joint in {end for part in parts for end in (part.start, part.end)}:
        if joint_at.setdefault(sketch.joints[joint], joint) != joint:
            return False
    rows: dict[float, list[_Leg]] = defaultdict(list)
    columns: dict[float, list[_Leg]] = defaultdict(list)
    for place, part in enumerate(parts):
        for (ax, ay), (bx, by) in pairwise(found[part.name].points):
            if ay == by:
                rows[ay].append((min(ax, bx), max(ax, bx), place))
            else:
                columns[ax].append((min(ay, by), max(ay, by), place))

    def may_meet(one: int, other: int, x: float, y: float) -> bool:
        if one == other:
            return True
        joint = joint_at.get((x, y))
        return joint in (parts[one].start, parts[one].end) and joint in (parts[other].start, parts[other].end)

    for y, legs in rows.items():
        if any(not may_meet(one, other, at, y) for at, one, other in _touching(legs)):
            return False
    for x, legs in columns.items():
        if any(not may_meet(one, other, x, at) for at, one, other in _touching(legs)):
            return False
    heights = sorted(rows)
    for x, legs in columns.items():
        for low, high, place in legs:
            for y in heights[bisect_left(heights, low) : bisect_right(heights, high)]:
                for left, right, other in rows[y]:
                    if left <= x <= right and not may_meet(place, other, x, y):
                        return False
    return True


_NOWHERE: Final = float("nan")


def _touching(legs: list[_Leg]) -> Iterable[tuple[float, int, int]]:
    """Legs of one row or column that have a point in common: which point, no number where it is a stretch of them."""
    legs.sort()
    reach, owner = legs[0][1], legs[0][2]
    for start, end, place in legs[1:]:
        if start < reach:
            yield _NOWHERE, owner, place
        elif start == reach:
            yield start, owner, place
        if end > reach:
            reach, owner = end, place
