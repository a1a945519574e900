"""One piece of a network as a box: which two conductors are above and below, and what stands on the left.

A battery, with the batteries in series with it, is the left column of its piece. A piece without one lies between its
two open ends, or the joints that are read between, if there are such, else beside its first part.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Sequence
from dataclasses import dataclass

import networkx as nx

from solver.layout.boxes import Box, with_leads
from solver.layout.building import box_of, side_by_side
from solver.layout.gathering import Gathering
from solver.layout.links import Link, Links
from solver.layout.tree import Branch, Hanging, Lead, Leaf, Parallel, Series, chain, from_end, in_parallel


@dataclass(frozen=True)
class _Ends:
    """The conductors above and below, and the part on the left, if any."""

    top: int
    bottom: int
    left: Link | None = None


def piece_box(piece: Sequence[Link], network: Links) -> Box:
    """The box of a piece of the network."""
    ends = _ends(piece, network)
    branches = [Leaf(link.a, link.b, link) for link in piece if link is not ends.left]
    conductors = {end for link in piece for end in (link.a, link.b)}
    hanging = {
        conductor: [Hanging(conductor, conductor, Lead(conductor, conductor))]
        for conductor in sorted(conductors & network.open_ends)
        if ends.left is not None or conductor not in (ends.top, ends.bottom)
    }
    gathering = Gathering(hanging)
    if ends.top == ends.bottom:
        branches = [Leaf(link.a, link.b, link) for link in piece]
        gathering.between(branches, ends.top, ends.top)
        return box_of(Parallel(ends.top, ends.top, tuple(gathering.taken(ends.top))))
    between = gathering.between(branches, ends.top, ends.bottom)
    if ends.left is not None:
        return _beside_source(ends, between, gathering)
    return _between_open_ends(ends, between, gathering, network)


def _beside_source(ends: _Ends, between: Branch | None, gathering: Gathering) -> Box:
    assert ends.left is not None
    source: Branch = Leaf(ends.top, ends.bottom, ends.left)
    top, bottom = ends.top, ends.bottom
    if isinstance(between, Series):
        members, stops = from_end(between, top)
        low, high = _column(members)
        rest = chain(members[low:high], stops[low : high + 1])
        way = [*stops[: low + 1][::-1], *stops[high:][::-1]]
        around: list[Branch] = [*members[:low][::-1], source, *members[high:][::-1]]
        for place, conductor in ((low, top), (low + 1, bottom)):
            # What hangs from the battery's own ends now hangs beside its column.
            if conductor not in (way[0], way[-1]) and (held := gathering.taken(conductor)):
                around[place] = Parallel(way[place], way[place + 1], (around[place], *held), around[place])
        source, between = chain(around, way), rest
        top, bottom = way[0], way[-1]
    whole = [source, *([between] if between else []), *gathering.taken(top), *gathering.taken(bottom)]
    opened = in_parallel(top, bottom, whole)
    if isinstance(opened, Parallel):
        return side_by_side(Parallel(top, bottom, opened.members, source))
    return box_of(opened)


def _column(members: Sequence[Branch]) -> tuple[int, int]:
    """Which members of the chain round the battery stay outside its column: from the first number up to the second.

    Batteries next to it join it; so do all other parts where the rest is branches side by side with batteries of their
    own, so that each battery stands in a column with what is in series with it.
    """

    def in_column(member: Branch) -> bool:
        return isinstance(member, Leaf) and (member.link.part.kind == "battery" or with_parts)

    whole = [member for member in members if not isinstance(member, Leaf)]
    with_parts = len(whole) == 1 and isinstance(whole[0], Parallel) and whole[0].inside.batteries > 0
    low, high = 0, len(members)
    while low < high - 1 and in_column(members[low]):
        low += 1
    while high - 1 > low and in_column(members[high - 1]):
        high -= 1
    return low, high


def _between_open_ends(ends: _Ends, between: Branch | None, gathering: Gathering, network: Links) -> Box:
    top, bottom = ends.top, ends.bottom
    beside = [*gathering.taken(top), *gathering.taken(bottom)]
    whole = in_parallel(top, bottom, [*([between] if between else []), *beside]) if beside else between
    assert whole is not None
    box = side_by_side(whole) if isinstance(whole, Parallel) else box_of(whole)
    return with_leads(box, top, [end for end in (top, bottom) if end in network.open_ends])


def _ends(piece: Sequence[Link], network: Links) -> _Ends:
    counts = Counter(end for link in piece for end in (link.a, link.b))
    conductors = list(counts)
    battery = next((link for link in piece if link.part.kind == "battery" and link.a != link.b), None)
    bridges = _bridges(piece)
    if battery is not None and battery.number not in bridges:
        return _Ends(battery.a, battery.b, battery)
    if len(conductors) == 1:
        return _Ends(conductors[0], conductors[0])
    pair = _open_pair(piece, counts, network)
    if pair and (_is_planar(piece, pair) or not _is_planar(piece)):
        top, bottom = pair
        if _battery_upside_down(piece, battery, top) or (
            battery is None and network.heights and network.heights[top] > network.heights[bottom]
        ):
            top, bottom = bottom, top
        return _Ends(top, bottom)
    left = next((link for link in piece if link.a != link.b and link.number not in bridges), None)
    left = left or next(link for link in piece if link.a != link.b)
    upside_down = network.heights and network.heights[left.a] > network.heights[left.b]
    return _Ends(left.b, left.a, left) if upside_down else _Ends(left.a, left.b, left)


def _is_planar(piece: Sequence[Link], *joined: tuple[int, int]) -> bool:
    """Whether a plane holds the piece, with further pairs of conductors joined."""
    return bool(nx.check_planarity(nx.Graph([*((link.a, link.b) for link in piece), *joined]))[0])


def _bridges(piece: Sequence[Link]) -> set[int]:
    """The links without which the piece would be two."""
    graph = nx.Graph()
    count: Counter[frozenset[int]] = Counter()
    for link in piece:
        graph.add_edge(link.a, link.b)
        count[frozenset((link.a, link.b))] += 1
    graph.remove_edges_from(list(nx.selfloop_edges(graph)))
    pairs = {frozenset(pair) for pair in nx.bridges(graph)}
    pairs = {pair for pair in pairs if count[pair] == 1}
    return {link.number for link in piece if frozenset((link.a, link.b)) in pairs}


def _open_pair(piece: Sequence[Link], counts: Counter[int], network: Links) -> tuple[int, int] | None:
    loops = {link.a for link in piece if link.a == link.b}
    loose = [end for end, count in counts.items() if (count == 1 and end not in loops) or end in network.open_ends]
    if len(loose) >= 2:
        return loose[0], loose[1]
    for one, other in network.probed:
        if one in counts and other in counts:
            return one, other
    if len(counts) == 2:
        one, other = counts
        return one, other
    return None


def _battery_upside_down(piece: Sequence[Link], battery: Link | None, top: int) -> bool:
    """Whether a battery that is no part of a loop would have its − terminal above, with `top` as the upper end."""
    if battery is None:
        return False
    graph = nx.Graph([(link.a, link.b) for link in piece if link is not battery])
    graph.add_nodes_from((battery.a, battery.b, top))
    return bool(nx.has_path(graph, top, battery.b))
