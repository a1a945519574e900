"""Marks the symbols of a formula: I₁ becomes I₁,E2, the current that the battery E2 alone drives through R1."""

from __future__ import annotations

import re
from typing import Final

from solver.formula import Equation, Formula, Fraction, Negative, Parallel, Power, Product, Sum, Symbol
from solver.step_equations_words import Phrase

_MARKED: Final = frozenset("VQIUPW")


class Marks:
    """Sets one mark into the index of every voltage, charge, current, energy, power and work; remembers which.

    >>> marks = Marks("E2")
    >>> marks.on(Product(Symbol("R", "1"), Symbol("I", "1"))).text(), marks.in_words("Solve for I1")
    ('R1 · I_1,E2', 'Solve for I_1,E2')
    """

    def __init__(self, mark: str) -> None:
        self._mark: Final = mark
        self._new: Final[dict[str, str]] = {}

    def on(self, formula: Formula) -> Formula:
        """The formula with the mark."""
        # By type: asking an abstract class whether it has an instance takes longer than all else here.
        kind = type(formula)
        if kind is Symbol:
            assert isinstance(formula, Symbol)
            return self._symbol(formula)
        if kind in _OF_MANY:
            return kind(*map(self.on, getattr(formula, _OF_MANY[kind])))
        if kind is Negative:
            assert isinstance(formula, Negative)
            return Negative(self.on(formula.of))
        if kind is Fraction:
            assert isinstance(formula, Fraction)
            return Fraction(self.on(formula.top), self.on(formula.bottom))
        if kind is Power:
            assert isinstance(formula, Power)
            return Power(self.on(formula.base), formula.exponent)
        return formula

    def in_words(self, text: str) -> str:
        """A sentence with the symbols as they were marked."""
        return re.sub(r"[A-Z]\w*", lambda word: self._new.get(word[0], word[0]), text)

    def _symbol(self, symbol: Symbol) -> Symbol:
        if symbol.stem not in _MARKED:
            return symbol
        new = Symbol(symbol.stem, f"{symbol.index},{self._mark}" if symbol.index else self._mark)
        self._new[symbol.text()] = new.text()
        return new


_OF_MANY: Final[dict[type[Formula], str]] = {
    Sum: "terms",
    Parallel: "terms",
    Product: "factors",
    Equation: "sides",
    Phrase: "parts",
}
