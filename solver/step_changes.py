"""What a network is reduced by: series and parallel groups, stars for triangles; and the law by which values combine.

A link has two ends and a value, and nothing here knows of volts.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from solver.arithmetic import Scalar


@dataclass(frozen=True, slots=True)
class Link:
    """A part, or what stands for several, between the nodes `a` and `b`; `value` in farads or ohms."""

    name: str
    a: int
    b: int
    value: Scalar

    def other(self, node: int) -> int:
        """The end that is not this one."""
        return self.b if node == self.a else self.a


@dataclass(frozen=True, slots=True)
class Series:
    """Members one after another from `whole.a` to `whole.b`, and the nodes between them, in that order."""

    whole: Link
    members: tuple[Link, ...]
    between: tuple[int, ...]


@dataclass(frozen=True, slots=True)
class Parallel:
    """Members that join the same two nodes."""

    whole: Link
    members: tuple[Link, ...]


@dataclass(frozen=True, slots=True)
class Star:
    """A triangle changed into a star: `sides[i]` lies opposite `corners[i]`, `arms[i]` runs from there to `centre`."""

    corners: tuple[int, int, int]
    sides: tuple[Link, Link, Link]
    arms: tuple[Link, Link, Link]
    centre: int


@dataclass(frozen=True, slots=True)
class Triangle:
    """A star changed into a triangle, in the same order as in Star."""

    corners: tuple[int, int, int]
    arms: tuple[Link, Link, Link]
    sides: tuple[Link, Link, Link]
    centre: int


Change = Series | Parallel | Star | Triangle


def removed(change: Change) -> tuple[Link, ...]:
    """What a change takes away."""
    if isinstance(change, Star):
        return change.sides
    return change.arms if isinstance(change, Triangle) else change.members


def added(change: Change) -> tuple[Link, ...]:
    """What a change puts there."""
    if isinstance(change, Star):
        return change.arms
    return change.sides if isinstance(change, Triangle) else (change.whole,)


@dataclass(frozen=True, slots=True)
class Law:
    """How values combine: `adds` is the sort of group, Series or Parallel, in which they simply add up."""

    adds: type[Series] | type[Parallel]
    one: Scalar

    def combined(self, sort: type[Series] | type[Parallel], values: Sequence[Scalar]) -> Scalar:
        """The value of a group: the sum, or the reciprocal of the sum of reciprocals."""
        if sort is self.adds:
            return _sum(values)
        return self.one / _sum([self.one / value for value in values])

    def arms(self, sides: Sequence[Scalar]) -> tuple[Scalar, Scalar, Scalar]:
        """The star that does what a triangle does, arm i from the corner opposite side i.

        For resistances the product of the two sides at the corner over the sum of all three (A. E. Kennelly, "The
        equivalence of triangles and three-pointed stars in conducting networks", Electrical World and Engineer 34
        (1899) 413–414). Capacitances go by their reciprocals, which is the sum of the products in pairs over the side
        opposite the corner.
        """
        return self._divided(sides) if self.adds is Series else self._multiplied(sides)

    def sides(self, arms: Sequence[Scalar]) -> tuple[Scalar, Scalar, Scalar]:
        """The triangle that does what a star does; the other way round, and from the same source."""
        return self._multiplied(arms) if self.adds is Series else self._divided(arms)

    def _divided(self, values: Sequence[Scalar]) -> tuple[Scalar, Scalar, Scalar]:
        first, second, third = values
        total = _sum(values)
        return second * third / total, third * first / total, first * second / total

    def _multiplied(self, values: Sequence[Scalar]) -> tuple[Scalar, Scalar, Scalar]:
        first, second, third = values
        pairs = first * second + second * third + third * first
        return pairs / first, pairs / second, pairs / third


def _sum(values: Sequence[Scalar]) -> Scalar:
    return sum(values[1:], values[0])
