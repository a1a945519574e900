"""What the capacitors hold once the potentials are known: voltages, charges, energies; and what the batteries gave."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from typing import Final

from solver.arithmetic import Scalar
from solver.checks import conductor_name
from solver.faults import every, listing
from solver.formula import Formula, Fraction, Power, Product, Sum, Symbol, half
from solver.network import Battery, Capacitor, Network
from solver.quantities import Quantity
from solver.readings import Reading
from solver.settled import positive_sides
from solver.step_equations_account import account_of, initial_symbol
from solver.step_equations_carried import equivalent_index
from solver.step_equations_circuit import Conduction
from solver.step_equations_plates import Plates
from solver.step_equations_words import LINES_IN_A_STEP, chunks_of, over_lines, plus_first, signed, sum_lines
from solver.step_teller import Teller, chain
from solver.worked import Line, Step


class Held:
    """The capacitors of one network; `voltage` is by part, for those that hold a charge, in volts."""

    def __init__(self, teller: Teller, conduction: Conduction, plates: Plates, voltage: Mapping[str, Scalar]) -> None:
        self._teller: Final = teller
        self._conduction: Final = conduction
        self._plates: Final = plates
        self._voltage: Final = voltage
        self._network: Final[Network] = plates.network

    def steps(self) -> Iterator[Step]:
        """Charges and their check, energies, and what the batteries gave."""
        for chunk in chunks_of(self._plates.held, LINES_IN_A_STEP):
            yield self._charges(chunk)
        yield from self._check()
        for chunk in chunks_of(self._plates.held, LINES_IN_A_STEP):
            yield self._energies(chunk)
        yield from self._total()
        yield from self._batteries()

    def _charges(self, parts: Sequence[Capacitor]) -> Step:
        teller, symbols = self._teller, self._teller.symbols
        lines = [
            chain(
                symbols.charge(part.name),
                Product(symbols.value(part.name), symbols.voltage(part.name)),
                Product(
                    teller.amount(part.capacitance, Quantity.CAPACITANCE),
                    teller.amount(self._voltage[part.name], Quantity.VOLTAGE),
                ),
                teller.amount(self._charge(part), Quantity.CHARGE),
            )
            for part in parts
        ]
        return self._step(
            "charges",
            f"Charge on {listing([part.name for part in parts])}",
            parts,
            "The charge on a capacitor is its capacitance times the voltage across it; its other plate holds as much "
            "of the opposite sign.",
            lines,
            {f"{part.name}.charge": teller.reading(self._charge(part), Quantity.CHARGE) for part in parts},
        )

    def _check(self) -> Iterator[Step]:
        """The charges on each isolated conductor add up to what it started with."""
        teller, symbols = self._teller, self._teller.symbols
        unknowns = [unknown for own in self._plates.unknowns.values() for unknown in own]
        for chunk in chunks_of(unknowns, LINES_IN_A_STEP // 2):
            lines: list[Line] = []
            for unknown in chunk:
                written = [signed(symbols.charge(part.name), minus=not here) for part, here in unknown.plates]
                amounts = [
                    signed(teller.amount(self._charge(part), Quantity.CHARGE), minus=not here)
                    for part, here in unknown.plates
                ]
                total = self._summed(
                    [self._charge(part) if here else -self._charge(part) for part, here in unknown.plates]
                )
                result = teller.amount(total, Quantity.CHARGE)
                written, amounts = plus_first(written), plus_first(amounts)
                if len(written) <= LINES_IN_A_STEP // 2:
                    lines.append(chain(Sum(*written), Sum(*amounts), result))
                else:
                    lines += [*over_lines(written, result), *over_lines(amounts, result)]
            names = [conductor_name(unknown.conductor) for unknown in chunk]
            parts = {part.name: part for unknown in chunk for part, _ in unknown.plates}
            yield Step(
                kind="check",
                title=f"Check: the charge on {listing(names)}",
                parts=tuple(parts),
                conductors=tuple(names),
                reason="A plate at a part's other end counts with a minus. The sums are what they were at the start.",
                lines=tuple(lines),
            )

    def _energies(self, parts: Sequence[Capacitor]) -> Step:
        teller, symbols = self._teller, self._teller.symbols
        lines = [
            chain(
                symbols.energy(part.name),
                half(symbols.value(part.name), Power(symbols.voltage(part.name), 2)),
                half(
                    teller.amount(part.capacitance, Quantity.CAPACITANCE),
                    Power(teller.amount(self._voltage[part.name], Quantity.VOLTAGE), 2),
                ),
                teller.amount(self._energy(part), Quantity.ENERGY),
            )
            for part in parts
        ]
        return self._step(
            "energies",
            f"Energy of {listing([part.name for part in parts])}",
            parts,
            "While a capacitor is charged its voltage grows from zero, so on average each bit of charge crosses half "
            "of it: the energy is half of charge times voltage.",
            lines,
            {f"{part.name}.energy": teller.reading(self._energy(part), Quantity.ENERGY) for part in parts},
        )

    def _total(self) -> Iterator[Step]:
        teller, symbols = self._teller, self._teller.symbols
        held = self._plates.held
        if len(held) < 2:
            return
        total = self._stored()
        yield self._step(
            "energies",
            "The energy stored",
            held,
            "Energies add up, wherever they are stored.",
            sum_lines(
                Symbol("U"),
                [symbols.energy(part.name) for part in held],
                [teller.amount(self._energy(part), Quantity.ENERGY) for part in held],
                result=teller.amount(total, Quantity.ENERGY),
            ),
            {"total.energy": teller.reading(total, Quantity.ENERGY)},
        )

    def _batteries(self) -> Iterator[Step]:
        network = self._network
        told = [
            (place, battery)
            for place, battery in enumerate(network.batteries)
            if battery.name not in self._conduction.circuit_of
            and battery.name not in self._conduction.looped
            and battery.a != battery.b
        ]
        sides = positive_sides(network, [place for place, _ in told])
        delivered: dict[str, Scalar] = {}
        for place, battery in told:
            plates = [
                (part, part.a in sides[place])
                for part in self._plates.held
                if (part.a in sides[place]) != (part.b in sides[place])
            ]
            if plates:
                delivered[battery.name] = self._summed(
                    [self._moved(part) if here else -self._moved(part) for part, here in plates]
                )
                yield self._delivered(battery, plates, sides[place], delivered[battery.name])
        charged = any(part.initial for part in network.capacitors)
        if (delivered or charged) and len(told) == len(network.batteries):
            works = {
                battery.name: battery.emf * delivered[battery.name] for _, battery in told if battery.name in delivered
            }
            yield from self.account(works)

    def began(self, part: Capacitor) -> Formula:
        """The charge that a capacitor began with."""
        return Product(self._teller.symbols.value(part.name), initial_symbol(self._teller, part))

    def account(self, works: Mapping[str, Scalar]) -> Iterator[Step]:
        """The energy from the start to the end; the batteries' work by name (joules)."""
        yield account_of(self._teller, self._plates, self._stored(), works)

    def _delivered(
        self, battery: Battery, plates: Sequence[tuple[Capacitor, bool]], side: frozenset[int], charge: Scalar
    ) -> Step:
        teller, symbols = self._teller, self._teller.symbols
        written: list[Formula] = []
        amounts: list[Formula] = []
        for part, here in plates:
            written.append(signed(symbols.charge(part.name), minus=not here))
            amounts.append(signed(teller.amount(self._charge(part), Quantity.CHARGE), minus=not here))
            if part.initial:
                before = part.capacitance * part.initial
                written.append(signed(self.began(part), minus=here))
                amounts.append(signed(teller.amount(before, Quantity.CHARGE), minus=here))
        name, own = battery.name, symbols.charge(battery.name)
        result = teller.amount(charge, Quantity.CHARGE)
        emf, emf_amount = symbols.value(name), teller.amount(battery.emf, Quantity.VOLTAGE)
        work = battery.emf * charge
        lines = sum_lines(own, plus_first(written), plus_first(amounts), result=result)
        lines.append(
            chain(Symbol("W", name), Product(emf, own), Product(emf_amount, result), teller.amount(work, Quantity.WORK))
        )
        readings = {
            f"{name}.charge": result.reading,
            f"{name}.work": teller.reading(work, Quantity.WORK),
        }
        names = list(dict.fromkeys(part.name for part, _ in plates))
        grown = any(part.initial for part, _ in plates)
        reason = (
            f"What leaves the + terminal of {name} can only end on the plates of {every(names)} on that side: "
            f"{'by as much their charge has grown' if grown else 'as much charge is on them now'}. "
            "The work of the battery is emf times charge."
        )
        if (
            self._is_alone(battery)
            and charge
            and battery.emf
            and not any(part.initial for part in self._network.capacitors)
        ):
            lines.append(
                chain(
                    Symbol("C", equivalent_index(teller, name)),
                    Fraction(own, emf),
                    Fraction(result, emf_amount),
                    teller.amount(charge / battery.emf, Quantity.CAPACITANCE),
                )
            )
            readings[f"{name}.equivalent"] = teller.reading(charge / battery.emf, Quantity.CAPACITANCE)
            reason += (
                " A single capacitor that takes the same charge at the same voltage is equivalent to all that is "
                "joined to its terminals."
            )
        ends = [conductor_name(end) for end in sorted(side & self._ends())]
        return Step("battery", f"What {name} delivered", (name, *names), tuple(ends), reason, tuple(lines), readings)

    def _is_alone(self, battery: Battery) -> bool:
        """Whether nothing else drives a charge in its piece, so that charge over emf is what it sees."""
        network = self._network
        piece = network.piece_at[battery.a]
        others = sum(network.piece_at[other.a] == piece for other in network.batteries)
        charged = any(
            part.initial and network.piece_at[part.a] == piece and network.body_of[part.a] != network.body_of[part.b]
            for part in network.capacitors
        )
        return others == 1 and not charged

    def _charge(self, part: Capacitor) -> Scalar:
        return part.capacitance * self._voltage[part.name]

    def _moved(self, part: Capacitor) -> Scalar:
        return self._charge(part) - part.capacitance * part.initial

    def _energy(self, part: Capacitor) -> Scalar:
        return self._charge(part) * self._voltage[part.name] / 2

    def _stored(self) -> Scalar:
        return self._summed([self._energy(part) for part in self._plates.held])

    def _summed(self, values: Sequence[Scalar]) -> Scalar:
        return sum(values[1:], values[0]) if values else self._network.arithmetic.zero

    def _ends(self) -> set[int]:
        return {end for part in self._plates.held for end in (part.a, part.b)}

    def _step(
        self,
        kind: str,
        title: str,
        parts: Sequence[Capacitor],
        reason: str,
        lines: Sequence[Line],
        readings: Mapping[str, Reading],
    ) -> Step:
        names = tuple(part.name for part in parts)
        return Step(kind, title, names, (), reason, tuple(lines), readings)
