"""The derivation of a value marked “?”: the reading as a function of it, set equal to what is required, and solved.

A reading is (r∞·x + r₀·d)/(x + d) in one capacitance or resistance x: r₀ where x is nothing, r∞ where it has no end,
and d the value at which it lies half way between. So x = d·(v − r₀)/(r∞ − v) makes it v.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from typing import Any, Final

import flint

from solver.answers import TAU
from solver.faults import listing
from solver.formula import (
    Amount,
    Equation,
    Formula,
    Fraction,
    Number,
    Product,
    Sum,
    Symbol,
    Words,
    difference,
)
from solver.formula_functions import Decimal, Exponential, pure
from solver.functions import Function
from solver.kinds import KINDS
from solver.quantities import Quantity
from solver.reading_keys import TIME_CONSTANT, words_of
from solver.readings import Reading, Writing
from solver.roots import univariate
from solver.step_equations_words import Phrase
from solver.step_symbols import Symbols
from solver.step_teller import chain
from solver.step_unknown_opening import is_given, opening_of
from solver.step_unknown_size import size_step
from solver.symbolic_text import compound_text
from solver.unknown import Found, FoundValue, logarithm_of
from solver.unknown_conditions import Condition
from solver.worked import Line, Offer, Step, Way

UNKNOWN_WAY: Final = Way("unknown", "What must it be")
_LETTERS: Final = {
    "voltage": "voltage",
    "charge": "charge",
    "current": "current",
    "energy": "energy",
    "power": "power",
}


def unknown_offer(found: Found) -> Offer:
    """The way that derives the values found."""
    opening = opening_of(found)
    return Offer(UNKNOWN_WAY, lambda: opening, lambda: tuple(_Derivation(found).steps()))


class _Derivation:
    def __init__(self, found: Found) -> None:
        self._found: Final = found
        self._asked: Final = found.asked
        network = found.asked.network.outcome.network
        self._symbols: Final = Symbols.of(network)
        letters = {part.name: _Letter.of(self._symbols.value(part.name)) for part in found.asked.unknown}
        units = found.asked.writing.symbol_units
        # As typed letters, so that formulas write them with an index.
        names = {name: letter.text() for name, letter in letters.items()}
        self._letters: Final = letters
        self._writing: Final = Writing(found.asked.sheet.figures, {names[name]: unit for name, unit in units.items()})
        self._parts: Final = tuple(part.name for part in found.asked.unknown)

    def steps(self) -> Iterator[Step]:
        """All steps, in their order."""
        if not is_given(self._found):
            for condition in self._found.conditions:
                yield from self._as_function(condition)
            if len(self._found.values) == 1:
                yield from self._solved(self._found.conditions[0], self._found.values[0])
            else:
                yield self._together()
        for value in self._found.values:
            if value.size is not None:
                yield size_step(value, self._letters[value.part], self._writing.figures)
        yield from self._preferred()

    @property
    def _a_letter(self) -> str:
        return "a letter" if len(self._parts) == 1 else "letters"

    def _amount(self, scalar: Any, quantity: Quantity) -> Formula:
        return Amount(Reading(scalar, quantity, self._writing))

    def _letter(self, condition: Condition) -> Symbol:
        """The reading's own letter: V₂ for the voltage of C2."""
        key = condition.requirement.reading
        if key == TIME_CONSTANT:
            return TAU
        owner, _, word = key.rpartition(".")
        kinds = {part.name for part in self._asked.network.outcome.network.branches}
        if owner in kinds and word in _LETTERS:
            write = getattr(self._symbols, word)
            symbol: Symbol = write(owner)
            return symbol
        stem = condition.quantity.symbol
        return Symbol(stem, "eq" if condition.quantity in (Quantity.CAPACITANCE, Quantity.RESISTANCE) else "")

    def _as_function(self, condition: Condition) -> Iterator[Step]:
        words = words_of(condition.requirement.reading)
        letter = self._letter(condition)
        names = listing(list(self._parts))
        if condition.later is not None:
            yield from self._later(condition, words, letter)
            return
        assert condition.scalar is not None
        lines = [chain(letter, self._amount(condition.scalar, condition.quantity))]
        single = len(self._parts) == 1
        form = self._form(condition.scalar, condition.quantity) if single else None
        reason = f"Solved with {names} as {self._a_letter}, the network gives this for the {words}."
        if form is not None:
            at_nothing, far = (
                Reading(each, condition.quantity, self._writing).text for each in (form.nothing, form.far)
            )
            reason += (
                f" It is {at_nothing} where {names} is next to nothing, goes to {far} as {names} grows without end, "
                f"and is half way between at {Reading(form.half, form.value, self._writing).text}."
            )
        yield Step("equations", f"The {words} with {names}", self._parts, (), reason, tuple(lines))

    def _later(self, condition: Condition, words: str, letter: Symbol) -> Iterator[Step]:
        """A reading after a time: the logarithm or the exponential that the time makes."""
        later = condition.later
        assert later is not None
        after = self._amount(later.after, Quantity.TIME)
        time = Reading(later.after, Quantity.TIME, self._writing).text
        title = f"The {words} after {time}"
        if later.over_time is None or later.rate is None:
            reason = (
                "With several time constants no formula leads from the reading to the value. So values from very "
                "small to very large are tried, each with the network solved exactly, and the place where the reading "
                "passes what is required is closed in upon."
            )
            yield Step("equations", title, self._parts, (), reason)
            return
        first, final = (
            self._amount(each, condition.quantity) for each in (later.over_time.first, later.over_time.final)
        )
        start, end = (Symbol(letter.stem, f"{letter.index},{which}") for which in ("start", "end"))
        tau = self._amount(1 / later.rate, Quantity.TIME)
        lines = [chain(start, first), chain(end, final), chain(TAU, tau)]
        reason = (
            f"With one time constant the {words} goes from its start to its end along an exponential. Both ends and "
            f"the time constant τ follow from the network with {listing(list(self._parts))} as {self._a_letter}."
        )
        yield Step("equations", title, self._parts, (), reason, tuple(lines))
        if later.ratio is not None:
            yield self._logarithm(condition, letter, after)
        elif condition.scalar is not None:
            left = Exponential(Fraction(after, TAU))
            whole = Sum(end, Product(difference(start, end), left))
            scalar = self._amount(condition.scalar, condition.quantity)
            reason = "Nothing in τ is unknown, so the power of e is a number."
            yield Step(
                "equations", f"{title}: the exponential", self._parts, (), reason, (chain(letter, whole, scalar),)
            )
        else:
            reason = (
                "The letter stands both in the exponential and outside of it, so no formula solves the equation. The "
                "place where the reading passes what is required is closed in upon by trying values."
            )
            yield Step("equations", f"{title}: closing in", self._parts, (), reason)

    def _logarithm(self, condition: Condition, letter: Symbol, after: Formula) -> Step:
        later = condition.later
        assert later is not None
        assert later.ratio is not None
        assert later.over_time is not None
        squared = later.over_time.square is not None
        figures = self._writing.figures
        required = Symbol(letter.stem, letter.index)
        start, end = (Symbol(letter.stem, f"{letter.index},{which}") for which in ("start", "end"))
        ratio = pure(later.ratio, figures)
        share = Fraction(required, start) if squared else Fraction(difference(required, end), difference(start, end))
        exponent = Fraction(Product(Number(2), after), TAU) if squared else Fraction(after, TAU)
        line = logarithm_of(condition, self._writing)
        assert line is not None
        lines = (
            chain(share, Exponential(exponent), ratio),
            line,
        )
        reason = (
            f"It is required that {condition.requirement.value.strip()} be reached. So much of the way is left then, "
            "and the natural logarithm tells how many time constants that takes."
        )
        return Step("question", "The time constant that this takes", self._parts, (), reason, lines)

    def _solved(self, condition: Condition, value: FoundValue) -> Iterator[Step]:
        name = value.part
        letter = self._letters[name]
        result = Amount(value.value)
        if condition.scalar is None:
            reason = f"{name} comes out at this value; put in, it makes the reading what is required."
            yield Step("solve", f"{name} as it must be", (name,), (), reason, (chain(letter, result),))
            return
        scalar, wanted, quantity = condition.scalar, condition.wanted, condition.quantity
        if condition.later is not None and condition.later.ratio is not None:
            scalar, wanted, quantity = 1 / scalar, 1 / wanted, Quantity.TIME
        left = self._amount(scalar, quantity)
        right = self._amount(wanted, quantity)
        lines = [Line(Equation(left, right))]
        what = f"The {words_of(condition.requirement.reading)}"
        if quantity is Quantity.TIME:
            what = "The time constant"
        reason = f"{what} has to be {Reading(wanted, quantity, self._writing).text}."
        form = self._form(scalar, quantity)
        if form is not None:
            reason += f" Multiplied out, what has {name} in it goes to one side and the rest to the other."
            lines += self._multiplied(form, wanted, quantity, letter, result)
        elif (straight := _straight(scalar)) is not None:
            reason += f" Divided by what stands beside {name}, that is its value."
            lines += self._divided(straight, wanted, quantity, letter, result)
        else:
            reason += (
                f" Multiplied out, this is an equation of degree {_degree(scalar)}; here are its roots that a part "
            )
            reason += "can have."
            lines.append(chain(letter, result))
            lines += [chain(letter, Amount(other)) for other in value.others]
        if value.others:
            reason += f" There {'is' if len(value.others) == 1 else 'are'} more than one: each does it."
        yield Step("solve", f"Solved for {name}", (name,), (), reason, tuple(lines))

    def _multiplied(
        self, form: _Form, wanted: flint.fmpq, quantity: Quantity, letter: Symbol, result: Formula
    ) -> list[Line]:
        """r∞·x + r₀·d = v·(x + d), (r∞ − v)·x = (v − r₀)·d, x = d·(v − r₀)/(r∞ − v)."""
        half = self._amount(form.half, form.value)
        far, nothing, right = (self._amount(each, quantity) for each in (form.far, form.nothing, wanted))
        above: list[Formula] = []
        if form.far:
            above.append(Product(far, letter))
        if form.nothing:
            above.append(Product(nothing, half))
        whole = Sum(*above) if above else Number(0)
        # Written so that both brackets come out above zero.
        rise, rest = _between(right, nothing, zero=not form.nothing), _between(far, right, zero=not form.far)
        if form.far < wanted:
            rise, rest = _between(nothing, right, zero=False), _between(right, far, zero=not form.far)
        return [
            Line(Equation(whole, Product(right, Sum(letter, half)))),
            Line(Equation(Product(rest, letter), Product(rise, half))),
            chain(letter, Product(half, Fraction(rise, rest)), result),
        ]

    def _divided(
        self, straight: _Straight, wanted: flint.fmpq, quantity: Quantity, letter: Symbol, result: Formula
    ) -> list[Line]:
        """r₀ + slope·x = v, or r₀ + slope/x = v."""
        lines = []
        constant = self._amount(straight.constant, quantity)
        right = self._amount(wanted, quantity)
        rest: Formula = difference(right, constant) if straight.constant else right
        slope = self._slope(straight, quantity)
        if straight.constant:
            term = Fraction(slope, letter) if straight.below else Product(slope, letter)
            lines.append(Line(Equation(term, rest)))
        lines.append(chain(letter, Fraction(slope, rest) if straight.below else Fraction(rest, slope), result))
        return lines

    def _slope(self, straight: _Straight, quantity: Quantity) -> Formula:
        """What stands beside the unknown, with the unit that makes the product (or quotient) the reading's."""
        [unit] = self._writing.symbol_units.values()
        figures = self._writing.figures
        return Decimal(compound_text(straight.slope, quantity.unit, unit, figures, times=straight.below))

    def _together(self) -> Step:
        lines: list[Line] = []
        for condition in self._found.conditions:
            assert condition.scalar is not None
            quantity = condition.quantity
            scalar, wanted = condition.scalar, condition.wanted
            if condition.later is not None and condition.later.ratio is not None:
                scalar, wanted, quantity = 1 / scalar, 1 / wanted, Quantity.TIME
            lines.append(Line(Equation(self._amount(scalar, quantity), self._amount(wanted, quantity))))
        for value in self._found.values:
            lines.append(chain(self._letters[value.part], Amount(value.value)))
        names = listing([value.part for value in self._found.values])
        reason = (
            "These are two equations for two unknowns. One of the unknowns is put out of them; what is left is an "
            f"equation for the other alone. Put in, these values of {names} make both of them true."
        )
        if any(value.others for value in self._found.values):
            reason += " There are other pairs that do it as well."
        return Step("solve", f"Solved for {names}", self._parts, (), reason, tuple(lines))

    def _preferred(self) -> Iterator[Step]:
        """What can be bought, and what the reading is with it."""
        if len(self._found.values) != 1 or not self._found.values[0].preferred:
            return
        [value] = self._found.values
        [condition] = self._found.conditions
        letter = self._letter(condition)
        own = self._letters[value.part]
        lines = []
        told: set[str] = set()
        for each in value.preferred:
            if each.value.text not in told:
                told.add(each.value.text)
                with_it = Equation(letter, Amount(each.reading))
                lines.append(Line(Phrase(Equation(own, Amount(each.value)), Words("makes"), with_it)))
        reason = (
            "Parts are made in preferred numbers, the series E6, E12 and E24 of IEC 60063. With the nearest of each "
            f"the {words_of(condition.requirement.reading)} becomes this."
        )
        yield Step("check", "The nearest preferred numbers", (value.part,), (), reason, tuple(lines))

    def _form(self, scalar: Function, quantity: Quantity) -> _Form | None:
        """A quotient of linear functions as (r∞·x + r₀·d)/(x + d); None where it is none, or d is nothing."""
        [part] = self._asked.unknown
        value = KINDS[part.kind].quantity
        assert value is not None
        top, bottom = univariate(scalar.numerator, 0), univariate(scalar.denominator, 0)
        if top.degree() > 1 or bottom.degree() != 1 or not bottom[0]:
            return None
        half = flint.fmpq(bottom[0], bottom[1])
        if half <= 0:
            return None
        return _Form(flint.fmpq(top[1], bottom[1]), flint.fmpq(top[0], bottom[0]), half, value)


class _Letter(Symbol):
    """A part's own letter, in plain text as values are typed: C_1."""

    @classmethod
    def of(cls, symbol: Symbol) -> _Letter:
        """The letter for a symbol."""
        return cls(symbol.stem, symbol.index)

    def text(self) -> str:
        return f"{self.stem}_{self.index}" if self.index else self.stem


@dataclass(frozen=True)
class _Form:
    """r∞, r₀ and d, and what the unknown measures."""

    far: flint.fmpq
    nothing: flint.fmpq
    half: flint.fmpq
    value: Quantity


@dataclass(frozen=True)
class _Straight:
    """constant + slope·x, or where `below` constant + slope/x."""

    constant: flint.fmpq
    slope: flint.fmpq
    below: bool


def _degree(scalar: Function) -> int:
    return max(int(univariate(part, 0).degree()) for part in (scalar.numerator, scalar.denominator))


def _between(one: Formula, other: Formula, *, zero: bool) -> Formula:
    """One less the other; the one alone where the other is nothing."""
    return one if zero else difference(one, other)


def _straight(scalar: Function) -> _Straight | None:
    top, bottom = univariate(scalar.numerator, 0), univariate(scalar.denominator, 0)
    if top.degree() == 1 and bottom.degree() == 0:
        return _Straight(flint.fmpq(top[0], bottom[0]), flint.fmpq(top[1], bottom[0]), below=False)
    if top.degree() <= 1 and bottom.degree() == 1 and not bottom[0]:
        return _Straight(flint.fmpq(top[1], bottom[1]), flint.fmpq(top[0], bottom[1]), below=True)
    return None
