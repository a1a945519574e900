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
    RequirementsAlike,
    RequirementsDoNotMatch,
    SketchFault,
    SketchFaults,
    every,
    listing,
)
from solver.format import format_exact
from solver.formula import Amount, Formula, Fraction, Number, Product, Symbol
from solver.formula_functions import Logarithm, pure
from solver.geometry import Build
from solver.kinds import KINDS
from solver.open_build import NoSize, OpenBuild, open_build
from solver.preferred import nearest_preferred
from solver.quantities import Quantity
from solver.reading_keys import words_of
from solver.readings import Reading, Writing
from solver.roots import as_number, common_roots, equation, evaluated, roots_of, univariate
from solver.sketch import Part, Sketch
from solver.step_teller import chain
from solver.unknown_conditions import Asked, Condition
from solver.unknown_pairs import pairs_on
from solver.unknown_scan import scanned
from solver.unknown_texts import asked_texts, asked_words, unknown_names, with_values
from solver.unknown_time import Impossible
from solver.unknown_words import impossible_in_time, together, why_not
from solver.values import UNKNOWN
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
class FoundSize:
    """The size of a build that was asked for: what it is called, and the size as it is put in and as it is read.

    `build` is the build asked for, the first where stages make several; `size` is in metres or square metres; `others`
    are further sizes that do it as well.
    """

    build: OpenBuild
    size: flint.fmpq
    text: str
    shown: str
    others: tuple[str, ...] = ()

    @property
    def word(self) -> str:
        """What the size is called: "gap", "thickness of the mica"."""
        return self.build.word


@dataclass(frozen=True)
class Text:
    """What is typed with a “?”, what takes its place, and how the two are told together: "? = 10 µF"."""

    typed: str
    text: str
    told: str


@dataclass(frozen=True)
class FoundValue:
    """What a part's value must be: `texts` are what stands on the part in place of each “?”, `exact` says whether that
    is the exact number.

    `others` are further values that do it as well; `preferred` has the nearest preferred numbers, for a single unknown
    capacitance or resistance. `line` is the logarithm that a time constant came from, where one did. `size` is
    what was asked for of a build, None where the whole value was.
    """

    part: str
    texts: tuple[Text, ...]
    value: Reading
    exact: bool
    others: tuple[Reading, ...]
    preferred: tuple[Preferred, ...]
    line: Line | None = None
    size: FoundSize | None = None

    @property
    def text(self) -> str:
        """What stands on the part: on the sheet, or in the first stage that asks."""
        return self.texts[0].text

    def document(self) -> dict[str, Any]:
        """The value as the web interface sends it."""
        size = self.size
        others = [{"text": other} for other in size.others] if size else [other.document() for other in self.others]
        return {
            "part": self.part,
            "text": self.text,
            "texts": [{"typed": each.typed, "text": each.text, "told": each.told} for each in self.texts],
            "size": None if size is None else {"word": size.word, "text": size.text, "shown": size.shown},
            "value": self.value.document(),
            "exact": self.exact,
            "line": None if self.line is None else self.line.document(),
            "others": others,
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

    def as_read(self, text: str) -> str:
        """A value put in as it is read, a size that was found with few figures; other values as they are."""
        for each in (each for value in self.values if value.size for each in value.texts):
            text = text.replace(each.text, each.told.replace(f"{UNKNOWN} = ", ""))
        return text

    def as_asked(self, sketch: Sketch) -> Sketch:
        """A sketch of the same parts with “?” where a value was found."""
        typed = {(value.part, each.text): each.typed for value in self.values for each in value.texts}
        parts = (part._replace(value=typed.get((part.name, part.value or ""), part.value)) for part in sketch.parts)
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
        words = listing([asked_words(sketch, name) for name in names])
        follows = f"{words} {'follows from it' if asked == 1 else 'follow from the two together'}"
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


@dataclass(frozen=True)
class _One:
    """A root as a number (SI units), whether it is exactly that, and of a build the size with the build that has it."""

    number: flint.fmpq
    exact: bool
    size: FoundSize | None = None
    build: Build | None = None


class _Search:
    """Looks for values that satisfy all conditions."""

    def __init__(self, asked: Asked) -> None:
        self._asked: Final = asked
        self._unknown: Final = asked.unknown

    def found(self) -> Found:
        """The first solution with the others beside it, and the sketch it makes."""
        refused, no_size = False, None
        for signs in _choices(self._asked):
            try:
                conditions = [self._asked.condition(place, sign) for place, sign in enumerate(signs)]
            except Impossible:
                refused = refused or min(signs) > 0
                continue
            exact_way = not any(condition.is_approximate for condition in conditions)
            answers = []
            for solution in self._solutions(conditions):
                try:
                    answers.append([self._one(place, root, exact_way) for place, root in enumerate(solution)])
                except NoSize as reason:
                    no_size = no_size or reason
            if answers:
                return self._answer(answers, conditions)
        raise SketchFaults([self._refusal(no_size, refused=refused)])

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
                candidates = self._common(equations, conditions)
        return sorted(
            (values for values in candidates if self._holds(values, conditions)),
            key=lambda values: (min(values) < 0, *map(float, values)),
        )

    def _common(self, equations: Sequence[Any], conditions: Sequence[Condition]) -> list[tuple[Any, ...]]:
        """What satisfies two equations; raises SketchFaults where whole rows of pairs do."""
        first, second = equations
        shared = first.gcd(second)
        if shared.is_constant():
            return common_roots(first, second)
        if pairs := pairs_on(shared, self._unknown, lambda pair: self._holds(pair, conditions)):
            names = [part.name for part in self._unknown]
            told = [every([f"{name} = {text}" for name, text in zip(names, pair, strict=True)]) for pair in pairs]
            raise SketchFaults([RequirementsAlike(parts=names, names=every(names), pairs=", or ".join(told))])
        return common_roots(first / shared, second / shared)

    def _holds(self, values: tuple[Any, ...], conditions: Sequence[Condition]) -> bool:
        """Whether the values are such as the parts can have, and no reading is without end there."""
        for part, value in zip(self._unknown, values, strict=True):
            if part.kind != "battery" and not value > 0:
                return False
        scalars = [condition.scalar for condition in conditions if condition.scalar is not None]
        return all(evaluated(scalar.denominator, values) != 0 for scalar in scalars)

    def _refusal(self, no_size: NoSize | None, *, refused: bool) -> SketchFault:
        if no_size is not None:
            return RequirementNotMet(parts=[no_size.part], what=no_size.word, why=str(no_size))
        names = [part.name for part in self._unknown]
        what = together([KINDS[part.kind].word for part in self._unknown])
        if len(names) > 1:
            positive = "" if any(part.kind == "battery" for part in self._unknown) else "positive "
            why = f"no {positive}values of {listing(names)} make all that is required true together"
        elif refused:
            why = impossible_in_time(self._asked)
        else:
            why = why_not(self._asked, self._asked.condition(0, 1))
        return RequirementNotMet(parts=names, what=what, why=why)

    def _one(self, place: int, root: Any, exact_way: bool) -> _One:
        """A root as the value of its part, and the size that it asks for. Raises NoSize."""
        part = self._unknown[place]
        number, exact = _number(root, exact_way=exact_way)
        build = self._asked.openings.get(part.name)
        if build is None:
            return _One(number, exact)
        size = build.size_for(number, part.name)
        figures = self._asked.sheet.figures
        text = build.text(size, figures)
        found = build.as_found(text)
        return _One(number, exact, FoundSize(build, size, text, build.shown(size, figures)), found)

    def _answer(self, answers: Sequence[Sequence[_One]], conditions: Sequence[Condition]) -> Found:
        values = []
        for place, part in enumerate(self._unknown):
            first, *others = (answer[place] for answer in answers)
            line = logarithm_of(conditions[0], Writing(self._asked.sheet.figures)) if place == 0 else None
            values.append(self._found_value(part, first, others, conditions[0], line))
        texts = {(value.part, each.typed): each.text for value in values for each in value.texts}
        sketch = with_values(self._asked.sheet, lambda name, typed: texts[name, typed])
        return Found(tuple(values), sketch, self._asked, tuple(conditions))

    def _found_value(
        self, part: Part, found: _One, others: Sequence[_One], condition: Condition, line: Line | None
    ) -> FoundValue:
        quantity, writing = KINDS[part.kind].quantity, Writing(self._asked.sheet.figures)
        assert quantity is not None
        typed = asked_texts(self._asked.sheet, part)
        others_too = tuple(Reading(other.number, quantity, writing) for other in others)
        if (size := found.size) is not None:
            size = replace(size, others=tuple(other.size.shown for other in others if other.size))
            texts = (
                Text(text, build.closed(size.text), build.told(size.shown))
                for text, build in ((text, open_build(text)) for text in typed)
            )
            exact = found.exact and found.build is not None and found.build.capacitance == found.number
            value = Reading(found.number, quantity, writing)
            return FoundValue(part.name, tuple(texts), value, exact, others_too, (), line, size)
        number, exact = found.number, found.exact
        preferred = self._preferred(number, quantity, condition) if len(self._unknown) == 1 else ()
        text = format_exact(number, quantity.unit)
        if len(text) > _LONGEST_TEXT:
            number, exact = as_number(flint.arb(number))[0], False
            text = format_exact(number, quantity.unit)
        value = Reading(number, quantity, writing)
        told = f"{UNKNOWN} = {text if exact else value.text}"
        return FoundValue(
            part.name, tuple(Text(each, text, told) for each in typed), value, exact, others_too, preferred, line
        )

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
