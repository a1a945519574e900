"""What must it be: finds the values marked “?” that make readings what they have to be.

An unknown value goes through the solver as a symbol, so a reading is a quotient P/Q of polynomials in it (for a voltage
or a charge and one capacitance, resistance or emf both are linear), and that it be v means P − v·Q = 0. The roots are
found exactly where they are rational, else enclosed. Two unknowns with two requirements: one is eliminated by the
resultant (J. J. Sylvester, Phil. Mag. 16 (1840) 132–135).
"""

from __future__ import annotations

from dataclasses import dataclass, replace
from typing import Any, Final

import flint

from solver.elements import Element, ValueReader
from solver.faults import (
    RequirementIdle,
    RequirementNotMet,
    RequirementsDoNotMatch,
    SketchFault,
    SketchFaults,
    UnknownReading,
    ValueMissing,
    ValueNotUnderstood,
    listing,
)
from solver.format import format_exact
from solver.functions import Functions
from solver.ideal import ideal_of
from solver.kinds import KINDS
from solver.network import build
from solver.preferred import nearest_preferred
from solver.quantities import Quantity
from solver.reach import Reach, reach
from solver.reading_keys import reading_at, words_of
from solver.readings import Reading, Writing
from solver.roots import as_number, common_roots, equation, evaluated, roots_of, univariate
from solver.sketch import Part, Requirement, Sketch
from solver.solution import Solution
from solver.solving import SolvedNetwork, contradictions, solution_of
from solver.values import Value, ValueFault, read_value

UNKNOWN: Final = "?"
SERIES: Final = ("E6", "E12", "E24")


@dataclass(frozen=True)
class Preferred:
    """The preferred number of a series nearest to a value, and what the required reading is with it."""

    series: str
    value: Reading
    reading: Reading


@dataclass(frozen=True)
class FoundValue:
    """What a part's value must be: `text` is what stands on the part, `exact` says whether that is the exact number.

    `others` are further values that do it as well; `preferred` has the nearest preferred numbers, for a single unknown
    capacitance or resistance.
    """

    part: str
    text: str
    value: Reading
    exact: bool
    others: tuple[Reading, ...]
    preferred: tuple[Preferred, ...]

    def document(self) -> dict[str, Any]:
        """The value as the web interface sends it."""
        return {
            "part": self.part,
            "text": self.text,
            "value": self.value.document(),
            "exact": self.exact,
            "others": [other.document() for other in self.others],
            "preferred": [
                {"series": each.series, "value": each.value.document(), "reading": each.reading.document()}
                for each in self.preferred
            ],
        }


@dataclass(frozen=True)
class Found:
    """The values found, and the sketch with them in place of each “?”."""

    values: tuple[FoundValue, ...]
    sketch: Sketch


def has_unknowns(sketch: Sketch) -> bool:
    """Whether a part's value is to be found."""
    return any(_is_unknown(part) for part in sketch.parts)


def find(sketch: Sketch) -> Found:
    """The values that a sketch asks for.

    A voltage, charge or current may be required without regard to its sign: where the value as typed cannot be
    reached, its opposite is tried. Raises SketchFaults.
    """
    question = _Question(sketch)
    roots = question.roots()
    return question.found(roots)


def _is_unknown(part: Part) -> bool:
    return part.value is not None and part.value.strip() == UNKNOWN


class _Question:
    """A sketch with its unknowns as symbols, solved, and what is required of it."""

    def __init__(self, sketch: Sketch) -> None:
        self.sketch: Final = _with_probes(sketch)
        self.unknown: Final = [part for part in sketch.parts if _is_unknown(part)]
        self._require_as_many()
        self.symbols: Final = tuple(part.name for part in self.unknown)
        self.functions: Final = Functions(self.symbols)
        self.solution: Final = self._solved()
        self.readings: Final = [self._reading(requirement) for requirement in self.sketch.required]
        self.wanted: Final = [self._wanted(*pair) for pair in zip(self.sketch.required, self.readings, strict=True)]

    def _require_as_many(self) -> None:
        asked, required = len(self.unknown), len(self.sketch.required)
        if asked != required or not 1 <= asked <= 2:
            values = "One value is asked for with “?”" if asked == 1 else f"{asked} values are asked for with “?”"
            readings = "one reading is required" if required == 1 else f"{required} readings are required"
            names = [part.name for part in self.unknown]
            raise SketchFaults([RequirementsDoNotMatch(parts=names, asked=values, required=readings)])

    def _solved(self) -> Solution:
        reader = ValueReader()
        elements = [self._element(reader, part) for part in self.sketch.parts]
        if reader.faults:
            raise SketchFaults(reader.faults)
        network = build(self.sketch, elements, self.functions)
        ideal = ideal_of(network)
        if faults := contradictions(self.sketch, network, ideal):
            raise SketchFaults(faults)
        writing = Writing(self.sketch.figures)
        return solution_of(SolvedNetwork.of(self.sketch, network, ideal, writing, equivalents=True))

    def _element(self, reader: ValueReader, part: Part) -> Element:
        if not _is_unknown(part):
            element = reader.element(part)
            for value in (element.value, element.initial, element.internal):
                if value is not None and value.symbol is not None:
                    reader.faults.append(_no_symbols(part, value))
                    return replace(element, value=None, initial=None, internal=None)
            return element
        known = reader.element(replace(part, value=KINDS[part.kind].example))
        return replace(known, value=Value(UNKNOWN, KINDS[part.kind].quantity, flint.fmpq(1), part.name))

    def _reading(self, requirement: Requirement) -> Reading:
        reading = reading_at(self.solution, requirement.reading)
        if reading is None:
            raise SketchFaults([UnknownReading(reading=requirement.reading)])
        return reading

    def _wanted(self, requirement: Requirement, reading: Reading) -> flint.fmpq:
        if not requirement.value.strip():
            words = words_of(requirement.reading)
            raise SketchFaults([ValueMissing(part="The requirement", what=words, example=f"6 {reading.quantity.unit}")])
        try:
            value = read_value(requirement.value, reading.quantity)
        except ValueFault as fault:
            what = words_of(requirement.reading)
            fault_of_sketch = ValueNotUnderstood(text=fault.text, what=what, part="the sheet", hint=fault.hint)
            raise SketchFaults([fault_of_sketch]) from None
        if value.symbol is not None:
            raise SketchFaults([_no_symbols(None, value)])
        return value.factor

    def roots(self) -> list[tuple[Any, ...]]:
        """All solutions, each with a value (flint.fmpq or flint.arb) for every unknown: those without a negative value
        first, then the smallest."""
        signs = [(1, -1) if _signed(reading.quantity) else (1,) for reading in self.readings]
        choices = [[]]  # type: list[list[int]]
        for options in signs:
            choices = [[*chosen, sign] for chosen in choices for sign in options]
        for chosen in choices:
            equations = [
                equation(reading.scalar, sign * wanted)
                for reading, sign, wanted in zip(self.readings, chosen, self.wanted, strict=True)
            ]
            solutions = self._solutions(equations)
            if solutions:
                return solutions
        raise SketchFaults([self._refusal()])

    def _solutions(self, equations: list[Any]) -> list[tuple[Any, ...]]:
        for each, requirement in zip(equations, self.sketch.required, strict=True):
            if each.is_constant():
                if each.is_zero():
                    part = self.unknown[0].name
                    raise SketchFaults([RequirementIdle(parts=[part], reading=words_of(requirement.reading))])
                return []
        if len(equations) == 1:
            candidates = [(root,) for root in roots_of(univariate(equations[0], 0))]
        else:
            candidates = common_roots(*equations)
        return sorted(filter(self._holds, candidates), key=lambda values: (min(values) < 0, *map(float, values)))

    def _holds(self, values: tuple[Any, ...]) -> bool:
        """Whether the values are such as the parts can have, and no reading is without end there."""
        for part, value in zip(self.unknown, values, strict=True):
            if part.kind != "battery" and not value > 0:
                return False
        return all(evaluated(reading.scalar.denominator, values) != 0 for reading in self.readings)

    def _refusal(self) -> SketchFault:
        names = [part.name for part in self.unknown]
        what = listing([KINDS[part.kind].word for part in self.unknown])
        if len(names) > 1:
            why = f"no positive values of {listing(names)} make all that is required true together"
        else:
            words = words_of(self.sketch.required[0].reading)
            why = _range_in_words(words, names[0], self.readings[0], self._reach())
        return RequirementNotMet(parts=names, what=what, why=why)

    def _reach(self) -> Reach:
        scalar = self.readings[0].scalar
        return reach(univariate(scalar.numerator, 0), univariate(scalar.denominator, 0))

    def found(self, roots: list[tuple[Any, ...]]) -> Found:
        """The first solution with the others beside it, and the sketch it makes."""
        values = []
        for place, part in enumerate(self.unknown):
            quantity = KINDS[part.kind].quantity
            assert quantity is not None
            unit = quantity.unit
            number, exact = as_number(roots[0][place])
            writing = Writing(self.sketch.figures)
            others = [Reading(as_number(root[place])[0], quantity, writing) for root in roots[1:]]
            preferred = self._preferred(number, quantity) if len(self.unknown) == 1 else ()
            text = format_exact(number, unit)
            values.append(
                FoundValue(part.name, text, Reading(number, quantity, writing), exact, tuple(others), preferred)
            )
        texts = {value.part: value.text for value in values}
        parts = tuple(replace(part, value=texts.get(part.name, part.value)) for part in self.sketch.parts)
        return Found(tuple(values), replace(self.sketch, parts=parts, required=()))

    def _preferred(self, number: flint.fmpq, quantity: Quantity) -> tuple[Preferred, ...]:
        if quantity is Quantity.EMF or number <= 0:
            return ()
        reading, writing = self.readings[0], Writing(self.sketch.figures)
        found = []
        for series in SERIES:
            nearest = nearest_preferred(number, series)
            top, bottom = (
                evaluated(part, (nearest,)) for part in (reading.scalar.numerator, reading.scalar.denominator)
            )
            value = Reading(nearest, quantity, writing)
            found.append(Preferred(series, value, Reading(top / bottom, reading.quantity, writing)))
        return tuple(found)


def _with_probes(sketch: Sketch) -> Sketch:
    probes = list(sketch.probes)
    for requirement in sketch.required:
        match requirement.reading.rpartition(".")[0].split():
            case ["probe", a, b] if (a, b) not in probes and a in sketch.joints and b in sketch.joints:
                probes.append((a, b))
    return replace(sketch, probes=tuple(probes))


def _no_symbols(part: Part | None, value: Value) -> SketchFault:
    return ValueNotUnderstood(
        parts=[part.name] if part else [],
        text=value.text,
        what="value",
        **({} if part else {"part": "the sheet"}),
        hint="with a “?” on the sheet all other values have to be numbers",
    )


def _range_in_words(words: str, part: str, reading: Reading, range_: Reach) -> str:
    def told(bound: flint.fmpq | None) -> str:
        return "" if bound is None else Reading(bound, reading.quantity, reading.writing).text

    low, high = told(range_.low), told(range_.high)
    if low == high and low:
        return f"the {words} is {low} whatever {part} is"
    if not low:
        return f"the {words} is always below {high}, whatever {part} is"
    if not high:
        return f"the {words} is always above {low}, whatever {part} is"
    return f"the {words} stays between {low} and {high}, whatever {part} is"


def _signed(quantity: Quantity) -> bool:
    return quantity in (Quantity.VOLTAGE, Quantity.CHARGE, Quantity.CURRENT)
