"""Two-way switches in a layout of parts with two ends: laid out as two switches, then put together again.

The arm stays where one of the two came to lie; the other one's contact comes beside its contact, and a new line leads
from there to where the other one was joined: short, with few bends, and across as few lines as can be.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable, Mapping, Set
from dataclasses import dataclass, replace
from heapq import heappop, heappush
from itertools import pairwise, product
from typing import Final

from solver.faults import SketchFaults, TwoWayNotTidied
from solver.layout.board import Spot
from solver.layout.room import UPRIGHT, room_of
from solver.sketch import Part, Sketch
from solver.step_drawing import free_name, joint_names

_BESIDE: Final = (2, -2, 3, -3)
_LINES: Final = 16
"""Lines that are tried for each switch: either contact's, with and without an inset, on each place beside."""
_INSET: Final = 2
"""How far a contact comes in from where a wire runs past it on either side."""
_DEAR: Final = 10_000
_LOOKS: Final = 200_000
"""Dots that are looked at for all the switches of a sketch together; about three quarters of a second of work."""
_LOOKS_IN_HASTE: Final = 1_000
"""The same for each line to one switch that no line was found for in that time."""
_HASTE: Final = 100
"""What a step nearer to the goal counts then."""
_MARGIN: Final = 4
_BEND: Final = 4
_CROSSING: Final = 40
_THROUGH_A_PART: Final = 400
_ONTO_A_WIRE: Final = 6
_OVER_WORDS: Final = 6
_NEAR_A_PART: Final = 5
_WAYS: Final[tuple[Spot, ...]] = ((1, 0), (0, 1), (-1, 0), (0, -1))
_STILL: Final = -1
_TURNS: Final = {
    coming: tuple(going for going in range(4) if coming == _STILL or (going - coming) % 4 != 2)
    for coming in (_STILL, 0, 1, 2, 3)
}
"""The ways on from each way of coming: all but back."""


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
            looks = _LOOKS // len(seconds)
            best = laid._best(name, second, old[name], Looks(looks, looks // 4))
            if best is None:
                best = laid._best(name, second, old[name], Looks(_LINES * _LOOKS_IN_HASTE, _LOOKS_IN_HASTE, _HASTE))
            if best is None:
                raise SketchFaults([TwoWayNotTidied(parts=[name])])
            laid = best
        return laid

    def _best(self, name: str, second: str, old: Part, looks: Looks) -> Laid | None:
        own = {part.name: part for part in self.parts if part.name in (name, second)}
        best: tuple[float, Laid] | None = None
        for main, other in ((name, second), (second, name)):
            best = self._better(best, old, own[main], own[other], looks, first=main == name)
        return best and best[1]

    def _better(
        self,
        best: tuple[float, Laid] | None,
        old: Part,
        main: Part,
        other: Part,
        looks: Looks,
        *,
        first: bool,
    ) -> tuple[float, Laid] | None:
        """The best so far, or a better way with the switch where `main` is: each with what it costs."""
        rest = [part for part in self.parts if part.name not in (main.name, other.name)]
        rest = _pruned(rest, {main.start, main.end, other.end})
        arm, end = self.joints[main.start], self.joints[main.end]
        axis = int(arm[0] == end[0])
        along = 1 if end[axis] > arm[axis] else -1
        ground = _Ground(self, rest)
        goal = ground.of(self.conductor[other.end])
        for inset, (rank, by) in product((0, _INSET), enumerate(_BESIDE)):
            at = end[axis] - along * inset
            contact, spot = ((end[0], at), (end[0] + by, at)) if axis else ((at, end[1]), (at, end[1] + by))
            sheet = _Sheet(ground, (arm, end), contact, spot)
            most = _DEAR if best is None else best[0] - rank - inset
            found = sheet.way(goal, most, looks)
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
        order = {part.name: place for place, part in enumerate(self.parts)}
        parts.append(switch)
        parts.sort(key=lambda part: order.get(part.name, len(order)))
        used = {end for part in parts for end in part.ends}
        kept = {joint: spot for joint, spot in joints.items() if joint in used or self.alone(joint)}
        return Laid(kept, tuple(parts), conductor)

    def alone(self, joint: str) -> bool:
        """Whether nothing ends at a joint."""
        return all(joint not in part.ends for part in self.parts)


@dataclass
class Looks:
    """How many dots may still be looked at, and at most for `each` line; `pull` is what a step nearer to the goal
    counts beside what the line costs: with none the line found is the best, with much one is found soon."""

    left: int
    each: int
    pull: int = 0


class _Ground:
    """What lies on a sheet besides the switch that is put together: wires, parts, and what is near them."""

    def __init__(self, laid: Laid, parts: list[Part]) -> None:
        self.laid: Final = laid
        ended = {end for part in parts for end in part.ends}
        self.joints: Final = {spot: laid.conductor[joint] for joint, spot in laid.joints.items() if joint in ended}
        self.wires: Final[dict[Spot, tuple[int, int]]] = {}
        self.parts: Final[set[Spot]] = set()
        self.dear: Final[Counter[Spot]] = Counter()
        for part in parts:
            a, b = laid.joints[part.start], laid.joints[part.end]
            upright = int(a[0] == b[0])
            if part.kind == "wire":
                for spot in _between(a, b):
                    self.wires[spot] = laid.conductor[part.start], upright
                continue
            self.parts.update(_between(a, b))
            if part.second is not None:
                self.parts.update(_between(laid.joints[part.second], _level(a, b, laid.joints[part.second])))
            self._mark(part, a, b, upright)
        across, down = zip(*laid.joints.values(), strict=True)
        self.low: Final = min(across), min(down)
        self.high: Final = max(across), max(down)

    def of(self, conductor: int) -> Set[Spot]:
        """The dots where a conductor lies."""
        wired = {spot for spot, (own, _) in self.wires.items() if own == conductor}
        return wired | {spot for spot, own in self.joints.items() if own == conductor}

    def taken(self, spot: Spot) -> bool:
        """Whether anything is at a dot."""
        return spot in self.parts or spot in self.wires or spot in self.joints

    def _mark(self, part: Part, a: Spot, b: Spot, upright: int) -> None:
        """Makes dear what lies beside a part, and where its words will be."""
        x, y = (a[0] + b[0]) // 2, (a[1] + b[1]) // 2
        usual = room_of(part.kind, UPRIGHT if upright else 1 - UPRIGHT)
        words = (
            ((x + dx, y + dy) for dx in range(-usual.before, usual.after + 1) for dy in (-1, 0, 1))
            if upright
            else ((x + dx, y + dy) for dx in range(-3, 4) for dy in range(-usual.before, usual.after + 1))
        )
        self.dear.update(dict.fromkeys(words, _OVER_WORDS))
        for spot in _between(a, b):
            for way in _WAYS:
                self.dear[spot[0] + way[0], spot[1] + way[1]] += _NEAR_A_PART


class _Sheet:
    """What a new line from `start` may pass: a wire of another conductor straight across, a part in need only."""

    def __init__(self, ground: _Ground, line: tuple[Spot, Spot], contact: Spot, start: Spot) -> None:
        self.start: Final = start
        self._ground: Final = ground
        self._own: Final = frozenset(_between(*line))
        self._lead: Final = {spot for spot in _between(_level(line[0], contact, start), start) if spot != start}
        self._low: Final = tuple(min(low, at) - _MARGIN for low, at in zip(ground.low, start, strict=True))
        self._high: Final = tuple(max(high, at) + _MARGIN for high, at in zip(ground.high, start, strict=True))

    def way(self, goal: Set[Spot], most: float, looks: Looks) -> tuple[float, list[Spot]] | None:
        """The best line to a conductor that lies at these dots, dot by dot, and what it costs; one dot where it lies
        nowhere yet. None where it costs `most`, or takes more looks than there are.
        """
        if most <= 0 or any(spot in self._own or self._ground.taken(spot) for spot in (self.start, *self._lead)):
            return None
        return self._searched(goal, most, looks) if goal else (0, [self.start])

    def _searched(self, goal: Set[Spot], most: float, looks: Looks) -> tuple[float, list[Spot]] | None:
        aim = min(goal, key=lambda spot: (_apart(spot, self.start), spot))
        came: dict[tuple[Spot, int], tuple[Spot, int]] = {}
        queue: list[tuple[float, float, Spot, int, int]] = [(0, 0, self.start, _STILL, _STILL)]
        for _ in range(min(looks.each, looks.left)):
            if not queue:
                break
            looks.left -= 1
            _, cost, here, coming, before = heappop(queue)
            if (here, coming) in came:
                continue
            came[here, coming] = (here, _STILL) if coming == _STILL else (_back(here, coming), before)
            if here in goal:
                return cost, _followed(came, here, coming)
            straight = here in self._ground.wires and coming != _STILL
            for going in (coming,) if straight else _TURNS[coming]:
                there = here[0] + _WAYS[going][0], here[1] + _WAYS[going][1]
                step = self._step(there, going, goal)
                if step is None:
                    continue
                total = cost + step + (_BEND if coming not in (going, _STILL) else 0)
                if total < most:
                    heappush(queue, (total + looks.pull * _apart(there, aim), total, there, going, coming))
        return None

    def _step(self, there: Spot, going: int, goal: Set[Spot]) -> int | None:
        """What it costs to go on to a dot, bends aside; None where it cannot be."""
        (left, top), (right, bottom) = self._low, self._high
        if not (left <= there[0] <= right and top <= there[1] <= bottom):
            return None
        ground = self._ground
        if there in goal:
            return 1 if there in ground.joints else 1 + _ONTO_A_WIRE
        if there in ground.joints or there in self._lead:
            return None
        crossing = _THROUGH_A_PART if there in ground.parts or there in self._own else 0
        if (wire := ground.wires.get(there)) is not None:
            if wire[1] == going % 2:
                return None
            crossing += _CROSSING
        return 1 + crossing + ground.dear[there]


def _apart(one: Spot, other: Spot) -> int:
    return abs(one[0] - other[0]) + abs(one[1] - other[1])


def _level(arm: Spot, first: Spot, second: Spot) -> Spot:
    """Where a second contact's own line begins, beside the middle of the symbol."""
    upright = arm[0] == first[0]
    return (second[0], (arm[1] + first[1]) // 2) if upright else ((arm[0] + first[0]) // 2, second[1])


def _back(spot: Spot, way: int) -> Spot:
    return spot[0] - _WAYS[way][0], spot[1] - _WAYS[way][1]


def _followed(came: Mapping[tuple[Spot, int], tuple[Spot, int]], here: Spot, coming: int) -> list[Spot]:
    """The dots of a line from its start."""
    line = [here]
    while coming != _STILL:
        here, coming = came[here, coming]
        line.append(here)
    return line[::-1]


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
