"""A sketch with its “?” as symbols, solved, and what is required of it as conditions on those symbols."""

from __future__ import annotations

from dataclasses import dataclass, replace
from functools import cached_property
from math import exp
from typing import Final

import flint

from solver.arithmetic import Scalar
from solver.course import Course, OverTime
from solver.elements import Element, ValueReader
from solver.faults import (
    SketchFault,
    SketchFaults,
    TimeNotRequired,
    UnknownReading,
    ValueNotUnderstood,
)
from solver.functions import Function, Functions
from solver.ideal import ideal_of
from solver.kinds import KINDS
from solver.moments import NoAnswer, read_share, read_time, read_wanted, then
from solver.network import build
from solver.open_build import open_build
from solver.outcome import Outcome
from solver.quantities import Quantity
from solver.reading_keys import TIME_CONSTANT, reading_at, words_of
from solver.readings import Reading, Writing
from solver.roots import as_number, evaluated
from solver.sketch import Part, Requirement, Sketch
from solver.solution import Solution
from solver.solving import SolvedNetwork, contradictions, solution_of, solve_network
from solver.stages import solve_stages
from solver.transient import TooManyTimeConstants, transient
from solver.unknown_texts import is_unknown, openings, unknown_names, with_values
from solver.unknown_time import Later, float_of, reduced
from solver.values import UNKNOWN, Value, ValueFault, read_value


@dataclass(frozen=True)
class Condition:
    """That `scalar`, a function of the unknowns, be `wanted` (SI units).

    `quantity` is that of the required reading. `later` tells of one required after a time; `scalar` is then what
    follows for the rate or the reading, or None where the unknown stands inside and outside the exponential.
    """

    requirement: Requirement
    quantity: Quantity
    scalar: Function | None
    wanted: flint.fmpq
    later: Later | None = None

    @property
    def is_approximate(self) -> bool:
        """Whether a logarithm or exponential has been rounded (to forty digits) on the way."""
        return self.later is not None

    def reading_with(self, value: flint.fmpq) -> Scalar:
        """The required reading where the single unknown has this value."""
        if self.later is not None:
            return self.later.reading(value)
        assert self.scalar is not None
        top, bottom = (evaluated(part, (value,)) for part in (self.scalar.numerator, self.scalar.denominator))
        quotient: Scalar = top / bottom
        return quotient


class Asked:
    """A sketch with unknowns as symbols, solved in the stage that it shows. Raises SketchFaults.

    `sheet` is the sketch as it came; `unknown` are the parts whose values are asked for, `openings` the builds of those
    of which a size is.
    """

    def __init__(self, sheet: Sketch) -> None:
        self.sheet: Final = sheet
        self._sketch: Final = _with_probes(sheet)
        names = unknown_names(sheet)
        self.unknown: Final = tuple(part for part in sheet.parts if part.name in names)
        self.openings: Final = openings(sheet)
        self.required: Final = sheet.required
        units = {part.name: quantity.unit for part in self.unknown if (quantity := KINDS[part.kind].quantity)}
        self.writing: Final = Writing(sheet.figures, units)
        settled, self._start = self._solved(self._sketch)
        self.network: Final = settled

    @cached_property
    def solution(self) -> Solution:
        """Every reading, as functions of the unknowns."""
        return solution_of(self.network)

    @property
    def names(self) -> tuple[str, ...]:
        """The unknowns, as the symbols of the functions are called."""
        return tuple(part.name for part in self.unknown)

    @property
    def signs(self) -> list[tuple[int, ...]]:
        """For each requirement the signs that its value may have."""
        return [
            (1, -1) if _is_signed(self.quantity(place)) and read_share(requirement.value) is None else (1,)
            for place, requirement in enumerate(self.required)
        ]

    def quantity(self, place: int) -> Quantity:
        """What the required reading measures."""
        requirement = self.required[place]
        if requirement.reading == TIME_CONSTANT:
            return Quantity.TIME
        if requirement.after is not None and (over_time := self._over_time(requirement)):
            return over_time.quantity
        return self._reading(requirement.reading).quantity

    def _reading(self, key: str) -> Reading:
        """The reading that a key names. A capacitor of which a size is asked for has its own capacitance, too."""
        owner, _, word = key.rpartition(".")
        if owner in self.openings and word == Quantity.CAPACITANCE.value:
            capacitors = self.network.outcome.network.capacitors
            scalar = next(each.capacitance for each in capacitors if each.name == owner)
            return Reading(scalar, Quantity.CAPACITANCE, self.writing)
        reading = reading_at(self.solution, key)
        if reading is None:
            raise SketchFaults([UnknownReading(reading=words_of(key))])
        return reading

    def ends(self, place: int) -> tuple[str, str]:
        """Where a reading required after a time begins and ends, as texts."""
        reading = self._over_time(self.required[place])
        assert reading is not None
        first, final = (Reading(each, reading.quantity, self.writing).text for each in (reading.first, reading.final))
        return first, final

    def condition(self, place: int, sign: int) -> Condition:
        """One requirement as a condition, its value as typed or with the other sign.

        Raises SketchFaults, and unknown_time.Impossible where no value at all can do.
        """
        requirement, quantity = self.required[place], self.quantity(place)
        if requirement.reading == TIME_CONSTANT:
            if self._course is None or self._course.constant is None:
                raise SketchFaults([self._not_of_time(requirement)])
            return Condition(requirement, quantity, self._course.constant, self._wanted(requirement, quantity))
        if requirement.after is not None:
            return self._later(requirement, quantity, sign)
        scalar = self._reading(requirement.reading).scalar
        return Condition(requirement, quantity, scalar, sign * self._wanted(requirement, quantity))

    @cached_property
    def _course(self) -> Course | None:
        """The network over time, where it has one time constant or none."""
        try:
            return Course(self._start, transient(self._start, most=1))
        except (TooManyTimeConstants, ArithmeticError):
            return None

    def _over_time(self, requirement: Requirement) -> OverTime | None:
        return None if self._course is None else self._course.reading(requirement.reading)

    def _later(self, requirement: Requirement, quantity: Quantity, sign: int) -> Condition:
        try:
            after = read_time(requirement.after or "")
        except NoAnswer as refusal:
            raise SketchFaults([TimeNotRequired(reading=_later_words(requirement), reason=_clause(refusal))]) from None
        self._require_readable(requirement, quantity)
        if self._course is None:
            return self._by_number(requirement, quantity, after, sign)
        reading = self._over_time(requirement)
        if reading is None or self._course.constant is None or after == 0:
            raise SketchFaults([self._not_of_time(requirement)])
        target: Function = read_wanted(requirement.value, reading) * sign
        found = reduced(self._course, reading, target, after)
        rate: Function = 1 / self._course.constant
        if found.scalar is None and len(self.unknown) > 1:
            reason = "with two values asked for at once no formula leads to them"
            raise SketchFaults([TimeNotRequired(reading=_later_words(requirement), reason=reason)])

        def at(value: flint.fmpq) -> float:
            return _after(reading, rate, after, float(value))

        def excess(value: float) -> float:
            return _after(reading, rate, after, value) - float_of(target, value)

        later = Later(after, at, excess, reading, rate, found.ratio)
        return Condition(requirement, quantity, found.scalar, found.wanted, later)

    def _require_readable(self, requirement: Requirement, quantity: Quantity) -> None:
        if read_share(requirement.value) is None:
            self._wanted(requirement, quantity)

    def _by_number(self, requirement: Requirement, quantity: Quantity, after: flint.fmpq, sign: int) -> Condition:
        """With several time constants: each value is tried in the network with numbers."""
        if len(self.unknown) > 1:
            raise SketchFaults([self._not_of_time(requirement)])
        [part] = self.unknown
        unit = self.writing.symbol_units[part.name]
        owner, _, _ = requirement.reading.rpartition(".")

        def course_with(value: float) -> tuple[Course, OverTime]:
            number = as_number(flint.arb(value))[0]

            def filled(_: str, text: str) -> str:
                own = number * self._ratio(part.name, text)
                return f"{own.p}/{own.q} {unit}"

            sketch = with_values(self._sketch, filled)
            start = _started(sketch)
            # What is read over time of one part: all else would be worked out as often, for nothing.
            course = Course(start.outcome, transient(start.outcome, of={owner}))
            reading = course.reading(requirement.reading)
            if reading is None:
                raise SketchFaults([self._not_of_time(requirement)])
            return course, reading

        def at(value: flint.fmpq) -> float:
            course, reading = course_with(float(value))
            found = then(course, reading, after).value
            assert found is not None
            return found

        def excess(value: float) -> float:
            course, reading = course_with(value)
            found = then(course, reading, after).value
            assert found is not None
            return found - sign * float(read_wanted(requirement.value, reading))

        course_with(1.0)
        return Condition(requirement, quantity, None, flint.fmpq(0), Later(after, at, excess))

    def _not_of_time(self, requirement: Requirement) -> SketchFault:
        if self._course is None:
            reason = "the network has several time constants"
        elif not self._course.takes_time:
            reason = "no capacitor has to take up or give away charge here"
        else:
            reason = "it has no course over time here"
        return TimeNotRequired(reading=_later_words(requirement), reason=reason)

    def _wanted(self, requirement: Requirement, quantity: Quantity) -> flint.fmpq:
        words = words_of(requirement.reading)
        try:
            value = read_value(requirement.value, quantity)
        except ValueFault as fault:
            told = ValueNotUnderstood(text=fault.text, what=words, part="the sheet", hint=fault.hint)
            raise SketchFaults([told]) from None
        if value.symbol is not None:
            raise SketchFaults([_no_symbols(None, value)])
        return value.factor

    def _solved(self, sketch: Sketch) -> tuple[SolvedNetwork, Outcome]:
        """The settled network, and that from whose beginning time counts."""
        if sketch.stages:
            solved = solve_stages(sketch, self._elements, Functions(self.names))[sketch.stage or 0]
            if solved.solved is None or solved.thrown is None:
                raise SketchFaults(solved.faults)
            return replace(
                solved.solved, sketch=replace(solved.solved.sketch, probes=sketch.probes)
            ), solved.thrown.outcome
        elements, faults = self._elements(sketch)
        if faults:
            raise SketchFaults(faults)
        network = build(sketch, elements, Functions(self.names))
        ideal = ideal_of(network)
        if faults := contradictions(sketch, network, ideal):
            raise SketchFaults(faults)
        equivalents = any(each.reading.endswith(".equivalent") for each in sketch.required)
        settled = SolvedNetwork.of(sketch, network, ideal, self.writing, equivalents=equivalents)
        return settled, settled.outcome

    def _elements(self, sketch: Sketch) -> tuple[list[Element], list[SketchFault]]:
        reader = ValueReader()
        return [self._element(reader, part) for part in sketch.parts], reader.faults

    def _element(self, reader: ValueReader, part: Part) -> Element:
        if part.value is None or not is_unknown(part.value):
            return _in_numbers(reader, part)
        known = _in_numbers(reader, part._replace(value=KINDS[part.kind].example))
        ratio = self._ratio(part.name, part.value)
        return known._replace(value=Value(UNKNOWN, KINDS[part.kind].quantity, ratio, part.name))

    def _ratio(self, name: str, text: str) -> flint.fmpq:
        """How many times the part's first unknown capacitance the build typed here has; 1 of other values."""
        first = self.openings.get(name)
        return flint.fmpq(1) if first is None else open_build(text).scale / first.scale


def _in_numbers(reader: ValueReader, part: Part) -> Element:
    """The element of a part; what is a symbol in it is a fault."""
    element = reader.element(part)
    for value in (element.value, element.initial, element.internal):
        if value is not None and value.symbol is not None:
            reader.faults.append(_no_symbols(part, value))
            return element._replace(value=None, initial=None, internal=None)
    return element


def _started(sketch: Sketch) -> SolvedNetwork:
    """The network from whose beginning time counts, with numbers for every value."""
    if not sketch.stages:
        return solve_network(sketch)
    solved = solve_stages(sketch)[sketch.stage or 0]
    if solved.thrown is None:
        raise SketchFaults(solved.faults)
    return solved.thrown


def _after(reading: OverTime, rate: Function, after: flint.fmpq, value: float) -> float:
    first, final = (float_of(each, value) for each in (reading.curve.first, reading.curve.final))
    own = final + (first - final) * exp(-float_of(rate, value) * float(after))
    return own if reading.square is None else float_of(reading.square, value) * own * own


def _later_words(requirement: Requirement) -> str:
    """ "time constant", "voltage of C1 after a time"."""
    words = words_of(requirement.reading)
    return words if requirement.after is None else f"{words} after a time"


def _clause(refusal: NoAnswer) -> str:
    return str(refusal).rstrip(".")


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


def _is_signed(quantity: Quantity) -> bool:
    return quantity in (Quantity.VOLTAGE, Quantity.CHARGE, Quantity.CURRENT)
