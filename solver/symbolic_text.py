"""Writes a symbolic reading, a rational function of symbols, so that a class can read it: "2C/3" or "C + 10.0 µF".

What each number in it measures follows from what the symbols measure, so a number that has a unit is given it.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from functools import lru_cache
from math import gcd, lcm
from typing import Any, Final

import flint

from solver.kinds import KINDS
from solver.numerals import TO_SUPERSCRIPT
from solver.rounding import rounded_text

# Exponents of volt, ohm, farad and metre: every unit of a circuit in steady state is a product of these.
Dimension = tuple[int, int, int, int]
_BASES: Final = ("V", "Ω", "F", "m")
_PURE: Final[Dimension] = (0, 0, 0, 0)
_DIMENSIONS: Final[dict[str, Dimension]] = {
    "V": (1, 0, 0, 0),
    "Ω": (0, 1, 0, 0),
    "F": (0, 0, 1, 0),
    "C": (1, 0, 1, 0),
    "J": (2, 0, 1, 0),
    "A": (1, -1, 0, 0),
    "W": (2, -1, 0, 0),
    "s": (0, 1, 1, 0),
    "V/m": (1, 0, 0, -1),
    "C/m²": (1, 0, 1, -2),
    "F/m²": (0, 0, 1, -2),
    "": _PURE,
}
_UNIT_OF_DIMENSION: Final = {dimension: unit for unit, dimension in _DIMENSIONS.items()}
_LETTER_UNITS: Final = {
    letter: kind.quantity.unit for kind in KINDS.values() if kind.quantity for letter in kind.symbol_letters
}
_LOOKS_LIKE_A_UNIT: Final = frozenset("VAJWHs")
_SHORT: Final = 10**6
_TERMS_SHOWN: Final = 12
_TERMS_FACTORED: Final = 60
"""Longer sums are written as they are: factoring them would take longer than all else."""


@dataclass(frozen=True, slots=True)
class _Term:
    """top / bottom × the product of the symbols to their exponents; `dimension` is that of the number."""

    top: int
    bottom: int
    exponents: tuple[int, ...]
    dimension: Dimension


@dataclass(frozen=True, slots=True)
class _Factored:
    """A fraction × the symbols to their powers × sums to their powers; `dimension` is that of all but the fraction."""

    top: int
    bottom: int
    exponents: tuple[int, ...]
    sums: tuple[tuple[tuple[_Term, ...], int], ...]
    dimension: Dimension

    @property
    def is_shorter(self) -> bool:
        """Whether this says more than the sum that it was."""
        return bool(self.sums) and (any(self.exponents) or len(self.sums) > 1 or self.sums[0][1] > 1)


def symbolic_text(element: Any, unit: str, figures: int, symbol_units: Mapping[str, str] | None = None) -> str:
    """A sympy FracElement over the rationals, a reading in the SI unit `unit`, as a line of text.

    Symbols stand side by side ("CV_0", and with a space after a subscript, "C_1 C_2"), exponents are raised, a fraction
    has one stroke and brackets where needed; a sum is written as a product where it is one, "V_0(C_1 + C_2)/2". A
    number that measures something is rounded to `figures` and has its unit: "9.00 V × C/(C + 10.0 µF)"; a pure number
    is exact while it has at most six digits. `symbol_units` tells the SI unit of each symbol; left out, the symbol's
    first letter tells it. Where a symbol's unit is not known, numbers are in SI units and show none. Sums of more than
    twelve terms are cut short, with how many were left out.

    >>> from sympy import QQ, field
    >>> _, C, V = field("C V_0", QQ)
    >>> symbolic_text(C * V / 2, "C", 3), symbolic_text(9 * C / (C + QQ(1, 100000)), "V", 3)
    ('CV_0/2', '9.00 V × C/(C + 10.0 µF)')
    """
    names = [str(symbol) for symbol in element.field.symbols]
    if not element.numer:
        return rounded_text(0, 1, unit, figures)
    numerator, denominator = (list(side.terms()) for side in (element.numer, element.denom))
    used = [any(exponents[i] for exponents, _ in numerator + denominator) for i in range(len(names))]
    dimensions = _symbol_dimensions(names, used, unit, symbol_units)
    of_reading = _DIMENSIONS[unit] if dimensions else _PURE
    if 1 < max(len(numerator), len(denominator)) <= _TERMS_FACTORED:
        top, bottom = _factored(tuple(numerator), dimensions), _factored(tuple(denominator), dimensions)
        if top.is_shorter or bottom.is_shorter:
            return _quotient(top, bottom, of_reading, names, figures)
    lead = max((exponents for exponents, _ in denominator), key=sum)
    of_denominator = _dimension_of(lead, dimensions)
    of_numerator = _plus(of_denominator, of_reading)
    above = [_term(exponents, number, of_numerator, dimensions) for exponents, number in numerator]
    below = [_term(exponents, number, of_denominator, dimensions) for exponents, number in denominator]
    above, below = _scaled(above, below)
    if len(above) == len(below) == 1 and not any(used):
        return rounded_text(above[0].top * below[0].bottom, above[0].bottom * below[0].top, unit, figures)
    return _fraction(above, below, names, figures)


def _symbol_dimensions(
    names: Sequence[str], used: Sequence[bool], unit: str, symbol_units: Mapping[str, str] | None
) -> tuple[Dimension, ...]:
    """Each symbol's dimension, or none at all where one that occurs is not known."""
    units = [symbol_units.get(name) if symbol_units is not None else _LETTER_UNITS.get(name[0]) for name in names]
    if unit not in _DIMENSIONS or any(
        used_here and found is None for used_here, found in zip(used, units, strict=True)
    ):
        return ()
    return tuple(_DIMENSIONS[found] if found else _PURE for found in units)


@lru_cache(maxsize=4096)
def _dimension_of(exponents: tuple[int, ...], dimensions: tuple[Dimension, ...]) -> Dimension:
    """The same few products of symbols stand in all readings of a network."""
    volt, ohm, farad, metre = (
        sum(exponent * dimension[i] for exponent, dimension in zip(exponents, dimensions, strict=False))
        for i in range(len(_BASES))
    )
    return volt, ohm, farad, metre


def _term(exponents: tuple[int, ...], number: Any, whole: Sequence[int], dimensions: tuple[Dimension, ...]) -> _Term:
    volt, ohm, farad, metre = _dimension_of(exponents, dimensions)
    left = whole[0] - volt, whole[1] - ohm, whole[2] - farad, whole[3] - metre
    return _Term(int(number.numerator), int(number.denominator), exponents, left)


def _scaled(above: list[_Term], below: list[_Term]) -> tuple[list[_Term], list[_Term]]:
    """Both sides multiplied by the same number, so that pure numbers are whole and as small as they can be."""
    pure = [term for term in above + below if term.dimension == _PURE]
    if len(below) == 1 and not any(below[0].exponents):
        pure = below
    top = lcm(*(term.bottom for term in pure))
    bottom = gcd(*(term.top * (top // term.bottom) for term in pure)) or 1

    factor = flint.fmpq(top, bottom)
    return [_multiplied(term, factor) for term in above], [_multiplied(term, factor) for term in below]


@lru_cache(maxsize=1024)
def _factored(terms: tuple[tuple[tuple[int, ...], Any], ...], dimensions: tuple[Dimension, ...]) -> _Factored:
    """A polynomial over the rationals as a product; pure numbers in its sums are whole and as small as they can be.

    All readings of a network share a few denominators."""
    count = len(terms[0][0])
    context = flint.fmpz_mpoly_ctx.get(tuple(f"s{index}" for index in range(count)), "lex")
    bottom = lcm(*(int(number.denominator) for _, number in terms))
    whole = {
        tuple(map(int, powers)): int(number.numerator) * (bottom // int(number.denominator)) for powers, number in terms
    }
    content, factors = context.from_dict(whole).factor()
    number = flint.fmpq(content, bottom)
    exponents = [0] * count
    sums: list[tuple[tuple[_Term, ...], int]] = []
    dimension = _PURE
    for factor, power in factors:
        found = [(tuple(map(int, powers)), flint.fmpq(each)) for powers, each in factor.terms()]
        lead = max((powers for powers, _ in found), key=sum)
        own = _dimension_of(lead, dimensions)
        dimension = _plus(dimension, own, int(power))
        if len(found) == 1:
            for place, exponent in enumerate(lead):
                exponents[place] += exponent * int(power)
            continue
        inner = [_term(powers, each, own, dimensions) for powers, each in found]
        neat = _neat(inner)
        number *= neat ** -int(power)
        sums.append((tuple(_multiplied(term, neat) for term in inner), int(power)))
    top, bottom = int(number.p), int(number.q)
    return _Factored(top, bottom, tuple(exponents), tuple(sums), dimension)


def _neat(terms: Sequence[_Term]) -> flint.fmpq:
    """What to multiply a sum by, so that pure numbers in it are whole and small, and the others no thirds."""
    shared = gcd(*(term.top for term in terms if term.dimension == _PURE))
    thirds = lcm(*(int(flint.fmpq(term.top, term.bottom * shared).q) for term in terms))
    for prime in (2, 5):
        while thirds % prime == 0:
            thirds //= prime
    return flint.fmpq(thirds if thirds < _SHORT else 1, shared)


def _multiplied(term: _Term, factor: flint.fmpq) -> _Term:
    number = flint.fmpq(term.top, term.bottom) * factor
    return replace(term, top=int(number.p), bottom=int(number.q))


def _plus(one: Dimension, other: Dimension, times: int = 1) -> Dimension:
    volt, ohm, farad, metre = (a + times * b for a, b in zip(one, other, strict=True))
    return volt, ohm, farad, metre


def _quotient(above: _Factored, below: _Factored, of_reading: Dimension, names: Sequence[str], figures: int) -> str:
    """One product over another, with all numbers before the first."""
    number = flint.fmpq(above.top * below.bottom, above.bottom * below.top)
    dimension = _plus(_plus(of_reading, below.dimension), above.dimension, -1)
    top, bottom = int(number.p), int(number.q)
    if dimension == _PURE and max(abs(top), bottom) < _SHORT:
        numerator = _times(_Term(abs(top), 1, above.exponents, _PURE), above, names, figures)
        denominator = _times(_Term(bottom, 1, below.exponents, _PURE), below, names, figures)
    else:
        numerator = _times(_Term(abs(top), bottom, above.exponents, dimension), above, names, figures)
        denominator = _times(_Term(1, 1, below.exponents, _PURE), below, names, figures)
    sign = "−" if top < 0 else ""
    if denominator == "1":
        return sign + numerator
    alone = denominator in names or denominator.isdigit() or (denominator[0] == "(" and len(below.sums) == 1)
    return f"{sign}{numerator}/{denominator}" if alone else f"{sign}{numerator}/({denominator})"


def _times(first: _Term, factored: _Factored, names: Sequence[str], figures: int) -> str:
    """A product with its sums in brackets, the short ones first."""
    sums = sorted((f"({_sum(terms, names, figures)}){_raised(power)}" for terms, power in factored.sums), key=len)
    before = _product(first, names, figures)
    if not sums:
        return before
    if before == "1":
        return "".join(sums)
    between = " × " if not any(first.exponents) and not before.isdigit() else ""
    return before + between + "".join(sums)


def _fraction(above: list[_Term], below: list[_Term], names: Sequence[str], figures: int) -> str:
    numerator = _sum(above, names, figures)
    if len(below) == 1 and not any(below[0].exponents):
        if len(above) > 1 and all(term.dimension == _PURE for term in above):
            common = lcm(*(term.bottom for term in above))
            whole = [replace(term, top=term.top * (common // term.bottom), bottom=1) for term in above]
            return numerator if common == 1 else f"({_sum(whole, names, figures)})/{common}"
        return numerator
    if len(above) > 1 or " × 10" in numerator:
        numerator = f"({numerator})"
    return f"{numerator}/{_divisor(below, names, figures)}"


def _divisor(below: list[_Term], names: Sequence[str], figures: int) -> str:
    content = gcd(*(term.top for term in below))
    if len(below) > 1 and content > 1 and all(term.dimension == _PURE for term in below):
        reduced = [replace(term, top=term.top // content) for term in below]
        return f"({content}({_sum(reduced, names, figures)}))"
    text = _sum(below, names, figures)
    return text if text in names else f"({text})"


def _sum(terms: Sequence[_Term], names: Sequence[str], figures: int) -> str:
    shown = terms if len(terms) <= _TERMS_SHOWN else terms[: _TERMS_SHOWN // 2]
    parts = [("− " if term.top < 0 else "+ ") + _product(term, names, figures) for term in shown]
    if len(shown) < len(terms):
        parts.append(f"+ … {len(terms) - len(shown)} more terms")
    text = " ".join(parts)
    return text.removeprefix("+ ") if text.startswith("+") else f"−{text[2:]}"


def _product(term: _Term, names: Sequence[str], figures: int) -> str:
    """A term without its sign."""
    symbols = _symbols(term.exponents, names)
    top = abs(term.top)
    if term.dimension != _PURE:
        number = _measured(top, term.bottom, term.dimension, figures)
        return f"{number} × {symbols}" if symbols else number
    if max(top, term.bottom) >= _SHORT:
        number = rounded_text(top, term.bottom, "", figures)
        return f"{number} × {symbols}" if symbols else number
    over = f"/{term.bottom}" if term.bottom != 1 else ""
    if not symbols:
        return f"{top}{over}"
    times = "·" if symbols in _LOOKS_LIKE_A_UNIT else ""
    return f"{symbols}{over}" if top == 1 else f"{top}{times}{symbols}{over}"


def compound_text(number: Any, unit: str, other: str, figures: int, *, times: bool) -> str:
    """A rational number in `unit` times (or divided by) the unit `other`, both SI units.

    >>> import flint
    >>> compound_text(flint.fmpq(9, 10**5), "C", "F", 3, times=False)
    '90.0 µV'
    """
    volt, ohm, farad, metre = (
        one + (two if times else -two) for one, two in zip(_DIMENSIONS[unit], _DIMENSIONS[other], strict=True)
    )
    dimension = volt, ohm, farad, metre
    if dimension == _PURE:
        return rounded_text(int(number.p), int(number.q), "", figures)
    return _measured(int(number.p), int(number.q), dimension, figures)


def _measured(top: int, bottom: int, dimension: Dimension, figures: int) -> str:
    if dimension in _UNIT_OF_DIMENSION:
        return rounded_text(top, bottom, _UNIT_OF_DIMENSION[dimension], figures)
    powers = list(zip(_BASES, dimension, strict=True))
    over = "·".join(unit + _raised(power) for unit, power in powers if power > 0)
    under = "·".join(unit + _raised(-power) for unit, power in powers if power < 0)
    number = rounded_text(top, bottom, "", figures)
    return f"{number} {over or '1'}/{under}" if under else f"{number} {over}"


def _symbols(exponents: Sequence[int], names: Sequence[str]) -> str:
    text = ""
    for exponent, name in zip(exponents, names, strict=True):
        if exponent:
            # After a subscript the next letter would read as part of it.
            text += (" " if "_" in text.rpartition(" ")[2] else "") + name + _raised(exponent)
    return text


def _raised(exponent: int) -> str:
    return str(exponent).translate(TO_SUPERSCRIPT) if exponent != 1 else ""
