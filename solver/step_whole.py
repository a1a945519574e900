"""The turning point: the voltage across what is left is known, and with it the charge or the current of the whole."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Mapping
from typing import Final, NamedTuple

from solver.arithmetic import Scalar
from solver.faults import listing
from solver.formula import Formula, Fraction, Negative, Product, Sum
from solver.network import Battery, Resistor
from solver.quantities import Quantity
from solver.step_back import Back
from solver.step_changes import Link
from solver.step_drawing import Drawing
from solver.step_plan import Flow, Plan
from solver.step_sorts import CAPACITORS
from solver.step_teller import Held, Teller, chain
from solver.worked import Step


class PathStep(NamedTuple):
    """A part on a way through a body; `down` where the way goes from its from end to its to end."""

    part: Battery | Resistor
    down: bool


class Known:
    """The voltages within bodies: of batteries, with their currents, and of resistors that carry one."""

    def __init__(self, teller: Teller, plan: Plan) -> None:
        self._teller: Final = teller
        self._idle: Final = frozenset(plan.idle)
        network = teller.network
        self.voltage: Final[dict[str, Scalar]] = {battery.name: battery.emf for battery in network.batteries}
        self.current: Final[dict[str, Scalar]] = {}
        self._start: Final[dict[str, int]] = {}
        self._beyond: Final[dict[int, list[tuple[int, PathStep]]]] = defaultdict(list)
        node = teller.node
        parts: list[Battery | Resistor] = [*network.batteries]
        parts.extend(part for part in network.resistors if part.name not in self._idle)
        for part in parts:
            self._beyond[node[part.a]].append((node[part.b], PathStep(part, True)))
            self._beyond[node[part.b]].append((node[part.a], PathStep(part, False)))

    def take_in(self, flow: Flow, held: Mapping[str, Held], current: Scalar, terminal: Scalar) -> None:
        """What has been found out of one battery with a current."""
        self.voltage[flow.battery.name] = terminal
        self.current[flow.battery.name] = current
        for name, own in held.items():
            self.voltage[name] = own.voltage
            self._start[name] = own.start

    def path(self, a: int, b: int) -> list[PathStep]:
        """The shortest way from node a to node b."""
        before: dict[int, tuple[int, PathStep]] = {}
        queue = [a]
        for here in queue:
            if here == b:
                break
            for there, step in self._beyond[here]:
                if there not in before and there != a:
                    before[there] = here, step
                    queue.append(there)
        steps = []
        while b != a:
            b, step = before[b]
            steps.append(step)
        return steps[::-1]

    def is_told_down(self, part: Battery | Resistor) -> bool:
        """Whether the voltage of a part was counted from its from end."""
        return self._start.get(part.name, self._teller.node[part.a]) == self._teller.node[part.a]

    def across(self, path: list[PathStep]) -> Scalar:
        """The voltage from the beginning of a way to its end."""
        total = self._teller.network.arithmetic.zero
        for part, down in path:
            voltage = self.voltage[part.name]
            total += voltage if down == self.is_told_down(part) else -voltage
        return total

    def symbol(self, part: Battery | Resistor) -> Formula:
        """The emf of a battery, where it stands whole at the terminals; else the voltage of the part."""
        if isinstance(part, Battery) and (part.internal is None or part.name not in self.current):
            return self._teller.symbols.value(part.name)
        return self._teller.symbols.voltage(part.name)


def charge_of(link: Link, known: Known, teller: Teller, back: Back, drawing: Drawing) -> Step:
    """The capacitor that is left of a group, at the voltage between its ends."""
    path = known.path(link.a, link.b)
    voltage, start = known.across(path), link.a
    if _reads_backwards(path, known):
        path = [PathStep(part, not down) for part, down in reversed(path)]
        voltage, start = -voltage, link.b
    held = Held(start, voltage, CAPACITORS.through_of(link.value, voltage))
    back.held[link.name] = held
    terms = sorted(((part, down == known.is_told_down(part)) for part, down in path), key=lambda term: not term[1])
    symbols: list[Formula] = [known.symbol(part) if plus else Negative(known.symbol(part)) for part, plus in terms]
    amounts: list[Formula] = []
    for part, plus in terms:
        amount = teller.amount(known.voltage[part.name], Quantity.VOLTAGE)
        amounts.append(amount if plus else Negative(amount))
    lines = (
        chain(
            teller.symbols.voltage(link.name),
            Sum(*symbols),
            Sum(*amounts),
            teller.amount(voltage, Quantity.VOLTAGE),
        ),
        back.through_line(link, held),
        back.taken_line(link, held),
    )
    return Step(
        kind="whole",
        title=f"Voltage, charge and energy of {link.name}",
        parts=tuple(dict.fromkeys((*(part.name for part, _ in path), *teller.parts([link])))),
        conductors=teller.conductors((link.a, link.b)),
        reason=_voltage_reason(link, path, known, teller.text(voltage, Quantity.VOLTAGE)) + back.turned([link], [held]),
        lines=lines,
        readings=back.quantities(link, held),
        sketch=drawing.drawn,
    )


def _reads_backwards(path: list[PathStep], known: Known) -> bool:
    """Whether the way is told better from its other end, where most voltages count as plus."""
    minus = sum(down != known.is_told_down(part) for part, down in path)
    return 2 * minus > len(path)


def _voltage_reason(link: Link, path: list[PathStep], known: Known, voltage: str) -> str:
    names = [part.name for part, _ in path]
    if not path:
        return f"Both ends of {link.name} are at the same potential, so there is no voltage across it."
    if len(path) > 1:
        return (
            f"The way from one end of {link.name} to the other leads through {listing(names)}. The voltages along it "
            f"make up the voltage across {link.name}."
        )
    part = path[0].part
    if isinstance(part, Resistor):
        return (
            f"{link.name} joins the same two conductors as {part.name}, so the voltage across {part.name}, "
            f"{voltage}, is the voltage across {link.name} as well."
        )
    if part.internal is None:
        return f"{link.name} joins the terminals of {part.name}, so the emf of {part.name} is the voltage across it."
    if part.name not in known.current:
        return (
            f"{link.name} joins the terminals of {part.name}. In the end no current flows, so nothing is lost across "
            f"the internal resistance, and the whole emf is the voltage across {link.name}."
        )
    return (
        f"{link.name} joins the terminals of {part.name}, so the terminal voltage of {part.name}, {voltage}, "
        "is the voltage across it."
    )


def current_of(flow: Flow, known: Known, teller: Teller, back: Back, drawing: Drawing) -> Step:
    """The resistor that is left of a group, and the current that the battery drives through it."""
    battery, link, symbols = flow.battery, flow.reduction.left[0], teller.symbols
    start = teller.node[battery.a]
    internal = battery.internal
    whole = link.value if internal is None else link.value + internal
    current = battery.emf / whole
    held = Held(start, link.value * current, current)
    back.held[link.name] = held
    emf, through = symbols.value(battery.name), symbols.current(link.name)
    amounts = teller.amount(battery.emf, Quantity.VOLTAGE), teller.amount(link.value, Quantity.RESISTANCE)
    result = teller.amount(current, Quantity.CURRENT)
    if internal is None:
        reason = (
            f"{link.name} joins the terminals of {battery.name}, so the emf of {battery.name} is the voltage across "
            "it, and by Ohm's law it drives the current."
        )
        lines = [
            chain(symbols.voltage(link.name), emf, amounts[0]),
            back.through_line(link, held),
        ]
    else:
        reason = (
            f"The current through {link.name} flows through {battery.name} as well, so the internal resistance counts "
            f"as a resistor in series with {link.name}, and the emf drives the current through both. What is lost "
            f"across the internal resistance is missing at the terminals."
        )
        resistance = symbols.internal(battery.name)
        lines = [
            chain(
                through,
                Fraction(emf, Sum(symbols.value(link.name), resistance)),
                Fraction(amounts[0], Sum(amounts[1], teller.amount(internal, Quantity.RESISTANCE))),
                result,
            ),
            back.voltage_line(link, held),
        ]
    lines.append(back.taken_line(link, held))
    supplied = battery.emf * current
    if internal is not None:
        lines.append(
            chain(
                symbols.power(battery.name),
                Product(emf, through),
                Product(amounts[0], result),
                teller.amount(supplied, Quantity.POWER),
            )
        )
    readings = back.quantities(link, held) | {
        f"{battery.name}.voltage": teller.reading(held.voltage, Quantity.VOLTAGE),
        f"{battery.name}.current": result.reading,
        f"{battery.name}.power": teller.reading(supplied, Quantity.POWER),
        f"{battery.name}.equivalent": teller.reading(link.value, Quantity.RESISTANCE),
    }
    return Step(
        kind="whole",
        title=f"Voltage, current and power of {link.name}",
        parts=tuple(dict.fromkeys((battery.name, *teller.parts([link])))),
        conductors=teller.conductors((link.a, link.b)),
        reason=reason + back.turned([link], [held]),
        lines=tuple(lines),
        readings=readings,
        sketch=drawing.drawn,
    )
