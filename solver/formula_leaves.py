"""The least parts of a formula: symbols, whole numbers, readings and words; and what every formula can do."""

from __future__ import annotations

from abc import ABC, abstractmethod
from dataclasses import dataclass
from typing import Any, ClassVar, Final

from solver.formula_amount import drawn, latex_word, named_latex, named_math
from solver.readings import Reading

Math = list[Any]
"""A MathML element: its name, then its children, each an element or a text."""

SUM: Final = 1
PRODUCT: Final = 2
ATOM: Final = 3
"""How tightly a formula holds together; what is looser than its place asks for gets brackets."""


class Formula(ABC):
    """A formula, or a part of one."""

    hold: ClassVar[int] = ATOM

    def math(self) -> Math:
        """The formula as a MathML Core tree: ["math", child, …] where a child is such a list or a text."""
        return ["math", *self.row()]

    @abstractmethod
    def row(self) -> list[Math]:
        """The MathML elements that the formula is, side by side."""

    @abstractmethod
    def latex(self) -> str:
        """The formula in LaTeX's math mode, without the delimiters."""

    @abstractmethod
    def text(self) -> str:
        """The formula on one line of plain text."""

    @property
    def tightness(self) -> int:
        """How tightly it holds together where it is drawn in two dimensions."""
        return self.hold

    @property
    def tightness_in_text(self) -> int:
        """How tightly it holds together on one line."""
        return self.tightness

    @property
    def measured(self) -> bool:
        """Whether it begins or ends with a number, so that a factor beside it takes a multiplication sign."""
        return False


@dataclass(frozen=True)
class Symbol(Formula):
    """A quantity's letter with an index: C₂₃, V_b.

    >>> Symbol("C", "23").text(), Symbol("V", "C1").latex()
    ('C23', 'V_{\\\\mathrm{C1}}')
    """

    stem: str
    index: str = ""

    def row(self) -> list[Math]:
        return [named_math(self.stem, self.index)]

    def latex(self) -> str:
        return named_latex(self.stem, self.index)

    def text(self) -> str:
        return f"{self.stem}{'' if self.index.isdigit() or not self.index else '_'}{self.index}"


@dataclass(frozen=True)
class Number(Formula):
    """A whole number that measures nothing, such as the 2 of ½CV².

    >>> Number(2).math()
    ['math', ['mn', '2']]
    """

    number: int

    def row(self) -> list[Math]:
        return [["mn", str(self.number)]]

    def latex(self) -> str:
        return str(self.number)

    def text(self) -> str:
        return str(self.number)

    @property
    def measured(self) -> bool:
        return True


class Read(Formula):
    """What is written as readings are, and drawn from that text."""

    def row(self) -> list[Math]:
        return list(drawn(self.text()).row)

    def latex(self) -> str:
        return drawn(self.text()).latex

    @property
    def measured(self) -> bool:
        return True


@dataclass(frozen=True)
class Amount(Read):
    """A reading: a number with its unit, or a formula of the symbols that were typed. It rounds as readings do.

    >>> import flint
    >>> from solver.quantities import Quantity
    >>> Amount(Reading(flint.fmpq(9, 100000), Quantity.CHARGE)).latex()
    '90.0\\\\,\\\\mathrm{\\\\mu C}'
    """

    reading: Reading

    def text(self) -> str:
        return self.reading.text

    @property
    def tightness(self) -> int:
        own = drawn(self.reading.text)
        if own.letter:
            return ATOM
        # A number with a unit is no atom: "1/10.0 µF" would read as a number of microfarads.
        return SUM if own.loose else PRODUCT


@dataclass(frozen=True)
class Words(Formula):
    """Words in a formula, such as "and".

    >>> Words("each").latex()
    '\\\\text{each}'
    """

    words: str

    def row(self) -> list[Math]:
        return [["mtext", self.words]]

    def latex(self) -> str:
        return rf"\text{{{latex_word(self.words)}}}"

    def text(self) -> str:
        return self.words
