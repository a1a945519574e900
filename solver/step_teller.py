"""What every step needs: readings and amounts in the sketch's writing, symbols, names of conductors, and what is known.

Values are carried exactly; a reading rounds them once, where it is shown.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, field
from typing import Final

from solver.arithmetic import Scalar
from solver.checks import conductor_name
from solver.formula import Amount, Equation, Formula, Sum, Words
from solver.network import Network
from solver.quantities import Quantity
from solver.readings import Reading, Writing
from solver.step_changes import Change, Link, added, removed
from solver.step_symbols import Symbols
from solver.values import ValueFault, read_value
from solver.worked import Line

_TERMS_SHOWN: Final = 8


@dataclass(frozen=True, slots=True)
class Held:
    """What is known of a link: its voltage and its charge or current, counted from the node `start` to the other."""

    start: int
    voltage: Scalar
    through: Scalar

    def from_(self, node: int) -> Held:
        """The same, counted from this end."""
        return self if node == self.start else Held(node, -self.voltage, -self.through)


@dataclass(frozen=True)
class Teller:
    """Writes amounts and symbols for the parts of one network and what stands for them."""

    network: Network
    writing: Writing
    node: Sequence[int]
    symbols: Symbols
    parts_in: Mapping[str, tuple[str, ...]] = field(default_factory=dict)
    """The parts of the sheet that an equivalent stands for."""
    _readings: dict[tuple[int, int], Reading] = field(default_factory=dict, compare=False, repr=False)

    def reading(self, scalar: Scalar, quantity: Quantity) -> Reading:
        """A scalar (SI units) as a reading; the same one each time, since writing it takes longest."""
        # By identity, since a hash of a number takes as long; the reading keeps the scalar, and so its identity, alive.
        key = id(quantity), id(scalar)
        found = self._readings.get(key)
        if found is None:
            found = self._readings[key] = Reading(scalar, quantity, self.writing)
        return found

    def amount(self, scalar: Scalar, quantity: Quantity) -> Amount:
        """A scalar (SI units) in a formula."""
        return Amount(self.reading(scalar, quantity))

    def text(self, scalar: Scalar, quantity: Quantity) -> str:
        """A scalar (SI units) in a sentence."""
        return self.reading(scalar, quantity).text

    def value_text(self, link: Link, quantity: Quantity) -> str:
        """What stands on an equivalent in a drawing: its value, or a symbol where that is too long a formula."""
        text = self.text(link.value, quantity)
        try:
            read_value(text, quantity)
        except ValueFault:
            symbol = self.symbols.value(link.name)
            return f"{symbol.stem}_{symbol.index}"
        return text

    def conductors(self, nodes: Iterable[int]) -> tuple[str, ...]:
        """The names of the conductors that these nodes are; the centre of a star is none."""
        wanted = set(nodes)
        return tuple(conductor_name(number) for number, node in enumerate(self.node) if node in wanted)

    def is_single(self, nodes: Iterable[int]) -> bool:
        """Whether each of the nodes is one conductor."""
        return all(self.node.count(node) == 1 for node in nodes)

    def parts(self, links: Iterable[Link]) -> tuple[str, ...]:
        """The parts of the sheet in these links."""
        return self.parts_named(link.name for link in links)

    def parts_named(self, names: Iterable[str]) -> tuple[str, ...]:
        """The parts of the sheet that these names stand for."""
        found = {part for name in names for part in self.parts_in.get(name, (name,))}
        return tuple(part.name for part in self.network.branches if part.name in found)


def parts_in(changes: Iterable[Change]) -> dict[str, tuple[str, ...]]:
    """For what each change makes, the parts of the sheet that it stands for."""
    found: dict[str, tuple[str, ...]] = {}
    for change in changes:
        own = tuple(dict.fromkeys(part for link in removed(change) for part in found.get(link.name, (link.name,))))
        for link in added(change):
            found[link.name] = own
    return found


def chain(*sides: Formula) -> Line:
    """A chain of equal sides; one that reads as the one before it is left out."""
    kept = list(sides[:1])
    for side in sides[1:]:
        short = isinstance(side, Amount) and isinstance(kept[-1], Amount | Sum)
        if not (short and side.text() == kept[-1].text()):
            kept.append(side)
    return Line(Equation(*kept))


def several(terms: Sequence[Formula]) -> Sum:
    """The sum of the terms; of a long one the middle is left out."""
    if len(terms) <= _TERMS_SHOWN:
        return Sum(*terms)
    return Sum(*terms[:3], Words("…"), terms[-1])
