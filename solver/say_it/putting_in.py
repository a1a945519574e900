"""Puts parts into a chain on the sheet, each in the place of a wire that leads to its neighbour: nothing else moves."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, replace

from solver.layout.links import Link
from solver.layout.room import LEVEL, UPRIGHT, room
from solver.say_it.bare import Tree, parent, without
from solver.say_it.description import Branch, Item, Parallel, Series
from solver.sketch import Part, Sketch

End = tuple[str, str]
"""A part and the joint at which one end of it lies."""


def put_in(sketch: Sketch, trees: Sequence[Tree], new: Mapping[str, Item], turned: Mapping[str, bool]) -> Sketch | None:
    """The sheet with new parts in it; None where not each of them finds a wire to take the place of.

    `trees` are the two sides of the wanted line, in which `new` has the parts that come in under the names they have
    there; `turned` says how the parts of the sheet lie.
    """
    lying = dict(turned)
    for tree in trees:
        for name in [each for each in _names(tree) if each in new]:
            chain = parent(without(tree, {*lying, name}), name)
            if not isinstance(chain, Series):
                return None
            part = replace(new[name], name=name)
            found = next(
                (place for place in _places(sketch, chain.members, name, lying) if _fits(sketch, place, part)), None
            )
            if found is None:
                return None
            sketch = replace(sketch, parts=tuple(_taking(found, part.part(found.start, found.end), sketch)))
            lying[name] = new[name].turned
    return sketch


@dataclass(frozen=True, slots=True)
class _Place:
    """A wire, its joints in the order of the line, its length, and a part beside which the new one is listed."""

    length: int
    wire: Part
    start: str
    end: str
    beside: str


def _taking(place: _Place, part: Part, sketch: Sketch) -> Iterator[Part]:
    """The parts with one in the place of a wire. It comes after its neighbour, so that branches keep their order."""
    for each in sketch.parts:
        if each != place.wire:
            yield each
        if each.name == place.beside:
            yield part


def _names(tree: Tree) -> Iterator[str]:
    if isinstance(tree, Item):
        if tree.name:
            yield tree.name
    elif tree is not None:
        for member in tree.members:
            yield from _names(member)


def _places(sketch: Sketch, chain: Sequence[Branch], name: str, turned: Mapping[str, bool]) -> list[_Place]:
    """The wires that part what stands before a part of a chain from what stands after it, the longest first."""
    index = next(place for place, each in enumerate(chain) if isinstance(each, Item) and each.name == name)
    found: list[_Place] = []
    for neighbour, is_before in ((index - 1, True), (index + 1, False)):
        if not 0 <= neighbour < len(chain):
            continue
        ends = _ends(sketch, chain[neighbour], turned, at_start=not is_before)
        for wire, near, far in _parting(sketch, ends):
            joints = (near, far) if is_before else (far, near)
            found.append(_Place(_length(sketch, wire), wire, *joints, beside=next(iter(ends))[0]))
    return sorted(found, key=lambda each: each.length, reverse=True)


def _fits(sketch: Sketch, place: _Place, item: Item) -> bool:
    """Whether a part and its label have room in the place of a wire. Batteries stand upright, in a column of theirs."""
    axis = UPRIGHT if sketch.joints[place.start][0] == sketch.joints[place.end][0] else LEVEL
    if axis == LEVEL and item.kind == "battery":
        return False
    return place.length >= room(Link(0, item.part(place.start, place.end), 0, 1), axis).length


def _ends(sketch: Sketch, branch: Branch, turned: Mapping[str, bool], *, at_start: bool) -> Counter[End]:
    """The ends of parts that a branch begins or ends with; none where a wire is among its parts."""
    if isinstance(branch, Item):
        part = next((each for each in sketch.parts if each.name == branch.name), None)
        if part is None:
            return Counter()
        return Counter([(part.name, part.start if turned[part.name] is not at_start else part.end)])
    members = branch.members if isinstance(branch, Parallel) else [branch.members[0 if at_start else -1]]
    each = [_ends(sketch, member, turned, at_start=at_start) for member in members]
    return sum(each, Counter()) if all(each) else Counter()


def _parting(sketch: Sketch, ends: Counter[End]) -> Iterator[tuple[Part, str, str]]:
    """The wires on one side of which these ends lie and nothing else, each with its near and its far joint."""
    if not ends:
        return
    wires = [part for part in sketch.parts if part.kind == "wire"]
    meeting = Counter(
        (part.name, joint) for part in sketch.parts if part.kind != "wire" for joint in (part.start, part.end)
    )
    begin = next(iter(ends))[1]
    for wire in wires:
        near = _reached(begin, [other for other in wires if other is not wire])
        if (wire.start in near) == (wire.end in near):
            continue
        if Counter({end: count for end, count in meeting.items() if end[1] in near}) == ends:
            yield (wire, wire.start, wire.end) if wire.start in near else (wire, wire.end, wire.start)


def _reached(joint: str, wires: Sequence[Part]) -> set[str]:
    """The joints that wires join to this one."""
    reached, waiting = {joint}, [joint]
    while waiting:
        here = waiting.pop()
        for wire in wires:
            for start, end in ((wire.start, wire.end), (wire.end, wire.start)):
                if start == here and end not in reached:
                    reached.add(end)
                    waiting.append(end)
    return reached


def _length(sketch: Sketch, wire: Part) -> int:
    """Grid steps from end to end of a straight wire that comes over no other joint; else 0."""
    (ax, ay), (bx, by) = sketch.joints[wire.start], sketch.joints[wire.end]
    if ax != bx and ay != by:
        return 0
    for x, y in sketch.joints.values():
        if min(ax, bx) <= x <= max(ax, bx) and min(ay, by) <= y <= max(ay, by) and (x, y) not in ((ax, ay), (bx, by)):
            return 0
    return abs(ax - bx) + abs(ay - by)
