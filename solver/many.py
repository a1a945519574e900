"""Floats for many networks at once: the same network with other values in each, solved together by numpy.

A scalar is one plain float where all networks agree, else an array with one entry for each.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from typing import Any, Final

import numpy as np

from solver.arithmetic import Edge, Rounded, Scalar, Solved

_NOISE: Final = 1e-12


class Many:
    """One number for each network. It is false where all of them are zero."""

    __slots__ = ("each",)

    def __init__(self, each: Any) -> None:
        self.each: Any = each

    def __add__(self, other: Scalar) -> Many:
        return Many(self.each + plain(other))

    __radd__ = __add__

    def __sub__(self, other: Scalar) -> Many:
        return Many(self.each - plain(other))

    def __rsub__(self, other: Scalar) -> Many:
        return Many(plain(other) - self.each)

    def __mul__(self, other: Scalar) -> Many:
        return Many(self.each * plain(other))

    __rmul__ = __mul__

    def __truediv__(self, other: Scalar) -> Many:
        return Many(self.each / plain(other))

    def __rtruediv__(self, other: Scalar) -> Many:
        return Many(plain(other) / self.each)

    def __neg__(self) -> Many:
        return Many(-self.each)

    def __bool__(self) -> bool:
        return bool(self.each.any())


def plain(scalar: Scalar) -> Any:
    """A float, or the array of a Many."""
    return scalar.each if isinstance(scalar, Many) else scalar


class ManyFloats(Rounded):
    """Arithmetic on so many networks at once."""

    def __init__(self, count: int) -> None:
        self.count: Final = count

    def largest(self, values: Iterable[Scalar]) -> Scalar:
        """The largest magnitude in each network."""
        found: Any = 0.0
        for value in values:
            found = np.maximum(found, np.abs(plain(value)))
        return Many(found) if isinstance(found, np.ndarray) else float(found)

    def denoised(self, value: Scalar, scale: Scalar) -> Scalar:
        """The value, zero in those networks where it is mere rounding beside `scale`."""
        entries = plain(value)
        kept = np.where(np.abs(entries) <= _NOISE * plain(scale), 0.0, entries)
        return Many(kept) if kept.ndim else float(kept)

    def solve(self, size: int, edges: Sequence[Edge], columns: Sequence[list[Scalar]]) -> Solved:
        """See Arithmetic.solve; takes O(count · size³) steps and count · size² numbers of memory."""
        if size == 1 or not columns:
            return Solved([[0.0] * size for _ in columns], 1.0, 0.0)
        matrix = np.zeros((self.count, size, size))
        for a, b, weight in edges:
            entries = plain(weight)
            matrix[:, a, a] += entries
            matrix[:, b, b] += entries
            matrix[:, a, b] -= entries
            matrix[:, b, a] -= entries
        sides = np.zeros((self.count, size, len(columns)))
        for place, column in enumerate(columns):
            for node, entry in enumerate(column):
                sides[:, node, place] = plain(entry)
        x = np.linalg.solve(matrix[:, 1:, 1:], sides[:, 1:, :])
        by_column = x.transpose(2, 1, 0)
        return Solved([[0.0, *(Many(entries.copy()) for entries in column)] for column in by_column], 1.0, 0.0)
