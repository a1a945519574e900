"""Charge sums: the potentials of isolated conductors from the charges on their plates, written out and solved."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from typing import ClassVar, Final

from solver.arithmetic import Scalar
from solver.checks import conductor_name
from solver.faults import every, listing
from solver.formula import Formula, Number, Product, Sum, Symbol, difference
from solver.network import Capacitor
from solver.outcome import Outcome
from solver.quantities import Quantity
from solver.readings import Reading
from solver.step_equations_account import initial_symbol
from solver.step_equations_plates import Plates, Unknown
from solver.step_equations_potentials import Rises
from solver.step_equations_system import MOST_WRITTEN, Row, System
from solver.step_equations_words import (
    LINES_IN_A_STEP,
    chunks_of,
    count,
    distinct_lines,
    lines_in_steps,
    over_lines,
    plus_first,
    signed,
    sum_lines,
    term,
)
from solver.step_teller import Teller, chain
from solver.worked import Line, Step

_SAMPLE: Final = 3


class Potentials:
    """The potentials of conductors that hold plates: `value`, in volts above the zero of each piece.

    `voltage` is that of every capacitor that holds a charge.
    """

    when: ClassVar[str] = "Before anything was connected"
    """When capacitors have the charge that they begin with."""

    def __init__(self, teller: Teller, outcome: Outcome, plates: Plates, rises: Rises) -> None:
        self._teller: Final = teller
        self._outcome: Final = outcome
        self._plates: Final = plates
        self._rises: Final = rises
        self.value: Final[dict[int, Scalar]] = {}
        self._systems: Final[dict[int, System | None]] = {}
        self._found: Final[dict[int, list[Scalar]]] = {}
        self._root: Final[dict[int, int]] = {}
        network = outcome.network
        for piece in plates.pieces:
            unknowns = plates.unknowns.get(piece, ())
            self._root.update((unknown.body, unknown.conductor) for unknown in unknowns)
            known = network.body_of[network.zeros[piece]]
            shift = {known: network.arithmetic.zero}
            if len(unknowns) <= MOST_WRITTEN and network.arithmetic.exact:
                system = System(
                    teller,
                    [teller.symbols.potential(conductor_name(unknown.conductor)) for unknown in unknowns],
                    Quantity.CAPACITANCE,
                    Quantity.POTENTIAL,
                    Quantity.CHARGE,
                    [self._row(unknown, unknowns) for unknown in unknowns],
                )
                self._systems[piece] = system
                self._found[piece] = system.solution()
            else:
                self._systems[piece] = None
                self._found[piece] = [outcome.potential(unknown.conductor) for unknown in unknowns]
            shift |= {own.body: value for own, value in zip(unknowns, self._found[piece], strict=True)}
            for body, own in shift.items():
                for conductor in network.bodies[body]:
                    self.value[conductor] = own + rises.rise[conductor]
        self.voltage: Final = {part.name: self.value[part.a] - self.value[part.b] for part in plates.held}

    def steps(self) -> Iterator[Step]:
        """Piece after piece."""
        for piece in self._plates.pieces:
            yield from self._known(piece)
            unknowns = self._plates.unknowns.get(piece, ())
            system = self._systems[piece]
            if not unknowns:
                continue
            if system is None:
                yield self._sample(unknowns)
                yield from self._results(unknowns)
            else:
                for unknown, row in zip(unknowns, system.rows, strict=True):
                    yield self._charge_sum(unknown, system, row, again=unknown is not unknowns[0])
                parts = dict.fromkeys(part.name for unknown in unknowns for part, _ in unknown.plates)
                names = [conductor_name(unknown.conductor) for unknown in unknowns]
                solving = system.steps(self._found[piece], list(parts), names)
                last = solving.pop()
                readings = self._readings([unknown.conductor for unknown in unknowns])
                yield from solving
                yield Step(last.kind, last.title, last.parts, last.conductors, last.reason, last.lines, readings)
            yield from self._others(unknowns)
        for chunk in chunks_of(self._plates.held, LINES_IN_A_STEP):
            yield self._voltages(chunk)

    def _row(self, unknown: Unknown, unknowns: tuple[Unknown, ...]) -> Row:
        """The charge sum as factors × unknown potentials = what is left on the right."""
        network = self._outcome.network
        place = {own.body: number for number, own in enumerate(unknowns)}
        zero = network.arithmetic.zero
        factors: dict[int, Scalar] = {place[unknown.body]: zero}
        right = zero
        for part, here_is_a in unknown.plates:
            here, there = (part.a, part.b) if here_is_a else (part.b, part.a)
            factors[place[unknown.body]] = factors[place[unknown.body]] + part.capacitance
            right = right - part.capacitance * (self._rises.rise[here] - self._rises.rise[there])
            other = place.get(network.body_of[there])
            if other is not None:
                factors[other] = factors.get(other, zero) - part.capacitance
            if part.initial:
                began = part.capacitance * part.initial
                right = right + (began if here_is_a else -began)
        return Row(f"the charge sum of {conductor_name(unknown.conductor)}", dict(sorted(factors.items())), right)

    def _known(self, piece: int) -> Iterator[Step]:
        """The conductors that batteries and resistors tie to the zero."""
        network, teller = self._outcome.network, self._teller
        zero = network.zeros[piece]
        body = network.body_of[zero]
        wanted = [c for c in self._with_plates() if network.body_of[c] == body]
        way = [conductor for conductor in self._rises.on_the_way(wanted) if conductor != zero]
        lines = [chain(self._symbol(zero), teller.amount(network.arithmetic.zero, Quantity.POTENTIAL))]
        for conductor in way:
            lines += self._climb_lines(conductor)
        parts = [self._rises.climb[conductor].part.name for conductor in way]
        name = conductor_name(zero)
        reason = f"Potentials are counted from {name}, so {name} is at zero."
        if parts:
            reason += (
                f" From there the voltages across {every(parts)} lead to the {'other' if len(way) == 1 else 'others'} "
                "that conduct to it."
                if len(parts) > 1
                else f" From there the voltage across {parts[0]} leads to {conductor_name(way[0])}."
            )
        for number, chunk in enumerate(lines_in_steps(lines)):
            conductors = [zero, *way] if number == 0 else []
            yield Step(
                kind="given",
                title="Potentials that are known",
                parts=tuple(parts),
                conductors=tuple(map(conductor_name, [zero, *way])),
                reason=reason,
                lines=tuple(chunk),
                readings=self._readings(conductors),
            )

    def _climb_lines(self, conductor: int) -> list[Line]:
        before = self._rises.climb[conductor].before
        symbols, amounts = self._rises.sums(conductor, bare=not self.value[before])
        if self.value[before] and len(amounts) > 1:
            amounts = [term(self._teller, self.value[before], Quantity.POTENTIAL), amounts[1]]
        elif self.value[before]:
            amounts = []
        result = self._teller.amount(self.value[conductor], Quantity.POTENTIAL)
        sums = [plus_first(terms) for terms in (symbols, amounts) if terms]
        return sum_lines(self._symbol(conductor), *sums, result=result)

    def _charge_sum(self, unknown: Unknown, system: System, row: Row, *, again: bool) -> Step:
        teller, symbols = self._teller, self._teller.symbols
        network = self._outcome.network
        written: list[Formula] = []
        numbers: list[Formula] = []
        for part, here_is_a in unknown.plates:
            here, there = (part.a, part.b) if here_is_a else (part.b, part.a)
            across = difference(self._symbol(here), self._symbol(there))
            written.append(Product(symbols.value(part.name), across))
            numbers.append(
                Product(teller.amount(part.capacitance, Quantity.CAPACITANCE), self._across(here, there)),
            )
        started = [(part, here) for part, here in unknown.plates if part.initial]
        name = conductor_name(unknown.conductor)
        total = network.arithmetic.zero
        lines: list[Line] = []
        right: Formula = Number(0)
        amount: Formula = teller.amount(total, Quantity.CHARGE)
        if started:
            right = Symbol("Q", f"{name},0")
            total, lines = self._started(right, started)
            amount = teller.amount(total, Quantity.CHARGE)
        lines += over_lines(written, right)
        lines += over_lines(numbers, amount)
        lines += system.lines(row)
        body = self._outcome.network.bodies[unknown.body]
        return Step(
            kind="equations",
            title=f"The charge on {name}"
            if len(body) == 1
            else f"The charge on {every(self._names(unknown))} together",
            parts=tuple(dict.fromkeys(part.name for part, _ in unknown.plates)),
            conductors=tuple(self._names(unknown)),
            reason=self._charge_reason(unknown, total, again=again),
            lines=distinct_lines(lines),
        )

    def _started(self, symbol: Formula, started: list[tuple[Capacitor, bool]]) -> tuple[Scalar, list[Line]]:
        """The charge that a body started with, and how it is worked out."""
        teller = self._teller
        total = self._outcome.network.arithmetic.zero
        symbols, numbers = [], []
        for part, here in started:
            own = part.capacitance * part.initial
            total = total + (own if here else -own)
            written, number = self.began(part)
            symbols.append(signed(written, minus=not here))
            numbers.append(signed(number, minus=not here))
        result = teller.amount(total, Quantity.CHARGE)
        return total, sum_lines(symbol, plus_first(symbols), plus_first(numbers), result=result)

    def began(self, part: Capacitor) -> tuple[Formula, Formula]:
        """The charge that a capacitor began with, in symbols and in numbers."""
        teller = self._teller
        return (
            Product(teller.symbols.value(part.name), initial_symbol(teller, part)),
            Product(
                teller.amount(part.capacitance, Quantity.CAPACITANCE), teller.amount(part.initial, Quantity.VOLTAGE)
            ),
        )

    def _charge_reason(self, unknown: Unknown, total: Scalar, *, again: bool) -> str:
        names = list(dict.fromkeys(part.name for part, _ in unknown.plates))
        charged = [part.name for part, _ in unknown.plates if part.initial]
        body = self._names(unknown)
        many = len(body) > 1
        if many:
            ways = [self._rises.climb[conductor].part.name for conductor in self._on_the_way(unknown)]
            told = (
                f"Charge can move between {every(body)} through {every(ways)}, but none can get away: the other plates "
                f"of {every(names)} lie beyond the gaps. So the sum of the charges on all of them cannot change."
            )
        else:
            plates = f"{'a plate' if len(names) == 1 else 'plates'} of {every(names)}"
            told = f"Nothing but {plates} belongs to {body[0]}: it is isolated{' too' if again else ''}"
            told += "." if again else ", so its charge cannot change."
        if not charged:
            began = "They started" if many else "It started"
            return f"{told} {began} without any charge, so the charges on the plates add up to zero."
        began = "that came" if len(charged) > 1 else "this came"
        return (
            f"{told} {self.when} there was charge on the plates of {every(charged)} here: {began} to "
            f"{self._teller.text(total, Quantity.CHARGE)} in all, and so it stays."
        )

    def _across(self, here: int, there: int) -> Formula:
        """The voltage between two conductors: unknown potentials as symbols, and all that is known as one number."""
        bodies = self._outcome.network.body_of
        mine = self._root[bodies[here]]
        shift = self._rises.rise[here] - self._rises.rise[there]
        theirs = self._root.get(bodies[there])
        terms: list[Formula] = [self._symbol(mine)]
        if theirs is not None:
            terms.append(signed(self._symbol(theirs), minus=True))
        if shift:
            terms.append(term(self._teller, shift, Quantity.VOLTAGE))
        return Sum(*terms)

    def _sample(self, unknowns: tuple[Unknown, ...]) -> Step:
        lines: list[Line] = []
        for unknown in unknowns[:_SAMPLE]:
            terms: list[Formula] = []
            for part, here_is_a in unknown.plates:
                here, there = (part.a, part.b) if here_is_a else (part.b, part.a)
                across = difference(self._symbol(here), self._symbol(there))
                terms.append(Product(self._teller.symbols.value(part.name), across))
            name = conductor_name(unknown.conductor)
            started = any(part.initial for part, _ in unknown.plates)
            lines += over_lines(terms, Symbol("Q", f"{name},0") if started else Number(0))
        many = count(len(unknowns), "unknown potential")
        return Step(
            kind="equations",
            title=many[0].upper() + many[1:],
            parts=tuple(dict.fromkeys(part.name for unknown in unknowns for part, _ in unknown.plates)),
            conductors=tuple(conductor_name(unknown.conductor) for unknown in unknowns),
            reason=(
                "Each isolated conductor keeps the charge that it started with, which gives one equation for each: "
                f"{len(unknowns)} of them are too many to be worked out on paper (up to {MOST_WRITTEN} are written). "
                "The first of them stand here; the potentials that follow solve them all."
            ),
            lines=tuple(lines),
        )

    def _results(self, unknowns: tuple[Unknown, ...]) -> Iterator[Step]:
        for chunk in chunks_of([unknown.conductor for unknown in unknowns], LINES_IN_A_STEP):
            yield Step(
                kind="solve",
                title="Their solution",
                parts=(),
                conductors=tuple(map(conductor_name, chunk)),
                reason="With these potentials the charges on every isolated conductor add up to what it started with.",
                lines=tuple(
                    chain(self._symbol(c), self._teller.amount(self.value[c], Quantity.POTENTIAL)) for c in chunk
                ),
                readings=self._readings(chunk),
            )

    def _others(self, unknowns: tuple[Unknown, ...]) -> Iterator[Step]:
        """The other conductors of bodies whose potentials have been found."""
        lines: list[Line] = []
        conductors: list[int] = []
        for unknown in unknowns:
            for conductor in self._on_the_way(unknown):
                lines += self._climb_lines(conductor)
                conductors.append(conductor)
        parts = [self._rises.climb[conductor].part.name for conductor in conductors]
        for number, chunk in enumerate(lines_in_steps(lines)):
            yield Step(
                kind="solve",
                title=f"From there to {every([conductor_name(conductor) for conductor in conductors])}",
                parts=tuple(parts),
                conductors=tuple(map(conductor_name, conductors)),
                reason=f"The {'voltage' if len(parts) == 1 else 'voltages'} across {every(parts)} give what is left.",
                lines=tuple(chunk),
                readings=self._readings(conductors) if number == 0 else {},
            )

    def _voltages(self, parts: Sequence[Capacitor]) -> Step:
        teller, symbols = self._teller, self._teller.symbols
        lines = [
            chain(
                symbols.voltage(part.name),
                difference(*(symbols.potential(conductor_name(end)) for end in (part.a, part.b))),
                difference(
                    *(teller.amount(self.value[end], Quantity.POTENTIAL) for end in (part.a, part.b)),
                ),
                teller.amount(self.voltage[part.name], Quantity.VOLTAGE),
            )
            for part in parts
        ]
        return Step(
            kind="voltages",
            title=f"Voltage across {listing([part.name for part in parts])}",
            parts=tuple(part.name for part in parts),
            conductors=(),
            reason="The voltage across a capacitor is the difference between the potentials of its two conductors, "
            "counted from the end that it was drawn from.",
            lines=tuple(lines),
            readings={
                f"{part.name}.voltage": teller.reading(self.voltage[part.name], Quantity.VOLTAGE) for part in parts
            },
        )

    def _on_the_way(self, unknown: Unknown) -> list[int]:
        """The conductors of an unknown body that matter, but for the one whose potential is the unknown."""
        bodies = self._outcome.network.body_of
        wanted = [conductor for conductor in self._with_plates() if bodies[conductor] == unknown.body]
        return [conductor for conductor in self._rises.on_the_way(wanted) if conductor != unknown.conductor]

    def _names(self, unknown: Unknown) -> list[str]:
        return [conductor_name(conductor) for conductor in sorted([unknown.conductor, *self._on_the_way(unknown)])]

    def _with_plates(self) -> list[int]:
        return sorted({end for part in self._plates.held for end in (part.a, part.b)})

    def _symbol(self, conductor: int) -> Formula:
        return self._teller.symbols.potential(conductor_name(conductor))

    def _readings(self, conductors: Sequence[int]) -> dict[str, Reading]:
        return {
            f"joint {joint}.potential": self._teller.reading(self.value[conductor], Quantity.POTENTIAL)
            for conductor in conductors
            for joint in self._outcome.network.conductors[conductor]
        }
