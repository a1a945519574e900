"""Reads the values typed on the parts, and judges each: missing, not understood, of the wrong unit or sign.

Here text ends; from here on a part is an exact value with its ends.
"""

from __future__ import annotations

from collections.abc import Sequence
from typing import Final, NamedTuple

from solver import faults, value_faults
from solver.faults import SketchFault, SymbolUsedTwice, ValueMissing, ValueNegative, ValueNotPositive
from solver.kinds import KINDS, MORE_THAN_ZERO, PLACE_WORDS
from solver.quantities import Quantity
from solver.sketch import Part
from solver.tolerance_text import Tolerance, read_tolerance
from solver.value_faults import ValueFault, with_article
from solver.values import Value, read_value

_EXAMPLES: Final = {
    quantity: example
    for example, quantities in {
        "10 µF": [Quantity.CAPACITANCE],
        "1.5 kΩ": [Quantity.RESISTANCE],
        "9 V": [Quantity.EMF, Quantity.VOLTAGE, Quantity.POTENTIAL],
    }.items()
    for quantity in quantities
}
_FAULT_TYPES: Final[dict[type[ValueFault], type[SketchFault]]] = {
    value_faults.ValueNotUnderstood: faults.ValueNotUnderstood,
    value_faults.BuildNotUnderstood: faults.ValueNotUnderstood,
    value_faults.ValueWrongUnit: faults.ValueWrongUnit,
    value_faults.ValueOutOfRange: faults.ValueOutOfRange,
}


class Element(NamedTuple):
    """A part with its values read; None where the part has none, or where it was at fault."""

    part: Part
    value: Value | None
    initial: Value | None = None
    internal: Value | None = None
    tolerance: Tolerance | None = None


class ValueReader:
    """Reads the values of a sketch's parts, each different text once, and collects what is wrong with them."""

    def __init__(self) -> None:
        self.faults: list[SketchFault] = []
        self._read: dict[tuple[str, str], Value | ValueFault] = {}

    def element(self, part: Part) -> Element:
        """The part with its values; where one is at fault it is None and the fault is collected."""
        kind = KINDS[part.kind]
        if kind.quantity is None:
            return Element(part, None)
        value = self._value(part, part.value, kind.quantity, kind.quantity.word, positive=part.kind != "battery")
        read: dict[str, Value | None] = {}
        for place, quantity in kind.optional.items():
            if (text := getattr(part, place)) is not None:
                what = PLACE_WORDS[place]
                read[place] = self._value(part, text, quantity, what, positive=place in MORE_THAN_ZERO)
        return Element(part, value, read.get("initial"), read.get("internal"), self._tolerance(part, value))

    def _tolerance(self, part: Part, value: Value | None) -> Tolerance | None:
        if part.tolerance is None:
            return None
        fault: type[SketchFault] = faults.ToleranceOutOfRange
        try:
            tolerance = read_tolerance(part.tolerance)
            if tolerance.absolute and part.kind != "capacitor":
                raise value_faults.ToleranceNotUnderstood(part.tolerance)
            if value is None or value.symbol is not None or tolerance.ends(value.factor)[0] > 0:
                return tolerance
            hint = ""
        except ValueFault as refusal:
            hint = str(refusal)
            if isinstance(refusal, value_faults.ToleranceNotUnderstood):
                fault = faults.ToleranceNotUnderstood
        self.faults.append(fault(parts=[part.name], text=part.tolerance, hint=hint))
        return None

    def _value(self, part: Part, text: str | None, quantity: Quantity, what: str, *, positive: bool) -> Value | None:
        if text is None or not text.strip():
            self.faults.append(ValueMissing(parts=[part.name], what=what, example=_EXAMPLES[quantity]))
            return None
        outcome = self._read.get((text, quantity.word))
        if outcome is None:
            try:
                outcome = read_value(text, quantity)
            except ValueFault as fault:
                outcome = fault
            self._read[text, quantity.word] = outcome
        if isinstance(outcome, ValueFault):
            self.faults.append(
                _FAULT_TYPES[type(outcome)](
                    parts=[part.name],
                    text=outcome.text,
                    what=what,
                    hint=str(outcome),
                    example=_EXAMPLES[quantity],
                    found=with_article(outcome.found) if outcome.found else "",
                )
            )
            return None
        if positive and outcome.factor <= 0:
            self.faults.append(ValueNotPositive(parts=[part.name], what=what, text=outcome.text))
            return None
        if quantity is Quantity.RESISTANCE and outcome.factor < 0:
            self.faults.append(ValueNegative(parts=[part.name], what=what, text=outcome.text))
            return None
        return outcome


def symbols_used_twice(elements: Sequence[Element]) -> list[SketchFault]:
    """A fault for each symbol that stands for two different quantities; volts of any sort count as one."""
    first: dict[str, tuple[str, str, str]] = {}
    found: list[SketchFault] = []
    for element in elements:
        for value in (element.value, element.initial, element.internal):
            if value is None or value.symbol is None or value.quantity is None:
                continue
            name, unit, word = element.part.name, value.quantity.unit, value.quantity.word
            one_name, one_unit, one_word = first.setdefault(value.symbol, (name, unit, word))
            if one_unit != unit:
                found.append(
                    SymbolUsedTwice(
                        parts=dict.fromkeys((one_name, name)),
                        symbol=value.symbol,
                        quantity=with_article(one_word),
                        found=with_article(word),
                    )
                )
    return found


def symbol_units(elements: Sequence[Element]) -> dict[str, str]:
    """The symbols that occur, in alphabetical order, each with the SI unit of what it stands for."""
    units: dict[str, str] = {}
    for element in elements:
        for value in (element.value, element.initial, element.internal):
            if value is not None and value.symbol is not None and value.quantity is not None:
                units.setdefault(value.symbol, value.quantity.unit)
    return dict(sorted(units.items()))
