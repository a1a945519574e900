"""Lays out a sketch as a person would draw it on a board: `tidy` what is on a sheet, `draw` what a line describes.

Battery left, its + terminal above; current down; branches side by side; no lines that cross unless no plane holds the
network; room for labels and readings.
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable, Iterator
from dataclasses import replace
from itertools import count
from types import MappingProxyType
from typing import TYPE_CHECKING, Final

from solver.faults import SheetTooSmall, SketchFaults
from solver.layout.board import Spot
from solver.layout.drawing import Drawing, drawing_of
from solver.layout.links import Link, Links, links_of
from solver.layout.two_way import Laid, apart
from solver.sketch import Part, Sketch
from solver.step_drawing import joint_names

if TYPE_CHECKING:
    from solver.say_it.description import Branch, Description, Item

# The say-it line draws with this module, so this module asks for it only once it is used.

_FARTHEST: Final = 100_000

JointNames = dict[tuple[int, Spot], str]
"""The name of the joint of a conductor at a spot."""


def tidy(sketch: Sketch) -> Sketch:
    """The same network laid out anew: the same parts and conductors, in other places, joined by other wires.

    Wires are drawing alone, so they are laid anew and named W1, W2 … in turn. Joints keep their names as far as their
    conductor still has so many; what the sketch says of a joint that is gone it says of another one of its conductor.
    The upper left corner of the drawing stays where it was. What is tidy stays as it is. Raises SketchFaults where the
    network would not fit on the sheet.

    >>> from solver import battery, capacitor
    >>> parts = (battery("E1", "9 V", "a", "0"), capacitor("C1", "1 µF", "a", "b"), capacitor("C2", "1 µF", "b", "0"))
    >>> sorted(tidy(Sketch.of(*parts)).joints.values())
    [(0, 0), (0, 12), (9, 0), (9, 6), (9, 12)]
    """
    from solver.say_it.mentions import follow

    if not sketch.parts:
        return sketch
    spread, seconds = apart(sketch)
    network, conductor = links_of(spread)
    wired = {conductor[part.start] for part in spread.parts if part.kind == "wire" and part.start != part.end}
    drawing = drawing_of(network, wired)
    names = _joint_names(drawing, network, spread, conductor)
    joints = _placed(names, dict.fromkeys(conductor.values()))
    parts = (*_parts(drawing, network, names), *_wires(drawing, network, names))
    laid = Laid(joints, parts, {name: number for (number, _), name in names.items()})
    laid = laid.together(seconds, {part.name: part for part in sketch.parts})
    kept = set(laid.joints)
    first: dict[int, str] = {}
    for name in laid.joints:
        first.setdefault(laid.conductor[name], name)
    changed = replace(sketch, joints=MappingProxyType(_corner_kept(dict(laid.joints), sketch)), parts=laid.parts)
    return follow(changed, lambda joint: joint if joint in kept else first[conductor[joint]], lambda part: part)


def draw(description: Description) -> Sketch:
    """The network that a say-it line describes, every item of it named, as a sketch without title or options.

    Where it has no batteries, or nothing but these, its two ends are joints at which a single part ends.
    """
    from solver.say_it.description import Item, Series

    links: list[Link] = []
    fresh = count()

    def walk(branch: Branch, start: int, end: int) -> None:
        if isinstance(branch, Item):
            links.append(_link(branch, len(links), start, end))
        elif isinstance(branch, Series):
            walk_along(branch.members, start, end)
        else:
            for member in branch.members:
                walk(member, start, end)

    def walk_along(members: tuple[Branch, ...], start: int, end: int) -> None:
        stops = [start, *(next(fresh) for _ in members[1:]), end]
        for member, one, other in zip(members, stops, stops[1:], strict=False):
            walk(member, one, other)

    top, bottom = next(fresh), next(fresh)
    if description.source:
        walk_along(description.source, top, bottom)
    if description.network is not None:
        walk(description.network, top, bottom)
    held = [end for link in links for end in (link.a, link.b)]
    several = {end for end in (top, bottom) if held.count(end) > 1}
    network = Links(tuple(links), next(fresh), frozenset() if description.source else frozenset(several))
    drawing = drawing_of(network)
    names = _joint_names(drawing, network, Sketch(joints={}, parts=()), {})
    parts = (*_parts(drawing, network, names), *_wires(drawing, network, names))
    joints = _placed(names, dict.fromkeys(end for link in links for end in (link.a, link.b)))
    return Sketch(joints=MappingProxyType(joints), parts=parts)


def _link(item: Item, number: int, start: int, end: int) -> Link:
    part = item.part(str(start), str(end))
    return Link(number, part, int(part.start), int(part.end))


def _joint_names(drawing: Drawing, network: Links, sketch: Sketch, conductor: dict[str, int]) -> JointNames:
    """A name for every joint: an old one of the same conductor, if possible of a part that ends there, else a new one.

    What the sketch speaks of is kept as long as its conductor has a joint for it.
    """
    old: dict[int, list[str]] = defaultdict(list)
    for joint, number in conductor.items():
        old[number].append(joint)
    ending: dict[tuple[int, Spot], list[str]] = defaultdict(list)
    for link in network.links:
        for end, spot, joint in zip((link.a, link.b), drawing.ends[link.number], _ends(link.part), strict=True):
            if joint in conductor:
                ending[end, spot].append(joint)
    spoken_of = set(_spoken_of(sketch))
    names: JointNames = {}
    taken: set[str] = set()
    new = (name for name in joint_names() if name not in conductor)
    for number, spots in enumerate(drawing.joints):
        for spot in spots:
            here = [joint for joint in ending[number, spot] if joint not in taken]
            if here:
                names[number, spot] = min(here, key=lambda joint: joint not in spoken_of)
                taken.add(names[number, spot])
        left = [joint for joint in old[number] if joint not in taken]
        left.sort(key=lambda joint: joint not in spoken_of)
        for spot in spots:
            if (number, spot) not in names:
                names[number, spot] = left.pop(0) if left else next(new)
        for joint in left:
            replaced = [spot for spot in spots if names[number, spot] not in spoken_of]
            if joint in spoken_of and replaced:
                names[number, replaced[0]] = joint
        taken.update(names[number, spot] for spot in spots)
    return names


def _ends(part: Part) -> tuple[str, str]:
    return part.start, part.end


def _spoken_of(sketch: Sketch) -> Iterator[str]:
    """The joints that a sketch speaks of beside drawing them."""
    if sketch.zero is not None:
        yield sketch.zero
    for pair in sketch.probes:
        yield from pair
    asked = [*(each.reading for each in sketch.required), *(each.reading for each in sketch.questions)]
    for key in (*sketch.covered, *asked):
        _, *joints = key.removeprefix("but ").rpartition(".")[0].split(" ")
        yield from joints


def _placed(names: JointNames, conductors: Iterable[int]) -> dict[str, Spot]:
    """The joints in the order of these conductors, those of each row by row."""
    of_conductor: dict[int, list[tuple[int, int, str]]] = defaultdict(list)
    for (number, (across, down)), name in names.items():
        of_conductor[number].append((down, across, name))
    return {name: (across, down) for number in conductors for down, across, name in sorted(of_conductor[number])}


def _parts(drawing: Drawing, network: Links, names: JointNames) -> Iterator[Part]:
    """The parts, ending at the joints where they have come to lie."""
    for link in network.links:
        a, b = drawing.ends[link.number]
        yield link.part._replace(start=names[link.a, a], end=names[link.b, b], bend=None)


def _wires(drawing: Drawing, network: Links, names: JointNames) -> Iterator[Part]:
    """The wires, each with the lowest free number."""
    taken = {link.part.name for link in network.links}
    fresh = (name for number in count(1) if (name := f"W{number}") not in taken)
    for number, wires in enumerate(drawing.wires):
        for one, other in wires:
            yield Part(next(fresh), "wire", names[number, one], names[number, other])


def _corner_kept(joints: dict[str, Spot], sketch: Sketch) -> dict[str, Spot]:
    """The joints moved so that the upper left corner is where it was, as far as the sheet reaches."""
    by = []
    for axis in (0, 1):
        places = [spot[axis] for spot in joints.values()]
        length = max(places) - min(places)
        if length > 2 * _FARTHEST:
            raise SketchFaults([SheetTooSmall(steps=str(length), most=str(2 * _FARTHEST))])
        corner = min(spot[axis] for spot in sketch.joints.values())
        by.append(min(corner, _FARTHEST - length) - min(places))
    return {joint: (across + by[0], down + by[1]) for joint, (across, down) in joints.items()}
