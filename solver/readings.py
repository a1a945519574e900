"""What is read of a solution: single readings, and the readings of each kind of part.

A quantity that is not determined, or not defined for a part, is None here and absent from the document.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass, field
from functools import cache
from operator import attrgetter
from typing import Any, Final

import flint

from solver.format import format_float, format_number, format_symbolic
from solver.functions import Function
from solver.quantities import Quantity
from solver.quick_text import quick_text

LONG: Final = 256
"""Bits of a numerator or denominator beyond which a document leaves `exact` out: about 77 digits each."""
LONGEST_EXACT: Final = 1000
"""Characters of a formula beyond which a document leaves `exact` out."""
LONGEST_FORMULA: Final = 24
"""Terms beyond which a formula is not written out as text."""


@dataclass(frozen=True)
class Writing:
    """How readings of one sketch are written: its significant figures, and the SI unit of each of its symbols."""

    figures: int = 3
    symbol_units: Mapping[str, str] = field(default_factory=dict)

    @property
    def symbols(self) -> tuple[str, ...]:
        """The symbols, in the order in which functions are kept."""
        return tuple(self.symbol_units)


PLAIN: Final = Writing()


Told = tuple[str | None, float | None, str]
"""A reading as a document has it.

Exact: a rational such as "2/3", or a rational function in whole numbers, symbols, + - * / ^ and brackets; None for a
float, and where it would be very long. Value: the nearest float, None where symbols remain. Text: number and unit.
"""


class Reading:
    """One quantity, in SI units.

    >>> reading = Reading(flint.fmpq(1, 30000), Quantity.CAPACITANCE)
    >>> reading.text, reading.exact, reading.value
    ('33.3 µF', 1/30000, 3.3333333333333335e-05)
    """

    __slots__ = ("_scalar", "_told", "quantity", "writing")

    def __init__(self, scalar: Any, quantity: Quantity, writing: Writing = PLAIN) -> None:
        self._scalar: Any = scalar
        self.quantity = quantity
        self.writing = writing
        self._told: Told | None = None

    @property
    def scalar(self) -> Any:
        """The value in the numbers of its network (flint.fmpq, solver.functions.Function or float)."""
        return self._scalar

    @property
    def exact(self) -> Any:
        """The exact value: a flint.fmpq, or where symbols remain a FracElement of sympy; None for a float."""
        if isinstance(self._scalar, float):
            return None
        if isinstance(self._scalar, Function):
            constant = self._scalar.constant
            return self._scalar.as_field_element(self.writing.symbols) if constant is None else constant
        return self._scalar

    @property
    def value(self) -> float | None:
        """The value as the nearest float, None where symbols remain."""
        return self.told()[1]

    @property
    def text(self) -> str:
        """The value with its unit, rounded once to the sketch's significant figures."""
        return (self._told or self.told())[2]

    def told(self) -> Told:
        """The reading in full, as a document has it."""
        if self._told is None:
            self._told = self._tell()
        return self._told

    def _tell(self) -> Told:
        scalar, unit, figures = self._scalar, self.quantity.unit, self.writing.figures
        if isinstance(scalar, flint.fmpq):
            value = float(scalar)
            # Bits first: writing hundreds of digits only to drop them would take longer than all else.
            exact = str(scalar) if scalar.height_bits() <= LONG else None
            return exact, value, quick_text(value, unit, figures) or format_number(scalar, unit, figures)
        if isinstance(scalar, float):
            return None, scalar, quick_text(scalar, unit, figures) or format_float(scalar, unit, figures)
        if scalar.constant is not None:
            return Reading(scalar.constant, self.quantity, self.writing).told()
        symbols = self.writing.symbols
        if scalar.length > LONGEST_FORMULA:
            text = f"a formula of {scalar.length} terms"
        else:
            text = format_symbolic(scalar.named(symbols), unit, figures, self.writing.symbol_units)
        formula = scalar.as_text(symbols) if scalar.length <= LONGEST_EXACT else ""
        return formula if 0 < len(formula) <= LONGEST_EXACT else None, None, text

    def document(self) -> dict[str, Any]:
        """The reading as the web interface sends it."""
        if (told := self._told) is None:
            told = self._told = self._tell()
        exact, value, text = told
        return {"exact": exact, "value": value, "text": text}

    def __neg__(self) -> Reading:
        opposite = Reading(-self._scalar, self.quantity, self.writing)
        if self._told is not None:
            exact, value, text = self._told
            if value:
                # The number of the other sign rounds in the same way.
                negative = value < 0
                if exact is not None:
                    exact = exact[1:] if negative else "-" + exact
                opposite._told = exact, -value, text[1:] if negative else "−" + text
        return opposite

    def __eq__(self, other: object) -> bool:
        if not isinstance(other, Reading):
            return NotImplemented
        return self.quantity is other.quantity and bool(self._scalar == other._scalar)

    def __hash__(self) -> int:
        return hash((self.quantity, str(self._scalar)))

    def __float__(self) -> float:
        value = self.value
        if value is None:
            raise TypeError(f"{self.text} is a number only once its symbols are")
        return value

    def __str__(self) -> str:
        return self.text

    def __repr__(self) -> str:
        return f"<{self.quantity.word} {self.text}>"


@dataclass(frozen=True, slots=True)
class CapacitorReadings:
    """Voltage (from less to), charge on the plate at from, stored energy.

    Of a capacitor given by its build also its `capacitance`, the largest `field` in it and the charge `density` on the
    plate at from (both with the sign of the voltage), and the voltage of `breakdown`, None where no strength is listed.
    """

    voltage: Reading
    charge: Reading
    energy: Reading
    capacitance: Reading | None = None
    field: Reading | None = None
    density: Reading | None = None
    breakdown: Reading | None = None


@dataclass(frozen=True, slots=True)
class ResistorReadings:
    """Voltage, current from → to, and power in the steady end state.

    `passed` is the charge that went through while the network settled, None where a current remains.
    """

    voltage: Reading
    current: Reading
    power: Reading
    passed: Reading | None


@dataclass(frozen=True, slots=True)
class BatteryReadings:
    """Terminal voltage, and what the battery supplies out of its + terminal.

    `power` is emf × current and `work` emf × charge, so with an internal resistance they include what that takes.
    `charge` and `work` cover the time until all is settled. `equivalent` is the capacitance or resistance it sees.
    """

    voltage: Reading
    current: Reading | None
    power: Reading | None
    charge: Reading | None
    work: Reading | None
    equivalent: Reading | None


@dataclass(frozen=True, slots=True)
class SwitchReadings:
    """Voltage across the switch, None where its ends are not tied to each other otherwise."""

    voltage: Reading | None


@dataclass(frozen=True, slots=True)
class WireReadings:
    """A wire has nothing to read."""


PartReadings = CapacitorReadings | ResistorReadings | BatteryReadings | SwitchReadings | WireReadings


def entries(readings: Any) -> list[tuple[str, Reading]]:
    """The readings that are there, each with its name."""
    names = readings.__slots__
    found = zip(names, _look_up(names)(readings), strict=True)
    return [(name, reading) for name, reading in found if reading is not None]


@cache
def _look_up(names: tuple[str, ...]) -> Callable[[Any], tuple[Reading | None, ...]]:
    """What looks up all attributes of these names at once."""
    return attrgetter(*names) if len(names) > 1 else lambda owner: tuple(getattr(owner, name) for name in names)
