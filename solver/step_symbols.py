"""The letters of a worked solution: C₂ and Q₂ for the capacitor C2, I₅ for the resistor R5, V_k3 for a conductor.

An index is as short as it can be without two parts sharing it: where there are a C1 and an R1, all voltages have whole
names for an index, V_C1 and V_R2.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable, Sequence
from functools import lru_cache
from typing import Final, Self

from solver.formula import Symbol
from solver.kinds import KINDS
from solver.network import Branch, Network

_LETTERS: Final = {kind: frozenset(entry.symbol_letters) for kind, entry in KINDS.items()}
_STEM: Final = {"capacitor": "C", "resistor": "R", "battery": "E"}


class Symbols:
    """The symbols of the quantities of named parts; `parts` are pairs of name and kind.

    >>> Symbols([("E1", "battery"), ("C1", "capacitor"), ("C2", "capacitor")]).charge("C2").text()
    'Q2'
    """

    def __init__(self, parts: Iterable[tuple[str, str]]) -> None:
        self._kinds: Final = dict(parts)
        # A battery shares no index with others unless it is called V1, as the voltage across C1 would be.
        count = Counter(index_of(*part) for part in self._kinds.items() if part[1] != "battery" or part[0][0] == "V")
        self._shared: Final = any(number > 1 for number in count.values())

    @classmethod
    def of(cls, network: Network, equivalents: Iterable[tuple[str, str]] = ()) -> Self:
        """The symbols of a network's parts and of their equivalents."""
        kinds: list[tuple[Sequence[Branch], str]] = [
            (network.batteries, "battery"),
            (network.capacitors, "capacitor"),
            (network.resistors, "resistor"),
        ]
        return cls([*((part.name, kind) for parts, kind in kinds for part in parts), *equivalents])

    def value(self, name: str) -> Symbol:
        """The part's own: its capacitance, resistance or emf."""
        return Symbol(*_split(name, self._kinds[name]))

    def voltage(self, name: str) -> Symbol:
        """The voltage across the part."""
        return Symbol("V", self._index_of(name))

    def charge(self, name: str) -> Symbol:
        """The charge on the part's plates, or what a battery delivers."""
        return Symbol("Q", self._index_of(name))

    def current(self, name: str) -> Symbol:
        """The current through the part."""
        return Symbol("I", self._index_of(name))

    def energy(self, name: str) -> Symbol:
        """The energy stored in the part."""
        return Symbol("U", self._index_of(name))

    def power(self, name: str) -> Symbol:
        """The power in the part."""
        return Symbol("P", self._index_of(name))

    def internal(self, name: str) -> Symbol:
        """A battery's internal resistance."""
        return Symbol("r", self._index_of(name))

    def potential(self, conductor: str) -> Symbol:
        """The potential of a conductor, by its name in documents."""
        return Symbol("V", conductor)

    def _index_of(self, name: str) -> str:
        kind = self._kinds[name]
        index = index_of(name, kind)
        return name.replace("_", "") if kind == "battery" or self._shared else index


@lru_cache(maxsize=4096)
def _split(name: str, kind: str) -> tuple[str, str]:
    """The letter and index of a part's name; a name that does not begin with its kind's letter is an index."""
    letter, rest = name[0], name[1:].replace("_", "")
    if letter in _LETTERS[kind] and not (rest[:1].isalpha() and len(rest) > 1):
        return letter, rest
    return _STEM[kind], name.replace("_", "")


def index_of(name: str, kind: str) -> str:
    """The index of a part's symbols, before it is known whether another part has the same."""
    return _split(name, kind)[1] or name
