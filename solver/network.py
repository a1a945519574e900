"""What the sketch comes to as a network: conductors, the parts between them, bodies and pieces.

A conductor is all joints that wires, closed switches and the arms of two-way switches join; a body is all conductors
that batteries and resistors join, so that charge can move between them in the end; a piece is all bodies that
capacitors join.
"""

from __future__ import annotations

from collections.abc import Collection, Iterable, Mapping, Sequence
from dataclasses import dataclass
from functools import cached_property
from typing import NamedTuple

from solver.arithmetic import Arithmetic, Scalar
from solver.elements import Element
from solver.sketch import Part, Sketch


class Capacitor(NamedTuple):
    """A capacitor between conductors `a` (its from end) and `b`; capacitance in farads, initial voltage in volts."""

    name: str
    a: int
    b: int
    capacitance: Scalar
    initial: Scalar


class Resistor(NamedTuple):
    """A resistor between conductors `a` (its from end) and `b`; resistance in ohms."""

    name: str
    a: int
    b: int
    resistance: Scalar


class Battery(NamedTuple):
    """A battery with its + terminal on conductor `a` and its − terminal on `b`; emf in volts.

    `internal` is its internal resistance in ohms, None where it is ideal.
    """

    name: str
    a: int
    b: int
    emf: Scalar
    internal: Scalar | None


Branch = Capacitor | Resistor | Battery


@dataclass(frozen=True)
class Network:
    """The network of a sketch, in numbers of one arithmetic.

    Conductors, bodies and pieces are numbered in the order in which the sketch's joints first reach them. `zero` is
    the conductor whose potential is zero, `zeros` the one of each piece.
    The sequences of capacitors, resistors and batteries keep the order of the sketch.
    """

    joints: tuple[str, ...]
    conductors: tuple[tuple[str, ...], ...]
    conductor_of: Mapping[str, int]
    body_of: tuple[int, ...]
    bodies: tuple[tuple[int, ...], ...]
    piece_of: tuple[int, ...]
    pieces: tuple[tuple[int, ...], ...]
    zero: int
    zeros: tuple[int, ...]
    capacitors: tuple[Capacitor, ...]
    resistors: tuple[Resistor, ...]
    batteries: tuple[Battery, ...]
    arithmetic: Arithmetic

    @cached_property
    def piece_at(self) -> tuple[int, ...]:
        """The piece that each conductor belongs to."""
        return tuple(self.piece_of[body] for body in self.body_of)

    @cached_property
    def whole(self) -> tuple[Sequence[Scalar], Scalar]:
        """The capacitances in the unit that Arithmetic.whole finds for them, and how many of it make a farad."""
        return self.arithmetic.whole([part.capacitance for part in self.capacitors])

    @property
    def branches(self) -> tuple[Branch, ...]:
        """Every part that has a voltage of its own, batteries first."""
        return (*self.batteries, *self.capacitors, *self.resistors)


def groups(count: int, links: Iterable[tuple[int, int]]) -> tuple[list[int], list[tuple[int, ...]]]:
    """Which of 0 … count − 1 the links join: the group of each, and the members of each group, in rising order.

    Groups are numbered by their first members. It joins trees and shortens the way to their roots as it goes (R. E.
    Tarjan, J. ACM 22 (1975) 215–225), which for a class's networks takes a tenth of the time of building a graph.
    """
    root = list(range(count))
    for a, b in links:
        while root[a] != a:
            root[a] = a = root[root[a]]
        while root[b] != b:
            root[b] = b = root[root[b]]
        if a < b:
            root[b] = a
        else:
            root[a] = b
    group_of = [0] * count
    members: list[list[int]] = []
    for node in range(count):
        # A root is never larger than what hangs from it, so its group is known before theirs.
        if root[node] == node:
            group_of[node] = len(members)
            members.append([node])
        else:
            number = group_of[node] = group_of[root[node]]
            members[number].append(node)
    return group_of, [tuple(group) for group in members]


def conductors_of(sketch: Sketch) -> tuple[list[int], list[tuple[int, ...]]]:
    """The conductor of each joint (both counted in the sketch's order), and the joints of each conductor."""
    place = {joint: index for index, joint in enumerate(sketch.joints)}
    return groups(len(place), ((place[part.start], place[part.touched]) for part in sketch.parts if joins(part)))


def joins(part: Part) -> bool:
    """Whether the part makes its start one conductor with its end, or with the contact that it touches."""
    return part.kind in ("wire", "two-way switch") or (part.kind == "switch" and bool(part.closed))


def switches_between(sketch: Sketch, a: str, b: str) -> list[Part]:
    """The switches on the way between two joints of one conductor that leads over the fewest of them."""
    place = {joint: index for index, joint in enumerate(sketch.joints)}
    wires = [part for part in sketch.parts if part.kind == "wire"]
    wired, members = groups(len(place), ((place[wire.start], place[wire.end]) for wire in wires))
    start, end = wired[place[a]], wired[place[b]]
    beside: list[list[tuple[int, Part]]] = [[] for _ in members]
    for part in sketch.parts:
        if part.kind != "wire" and joins(part):
            one, other = wired[place[part.start]], wired[place[part.touched]]
            beside[one].append((other, part))
            beside[other].append((one, part))
    ways: dict[int, list[Part]] = {start: []}
    queue = [start]
    for here in queue:
        for there, switch in beside[here]:
            if there not in ways:
                ways[there] = [*ways[here], switch]
                queue.append(there)
    return ways[end]


def build(sketch: Sketch, elements: Sequence[Element], arithmetic: Arithmetic) -> Network:
    """The network of a sketch; elements whose value is at fault are left out."""
    joints = tuple(sketch.joints)
    of_joint, members = conductors_of(sketch)
    conductor_of = dict(zip(joints, of_joint, strict=True))
    number = arithmetic.number
    capacitors: list[Capacitor] = []
    resistors: list[Resistor] = []
    batteries: list[Battery] = []
    for element in elements:
        part, value = element.part, element.value
        if value is None:
            continue
        a, b = conductor_of[part.start], conductor_of[part.end]
        if part.kind == "capacitor":
            initial = number(element.initial) if element.initial else arithmetic.zero
            capacitors.append(Capacitor(part.name, a, b, number(value), initial))
        elif part.kind == "resistor":
            resistors.append(Resistor(part.name, a, b, number(value)))
        else:
            internal = number(element.internal) if element.internal and element.internal.factor else None
            batteries.append(Battery(part.name, a, b, number(value), internal))
    zero = conductor_of[sketch.zero] if sketch.zero is not None else batteries[0].b if batteries else 0
    conductors = tuple(tuple(joints[index] for index in group) for group in members)
    return tied(joints, conductors, conductor_of, zero, capacitors, resistors, batteries, arithmetic)


def tied(
    joints: tuple[str, ...],
    conductors: tuple[tuple[str, ...], ...],
    conductor_of: Mapping[str, int],
    zero: int,
    capacitors: Sequence[Capacitor],
    resistors: Sequence[Resistor],
    batteries: Sequence[Battery],
    arithmetic: Arithmetic,
) -> Network:
    """The network of these conductors and parts: works out the bodies and pieces and the zero of each piece."""
    conducting: list[Branch] = [*resistors, *batteries]
    body_of, bodies = groups(len(conductors), ((part.a, part.b) for part in conducting))
    piece_of, pieces = groups(len(bodies), ((body_of[part.a], body_of[part.b]) for part in capacitors))
    zeros: dict[int, int] = {}
    for conductor in (zero, *(battery.b for battery in batteries), *range(len(conductors))):
        if conductor < len(conductors):
            zeros.setdefault(piece_of[body_of[conductor]], conductor)
    return Network(
        joints=joints,
        conductors=conductors,
        conductor_of=conductor_of,
        body_of=tuple(body_of),
        bodies=tuple(bodies),
        piece_of=tuple(piece_of),
        pieces=tuple(pieces),
        zero=zero,
        zeros=tuple(zeros[piece] for piece in range(len(pieces))),
        capacitors=tuple(capacitors),
        resistors=tuple(resistors),
        batteries=tuple(batteries),
        arithmetic=arithmetic,
    )


def without(network: Network, away: Collection[int]) -> Network:
    """The network with some of its batteries taken away; conductors keep their numbers, the others keep their order."""
    return tied(
        network.joints,
        network.conductors,
        network.conductor_of,
        network.zero,
        network.capacitors,
        network.resistors,
        [battery for index, battery in enumerate(network.batteries) if index not in away],
        network.arithmetic,
    )
