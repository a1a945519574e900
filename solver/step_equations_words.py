"""Small pieces of written equations: signed amounts, numbers as words, formulas beside words, long sums over lines."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Any, Final, TypeVar

from solver.arithmetic import Scalar
from solver.formula import Equation, Formula, Negative, Product, Sum, Words
from solver.functions import Function
from solver.quantities import Quantity
from solver.step_teller import Teller, chain
from solver.worked import Line

TERMS_ON_A_LINE: Final = 6
_TERMS_IN_SUMS: Final = 8
_LONGEST_SUM: Final = 150
_LONGEST_CHAIN: Final = 220
"""Characters of plain text, which is about twice as wide as the formula drawn."""
LINES_IN_A_STEP: Final = 8
_DOTS: Final = Words("…")
_COUNTS: Final = ("no", "one", "two", "three", "four", "five", "six", "seven", "eight", "nine", "ten")


@dataclass(frozen=True, init=False)
class Phrase(Formula):
    """Formulas and words side by side.

    >>> from solver.formula import Symbol
    >>> Phrase(Symbol("I", "1"), Words("from k1 to k3")).text()
    'I1 from k1 to k3'
    """

    parts: tuple[Formula, ...]

    def __init__(self, *parts: Formula) -> None:
        object.__setattr__(self, "parts", parts)

    def row(self) -> list[list[Any]]:
        row = self.parts[0].row()
        for part in self.parts[1:]:
            # A space at the end of an element's text would be lost.
            row += [["mtext", "\u00a0"], *part.row()]
        return row

    def latex(self) -> str:
        return r"\ ".join(part.latex() for part in self.parts)

    def text(self) -> str:
        return " ".join(part.text() for part in self.parts)


def count(number: int, noun: str) -> str:
    """ "two equations", "one unknown", "14 unknowns"."""
    written = _COUNTS[number] if number < len(_COUNTS) else str(number)
    return f"{written} {noun}{'' if number == 1 else 's'}"


Item = TypeVar("Item")


def chunks_of(items: Sequence[Item], size: int) -> list[Sequence[Item]]:
    """The items in groups of at most so many."""
    return [items[start : start + size] for start in range(0, len(items), size)]


def lines_in_steps(lines: Sequence[Line]) -> list[list[Line]]:
    """The lines in groups of about LINES_IN_A_STEP, a sum that goes over several lines always in one of them."""
    groups: list[list[Line]] = []
    for line in lines:
        if groups and (len(groups[-1]) < LINES_IN_A_STEP or _goes_on(line)):
            groups[-1].append(line)
        else:
            groups.append([line])
    return groups


def _goes_on(line: Line) -> bool:
    """Whether the line goes on with the sum of the one before."""
    formula = line.formula
    first = formula.sides[0] if isinstance(formula, Equation) else formula
    return isinstance(first, Sum) and first.terms[0] == _DOTS


def plus_first(terms: Sequence[Formula]) -> list[Formula]:
    """The terms with those that are taken away last, since a sum that begins with a plus reads better."""
    return sorted(terms, key=lambda item: isinstance(item, Negative))


def turned(formula: Formula) -> Formula:
    """The formula with the other sign."""
    return formula.of if isinstance(formula, Negative) else Negative(formula)


def signed(formula: Formula, *, minus: bool) -> Formula:
    """The formula, taken away where `minus`."""
    return turned(formula) if minus else formula


def is_negative(scalar: Scalar, teller: Teller) -> bool:
    """Whether the scalar is written with a minus in front."""
    if isinstance(scalar, Function):
        return bool(teller.text(scalar, Quantity.VOLTAGE).startswith("−"))
    return bool(scalar < 0)


def term(teller: Teller, scalar: Scalar, quantity: Quantity) -> Formula:
    """An amount as a term of a sum: its sign is the sign between the terms."""
    if is_negative(scalar, teller):
        return Negative(teller.amount(-scalar, quantity))
    return teller.amount(scalar, quantity)


def multiple(teller: Teller, factor: Scalar, quantity: Quantity, of: Formula) -> Formula:
    """A factor times a formula, as a term of a sum."""
    if is_negative(factor, teller):
        return Negative(Product(teller.amount(-factor, quantity), of))
    return Product(teller.amount(factor, quantity), of)


def over_lines(terms: Sequence[Formula], *right: Formula) -> list[Line]:
    """The sum of the terms = right = …, on as many lines as it takes; one that goes on ends and begins with dots."""
    chunks = _over_lines(terms)
    if len(chunks) == 1:
        return [Line(Equation(Sum(*terms), *right))]
    lines = [Line(Sum(*([_DOTS] if place else []), *chunk, _DOTS)) for place, chunk in enumerate(chunks[:-1])]
    return [*lines, Line(Equation(Sum(_DOTS, *chunks[-1]), *right))]


def sum_lines(left: Formula, *sums: Sequence[Formula], result: Formula | None = None) -> list[Line]:
    """left = sum = sum = result, all on one line where that is short enough, else a line or more for each sum."""
    last = [] if result is None else [result]
    distinct: list[Sequence[Formula]] = []
    for terms in sums:
        if not distinct or Sum(*terms).text() != Sum(*distinct[-1]).text():
            distinct.append(terms)
    together = [term for terms in distinct for term in terms]
    if len(together) <= _TERMS_IN_SUMS and all(len(terms) <= TERMS_ON_A_LINE for terms in distinct):
        whole = chain(left, *(Sum(*terms) for terms in distinct), *last)
        if len(distinct) < 2 or len(whole.formula.text()) <= _LONGEST_CHAIN:
            return [whole]
    lines: list[Line] = []
    for place, terms in enumerate(distinct):
        chunks = _over_lines(terms)
        for number, chunk in enumerate(chunks):
            ended = number == len(chunks) - 1
            written = Sum(*([_DOTS] if number else []), *chunk, *([] if ended else [_DOTS]))
            ending = last if ended and place == len(distinct) - 1 else []
            lines.append(Line(Equation(*([] if number else [left]), written, *ending)))
    return lines


def _over_lines(terms: Sequence[Formula]) -> list[Sequence[Formula]]:
    """The terms in groups for one line each: at most so many, and fewer where they are long formulas of symbols."""
    chunks: list[list[Formula]] = [[]]
    length = 0
    for own in terms:
        length += len(own.text())
        if chunks[-1] and (len(chunks[-1]) == TERMS_ON_A_LINE or length > _LONGEST_SUM):
            chunks.append([])
            length = len(own.text())
        chunks[-1].append(own)
    return list(chunks)


def distinct_lines(lines: Sequence[Line]) -> tuple[Line, ...]:
    """The lines without those that read as the one before."""
    kept = list(lines[:1])
    for line in lines[1:]:
        if line.formula.latex() != kept[-1].formula.latex():
            kept.append(line)
    return tuple(kept)
