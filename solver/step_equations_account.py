"""The account of the energy while capacitors are charged: what batteries gave, what is stored, what is lost."""

from __future__ import annotations

from collections.abc import Mapping

from solver.arithmetic import Scalar
from solver.formula import Formula, Negative, Power, Sum, Symbol, half
from solver.network import Capacitor
from solver.quantities import Quantity
from solver.readings import Reading
from solver.step_equations_plates import Plates
from solver.step_equations_words import sum_lines
from solver.step_teller import Teller, chain
from solver.worked import Line, Step

_HEAT = "heat in wires and resistances, and a little into radiation"
_ALWAYS = "always just as much, however small the resistance"


def initial_symbol(teller: Teller, part: Capacitor) -> Symbol:
    """The voltage that a capacitor had before anything was connected."""
    voltage = teller.symbols.voltage(part.name)
    return Symbol(voltage.stem, f"{voltage.index},0")


def account_of(teller: Teller, plates: Plates, stored: Scalar, works: Mapping[str, Scalar]) -> Step:
    """What is lost on the way: the work of the batteries (joules, by name) and what was stored, less what is stored."""
    network = plates.network
    zero = network.arithmetic.zero
    work = sum(works.values(), zero)
    charged = [part for part in network.capacitors if part.initial]
    before = [part.capacitance * part.initial * part.initial / 2 for part in charged]
    start = sum(before, zero)
    lines: list[Line] = []
    terms: list[Formula] = []
    amounts: list[Formula] = []
    if len(works) > 1:
        each = [teller.amount(own, Quantity.WORK) for own in works.values()]
        lines += sum_lines(
            Symbol("W"), [Symbol("W", name) for name in works], each, result=teller.amount(work, Quantity.WORK)
        )
    if works:
        terms.append(Symbol("W") if len(works) > 1 else Symbol("W", next(iter(works))))
        amounts.append(teller.amount(work, Quantity.WORK))
    if charged:
        energies = [half(teller.symbols.value(part.name), Power(initial_symbol(teller, part), 2)) for part in charged]
        each = [teller.amount(own, Quantity.ENERGY) for own in before]
        lines += sum_lines(Symbol("U", "start"), energies, each, result=teller.amount(start, Quantity.ENERGY))
        terms.append(Symbol("U", "start"))
        amounts.append(teller.amount(start, Quantity.ENERGY))
    if plates.held:
        many = len(plates.held) > 1
        terms.append(Negative(Symbol("U") if many else teller.symbols.energy(plates.held[0].name)))
        amounts.append(Negative(teller.amount(stored, Quantity.ENERGY)))
    lost = work + start - stored
    result = teller.amount(lost, Quantity.ENERGY)
    lines.append(chain(Symbol("W", "lost"), Sum(*terms), Sum(*amounts), result))
    readings: dict[str, Reading] = {"total.lost": result.reading}
    if network.batteries:
        readings["total.work"] = teller.reading(work, Quantity.WORK)
    names = [*works, *(part.name for part in charged)]
    title = "Work, energy, and what is lost" if works else "What is lost"
    return Step("energies", title, tuple(names), (), _reason(works, lost, stored, start), tuple(lines), readings)


def _reason(works: Mapping[str, Scalar], lost: Scalar, stored: Scalar, start: Scalar) -> str:
    if not lost:
        return "Nothing is lost: no charge had to move."
    if not works:
        return (
            f"No battery does any work here, and yet less energy is stored than before. The rest has gone to {_HEAT}: "
            f"{_ALWAYS}."
        )
    if start:
        return f"What was stored before and what the batteries gave is not all stored now: the rest went to {_HEAT}."
    if lost == stored:
        return f"Half of the work is stored. The other half has gone to {_HEAT}: {_ALWAYS}."
    return f"What of the work is not stored has gone to {_HEAT}."
