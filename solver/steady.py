"""The steady state within each body: differences of potential and currents once everything has settled.

Kirchhoff's junction rule at each group of conductors that ideal batteries join (G. Kirchhoff, Annalen der Physik und
Chemie 64 (1845) 497–514). Capacitors carry nothing in the end and do not occur here.
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Sequence
from dataclasses import dataclass

import networkx as nx

from solver.arithmetic import Scalar
from solver.body import Body, links_of, supplied_by_ideal
from solver.ideal import IdealGroups
from solver.network import Network, groups


@dataclass(frozen=True)
class Steady:
    """Steady currents and the potentials within bodies.

    `rise[c]` / `denominator[body of c]` is the potential of conductor c, up to one constant per body (volts).
    `battery_current[k]` runs out of the + terminal (amperes). For a battery in a loop of ideal ones the entry is only
    one of many possible splits.
    `resistance[k]` is what battery k sees with itself taken away (ohms): None where no conducting path joins its
    terminals, and where resistances were not asked for.
    `bridges` are the batteries whose terminals no other conducting path joins: they carry no steady current.
    `bodies` holds the equations of every body that has a conductance, `residuals` those of the float systems solved.
    """

    rise: list[Scalar]
    denominator: list[Scalar]
    battery_current: list[Scalar]
    resistance: list[Scalar | None]
    bridges: frozenset[int]
    bodies: dict[int, Body]
    residuals: list[float]


def steady(network: Network, ideal: IdealGroups, *, resistances: bool) -> Steady:
    """Solves every body; `resistances` asks for what each battery sees, at one more column for each."""
    sums, batteries = network.arithmetic, network.batteries
    bridges = bridges_of(network)
    state = Steady(
        rise=list(ideal.offset),
        denominator=[sums.one] * len(network.bodies),
        battery_current=[sums.zero] * len(batteries),
        resistance=[sums.zero if index in ideal.in_loop else None for index in range(len(batteries))],
        bridges=bridges,
        bodies=bodies_of(network, ideal),
        residuals=[],
    )
    driving: dict[int, list[int]] = defaultdict(list)
    for index, battery in enumerate(batteries):
        if battery.a != battery.b:
            driving[network.body_of[battery.a]].append(index)
        elif battery.internal is not None:
            state.battery_current[index] = battery.emf / battery.internal
            state.resistance[index] = sums.zero
    outflow = [sums.zero] * len(network.conductors)
    largest: dict[int, Scalar] = {}
    for number, body in state.bodies.items():
        driven = driving[number]
        if bridges.issuperset(driven):
            for conductor, level in _level(body, ideal).items():
                state.rise[conductor] = level
            continue
        asked = [k for k in driven if k not in bridges and k not in ideal.in_loop] if resistances else []
        flow = _flow(network, ideal, body, asked, alone=len(driven) == 1)
        state.denominator[number] = flow.denominator
        for conductor, level in flow.rise.items():
            state.rise[conductor] = level
        largest[number] = sums.largest(flow.link_current)
        for link, current in zip(body.links, flow.link_current, strict=True):
            outflow[link.a] += current
            outflow[link.b] -= current
            if link.is_battery:
                state.battery_current[link.index] = -sums.ratio(current, flow.denominator)
        for index, seen in flow.resistance.items():
            state.resistance[index] = seen
        state.residuals.append(flow.residual)
    for index, supplied in enumerate(supplied_by_ideal(network, ideal, outflow)):
        number = network.body_of[batteries[index].a]
        if batteries[index].internal is None and number in largest and index not in bridges:
            current = sums.ratio(supplied, state.denominator[number])
            state.battery_current[index] = sums.denoised(current, largest[number])
    return state


def bodies_of(network: Network, ideal: IdealGroups) -> dict[int, Body]:
    """The equations of every body that has a conductance, by the body's number."""
    links = defaultdict(list)
    for link in links_of(network):
        links[network.body_of[link.a]].append(link)
    place = {conductor: number for number, conductor in enumerate(ideal.order)}
    return {
        number: Body(sorted(network.bodies[number], key=place.__getitem__), own, ideal, network.arithmetic)
        for number, own in links.items()
    }


def bridges_of(network: Network) -> frozenset[int]:
    """The batteries that nothing else conducting bypasses."""
    if not network.batteries:
        return frozenset()
    island_of, _ = groups(len(network.conductors), ((part.a, part.b) for part in network.resistors))
    ends = [(island_of[battery.a], island_of[battery.b]) for battery in network.batteries]
    between = [pair for pair in ends if pair[0] != pair[1]]
    # A single battery has none beside it, and most sketches have a single one.
    apart = {frozenset(pair) for pair in (between if len(between) < 2 else nx.bridges(nx.MultiGraph(between)))}
    return frozenset(index for index, pair in enumerate(ends) if frozenset(pair) in apart)


@dataclass(frozen=True)
class _Flow:
    """A body with a current; `rise` (volts) and `link_current` (amperes) are over the denominator."""

    rise: dict[int, Scalar]
    denominator: Scalar
    link_current: list[Scalar]
    resistance: dict[int, Scalar]
    residual: float


def _level(body: Body, ideal: IdealGroups) -> dict[int, Scalar]:
    """Potentials in a body without any current: the emfs add up along whatever path is taken."""
    beyond: dict[int, list[tuple[int, Scalar]]] = defaultdict(list)
    for link in body.links:
        # With no current the potential at a is that at b plus the emf; offsets within a group are known.
        step = ideal.offset[link.b] + link.emf - ideal.offset[link.a]
        here, there = body.node[link.a], body.node[link.b]
        beyond[there].append((here, step))
        beyond[here].append((there, -step))
    level = {0: body.column()[0]}
    queue = [0]
    for node in queue:
        for other, step in beyond[node]:
            if other not in level:
                level[other] = level[node] + step
                queue.append(other)
    return {conductor: ideal.offset[conductor] + level[body.node[conductor]] for conductor in body.conductors}


def _flow(network: Network, ideal: IdealGroups, body: Body, asked: Sequence[int], *, alone: bool) -> _Flow:
    """Solves a body with a current, together with one volt from each battery in `asked` and nothing from the others.

    Where the only battery of the body is asked for (`alone`), the steady state is its one-volt column times its emf.
    """
    sums, batteries = network.arithmetic, network.batteries
    scaled = alone and len(asked) == 1
    offsets = [_one_volt(network, ideal, body, battery) for battery in asked]
    emfs = [
        [sums.one if link.is_battery and link.index == battery else sums.zero for link in body.links]
        for battery in asked
    ]
    if not scaled:
        offsets.append({conductor: ideal.offset[conductor] for conductor in body.conductors})
        emfs.append([link.emf for link in body.links])
    solved = body.solve([body.driven(offset, emf) for offset, emf in zip(offsets, emfs, strict=True)])
    denominator = solved.denominator
    resistance: dict[int, Scalar] = {}
    levels: dict[int, Scalar] = {}
    drops: list[Scalar] = []
    for place, (offset, emf, column) in enumerate(zip(offsets, emfs, solved.columns, strict=True)):
        levels = {c: offset[c] * denominator + column[body.node[c]] for c in body.conductors}
        drops = [levels[link.a] - levels[link.b] - own * denominator for link, own in zip(body.links, emf, strict=True)]
        if place < len(asked):
            internal = batteries[asked[place]].internal
            drawn = _supplied(body, asked[place], offset, drops, sums.zero)
            resistance[asked[place]] = sums.ratio(denominator, drawn) - (internal or sums.zero)
    emf = batteries[asked[0]].emf if scaled else sums.one
    largest = sums.largest(battery.emf for battery in batteries) * denominator
    currents = [
        link.conductance * sums.denoised(drop * emf, largest) for link, drop in zip(body.links, drops, strict=True)
    ]
    rise = {conductor: level * emf for conductor, level in levels.items()} if scaled else levels
    return _Flow(rise, denominator, currents, resistance, solved.residual)


def _one_volt(network: Network, ideal: IdealGroups, body: Body, battery: int) -> dict[int, Scalar]:
    """What one volt of this battery, alone, adds at each conductor of its group of ideal batteries."""
    sums = network.arithmetic
    offset = dict.fromkeys(body.conductors, sums.zero)
    if network.batteries[battery].internal is not None:
        return offset
    for conductor in body.conductors:
        step = ideal.parent[conductor]
        if step is None:
            continue
        above, index = step
        if index == battery:
            offset[conductor] = sums.one if network.batteries[battery].a == conductor else -sums.one
        else:
            offset[conductor] = offset[above]
    return offset


def _supplied(body: Body, battery: int, offset: dict[int, Scalar], drops: Sequence[Scalar], zero: Scalar) -> Scalar:
    """The current out of a battery's + terminal that goes with these drops along the links (both over one denominator).

    An ideal battery supplies what leaves the conductors on its side of the group, where `offset` is not zero.
    """
    total = zero
    for link, drop in zip(body.links, drops, strict=True):
        if link.is_battery and link.index == battery:
            return -link.conductance * drop
        if offset[link.a] != offset[link.b]:
            total += link.conductance * drop * (offset[link.a] or -offset[link.b])
    return total
