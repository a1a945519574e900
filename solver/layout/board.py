"""Where parts and wires have come to lie: takes what boxes draw and makes joints and straight wires of it.

Boxes say between which spots a part lies, and along which stretches a conductor runs. Stretches may overlap and may
reach too far: wires are laid only where they lead from one part to another, and end at every joint on their way.
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable, Iterator
from dataclasses import dataclass, field
from itertools import pairwise

from solver.layout.links import Link
from solver.layout.room import LEVEL, UPRIGHT

Spot = tuple[int, int]
"""Steps across and down."""


@dataclass(frozen=True, slots=True)
class Stretch:
    """A straight stretch of conductor: level or upright (`axis`), in row or column `line`, from `low` to `high`."""

    axis: int
    line: int
    low: int
    high: int

    def spot(self, along: int) -> Spot:
        """The spot so far along."""
        return (self.line, along) if self.axis == UPRIGHT else (along, self.line)


@dataclass
class Board:
    """Collects what is drawn. Spots are steps across and down from any origin."""

    ends: dict[int, tuple[Spot, Spot]] = field(default_factory=dict)
    """By a link's number: the spots of its ends at conductors `a` and `b`."""
    held: dict[int, dict[Spot, None]] = field(default_factory=lambda: defaultdict(dict))
    """The spots of each conductor that a joint has to be at."""
    stretches: dict[int, list[Stretch]] = field(default_factory=lambda: defaultdict(list))

    def part(self, link: Link, a: Spot, b: Spot) -> None:
        """A part from the spot of its conductor `a` to that of `b`."""
        self.ends[link.number] = a, b
        self.held[link.a][a] = None
        self.held[link.b][b] = None

    def open_end(self, conductor: int, spot: Spot) -> None:
        """An end of a wire that leads no further."""
        self.held[conductor][spot] = None

    def stretch(self, conductor: int, one: Spot, other: Spot) -> None:
        """A conductor runs between two spots in one row or column."""
        (x, y), (u, v) = sorted((one, other))
        if (x, y) != (u, v):
            self.stretches[conductor].append(Stretch(LEVEL, y, x, u) if y == v else Stretch(UPRIGHT, x, y, v))

    def wires(self, conductor: int) -> tuple[list[Spot], list[tuple[Spot, Spot]]]:
        """The joints of a conductor, row by row, and the wires between them."""
        held = self.held[conductor]
        runs = list(_joined(self.stretches[conductor]))
        beside: dict[Spot, set[Spot]] = {spot: set() for spot in held}
        for run, stops in _stops(runs, held):
            for low, high in pairwise(stops):
                one, other = run.spot(low), run.spot(high)
                beside.setdefault(one, set()).add(other)
                beside.setdefault(other, set()).add(one)
        _prune(beside, held)
        _straighten(beside, held)
        joints = sorted(beside, key=lambda spot: (spot[1], spot[0]))
        return joints, [(joint, other) for joint in joints for other in sorted(beside[joint]) if _first(joint, other)]


def _first(one: Spot, other: Spot) -> bool:
    return (one[1], one[0]) < (other[1], other[0])


def _joined(stretches: Iterable[Stretch]) -> Iterator[Stretch]:
    """Stretches that touch on one line, as one."""
    last: Stretch | None = None
    for each in sorted(stretches, key=lambda each: (each.axis, each.line, each.low)):
        if last and (last.axis, last.line) == (each.axis, each.line) and each.low <= last.high:
            last = Stretch(last.axis, last.line, last.low, max(last.high, each.high))
            continue
        if last:
            yield last
        last = each
    if last:
        yield last


def _stops(runs: list[Stretch], held: Iterable[Spot]) -> Iterator[tuple[Stretch, list[int]]]:
    """Where each run ends, is held or is met by another: in rising order."""
    on_line: dict[tuple[int, int], list[int]] = defaultdict(list)
    for across, down in held:
        on_line[LEVEL, down].append(across)
        on_line[UPRIGHT, across].append(down)
    for run in runs:
        stops = {run.low, run.high}
        stops.update(place for place in on_line[run.axis, run.line] if run.low <= place <= run.high)
        for other in runs:
            if other.axis != run.axis and run.low <= other.line <= run.high and other.low <= run.line <= other.high:
                stops.add(other.line)
        yield run, sorted(stops)


def _prune(beside: dict[Spot, set[Spot]], held: dict[Spot, None]) -> None:
    """Takes away wires that lead nowhere."""
    waiting = [spot for spot, others in beside.items() if len(others) < 2 and spot not in held]
    while waiting:
        spot = waiting.pop()
        others = beside.pop(spot, None)
        for other in others or ():
            beside[other].discard(spot)
            if len(beside[other]) < 2 and other not in held:
                waiting.append(other)


def _straighten(beside: dict[Spot, set[Spot]], held: dict[Spot, None]) -> None:
    """Takes away joints at which nothing but two wires in one line meet."""
    for spot in [spot for spot, others in beside.items() if len(others) == 2 and spot not in held]:
        one, other = beside[spot]
        if one[0] == other[0] or one[1] == other[1]:
            del beside[spot]
            beside[one].remove(spot)
            beside[other].remove(spot)
            beside[one].add(other)
            beside[other].add(one)
