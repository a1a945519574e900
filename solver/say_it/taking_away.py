"""Takes parts off the sheet that an edited line has no more: what else is there stays where it is."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable
from dataclasses import replace

from solver.say_it.bare import Tree, parent, without
from solver.say_it.description import Series, items
from solver.sketch import Part, Sketch


def take_away(sketch: Sketch, trees: Iterable[Tree], stays: set[str]) -> Sketch:
    """The sheet without the parts of the two sides of its line that do not stay.

    A part of a chain leaves a wire in its place; of what stood side by side, the others stay, and the wires that led to
    it go. Only joints and parts differ; what the sheet says of them is as it was.
    """
    for whole in trees:
        tree = whole
        for name in [item.name for item in items(tree) if item.name and item.name not in stays]:
            inside = parent(tree, name)
            sketch = _wired(sketch, name) if isinstance(inside, Series) else _removed(sketch, name)
            tree = without(tree, {item.name for item in items(tree) if item.name} - {name})
    return sketch


def _wired(sketch: Sketch, name: str) -> Sketch:
    """A wire in the place of a part."""
    taken = {part.name for part in sketch.parts}
    fresh = next(f"W{number}" for number in range(1, len(taken) + 2) if f"W{number}" not in taken)
    parts = (
        Part(fresh, "wire", part.start, part.end, bend=part.bend) if part.name == name else part
        for part in sketch.parts
    )
    return replace(sketch, parts=tuple(parts))


def _removed(sketch: Sketch, name: str) -> Sketch:
    """Without a part, and without the wires that led to it alone."""
    before = _ends(sketch.parts)
    parts = [part for part in sketch.parts if part.name != name]
    while True:
        ends = _ends(parts)
        loose = {joint for joint, count in ends.items() if count == 1 < before[joint]}
        kept = [part for part in parts if part.kind != "wire" or not {part.start, part.end} & loose]
        if len(kept) == len(parts):
            break
        parts = kept
    ends = _ends(parts)
    joints = {joint: spot for joint, spot in sketch.joints.items() if ends[joint] or not before[joint]}
    return replace(sketch, joints=joints, parts=tuple(parts))


def _ends(parts: Iterable[Part]) -> Counter[str]:
    """How many parts end at each joint."""
    return Counter(joint for part in parts for joint in (part.start, part.end))
