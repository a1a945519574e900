"""The worked solution of a network with one time constant: where readings begin and end, τ, the exponential between,
and the logarithm for each question of time that is asked."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from typing import Final

from solver.answers import TAU, TIME, answer_of, exponential_lines, logarithm_line, settling
from solver.arithmetic import Scalar
from solver.course import Course, OverTime
from solver.faults import every, listing
from solver.formula import Formula, Fraction, Number, Power, Product, Sum, Symbol, difference, half
from solver.formula_functions import Exponential, pure
from solver.moments import NoAnswer, Passage, Then, When, looked_up
from solver.network import Capacitor, Resistor
from solver.outcome import Outcome
from solver.quantities import Quantity
from solver.reading_keys import words_of
from solver.readings import Reading
from solver.sketch import Question
from solver.solving import SolvedNetwork
from solver.step_constant import constant_steps
from solver.step_equations_words import LINES_IN_A_STEP, chunks_of, sum_lines
from solver.step_symbols import Symbols
from solver.step_teller import Teller, chain
from solver.transient import TooManyTimeConstants, transient
from solver.worked import Line, Offer, Step, Way

COURSE: Final = Way("course", "Over time")
_OPENING: Final = (
    "With one time constant every reading goes from where it begins to where it ends along the same curve: an "
    "exponential. So three things are to be found: where it begins, where it ends, and the time constant."
)


def course_offer(solved: SolvedNetwork, questions: Sequence[Question]) -> Offer | None:
    """The way over time; None where nothing takes time, or there is more than one time constant."""
    if not solved.outcome.network.arithmetic.exact:
        return None
    try:
        course = Course(solved.outcome, transient(solved.outcome, most=1))
    except (TooManyTimeConstants, ArithmeticError):
        return None
    if course.constant is None:
        return None
    return Offer(COURSE, lambda: _OPENING, lambda: tuple(_CourseSteps(solved, course, questions).steps()))


class _CourseSteps:
    def __init__(self, solved: SolvedNetwork, course: Course, questions: Sequence[Question]) -> None:
        self._outcome: Final[Outcome] = solved.outcome
        self._course: Final = course
        self._questions: Final = questions
        network = solved.outcome.network
        self._symbols: Final = Symbols.of(network)
        self._teller: Final = Teller(network, solved.writing, range(len(network.conductors)), self._symbols)
        self._capacitors: Final[list[tuple[Capacitor, OverTime]]] = [
            (part, reading)
            for part in network.capacitors
            if (reading := course.reading(f"{part.name}.voltage")) and reading.first != reading.final
        ]
        self._resistors: Final[list[tuple[Resistor, OverTime]]] = [
            (part, reading)
            for part in network.resistors
            if (reading := course.reading(f"{part.name}.current")) and reading.first != reading.final
        ]

    def steps(self) -> Iterator[Step]:
        """All steps, in their order."""
        yield from self._ends("start")
        yield from self._ends("end")
        assert self._course.constant is not None
        yield from constant_steps(self._teller, self._outcome, self._course.constant, self._capacitors)
        yield from self._exponentials()
        for question in self._questions:
            yield from self._asked(question)
        yield from self._heat()

    def _ends(self, which: str) -> Iterator[Step]:
        """The readings at the start or in the end."""
        lines = []
        for part, reading in self._followed:
            value = reading.first if which == "start" else reading.final
            lines.append(chain(self._letter(part, reading, which), self._amount(value, reading)))
        held = [part.name for part, _ in self._capacitors]
        if which == "start":
            title = "Just after the start"
            reason = (
                f"The charge on {listing(held)} cannot jump where a resistance is in the way, so at the start "
                f"{'its voltage is' if len(held) == 1 else 'their voltages are'} what charge from before makes of "
                f"{'it' if len(held) == 1 else 'them'}. With these voltages the currents follow."
            )
        else:
            title = "In the end"
            reason = (
                f"In the end no current flows onto {listing(held)} any more, and all is as the readings of the settled "
                "network have it."
            )
        for chunk in chunks_of(lines, LINES_IN_A_STEP):
            yield Step("given", title, self._names(), (), reason, tuple(chunk))

    @property
    def _followed(self) -> list[tuple[Capacitor | Resistor, OverTime]]:
        return [*self._capacitors, *self._resistors]

    def _names(self) -> tuple[str, ...]:
        return tuple(part.name for part, _ in self._followed)

    def _letter(self, part: Capacitor | Resistor, reading: OverTime, which: str = "") -> Symbol:
        write = self._symbols.voltage if reading.quantity is Quantity.VOLTAGE else self._symbols.current
        own = write(part.name)
        return Symbol(own.stem, f"{own.index},{which}") if which else own

    def _amount(self, scalar: Scalar | float, reading: OverTime) -> Formula:
        return self._teller.amount(scalar, reading.quantity)

    def _exponentials(self) -> Iterator[Step]:
        lines: list[Line] = []
        for part, reading in self._followed:
            lines += self._exponential(part, reading)
        names = every([part.name for part, _ in self._capacitors])
        reason = (
            f"The further {names} {'is' if len(self._capacitors) == 1 else 'are'} from the end, the larger the current "
            "that leads there: what is missing shrinks by the same share in the same time. After τ still e⁻¹ or 37 % "
            "of the way is left, after 5τ less than 1 %."
        )
        for chunk in chunks_of(lines, LINES_IN_A_STEP):
            yield Step("course", "The way between", self._names(), (), reason, tuple(chunk))

    def _exponential(self, part: Capacitor | Resistor, reading: OverTime) -> list[Line]:
        """V = V_end + (V_start − V_end)·e^(−t/τ), then with numbers."""
        letter, start, end = (self._letter(part, reading, which) for which in ("", "start", "end"))
        decaying = Exponential(Fraction(TIME, TAU))
        whole = Sum(end, Product(difference(start, end), decaying))
        return [chain(letter, whole, settling(reading, decaying, self._teller.writing))]

    def _asked(self, question: Question) -> Iterator[Step]:
        try:
            found = looked_up(self._course, question)
        except NoAnswer:
            return
        name = question.reading.partition(".")[0]
        parts = (name,) if any(part.name == name for part in self._outcome.network.branches) else ()
        if isinstance(found, Then):
            yield from self._then(question, found, parts)
        else:
            yield from self._when(question, found, parts)

    def _when(self, question: Question, found: When, parts: tuple[str, ...]) -> Iterator[Step]:
        value = self._teller.text(found.value, found.reading.quantity)
        if not found.passages:
            answer = answer_of(self._course, question, self._teller.writing)
            yield Step("question", f"When the {words_of(question.reading)} is {value}", parts, (), answer.text)
        for passage in found.passages:
            lines = [*self._share(found, passage)]
            if line := logarithm_line(self._course, passage, self._teller.writing):
                lines.append(line)
            reason = (
                f"The {words_of(question.reading)} is to be {value}. How much of the way is left then gives the power "
                "of e, and the natural logarithm turns that into the time."
            )
            yield Step("question", f"When the {words_of(question.reading)} is {value}", parts, (), reason, tuple(lines))

    def _share(self, found: When, passage: Passage) -> list[Line]:
        """e^(−t/τ) = (v − end)/(start − end) = 1/5."""
        reading = found.reading
        left = Exponential(Fraction(TIME, TAU))
        if reading.square is None:
            first, final = (self._amount(each, reading) for each in (reading.first, reading.final))
            value = self._amount(found.value, reading)
            top: Formula = difference(value, final) if reading.final else value
            bottom: Formula = difference(first, final) if reading.final else first
            sides: list[Formula] = [Fraction(top, bottom)]
        elif not reading.final:
            # The square goes with e^(−2t/τ).
            left = Exponential(Fraction(Product(Number(2), TIME), TAU))
            sides = [Fraction(self._amount(found.value, reading), self._amount(reading.first, reading))]
        else:
            sides = []
        if passage.ratio is not None and (reading.square is None or passage.halved or reading.final):
            ratio = passage.ratio
            sides.append(pure(1 / ratio, self._teller.writing.figures))
        return [chain(left, *sides)] if sides else []

    def _then(self, question: Question, found: Then, parts: tuple[str, ...]) -> Iterator[Step]:
        writing = self._teller.writing
        lines = exponential_lines(self._course, found, writing)
        if not lines:
            return
        after = Reading(found.after, Quantity.TIME, writing).text
        reason = f"The time is put into the exponential of the {words_of(question.reading)}."
        title = f"The {words_of(question.reading)} after {after}"
        yield Step("question", title, parts, (), reason, lines)

    def _heat(self) -> Iterator[Step]:
        """What each resistance takes over the whole time."""
        constant = self._course.constant
        settling = [(part, reading) for part, reading in self._resistors if not reading.final]
        if not settling or len(settling) < len(self._resistors) or self._outcome.flows:
            return
        teller = self._teller
        lines = []
        heats = []
        for part, reading in settling:
            heat = part.resistance * reading.first * reading.first * constant / 2
            heats.append(heat)
            start = self._letter(part, reading, "start")
            amount = Power(self._amount(reading.first, reading), 2)
            lines.append(
                chain(
                    Symbol("W", part.name),
                    half(self._symbols.value(part.name), Power(start, 2), TAU),
                    half(
                        teller.amount(part.resistance, Quantity.RESISTANCE),
                        amount,
                        teller.amount(constant, Quantity.TIME),
                    ),
                    teller.amount(heat, Quantity.ENERGY),
                )
            )
        if len(heats) > 1:
            lines += sum_lines(
                Symbol("W", "heat"),
                [Symbol("W", part.name) for part, _ in settling],
                [teller.amount(heat, Quantity.ENERGY) for heat in heats],
                result=teller.amount(sum(heats[1:], heats[0]), Quantity.ENERGY),
            )
        names = [part.name for part, _ in settling]
        reason = (
            f"The power in {every(names)} goes with the square of the current, so it shrinks twice as fast as the "
            "current: over the whole time it adds up to half of what the starting power would give in one time "
            "constant."
        )
        for chunk in chunks_of(lines, LINES_IN_A_STEP):
            yield Step("energies", "Heat over the whole time", tuple(names), (), reason, tuple(chunk))
