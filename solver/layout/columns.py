"""How far right each upright line of a mesh lies: in the order of the embedding, with bars as short as that allows.

It is a linear program of differences alone, so its solution comes out in whole steps.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING, Final

if TYPE_CHECKING:
    from scipy.sparse import csr_array

_BAR: Final = 100.0
_RAIL: Final = 60.0
"""What a step of bar weighs against a step of width, and a step of the upper and the lower rail: these are long anyway,
and a step in a line is seen more easily in the midst of a drawing."""


@dataclass(frozen=True, slots=True)
class Upright:
    """An upright line: from `top` to `bottom` in rows of the sheet, and the room it takes on either side."""

    top: int
    bottom: int
    before: int
    after: int

    def beside(self, other: Upright) -> bool:
        """Whether the two share a row, be it only at their ends."""
        return self.top <= other.bottom and other.top <= self.bottom


@dataclass(frozen=True, slots=True)
class Bar:
    """A bar over columns: it reaches so far aside of each. `is_rail` says that it is the first or the last of all."""

    columns: tuple[tuple[int, tuple[int, int]], ...]
    is_rail: bool


@dataclass
class Program:
    """The conditions on columns: `apart` (left, right, at least so far), `equal` pairs, and `bars` over columns."""

    columns: Sequence[int]
    apart: dict[tuple[int, int], int]
    equal: Sequence[tuple[int, int]]
    bars: Mapping[int, Bar]
    rows: Iterable[tuple[int, int, int]]
    """Bars next to each other in one row: the left one, the right one, the length of the line between them."""

    def solved(self) -> dict[int, int] | None:
        """The place of each column, from 0 on; None where the conditions contradict each other."""
        # Loaded when first needed: most networks have no mesh in them.
        import numpy as np
        from scipy.optimize import linprog

        variables: dict[tuple[str, int], int] = {}
        for column in self.columns:
            variables["column", column] = len(variables)
        for bar in self.bars:
            variables["low", bar] = len(variables)
            variables["high", bar] = len(variables)
        # Each row says: one variable is at least so much less than another.
        less: list[tuple[int, int, int]] = [
            (variables["column", left], variables["column", right], least)
            for (left, right), least in self.apart.items()
        ]
        for bar, over in self.bars.items():
            for column, (low, high) in over.columns:
                less.append((variables["low", bar], variables["column", column], -low))
                less.append((variables["column", column], variables["high", bar], high))
        less.extend((variables["high", left], variables["low", right], length) for left, right, length in self.rows)
        cost = np.ones(len(variables))
        for bar, over in self.bars.items():
            weight = _RAIL if over.is_rail else _BAR
            cost[variables["low", bar]] = -weight
            cost[variables["high", bar]] = weight
        same = [(variables["column", one], variables["column", other], 0) for one, other in self.equal]
        found = linprog(
            cost,
            A_ub=_differences(less, len(variables)) if less else None,
            b_ub=[-least for *_, least in less] if less else None,
            A_eq=_differences(same, len(variables)) if same else None,
            b_eq=[0] * len(same) if same else None,
            bounds=(0, None),
            method="highs-ds",
        )
        if not found.success:
            return None
        return {column: round(found.x[variables["column", column]]) for column in self.columns}


def _differences(rows: Sequence[tuple[int, int, int]], width: int) -> csr_array:
    """A row for each pair: the first variable less the second."""
    import numpy as np
    from scipy.sparse import csr_array

    count = len(rows)
    places = np.array([place for one, other, _ in rows for place in (one, other)])
    values = np.tile([1.0, -1.0], count)
    return csr_array((values, (np.repeat(np.arange(count), 2), places)), shape=(count, width))
