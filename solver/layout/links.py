"""The network that is to be laid out: parts as links between conductors, whatever the drawing of the wires.

Unlike for the solver, a closed switch joins no conductors: it is a part that has to be seen.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass, field

from solver.network import groups
from solver.sketch import Part, Sketch


@dataclass(frozen=True, slots=True)
class Link:
    """A part between conductors `a` (its from end) and `b`.

    `number` is its place among the parts; `place` where its symbol stands on the sheet as it is (twice the steps across
    and down, so that middles are whole numbers), None where it has no place yet.
    """

    number: int
    part: Part
    a: int
    b: int
    place: tuple[int, int] | None = None


@dataclass(frozen=True)
class Links:
    """The links of a sketch, and its conductors 0 … count − 1 in the order in which the links reach them.

    `open_ends` are conductors with several parts on which a wire leads to an open end, to be kept open; `heights` says
    how far down each conductor begins on the sheet, `probed` which pairs of conductors are read between.
    """

    links: tuple[Link, ...]
    count: int
    open_ends: frozenset[int] = frozenset()
    heights: Mapping[int, int] = field(default_factory=dict)
    probed: tuple[tuple[int, int], ...] = ()

    def pieces(self) -> Iterator[list[Link]]:
        """The links of each piece of the network, in order."""
        piece_of, pieces = groups(self.count, ((link.a, link.b) for link in self.links))
        members: list[list[Link]] = [[] for _ in pieces]
        for link in self.links:
            members[piece_of[link.a]].append(link)
        return iter(members)


def links_of(sketch: Sketch) -> tuple[Links, dict[str, int]]:
    """The links of a sketch, and the conductor of each joint; conductors without a part have the last numbers."""
    place = {joint: index for index, joint in enumerate(sketch.joints)}
    wires = ((place[part.start], place[part.end]) for part in sketch.parts if part.kind == "wire")
    group_of, members = groups(len(place), wires)
    parts = [part for part in sketch.parts if part.kind != "wire"]
    reached = dict.fromkeys(group_of[place[joint]] for part in parts for joint in (part.start, part.end))
    number = {group: index for index, group in enumerate((*reached, *(set(range(len(members))) - set(reached))))}
    conductor = {joint: number[group_of[index]] for joint, index in place.items()}
    links = [
        Link(index, part, conductor[part.start], conductor[part.end], _middle(sketch, part))
        for index, part in enumerate(parts)
    ]
    heights: dict[int, int] = {}
    for joint, (_, down) in sketch.joints.items():
        heights[conductor[joint]] = min(down, heights.get(conductor[joint], down))
    found = Links(
        tuple(links),
        len(members),
        frozenset(_open_ends(sketch, conductor, links)),
        heights,
        tuple((conductor[a], conductor[b]) for a, b in sketch.probes if conductor[a] != conductor[b]),
    )
    return found, conductor


def _middle(sketch: Sketch, part: Part) -> tuple[int, int]:
    (x, y), (u, v) = sketch.joints[part.start], sketch.joints[part.end]
    return x + u, y + v


def _open_ends(sketch: Sketch, conductor: dict[str, int], links: Iterable[Link]) -> Iterator[int]:
    """Conductors of several parts with a joint at which nothing but one wire ends."""
    ends = dict.fromkeys(sketch.joints, 0)
    for part in sketch.parts:
        ends[part.start] += 1
        ends[part.end] += 1
    held = [0] * (max(conductor.values(), default=-1) + 1)
    for link in links:
        held[link.a] += 1
        held[link.b] += 1
    return (conductor[joint] for joint, count in ends.items() if count == 1 and held[conductor[joint]] > 1)
