"""One battery at a time: the others replaced by wires or by their internal resistances, then everything added up.

That this is allowed is the principle of superposition, which H. Helmholtz stated for currents (Annalen der Physik und
Chemie 89 (1853) 211–233; from memory).
"""

from __future__ import annotations

from collections.abc import Collection, Mapping, Sequence
from dataclasses import dataclass, replace
from typing import Final

from solver.ideal import ideal_of
from solver.network import Battery, Capacitor, Network, Resistor, groups, tied
from solver.reduction import Reduction, reduced
from solver.settled import positive_sides
from solver.sketch import Part, Sketch
from solver.solving import SolvedNetwork
from solver.step_changes import Law, Link, Series
from solver.step_drawing import free_name
from solver.step_equations_circuit import Conduction
from solver.step_equations_plates import Plates
from solver.step_names import Names, taken_names

MOST_BATTERIES: Final = 4
MOST_PARTS: Final = 16
"""Beyond these the way is longer than anybody follows."""
_PART_OF_NAME: Final = 14


def acting(network: Network, conduction: Conduction, plates: Plates) -> list[Battery]:
    """The batteries that drive a current or move a charge."""
    sides = positive_sides(network, range(len(network.batteries)))
    found = []
    for place, battery in enumerate(network.batteries):
        crossing = any((part.a in sides[place]) != (part.b in sides[place]) for part in plates.held)
        if battery.name in conduction.circuit_of or crossing:
            found.append(battery)
    return found


def is_possible(network: Network, conduction: Conduction, plates: Plates) -> bool:
    """Whether it is of use: several batteries, each of which can stay alone, and no charge from before."""
    if not network.arithmetic.exact or len(network.branches) > MOST_PARTS:
        return False
    if conduction.looped or conduction.shorted:
        return False
    body_of = network.body_of
    if any(part.initial and body_of[part.a] != body_of[part.b] for part in network.capacitors):
        return False
    return 2 <= len(acting(network, conduction, plates)) <= MOST_BATTERIES


@dataclass(frozen=True)
class Alone:
    """A network with one of its batteries left.

    `inside` names the resistor that stands for the internal resistance of each battery that has one. `first` gives for
    each conductor the one that it became part of.
    """

    battery: Battery
    solved: SolvedNetwork
    inside: Mapping[str, str]
    first: tuple[int, ...]


def alone(solved: SolvedNetwork, battery: Battery) -> Alone:
    """The network with this battery and no other."""
    network = solved.outcome.network
    others = [other for other in network.batteries if other is not battery]
    wires = [other for other in others if other.internal is None]
    node, members = groups(len(network.conductors), ((other.a, other.b) for other in wires))
    first = tuple(members[number][0] for number in node)
    names = Names("R", "resistor", _taken(solved))
    inside = {other.name: names(()) for other in others if other.internal is not None}
    resistors = [part._replace(a=first[part.a], b=first[part.b]) for part in network.resistors]
    resistors += [
        Resistor(inside[other.name], first[other.a], first[other.b], other.internal)
        for other in others
        if other.internal is not None
    ]
    zero = network.arithmetic.zero
    capacitors = [
        Capacitor(part.name, first[part.a], first[part.b], part.capacitance, zero) for part in network.capacitors
    ]
    joints = tuple(
        tuple(joint for member in members[node[number]] for joint in network.conductors[member])
        if first[number] == number
        else ()
        for number in range(len(network.conductors))
    )
    left = tied(
        network.joints,
        joints,
        {joint: first[number] for joint, number in network.conductor_of.items()},
        first[network.zero],
        capacitors,
        resistors,
        [battery._replace(a=first[battery.a], b=first[battery.b])],
        network.arithmetic,
    )
    sketch = _redrawn(solved.sketch, [other.name for other in wires], inside)
    alone = SolvedNetwork.of(sketch, left, ideal_of(left), solved.writing, equivalents=solved.equivalents)
    return Alone(battery, alone, inside, first)


def _taken(solved: SolvedNetwork) -> set[str]:
    return taken_names(solved.outcome.network, solved.writing.symbols, (part.name for part in solved.sketch.parts))


def _redrawn(sketch: Sketch, wires: Collection[str], inside: Mapping[str, str]) -> Sketch:
    """The sketch with wires and resistors in place of batteries."""
    taken = {part.name for part in sketch.parts}
    parts = []
    for part in sketch.parts:
        if part.name in inside:
            parts.append(Part(inside[part.name], "resistor", part.start, part.end, part.internal, bend=part.bend))
        elif part.name in wires:
            name = free_name(f"W{part.name[:_PART_OF_NAME]}", taken)
            taken.add(name)
            parts.append(Part(name, "wire", part.start, part.end, bend=part.bend))
        else:
            parts.append(part)
    return replace(sketch, parts=tuple(parts), probes=(), covered=())


class Reduce:
    """Reduces links of one network, with names that it does not use."""

    def __init__(self, solved: SolvedNetwork) -> None:
        taken = _taken(solved)
        self._names: Final = {"R": Names("R", "resistor", taken), "C": Names("C", "capacitor", taken)}

    def __call__(self, links: Sequence[Link], ends: Collection[int], law: Law) -> Reduction:
        return reduced(links, ends, law, self._names["R" if law.adds is Series else "C"])
