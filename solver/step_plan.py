"""What a network comes to for the rules of series and parallel: what does nothing in the end, and what they reduce.

Resistors come first, since in the end capacitors carry no current; then the capacitors, at voltages that are known.
Whether a part carries a current or a charge at all is read from the graph: only where it lies on a closed way with a
source (a block of the graph, H. Whitney, Trans. Amer. Math. Soc. 34 (1932) 339–362).
"""

from __future__ import annotations

import enum
from collections import defaultdict
from collections.abc import Callable, Collection, Iterable, Mapping, Sequence
from dataclasses import dataclass

import networkx as nx

from solver.network import Battery, Network, groups
from solver.reduction import Reduction
from solver.step_changes import Law, Link, Parallel, Series

Reducer = Callable[[Sequence[Link], Collection[int], Law], Reduction]


class Obstacle(enum.Enum):
    """What keeps the rules of series and parallel from doing."""

    NOT_SERIES_PARALLEL = "no two parts left are in series or in parallel"
    SEVERAL_BATTERIES = "several batteries act on the same parts"
    CHARGED_BEFORE = "there was charge before anything was connected"


@dataclass(frozen=True, slots=True)
class Flow:
    """A battery with a current, and the resistors that the current flows through."""

    battery: Battery
    reduction: Reduction


@dataclass(frozen=True)
class Plan:
    """How a network is worked out.

    `node` numbers the conductors anew where resistors without current make several one. `shorted` have both ends on
    one conductor, `idle` are resistors without current, `level` capacitors whose ends these join, `dead` capacitors
    that no closed way leads through. `between` are the two nodes asked about where there is no battery.
    """

    node: tuple[int, ...]
    shorted: tuple[str, ...]
    idle: tuple[str, ...]
    level: tuple[str, ...]
    dead: tuple[str, ...]
    flows: tuple[Flow, ...]
    resistors: Reduction | None
    capacitors: Reduction
    between: tuple[int, int] | None
    obstacle: Obstacle | None


def laws(network: Network) -> tuple[Law, Law]:
    """The law of resistances and that of capacitances."""
    return Law(Series, network.arithmetic.one), Law(Parallel, network.arithmetic.one)


def plan_of(network: Network, between: tuple[int, int] | None, reduce: Reducer) -> Plan:
    """The plan for a network, or, where `between` has two conductors, for what lies between them."""
    if network.batteries:
        between = None
    batteries = [(battery.a, battery.b) for battery in network.batteries if battery.a != battery.b]
    asked_of_resistors = between is not None and network.body_of[between[0]] == network.body_of[between[1]]
    sources = [between] if between is not None and asked_of_resistors else batteries
    of_resistances, of_capacitances = laws(network)
    resistors = [part for part in network.resistors if part.a != part.b]
    blocks = _blocks(sources, [(part.a, part.b) for part in resistors])
    carrying = {number for block in blocks for number in block.members}
    idle = [part for number, part in enumerate(resistors) if number not in carrying]
    node, _ = groups(len(network.conductors), ((part.a, part.b) for part in idle))
    obstacle = None
    flows = []
    found: Reduction | None = None
    for block in blocks:
        links = [
            Link(part.name, node[part.a], node[part.b], part.resistance)
            for part in (resistors[number] for number in block.members)
        ]
        ends = {node[end] for number in block.sources for end in sources[number]}
        if len(block.sources) > 1:
            obstacle = Obstacle.SEVERAL_BATTERIES
        reduction = reduce(links, ends, of_resistances)
        if len(reduction.left) > 1:
            obstacle = obstacle or Obstacle.NOT_SERIES_PARALLEL
        if asked_of_resistors:
            found = reduction
        else:
            flows.append(Flow(_battery(network, block.sources[0]), reduction))
    own = [
        Link(part.name, node[part.a], node[part.b], part.capacitance) for part in network.capacitors if part.a != part.b
    ]
    apart = [link for link in own if link.a != link.b]
    body = {node[conductor]: number for conductor, number in enumerate(network.body_of)}
    hubs = _hubs(body)
    if between is not None and not asked_of_resistors:
        hubs = [(node[between[0]], node[between[1]])]
    held = _blocks(hubs, [(link.a, link.b) for link in apart]) if not asked_of_resistors else []
    active = sorted({number for block in held for number in block.members})
    ends = {end for hub in hubs for end in hub}
    reduction = reduce([apart[number] for number in active], ends, of_capacitances)
    stuck = reduction.left if between is None else reduction.left[1:]
    if between is None and any(body[link.a] != body[link.b] for link in stuck):
        obstacle = obstacle or _stuck(reduction.left, body)
    elif between is not None and stuck:
        obstacle = obstacle or Obstacle.NOT_SERIES_PARALLEL
    if between is None:
        obstacle = _history(network) or _odd_batteries(network) or obstacle
    living = {apart[number].name for number in active}
    return Plan(
        node=tuple(node),
        shorted=tuple(part.name for part in network.branches if part.a == part.b),
        idle=tuple(part.name for part in idle),
        level=tuple(link.name for link in own if link.a == link.b),
        dead=tuple(link.name for link in apart if link.name not in living and not asked_of_resistors),
        flows=tuple(flows),
        resistors=found,
        capacitors=reduction,
        between=None if between is None else (node[between[0]], node[between[1]]),
        obstacle=obstacle,
    )


@dataclass(frozen=True, slots=True)
class _Block:
    """Sources and members of one block of a graph, by their places in the sequences given."""

    sources: tuple[int, ...]
    members: tuple[int, ...]


def _blocks(sources: Sequence[tuple[int, int]], members: Sequence[tuple[int, int]]) -> list[_Block]:
    """The blocks that have a source and a member."""
    at: dict[frozenset[int], tuple[list[int], list[int]]] = defaultdict(lambda: ([], []))
    for which, pairs in enumerate((sources, members)):
        for number, pair in enumerate(pairs):
            at[frozenset(pair)][which].append(number)
    graph = nx.Graph()
    graph.add_edges_from(tuple(pair) for pair in at)
    found = []
    for edges in nx.biconnected_component_edges(graph):
        both = [at[frozenset(edge)] for edge in edges]
        own = tuple(sorted(number for pair in both for number in pair[0]))
        others = tuple(sorted(number for pair in both for number in pair[1]))
        if own and others:
            found.append(_Block(own, others))
    return sorted(found, key=lambda block: block.sources)


def _hubs(body: Mapping[int, int]) -> list[tuple[int, int]]:
    """Pairs of nodes whose voltage is known, because they belong to one body."""
    nodes: dict[int, list[int]] = defaultdict(list)
    for node, number in body.items():
        nodes[number].append(node)
    return [(own[0], other) for own in nodes.values() for other in own[1:]]


def _battery(network: Network, place: int) -> Battery:
    return [battery for battery in network.batteries if battery.a != battery.b][place]


def _stuck(left: Iterable[Link], body: Mapping[int, int]) -> Obstacle:
    """Why capacitors are left between bodies."""
    single = {number for number in body.values() if list(body.values()).count(number) == 1}
    inside = any(body[link.a] in single or body[link.b] in single for link in left)
    return Obstacle.NOT_SERIES_PARALLEL if inside else Obstacle.SEVERAL_BATTERIES


def _history(network: Network) -> Obstacle | None:
    """Charge that was there before matters where a capacitor joins two bodies."""
    charged = any(part.initial and network.body_of[part.a] != network.body_of[part.b] for part in network.capacitors)
    return Obstacle.CHARGED_BEFORE if charged else None


def _odd_batteries(network: Network) -> Obstacle | None:
    """Batteries in parallel, or one joined to itself, are no case for these rules."""
    pairs = [frozenset((battery.a, battery.b)) for battery in network.batteries]
    odd = any(len(pair) == 1 for pair in pairs) or len(set(pairs)) < len(pairs)
    return Obstacle.SEVERAL_BATTERIES if odd else None
