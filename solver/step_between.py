"""What lies between two joints, where no rules reduce it: a battery of 1 V put there in thought tells it."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import replace
from typing import Final

from solver.formula import Amount, Fraction, Symbol
from solver.ideal import ideal_of
from solver.network import Battery, tied
from solver.quantities import Quantity
from solver.readings import BatteryReadings
from solver.sketch import Part
from solver.solution import Solution
from solver.solving import SolvedNetwork
from solver.step_drawing import free_name
from solver.step_symbols import Symbols
from solver.step_teller import Teller, chain
from solver.worked import Step

_BEYOND_CHARGE: Final = frozenset({"back", "energies"})
_BEYOND_CURRENT: Final = frozenset({"back", "voltages", "powers", "check", "equivalent"})
_OF_EQUIVALENTS: Final = (".capacitance", ".resistance")


def with_test_battery(solved: SolvedNetwork, pair: tuple[int, int]) -> SolvedNetwork:
    """The network with a battery of 1 V between two of its conductors, at the joints of its first probe.

    It has no battery of its own, and no charge from before.
    """
    network, sketch = solved.outcome.network, solved.sketch
    a, b = next(
        ends for ends in sketch.probes if (network.conductor_of[ends[0]], network.conductor_of[ends[1]]) == pair
    )
    name = free_name("E", {part.name for part in sketch.parts})
    battery = Battery(name, *pair, network.arithmetic.one, None)
    driven = tied(
        network.joints,
        network.conductors,
        network.conductor_of,
        pair[1],
        network.capacitors,
        network.resistors,
        [battery],
        network.arithmetic,
    )
    drawn = replace(sketch, parts=(*sketch.parts, Part(name, "battery", a, b, "1 V")), zero=b, probes=())
    return SolvedNetwork.of(drawn, driven, ideal_of(driven), solved.writing, equivalents=True)


def put_there(driven: SolvedNetwork) -> Step:
    """The step that puts the battery there."""
    [battery] = driven.outcome.network.batteries
    part = driven.sketch.parts[-1]
    return Step(
        kind="given",
        title="A battery in thought",
        parts=(),
        conductors=(),
        reason=(
            f"Put a battery {battery.name} of 1 V between joints {part.start} and {part.end}. What it delivers tells "
            "what lies between them, and at any other emf it would deliver as many times more."
        ),
        sketch=driven.sketch,
    )


def told_by_it(driven: SolvedNetwork, solution: Solution) -> Step:
    """The step that takes the equivalent from what the battery delivers."""
    network = driven.outcome.network
    [battery] = network.batteries
    teller = Teller(network, driven.writing, range(len(network.conductors)), Symbols.of(network))
    own = solution.parts[battery.name]
    assert isinstance(own, BatteryReadings)
    assert own.equivalent is not None
    part = driven.sketch.parts[-1]
    quantity = own.equivalent.quantity
    emf, volt = teller.symbols.value(battery.name), teller.amount(battery.emf, Quantity.VOLTAGE)
    if quantity is Quantity.CAPACITANCE:
        delivered, symbol = own.charge, teller.symbols.charge(battery.name)
        assert delivered is not None
        sides = Fraction(symbol, emf), Fraction(Amount(delivered), volt)
        reason = (
            f"{battery.name} has delivered the charge on all plates that its + terminal is joined to. One capacitor "
            f"between joints {part.start} and {part.end} that took the same charge at 1 V has this capacitance."
        )
    else:
        delivered, symbol = own.current, teller.symbols.current(battery.name)
        assert delivered is not None
        sides = Fraction(emf, symbol), Fraction(volt, Amount(delivered))
        reason = (
            f"{battery.name} delivers all the current that leaves its + terminal. One resistor between joints "
            f"{part.start} and {part.end} that took the same current at 1 V has this resistance."
        )
    return Step(
        kind="whole",
        title=f"Between {part.start} and {part.end}",
        parts=(),
        conductors=(),
        reason=reason,
        lines=(chain(Symbol(quantity.symbol, "eq"), *sides, Amount(own.equivalent)),),
        readings={f"equivalent.{quantity.value}": own.equivalent},
    )


def framed(driven: SolvedNetwork, solution: Solution, steps: Iterable[Step]) -> tuple[Step, ...]:
    """The steps that find what the battery delivers, with one before and one after.

    What they tell of single parts at 1 V is no reading of the sheet, and what goes beyond the question is left out.
    """
    [battery] = driven.outcome.network.batteries
    own = solution.parts[battery.name]
    assert isinstance(own, BatteryReadings)
    beyond = _BEYOND_CURRENT if own.current and own.current.value != 0 else _BEYOND_CHARGE
    inner = [
        replace(
            step,
            parts=tuple(part for part in step.parts if part != battery.name),
            readings={key: reading for key, reading in step.readings.items() if key.endswith(_OF_EQUIVALENTS)},
        )
        for step in steps
        if step.kind not in beyond
    ]
    return put_there(driven), *inner, told_by_it(driven, solution)
