"""Formulas of a worked solution, made once and written three ways: as a MathML tree, as LaTeX and as plain text.

A formula is built from frozen nodes. Brackets are set where a way of writing needs them, never by hand.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from functools import cached_property
from itertools import pairwise
from typing import ClassVar, Final

from solver.formula_leaves import ATOM, PRODUCT, SUM, Amount, Formula, Math, Number, Symbol, Words
from solver.numerals import TO_SUPERSCRIPT

__all__ = [
    "Amount",
    "Equation",
    "Formula",
    "Fraction",
    "Negative",
    "Number",
    "Parallel",
    "Power",
    "Product",
    "Sum",
    "Symbol",
    "Words",
    "difference",
    "half",
    "reciprocal",
]


@dataclass(frozen=True)
class Negative(Formula):
    """A formula with a minus before it; as a term of a Sum it is taken away.

    >>> Sum(Symbol("V", "1"), Negative(Symbol("V", "2"))).text()
    'V1 − V2'
    """

    of: Formula
    hold: ClassVar[int] = SUM

    def row(self) -> list[Math]:
        return [["mo", "−"], *_row(self.of, PRODUCT)]

    def latex(self) -> str:
        return f"-{_latex(self.of, PRODUCT)}"

    def text(self) -> str:
        return f"−{_text(self.of, PRODUCT)}"


@dataclass(frozen=True, init=False)
class Sum(Formula):
    """Terms added up; Negative terms are taken away. A sum of one term is that term, of none is 0."""

    terms: tuple[Formula, ...]

    def __init__(self, *terms: Formula) -> None:
        object.__setattr__(self, "terms", terms)

    @property
    def tightness(self) -> int:
        return SUM if len(self.terms) != 1 else self.terms[0].tightness

    @property
    def measured(self) -> bool:
        return len(self.terms) == 1 and self.terms[0].measured

    def row(self) -> list[Math]:
        if not self.terms:
            return [["mn", "0"]]
        row = self.terms[0].row()
        for term in self.terms[1:]:
            away = isinstance(term, Negative)
            row += [["mo", "−" if away else "+"], *_row(term.of if isinstance(term, Negative) else term, PRODUCT)]
        return row

    def latex(self) -> str:
        return self._written(lambda term: term.latex(), lambda term: _latex(term, PRODUCT), "-")

    def text(self) -> str:
        return self._written(lambda term: term.text(), lambda term: _text(term, PRODUCT), "−")

    def _written(self, first: Callable[[Formula], str], other: Callable[[Formula], str], minus: str) -> str:
        if not self.terms:
            return "0"
        written = first(self.terms[0])
        for term in self.terms[1:]:
            if isinstance(term, Negative):
                written += f" {minus} {other(term.of)}"
            else:
                written += f" + {other(term)}"
        return written


def difference(one: Formula, *others: Formula) -> Sum:
    """The first less all others."""
    return Sum(one, *map(Negative, others))


@dataclass(frozen=True, init=False)
class Product(Formula):
    """Factors multiplied: side by side where both are letters, with × beside a number.

    >>> Product(Symbol("C", "1"), Symbol("V", "1")).text()
    'C1 · V1'
    """

    factors: tuple[Formula, ...]
    hold: ClassVar[int] = PRODUCT

    def __init__(self, *factors: Formula) -> None:
        object.__setattr__(self, "factors", factors)

    def row(self) -> list[Math]:
        row = _row(self.factors[0], PRODUCT)
        for times, factor in self._with_signs:
            row += [["mo", "×" if times else "\u2062"], *_row(factor, PRODUCT)]
        return row

    def latex(self) -> str:
        written = _latex(self.factors[0], PRODUCT)
        for times, factor in self._with_signs:
            written += (r" \times " if times else r"\,") + _latex(factor, PRODUCT)
        return written

    def text(self) -> str:
        written = _text(self.factors[0], PRODUCT)
        for times, factor in self._with_signs:
            written += (" × " if times else " · ") + _text(factor, PRODUCT)
        return written

    @property
    def measured(self) -> bool:
        return any(factor.measured for factor in self.factors)

    @cached_property
    def _with_signs(self) -> list[tuple[bool, Formula]]:
        """Every factor but the first, and whether a multiplication sign stands before it; all three ways ask for it."""
        signs = []
        for before, factor in pairwise(self.factors):
            signs.append((factor.measured or (before.measured and not _is_pure(before)), factor))
        return signs


@dataclass(frozen=True)
class Fraction(Formula):
    """One formula over another.

    >>> Fraction(Number(1), Sum(Symbol("C", "1"), Symbol("C", "2"))).text()
    '1/(C1 + C2)'
    """

    top: Formula
    bottom: Formula

    def row(self) -> list[Math]:
        return [["mfrac", _single(self.top.row()), _single(self.bottom.row())]]

    def latex(self) -> str:
        return rf"\frac{{{self.top.latex()}}}{{{self.bottom.latex()}}}"

    def text(self) -> str:
        if self == _HALF:
            return "½"
        top = self.top.text()
        # Two strokes in a row would leave open which comes first.
        loose = self.top.tightness_in_text < PRODUCT or "/" in top
        return f"{f'({top})' if loose else top}/{_text(self.bottom, ATOM)}"

    @property
    def tightness_in_text(self) -> int:
        return ATOM if self == _HALF else PRODUCT

    @property
    def measured(self) -> bool:
        return self.top.measured or self.bottom.measured


_HALF: Final = Fraction(Number(1), Number(2))


def _is_pure(formula: Formula) -> bool:
    # By the class itself: asking whether it is one of an abstract class's takes longer than all else here.
    return type(formula) is Number or (type(formula) is Fraction and formula == _HALF)


def reciprocal(of: Formula) -> Fraction:
    """One over a formula."""
    return Fraction(Number(1), of)


def half(*factors: Formula) -> Product:
    """Half the product of the factors."""
    return Product(_HALF, *factors)


@dataclass(frozen=True)
class Power(Formula):
    """A formula to a whole power.

    >>> Power(Symbol("V", "1"), 2).latex(), Power(Symbol("V", "1"), 2).text()
    ('V_{1}^{2}', 'V1²')
    """

    base: Formula
    exponent: int

    def row(self) -> list[Math]:
        row, raised = _row(self.base, ATOM, fractions=True), ["mn", str(self.exponent)]
        if len(row) == 1 and row[0][0] == "msub":
            return [["msubsup", *row[0][1:], raised]]
        return [["msup", _single(row), raised]]

    def latex(self) -> str:
        return f"{_latex(self.base, ATOM, fractions=True)}^{{{self.exponent}}}"

    def text(self) -> str:
        return _text(self.base, ATOM) + str(self.exponent).translate(TO_SUPERSCRIPT)

    @property
    def measured(self) -> bool:
        return self.base.measured


@dataclass(frozen=True, init=False)
class Parallel(Sum):
    """Resistances or capacitances side by side, as the trade writes it: R₁ ∥ R₂."""

    def row(self) -> list[Math]:
        row = _row(self.terms[0], PRODUCT)
        for term in self.terms[1:]:
            row += [["mo", "∥"], *_row(term, PRODUCT)]
        return row

    def latex(self) -> str:
        return r" \parallel ".join(_latex(term, PRODUCT) for term in self.terms)

    def text(self) -> str:
        return " ∥ ".join(_text(term, PRODUCT) for term in self.terms)


@dataclass(frozen=True, init=False)
class Equation(Formula):
    """Two or more formulas that are equal, in a chain: a = b = c.

    >>> Equation(Symbol("Q", "2"), Symbol("Q", "3")).text()
    'Q2 = Q3'
    """

    sides: tuple[Formula, ...]
    hold: ClassVar[int] = 0

    def __init__(self, *sides: Formula) -> None:
        object.__setattr__(self, "sides", sides)

    def row(self) -> list[Math]:
        row = self.sides[0].row()
        for side in self.sides[1:]:
            row += [["mo", "="], *side.row()]
        return row

    def latex(self) -> str:
        return " = ".join(side.latex() for side in self.sides)

    def text(self) -> str:
        return " = ".join(side.text() for side in self.sides)


def _row(formula: Formula, at_least: int, *, fractions: bool = False) -> list[Math]:
    row = formula.row()
    if formula.tightness >= at_least and not (fractions and isinstance(formula, Fraction)):
        return row
    return [["mrow", ["mo", "("], *row, ["mo", ")"]]]


def _latex(formula: Formula, at_least: int, *, fractions: bool = False) -> str:
    written = formula.latex()
    if formula.tightness >= at_least and not (fractions and isinstance(formula, Fraction)):
        return written
    return rf"\left({written}\right)"


def _text(formula: Formula, at_least: int) -> str:
    return formula.text() if formula.tightness_in_text >= at_least else f"({formula.text()})"


def _single(row: Sequence[Math]) -> Math:
    """The elements as one."""
    return row[0] if len(row) == 1 else ["mrow", *row]
