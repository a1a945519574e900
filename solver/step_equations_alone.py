"""The steps of superposition: each battery alone, then the sums, and a word on what must not be added."""

from __future__ import annotations

import re
from collections.abc import Callable, Iterable, Iterator, Sequence
from dataclasses import dataclass, replace
from typing import Final

from solver.arithmetic import Scalar
from solver.checks import conductor_name
from solver.faults import every, listing
from solver.formula import (
    Equation,
    Formula,
    Negative,
    Sum,
    Symbol,
)
from solver.network import Battery, Capacitor, Resistor
from solver.quantities import Quantity
from solver.solution import Solution
from solver.solving import SolvedNetwork, solution_of
from solver.step_drawing import drawing_of
from solver.step_equations_carried import Carried, symbol_of
from solver.step_equations_circuit import Circuit, Conducting, Conduction
from solver.step_equations_held import Held
from solver.step_equations_marks import Marks
from solver.step_equations_plates import Plates
from solver.step_equations_words import LINES_IN_A_STEP, chunks_of, plus_first, signed, sum_lines
from solver.step_partial import Partial
from solver.step_plan import Obstacle, plan_of
from solver.step_rules import Rules
from solver.step_symbols import Symbols
from solver.step_teller import Teller, chain
from solver.superposition import Alone, Reduce, acting, alone
from solver.worked import Line, Step

Equations = Callable[[SolvedNetwork, Solution, Symbols | None], Iterable[Step]]
_NOT_ALONE: Final = frozenset("UPW")
"""Energies, powers and works do not add up, so they are not worked out for a battery alone."""
_AT_THE_END: Final = frozenset({"check", "powers", "energies"})


@dataclass(frozen=True)
class _Share:
    """What one battery alone does: the network with it, and the symbols of that."""

    one: Alone
    symbols: Symbols

    def current(self, part: Conducting) -> tuple[Formula, Scalar]:
        """The current through a resistor, or out of a battery with internal resistance, as it counts its own."""
        outcome = self.one.solved.outcome
        network = outcome.network
        name, mark = part.name, self.one.battery.name
        if name == mark:
            return Marks(mark).on(self.symbols.current(name)), outcome.steady.battery_current[0]
        stands = self.one.inside.get(name, name)
        resistor = next(own for own in network.resistors if own.name == stands)
        current = outcome.voltages([resistor])[0] / resistor.resistance
        symbol = Marks(mark).on(self.symbols.current(stands))
        # A battery counts its current out of the + terminal, its internal resistance from there inwards.
        return (Negative(symbol), -current) if isinstance(part, Battery) else (symbol, current)

    def voltage(self, part: Capacitor) -> tuple[Formula, Scalar]:
        """The voltage across a capacitor."""
        outcome = self.one.solved.outcome
        own = next(own for own in outcome.network.capacitors if own.name == part.name)
        return Marks(self.one.battery.name).on(self.symbols.voltage(part.name)), outcome.voltages([own])[0]


class OneAtATime:
    """Tells a network battery by battery; `equations` writes the equations of what the rules do not reduce."""

    def __init__(
        self,
        solved: SolvedNetwork,
        conduction: Conduction,
        plates: Plates,
        teller: Teller,
        equations: Equations,
    ) -> None:
        self._conduction: Final = conduction
        self._plates: Final = plates
        self._teller: Final = teller
        self._equations: Final = equations
        network = solved.outcome.network
        ones = [alone(solved, battery) for battery in acting(network, conduction, plates)]
        self._shares: Final = [_Share(one, Symbols.of(one.solved.outcome.network)) for one in ones]

    def steps(self) -> Iterator[Step]:
        """Battery after battery, then the sums."""
        for share in self._shares:
            yield self._intro(share.one)
            for step in self._explained(share.one):
                if step.kind not in _AT_THE_END:
                    yield self._marked(step, share.one)
        for circuit in self._conduction.circuits:
            current: dict[str, Scalar] = {}
            yield from self._currents(circuit, current)
            yield from Carried(
                self._teller, self._conduction, circuit, current, self._voltages_of(circuit, current)
            ).steps_from_currents()
        voltage: dict[str, Scalar] = {}
        if self._plates.held:
            yield from self._voltages(voltage)
            yield from Held(self._teller, self._conduction, self._plates, voltage).steps()
        yield from self._reminder()

    def _intro(self, one: Alone) -> Step:
        network, name = self._teller.network, one.battery.name
        others = [battery for battery in network.batteries if battery.name != name]
        wires = [battery.name for battery in others if battery.internal is None]
        told = []
        if wires:
            replaced = "is replaced by a wire" if len(wires) == 1 else "are replaced by wires"
            told.append(f"{every(wires)} {replaced}: that is what an ideal battery without its emf comes to.")
        for battery in others:
            if battery.internal is not None:
                value, resistor = self._teller.text(battery.internal, Quantity.RESISTANCE), one.inside[battery.name]
                told.append(
                    f"Of {battery.name} the internal resistance stays, {value}, here as the resistor {resistor}."
                )
        told.append(f"Whatever {name} causes alone has {name} in its index.")
        ends = {end for battery in network.batteries for end in (battery.a, battery.b)}
        return Step(
            kind="alone",
            title=f"{name} alone",
            parts=(name, *(battery.name for battery in others)),
            conductors=tuple(map(conductor_name, sorted(ends))),
            reason=" ".join(told),
            sketch=drawing_of(one.solved.sketch, one.solved.outcome.network.conductor_of).drawn,
        )

    def _explained(self, one: Alone) -> Iterable[Step]:
        solved = one.solved
        solution = solution_of(solved)
        plan = plan_of(solved.outcome.network, None, Reduce(solved))
        if plan.obstacle is None:
            return Rules(solved, solution, plan).steps()
        if plan.obstacle is Obstacle.NOT_SERIES_PARALLEL:
            return Partial(solved, plan, Reduce(solved)).steps(
                lambda left, told, symbols: tuple(self._equations(left, told, symbols))
            )
        return self._equations(solved, solution, None)

    def _marked(self, step: Step, one: Alone) -> Step:
        """The step with the battery's name in its symbols, on the parts and conductors of the sheet."""
        mark = one.battery.name
        marks = Marks(mark)
        lines = tuple(Line(marks.on(line.formula)) for line in step.lines if not _is_of_energy(line))
        own = {part.name for part in self._teller.network.branches}
        stands = {resistor: battery for battery, resistor in one.inside.items()}
        parts = [stands.get(name, name) for name in step.parts]
        joined = {conductor_name(number): conductor_name(first) for number, first in enumerate(one.first)}
        seen = f"{mark}.equivalent"
        return replace(
            step,
            title=f"{mark} alone: {marks.in_words(_first_lower(_LISTED.sub(_two, step.title)))}",
            parts=tuple(dict.fromkeys(name for name in parts if name in own or name not in stands)),
            conductors=tuple(name for name, first in joined.items() if first in step.conductors),
            reason=marks.in_words(step.reason),
            lines=lines,
            readings={seen: step.readings[seen]} if seen in step.readings else {},
        )

    def _currents(self, circuit: Circuit, current: dict[str, Scalar]) -> Iterator[Step]:
        """The sums of the currents, then those of ideal batteries; fills `current`."""
        told: list[tuple[str, Sequence[Line]]] = []
        for part in circuit.parts:
            if isinstance(part, Resistor) or part.internal is not None:
                shares = [share.current(part) for share in self._shares]
                current[part.name] = _total(shares)
                told.append(
                    (part.name, self._sum_lines(self._teller.symbols.current(part.name), shares, Quantity.CURRENT))
                )
        yield from self._told_sums("currents", "Currents together", told, current, Quantity.CURRENT)
        rest = list(self._batteries(circuit, current))
        for chunk in chunks_of(rest, LINES_IN_A_STEP):
            names = [name for name, _ in chunk]
            yield Step(
                kind="currents",
                title=f"The current of {listing(names)}",
                parts=tuple(names),
                conductors=(),
                reason=(
                    "The current of a battery is that of the resistor in one branch with it, or else follows from the "
                    "junction rule at one of its terminals."
                ),
                lines=tuple(line for _, line in chunk),
                readings={f"{name}.current": self._teller.reading(current[name], Quantity.CURRENT) for name in names},
            )

    def _batteries(self, circuit: Circuit, current: dict[str, Scalar]) -> Iterator[tuple[str, Line]]:
        """The currents of ideal batteries from those of all else."""
        teller = self._teller
        known: dict[int, Scalar] = {}
        for number, branch in enumerate(circuit.branches):
            source = next(
                ((part, along) for part, along in zip(branch.parts, branch.along, strict=True) if part.name in current),
                None,
            )
            if source is None:
                continue
            known[number] = current[source[0].name] if source[1] else -current[source[0].name]
            for part, along in zip(branch.parts, branch.along, strict=True):
                if part.name not in current:
                    current[part.name] = known[number] if along else -known[number]
                    symbol = signed(teller.symbols.current(source[0].name), minus=along != source[1])
                    yield (
                        part.name,
                        chain(
                            teller.symbols.current(part.name),
                            symbol,
                            teller.amount(current[part.name], Quantity.CURRENT),
                        ),
                    )
        ends: dict[int, list[tuple[int, bool]]] = {}
        for number, branch in enumerate(circuit.branches):
            ends.setdefault(branch.start, []).append((number, True))
            ends.setdefault(branch.end, []).append((number, False))
        while len(known) < len(circuit.branches):
            at = next(own for own in ends.values() if sum(number not in known for number, _ in own) == 1)
            [(found, leaves)] = [(number, start) for number, start in at if number not in known]
            # What leaves on the other branches arrives on this one.
            shares = []
            for number, start in at:
                if number != found:
                    minus = start == leaves
                    symbol = signed(symbol_of(teller, circuit.branches[number]), minus=minus)
                    shares.append((symbol, -known[number] if minus else known[number]))
            known[found] = _total(shares)
            for part, along in zip(circuit.branches[found].parts, circuit.branches[found].along, strict=True):
                current[part.name] = known[found] if along else -known[found]
                turned = [(signed(symbol, minus=not along), value if along else -value) for symbol, value in shares]
                [line, *more] = self._sum_lines(teller.symbols.current(part.name), turned, Quantity.CURRENT)
                yield part.name, line
                for own in more:
                    yield part.name, own

    def _voltages_of(self, circuit: Circuit, current: dict[str, Scalar]) -> dict[str, Scalar]:
        found = {}
        for part in circuit.parts:
            if isinstance(part, Resistor):
                found[part.name] = part.resistance * current[part.name]
            else:
                found[part.name] = part.emf if part.internal is None else part.emf - part.internal * current[part.name]
        return found

    def _voltages(self, voltage: dict[str, Scalar]) -> Iterator[Step]:
        told = []
        for part in self._plates.held:
            shares = [share.voltage(part) for share in self._shares]
            voltage[part.name] = _total(shares)
            told.append((part.name, self._sum_lines(self._teller.symbols.voltage(part.name), shares, Quantity.VOLTAGE)))
        yield from self._told_sums("voltages", "Voltages together", told, voltage, Quantity.VOLTAGE)

    def _told_sums(
        self,
        kind: str,
        title: str,
        told: Sequence[tuple[str, Sequence[Line]]],
        value: dict[str, Scalar],
        quantity: Quantity,
    ) -> Iterator[Step]:
        plural = "currents" if quantity is Quantity.CURRENT else "voltages"
        for chunk in chunks_of(told, LINES_IN_A_STEP):
            names = [name for name, _ in chunk]
            yield Step(
                kind=kind,
                title=title,
                parts=tuple(names),
                conductors=(),
                reason=(
                    f"With all batteries at work the {plural} are the sums of those that each battery causes alone, "
                    "counted with the signs that they have on the sheet."
                ),
                lines=tuple(line for _, lines in chunk for line in lines),
                readings={f"{name}.{quantity.value}": self._teller.reading(value[name], quantity) for name in names},
            )

    def _sum_lines(self, symbol: Formula, shares: Sequence[tuple[Formula, Scalar]], quantity: Quantity) -> list[Line]:
        amounts = [self._teller.amount(value, quantity) for _, value in shares]
        return sum_lines(
            symbol,
            plus_first([term for term, _ in shares]),
            amounts,
            result=self._teller.amount(_total(shares), quantity),
        )

    def _reminder(self) -> Iterator[Step]:
        """Energies and powers do not add up; with the numbers of one part."""
        symbols, teller = self._teller.symbols, self._teller
        found: list[tuple[Capacitor | Resistor, list[Scalar]]] = []
        for capacitor in self._plates.held:
            found.append((capacitor, [share.voltage(capacitor)[1] for share in self._shares]))
        for circuit in self._conduction.circuits:
            for own in circuit.parts:
                if isinstance(own, Resistor):
                    found.append((own, [share.current(own)[1] for share in self._shares]))
        for part, values in found:
            acting_here = [value for value in values if value]
            if len(acting_here) < 2:
                continue
            holds = isinstance(part, Capacitor)
            quantity = Quantity.ENERGY if holds else Quantity.POWER
            factor = part.capacitance / 2 if isinstance(part, Capacitor) else part.resistance
            squares = [factor * value * value for value in values]
            whole = sum(values[1:], values[0])
            letter = symbols.energy(part.name) if holds else symbols.power(part.name)
            terms = [Marks(share.one.battery.name).on(letter) for share in self._shares]
            together = sum(squares[1:], squares[0])
            real = factor * whole * whole
            word, verb, root = ("energy", "stores", "voltage") if holds else ("power", "takes", "current")
            told, added = teller.text(real, quantity), teller.text(together, quantity)
            yield Step(
                kind="check",
                title=f"{'Energies' if holds else 'Powers'} do not add up",
                parts=(part.name,),
                conductors=(),
                reason=(
                    f"{word.capitalize()} goes with the square of the {root}, and the square of a sum is not the sum "
                    f"of the squares. So the {word} is worked out only at the end: {part.name} {verb} {told}, not the "
                    f"{added} that the batteries alone would add up to."
                ),
                lines=(
                    *sum_lines(
                        Sum(*terms),
                        [teller.amount(square, quantity) for square in squares],
                        result=teller.amount(together, quantity),
                    ),
                    chain(letter, teller.amount(real, quantity)),
                ),
            )
            return


def _is_of_energy(line: Line) -> bool:
    """Whether the line works out an energy, a power or a work."""
    formula = line.formula
    if not isinstance(formula, Equation):
        return False
    first = formula.sides[0]
    return isinstance(first, Symbol) and first.stem in _NOT_ALONE


_LISTED: Final = re.compile(r"oltage, (charge|current) and (?:energy|power)")


def _two(words: re.Match[str]) -> str:
    """Without the energy."""
    return f"oltage and {words[1]}"


def _total(shares: Sequence[tuple[Formula, Scalar]]) -> Scalar:
    return sum((value for _, value in shares[1:]), shares[0][1])


def _first_lower(text: str) -> str:
    """The text with a small first letter, unless that belongs to a name or symbol."""
    return text[0].lower() + text[1:] if text[1:2].islower() else text
