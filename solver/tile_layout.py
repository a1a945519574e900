"""Places the rectangles of one network: as a tiling where charge or current goes between two conductors, else in a row.

Nodes are conductors, those taken as one that parts without any voltage join.
"""

from __future__ import annotations

import enum
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import Final

import networkx as nx

from solver.arithmetic import Scalar
from solver.network import groups
from solver.sketch import Part, Sketch
from solver.tile_drawing import Route, clockwise
from solver.tile_embedding import Edge, Flow, lefts, lefts_by_rules

_NOISE: Final = 1e-9


@dataclass(frozen=True, slots=True)
class Standing:
    """A part as a rectangle: from node `high` down to `low`, as wide as `flow`, which is zero or more.

    `turned` says that the part's from end is the low one; `drawn` is how far right it is on the sheet.
    """

    part: Part
    high: int
    low: int
    flow: Scalar
    turned: bool
    drawn: float


class Untiled(enum.Enum):
    """Why rectangles fill no larger one."""

    POLES = enum.auto()
    PLANE = enum.auto()


@dataclass(frozen=True, slots=True)
class Span:
    """A stretch of a node, from left to right."""

    node: int
    left: Scalar
    right: Scalar


@dataclass(frozen=True, slots=True)
class Layout:
    """Where each rectangle begins (by the part's name), the nodes' stretches, and why these do not tile, if so.

    A part without flow that hangs from nothing else in the picture has no place.
    """

    left: Mapping[str, Scalar]
    spans: tuple[Span, ...]
    width: Scalar
    untiled: Untiled | None


@dataclass(frozen=True, slots=True)
class Ground:
    """What the rectangles' places depend on besides: the sketch, its routes, and the parts that only join nodes."""

    sketch: Sketch
    routes: Mapping[str, Route]
    joining: tuple[Part, ...]


def laid_out(standing: Sequence[Standing], ground: Ground) -> Layout:
    """Places the rectangles; something flows in at least one of them."""
    layout = tiled(standing, ground)
    return _in_a_row(standing, layout) if isinstance(layout, Untiled) else layout


def tiled(standing: Sequence[Standing], ground: Ground) -> Layout | Untiled:
    """Places the rectangles so that they fill a larger one, or says why they fill none."""
    poles = _poles(standing)
    if poles is None:
        return Untiled.POLES
    source, sink, total = poles
    main = _between(standing, source, sink)
    edges = tuple(Edge(each.high, each.low, each.flow, each.drawn) for each in main)
    flow = Flow(edges, source, sink, total)
    following = _on_the_sheet(main, ground)
    places = (lefts(flow, following) if following else None) or lefts_by_rules(flow)
    if places is None:
        return Untiled.PLANE
    left = {each.part.name: place for each, place in zip(main, places, strict=True)}
    spans = _spans(main, left)
    _rest(standing, left, spans)
    return Layout(left, tuple(spans.values()), total, None)


def _poles(standing: Sequence[Standing]) -> tuple[int, int, Scalar] | None:
    """Where all comes from, where all goes to, and how much that is; None where these are more than two nodes."""
    net: dict[int, Scalar] = {}
    for each in standing:
        if each.flow:
            net[each.high] = net[each.high] + each.flow if each.high in net else each.flow
            net[each.low] = net[each.low] - each.flow if each.low in net else -each.flow
    most = max(each.flow for each in standing)
    open_nodes = {
        node: value
        for node, value in net.items()
        if (abs(value) > _NOISE * most if isinstance(value, float) else value)
    }
    if len(open_nodes) != 2:
        return None
    sink, source = sorted(open_nodes, key=open_nodes.__getitem__)
    return source, sink, open_nodes[source]


def _between(standing: Sequence[Standing], source: int, sink: int) -> list[Standing]:
    """The parts that lie on a way from pole to pole, those without flow among them."""
    graph = nx.Graph([(source, sink)])
    graph.add_edges_from((each.high, each.low) for each in standing if each.high != each.low)
    for pairs in nx.biconnected_component_edges(graph):
        inside = {frozenset(pair) for pair in pairs}
        if frozenset((source, sink)) in inside:
            return [each for each in standing if frozenset((each.high, each.low)) in inside]
    raise AssertionError("an edge lies in a block")


def _on_the_sheet(main: Sequence[Standing], ground: Ground) -> list[int] | None:
    """The embedding of the drawing, if it is plane: for each end the next clockwise round its node.

    Nodes are drawn as joints with wires between them. A wire that leads to a new joint is gone along, so that the ends
    at both its joints come to lie round one node; one that closes a loop of wire is left out.
    """
    parts = [*(each.part for each in main), *ground.joining]
    turning = clockwise(ground.sketch, parts, ground.routes)
    if turning is None:
        return None
    place = {joint: number for number, joint in enumerate(ground.sketch.joints)}
    root = list(range(len(place)))
    gone_along = set()
    for number, part in enumerate(ground.joining, len(main)):
        a, b = place[part.start], place[part.end]
        while root[a] != a:
            root[a] = a = root[root[a]]
        while root[b] != b:
            root[b] = b = root[root[b]]
        if a != b:
            root[a] = b
            gone_along.add(number)
    following = [0] * (2 * len(main))
    for number, each in enumerate(main):
        for side in (0, 1):
            end = turning[2 * number + side]
            while end >= len(following):
                end = turning[end ^ 1] if end // 2 in gone_along else turning[end]
            following[2 * number + (side ^ each.turned)] = end ^ main[end // 2].turned
    return following


def _spans(main: Sequence[Standing], left: Mapping[str, Scalar]) -> dict[int, Span]:
    spans: dict[int, Span] = {}
    for each in main:
        if not each.flow:
            continue
        start = left[each.part.name]
        end = start + each.flow
        for node in (each.high, each.low):
            old = spans.get(node)
            spans[node] = Span(node, min(start, old.left), max(end, old.right)) if old else Span(node, start, end)
    return spans


def _rest(standing: Sequence[Standing], left: dict[str, Scalar], spans: Mapping[int, Span]) -> None:
    """Puts parts without flow where they touch what they end at: the beginning of the picture is also its end, and
    what hangs from a node, at whatever remove, goes to the middle of that node."""
    root = dict(spans)
    found = True
    while found:
        found = False
        for each in standing:
            for node, other in ((each.high, each.low), (each.low, each.high)):
                if not each.flow and node in root and other not in root:
                    root[other] = root[node]
                    found = True
    for each in standing:
        if each.flow:
            continue
        own = [root[node] for node in (each.high, each.low) if node in root]
        if not own:
            continue
        low, high = max(span.left for span in own), min(span.right for span in own)
        name = each.part.name
        at = left.get(name)
        if at is None or at > high:
            left[name] = (low + high) / 2
        elif at < low:
            left[name] = high


def _in_a_row(standing: Sequence[Standing], why: Untiled) -> Layout:
    """All side by side in the order on the sheet, each with its own stretch of the conductors above and below it."""
    left: dict[str, Scalar] = {}
    spans: list[Span] = []
    at = standing[0].flow - standing[0].flow
    for each in sorted(standing, key=lambda each: each.drawn):
        left[each.part.name] = at
        if each.flow:
            spans += [Span(each.high, at, at + each.flow), Span(each.low, at, at + each.flow)]
            at = at + each.flow
    return Layout(left, tuple(spans), at, why)


def merged(count: int, links: Sequence[tuple[int, int]]) -> list[int]:
    """The node of each conductor, where links join some of them."""
    return groups(count, links)[0]
