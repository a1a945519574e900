"""What a sketch looks like on the sheet, worked out from its joints alone: lines, symbols, crossings.

It knows parts that are straight only; the sizes of the symbols are those of shared/kinds.json.
"""

from __future__ import annotations

import json
from dataclasses import dataclass
from itertools import combinations
from pathlib import Path

import networkx as nx

from solver import Sketch
from solver.sketch import Part

STEP = 24
KINDS = json.loads((Path(__file__).parents[2] / "shared" / "kinds.json").read_text(encoding="utf-8"))["kinds"]

Spot = tuple[int, int]
Box = tuple[float, float, float, float]


@dataclass(frozen=True)
class Drawn:
    """A part's straight line from its `start` to its `end`, and the box round its symbol in steps, None for a wire."""

    part: Part
    start: Spot
    end: Spot

    @property
    def upright(self) -> bool:
        return self.start[0] == self.end[0]

    @property
    def box(self) -> Box:
        """Left, top, right, bottom of the line."""
        (x, y), (u, v) = self.start, self.end
        return min(x, u), min(y, v), max(x, u), max(y, v)

    @property
    def symbol(self) -> Box | None:
        drawing = KINDS[self.part.kind]["drawing"]
        if not drawing["reach"]:
            return None
        (x, y), (u, v) = self.start, self.end
        along, aside = drawing["reach"] / STEP, drawing["side"] / STEP
        w, h = (aside, along) if self.upright else (along, aside)
        return (x + u) / 2 - w, (y + v) / 2 - h, (x + u) / 2 + w, (y + v) / 2 + h


def drawn(sketch: Sketch) -> list[Drawn]:
    """Every part's line."""
    return [Drawn(part, sketch.joints[part.start], sketch.joints[part.end]) for part in sketch.parts]


def overlap(one: Box, other: Box) -> bool:
    """Whether two boxes, or a box and a line, have more than an edge in common, or a line runs into a box."""
    return one[0] < other[2] and other[0] < one[2] and one[1] < other[3] and other[1] < one[3]


def touch(one: Box, other: Box) -> bool:
    return one[0] <= other[2] and other[0] <= one[2] and one[1] <= other[3] and other[1] <= one[3]


def mistakes(sketch: Sketch) -> list[str]:
    """Everything that would make the drawing wrong or hard to read, crossings aside."""
    found = []
    lines = drawn(sketch)
    places: dict[Spot, str] = {}
    for joint, spot in sketch.joints.items():
        if spot in places:
            found.append(f"joints {places[spot]} and {joint} are on one spot")
        places[spot] = joint
    for line in lines:
        name = line.part.name
        if line.start == line.end or not (line.start[0] == line.end[0] or line.start[1] == line.end[1]):
            found.append(f"{name} is not straight")
        if line.part.bend is not None:
            found.append(f"{name} bends")
        left, top, right, bottom = line.box
        for spot, joint in places.items():
            if joint not in (line.part.start, line.part.end) and left <= spot[0] <= right and top <= spot[1] <= bottom:
                found.append(f"{name} runs over joint {joint}")
        symbol = line.symbol
        if symbol and (
            (symbol[3] - symbol[1] > bottom - top) if line.upright else (symbol[2] - symbol[0] > right - left)
        ):
            found.append(f"{name} is too short for its symbol")
    for one, other in combinations(lines, 2):
        names = f"{one.part.name} and {other.part.name}"
        a, b = one.box, other.box
        if one.upright == other.upright and touch(a, b):
            length = min(a[3], b[3]) - max(a[1], b[1]) if one.upright else min(a[2], b[2]) - max(a[0], b[0])
            if length > 0:
                found.append(f"{names} run over each other")
        for first, second in ((one, other), (other, one)):
            if first.symbol and touch(first.symbol, second.box):
                found.append(f"{second.part.name} runs into the symbol of {first.part.name}")
        if one.symbol and other.symbol and touch(one.symbol, other.symbol):
            found.append(f"the symbols of {names} overlap")
    return found


def crossings(sketch: Sketch) -> list[tuple[str, str]]:
    """Lines that cross without a joint."""
    found = []
    for one, other in combinations(drawn(sketch), 2):
        if one.upright == other.upright:
            continue
        ends = {one.part.start, one.part.end} & {other.part.start, other.part.end}
        if touch(one.box, other.box) and not ends:
            found.append((one.part.name, other.part.name))
    return found


def network_graph(sketch: Sketch) -> nx.MultiGraph:
    """Conductors as nodes, parts between them; a wire joins, a switch is a part whichever way it stands."""
    wires = nx.Graph()
    wires.add_nodes_from(sketch.joints)
    wires.add_edges_from((part.start, part.end) for part in sketch.parts if part.kind == "wire")
    node = {joint: number for number, group in enumerate(nx.connected_components(wires)) for joint in group}
    graph = nx.MultiGraph()
    graph.add_nodes_from(node.values())
    for part in sketch.parts:
        if part.kind != "wire":
            graph.add_edge(node[part.start], node[part.end], key=part.name)
    return graph


def is_planar(sketch: Sketch) -> bool:
    """Whether some drawing of the network has no crossing."""
    return bool(nx.check_planarity(nx.Graph(network_graph(sketch)))[0])


def same_network(one: Sketch, other: Sketch) -> bool:
    """Whether the same parts, with the same texts, join the same conductors, each with the same ends."""

    def texts(sketch: Sketch) -> list[tuple[object, ...]]:
        return [
            (p.name, p.kind, p.value, p.initial, p.rated, p.internal, p.closed)
            for p in sketch.parts
            if p.kind != "wire"
        ]

    def ends(sketch: Sketch) -> set[frozenset[str]]:
        """For each conductor, which ends of which parts are at it."""
        wires = nx.Graph()
        wires.add_nodes_from(sketch.joints)
        wires.add_edges_from((part.start, part.end) for part in sketch.parts if part.kind == "wire")
        groups = []
        for group in nx.connected_components(wires):
            held = {f"{p.name} from" for p in sketch.parts if p.kind != "wire" and p.start in group}
            held |= {f"{p.name} to" for p in sketch.parts if p.kind != "wire" and p.end in group}
            groups.append(frozenset(held))
        return set(groups)

    return texts(one) == texts(other) and ends(one) == ends(other)
