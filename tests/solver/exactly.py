"""Exact numbers in tests: what a reading says as a Fraction, and a plain elimination to hold the solver against."""

from __future__ import annotations

from fractions import Fraction


def fraction(reading) -> Fraction:
    """A reading's exact value."""
    return Fraction(int(reading.exact.p), int(reading.exact.q))


def solve_by_elimination(matrix: list[list[Fraction]], sides: list[Fraction]) -> list[Fraction]:
    """Gauss and Jordan's elimination, row by row, on fractions; the matrix must not be singular."""
    rows = [[*row, side] for row, side in zip(matrix, sides, strict=True)]
    for column in range(len(rows)):
        pivot = next(row for row in range(column, len(rows)) if rows[row][column])
        rows[column], rows[pivot] = rows[pivot], rows[column]
        rows[column] = [entry / rows[column][column] for entry in rows[column]]
        for row in range(len(rows)):
            if row != column and rows[row][column]:
                factor = rows[row][column]
                rows[row] = [entry - factor * above for entry, above in zip(rows[row], rows[column], strict=True)]
    return [row[-1] for row in rows]


def resistance_by_elimination(size: int, edges, a: int, b: int) -> Fraction:
    """The resistance between two nodes of a connected network of conductances: 1 A through it, read the voltage."""
    matrix = [[Fraction(0)] * size for _ in range(size)]
    for here, there, conductance in edges:
        matrix[here][here] += conductance
        matrix[there][there] += conductance
        matrix[here][there] -= conductance
        matrix[there][here] -= conductance
    sides = [Fraction(0)] * size
    sides[a] = Fraction(1)
    matrix[b] = [Fraction(int(node == b)) for node in range(size)]
    return solve_by_elimination(matrix, sides)[a]
