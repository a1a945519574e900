"""Lays the edges of a planar network out from left to right, as wide as what flows in them: the dual of its embedding.

R. L. Brooks, C. A. B. Smith, A. H. Stone, W. T. Tutte, "The dissection of rectangles into squares", Duke Math. J. 7
(1940) 312–340: give every face a coordinate, so that to cross an edge is to go as far right as it carries. What goes
round either pole is the whole flow, so coordinates are determined up to that; a face that both poles lie on is where
the rectangle begins and ends.
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable, Sequence
from dataclasses import dataclass, field
from typing import Final

import networkx as nx

from solver.arithmetic import Scalar

_NOISE: Final = 1e-9


@dataclass(frozen=True, slots=True)
class Edge:
    """An edge from node `high` to node `low`, what flows in it (zero or more), and where it is drawn on the sheet.

    Only the order of `drawn` counts: what is drawn farther left is to come out farther left.
    """

    high: int
    low: int
    flow: Scalar
    drawn: float


@dataclass(frozen=True, slots=True)
class Flow:
    """Edges that bring all that flows from one pole to the other; nothing is lost or added at other nodes.

    With an edge added between the poles, no node may cut the network in two.
    """

    edges: tuple[Edge, ...]
    source: int
    sink: int
    total: Scalar


def lefts(flow: Flow, following: Sequence[int]) -> list[Scalar] | None:
    """How far right each edge begins, for the embedding that `following` gives; None where the poles share no face.

    Ends of edges are numbered 2·place at `high` and 2·place + 1 at `low`; `following` has for each the next one
    clockwise round its node. Of the faces that both poles lie on, and of the embedding and its mirror image, that is
    chosen which comes nearest to the order on the sheet.
    """
    face_of, poles_at = _faces(flow, following)
    open_faces = [face for face, poles in enumerate(poles_at) if len(poles) == 2]
    if not open_faces:
        return None
    at = _coordinates(flow, face_of, len(poles_at))
    face, mirrored = _nearest(flow, face_of, [_as_float(place / flow.total) for place in at], open_faces)
    # An edge in which nothing flows has one and the same face on both sides, or two at one place.
    found = [_within(at[face_of[2 * place + 1]] - at[face], flow.total) for place in range(len(flow.edges))]
    if mirrored:
        return [
            _within(flow.total - left - edge.flow, flow.total) for edge, left in zip(flow.edges, found, strict=True)
        ]
    return found


def _nearest(
    flow: Flow, face_of: Sequence[int], shares: Sequence[float], open_faces: Iterable[int]
) -> tuple[int, bool]:
    """The face to begin at, and whether to mirror: what goes best with the order on the sheet (by covariance)."""
    flowing = [
        (edge.drawn, shares[face_of[2 * place + 1]], _as_float(edge.flow / flow.total))
        for place, edge in enumerate(flow.edges)
        if edge.flow
    ]
    mean = sum(drawn for drawn, _, _ in flowing) / len(flowing)
    best, closest = (-1, False), 0.0
    for face in open_faces:
        likeness = sum(
            (drawn - mean) * (_within(share - shares[face], 1.0) + width / 2) for drawn, share, width in flowing
        )
        for mirrored, like in ((False, likeness), (True, -likeness)):
            if best[0] < 0 or like > closest + _NOISE:
                best, closest = (face, mirrored), like
    return best


def _faces(flow: Flow, following: Sequence[int]) -> tuple[list[int], list[set[int]]]:
    """The face on the left-hand side of each end, going out along its edge, and which poles each face touches."""
    face_of = [-1] * len(following)
    poles_at: list[set[int]] = []
    for first in range(len(following)):
        if face_of[first] >= 0:
            continue
        poles: set[int] = set()
        end = first
        while face_of[end] < 0:
            face_of[end] = len(poles_at)
            edge = flow.edges[end // 2]
            node = edge.low if end % 2 else edge.high
            if node in (flow.source, flow.sink):
                poles.add(node)
            end = following[end ^ 1]
        poles_at.append(poles)
    return face_of, poles_at


def _coordinates(flow: Flow, face_of: Sequence[int], count: int) -> list[Scalar]:
    """A coordinate for each face, greater by an edge's flow on its right: on the way down that is on the left hand."""
    beside: dict[int, list[tuple[int, Scalar]]] = defaultdict(list)
    for place, edge in enumerate(flow.edges):
        right, left = face_of[2 * place], face_of[2 * place + 1]
        beside[left].append((right, edge.flow))
        beside[right].append((left, -edge.flow))
    at: list[Scalar] = [None] * count
    at[0] = flow.total - flow.total
    waiting = [0]
    while waiting:
        face = waiting.pop()
        for other, step in beside[face]:
            if at[other] is None:
                at[other] = at[face] + step
                waiting.append(other)
    return at


def _within(place: Scalar, total: Scalar) -> Scalar:
    """The place between zero and the total, the latter left out, that lies a whole number of totals away."""
    if isinstance(place, float):
        turns = place / total
        return (turns - float(round(turns)) if abs(turns - round(turns)) < _NOISE else turns % 1.0) * total
    return place - total * (place / total).floor()


def _as_float(scalar: Scalar) -> float:
    return scalar if isinstance(scalar, float) else int(scalar.p) / int(scalar.q)


@dataclass(slots=True)
class _Branch:
    """Edges that series and parallel rules join to one."""

    edge: Edge
    place: int = -1
    series: tuple[_Branch, ...] = ()
    parallel: tuple[_Branch, ...] = field(default=())

    def lay(self, left: Scalar, found: list[Scalar]) -> None:
        """Gives the edges in it their places, from `left` on."""
        if self.place >= 0:
            found[self.place] = left
        for branch in self.series:
            branch.lay(left, found)
        for branch in self.parallel:
            branch.lay(left, found)
            left = left + branch.edge.flow


def lefts_by_rules(flow: Flow) -> list[Scalar] | None:
    """How far right each edge begins, where the drawing gives no embedding; None where no plane holds the network.

    Parallel branches stand in the order on the sheet; what series and parallel rules leave is embedded in the plane
    (networkx.check_planarity, with an edge between the poles).
    """
    branches = _reduced(flow)
    core = Flow(tuple(branch.edge for branch in branches), flow.source, flow.sink, flow.total)
    graph = nx.Graph([(flow.source, flow.sink)])
    end_at: dict[tuple[int, int], int] = {}
    for place, edge in enumerate(core.edges):
        graph.add_edge(edge.high, edge.low)
        end_at[edge.high, edge.low] = 2 * place
        end_at[edge.low, edge.high] = 2 * place + 1
    planar, embedding = nx.check_planarity(graph)
    if not planar:
        return None
    following = [0] * (2 * len(branches))
    for node in graph:
        ends = [end_at[node, other] for other in embedding.neighbors_cw_order(node) if (node, other) in end_at]
        for end, after in zip(ends, [*ends[1:], *ends[:1]], strict=True):
            following[end] = after
    places = lefts(core, following)
    if places is None:
        return None
    found: list[Scalar] = [None] * len(flow.edges)
    for branch, left in zip(branches, places, strict=True):
        branch.lay(left, found)
    return found


def _reduced(flow: Flow) -> list[_Branch]:
    """Puts series and parallel branches together as long as there are any."""
    branches = [_Branch(edge, place) for place, edge in enumerate(flow.edges)]
    while True:
        before = len(branches)
        branches = _in_series(_in_parallel(branches), (flow.source, flow.sink))
        if len(branches) == before:
            return branches


def _in_parallel(branches: list[_Branch]) -> list[_Branch]:
    between: dict[frozenset[int], list[_Branch]] = defaultdict(list)
    for branch in branches:
        between[frozenset((branch.edge.high, branch.edge.low))].append(branch)
    joined = []
    for group in between.values():
        if len(group) == 1:
            joined += group
            continue
        group.sort(key=lambda branch: branch.edge.drawn)
        first = max(group, key=lambda branch: branch.edge.flow).edge
        total = sum((branch.edge.flow for branch in group[1:]), group[0].edge.flow)
        joined.append(_Branch(Edge(first.high, first.low, total, _mean(group)), parallel=tuple(group)))
    return joined


def _in_series(branches: list[_Branch], poles: tuple[int, int]) -> list[_Branch]:
    """Joins every chain of nodes with two branches each; a chain never closes, since no node cuts the network."""
    at: dict[int, list[_Branch]] = defaultdict(list)
    for branch in branches:
        at[branch.edge.high].append(branch)
        at[branch.edge.low].append(branch)
    left = {id(branch): branch for branch in branches}
    for node, pair in at.items():
        if len(pair) != 2 or node in poles:
            continue
        one, other = pair
        ends = [branch.edge.low if branch.edge.high == node else branch.edge.high for branch in pair]
        if ends[0] == ends[1]:
            continue
        if one.edge.high == node:
            one, other, ends = other, one, ends[::-1]
        joined = _Branch(Edge(ends[0], ends[1], one.edge.flow, _mean(pair)), series=(one, other))
        for branch in pair:
            del left[id(branch)]
        left[id(joined)] = joined
        for end, old in ((ends[0], one), (ends[1], other)):
            at[end] = [joined if branch is old else branch for branch in at[end]]
    return list(left.values())


def _mean(branches: Sequence[_Branch]) -> float:
    return sum(branch.edge.drawn for branch in branches) / len(branches)
