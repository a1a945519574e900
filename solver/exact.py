"""Exact linear algebra on rationals: solves a grounded Laplacian with python-flint.

Nodes with one or two neighbours go first, in exact fractions, then a set of nodes with up to four neighbours none of
which touch each other; what is left is scaled to whole numbers row by row and solved by p-adic lifting (J. D. Dixon,
"Exact solution of linear equations using p-adic expansions", Numer. Math. 40 (1982) 137–141), which flint does.
"""

from __future__ import annotations

import heapq
from collections.abc import Iterable, Sequence
from typing import Final

import flint

from solver.arithmetic import Edge, Scalar, Solved
from solver.values import Value

_ZERO: Final = flint.fmpq(0)
_ONE: Final = flint.fmpq(1)
_FEW: Final = 2
_SOME: Final = 4
Eliminated = tuple[int, dict[int, Scalar], Scalar]


class Rationals:
    """Arithmetic on exact rationals (flint.fmpq)."""

    zero: Scalar = _ZERO
    one: Scalar = _ONE
    exact = True

    def number(self, value: Value) -> Scalar:
        """The value in SI units; it must have no symbol."""
        return value.factor

    def size(self, value: Scalar) -> Scalar:
        """Zero: exact values need no measure."""
        return _ZERO

    def settle(self, value: Scalar, scale: Scalar) -> Scalar:
        """The value as it is."""
        return value

    def ratio(self, numerator: Scalar, denominator: Scalar) -> Scalar:
        """The quotient in lowest terms."""
        return flint.fmpq(numerator) / denominator

    def common(self, denominators: Iterable[Scalar]) -> Scalar:
        """The least common multiple of whole numbers."""
        multiple = flint.fmpz(1)
        for denominator in denominators:
            multiple = multiple.lcm(flint.fmpq(denominator).p)
        return multiple

    def solve(self, size: int, edges: Sequence[Edge], columns: Sequence[list[Scalar]]) -> Solved:
        """See Arithmetic.solve. Takes O(n) steps on trees, chains and ladders, O(n³) on the core that remains."""
        neighbours, diagonal = _rows(size, edges)
        right = [[column[node] for column in columns] for node in range(size)]
        eliminated = _eliminate(neighbours, diagonal, right)
        solution, denominator = _solve_core(neighbours, diagonal, right, len(columns))
        for node, links, inverse in reversed(eliminated):
            entries = []
            for index, term in enumerate(right[node]):
                total = term * denominator
                for other, weight in links.items():
                    if other:
                        total += weight * solution[other][index]
                entries.append(total * inverse)
            solution[node] = entries
        solution[0] = [_ZERO] * len(columns)
        return Solved([[solution[node][k] for node in range(size)] for k in range(len(columns))], denominator, None)


def _rows(size: int, edges: Sequence[Edge]) -> tuple[dict[int, dict[int, Scalar]], dict[int, Scalar]]:
    """The Laplacian without node 0: for each node its neighbours' weights (node 0 left out), and its diagonal."""
    neighbours: dict[int, dict[int, Scalar]] = {node: {} for node in range(1, size)}
    diagonal: dict[int, Scalar] = dict.fromkeys(range(size), _ZERO)
    for a, b, weight in edges:
        diagonal[a] += weight
        diagonal[b] += weight
        if a and b:
            row = neighbours[a]
            row[b] = neighbours[b][a] = row[b] + weight if b in row else weight
    return neighbours, diagonal


def _eliminate(
    neighbours: dict[int, dict[int, Scalar]], diagonal: dict[int, Scalar], right: list[list[Scalar]]
) -> list[Eliminated]:
    """Takes nodes with few neighbours out of the system, in place; what is needed to put them back is returned."""
    heap = [(len(links), node) for node, links in neighbours.items()]
    heapq.heapify(heap)
    touched: set[int] = set()
    eliminated: list[Eliminated] = []
    while heap:
        degree, node = heapq.heappop(heap)
        if node not in neighbours or len(neighbours[node]) != degree or node in touched:
            continue
        if degree > _SOME:
            break
        links = neighbours.pop(node)
        inverse = 1 / diagonal[node]
        own = right[node]
        pairs = list(links.items())
        for place, (other, weight) in enumerate(pairs):
            row = neighbours[other]
            del row[node]
            share = weight * inverse
            diagonal[other] -= share * weight
            theirs = right[other]
            for index, term in enumerate(own):
                if term:
                    theirs[index] += share * term
            for third, third_weight in pairs[place + 1 :]:
                added = share * third_weight
                row[third] = neighbours[third][other] = row[third] + added if third in row else added
        eliminated.append((node, links, inverse))
        if degree > _FEW:
            touched.update(links)
        else:
            for other in links:
                heapq.heappush(heap, (len(neighbours[other]), other))
    return eliminated


def _solve_core(
    neighbours: dict[int, dict[int, Scalar]], diagonal: dict[int, Scalar], right: list[list[Scalar]], width: int
) -> tuple[dict[int, list[Scalar]], Scalar]:
    if not neighbours:
        return {}, flint.fmpz(1)
    place = {node: index for index, node in enumerate(neighbours)}
    matrix = flint.fmpz_mat(len(place), len(place))
    sides = flint.fmpz_mat(len(place), width)
    for node, index in place.items():
        links, own = neighbours[node], right[node]
        scale = diagonal[node].q
        for entry in (*links.values(), *own):
            scale = scale.lcm(entry.q)
        matrix[index, index] = diagonal[node].p * (scale // diagonal[node].q)
        for other, weight in links.items():
            matrix[index, place[other]] = -weight.p * (scale // weight.q)
        for column, term in enumerate(own):
            sides[index, column] = term.p * (scale // term.q)
    numerators, denominator = matrix.solve(sides).numer_denom()
    table = numerators.tolist()
    return {node: [flint.fmpq(entry) for entry in table[index]] for node, index in place.items()}, denominator
