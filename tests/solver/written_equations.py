"""Puts values into the formulas of a worked solution: all sides of an equation have to come out the same, exactly."""

from __future__ import annotations

from typing import Any

from solver.checks import conductor_name
from solver.formula import (
    Amount,
    Equation,
    Formula,
    Fraction,
    Negative,
    Number,
    Parallel,
    Power,
    Product,
    Sum,
    Symbol,
    Words,
)
from solver.solving import SolvedNetwork
from solver.step_equations_words import Phrase
from solver.step_symbols import Symbols
from solver.worked import Step


class Values:
    """What the symbols of a network stand for, from its nodal solution."""

    def __init__(self, solved: SolvedNetwork) -> None:
        outcome = solved.outcome
        network = outcome.network
        symbols = Symbols.of(network)
        self._one = network.arithmetic.one
        self.of: dict[Symbol, Any] = {}
        for number in range(len(network.conductors)):
            self.of[symbols.potential(conductor_name(number))] = outcome.potential(number)
        for part, voltage in zip(network.capacitors, outcome.voltages(network.capacitors), strict=True):
            name = part.name
            self.of[symbols.value(name)] = part.capacitance
            self.of[symbols.voltage(name)] = voltage
            self.of[symbols.charge(name)] = part.capacitance * voltage
            self.of[symbols.energy(name)] = part.capacitance * voltage * voltage / 2
            before = symbols.voltage(name)
            self.of[Symbol(before.stem, f"{before.index},0")] = part.initial
        for part, voltage in zip(network.resistors, outcome.voltages(network.resistors), strict=True):
            name = part.name
            self.of[symbols.value(name)] = part.resistance
            self.of[symbols.voltage(name)] = voltage
            self.of[symbols.current(name)] = voltage / part.resistance
            self.of[symbols.power(name)] = voltage * voltage / part.resistance
        for place, part in enumerate(network.batteries):
            name, current, charge = part.name, outcome.steady.battery_current[place], outcome.charge_of_battery(place)
            self.of[symbols.value(name)] = part.emf
            self.of[symbols.voltage(name)] = outcome.voltages([part])[0]
            if part.internal is not None:
                self.of[symbols.internal(name)] = part.internal
            if not outcome.is_undecided(place):
                self.of[symbols.current(name)] = current
                self.of[symbols.power(name)] = part.emf * current
            if charge is not None:
                self.of[symbols.charge(name)] = charge
                self.of[Symbol("W", name)] = part.emf * charge

    def evaluated(self, formula: Formula) -> Any:
        """The value of a formula; dots are nothing."""
        match formula:
            case Symbol():
                return self.of[formula]
            case Number(number):
                return number * self._one
            case Amount(reading):
                return reading.scalar
            case Words():
                assert formula.words == "…"
                return 0 * self._one
            case Negative(of):
                return -self.evaluated(of)
            case Parallel(terms):
                return self._one / sum((self._one / self.evaluated(term) for term in terms), 0 * self._one)
            case Sum(terms):
                return sum((self.evaluated(term) for term in terms), 0 * self._one)
            case Product(factors):
                value = self._one
                for factor in factors:
                    value = value * self.evaluated(factor)
                return value
            case Fraction(top, bottom):
                return self.evaluated(top) / self.evaluated(bottom)
            case Power(base, exponent):
                value = self._one
                for _ in range(exponent):
                    value = value * self.evaluated(base)
                return value
        raise AssertionError(f"{formula!r} has no value")

    def _known(self, formula: Formula, otherwise: Any) -> Any:
        """The value of a formula; a symbol that is new stands for `otherwise` from now on."""
        if isinstance(formula, Symbol):
            return self.of.setdefault(formula, otherwise)
        return self.evaluated(formula)

    def assert_true(self, steps: tuple[Step, ...]) -> int:
        """Every equation of the steps holds; how many there were. A sum that goes over several lines is added up.

        A symbol that the network does not know, such as C_eq, stands for what the first equation with it says.
        """
        count = 0
        for step in steps:
            begun: list[tuple[Formula | None, Any]] = []
            for line in step.lines:
                formula = line.formula
                if isinstance(formula, Phrase):
                    continue
                sides = list(formula.sides) if isinstance(formula, Equation) else [formula]
                if _ends_with_dots(sides[-1]):
                    left, so_far = begun.pop() if begun else (None, 0 * self._one)
                    begun.append((left or (sides[0] if len(sides) > 1 else None), so_far + self.evaluated(sides[-1])))
                    continue
                if begun:
                    assert _begins_with_dots(sides[0])
                    left, so_far = begun.pop()
                    values = [so_far + self.evaluated(sides[0]), *map(self.evaluated, sides[1:])]
                    if left is not None:
                        values.append(self._known(left, values[-1]))
                else:
                    values = [*map(self.evaluated, sides[1:])]
                    values.append(self._known(sides[0], values[-1]))
                assert all(value == values[0] for value in values), f"{step.title}: {formula.text()}"
                count += 1
            assert not begun
        return count


def _begins_with_dots(formula: Formula) -> bool:
    return isinstance(formula, Sum) and isinstance(formula.terms[0], Words)


def _ends_with_dots(formula: Formula) -> bool:
    return isinstance(formula, Sum) and bool(formula.terms) and isinstance(formula.terms[-1], Words)
