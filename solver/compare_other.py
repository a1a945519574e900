"""The same numbers as the other kind of part: 30 µF and 10 µF as 30 Ω and 10 Ω, resistors as capacitors likewise."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Final

import flint

from solver.format import format_exact
from solver.kinds import KINDS
from solver.quantities import Quantity
from solver.rounding import PREFIX_OF_POWER, round_ratio
from solver.sketch import Part
from solver.tidied import symbol_text
from solver.units import PREFIXES
from solver.values import Value, read_value
from solver.written import read_written

OTHER: Final = {"capacitor": "resistor", "resistor": "capacitor"}
# One of the unit that the least part is written in becomes one of these, sizes that a school has on its shelves.
_BECOMES: Final = {"resistor": ("Ω", 0), "capacitor": ("µF", -6)}
_LETTERS: Final = {("C", "resistor"): "R", ("R", "capacitor"): "C", ("r", "capacitor"): "C"}


@dataclass(frozen=True, slots=True)
class Exchanged:
    """Parts of the other kind with the same numbers, in the same order, and in a sentence which unit became which."""

    parts: tuple[Part, ...]
    note: str


def exchanged(parts: Sequence[Part], taken: str) -> Exchanged:
    """The parts (all capacitors, or all resistors, their values understood) as the other kind.

    The number of every part stays in proportion to all others: where the least is written in µF, 1 µF becomes 1 Ω. A
    symbol gets the letter of its new quantity. `taken` is a name that none of them may have.

    >>> from solver import capacitor
    >>> parts = [capacitor("C1", "30 µF", "a", "b"), capacitor("C2", "0.01 mF", "b", "0")]
    >>> made = exchanged(parts, "E1")
    >>> [(part.name, part.kind, part.value) for part in made.parts], made.note
    ([('R1', 'resistor', '30 Ω'), ('R2', 'resistor', '10 Ω')], '1 µF has become 1 Ω')
    """
    kind = OTHER[parts[0].kind]
    quantity, own = KINDS[kind].quantity, KINDS[parts[0].kind].quantity
    assert quantity is not None
    assert own is not None
    values = [read_value(part.value or "", own) for part in parts]
    numbers = [value.factor for value in values if value.symbol is None]
    unit, power = _BECOMES[kind]
    group = _group(min(numbers)) if numbers else 0
    scale = _ten_to(power - group)
    texts = [
        _with_other_symbol(value, own, quantity, kind)
        if value.symbol
        else format_exact(value.factor * scale, quantity.unit)
        for value in values
    ]
    notes = []
    if numbers:
        notes.append(f"1 {PREFIX_OF_POWER[group]}{own.unit} has become 1 {unit}")
    if len(numbers) < len(values):
        notes.append(f"a symbol {own.symbol} has become {quantity.symbol}")
    named = zip(parts, _names(parts, kind, taken), texts, strict=True)
    return Exchanged(
        tuple(
            part._replace(name=name, kind=kind, value=text, initial=None, rated=None, tolerance=None)
            for part, name, text in named
        ),
        " and ".join(notes),
    )


def _group(least: flint.fmpq) -> int:
    """The power of ten of the prefix that the number is written with."""
    _, power = round_ratio(int(least.p), int(least.q), 20)
    return min(max(power // 3 * 3, min(PREFIXES.values())), max(PREFIXES.values()))


def _ten_to(power: int) -> flint.fmpq:
    return flint.fmpq(10**power) if power >= 0 else flint.fmpq(1, 10**-power)


def _with_other_symbol(value: Value, own: Quantity, quantity: Quantity, kind: str) -> str:
    letter, _, index = (value.symbol or "").partition("_")
    other = _LETTERS.get((letter, kind), letter)
    # Small r beside a large R stays another symbol.
    index = f"r{index}"[:8] if letter == "r" else index
    symbol = f"{other}_{index}" if index else other
    return symbol_text(read_written(value.text, own).numeral, symbol, quantity)


def _names(parts: Sequence[Part], kind: str, taken: str) -> list[str]:
    """Names with the other kind's letter, C1 → R1; numbered anew where two would be the same."""
    own, letter = KINDS[parts[0].kind].letter, KINDS[kind].letter
    names = [letter + part.name[len(own) :] if part.name.startswith(own) else part.name for part in parts]
    if len({*names, taken}) <= len(parts):
        names = [name for number in range(1, len(parts) + 2) if (name := f"{letter}{number}") != taken][: len(parts)]
    return names
