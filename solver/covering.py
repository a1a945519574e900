"""Which readings are covered from the class, by the keys in a sketch's `covered`; static/covering.js says the same."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from typing import Final, Self

ALL: Final = "*"
BUT: Final = "but "
"""Before a key: shown all the same, where every other is covered."""


@dataclass(frozen=True)
class Covering:
    """The entries of `covered`: keys such as "C1.voltage", "*" for every one, "but C1.voltage" for one left out."""

    entries: frozenset[str]

    @classmethod
    def of(cls, entries: Iterable[str]) -> Self:
        """The covering that these entries are.

        >>> Covering.of(["*", "but C1.voltage"]).covers("C1.voltage")
        False
        """
        return cls(frozenset(entries))

    @property
    def is_empty(self) -> bool:
        """Whether nothing is covered."""
        return not self.entries

    def covers(self, key: str) -> bool:
        """Whether the reading with this key is hidden."""
        if ALL in self.entries:
            return BUT + key not in self.entries
        return key in self.entries

    def names(self, key: str) -> bool:
        """Whether just this reading was covered, not all of them together."""
        return key in self.entries
