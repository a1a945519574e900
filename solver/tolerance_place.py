"""Where the work on the spreads of a sketch is: what one slice hands on to the next, which keeps nothing in between."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, replace
from typing import Any, Self

Bits = tuple[bool, ...]
"""A corner: for each part with a tolerance, whether it has its largest value."""


class SpreadLost(Exception):
    """The place is none where work on this sketch could be."""


@dataclass(frozen=True)
class Place:
    """How many readings were climbed for, the corners found, and how many readings were told.

    `chosen` says for each reading at which corners it is least and largest, as places among `corners`: two where it is
    extreme at corners, four where it may be extreme within its own part's tolerance (that part at its least and at its
    largest, for either end), none where it has no spread. It is None until all corners are there.
    """

    climbed: int = 0
    corners: tuple[Bits, ...] = ()
    chosen: tuple[tuple[int, ...], ...] | None = None
    told: int = 0

    @classmethod
    def read(cls, document: Mapping[str, Any]) -> Self:
        """Reads SpreadPlace of shared/openapi.json."""
        chosen = document["chosen"]
        return cls(
            document["climbed"],
            tuple(tuple(bit == "1" for bit in corner) for corner in document["corners"]),
            None if chosen is None else tuple(map(tuple, chosen)),
            document["told"],
        )

    def document(self) -> dict[str, Any]:
        """The place as the web interface sends it."""
        return {
            "climbed": self.climbed,
            "corners": ["".join("1" if bit else "0" for bit in corner) for corner in self.corners],
            "chosen": None if self.chosen is None else [list(places) for places in self.chosen],
            "told": self.told,
        }

    def require(self, loose: int, plain: int, keys: Sequence[str]) -> None:
        """Raises SpreadLost where this is no place in the work on so many loose parts and these readings."""
        good = self.climbed <= plain and self.told < len(keys) and all(len(corner) == loose for corner in self.corners)
        if self.chosen is not None:
            good = good and len(self.chosen) == len(keys)
            good = good and all(len(each) in (0, 2, 4) for each in self.chosen)
            good = good and all(place < len(self.corners) for each in self.chosen for place in each)
        if not good:
            raise SpreadLost

    def with_corners(self, corners: Iterable[Bits], climbed: int) -> Self:
        """The place with corners more, each there once."""
        return replace(self, corners=tuple(dict.fromkeys((*self.corners, *corners))), climbed=climbed)

    def with_choice(self, corners: Sequence[Bits], chosen: Sequence[tuple[int, ...]]) -> Self:
        """The place with the corners that matter and what is chosen among them."""
        return replace(self, corners=tuple(corners), chosen=tuple(chosen))

    def told_to(self, number: int) -> Self:
        """The place with so many readings told."""
        return replace(self, told=number)
