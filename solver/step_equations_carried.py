"""What follows once the currents of a circuit are found: those of its parts, voltages, powers and their balance."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from typing import Final

from solver.arithmetic import Scalar
from solver.checks import conductor_name
from solver.faults import every, listing
from solver.formula import Formula, Fraction, Power, Product, Sum, Symbol, difference
from solver.network import Battery, Resistor
from solver.quantities import Quantity
from solver.readings import Reading
from solver.step_equations_circuit import Branch, Circuit, Conduction
from solver.step_equations_words import (
    LINES_IN_A_STEP,
    chunks_of,
    lines_in_steps,
    over_lines,
    plus_first,
    signed,
    sum_lines,
)
from solver.step_teller import Teller, chain
from solver.worked import Line, Step

_ON_ONE_LINE: Final = 3
_LONGEST: Final = 160


def symbol_of(teller: Teller, branch: Branch) -> Formula:
    """The symbol of the current of a branch."""
    return teller.symbols.current(branch.lead.name)


def in_free(teller: Teller, circuit: Circuit, number: int) -> list[Formula]:
    """The current of a branch in terms of the unknown ones."""
    return plus_first(
        [
            signed(symbol_of(teller, circuit.branches[free]), minus=factor < 0)
            for free, factor in circuit.sums[number].items()
        ]
    )


def equivalent_index(teller: Teller, battery: str) -> str:
    """The index of what a battery sees; with its name where there are several."""
    return "eq" if len(teller.network.batteries) == 1 else f"eq,{battery}"


class Carried:
    """One circuit; `current` and `voltage` are by part, each counted as the part counts it."""

    def __init__(
        self,
        teller: Teller,
        conduction: Conduction,
        circuit: Circuit,
        current: Mapping[str, Scalar],
        voltage: Mapping[str, Scalar],
    ) -> None:
        self._teller: Final = teller
        self._conduction: Final = conduction
        self._circuit: Final = circuit
        self._current: Final = current
        self._voltage: Final = voltage

    def steps(self, *, written: bool) -> Iterator[Step]:
        """All of it; `written` says whether the equations stood there before."""
        yield from self._other_currents(written=written)
        yield from self.steps_from_currents()
        yield from self._equivalent()

    def steps_from_currents(self) -> Iterator[Step]:
        """Voltages, powers and their balance."""
        yield from self._voltages()
        yield from self._powers()
        yield self._balance()

    def _other_currents(self, *, written: bool) -> Iterator[Step]:
        """Currents that follow from those found; with a system that was not written, all of them."""
        teller, symbols, circuit = self._teller, self._teller.symbols, self._circuit
        lines: list[Line] = []
        readings: dict[str, Reading] = {}
        names: list[str] = []
        for number, branch in enumerate(circuit.branches):
            lead, current = symbol_of(teller, branch), self._current[branch.lead.name]
            if number not in circuit.free or not written:
                free = in_free(self._teller, circuit, number)
                amounts = [
                    signed(
                        teller.amount(self._current[circuit.branches[own].lead.name], Quantity.CURRENT),
                        minus=factor < 0,
                    )
                    for own, factor in circuit.sums[number].items()
                ]
                told = (plus_first(free), plus_first(amounts)) if written else ()
                lines += sum_lines(lead, *told, result=teller.amount(current, Quantity.CURRENT))
                names.append(branch.lead.name)
            for part, along in zip(branch.parts, branch.along, strict=True):
                if part.name in self._conduction.looped:
                    continue
                readings[f"{part.name}.current"] = teller.reading(self._current[part.name], Quantity.CURRENT)
                if part is not branch.lead:
                    own = symbols.current(part.name)
                    result = teller.amount(self._current[part.name], Quantity.CURRENT)
                    lines.append(chain(own, signed(lead, minus=not along), result))
                    names.append(part.name)
        if not lines:
            lines = [
                chain(symbol_of(teller, branch), teller.amount(self._current[branch.lead.name], Quantity.CURRENT))
                for branch in circuit.branches
            ]
            names = [branch.lead.name for branch in circuit.branches]
        told_of = []
        if circuit.meetings and written:
            told_of.append("The junction rule gives the currents that are left.")
        if any(len(branch.parts) > 1 for branch in circuit.branches) or not told_of:
            told_of.append("Parts one after the other carry one current; one that counts the other way has a minus.")
        reason = " ".join(told_of)
        groups = lines_in_steps(lines)
        for place, chunk in enumerate(groups):
            yield Step(
                kind="currents",
                title="The other currents" if circuit.meetings and written else "The current through each part",
                parts=tuple(dict.fromkeys(names)),
                conductors=(),
                reason=reason,
                lines=tuple(chunk),
                readings=readings if place == len(groups) - 1 else {},
            )

    def _voltages(self) -> Iterator[Step]:
        teller, symbols, circuit = self._teller, self._teller.symbols, self._circuit
        told: list[tuple[str, Line]] = []
        internal = False
        for part in circuit.parts:
            current = teller.amount(self._current[part.name], Quantity.CURRENT)
            voltage = teller.amount(self._voltage[part.name], Quantity.VOLTAGE)
            through, across = symbols.current(part.name), symbols.voltage(part.name)
            if isinstance(part, Resistor):
                value = symbols.value(part.name), teller.amount(part.resistance, Quantity.RESISTANCE)
                told.append((part.name, chain(across, Product(value[0], through), Product(value[1], current), voltage)))
            elif part.internal is not None:
                internal = True
                own = symbols.internal(part.name), teller.amount(part.internal, Quantity.RESISTANCE)
                emf = symbols.value(part.name), teller.amount(part.emf, Quantity.VOLTAGE)
                lost = Product(own[0], through), Product(own[1], current)
                told.append(
                    (part.name, chain(across, difference(emf[0], lost[0]), difference(emf[1], lost[1]), voltage))
                )
        reason = "By Ohm's law the voltage across a resistor is its resistance times the current through it."
        if internal:
            reason += " At the terminals of a battery it is the emf less what is lost across the internal resistance."
        for chunk in chunks_of(told, LINES_IN_A_STEP):
            names = [name for name, _ in chunk]
            yield Step(
                kind="voltages",
                title=f"Voltage across {listing(names)}",
                parts=tuple(names),
                conductors=(),
                reason=reason,
                lines=tuple(line for _, line in chunk),
                readings={f"{name}.voltage": teller.reading(self._voltage[name], Quantity.VOLTAGE) for name in names},
            )

    def _powers(self) -> Iterator[Step]:
        teller, symbols, circuit = self._teller, self._teller.symbols, self._circuit
        told = []
        for part in circuit.parts:
            through = symbols.current(part.name), teller.amount(self._current[part.name], Quantity.CURRENT)
            if isinstance(part, Resistor):
                over = symbols.voltage(part.name), teller.amount(self._voltage[part.name], Quantity.VOLTAGE)
                power = self._voltage[part.name] * self._current[part.name]
            elif part.name not in self._conduction.looped:
                over = symbols.value(part.name), teller.amount(part.emf, Quantity.VOLTAGE)
                power = part.emf * self._current[part.name]
            else:
                continue
            line = chain(
                symbols.power(part.name),
                Product(over[0], through[0]),
                Product(over[1], through[1]),
                teller.amount(power, Quantity.POWER),
            )
            told.append((part.name, line, teller.reading(power, Quantity.POWER)))
        for chunk in chunks_of(told, LINES_IN_A_STEP):
            names = [name for name, _, _ in chunk]
            yield Step(
                kind="powers",
                title=f"Power of {listing(names)}",
                parts=tuple(names),
                conductors=(),
                reason=(
                    "A resistor takes voltage times current, whichever way the current runs. A battery supplies emf "
                    "times current; where that is negative it takes energy in, as one that is being charged does."
                ),
                lines=tuple(line for _, line, _ in chunk),
                readings={f"{name}.power": power for name, _, power in chunk},
            )

    def _balance(self) -> Step:
        """What the resistances take is what the batteries supply."""
        teller, symbols, circuit = self._teller, self._teller.symbols, self._circuit
        taken: list[tuple[Formula, Scalar]] = []
        supplied: list[tuple[Formula, Scalar]] = []
        for part in circuit.parts:
            current = self._current[part.name]
            if isinstance(part, Resistor):
                taken.append((symbols.power(part.name), self._voltage[part.name] * current))
                continue
            through = symbols.current(part.name)
            looped = part.name in self._conduction.looped
            symbol = Product(symbols.value(part.name), through) if looped else symbols.power(part.name)
            supplied.append((symbol, part.emf * current))
            if part.internal is not None:
                taken.append(
                    (Product(symbols.internal(part.name), Power(through, 2)), part.internal * current * current)
                )
        lines = [line for terms in (supplied, taken) if terms for line in self._sum_lines(terms)]
        readings = {}
        if len(self._conduction.circuits) == 1 and not self._conduction.shorted:
            readings["total.power"] = teller.reading(_total(supplied), Quantity.POWER)
        batteries = [part.name for part in circuit.parts if isinstance(part, Battery)]
        supply = "supplies" if len(batteries) == 1 else "supply together"
        return Step(
            kind="check",
            title="Check: the power",
            parts=tuple(part.name for part in circuit.parts),
            conductors=(),
            reason=(
                f"Energy is conserved: what {every(batteries)} {supply} in each second is what the resistances take."
            ),
            lines=tuple(lines),
            readings=readings,
        )

    def _sum_lines(self, terms: Sequence[tuple[Formula, Scalar]]) -> list[Line]:
        written = [symbol for symbol, _ in terms]
        amounts: list[Formula] = [self._teller.amount(power, Quantity.POWER) for _, power in terms]
        total = self._teller.amount(_total(terms), Quantity.POWER)
        whole = chain(Sum(*written), Sum(*amounts), total)
        if len(terms) <= _ON_ONE_LINE and len(whole.formula.text()) <= _LONGEST:
            return [whole]
        return [*over_lines(written, total), *over_lines(amounts, total)]

    def _equivalent(self) -> Iterator[Step]:
        """What a battery sees that is the only one of its circuit."""
        teller, symbols, circuit = self._teller, self._teller.symbols, self._circuit
        batteries = [part for part in circuit.parts if isinstance(part, Battery)]
        if len(batteries) != 1 or batteries[0].name in self._conduction.looped:
            return
        [battery] = batteries
        current, voltage = self._current[battery.name], self._voltage[battery.name]
        if not current:
            return
        across = symbols.value(battery.name) if battery.internal is None else symbols.voltage(battery.name)
        yield Step(
            kind="equivalent",
            title=f"What {battery.name} sees",
            parts=(battery.name,),
            conductors=(conductor_name(battery.a), conductor_name(battery.b)),
            reason=(
                f"A single resistor that takes the same current from {battery.name} at the same voltage is equivalent "
                "to all that is joined to its terminals."
            ),
            lines=(
                chain(
                    Symbol("R", equivalent_index(self._teller, battery.name)),
                    Fraction(across, symbols.current(battery.name)),
                    Fraction(teller.amount(voltage, Quantity.VOLTAGE), teller.amount(current, Quantity.CURRENT)),
                    teller.amount(voltage / current, Quantity.RESISTANCE),
                ),
            ),
            readings={f"{battery.name}.equivalent": teller.reading(voltage / current, Quantity.RESISTANCE)},
        )


def _total(terms: Sequence[tuple[Formula, Scalar]]) -> Scalar:
    return sum((power for _, power in terms[1:]), terms[0][1])
