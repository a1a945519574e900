"""What is read of a solution: single readings, and the readings of each kind of part.

A quantity that is not determined, or not defined for a part, is None here and absent from the document.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass, field, fields
from typing import Any, Final

import flint

from solver.format import format_float, format_number, format_symbolic
from solver.quantities import Quantity

LONGEST_EXACT: Final = 3400
"""Bits of numerator and denominator together beyond which a document leaves `exact` out (about 1000 digits)."""


@dataclass(frozen=True)
class Writing:
    """How readings of one sketch are written: its significant figures, and the SI unit of each of its symbols."""

    figures: int = 3
    symbol_units: Mapping[str, str] = field(default_factory=dict)


PLAIN: Final = Writing()


class Reading:
    """One quantity, in SI units.

    Attributes: `exact`, a flint.fmpq, or a rational function (sympy FracElement) where symbols remain, or None where
    the network was solved in floats; `value`, a float, None where symbols remain; `text`, rounded once to the sketch's
    figures; `quantity`.

    >>> reading = Reading(flint.fmpq(1, 30000), Quantity.CAPACITANCE)
    >>> reading.text, reading.exact
    ('33.3 µF', 1/30000)
    """

    __slots__ = ("_document", "_scalar", "quantity", "writing")

    def __init__(self, scalar: Any, quantity: Quantity, writing: Writing = PLAIN) -> None:
        self._scalar: Final = scalar
        self.quantity: Final = quantity
        self.writing: Final = writing
        self._document: dict[str, Any] | None = None

    @property
    def exact(self) -> Any:
        """The exact value, None where the network was solved in floats."""
        return None if isinstance(self._scalar, float) else self._scalar

    @property
    def value(self) -> float | None:
        """The value as a float, None where symbols remain."""
        return as_float(self._scalar)

    @property
    def text(self) -> str:
        """The value with its unit, rounded once to the sketch's significant figures."""
        unit, figures = self.quantity.unit, self.writing.figures
        if isinstance(self._scalar, flint.fmpq):
            return format_number(self._scalar, unit, figures)
        if isinstance(self._scalar, float):
            return format_float(self._scalar, unit, figures)
        return format_symbolic(self._scalar, unit, figures, self.writing.symbol_units)

    def document(self) -> dict[str, Any]:
        """The reading as the web interface sends it: `exact` as text, left null beyond about 1000 digits."""
        if self._document is None:
            self._document = {"exact": exact_text(self._scalar), "value": self.value, "text": self.text}
        return self._document

    def __neg__(self) -> Reading:
        return Reading(-self._scalar, self.quantity, self.writing)

    def __eq__(self, other: object) -> bool:
        if not isinstance(other, Reading):
            return NotImplemented
        return bool(self._scalar == other._scalar) and self.quantity is other.quantity

    def __hash__(self) -> int:
        return hash((str(self._scalar), self.quantity))

    def __float__(self) -> float:
        value = self.value
        if value is None:
            raise TypeError(f"{self.text} has no value until its symbols have")
        return value

    def __str__(self) -> str:
        return self.text

    def __repr__(self) -> str:
        return f"<{self.quantity.word} {self.text}>"


def as_float(scalar: Any) -> float | None:
    """The float nearest to an exact number, None for a rational function."""
    if isinstance(scalar, float):
        return scalar
    if isinstance(scalar, flint.fmpq):
        return int(scalar.p) / int(scalar.q)
    return None


def exact_text(scalar: Any) -> str | None:
    """An exact number as "2/3"; a rational function in whole numbers, symbols, + - * / ^ and brackets."""
    if isinstance(scalar, float):
        return None
    if isinstance(scalar, flint.fmpq):
        return str(scalar) if scalar.height_bits() * 2 <= LONGEST_EXACT else None
    return str(scalar).replace("**", "^").replace(" ", "")


@dataclass(frozen=True, slots=True)
class CapacitorReadings:
    """Voltage (from less to), charge on the plate at from, stored energy."""

    voltage: Reading
    charge: Reading
    energy: Reading


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
    """A wire has none."""


PartReadings = CapacitorReadings | ResistorReadings | BatteryReadings | SwitchReadings | WireReadings


def entries(readings: Any) -> Iterator[tuple[str, Reading]]:
    """The readings that are there, each with its name."""
    for field in fields(readings):
        reading = getattr(readings, field.name)
        if reading is not None:
            yield field.name, reading
