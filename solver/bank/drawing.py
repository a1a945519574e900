"""A bank as a sketch: a battery of the working voltage, the strings as columns beside it, resistors where wanted."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field
from typing import Any, Final

import flint

from solver.bank.arrangement import Arrangement
from solver.bank.faults import BankFaults, fault
from solver.bank.resistors import Balancing
from solver.bank.strings import String
from solver.bank.wish import Wish
from solver.format import format_exact
from solver.sketch import Part, Sketch, battery, capacitor, resistor, wire
from solver.tolerance_text import Tolerance

MOST_DRAWN: Final = 120
_LEFT, _TOP = 4, 2
_TALL = 6
"""Grid steps that a part takes downwards at least."""
_LONGEST_TITLE: Final = 120
_LETTERS: Final = "abcdefghijklmnopqrstuvwxyz"


@dataclass(frozen=True)
class Drawn:
    """What is drawn beside the parts: a resistor across each, one across the bank."""

    balancing: bool
    bleed: bool


@dataclass(frozen=True)
class Spacing:
    """Grid steps to the next column, as wide as what is written beside a part; `tallest` is how many a part takes
    downwards at most, where the bank is wide."""

    battery: int
    capacitor: int
    resistor: int
    tallest: int


FOR_SHEET: Final = Spacing(9, 17, 12, tallest=15)
"""Room for a tolerance and a rating behind each value."""
FOR_PAPER: Final = Spacing(8, 11, 10, tallest=8)
"""Room for values alone, for the parts list has the rest."""


def strings_of(wish: Wish, document: Sequence[Mapping[str, Any]]) -> Arrangement:
    """The bank that a document's strings make: each a number of `times`, and rows of the form with counts.

    Raises BankFaults for rows that are not there, and where one string of each sort has more parts than are drawn.
    """
    place_of = {kind.row: place for place, kind in enumerate(wish.kinds)}
    if any(part["row"] not in place_of for entry in document for part in entry["parts"]):
        raise BankFaults([fault("bank-strings-unknown")])
    _require_few(sum(part["count"] for entry in document for part in entry["parts"]))
    strings = []
    for entry in document:
        places = tuple(place_of[part["row"]] for part in entry["parts"] for _ in range(part["count"]))
        strings.append((String(wish, places), entry["times"]))
    return Arrangement(wish, tuple(strings))


def _require_few(parts: int) -> None:
    if parts > MOST_DRAWN:
        raise BankFaults([fault("bank-too-large-to-draw", parts=parts, most=MOST_DRAWN)])


def draw(bank: Arrangement, drawn: Drawn, spacing: Spacing = FOR_SHEET) -> Sketch:
    """The sketch. Resistors that the plan has none of are left out. Raises BankFaults for more parts than are drawn."""
    _require_few(bank.parts)
    strings = [
        (string, balanced if drawn.balancing else None)
        for (string, times), balanced in zip(bank.strings, bank.balanced, strict=True)
        for _ in range(times)
    ]
    longest = max(len(string.places) for string, _ in strings)
    wide = sum(spacing.capacitor + (spacing.resistor if balanced else 0) for _, balanced in strings)
    tall = max(_TALL, min(spacing.tallest, wide // (2 * longest))) * longest
    pen = _Pen(bank.wish, spacing, tall)
    pen.battery()
    for string, balanced in strings:
        pen.column(string, balanced)
    if drawn.bleed and bank.bled is not None:
        pen.bleed(bank.bled.resistance)
    title = f"Bank: {bank.words}"
    if len(title) > _LONGEST_TITLE:
        title = f"Bank of {bank.parts} parts at {bank.wish.voltage_text}"
    # A sketch has whole per cent; less of a rating is on the safe side.
    usable = max(1, int((bank.wish.derating * 100).floor()))
    return Sketch(pen.joints, tuple(pen.parts), title=title, zero="0", figures=3, usable=usable)


@dataclass
class _Pen:
    """Draws from left to right between two rails."""

    wish: Wish
    spacing: Spacing
    tall: int
    joints: dict[str, tuple[int, int]] = field(default_factory=dict)
    parts: list[Part] = field(default_factory=list)
    at: int = _LEFT
    apart: int = field(init=False)

    def __post_init__(self) -> None:
        self.apart = self.spacing.battery

    def battery(self) -> None:
        """The battery, at the left."""
        self.top, self.bottom = self._joint(_LEFT, _TOP), "0"
        self.joints[self.bottom] = (_LEFT, _TOP + self.tall)
        self.parts.append(battery("E1", self.wish.voltage_text, self.top, self.bottom))

    def column(self, string: String, balanced: Balancing | None) -> None:
        """One string, and the resistors across its parts on the right of it."""
        length = len(string.places)
        heights = [_TOP + self.tall * index // length for index in range(length + 1)]
        joints = self._rungs(heights, self.spacing.capacitor)
        for kind, start, end in zip(string.kinds, joints, joints[1:], strict=False):
            tolerance = kind.tolerance.text if kind.tolerance else None
            self.parts.append(
                capacitor(self._name("C"), kind.value, start, end, rated=kind.rated_text, tolerance=tolerance)
            )
        if balanced is None:
            return
        beside = self._rungs(heights, self.spacing.resistor)
        for start, end in zip(joints[1:-1], beside[1:-1], strict=True):
            self.parts.append(wire(self._name("W"), start, end))
        for ohms, start, end in zip(balanced.resistances, beside, beside[1:], strict=False):
            self._resistor(ohms, start, end)

    def bleed(self, ohms: flint.fmpq) -> None:
        """A resistor across the bank, on the right of all."""
        start, end = self._rungs([_TOP, _TOP + self.tall], self.spacing.resistor)
        self._resistor(ohms, start, end)

    def _resistor(self, ohms: flint.fmpq, start: str, end: str) -> None:
        share = self.wish.resistors
        tolerance = Tolerance(share, share).text if share else None
        self.parts.append(resistor(self._name("R"), format_exact(ohms, "Ω"), start, end, tolerance=tolerance))

    def _rungs(self, heights: Sequence[int], after: int) -> list[str]:
        """Joints one below the other, the first and the last joined to the rails; `after` is left free beside them."""
        self.at += self.apart
        self.apart = after
        joints = [self._joint(self.at, height) for height in heights]
        self.parts.append(wire(self._name("W"), self.top, joints[0]))
        self.parts.append(wire(self._name("W"), joints[-1], self.bottom))
        self.top, self.bottom = joints[0], joints[-1]
        return joints

    def _joint(self, across: int, down: int) -> str:
        turn, letter = divmod(len(self.joints), len(_LETTERS))
        name = f"{_LETTERS[letter]}{turn or ''}"
        self.joints[name] = (across, down)
        return name

    def _name(self, letter: str) -> str:
        return f"{letter}{sum(part.name[0] == letter for part in self.parts) + 1}"
