"""Exact linear algebra on rationals: solves a grounded Laplacian with python-flint.

Nodes with one or two neighbours go first, in exact fractions, then a set of nodes with up to four neighbours none of
which touch each other; what is left flint scales to whole numbers row by row and solves by p-adic lifting (J. D. Dixon,
"Exact solution of linear equations using p-adic expansions", Numer. Math. 40 (1982) 137–141).
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from typing import Final

import flint

from solver.arithmetic import Edge, Exact, Scalar, Solved
from solver.elimination import Grounded
from solver.values import Value

_ZERO: Final = flint.fmpq(0)
_ONE: Final = flint.fmpq(1)
_ALWAYS: Final = 2
_APART: Final = 4


class Rationals(Exact):
    """Arithmetic on exact rationals (flint.fmpq)."""

    zero: Scalar = _ZERO
    one: Scalar = _ONE

    def number(self, value: Value) -> Scalar:
        """The value in SI units; it must have no symbol."""
        return value.factor

    def common(self, denominators: Iterable[Scalar]) -> Scalar:
        """The least common multiple of whole numbers."""
        multiple = flint.fmpz(1)
        for denominator in denominators:
            multiple = multiple.lcm(flint.fmpq(denominator).p)
        return multiple

    def whole(self, values: Sequence[Scalar]) -> tuple[Sequence[Scalar], Scalar]:
        """The values over their least common denominator: sums and products of whole numbers need no reduction."""
        # Parts with the same text share one number.
        different = {id(value): value for value in values}
        unit = flint.fmpz(1)
        for value in different.values():
            unit = unit.lcm(value.q)
        whole = {number: value * unit for number, value in different.items()}
        return [whole[id(value)] for value in values], unit

    def solve(self, size: int, edges: Sequence[Edge], columns: Sequence[list[Scalar]]) -> Solved:
        """See Arithmetic.solve. Takes O(n) steps on trees, chains and ladders, O(n³) on the core that remains."""
        if not columns:
            return Solved([], flint.fmpz(1), 0.0)
        system = Grounded(size, edges, columns, _ZERO)
        system.eliminate(_ALWAYS)
        system.eliminate_apart(_APART)
        core, denominator = _solve_core(system, len(columns))
        return Solved(system.restore(core, denominator), denominator, 0.0)


def _solve_core(system: Grounded, width: int) -> tuple[dict[int, list[Scalar]], Scalar]:
    if not system.neighbours:
        return {}, flint.fmpz(1)
    place = {node: index for index, node in enumerate(system.neighbours)}
    matrix = flint.fmpq_mat(len(place), len(place))
    sides = flint.fmpq_mat(len(place), width)
    for node, index in place.items():
        matrix[index, index] = system.diagonal[node]
        for other, weight in system.neighbours[node].items():
            matrix[index, place[other]] = -weight
        for column, term in enumerate(system.right[node]):
            sides[index, column] = term
    numerators, denominator = matrix.solve(sides).numer_denom()
    table = numerators.tolist()
    return {node: [flint.fmpq(entry) for entry in table[index]] for node, index in place.items()}, denominator
