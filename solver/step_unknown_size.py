"""The last step to a size marked “?” in a build: from the capacitance that the network needs to the size that has it.

The formulas are those of geometry.py (OpenStax, University Physics Vol. 2, sections 8.1 and 8.4), turned round.
"""

from __future__ import annotations

import re
from typing import Final

import flint

from solver.formula import Amount, Equation, Formula, Fraction, Number, Product, Sum, Symbol, difference, reciprocal
from solver.formula_functions import Decimal, Logarithm, Measure, pure
from solver.geometry import VACUUM_PERMITTIVITY, Build, Layer, Shape
from solver.numerals import decimal_text, take_numeral
from solver.open_build import Law
from solver.rounding import rounded_text
from solver.step_teller import chain
from solver.unknown import FoundSize, FoundValue
from solver.worked import Line, Step

_KAPPA: Final = Symbol("κ")
_PERMITTIVITY: Final = Symbol("ε", "0")
_PI: Final = Symbol("π")
_AREA: Final = Symbol("A")
_GAP: Final = Symbol("d")
_INNER, _OUTER, _LENGTH = Symbol("a"), Symbol("b"), Symbol("L")
_WHOLE: Final = {
    Shape.PLATES: "Two plates have the capacitance κε₀A/d",
    Shape.SPHERES: "Two spheres have the capacitance 4πκε₀/(1/a − 1/b)",
    Shape.CYLINDERS: "Coaxial cylinders have the capacitance 2πκε₀L/ln(b/a)",
    Shape.SPHERE: "A sphere by itself has the capacitance 4πκε₀a",
}


def size_step(value: FoundValue, letter: Symbol, figures: int) -> Step:
    """The step to the size of a build; `letter` is that of the part's capacitance."""
    size = value.size
    assert size is not None
    lines = _Sizing(value, size, letter, figures).lines()
    title = f"The {size.word} that gives {value.part} its {value.value.text}"
    return Step("solve", title, (value.part,), (), _reason(value, size), tuple(lines))


def _reason(value: FoundValue, size: FoundSize) -> str:
    build = size.build.build
    told = _WHOLE[build.shape]
    if build.shape is Shape.PLATES and len(build.layers) > 1:
        rule = "in series: d/κ of all of them adds up" if build.stacked else "in parallel: κ counts by its share of A"
        told += f", and {'layers' if build.stacked else 'strips'} are capacitors {rule}"
    told += " (OpenStax, University Physics Vol. 2, sections 8.1 and 8.4)"
    told += f", with ε₀ = 8.854 pF/m (CODATA 2018). Turned round, that is the {size.word}."
    if size.build.law is Law.CYLINDERS:
        told += " The ratio of the radii is e to the power of what comes out for its logarithm."
    named = {layer.dielectric.name: layer.dielectric for layer in build.layers if layer.dielectric.source}
    by_source: dict[str, list[str]] = {}
    for name, dielectric in named.items():
        constant = rounded_text(int(dielectric.constant.p), int(dielectric.constant.q), "", 6)
        text = f"{constant.rstrip('0').rstrip('.') if '.' in constant else constant} for {name}"
        by_source.setdefault(dielectric.source or "", []).append(text)
    for source, texts in by_source.items():
        told += f" κ is {' and '.join(texts)} ({source})."
    if len(value.texts) > 1:
        told += f" {value.part} is built in several ways one after the other: this is the first of them."
    return told


class _Sizing:
    def __init__(self, value: FoundValue, size: FoundSize, letter: Symbol, figures: int) -> None:
        self._size: Final = size
        self._build: Final = size.build.build
        self._figures: Final = figures
        self._letter: Final = letter
        self._farads: Final = Amount(value.value)
        self._found: Final = _measure(size.shown)
        self._epsilon: Final = self._permittivity()

    def _permittivity(self) -> Formula:
        text = rounded_text(int(VACUUM_PERMITTIVITY.p), int(VACUUM_PERMITTIVITY.q), "F/m", self._figures)
        return _measure(text)

    def lines(self) -> list[Line]:
        """The formula turned round for the size, with numbers, and what it comes to."""
        match self._build.shape:
            case Shape.PLATES if self._build.stacked and len(self._build.layers) > 1:
                return self._layers()
            case Shape.PLATES:
                return self._plates()
            case Shape.SPHERES:
                return self._spheres()
            case Shape.CYLINDERS:
                return self._cylinders()
            case Shape.SPHERE:
                symbols = Product(Number(4), _PI, _KAPPA, _PERMITTIVITY)
                numbers = Product(Number(4), _PI, self._kappa(0), self._epsilon)
                return [chain(_INNER, Fraction(self._letter, symbols), Fraction(self._farads, numbers), self._found)]

    def _kappa(self, index: int) -> Formula:
        return _decimal(self._build.layers[index].dielectric.constant, self._figures)

    def _plates(self) -> list[Line]:
        layers = self._build.layers
        lines: list[Line] = []
        kappa = self._kappa(0)
        if len(layers) > 1:
            shares = [Product(pure(layer.share, self._figures), self._constant(layer)) for layer in layers]
            whole = sum((layer.share * layer.dielectric.constant for layer in layers), flint.fmpq(0))
            kappa = _decimal(whole, self._figures)
            lines.append(chain(_KAPPA, Sum(*shares), kappa))
        if self._size.build.law is Law.GAP:
            area = _measure(self._build.written[0])
            top, with_numbers = (_KAPPA, _PERMITTIVITY, _AREA), (kappa, self._epsilon, area)
            divided = Fraction(Product(*top), self._letter), Fraction(Product(*with_numbers), self._farads)
            return [*lines, chain(_GAP, *divided, self._found)]
        gap = _measure(layers[0].written)
        symbols = Fraction(Product(self._letter, _GAP), Product(_KAPPA, _PERMITTIVITY))
        numbers = Fraction(Product(self._farads, gap), Product(kappa, self._epsilon))
        return [*lines, chain(_AREA, symbols, numbers, self._found)]

    def _constant(self, layer: Layer) -> Formula:
        return _decimal(layer.dielectric.constant, self._figures)

    def _layers(self) -> list[Line]:
        """ε₀A/C is the sum of d/κ over all layers."""
        layers, place = self._build.layers, self._build.asked
        assert place is not None
        numbered = [Fraction(Symbol("d", str(n)), Symbol("κ", str(n))) for n in range(1, len(layers) + 1)]
        asked = place.index if place.in_gap else None
        terms = [
            Fraction(_measure(layer.written), self._constant(layer))
            for index, layer in enumerate(layers)
            if index != asked
        ]
        whole = Fraction(Product(_PERMITTIVITY, _AREA), self._letter)
        lines = [Line(Equation(Sum(*numbered), whole))]
        if not place.in_gap:
            area = Fraction(Product(self._letter, Sum(*numbered)), _PERMITTIVITY)
            numbers = Fraction(Product(self._farads, Sum(*terms)), self._epsilon)
            return [*lines, chain(_AREA, area, numbers, self._found)]
        own = str(place.index + 1)
        others = [each for index, each in enumerate(numbered) if index != place.index]
        filled = Fraction(Product(self._epsilon, _measure(self._build.written[0])), self._farads)
        symbols = Product(Symbol("κ", own), difference(whole, *others))
        numbers_too = Product(self._constant(layers[place.index]), difference(filled, *terms))
        return [*lines, chain(Symbol("d", own), symbols, numbers_too, self._found)]

    def _spheres(self) -> list[Line]:
        symbols = Fraction(Product(Number(4), _PI, _KAPPA, _PERMITTIVITY), self._letter)
        numbers = Fraction(Product(Number(4), _PI, self._kappa(0), self._epsilon), self._farads)
        is_inner = self._size.word.startswith("inner")
        own, other = (_INNER, _OUTER) if is_inner else (_OUTER, _INNER)
        known = _measure(self._build.written[1 if is_inner else 0])
        if is_inner:
            sums = Sum(symbols, reciprocal(other)), Sum(numbers, reciprocal(known))
        else:
            sums = difference(reciprocal(other), symbols), difference(reciprocal(known), numbers)
        return [chain(reciprocal(own), *sums), chain(own, self._found)]

    def _cylinders(self) -> list[Line]:
        asked = self._build.asked.index if self._build.asked else None
        written = [Symbol("x") if n == asked else _measure(text) for n, text in enumerate(self._build.written)]
        ratio = Logarithm(Fraction(_OUTER, _INNER))
        two = Product(Number(2), _PI, _KAPPA, _PERMITTIVITY)
        numbers = (Number(2), _PI, self._kappa(0), self._epsilon)
        if self._size.build.law is Law.PROPORTIONAL:
            symbols = Fraction(Product(self._letter, ratio), two)
            logarithm = Logarithm(Fraction(written[1], written[0]))
            return [chain(_LENGTH, symbols, Fraction(Product(self._farads, logarithm), Product(*numbers)), self._found)]
        apart, large, small = self._radii(self._build)
        figures = max(self._figures, _figures_of(self._found))
        filled = Fraction(Product(*numbers, written[2]), self._farads)
        whole = Product(Number(2), _PI, _KAPPA, _PERMITTIVITY, _LENGTH)
        first = chain(
            ratio, Fraction(whole, self._letter), filled, Decimal(rounded_text(*_ints(apart), "", self._figures))
        )
        quotient = Decimal(rounded_text(*_ints(large / small), "", figures))
        is_inner = self._size.word.startswith("inner")
        second = chain(Fraction(_OUTER, _INNER), quotient)
        if is_inner:
            return [
                first,
                second,
                chain(_INNER, Fraction(_OUTER, quotient), Fraction(written[1], quotient), self._found),
            ]
        return [first, second, chain(_OUTER, Product(quotient, _INNER), Product(quotient, written[0]), self._found)]

    def _radii(self, build: Build) -> tuple[flint.fmpq, flint.fmpq, flint.fmpq]:
        """ln(b/a), b and a."""
        other, size = self._size.build.other, self._size.size
        large, small = max(other, size), min(other, size)
        logarithm = flint.arb(large / small).log().mid().fmpq()
        return logarithm, large, small


def _decimal(number: flint.fmpq, figures: int) -> Formula:
    """A dielectric constant as it stands in the table, at least to so many figures."""
    text = rounded_text(int(number.p), int(number.q), "", max(6, figures))
    return Decimal(text.rstrip("0").rstrip(".") if "." in text else text)


def _ints(number: flint.fmpq) -> tuple[int, int]:
    return int(number.p), int(number.q)


def _figures_of(measure: Formula) -> int:
    return len(re.sub(r"\D", "", measure.text().split()[0]).lstrip("0"))


def _measure(text: str) -> Formula:
    """A size as typed, without powers of ten."""
    typed, _, unit = text.rpartition(" ")
    numeral, _ = take_numeral(typed)
    number = decimal_text(numeral.digits, numeral.power + (numeral.ten or 0))
    return Measure(number if numeral.denominator == 1 else f"{number}/{numeral.denominator}", unit)
