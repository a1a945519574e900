"""Functions in formulas: the natural logarithm, powers of e, plain numbers that measure nothing, and lengths."""

from __future__ import annotations

from dataclasses import dataclass
from typing import ClassVar, Final

import flint

from solver.formula import Fraction, Product, Symbol
from solver.formula_leaves import ATOM, PRODUCT, Formula, Math, Number, Read
from solver.rounding import rounded_text

_SHORT: Final = 10_000


@dataclass(frozen=True)
class Decimal(Read):
    """A number as it is read, that measures nothing or has a unit of several factors: "0.368", "5.00 V²".

    >>> Decimal("0.368").latex(), Decimal("1.00 × 10⁹").latex(), Decimal("5.00 V²").latex()
    ('0.368', '1.00 \\\\times 10^{9}', '5.00\\\\,\\\\mathrm{V^{2}}')
    """

    number: str

    @property
    def tightness(self) -> int:
        return ATOM if self.number.replace(".", "").isdecimal() else PRODUCT

    def text(self) -> str:
        return self.number


@dataclass(frozen=True)
class Measure(Formula):
    """A number with a unit that readings do not have, as it is typed: "0.1 mm", "20 cm²".

    >>> Measure("20", "cm²").latex(), Measure("8.85", "pF/m").text()
    ('20\\\\,\\\\mathrm{cm^{2}}', '8.85 pF/m')
    """

    number: str
    unit: str
    hold: ClassVar[int] = PRODUCT

    def row(self) -> list[Math]:
        return [["mn", self.number], ["mtext", f"\u00a0{self.unit}"]]

    def latex(self) -> str:
        unit = self.unit.replace("µ", r"\mu ").replace("²", "^{2}")
        return rf"{self.number}\,\mathrm{{{unit}}}"

    def text(self) -> str:
        return f"{self.number} {self.unit}"

    @property
    def measured(self) -> bool:
        return True


@dataclass(frozen=True)
class Logarithm(Formula):
    """The natural logarithm.

    >>> Logarithm(Number(5)).text(), Logarithm(Fraction(Number(9), Number(4))).latex()
    ('ln 5', '\\\\ln \\\\left(\\\\frac{9}{4}\\\\right)')
    """

    of: Formula
    hold: ClassVar[int] = PRODUCT

    @property
    def _is_plain(self) -> bool:
        return isinstance(self.of, Number | Decimal | Symbol) and self.of.tightness == ATOM

    def row(self) -> list[Math]:
        if self._is_plain:
            return [["mi", "ln"], ["mo", "\u2061"], ["mtext", "\u202f"], *self.of.row()]
        return [["mi", "ln"], ["mo", "\u2061"], ["mrow", ["mo", "("], *self.of.row(), ["mo", ")"]]]

    def latex(self) -> str:
        return rf"\ln {self.of.latex()}" if self._is_plain else rf"\ln \left({self.of.latex()}\right)"

    def text(self) -> str:
        return f"ln {self.of.text()}" if self._is_plain else f"ln({self.of.text()})"


@dataclass(frozen=True)
class Exponential(Formula):
    """e to a power that is less than zero: e^(−t/τ); `of` is what stands after the minus.

    >>> Exponential(Fraction(Symbol("t"), Symbol("τ"))).text()
    'e^(−t/τ)'
    """

    of: Formula
    hold: ClassVar[int] = ATOM

    def row(self) -> list[Math]:
        exponent = self.of.row()
        if isinstance(self.of, Fraction):
            # A stroke on the line, since a fraction this high up is too small to read.
            exponent = [*self.of.top.row(), ["mo", "/"], *self.of.bottom.row()]
        return [["msup", ["mi", "e"], ["mrow", ["mo", "−"], *exponent]]]

    def latex(self) -> str:
        if isinstance(self.of, Fraction):
            return f"e^{{-{self.of.top.latex()}/{self.of.bottom.latex()}}}"
        return f"e^{{-{self.of.latex()}}}"

    def text(self) -> str:
        return f"e^(−{self.of.text()})"


def pure(number: flint.fmpq | float, figures: int) -> Formula:
    """A number that measures nothing: as it is while it is short, else rounded.

    >>> pure(flint.fmpq(9, 4), 3).text(), pure(0.36788, 3).text()
    ('9/4', '0.368')
    """
    if isinstance(number, float):
        top, bottom = number.as_integer_ratio()
    else:
        top, bottom = int(number.p), int(number.q)
        if 0 <= top < _SHORT and bottom < _SHORT:
            return Number(top) if bottom == 1 else Fraction(Number(top), Number(bottom))
    return Decimal(rounded_text(top, bottom, "", figures))


def times_logarithm(factor: Formula, ratio: Formula) -> Product:
    """factor · ln(ratio)."""
    return Product(factor, Logarithm(ratio))
