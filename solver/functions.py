"""Exact arithmetic where symbols occur: rational functions, as quotients of polynomials of python-flint.

Every symbol stands for a positive value that no other symbol is tied to, so a function is zero only where it is
identically zero, and pivots that are sums of positive terms never vanish.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from functools import cache
from typing import Any, Final

import flint

from solver.arithmetic import Edge, Exact, Scalar, Solved
from solver.elimination import Grounded
from solver.values import Value


class Function:
    """A rational function numerator / denominator in lowest terms; the denominator's leading coefficient is positive.

    Supports + − × ÷ with functions and whole or rational numbers, == and truth.
    """

    __slots__ = ("denominator", "numerator")

    def __init__(self, numerator: Any, denominator: Any) -> None:
        self.numerator: Final = numerator
        self.denominator: Final = denominator

    def __bool__(self) -> bool:
        return not self.numerator.is_zero()

    def __eq__(self, other: object) -> bool:
        same = self._of(other)
        return bool(self.numerator == same.numerator and self.denominator == same.denominator)

    def __hash__(self) -> int:
        return hash((str(self.numerator), str(self.denominator)))

    def __neg__(self) -> Function:
        return Function(-self.numerator, self.denominator)

    def __add__(self, other: Any) -> Function:
        that = self._of(other)
        if that.numerator.is_zero():
            return self
        if self.numerator.is_zero():
            return that
        if self.denominator == that.denominator:
            return _lowest(self.numerator + that.numerator, self.denominator)
        shared = self.denominator.gcd(that.denominator)
        own, theirs = _over(self.denominator, shared), _over(that.denominator, shared)
        numerator = self.numerator * theirs + that.numerator * own
        # What the sum still shares with its denominator can only come from what the denominators shared.
        rest = numerator.gcd(shared)
        return _signed(_over(numerator, rest), own * _over(that.denominator, rest))

    __radd__ = __add__

    def __sub__(self, other: Any) -> Function:
        return self + (-self._of(other))

    def __rsub__(self, other: Any) -> Function:
        return self._of(other) - self

    def __mul__(self, other: Any) -> Function:
        if other is self:
            return Function(self.numerator * self.numerator, self.denominator * self.denominator)
        that = self._of(other)
        first, second = self.numerator.gcd(that.denominator), that.numerator.gcd(self.denominator)
        return _signed(
            _over(self.numerator, first) * _over(that.numerator, second),
            _over(self.denominator, second) * _over(that.denominator, first),
        )

    __rmul__ = __mul__

    def __truediv__(self, other: Any) -> Function:
        that = self._of(other)
        return self * _signed(that.denominator, that.numerator)

    def __rtruediv__(self, other: Any) -> Function:
        return self._of(other) / self

    def __repr__(self) -> str:
        return f"Function({self.numerator}, {self.denominator})"

    def _of(self, other: Any) -> Function:
        if isinstance(other, Function):
            return other
        number = flint.fmpq(other)
        context = self.numerator.context()
        return Function(context.constant(number.p), context.constant(number.q))

    @property
    def constant(self) -> flint.fmpq | None:
        """The rational number that the function is, None where symbols remain."""
        if not (self.numerator.is_constant() and self.denominator.is_constant()):
            return None
        # Both have one coefficient at most.
        top = self.numerator.coeffs()
        return flint.fmpq(top[0] if top else 0, self.denominator.coeffs()[0])

    def as_field_element(self, symbols: tuple[str, ...]) -> Any:
        """The function as an element of sympy's field of rational functions of these symbols over the rationals."""
        fractions, ring = _field(symbols)
        parts = (
            ring.from_dict({tuple(map(int, powers)): flint.fmpq(factor) for powers, factor in part.terms()})
            for part in (self.numerator, self.denominator)
        )
        return fractions.raw_new(*parts)

    @property
    def length(self) -> int:
        """How many terms it has, above and below the stroke."""
        return len(self.numerator) + len(self.denominator)

    def named(self, symbols: tuple[str, ...]) -> NamedFunction:
        """The function together with the names of its symbols, for writing it."""
        return NamedFunction(self.numerator, self.denominator, symbols)

    def as_text(self, symbols: tuple[str, ...]) -> str:
        """The function in whole numbers, symbols, + - * / ^ and brackets: "2*C/3", "C*V_0/(C+D)"."""
        top, bottom = (_polynomial_text(part, symbols) for part in (self.numerator, self.denominator))
        if bottom == "1":
            return top
        if len(self.numerator) > 1:
            top = f"({top})"
        plain = len(self.denominator) == 1 and "*" not in bottom
        return f"{top}/{bottom}" if plain else f"{top}/({bottom})"


@dataclass(frozen=True, slots=True)
class NamedFunction:
    """What a writer of formulas needs of an element of a field of rational functions, without loading sympy."""

    numer: Any
    denom: Any
    symbols: tuple[str, ...]

    @property
    def field(self) -> NamedFunction:
        """Where the symbols are found."""
        return self


@cache
def _field(symbols: tuple[str, ...]) -> tuple[Any, Any]:
    # Here, because sympy takes half a second to load and most sketches have no symbols.
    from sympy import QQ  # type: ignore[import-untyped]
    from sympy.polys.fields import FracField  # type: ignore[import-untyped]

    fractions = FracField(symbols, QQ)
    return fractions, fractions.ring


def _polynomial_text(polynomial: Any, symbols: tuple[str, ...]) -> str:
    text = ""
    for powers, factor in polynomial.terms():
        whole = int(factor)
        factors = [
            symbol if power == 1 else f"{symbol}^{power}"
            for symbol, power in zip(symbols, map(int, powers), strict=True)
            if power
        ]
        if abs(whole) != 1 or not factors:
            factors.insert(0, str(abs(whole)))
        text += ("-" if whole < 0 else "+" if text else "") + "*".join(factors)
    return text or "0"


def number_of(scalar: Scalar) -> flint.fmpq | None:
    """The rational number that a scalar of any arithmetic is; None where symbols remain."""
    if isinstance(scalar, float):
        return flint.fmpq(*scalar.as_integer_ratio())
    return scalar.constant if isinstance(scalar, Function) else scalar


def _lowest(numerator: Any, denominator: Any) -> Function:
    shared = numerator.gcd(denominator)
    return _signed(_over(numerator, shared), _over(denominator, shared))


def _over(polynomial: Any, factor: Any) -> Any:
    """The polynomial without a factor of it; dividing by one, which most common factors are, takes its time too."""
    return polynomial if factor.is_one() else polynomial / factor


def _signed(numerator: Any, denominator: Any) -> Function:
    if denominator.leading_coefficient() < 0:
        return Function(-numerator, -denominator)
    return Function(numerator, denominator)


class Functions(Exact):
    """Arithmetic on rational functions of given symbols over the rationals."""

    def __init__(self, symbols: Sequence[str]) -> None:
        self.symbols: Final = tuple(symbols)
        # Symbols are numbered for flint, so that whatever letters a person uses are its own plain names.
        context = flint.fmpz_mpoly_ctx.get(tuple(f"s{index}" for index in range(len(symbols))), "lex")
        self._unit: Final = context.constant(1)
        self._generator: Final = dict(zip(symbols, context.gens(), strict=True))
        self.zero: Scalar = Function(context.constant(0), self._unit)
        self.one: Scalar = Function(self._unit, self._unit)

    def number(self, value: Value) -> Scalar:
        """The value in SI units."""
        symbol = self._generator[value.symbol] if value.symbol else self._unit
        return Function(symbol, self._unit) * value.factor

    def common(self, denominators: Iterable[Scalar]) -> Scalar:
        """The least common multiple of polynomials."""
        multiple = self._unit
        for denominator in denominators:
            polynomial = denominator.numerator
            multiple = multiple * (polynomial / multiple.gcd(polynomial))
        return Function(multiple, self._unit)

    def solve(self, size: int, edges: Sequence[Edge], columns: Sequence[list[Scalar]]) -> Solved:
        """See Arithmetic.solve. Nodes go in order of their neighbours; the terms may grow exponentially with size."""
        if not columns:
            return Solved([], self.one, 0.0)
        system = Grounded(size, edges, columns, self.zero)
        system.eliminate(size)
        found = system.restore({}, self.one)
        denominator = self.common(Function(x.denominator, self._unit) for column in found for x in column)
        return Solved([[x * denominator for x in column] for column in found], denominator, 0.0)
