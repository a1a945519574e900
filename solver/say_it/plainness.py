"""How plain a drawing is: how many corners its lines have, how many parts lie across, how large it is."""

from __future__ import annotations

from collections import defaultdict
from dataclasses import dataclass
from typing import Final

from solver.sketch import Part, Sketch

_ACROSS: Final = 1
"""Parts that may lie across beyond those of the tidy drawing: one that has come into the place of a wire."""
_LARGER: Final = 1.5
"""How many times as large as the tidy drawing one may be, wires standing where parts did."""


@dataclass(frozen=True, slots=True)
class Plainness:
    """What takes from a drawing's plainness.

    `corners` are the joints where a line turns and nothing branches off, `across` the parts that do not stand upright,
    `size` is width and height together, in grid steps.
    """

    corners: int
    across: int
    size: int


def stays_plain(before: Sketch, tidy_before: Sketch, after: Sketch, tidy_after: Sketch) -> bool:
    """Whether a changed drawing is about as near to the tidy one of its network as it was before the change."""
    was, tidily_was, is_now, tidily = (plainness(each) for each in (before, tidy_before, after, tidy_after))
    return (
        is_now.corners - tidily.corners <= max(0, was.corners - tidily_was.corners)
        and is_now.across - tidily.across <= max(_ACROSS, was.across - tidily_was.across)
        and is_now.size <= tidily.size * max(_LARGER, was.size / tidily_was.size)
    )


def plainness(sketch: Sketch) -> Plainness:
    """How plain the drawing of a sketch with at least one part is."""
    ending: dict[str, list[Part]] = defaultdict(list)
    for part in sketch.parts:
        for joint in part.ends:
            ending[joint].append(part)
    used = [sketch.joints[joint] for joint in ending]
    parts = [part for part in sketch.parts if part.kind != "wire"]
    return Plainness(
        sum(len(lines) == 2 and _axis(sketch, lines[0]) != _axis(sketch, lines[1]) for lines in ending.values()),
        sum(_axis(sketch, part) != (True, False) for part in parts),
        sum(max(spot[axis] for spot in used) - min(spot[axis] for spot in used) for axis in (0, 1)),
    )


def _axis(sketch: Sketch, part: Part) -> tuple[bool, bool]:
    """Whether the part's line is upright, and whether it is level; neither where it has a corner itself."""
    (x, y), (u, v) = sketch.joints[part.start], sketch.joints[part.end]
    return x == u, y == v
