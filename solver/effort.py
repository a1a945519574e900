"""Estimates how much work an exact answer takes, so that none takes more than a fraction of a second.

The numbers of an answer are sums over spanning trees of the network (G. Kirchhoff, Annalen der Physik und Chemie 72
(1847) 497–508): with capacitances a product over the parts of a tree, with resistances, on a common stroke, one over
the parts outside it. So the bits of the typed values tell how many bits each number of the answer will have, and the
number of trees how many terms a formula will have.
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable, Sequence
from math import comb, log2
from typing import Final

import flint

from solver.arithmetic import Scalar
from solver.elements import Element
from solver.network import Network

MOST_BITS: Final = 3_000_000
"""Bits of all potentials of an answer together: 1 million took 0.15 s where this was measured."""
MOST_BITS_OF_EQUIVALENTS: Final = 10_000_000
"""The same for the columns that tell what each battery sees."""
MOST_FLOATS: Final = 200_000
"""Conductors times batteries, where floats are used."""
MOST_TERMS: Final = 150
"""Terms of a formula; a bridge of five symbols has 8, five joints all joined to each other have 125."""
MOST_SYMBOLIC_CONDUCTORS: Final = 100
MOST_TERMS_TOGETHER: Final = 3_000
"""Terms of a formula times the number of conductors."""

_Edge = tuple[int, int, str | None]
"""Two ends, and the symbol of what lies between them; None for a number."""


def bits_of_answer(network: Network) -> list[float]:
    """About how many bits all potentials of each piece have together, in a network without symbols."""
    capacitance = _bits([part.capacitance for part in network.capacitors])
    resistance = _bits([part.resistance for part in network.resistors])
    emf = _bits([battery.emf for battery in network.batteries])
    conductors, capacitors, resistors = ([0] * len(network.pieces) for _ in range(3))
    for piece in network.piece_at:
        conductors[piece] += 1
    for part in network.capacitors:
        capacitors[network.piece_at[part.a]] += 1
    for resistor in network.resistors:
        resistors[network.piece_at[resistor.a]] += 1
    answer = []
    for count, storing, conducting in zip(conductors, capacitors, resistors, strict=True):
        trees = count * log2(1 + 2 * (storing + conducting) / count)
        in_a_tree = min(count, storing) * capacitance
        outside_a_tree = max(1, conducting - count + 1) * resistance
        answer.append(count * (trees + in_a_tree + outside_a_tree + emf))
    return answer


def bits_of_equivalents(network: Network, bits: Sequence[float]) -> float:
    """The bits of the columns that tell what each battery sees: those of its piece once more."""
    return sum(bits[network.piece_at[battery.a]] for battery in network.batteries)


def _bits(values: Sequence[Scalar]) -> float:
    """How many bits the different values have on average, once they are whole numbers of a common unit."""
    if not values:
        return 0.0
    # Parts with the same text share one number, and telling numbers apart by what they are takes longer than the sums.
    different = {id(value): value for value in values}.values()
    scale, shared = flint.fmpz(1), flint.fmpz(0)
    for value in different:
        scale, shared = scale.lcm(value.q), shared.gcd(value.p)
    sizes = (log2(max(1, abs(int(value.p)))) - log2(int(value.q)) for value in different)
    return log2(int(scale)) - log2(max(1, int(shared))) + sum(sizes) / len(different)


def symbols_are_quick(network: Network, elements: Sequence[Element]) -> bool:
    """Whether the formulas of a network with symbols stay short enough to be worked out within about half a second."""
    if len(network.conductors) > MOST_SYMBOLIC_CONDUCTORS:
        return False
    symbol = {element.part.name: element.value.symbol for element in elements if element.value}
    internal = {element.part.name: element.internal.symbol for element in elements if element.internal}
    body_of = network.body_of
    edges: dict[tuple[str, int], list[_Edge]] = defaultdict(list)
    for part in network.capacitors:
        a, b = body_of[part.a], body_of[part.b]
        edges["piece", network.piece_at[part.a]].append((a, b, symbol[part.name]))
    for resistor in network.resistors:
        edges["body", body_of[resistor.a]].append((resistor.a, resistor.b, symbol[resistor.name]))
    for battery in network.batteries:
        if battery.internal is not None:
            edges["body", body_of[battery.a]].append((battery.a, battery.b, internal[battery.name]))
    # Every emf and initial voltage with a symbol of its own adds a sum of its own to what drives the network.
    driving = {symbol[battery.name] for battery in network.batteries}
    driving |= {element.initial.symbol for element in elements if element.initial}
    terms = max(1, len(driving))
    for own in edges.values():
        terms *= _terms(own)
        if terms > MOST_TERMS:
            return False
    return terms * len(network.conductors) <= MOST_TERMS_TOGETHER


def _terms(edges: Iterable[_Edge]) -> int:
    """At most how many terms the sum over the spanning trees of these edges has."""
    between = [(a, b, symbol) for a, b, symbol in edges if a != b]
    sorts = len({symbol for _, _, symbol in between})
    place: dict[int, int] = {}
    for a, b, _ in between:
        place.setdefault(a, len(place))
        place.setdefault(b, len(place))
    if sorts < 2:
        return 1
    laplacian = flint.fmpz_mat(len(place), len(place))
    for a, b, _ in between:
        here, there = place[a], place[b]
        for row, column, step in ((here, here, 1), (there, there, 1), (here, there, -1), (there, here, -1)):
            laplacian[row, column] += step
    inner = flint.fmpz_mat([row[1:] for row in laplacian.tolist()[1:]])
    products = comb(len(place) - 1 + sorts - 1, sorts - 1)
    return min(int(inner.det()), products)
