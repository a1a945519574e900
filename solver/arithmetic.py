"""What the physics asks of numbers: the same steps run on exact rationals, rational functions and floats.

Scalars support + − × ÷ with each other and with whole numbers, and are false exactly when zero. Linear systems are
solved as `Solved`: numerators over one common denominator, so that differences and sums need no reduction.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from typing import Any, Protocol

from solver.values import Value

Scalar = Any
Edge = tuple[int, int, Scalar]


@dataclass(frozen=True, slots=True)
class Solved:
    """Solutions of a grounded Laplacian system: `columns[k][node]` / `denominator`; node 0 is zero throughout.

    `residual` is the largest residual of an equation relative to the largest sum of terms; zero where exact.
    """

    columns: list[list[Scalar]]
    denominator: Scalar
    residual: float


class Arithmetic(Protocol):
    """Numbers of one sort."""

    zero: Scalar
    one: Scalar
    exact: bool

    def number(self, value: Value) -> Scalar:
        """The value in SI units."""
        ...

    def largest(self, values: Iterable[Scalar]) -> Scalar:
        """The largest magnitude, as a measure of rounding; exact arithmetics need none and give zero."""
        ...

    def denoised(self, value: Scalar, scale: Scalar) -> Scalar:
        """The value, or zero where it is mere rounding error beside `scale`; exact values are as they are."""
        ...

    def ratio(self, numerator: Scalar, denominator: Scalar) -> Scalar:
        """The quotient, in lowest terms where that means something."""
        ...

    def differences(self, pairs: Iterable[tuple[Scalar, Scalar, Scalar, Scalar]]) -> list[Scalar]:
        """For each (numerator, numerator taken away, denominator, largest): the difference as a denoised ratio."""
        ...

    def common(self, denominators: Iterable[Scalar]) -> Scalar:
        """A common multiple of denominators of Solved."""
        ...

    def whole(self, values: Sequence[Scalar]) -> tuple[Sequence[Scalar], Scalar]:
        """The values in a common unit that makes rationals whole numbers, and how many of this unit make one."""
        ...

    def solve(self, size: int, edges: Sequence[Edge], columns: Sequence[list[Scalar]]) -> Solved:
        """Solves the weighted Laplacian of a connected graph on nodes 0 … size − 1, node 0 held at zero.

        An edge (a, b, w) adds w to both diagonals and −w off them; w is not zero, a ≠ b, parallel edges add up.
        For each column of right-hand sides (entry 0 is not read) it finds x with L·x = column at every node but 0.
        """
        ...


class Exact:
    """What every exact arithmetic does alike: nothing is rounded, so nothing has to be told from rounding."""

    zero: Scalar
    one: Scalar
    exact = True

    def largest(self, values: Iterable[Scalar]) -> Scalar:
        """Zero: exact values are not rounded."""
        return self.zero

    def denoised(self, value: Scalar, scale: Scalar) -> Scalar:
        """The value as it is."""
        return value

    def ratio(self, numerator: Scalar, denominator: Scalar) -> Scalar:
        """The quotient in lowest terms."""
        return numerator / denominator

    def whole(self, values: Sequence[Scalar]) -> tuple[Sequence[Scalar], Scalar]:
        """The values as they are."""
        return values, self.one

    def differences(self, pairs: Iterable[tuple[Scalar, Scalar, Scalar, Scalar]]) -> list[Scalar]:
        """The differences in lowest terms."""
        return [(one - other) / denominator for one, other, denominator, _ in pairs]


class Rounded:
    """What every arithmetic in floats does alike: nothing is kept over a denominator, and differences are denoised."""

    zero: Scalar = 0.0
    one: Scalar = 1.0
    exact = False

    def number(self, value: Value) -> Scalar:
        """The float nearest to the value in SI units; it must have no symbol."""
        return int(value.factor.p) / int(value.factor.q)

    def denoised(self, value: Scalar, scale: Scalar) -> Scalar:
        """The value, or zero where it is mere rounding beside `scale`."""
        raise NotImplementedError

    def ratio(self, numerator: Scalar, denominator: Scalar) -> Scalar:
        """The quotient."""
        return numerator / denominator

    def differences(self, pairs: Iterable[tuple[Scalar, Scalar, Scalar, Scalar]]) -> list[Scalar]:
        """The differences, zero where they are rounding beside the largest."""
        return [self.denoised(one - other, largest) for one, other, _, largest in pairs]

    def common(self, denominators: Iterable[Scalar]) -> Scalar:
        """One: nothing is kept over a denominator."""
        return 1.0

    def whole(self, values: Sequence[Scalar]) -> tuple[Sequence[Scalar], Scalar]:
        """The values as they are."""
        return values, self.one
