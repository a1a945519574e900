"""Two-way switches in a layout of parts with two ends: laid out as two switches, then put together again.

The arm stays where one of the two came to lie; the other one's contact comes beside its contact, and a new line leads
from there to where the other one was joined: short, with few bends, and across as few lines as can be.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable, Mapping
from dataclasses import dataclass, replace
from heapq import heappop, heappush
from itertools import pairwise
from typing import Final

from solver.faults import SketchFaults, TwoWayNotTidied
from solver.layout.board import Spot
from solver.layout.room import UPRIGHT, room_of
from solver.sketch import Part, Sketch
from solver.step_drawing import free_name, joint_names

_BESIDE: Final = (2, -2, 3, -3)
_INSET: Final = 2
"""How far a contact comes in from where a wire runs past it on either side."""
_DEAR: Final = 10_000
_MARGIN: Final = 4
_BEND: Final = 4
_CROSSING: Final = 40
_THROUGH_A_PART: Final = 400
_ONTO_A_WIRE: Final = 6
_OVER_WORDS: Final = 6
_NEAR_A_PART: Final = 5
_WAYS: Final[tuple[Spot, ...]] = ((1, 0), (0, 1), (-1, 0), (0, -1))


def apart(sketch: Sketch) -> tuple[Sketch, dict[str, str]]:
    """The sketch with two parts, arm to either contact, in place of each two-way switch; and the second one's name.

    They take the room that the whole switch will.
    """
    taken = {part.name for part in sketch.parts}
    parts: list[Part] = []
    seconds: dict[str, str] = {}
    for part in sketch.parts:
        if part.second is None:
            parts.append(part)
            continue
        seconds[part.name] = free_name("S", taken)
        taken.add(seconds[part.name])
        one = part._replace(second=None, rests=None, bend=None, value=part.state)
        parts += [one, one._replace(name=seconds[part.name], end=part.second)]
    return replace(sketch, parts=tuple(parts)), seconds


@dataclass(frozen=True)
class Laid:
    """Joints and parts that have been laid out, all of them straight, and the conductor of each joint."""

    joints: Mapping[str, Spot]
    parts: tuple[Part, ...]
    conductor: Mapping[str, int]

    def together(self, seconds: Mapping[str, str], old: Mapping[str, Part]) -> Laid:
        """The same with the two-way switches, which were `old`, in place of the parts that stood for them."""
        laid = self
        for name, second in seconds.items():
            laid = laid._one(name, second, old[name])
        return laid

    def _one(self, name: str, second: str, old: Part) -> Laid:
        own = {part.name: part for part in self.parts if part.name in (name, second)}
        best: tuple[float, Laid] | None = None
        for main, other in ((name, second), (second, name)):
            for inset in (0, _INSET):
                best = self._better(best, old, own[main], own[other], inset, first=main == name)
        if best is None:
            raise SketchFaults([TwoWayNotTidied(parts=[name])])
        return best[1]

    def _better(
        self, best: tuple[float, Laid] | None, old: Part, main: Part, other: Part, inset: int, *, first: bool
    ) -> tuple[float, Laid] | None:
        """The best so far, or a better way with the switch where `main` is: each with what it costs."""
        rest = [part for part in self.parts if part.name not in (main.name, other.name)]
        rest = _pruned(rest, {main.start, main.end, other.end})
        arm, end = self.joints[main.start], self.joints[main.end]
        axis = int(arm[0] == end[0])
        along = 1 if end[axis] > arm[axis] else -1
        at = end[axis] - along * inset
        for rank, by in enumerate(_BESIDE):
            contact, spot = ((end[0], at), (end[0] + by, at)) if axis else ((at, end[1]), (at, end[1] + by))
            sheet = _Sheet(self, rest, (arm, end), contact, spot)
            found = sheet.way(self.conductor[other.end], _DEAR if best is None else best[0] - rank - inset)
            if found is not None:
                cost, way = found
                best = cost + rank + inset, self._drawn(old, main, other, rest, contact, way, first=first)
        return best

    def _drawn(
        self, old: Part, main: Part, other: Part, rest: list[Part], contact: Spot, way: list[Spot], *, first: bool
    ) -> Laid:
        joints, conductor = dict(self.joints), dict(self.conductor)
        if not _ends(other.end, rest):
            joints[other.end] = way[0]
        names = (name for name in joint_names() if name not in joints)
        taken = {part.name for part in self.parts}

        def joint_at(spot: Spot, number: int) -> str:
            for joint, place in joints.items():
                if place == spot and conductor[joint] == number:
                    return joint
            joint = next(names)
            joints[joint], conductor[joint] = spot, number
            return joint

        def wire(one: str, another: str) -> Part:
            name = free_name("W", taken)
            taken.add(name)
            return Part(name, "wire", one, another)

        corners = [way[0], *_corners(way), *way[-1:]] if len(way) > 1 else way
        ends = [joint_at(spot, conductor[other.end]) for spot in corners]
        parts = _cut(rest, joints, ends[-1], conductor, taken)
        parts += [wire(one, another) for one, another in pairwise(ends)]
        touched = joint_at(contact, conductor[main.end])
        if touched != main.end:
            parts.append(wire(touched, main.end))
        contacts = (touched, ends[0]) if first else (ends[0], touched)
        switch = old._replace(start=main.start, end=contacts[0], second=contacts[1], bend=None)
        parts = _pruned(parts, set(switch.ends))
        order = [part.name for part in self.parts]
        parts.append(switch)
        parts.sort(key=lambda part: order.index(part.name) if part.name in order else len(order))
        used = {end for part in parts for end in part.ends}
        kept = {joint: spot for joint, spot in joints.items() if joint in used or self.alone(joint)}
        return Laid(kept, tuple(parts), conductor)

    def alone(self, joint: str) -> bool:
        """Whether nothing ends at a joint."""
        return all(joint not in part.ends for part in self.parts)


class _Sheet:
    """What a new line from `start` may pass: a wire of another conductor straight across, a part in need only."""

    def __init__(self, laid: Laid, parts: list[Part], line: tuple[Spot, Spot], contact: Spot, start: Spot) -> None:
        self.start: Final = start
        self._laid: Final = laid
        self._wires: Final[dict[Spot, tuple[int, int]]] = {}
        self._closed: Final[set[Spot]] = set(_between(*line))
        self._dear: Final[Counter[Spot]] = Counter()
        self._joints: Final = {
            spot: laid.conductor[joint] for joint, spot in laid.joints.items() if _ends(joint, parts)
        }
        self._parts: Final[set[Spot]] = set()
        self._lead: Final = {spot for spot in _between(self._level(line[0], contact, start), start) if spot != start}
        for part in parts:
            a, b = laid.joints[part.start], laid.joints[part.end]
            upright = int(a[0] == b[0])
            if part.kind == "wire":
                for spot in _between(a, b):
                    self._wires[spot] = laid.conductor[part.start], upright
                continue
            self._parts.update(_between(a, b))
            if part.second is not None:
                self._parts.update(_between(laid.joints[part.second], self._level(a, b, laid.joints[part.second])))
            self._closed.update(spot for spot in _between(a, b) if spot not in (a, b))
            self._mark(part, a, b, upright)
        across, down = zip(*laid.joints.values(), start, strict=True)
        self._low: Final = min(across) - _MARGIN, min(down) - _MARGIN
        self._high: Final = max(across) + _MARGIN, max(down) + _MARGIN

    @staticmethod
    def _level(arm: Spot, first: Spot, second: Spot) -> Spot:
        """Where a second contact's own line begins, beside the middle of the symbol."""
        upright = arm[0] == first[0]
        return (second[0], (arm[1] + first[1]) // 2) if upright else ((arm[0] + first[0]) // 2, second[1])

    def _mark(self, part: Part, a: Spot, b: Spot, upright: int) -> None:
        """Makes dear what lies beside a part, and where its words will be."""
        x, y = (a[0] + b[0]) // 2, (a[1] + b[1]) // 2
        usual = room_of(part.kind, UPRIGHT if upright else 1 - UPRIGHT)
        words = (
            ((x + dx, y + dy) for dx in range(-usual.before, usual.after + 1) for dy in (-1, 0, 1))
            if upright
            else ((x + dx, y + dy) for dx in range(-3, 4) for dy in range(-usual.before, usual.after + 1))
        )
        self._dear.update(dict.fromkeys(words, _OVER_WORDS))
        for spot in _between(a, b):
            for way in _WAYS:
                self._dear[spot[0] + way[0], spot[1] + way[1]] += _NEAR_A_PART

    def way(self, conductor: int, most: float) -> tuple[float, list[Spot]] | None:
        """The best line to a conductor, dot by dot, and what it costs; one dot where nothing is
        joined there. None where it costs `most`.
        """
        taken = self._closed | self._parts | set(self._wires) | set(self._joints)
        if self.start in taken or self._lead & taken:
            return None
        goal = {spot for spot, (own, _) in self._wires.items() if own == conductor}
        goal |= {spot for spot, own in self._joints.items() if own == conductor}
        if not goal:
            return (0, [self.start]) if most > 0 else None
        best: dict[tuple[Spot, int], float] = {}
        queue: list[tuple[float, Spot, int, tuple[Spot, ...]]] = [(0, self.start, -1, (self.start,))]
        while queue:
            cost, here, coming, line = heappop(queue)
            if cost >= most:
                return None
            if here in goal:
                return cost, list(line)
            if best.get((here, coming), cost + 1) <= cost:
                continue
            best[here, coming] = cost
            for going, (dx, dy) in enumerate(_WAYS):
                there = here[0] + dx, here[1] + dy
                if coming >= 0 and (going - coming) % 4 == 2:
                    continue
                step = self._step(here, there, coming, going, goal)
                if step is not None:
                    heappush(queue, (cost + step, there, going, (*line, there)))
        return None

    def _step(self, here: Spot, there: Spot, coming: int, going: int, goal: set[Spot]) -> float | None:
        if not all(low <= at <= high for low, at, high in zip(self._low, there, self._high, strict=True)):
            return None
        bends = coming >= 0 and going != coming
        if here in self._wires and bends:
            return None
        if there in goal:
            return 1 + _BEND * bends + (0 if there in self._joints else _ONTO_A_WIRE)
        if there in self._joints or there in self._lead:
            return None
        crossing = _THROUGH_A_PART if there in self._closed or there in self._parts else 0
        if there in self._wires:
            if self._wires[there][1] == going % 2:
                return None
            crossing += _CROSSING
        return 1 + _BEND * bends + crossing + self._dear[there]


def _between(a: Spot, b: Spot) -> list[Spot]:
    """All dots from one to another in one row or column."""
    (x, y), (u, v) = sorted((a, b))
    return [(at, y) for at in range(x, u + 1)] if y == v else [(x, at) for at in range(y, v + 1)]


def _corners(way: list[Spot]) -> list[Spot]:
    return [
        here
        for before, here, after in zip(way, way[1:], way[2:], strict=False)
        if (here[0] - before[0], here[1] - before[1]) != (after[0] - here[0], after[1] - here[1])
    ]


def _ends(joint: str, parts: Iterable[Part]) -> bool:
    return any(joint in part.ends for part in parts)


def _cut(
    parts: list[Part], joints: Mapping[str, Spot], joint: str, conductor: Mapping[str, int], taken: set[str]
) -> list[Part]:
    """The parts with the wire that a joint lies on ended there, and another wire going on."""
    spot = joints[joint]
    made = []
    for part in parts:
        ends = joints[part.start], joints[part.end]
        own = part.kind == "wire" and conductor[part.start] == conductor[joint]
        if not own or spot in ends or spot not in _between(*ends):
            made.append(part)
            continue
        rest = free_name("W", taken)
        taken.add(rest)
        made += [part._replace(end=joint), Part(rest, "wire", joint, part.end)]
    return made


def _pruned(parts: list[Part], held: set[str]) -> list[Part]:
    """The parts without wires that lead to where nothing else is."""
    while True:
        count = Counter(joint for part in parts for joint in part.ends)
        left = [
            part
            for part in parts
            if part.kind != "wire" or all(count[joint] > 1 or joint in held for joint in (part.start, part.end))
        ]
        if len(left) == len(parts):
            return parts
        parts = left
