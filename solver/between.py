"""What lies between two joints: the capacitance, or the resistance, with every battery replaced by a wire.

If a conducting path joins the two, capacitors carry nothing in the end and the resistance is read; if none does,
resistors carry nothing in the end either, act as wires, and the capacitance is read. Batteries that lie directly
between the two are taken away, for one reads in their place; an internal resistance stays where its battery does.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from solver.arithmetic import Scalar
from solver.ideal import ideal_of
from solver.network import Network, without
from solver.quantities import Quantity
from solver.settled import pieces_of
from solver.steady import bodies_of

Pair = tuple[int, int]


@dataclass(frozen=True, slots=True)
class Equivalent:
    """A capacitance (farads) or a resistance (ohms)."""

    quantity: Quantity
    amount: Scalar


def batteries_between(network: Network, pair: Pair) -> frozenset[int]:
    """The batteries directly between two conductors."""
    return frozenset(index for index, part in enumerate(network.batteries) if {part.a, part.b} == set(pair))


def equivalents(network: Network, pairs: Sequence[Pair]) -> list[Equivalent | None]:
    """What lies between each pair of different conductors; None where no part joins them in any way.

    Pairs that take the same batteries away are solved together, one column for each.
    """
    found: list[Equivalent | None] = [None] * len(pairs)
    by_away: dict[frozenset[int], list[int]] = {}
    for place, pair in enumerate(pairs):
        by_away.setdefault(batteries_between(network, pair), []).append(place)
    for away, places in by_away.items():
        rest = without(network, away) if away else network
        for place, equivalent in zip(places, _between(rest, [pairs[place] for place in places]), strict=True):
            found[place] = equivalent
    return found


def _between(network: Network, pairs: Sequence[Pair]) -> list[Equivalent | None]:
    sums, body_of = network.arithmetic, network.body_of
    found: list[Equivalent | None] = [None] * len(pairs)
    ideal = ideal_of(network)
    in_body: dict[int, list[int]] = {}
    in_piece: dict[int, list[int]] = {}
    for place, (a, b) in enumerate(pairs):
        if ideal.group_of[a] == ideal.group_of[b]:
            found[place] = Equivalent(Quantity.RESISTANCE, sums.zero)
        elif body_of[a] == body_of[b]:
            in_body.setdefault(body_of[a], []).append(place)
        elif network.piece_at[a] == network.piece_at[b]:
            in_piece.setdefault(network.piece_at[a], []).append(place)
    bodies = bodies_of(network, ideal) if in_body else {}
    for number, places in in_body.items():
        body = bodies[number]
        nodes = [(body.node[pairs[place][0]], body.node[pairs[place][1]]) for place in places]
        solved = body.solve([_one_through(sums.zero, sums.one, body.size, *ends) for ends in nodes])
        for place, (a, b), column in zip(places, nodes, solved.columns, strict=True):
            found[place] = Equivalent(Quantity.RESISTANCE, sums.ratio(column[a] - column[b], solved.denominator))
    pieces = pieces_of(network) if in_piece else []
    for number, places in in_piece.items():
        piece = pieces[number]
        nodes = [(piece.node[pairs[place][0]], piece.node[pairs[place][1]]) for place in places]
        solved = piece.solve([_one_through(sums.zero, sums.one, piece.size, *ends) for ends in nodes])
        for place, (a, b), column in zip(places, nodes, solved.columns, strict=True):
            found[place] = Equivalent(Quantity.CAPACITANCE, sums.ratio(solved.denominator, column[a] - column[b]))
    return found


def _one_through(zero: Scalar, one: Scalar, size: int, a: int, b: int) -> list[Scalar]:
    column = [zero] * size
    column[a], column[b] = one, -one
    return column
