"""The two sorts of part that series and parallel rules reduce, and what a class says of each: reasons and formulas.

A capacitor holds charge and energy at a voltage, a resistor carries a current and takes power at one.
"""

from __future__ import annotations

from abc import ABC, abstractmethod
from collections.abc import Sequence
from typing import Final

from solver.arithmetic import Scalar
from solver.faults import listing
from solver.formula import Formula, Fraction, Power, Product, half
from solver.quantities import Quantity
from solver.step_symbols import Symbols


def both(names: Sequence[str]) -> str:
    """ "both" or "all", as it fits so many."""
    return "both" if len(names) == 2 else "all"


class Sort(ABC):
    """What is said and written of one sort of part."""

    kind: str
    """As sketches name it."""
    plural: str
    letter: str
    value: Quantity
    voltage: Final = Quantity.VOLTAGE
    through: Quantity
    taken: Quantity

    @abstractmethod
    def through_of(self, value: Scalar, voltage: Scalar) -> Scalar:
        """The charge or current at a voltage."""

    @abstractmethod
    def voltage_of(self, value: Scalar, through: Scalar) -> Scalar:
        """The voltage that a charge or current needs."""

    @abstractmethod
    def taken_of(self, through: Scalar, voltage: Scalar) -> Scalar:
        """The energy or power."""

    @abstractmethod
    def through_symbol(self, symbols: Symbols, name: str) -> Formula:
        """Q or I with its index."""

    @abstractmethod
    def taken_symbol(self, symbols: Symbols, name: str) -> Formula:
        """U or P with its index."""

    @abstractmethod
    def through_formula(self, value: Formula, voltage: Formula) -> Formula:
        """CV, or V/R."""

    @abstractmethod
    def voltage_formula(self, value: Formula, through: Formula) -> Formula:
        """Q/C, or RI."""

    @abstractmethod
    def taken_formula(self, value: Formula, through: Formula, voltage: Formula) -> Formula:
        """½CV², or VI."""

    @abstractmethod
    def series_reason(self, names: Sequence[str], *, plain: bool) -> str:
        """Why parts in series are one; `plain` where single conductors lie between them."""

    @abstractmethod
    def parallel_reason(self, names: Sequence[str]) -> str:
        """Why parts in parallel are one."""

    @abstractmethod
    def back_in_series(self, names: Sequence[str], whole: str, through: str, *, plain: bool) -> str:
        """Why what passes through the whole passes through each."""

    @abstractmethod
    def back_in_parallel(self, names: Sequence[str], whole: str, voltage: str) -> str:
        """Why the voltage of the whole is that of each."""


class Capacitors(Sort):
    """Charge, and energy stored."""

    kind, plural, letter = "capacitor", "capacitors", "C"
    value, through, taken = Quantity.CAPACITANCE, Quantity.CHARGE, Quantity.ENERGY

    def through_of(self, value: Scalar, voltage: Scalar) -> Scalar:
        return value * voltage

    def voltage_of(self, value: Scalar, through: Scalar) -> Scalar:
        return through / value

    def taken_of(self, through: Scalar, voltage: Scalar) -> Scalar:
        return through * voltage / 2

    def through_symbol(self, symbols: Symbols, name: str) -> Formula:
        return symbols.charge(name)

    def taken_symbol(self, symbols: Symbols, name: str) -> Formula:
        return symbols.energy(name)

    def through_formula(self, value: Formula, voltage: Formula) -> Formula:
        return Product(value, voltage)

    def voltage_formula(self, value: Formula, through: Formula) -> Formula:
        return Fraction(through, value)

    def taken_formula(self, value: Formula, through: Formula, voltage: Formula) -> Formula:
        return half(value, Power(voltage, 2))

    def series_reason(self, names: Sequence[str], *, plain: bool) -> str:
        return (
            f"{listing(names)} carry the same charge, because {_between(names, plain=plain)} isolated: "
            "what arrives on one plate has left the other. Their voltages add up, and at the same charge this means "
            "that the reciprocals of the capacitances add up."
        )

    def parallel_reason(self, names: Sequence[str]) -> str:
        return (
            f"{listing(names)} join the same two conductors, so {both(names)} have the same voltage. "
            "Their charges add up, and at the same voltage this means that the capacitances add up."
        )

    def back_in_series(self, names: Sequence[str], whole: str, through: str, *, plain: bool) -> str:
        return (
            f"{_between(names, plain=plain, begins=True)} isolated, so {both(names)} of them carry "
            f"the charge of {whole}, {through}. The voltage across each is this charge divided by its capacitance."
        )

    def back_in_parallel(self, names: Sequence[str], whole: str, voltage: str) -> str:
        return (
            f"{listing(names)} join the same two conductors as {whole}, so the voltage across each is {voltage}. "
            f"Their charges add up to the charge of {whole}."
        )


class Resistors(Sort):
    """Current, and power taken."""

    kind, plural, letter = "resistor", "resistors", "R"
    value, through, taken = Quantity.RESISTANCE, Quantity.CURRENT, Quantity.POWER

    def through_of(self, value: Scalar, voltage: Scalar) -> Scalar:
        return voltage / value

    def voltage_of(self, value: Scalar, through: Scalar) -> Scalar:
        return value * through

    def taken_of(self, through: Scalar, voltage: Scalar) -> Scalar:
        return through * voltage

    def through_symbol(self, symbols: Symbols, name: str) -> Formula:
        return symbols.current(name)

    def taken_symbol(self, symbols: Symbols, name: str) -> Formula:
        return symbols.power(name)

    def through_formula(self, value: Formula, voltage: Formula) -> Formula:
        return Fraction(voltage, value)

    def voltage_formula(self, value: Formula, through: Formula) -> Formula:
        return Product(value, through)

    def taken_formula(self, value: Formula, through: Formula, voltage: Formula) -> Formula:
        return Product(voltage, through)

    def series_reason(self, names: Sequence[str], *, plain: bool) -> str:
        return (
            f"The same current flows through {listing(names)}, because no charge piles up between them: "
            "as much flows on as arrives. Their voltages add up, and at the same current this means that "
            "the resistances add up."
        )

    def parallel_reason(self, names: Sequence[str]) -> str:
        return (
            f"{listing(names)} join the same two conductors, so {both(names)} have the same voltage. Their currents "
            "add up, and at the same voltage this means that the reciprocals of the resistances add up."
        )

    def back_in_series(self, names: Sequence[str], whole: str, through: str, *, plain: bool) -> str:
        return (
            f"No charge piles up between {listing(names)}, so the current through {whole}, {through}, flows through "
            "each of them. The voltage across each is its resistance times this current."
        )

    def back_in_parallel(self, names: Sequence[str], whole: str, voltage: str) -> str:
        return (
            f"{listing(names)} join the same two conductors as {whole}, so the voltage across each is {voltage}. "
            f"Their currents add up to the current through {whole}."
        )


def _between(names: Sequence[str], *, plain: bool, begins: bool = False) -> str:
    """What lies between parts in series, with its verb."""
    if not plain:
        words = f"what lies between {'them' if not begins else listing(names)} is"
    elif len(names) == 2:
        words = f"the conductor between {'them' if not begins else listing(names)} is"
    else:
        words = f"each conductor between {'two of them' if not begins else listing(names)} is"
    return words[0].upper() + words[1:] if begins else words


CAPACITORS, RESISTORS = Capacitors(), Resistors()
