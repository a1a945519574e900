"""Roots of polynomials with whole coefficients, exactly where they are rational: what unknown values come from."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any, Final

import flint

from solver.functions import Function

_PRECISION: Final = 128
_DIGITS: Final = 15


def equation(scalar: Function, wanted: flint.fmpq) -> Any:
    """P·q − p·Q for a reading P/Q that has to be p/q: whole coefficients, zero where the reading is right."""
    number = flint.fmpq(wanted)
    return scalar.numerator * number.q - scalar.denominator * number.p


def univariate(polynomial: Any, variable: int) -> flint.fmpz_poly:
    """A polynomial in which no other variable occurs."""
    coefficients: dict[int, int] = {}
    for powers, factor in polynomial.terms():
        coefficients[int(powers[variable])] = int(factor)
    return flint.fmpz_poly([coefficients.get(power, 0) for power in range(max(coefficients, default=0) + 1)])


def roots_of(polynomial: flint.fmpz_poly) -> list[Any]:
    """The real roots, smallest first: rational ones exactly, others enclosed."""
    found: list[Any] = []
    _, factors = polynomial.factor()
    with flint.ctx.workprec(_PRECISION):
        for factor, _ in factors:
            if factor.degree() == 1:
                found.append(flint.fmpq(-factor[0], factor[1]))
            elif factor.degree() > 1:
                whole: Any = factor
                found.extend(root.real for root, _ in whole.complex_roots() if root.imag == 0)
    return sorted(found, key=float)


def common_roots(first: Any, second: Any) -> list[tuple[Any, ...]]:
    """The common real roots of two polynomials in two variables that have no factor in common."""
    context = first.context()
    shared = first.resultant(second, context.name(1) if hasattr(context, "name") else 1)
    found: list[tuple[Any, ...]] = []
    for one in roots_of(univariate(shared, 0)):
        for other in _roots_along(first, second, one):
            found.append((one, other))
    return found


def _roots_along(first: Any, second: Any, one: Any) -> list[Any]:
    """The second unknown where the first one is known: roots of one equation that satisfy the other too."""
    if first.degrees()[1] == 0:
        first, second = second, first
    number, exact = as_number(one)
    found = []
    for root in roots_of(substituted(first, number)):
        left = evaluated(second, (number, root))
        size = sum(abs(float(_evaluated_term(term, (number, root)))) for term in second.terms())
        if left == 0 or ((not exact or not isinstance(root, flint.fmpq)) and abs(float(left)) <= 1e-9 * size):
            found.append(root)
    return found


def substituted(polynomial: Any, number: flint.fmpq) -> flint.fmpz_poly:
    """A polynomial in two variables with a number for the first: in the second alone, in whole coefficients."""
    coefficients: dict[int, flint.fmpq] = {}
    for powers, factor in polynomial.terms():
        power = int(powers[1])
        coefficients[power] = coefficients.get(power, flint.fmpq(0)) + int(factor) * number ** int(powers[0])
    degree = max(coefficients, default=0)
    return flint.fmpq_poly([coefficients.get(power, flint.fmpq(0)) for power in range(degree + 1)]).numer()


def evaluated(polynomial: Any, values: Sequence[Any]) -> Any:
    terms = [_evaluated_term(term, values) for term in polynomial.terms()]
    return sum(terms[1:], terms[0]) if terms else flint.fmpq(0)


def _evaluated_term(term: Any, values: Sequence[Any]) -> Any:
    powers, factor = term
    product: Any = flint.fmpq(int(factor))
    for value, power in zip(values, powers, strict=True):
        for _ in range(int(power)):
            product = product * value if isinstance(value, flint.fmpq) else value * product
    return product


def as_number(root: Any) -> tuple[flint.fmpq, bool]:
    """A root as a rational number, and whether it is exactly that; others come to fifteen figures."""
    if isinstance(root, flint.fmpq):
        return root, True
    top, _, exponent = f"{float(root):.{_DIGITS - 1}e}".partition("e")
    scale = flint.fmpq(10) ** int(exponent)
    whole, _, fraction = top.partition(".")
    return flint.fmpq(int(whole + fraction), 10 ** len(fraction)) * scale, False
