"""The drawing of a network while it is reduced: the parts that are left, on the joints of the sheet.

What stands for several parts goes between two joints where these ended, straight where it can. Wires that lead to
nothing any more are left out.
"""

from __future__ import annotations

from collections import Counter, defaultdict
from collections.abc import Callable, Collection, Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from functools import cached_property
from itertools import count
from string import ascii_lowercase

from solver.format import format_number
from solver.geometry import is_build
from solver.network import joins
from solver.quantities import Quantity
from solver.sketch import Part, Sketch
from solver.step_changes import Change, Link, Star, added, removed
from solver.values import read_value

Place = tuple[int, int]


@dataclass(frozen=True)
class Drawing:
    """Parts on joints; made from another drawing, never changed. `node_of` tells the node of each joint."""

    sketch: Sketch
    joints: Mapping[str, Place]
    parts: Mapping[str, Part]
    node_of: Mapping[str, int]

    def without(self, names: Collection[str]) -> Drawing:
        """The drawing with these parts taken away."""
        return replace(self, parts={name: part for name, part in self.parts.items() if name not in names})

    def as_wires(self, names: Collection[str]) -> Drawing:
        """The drawing with these parts replaced by wires."""
        taken = set(self.parts)
        parts = {}
        for name, part in self.parts.items():
            if name in names:
                wire = free_name("W", taken)
                taken.add(wire)
                parts[wire] = Part(wire, "wire", part.start, part.end, bend=part.bend)
            else:
                parts[name] = part
        return replace(self, parts=parts)

    def numbered(self, node_of: Mapping[str, int]) -> Drawing:
        """The drawing with the nodes of its joints told anew."""
        return replace(self, node_of=node_of)

    def changed(self, change: Change, kind: str, text: Callable[[Link], str]) -> Drawing:
        """The drawing after a change of links of this kind; `text` gives what is written on a new part."""
        gone = {link.name for link in removed(change)}
        rest = self.without(gone)
        joints, node_of = dict(self.joints), dict(self.node_of)
        if isinstance(change, Star):
            corners = [self.joints[self._end(link, node)] for link, node in _corner_ends(change)]
            centre = free_name("s", joints)
            joints[centre] = _beside(corners, set(joints.values()))
            node_of[centre] = change.centre
            rest = replace(rest, joints=joints, node_of=node_of)
        parts = dict(rest.parts)
        ends: dict[int, list[str]] = defaultdict(list)
        for link in removed(change):
            for node in (link.a, link.b):
                ends[node].append(self._end(link, node))
        for joint, node in rest.node_of.items():
            if isinstance(change, Star) and node == change.centre:
                ends[node].append(joint)
        for link in added(change):
            start, end, bend = rest._nearest(ends[link.a], ends[link.b])
            parts[link.name] = Part(link.name, kind, start, end, text(link), bend=bend)
        return replace(rest, parts=parts)

    def _end(self, link: Link, node: int) -> str:
        """The joint where the part of a link ends on a node."""
        part = self.parts[link.name]
        return part.start if self.node_of[part.start] == node else part.end

    def _nearest(self, starts: Iterable[str], ends: Iterable[str]) -> tuple[str, str, str | None]:
        """The two joints between which a new part is drawn, and how it bends: clear of others, straight, short."""
        starts, ends = list(dict.fromkeys(starts)), list(dict.fromkeys(ends))
        # Wires that the new part will need are those that lead to where it may end.
        held = [Part("", "resistor", a, b) for a in starts for b in ends]
        lines = [
            line
            for part in _pruned([*self.parts.values(), *held])
            if part.name
            for line in _lines(self._place(part.start), self._place(part.end), part)
        ]

        def cost(way: tuple[str, str, str | None]) -> tuple[int, bool, int]:
            here, there = self._place(way[0]), self._place(way[1])
            own = _lines(here, there, Part("", "wire", way[0], way[1], bend=way[2]))
            covered = sum(_overlap(*line, *other) for line in own for other in lines)
            return covered, len(own) > 1, abs(here[0] - there[0]) + abs(here[1] - there[1])

        ways = [(a, b, bend) for a in starts for b in ends for bend in (None, "lower")]
        best = min(ways, key=cost)
        straight = len(_lines(self._place(best[0]), self._place(best[1]), Part("", "wire", "", ""))) == 1
        return (best[0], best[1], None) if straight else best

    def _place(self, joint: str) -> Place:
        return self.joints[joint]

    @cached_property
    def drawn(self) -> Sketch:
        """The drawing as a sketch, without wires that lead nowhere."""
        parts = _pruned(list(self.parts.values()))
        used = dict.fromkeys(joint for part in parts for joint in (part.start, part.end))
        joints = {joint: self.joints[joint] for joint in self.joints if joint in used}
        zero = self.sketch.zero
        if zero is not None and zero not in used:
            node = self.node_of.get(zero)
            zero = next((joint for joint in joints if self.node_of[joint] == node), None)
        return Sketch(joints=joints, parts=tuple(parts), zero=zero, figures=self.sketch.figures)


def drawing_of(sketch: Sketch, node_of: Mapping[str, int]) -> Drawing:
    """The drawing of a sheet; a capacitor given by its build has its capacitance, which is shorter than the words."""
    return Drawing(sketch, dict(sketch.joints), {part.name: _told(part, sketch) for part in sketch.parts}, node_of)


def _told(part: Part, sketch: Sketch) -> Part:
    if part.kind != "capacitor" or not part.value or not is_build(part.value):
        return part
    capacitance = read_value(part.value, Quantity.CAPACITANCE).factor
    return part._replace(value=format_number(capacitance, Quantity.CAPACITANCE.unit, sketch.figures))


def _pruned(parts: list[Part]) -> list[Part]:
    """The parts without wires that end where nothing else does, or that join nothing but each other."""
    while True:
        count = Counter(joint for part in parts for joint in (part.start, part.end))
        held = {joint for part in parts if part.kind != "wire" for joint in (part.start, part.end)}
        held |= _reached(held, parts)
        left = [
            part
            for part in parts
            if part.kind != "wire"
            or (count[part.start] > 1 and count[part.end] > 1 and part.start in held and part.start != part.end)
        ]
        if len(left) == len(parts):
            return parts
        parts = left


def _reached(joints: Iterable[str], parts: Iterable[Part]) -> set[str]:
    """All joints that wires lead to from these."""
    beside: dict[str, list[str]] = defaultdict(list)
    for part in parts:
        if joins(part):
            beside[part.start].append(part.end)
            beside[part.end].append(part.start)
    queue = list(joints)
    found = set(queue)
    for joint in queue:
        for other in beside[joint]:
            if other not in found:
                found.add(other)
                queue.append(other)
    return found


def _corner_ends(change: Star) -> list[tuple[Link, int]]:
    return [(next(side for side in change.sides if corner in (side.a, side.b)), corner) for corner in change.corners]


def _beside(corners: Sequence[Place], taken: Collection[Place]) -> Place:
    """A free place near the middle of three."""
    across, down = (round(sum(place[axis] for place in corners) / len(corners)) for axis in (0, 1))
    for reach in range(100):
        for x in range(across - reach, across + reach + 1):
            for y in range(down - reach, down + reach + 1):
                if (x, y) not in taken:
                    return x, y
    return across, down


def _lines(start: Place, end: Place, part: Part) -> list[tuple[Place, Place]]:
    """The straight lines that a part is drawn along; between joints in no one row or column it bends once."""
    if start[0] == end[0] or start[1] == end[1]:
        return [(start, end)]
    upper, lower = sorted((start, end), key=lambda place: place[1])
    corner = (upper[0], lower[1]) if part.bend == "lower" else (lower[0], upper[1])
    return [(start, corner), (corner, end)]


def _overlap(a: Place, b: Place, c: Place, d: Place) -> bool:
    """Whether two lines along one row or one column have more than a point in common."""
    for along, beside in ((0, 1), (1, 0)):
        if a[beside] == b[beside] == c[beside] == d[beside]:
            low = max(min(a[along], b[along]), min(c[along], d[along]))
            return low < min(max(a[along], b[along]), max(c[along], d[along]))
    return False


def free_name(letter: str, taken: Collection[str]) -> str:
    """A name that nothing has yet."""
    number = 1
    while f"{letter}{number}" in taken:
        number += 1
    return f"{letter}{number}"


def joint_names() -> Iterator[str]:
    """a … z, then a1 … z1 and so on."""
    for number in count():
        for letter in ascii_lowercase:
            yield f"{letter}{number or ''}"
