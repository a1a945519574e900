"""Names for what stands for several parts: C23 for C2 and C3, else a letter that is free: C_a."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from string import ascii_lowercase
from typing import Final

from solver.network import Network
from solver.step_changes import Change, added, removed
from solver.step_symbols import Symbols, index_of

_MOST_DIGITS: Final = 6


class Names:
    """Gives names that nothing on the sheet has, each once."""

    def __init__(self, letter: str, kind: str, taken: Iterable[str]) -> None:
        self._letter: Final = letter
        self._kind: Final = kind
        # C_23 and C23 look alike wherever names are written.
        self._taken: Final = {name.replace("_", "") for name in taken}

    def __call__(self, names: Sequence[str]) -> str:
        """The name of what stands for these parts; for what stands for none in particular, a letter."""
        indices = [index_of(name, self._kind) for name in names]
        joined = self._letter + "".join(indices)
        plain = bool(indices) and all(map(str.isdigit, indices)) and len(joined) <= _MOST_DIGITS + 1
        if not plain or joined in self._taken:
            joined = self._lettered()
        self._taken.add(joined.replace("_", ""))
        return joined

    def _lettered(self) -> str:
        """A name with an underscore, which sets the letter after it as an index in drawings as in formulas."""
        round_ = 0
        while True:
            for letter in ascii_lowercase:
                index = f"{letter}{round_ or ''}"
                if self._letter + index not in self._taken:
                    return f"{self._letter}_{index}"
            round_ += 1


def taken_names(network: Network, symbols: Iterable[str], others: Iterable[str]) -> set[str]:
    """What an equivalent must not be called: the names on the sheet, and the symbols that stand for values."""
    return {*others, *(part.name for part in network.branches), *symbols}


def symbols_of(network: Network, changes: Iterable[Change]) -> Symbols:
    """The symbols of all parts and of what these changes make of them."""
    resistors = {part.name for part in network.resistors}
    kinds: dict[str, str] = dict.fromkeys(resistors, "resistor")
    kinds |= dict.fromkeys((part.name for part in network.capacitors), "capacitor")
    found: list[tuple[str, str]] = []
    for change in changes:
        kind = kinds[removed(change)[0].name]
        for link in added(change):
            kinds[link.name] = kind
            found.append((link.name, kind))
    return Symbols.of(network, found)
