"""What must it be: finds the values marked “?” that make readings what they have to be.

An unknown value goes through the solver as a symbol, so a reading is a quotient P/Q of polynomials in it (for a voltage
or a charge and one capacitance, resistance or emf both are linear), and that it be v means P − v·Q = 0. The roots are
found exactly where they are rational, else enclosed. Two unknowns with two requirements: one is eliminated by the
resultant (J. J. Sylvester, Phil. Mag. 16 (1840) 132–135). What is required after a time is in unknown_time.py.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Sequence
from dataclasses import dataclass, replace
from typing import Any, Final

import flint

from solver.faults import (
    RequirementIdle,
    RequirementMissing,
    RequirementNotMet,
    RequirementsDoNotMatch,
    SketchFault,
    SketchFaults,
    listing,
)
from solver.format import format_exact
from solver.formula import Amount, Formula, Fraction, Number, Product, Symbol
from solver.formula_functions import Logarithm, pure
from solver.kinds import KINDS
from solver.preferred import nearest_preferred
from solver.quantities import Quantity
from solver.reading_keys import words_of
from solver.readings import Reading, Writing
from solver.roots import as_number, common_roots, equation, evaluated, roots_of, univariate
from solver.sketch import Sketch
from solver.step_teller import chain
from solver.unknown_conditions import UNKNOWN, Asked, Condition, unknown_names, with_values
from solver.unknown_scan import scanned
from solver.unknown_time import Impossible
from solver.unknown_words import impossible_in_time, why_not
from solver.worked import Line

_LONGEST_TEXT: Final = 28
"""Characters beyond which a value is put in rounded, to fifteen figures."""
SERIES: Final = ("E6", "E12", "E24")

__all__ = ["UNKNOWN", "Found", "FoundValue", "Preferred", "find", "has_unknowns"]


@dataclass(frozen=True)
class Preferred:
    """The preferred number of a series nearest to a value, and what the required reading is with it.

    `text` is what stands on the part once it is put in.
    """

    series: str
    text: str
    value: Reading
    reading: Reading


@dataclass(frozen=True)
class FoundValue:
    """What a part's value must be: `text` is what stands on the part, `exact` says whether that is the exact number.

    `others` are further values that do it as well; `preferred` has the nearest preferred numbers, for a single unknown
    capacitance or resistance. `line` is the logarithm that a time constant came from, where one did.
    """

    part: str
    text: str
    value: Reading
    exact: bool
    others: tuple[Reading, ...]
    preferred: tuple[Preferred, ...]
    line: Line | None = None

    def document(self) -> dict[str, Any]:
        """The value as the web interface sends it."""
        return {
            "part": self.part,
            "text": self.text,
            "value": self.value.document(),
            "exact": self.exact,
            "line": None if self.line is None else self.line.document(),
            "others": [other.document() for other in self.others],
            "preferred": [
                {
                    "series": each.series,
                    "text": each.text,
                    "value": each.value.document(),
                    "reading": each.reading.document(),
                }
                for each in self.preferred
            ],
        }


@dataclass(frozen=True)
class Found:
    """The values found, and the sketch with them in place of each “?”.

    `asked` is the sketch with its unknowns as symbols, `conditions` what they satisfy; the derivation tells both.
    """

    values: tuple[FoundValue, ...]
    sketch: Sketch
    asked: Asked
    conditions: tuple[Condition, ...]

    def as_asked(self, sketch: Sketch) -> Sketch:
        """A sketch of the same parts with “?” where a value was found."""
        texts = {value.part: value.text for value in self.values}
        parts = (
            replace(part, value=UNKNOWN) if part.name in texts and part.value == texts[part.name] else part
            for part in sketch.parts
        )
        return replace(sketch, parts=tuple(parts))


def has_unknowns(sketch: Sketch) -> bool:
    """Whether a part's value is to be found."""
    return bool(unknown_names(sketch))


def find(sketch: Sketch) -> Found:
    """The values that a sketch asks for, in the stage that it shows.

    A voltage, charge or current may be required without regard to its sign: where the value as typed cannot be
    reached, its opposite is tried. Raises SketchFaults.
    """
    _require_as_many(sketch)
    return _Search(Asked(sketch)).found()


def _require_as_many(sketch: Sketch) -> None:
    names = unknown_names(sketch)
    asked, required = len(names), len(sketch.required)
    if required <= asked <= 2 and (what := _missing(sketch, asked)):
        follows = f"{listing(names)} {'follows from it' if asked == 1 else 'follow from both'}"
        raise SketchFaults([RequirementMissing(parts=names, what=what, follows=follows)])
    if asked != required or not 1 <= asked <= 2:
        values = "One value is asked for with “?”" if asked == 1 else f"{asked} values are asked for with “?”"
        readings = "one reading is required" if required == 1 else f"{required} readings are required"
        raise SketchFaults([RequirementsDoNotMatch(parts=names, asked=values, required=readings)])


def _missing(sketch: Sketch, asked: int) -> str | None:
    """What is still to be said before there is a question to answer: nothing wrong, only not said yet."""
    for requirement in sketch.required:
        if not requirement.value.strip():
            return f"what the {words_of(requirement.reading)} has to be"
    if len(sketch.required) == asked:
        return None
    return "which other reading you want" if sketch.required else "which reading you want"


class _Search:
    """Looks for values that satisfy all conditions."""

    def __init__(self, asked: Asked) -> None:
        self._asked: Final = asked
        self._unknown: Final = asked.unknown

    def found(self) -> Found:
        """The first solution with the others beside it, and the sketch it makes."""
        refused = False
        for signs in _choices(self._asked):
            try:
                conditions = [self._asked.condition(place, sign) for place, sign in enumerate(signs)]
            except Impossible:
                refused = refused or min(signs) > 0
                continue
            solutions = self._solutions(conditions)
            if solutions:
                return self._answer(solutions, conditions)
        raise SketchFaults([self._refusal(refused=refused)])

    def _solutions(self, conditions: Sequence[Condition]) -> list[tuple[Any, ...]]:
        """All solutions, each with a value (flint.fmpq, flint.arb or float) for every unknown: those without a negative
        value first, then the smallest."""
        if any(condition.scalar is None for condition in conditions):
            candidates: Iterable[tuple[Any, ...]] = [
                (x,) for x in scanned(_excess(conditions[0]), self._unknown[0].kind)
            ]
        else:
            equations = [equation(condition.scalar, condition.wanted) for condition in conditions]  # type: ignore[arg-type]
            for each, condition in zip(equations, conditions, strict=True):
                if each.is_constant():
                    if each.is_zero():
                        reading = words_of(condition.requirement.reading)
                        raise SketchFaults([RequirementIdle(parts=[self._unknown[0].name], reading=reading)])
                    return []
            if len(equations) == 1:
                candidates = [(root,) for root in roots_of(univariate(equations[0], 0))]
            else:
                candidates = common_roots(*equations)
        return sorted(
            (values for values in candidates if self._holds(values, conditions)),
            key=lambda values: (min(values) < 0, *map(float, values)),
        )

    def _holds(self, values: tuple[Any, ...], conditions: Sequence[Condition]) -> bool:
        """Whether the values are such as the parts can have, and no reading is without end there."""
        for part, value in zip(self._unknown, values, strict=True):
            if part.kind != "battery" and not value > 0:
                return False
        scalars = [condition.scalar for condition in conditions if condition.scalar is not None]
        return all(evaluated(scalar.denominator, values) != 0 for scalar in scalars)

    def _refusal(self, *, refused: bool) -> SketchFault:
        names = [part.name for part in self._unknown]
        what = listing([KINDS[part.kind].word for part in self._unknown])
        if len(names) > 1:
            why = f"no positive values of {listing(names)} make all that is required true together"
        elif refused:
            why = impossible_in_time(self._asked)
        else:
            why = why_not(self._asked, self._asked.condition(0, 1))
        return RequirementNotMet(parts=names, what=what, why=why)

    def _answer(self, solutions: Sequence[tuple[Any, ...]], conditions: Sequence[Condition]) -> Found:
        exact_way = not any(condition.is_approximate for condition in conditions)
        figures = self._asked.sheet.figures
        values = []
        for place, part in enumerate(self._unknown):
            quantity = KINDS[part.kind].quantity
            assert quantity is not None
            number, exact = _number(solutions[0][place], exact_way=exact_way)
            writing = Writing(figures)
            others = [
                Reading(_number(solution[place], exact_way=exact_way)[0], quantity, writing)
                for solution in solutions[1:]
            ]
            single = len(self._unknown) == 1
            preferred = self._preferred(number, quantity, conditions[0]) if single else ()
            text = format_exact(number, quantity.unit)
            if len(text) > _LONGEST_TEXT:
                number, exact = as_number(flint.arb(number))[0], False
                text = format_exact(number, quantity.unit)
            value = Reading(number, quantity, writing)
            line = logarithm_of(conditions[0], writing) if place == 0 else None
            values.append(FoundValue(part.name, text, value, exact, tuple(others), preferred, line))
        texts = {value.part: value.text for value in values}
        return Found(tuple(values), with_values(self._asked.sheet, texts), self._asked, tuple(conditions))

    def _preferred(self, number: flint.fmpq, quantity: Quantity, condition: Condition) -> tuple[Preferred, ...]:
        if quantity is Quantity.EMF or number <= 0:
            return ()
        writing = Writing(self._asked.sheet.figures)
        found = []
        for series in SERIES:
            nearest = nearest_preferred(number, series)
            reading = Reading(condition.reading_with(nearest), condition.quantity, writing)
            text = format_exact(nearest, quantity.unit)
            found.append(Preferred(series, text, Reading(nearest, quantity, writing), reading))
        return tuple(found)


def _choices(asked: Asked) -> list[list[int]]:
    """The signs that each requirement may have, those as typed first."""
    choices: list[list[int]] = [[]]
    for options in asked.signs:
        choices = [[*chosen, sign] for chosen in choices for sign in options]
    return choices


def _number(root: Any, *, exact_way: bool) -> tuple[flint.fmpq, bool]:
    """A value as a rational number, and whether it is exactly that."""
    if exact_way:
        return as_number(root)
    return as_number(flint.arb(float(root)))[0], False


def logarithm_of(condition: Condition, writing: Writing) -> Line | None:
    """τ = 10 s/ln 6 = 5.58 s, where a requirement after a time asks for a time constant; else None."""
    later = condition.later
    if later is None or later.ratio is None:
        return None
    after: Formula = Amount(Reading(later.after, Quantity.TIME, writing))
    if later.over_time is not None and later.over_time.square is not None:
        after = Product(Number(2), after)
    constant = Amount(Reading(1 / condition.wanted, Quantity.TIME, writing))
    return chain(Symbol("τ"), Fraction(after, Logarithm(pure(1 / later.ratio, writing.figures))), constant)


def _excess(condition: Condition) -> Callable[[float], float]:
    assert condition.later is not None
    return condition.later.excess
