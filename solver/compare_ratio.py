"""The ratio between the columns of one row, exact: whole numbers where small, else how many times the least."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from math import gcd, lcm
from typing import Any, Final

import flint

from solver.arithmetic import Scalar
from solver.compare_words import decimal
from solver.format import format_symbolic
from solver.functions import Function
from solver.readings import LONGEST_EXACT, Reading, Writing

_SMALL: Final = 20
_LARGE: Final = 999
"""A ratio is given in whole numbers while its least is at most _SMALL and its greatest at most _LARGE."""
_LONGEST: Final = 8
"""Terms of a formula that a ratio is still written with."""


@dataclass(frozen=True, slots=True)
class Ratio:
    """The ratio of a row's readings, one to a column; `exact` has a number or formula for each, None where nothing is
    read; `text` has it as a class reads it, "1 : 9"."""

    exact: tuple[str | None, ...]
    text: str

    def document(self) -> dict[str, Any]:
        """The ratio as the web interface sends it."""
        return {"exact": list(self.exact), "text": self.text}


class Common:
    """The numbers of several networks in one arithmetic, so that they can be divided by one another."""

    def __init__(self, writings: Iterable[Writing], figures: int) -> None:
        self.figures: Final = figures
        self._units: Final = dict(
            sorted({name: unit for each in writings for name, unit in each.symbol_units.items()}.items())
        )
        symbols = tuple(f"s{index}" for index in range(len(self._units)))
        self._context: Final = flint.fmpz_mpoly_ctx.get(symbols, "lex") if symbols else None

    @property
    def symbols(self) -> tuple[str, ...]:
        """All symbols of all networks."""
        return tuple(self._units)

    def scalar(self, reading: Reading) -> Scalar:
        """The number of a reading: a rational, or a function of all symbols; a float as the rational that it is."""
        scalar = reading.scalar
        if isinstance(scalar, float):
            return flint.fmpq(*scalar.as_integer_ratio())
        if not isinstance(scalar, Function):
            return scalar
        constant = scalar.constant
        return self._moved(scalar, reading.writing.symbols) if constant is None else constant

    def _moved(self, function: Function, own: Sequence[str]) -> Function:
        places = [self.symbols.index(name) for name in own]

        def moved(polynomial: Any) -> Any:
            terms = {}
            for powers, factor in polynomial.terms():
                whole = [0] * len(self.symbols)
                for place, power in zip(places, powers, strict=True):
                    whole[place] = int(power)
                terms[tuple(whole)] = factor
            assert self._context is not None
            return self._context.from_dict(terms)

        return Function(moved(function.numerator), moved(function.denominator))

    def quotient(self, one: Scalar, other: Scalar) -> Scalar:
        """One number over another that is not zero: a rational wherever it is one."""
        ratio = one / other
        constant = ratio.constant if isinstance(ratio, Function) else None
        return ratio if constant is None else constant

    def ratio(self, readings: Sequence[Reading | None]) -> Ratio | None:
        """The ratio of readings of one quantity; None where fewer than two are there, or none but zeros."""
        numbers = [None if reading is None else self.scalar(reading) for reading in readings]
        there = [number for number in numbers if number is not None]
        first = next((number for number in there if number), None)
        if len(there) < 2 or first is None:
            return None
        parts = [None if number is None else self.quotient(number, first) for number in numbers]
        plain = [part for part in parts if part is not None]
        if any(isinstance(part, Function) for part in plain):
            # A capacitance over a resistance says nothing about either arrangement.
            alike = {frozenset(reading.writing.symbol_units.values()) for reading in readings if reading is not None}
            return self._of_formulas(parts) if len(alike) == 1 else None
        return self._of_numbers(parts, plain)

    def _of_numbers(self, parts: Sequence[Any], plain: Sequence[flint.fmpq]) -> Ratio:
        scale = lcm(*(int(part.q) for part in plain))
        shared = gcd(*(int(part.p) * (scale // int(part.q)) for part in plain))
        # Negative in all columns is the same as positive in all.
        sign = -1 if all(part <= 0 for part in plain) else 1
        whole = [None if part is None else flint.fmpq(sign * int((part * scale).p), shared) for part in parts]
        sizes = [abs(number) for number in whole if number]
        exact = tuple(None if number is None else str(number) for number in whole)
        if min(sizes) > _SMALL or max(sizes) > _LARGE:
            least = min(sizes)
            whole = [None if number is None else number / least for number in whole]
        return Ratio(exact, " : ".join("–" if each is None else decimal(each, self.figures) for each in whole))

    def _of_formulas(self, parts: Sequence[Any]) -> Ratio | None:
        exact: list[str | None] = []
        texts = []
        for part in parts:
            if part is None:
                exact.append(None)
                texts.append("–")
            elif isinstance(part, Function):
                formula = part.as_text(self.symbols)
                if part.length > _LONGEST or len(formula) > LONGEST_EXACT:
                    return None
                exact.append(formula)
                texts.append(format_symbolic(part.named(self.symbols), "", self.figures, self._units))
            else:
                exact.append(str(part))
                texts.append(decimal(part, self.figures))
        return Ratio(tuple(exact), " : ".join(texts))
