"""Which capacitors take up charge at all, and which bodies' potentials the charge sums have to tell.

A change of charge runs round closed ways only, so it stays within the blocks of the graph of bodies and capacitors
(H. Whitney, Trans. Amer. Math. Soc. 34 (1932) 339–362).
"""

from __future__ import annotations

from collections import Counter, defaultdict
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from functools import cached_property

import networkx as nx

from solver.network import Capacitor, Network, groups
from solver.step_equations_circuit import Conduction


@dataclass(frozen=True)
class Unknown:
    """A body whose potential is not known: its plates as (capacitor, whether its from end is here)."""

    body: int
    conductor: int
    plates: tuple[tuple[Capacitor, bool], ...]


@dataclass(frozen=True)
class Plates:
    """The capacitors of a network.

    `shorted` have both ends on one conductor, `level` end on conductors that resistors without current join, `dead`
    lie on no closed way with a source; none of them holds a charge in the end. `held` are the others.
    """

    network: Network
    shorted: tuple[Capacitor, ...]
    level: tuple[Capacitor, ...]
    dead: tuple[Capacitor, ...]
    held: tuple[Capacitor, ...]

    @cached_property
    def unknowns(self) -> Mapping[int, tuple[Unknown, ...]]:
        """By piece, the bodies whose potentials the charge sums have to tell."""
        network = self.network
        plates: dict[int, list[tuple[Capacitor, bool]]] = defaultdict(list)
        for part in self.held:
            a, b = network.body_of[part.a], network.body_of[part.b]
            if a != b:
                plates[a].append((part, True))
                plates[b].append((part, False))
        found: dict[int, list[Unknown]] = defaultdict(list)
        for body, own in sorted(plates.items()):
            piece = network.piece_of[body]
            if body != network.body_of[network.zeros[piece]]:
                conductor = min(part.a if here else part.b for part, here in own)
                found[piece].append(Unknown(body, conductor, tuple(own)))
        return {piece: tuple(unknowns) for piece, unknowns in sorted(found.items())}

    @cached_property
    def pieces(self) -> tuple[int, ...]:
        """The pieces in which a capacitor holds a charge."""
        return tuple(sorted({self.network.piece_at[part.a] for part in self.held}))


def plates_of(network: Network, conduction: Conduction) -> Plates:
    """Sorts the capacitors out."""
    same, _ = groups(len(network.conductors), ((part.a, part.b) for part in conduction.idle))
    apart = [part for part in network.capacitors if part.a != part.b]
    level = [part for part in apart if same[part.a] == same[part.b]]
    rest = [part for part in apart if same[part.a] != same[part.b]]
    dead = _dead(network, rest, same)
    return Plates(
        network=network,
        shorted=tuple(part for part in network.capacitors if part.a == part.b),
        level=tuple(level),
        dead=tuple(part for part in rest if part.name in dead),
        held=tuple(part for part in rest if part.name not in dead),
    )


def _dead(network: Network, capacitors: Sequence[Capacitor], same: Sequence[int]) -> set[str]:
    """Capacitors in blocks without a source at the outside of the graph, again and again as there are any.

    A block that joins others is kept, so that what is left hangs together; so is one with the zero of the piece.
    """
    between: dict[frozenset[int], list[Capacitor]] = defaultdict(list)
    body_of = network.body_of
    for part in capacitors:
        if body_of[part.a] != body_of[part.b]:
            between[frozenset((body_of[part.a], body_of[part.b]))].append(part)
    graph = nx.Graph()
    graph.add_edges_from(tuple(pair) for pair in between)
    blocks = [
        [part for edge in block for part in between[frozenset(edge)]] for block in nx.biconnected_component_edges(graph)
    ]
    ends = [{body_of[end] for part in block for end in (part.a, part.b)} for block in blocks]
    inside = {body_of[part.a] for part in capacitors if body_of[part.a] == body_of[part.b]}
    zeros = {body_of[network.zeros[piece]] for piece in range(len(network.pieces))}
    left = dict(enumerate(blocks))
    dead: set[str] = set()
    while True:
        shared = Counter(body for number in left for body in ends[number])
        for number, block in left.items():
            inner = {body for body in ends[number] if shared[body] == 1}
            outside = len(ends[number]) - len(inner) <= 1
            alone = len(inner) == len(ends[number])
            # Potentials that others count from have to be told all the same.
            kept = bool((inner - zeros) & inside if alone else inner & (zeros | inside))
            if outside and not kept and not _has_source(block, body_of, same):
                break
        else:
            return dead
        dead.update(part.name for part in left.pop(number))


def _has_source(block: Sequence[Capacitor], body_of: Sequence[int], same: Sequence[int]) -> bool:
    """Whether charge was there before, or a body holds two ends of the block's capacitors at different potentials."""
    if any(part.initial for part in block):
        return True
    places: dict[int, set[int]] = defaultdict(set)
    for part in block:
        for end in (part.a, part.b):
            places[body_of[end]].add(same[end])
    return any(len(own) > 1 for own in places.values())
