"""Steady currents by the rules of junctions and loops, written out, solved, and checked by the balance of power.

The rules are G. Kirchhoff's (Annalen der Physik und Chemie 64 (1845) 497–514).
"""

from __future__ import annotations

from collections.abc import Iterator
from typing import Final

from solver.arithmetic import Scalar
from solver.checks import conductor_name
from solver.faults import every, listing
from solver.formula import Formula, Number, Product, Sum, Words
from solver.loops import Loop
from solver.network import Battery, Resistor
from solver.outcome import Outcome
from solver.quantities import Quantity
from solver.step_equations_carried import Carried, in_free, symbol_of
from solver.step_equations_circuit import Branch, Circuit, Conducting, Conduction, Meeting
from solver.step_equations_system import MOST_WRITTEN, Row, System
from solver.step_equations_words import (
    Phrase,
    count,
    distinct_lines,
    lines_in_steps,
    over_lines,
    plus_first,
    signed,
    sum_lines,
)
from solver.step_teller import Teller
from solver.worked import Line, Step

_SAMPLE: Final = 3


class Currents:
    """The currents of all circuits.

    `current` is by part, counted as the part counts its own, out of the + terminal of a battery; `voltage` has that of
    every resistor and battery, in the end.
    """

    def __init__(self, teller: Teller, outcome: Outcome, conduction: Conduction) -> None:
        self._teller: Final = teller
        self._outcome: Final = outcome
        self._conduction: Final = conduction
        network = outcome.network
        zero = network.arithmetic.zero
        self.current: Final[dict[str, Scalar]] = {}
        self._systems: Final[list[System | None]] = []
        self._free: Final[list[list[Scalar]]] = []
        for circuit in conduction.circuits:
            self._solve(circuit)
        self.voltage: Final[dict[str, Scalar]] = {}
        for resistor in network.resistors:
            self.voltage[resistor.name] = resistor.resistance * self.current.get(resistor.name, zero)
        for battery in network.batteries:
            current = self.current.get(battery.name, zero)
            lost = zero if battery.internal is None else battery.internal * current
            self.voltage[battery.name] = zero if battery.a == battery.b else battery.emf - lost

    def flows(self, part: Conducting) -> bool:
        """Whether the part lies in a circuit."""
        return part.name in self._conduction.circuit_of

    def steps(self) -> Iterator[Step]:
        """Circuit after circuit."""
        circuits = self._conduction.circuits
        for number, (circuit, system, free) in enumerate(zip(circuits, self._systems, self._free, strict=True)):
            own = "" if len(circuits) == 1 else f", circuit {number + 1}"
            yield from self._directions(circuit, own)
            if system is None:
                yield self._sample(circuit)
            else:
                yield from self._meetings(circuit)
                yield from self._loop_steps(circuit, system)
                parts = [part.name for part in circuit.parts]
                junctions = [conductor_name(meeting.conductor) for meeting in circuit.meetings]
                yield from system.steps(free, parts, junctions)
            yield from Carried(self._teller, self._conduction, circuit, self.current, self.voltage).steps(
                written=system is not None
            )

    def _solve(self, circuit: Circuit) -> None:
        network, outcome = self._outcome.network, self._outcome
        if len(circuit.free) <= MOST_WRITTEN and network.arithmetic.exact:
            system = System(
                self._teller,
                [self._symbol(circuit.branches[number]) for number in circuit.free],
                Quantity.RESISTANCE,
                Quantity.CURRENT,
                Quantity.VOLTAGE,
                [self._row(circuit, loop, name) for loop, name in zip(circuit.loops, _names(circuit), strict=True)],
            )
            free = system.solution()
            value = dict(zip(circuit.free, free, strict=True))
            self._systems.append(system)
            self._free.append(free)
            for part in circuit.parts:
                number, along = circuit.of_part[part.name]
                total = network.arithmetic.zero
                for unknown, factor in circuit.sums[number].items():
                    total = total + factor * value[unknown]
                self.current[part.name] = total if along else -total
            return
        self._systems.append(None)
        self._free.append([])
        batteries = {battery.name: place for place, battery in enumerate(network.batteries)}
        resistors = [part for part in circuit.parts if isinstance(part, Resistor)]
        for part, voltage in zip(resistors, outcome.voltages(resistors), strict=True):
            self.current[part.name] = voltage / part.resistance
        for part in circuit.parts:
            if isinstance(part, Battery):
                self.current[part.name] = outcome.steady.battery_current[batteries[part.name]]

    def _row(self, circuit: Circuit, loop: Loop, name: str) -> Row:
        """The loop rule in terms of the free currents."""
        zero = self._outcome.network.arithmetic.zero
        place = {number: unknown for unknown, number in enumerate(circuit.free)}
        factors: dict[int, Scalar] = {}
        right = zero
        for part, backwards in loop:
            assert isinstance(part, Battery | Resistor)
            if isinstance(part, Battery):
                right = right + (part.emf if backwards else -part.emf)
            resistance = _resistance(part)
            if resistance is None:
                continue
            number, along = circuit.of_part[part.name]
            plus = _with_current(part, backwards=backwards) == along
            for free, factor in circuit.sums[number].items():
                share = resistance * (factor if plus else -factor)
                factors[place[free]] = factors[place[free]] + share if place[free] in factors else share
        return Row(name, dict(sorted((unknown, own) for unknown, own in factors.items() if own)), right)

    def _directions(self, circuit: Circuit, own: str) -> Iterator[Step]:
        lines = []
        for branch in circuit.branches:
            through = f"through {every(branch.names)}"
            way = f"from {conductor_name(branch.start)} to {conductor_name(branch.end)}, {through}"
            lines.append(Line(Phrase(self._symbol(branch), Words(way if circuit.meetings else f"round {through}"))))
        negative = "A current that comes out negative flows against it."
        junctions = sorted({end for branch in circuit.branches for end in (branch.start, branch.end)})
        places = [conductor_name(junction) for junction in junctions]
        if circuit.meetings:
            reason = (
                f"Where three or more ways meet there is a junction, here at {listing(places)}. Between two junctions "
                "one current flows through everything in its way, since no charge piles up there. The direction in "
                "which each is counted is free to choose: here as its first resistor was drawn, or out of the + "
                f"terminal where there is only a battery. {negative}"
            )
        else:
            lead = circuit.branches[0].lead
            drawn = (
                f"as {lead.name} was drawn" if isinstance(lead, Resistor) else f"out of the + terminal of {lead.name}"
            )
            reason = (
                "The way round has no junction, so one current flows through all of it: no charge piles up anywhere. "
                f"The direction in which it is counted is free to choose: here {drawn}. {negative}"
            )
            places = []
        for chunk in lines_in_steps(lines):
            yield Step(
                kind="given",
                title=f"{'The currents' if circuit.meetings else 'The current'}{own}",
                parts=tuple(part.name for part in circuit.parts),
                conductors=tuple(places),
                reason=reason,
                lines=tuple(chunk),
            )

    def _meetings(self, circuit: Circuit) -> Iterator[Step]:
        for meeting in circuit.meetings:
            name = conductor_name(meeting.conductor)
            arriving, leaving = (
                [self._symbol(circuit.branches[number]).text() for number in numbers]
                for numbers in (meeting.arriving, meeting.leaving)
            )
            if arriving and leaving:
                arrive = "arrives" if len(arriving) == 1 else "arrive"
                leave = "leaves" if len(leaving) == 1 else "leave"
                reason = f"What arrives at {name} flows on: {every(arriving)} {arrive}, {every(leaving)} {leave}."
            else:
                reason = (
                    f"All currents at {name} are counted {'towards' if arriving else 'away from'} it. As much has to "
                    "arrive as leaves, so they add up to zero."
                )
            if meeting is circuit.meetings[-1] and circuit.left_out is not None:
                reason += (
                    f" At the last junction, {conductor_name(circuit.left_out)}, the rule says nothing new: it follows "
                    "from those at the others."
                )
            branches = [circuit.branches[number] for number in (*meeting.arriving, *meeting.leaving)]
            yield Step(
                kind="equations",
                title=f"Junction {name}",
                parts=tuple(part for branch in branches for part in branch.names),
                conductors=(name,),
                reason=reason,
                lines=tuple(self._meeting_lines(circuit, meeting, found=True)),
            )

    def _meeting_lines(self, circuit: Circuit, meeting: Meeting, *, found: bool) -> list[Line]:
        symbol = {number: self._symbol(branch) for number, branch in enumerate(circuit.branches)}
        arriving = [symbol[number] for number in meeting.arriving]
        leaving = [symbol[number] for number in meeting.leaving]
        lines = (
            over_lines(arriving, Sum(*leaving)) if arriving and leaving else over_lines(arriving or leaving, Number(0))
        )
        if found:
            plus = meeting.found in meeting.leaving
            terms = [signed(symbol[number], minus=not plus) for number in meeting.arriving if number != meeting.found]
            terms += [signed(symbol[number], minus=plus) for number in meeting.leaving if number != meeting.found]
            sums = [plus_first(terms), in_free(self._teller, circuit, meeting.found)]
            told = sum_lines(symbol[meeting.found], *sums)
            if [line.formula.text() for line in told] != [line.formula.text() for line in lines]:
                lines += told
        return lines

    def _loop_steps(self, circuit: Circuit, system: System) -> Iterator[Step]:
        for number, (loop, row) in enumerate(zip(circuit.loops, system.rows, strict=True)):
            names = [step.part.name for step in loop]
            batteries = [step.part.name for step in loop if isinstance(step.part, Battery)]
            symbols, numbers, emfs, amounts = self._loop_terms(circuit, loop)
            emf = "the emf" if len(batteries) == 1 else "the emfs"
            if not batteries:
                reason = (
                    f"Once round through {every(names)}: no battery lies on the way, so the voltages across the "
                    "resistances add up to zero."
                )
            elif number == 0:
                gave = "the battery gave it" if len(batteries) == 1 else "the batteries gave it"
                reason = (
                    f"Once round through {every(names)}, in {batteries[0]} from − to +: the voltages across the "
                    f"resistances add up to {emf}, since a charge that is back where it began has given up on the way "
                    f"what {gave}."
                )
            else:
                reason = (
                    f"Once round through {every(names)}, in {batteries[0]} from − to +: again the voltages across the "
                    f"resistances add up to {emf}."
                )
            if any(term.latex().startswith("-") for term in (*symbols, *emfs)):
                reason += " What is passed against its own direction counts with a minus."
            yield Step(
                kind="equations",
                title=f"Loop {number + 1}: {listing(names)}"
                if len(circuit.loops) > 1
                else f"The loop of {listing(names)}",
                parts=tuple(names),
                conductors=(),
                reason=reason,
                lines=distinct_lines(
                    [
                        *over_lines(symbols or [Number(0)], Sum(*emfs)),
                        *over_lines(numbers or [Number(0)], Sum(*amounts)),
                        *system.lines(row),
                    ]
                ),
            )

    def _loop_terms(
        self, circuit: Circuit, loop: Loop
    ) -> tuple[list[Formula], list[Formula], list[Formula], list[Formula]]:
        """Voltages round a loop in symbols and in numbers, and emfs in both."""
        symbols: list[Formula] = []
        numbers: list[Formula] = []
        emfs: list[Formula] = []
        amounts: list[Formula] = []
        teller = self._teller
        for part, backwards in loop:
            assert isinstance(part, Battery | Resistor)
            if isinstance(part, Battery):
                emfs.append(signed(teller.symbols.value(part.name), minus=not backwards))
                amounts.append(signed(teller.amount(part.emf, Quantity.VOLTAGE), minus=not backwards))
            resistance = _resistance(part)
            if resistance is not None:
                number, along = circuit.of_part[part.name]
                minus = _with_current(part, backwards=backwards) != along
                own = teller.symbols.value if isinstance(part, Resistor) else teller.symbols.internal
                value, amount = own(part.name), teller.amount(resistance, Quantity.RESISTANCE)
                current = self._symbol(circuit.branches[number])
                symbols.append(signed(Product(value, current), minus=minus))
                known = Sum(*in_free(self._teller, circuit, number))
                numbers.append(signed(Product(amount, known), minus=minus))
        return plus_first(symbols), plus_first(numbers), plus_first(emfs), plus_first(amounts)

    def _sample(self, circuit: Circuit) -> Step:
        unknowns = len(circuit.branches)
        lines = [
            line
            for meeting in circuit.meetings[:_SAMPLE]
            for line in self._meeting_lines(circuit, meeting, found=False)
        ]
        for loop in circuit.loops[:_SAMPLE]:
            symbols, _, emfs, _ = self._loop_terms(circuit, loop)
            lines += over_lines(symbols or [Number(0)], Sum(*emfs))
        return Step(
            kind="equations",
            title=f"{_first_upper(count(unknowns, 'unknown current'))}",
            parts=tuple(part.name for part in circuit.parts),
            conductors=tuple(conductor_name(meeting.conductor) for meeting in circuit.meetings),
            reason=(
                f"There are {count(len(circuit.meetings), 'junction equation')} and "
                f"{count(len(circuit.loops), 'loop equation')} here, too many to be worked out on paper (up to "
                f"{MOST_WRITTEN} loops are written out). The first of them stand here; the values that follow solve "
                "them all."
            ),
            lines=tuple(lines),
        )

    def _symbol(self, branch: Branch) -> Formula:
        return symbol_of(self._teller, branch)


def _names(circuit: Circuit) -> list[str]:
    """What sentences call the loops."""
    if len(circuit.loops) == 1:
        return ["the loop"]
    return [f"loop {number + 1}" for number in range(len(circuit.loops))]


def _resistance(part: Conducting) -> Scalar | None:
    return part.resistance if isinstance(part, Resistor) else part.internal


def _with_current(part: Conducting, *, backwards: bool) -> bool:
    """Whether a part is passed the way in which it counts its current; a battery counts from − to + inside."""
    return backwards if isinstance(part, Battery) else not backwards


def _first_upper(text: str) -> str:
    return text[0].upper() + text[1:]
