"""The sentence of a row that only one column has: what the arrangement itself says of it, and why resistors differ."""

from __future__ import annotations

from typing import Final

from solver.compare_rows import Cell, Row
from solver.compare_words import sentence

_OF_PARTS: Final = {
    (
        "series",
        "charge",
    ): "in series every capacitor carries the same charge, because the conductors between them are isolated",
    (
        "parallel",
        "charge",
    ): "in parallel each capacitor takes a charge of its own: the larger the capacitance, the more",
    ("series", "energy"): "at the same charge, the smaller the capacitance, the more energy it stores",
    ("parallel", "energy"): "at the same voltage, the larger the capacitance, the more energy it stores",
    ("series", "current"): "in series the same current passes every resistor, because it has no other way",
    (
        "parallel",
        "current",
    ): "in parallel each resistor takes a current of its own: the smaller the resistance, the more",
    ("series", "power"): "at the same current, the larger the resistance, the more power it takes",
    ("parallel", "power"): "at the same voltage, the smaller the resistance, the more power it takes",
}
_OF_WHOLE: Final = {
    ("series", "capacitance"): (
        "in series the voltages add up at one charge, so the equivalent capacitance is less than the smallest part"
    ),
    ("parallel", "capacitance"): "in parallel the charges add up at one voltage, so the capacitances add up",
    ("series", "resistance"): "in series the voltages add up at one current, so the resistances add up",
    ("parallel", "resistance"): (
        "in parallel the currents add up at one voltage, so the equivalent resistance is less than the smallest part"
    ),
    (
        "series",
        "charge",
    ): "in series the battery gives the charge of one part: what arrives on one plate has left the next",
    ("parallel", "charge"): "in parallel the battery gives all parts their charges: they add up",
    ("series", "current"): "in series one and the same current passes the battery and every resistor",
    ("parallel", "current"): "in parallel the currents of all resistors add up in the battery",
}
_ALIKE: Final = {"energy": "equal parts store equal energies", "power": "equal parts take equal powers"}


def alone(row: Row, cell: Cell, *, alike: bool, both_kinds: bool) -> str:
    """The sentence of a row with one reading; `alike`: of equal parts, `both_kinds`: beside the other kind of part."""
    way, quantity = cell.column.kind.way or "", row.quantity
    if row.of_part:
        if alike and quantity in _ALIKE:
            return sentence(_ALIKE[quantity])
        if told := _OF_PARTS.get((way, quantity)):
            return sentence(told)
    elif row.owner is None and both_kinds:
        if quantity == "energy":
            return sentence("capacitors store energy; resistors store none")
        return sentence("resistors turn power into heat as long as the current flows; charged capacitors take none")
    elif told := _OF_WHOLE.get((way, quantity)):
        if not both_kinds or quantity in ("capacitance", "charge"):
            return sentence(told)
        if quantity == "resistance":
            return sentence(f"with resistors it is the other way round: {told}")
        return sentence(f"through resistors a current keeps flowing: {told}")
    name = f"of {cell.name} " if cell.name else ""
    return sentence(f"only {cell.column.phrase} is there {_article(quantity)} {name}to be read: {cell.reading.text}")


def _article(word: str) -> str:
    return f"{'an' if word[0] in 'aeiou' else 'a'} {word}"
