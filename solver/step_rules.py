"""The way of series and parallel rules (and of stars for triangles): in to one equivalent, and back to every part.

Resistors come first: in the end capacitors carry no current. Then the capacitors, at the voltages that this leaves.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import replace
from typing import Final

from solver.arithmetic import Scalar
from solver.faults import listing
from solver.formula import Formula, Power, Product
from solver.quantities import Quantity
from solver.reduction import Reduction
from solver.solution import Solution
from solver.solving import SolvedNetwork
from solver.step_back import Back
from solver.step_changes import Link, removed
from solver.step_drawing import Drawing
from solver.step_forward import Forward
from solver.step_names import symbols_of
from solver.step_plan import Flow, Plan
from solver.step_prepare import Preparation
from solver.step_sorts import CAPACITORS, RESISTORS, Sort
from solver.step_teller import Held, Teller, chain, parts_in, several
from solver.step_whole import Known, charge_of, current_of
from solver.worked import Step


class Rules:
    """Tells one plan that reduces everything."""

    def __init__(self, solved: SolvedNetwork, solution: Solution, plan: Plan) -> None:
        network = solved.outcome.network
        self._sketch: Final = solved.sketch
        self._solution: Final = solution
        self._plan: Final = plan
        reductions = [flow.reduction for flow in plan.flows]
        if plan.resistors is not None:
            reductions.append(plan.resistors)
        changes = [change for reduction in (*reductions, plan.capacitors) for change in reduction.changes]
        self._teller: Final = Teller(
            network, solved.writing, plan.node, symbols_of(network, changes), parts_in(changes)
        )
        self._known: Final = Known(self._teller, plan)

    def steps(self) -> Iterator[Step]:
        """All steps, in their order."""
        plan = self._plan
        preparation = Preparation(self._sketch, self._teller, plan)
        yield from preparation.steps()
        drawing = preparation.drawing
        if plan.between is not None:
            yield from self._between(plan.between, drawing)
            return
        capacitors = [part.name for part in self._teller.network.capacitors if part.name in drawing.parts]
        if plan.flows:
            if capacitors:
                drawing_of_currents = drawing.without(capacitors)
                yield self._currents_first(capacitors, drawing_of_currents)
            else:
                drawing_of_currents = drawing
            for flow in plan.flows:
                yield from self._flow(flow, drawing_of_currents)
        if plan.capacitors.left:
            yield from self._capacitors(drawing)

    def _flow(self, flow: Flow, drawing: Drawing) -> Iterator[Step]:
        forward = Forward(self._teller, RESISTORS, flow.reduction, drawing)
        yield from forward.steps()
        back = Back(self._teller, RESISTORS, flow.reduction, forward.drawings)
        yield current_of(flow, self._known, self._teller, back, forward.drawings[-1])
        yield from back.steps()
        battery = flow.battery
        whole = back.held[flow.reduction.left[0].name]
        self._known.take_in(flow, back.held, whole.through, whole.voltage)
        resistors = self._singles(flow.reduction)
        if len(resistors) > 1 or battery.internal is not None:
            yield self._power_check(flow, resistors, back)

    def _power_check(self, flow: Flow, resistors: Sequence[Link], back: Back) -> Step:
        """What the resistances take is what the battery supplies."""
        teller, battery = self._teller, flow.battery
        current = back.held[flow.reduction.left[0].name].through
        symbols: list[Formula] = []
        amounts: list[Formula] = []
        total = teller.network.arithmetic.zero
        for link in resistors:
            power = self._taken(RESISTORS, back.held[link.name])
            symbols.append(teller.symbols.power(link.name))
            amounts.append(teller.amount(power, Quantity.POWER))
            total += power
        names = [link.name for link in resistors]
        takes = list(names)
        if battery.internal is not None:
            lost = battery.internal * current * current
            through = teller.symbols.current(flow.reduction.left[0].name)
            symbols.append(Product(teller.symbols.internal(battery.name), Power(through, 2)))
            amounts.append(teller.amount(lost, Quantity.POWER))
            total += lost
            takes.append("the internal resistance")
        supplied = teller.symbols.power(battery.name)
        readings = {f"{battery.name}.power": teller.reading(total, Quantity.POWER)}
        if self._solution.totals.power == readings[f"{battery.name}.power"]:
            readings["total.power"] = readings[f"{battery.name}.power"]
        return Step(
            kind="check",
            title="Check: the power",
            parts=(battery.name, *names),
            conductors=(),
            reason=(
                f"Energy is conserved: what {listing(takes)} take in each second adds up to what {battery.name} "
                "supplies."
            ),
            lines=(chain(several(symbols), several(amounts), teller.amount(total, Quantity.POWER), supplied),),
            readings=readings,
        )

    def _capacitors(self, drawing: Drawing) -> Iterator[Step]:
        reduction = self._plan.capacitors
        forward = Forward(self._teller, CAPACITORS, reduction, drawing)
        yield from forward.steps()
        back = Back(self._teller, CAPACITORS, reduction, forward.drawings)
        for link in reduction.left:
            yield self._with_battery(charge_of(link, self._known, self._teller, back, forward.drawings[-1]), link)
        yield from back.steps()
        capacitors = self._singles(reduction)
        if len(capacitors) > 1:
            yield self._energy_check(capacitors, back)

    def _with_battery(self, step: Step, link: Link) -> Step:
        """The step, with what it tells of a battery that sees just this capacitor, and delivered its charge."""
        readings, reason = dict(step.readings), step.reason
        charge = readings[f"{link.name}.charge"]
        own = self._teller.reading(link.value, Quantity.CAPACITANCE)
        delivered = []
        for battery in self._teller.network.batteries:
            told = self._solution.parts[battery.name]
            if battery.name in step.parts and getattr(told, "equivalent", None) == own:
                readings[f"{battery.name}.equivalent"] = own
                if getattr(told, "charge", None) == charge:
                    readings[f"{battery.name}.charge"] = charge
                    delivered.append(battery.name)
        if delivered:
            have = "has" if len(delivered) == 1 else "have each"
            reason += f" The charge on {link.name} is what {listing(delivered)} {have} delivered."
        return replace(step, readings=readings, reason=reason)

    def _energy_check(self, capacitors: Sequence[Link], back: Back) -> Step:
        teller = self._teller
        energies = [self._taken(CAPACITORS, back.held[link.name]) for link in capacitors]
        total = sum(energies[1:], energies[0])
        names = [link.name for link in capacitors]
        left = self._plan.capacitors.left
        sides: list[Formula] = [
            several([teller.symbols.energy(name) for name in names]),
            several([teller.amount(energy, Quantity.ENERGY) for energy in energies]),
            teller.amount(total, Quantity.ENERGY),
        ]
        reason = f"The energies of {listing(names)} add up to the energy stored on the whole sheet."
        if len(left) == 1:
            sides.append(teller.symbols.energy(left[0].name))
            reason = f"The energies of {listing(names)} add up to that of {left[0].name}, which stood for them."
        return Step(
            kind="check",
            title="Check: the energy",
            parts=tuple(names),
            conductors=(),
            reason=reason,
            lines=(chain(*sides),),
            readings={"total.energy": teller.reading(total, Quantity.ENERGY)},
        )

    def _currents_first(self, capacitors: Sequence[str], drawing: Drawing) -> Step:
        carries, it_is = ("carries", "it is") if len(capacitors) == 1 else ("carry", "they are")
        return Step(
            kind="set-aside",
            title="First the currents",
            parts=tuple(capacitors),
            conductors=(),
            reason=(
                f"In the end {listing(capacitors)} {carries} no current: a capacitor whose charge no longer changes "
                f"lets none through. So {it_is} left out until the currents are known."
            ),
            sketch=drawing.drawn,
        )

    def _between(self, ends: tuple[int, int], drawing: Drawing) -> Iterator[Step]:
        """What lies between two joints, without any battery."""
        sort: Sort = CAPACITORS if self._plan.resistors is None else RESISTORS
        reduction = self._plan.capacitors if self._plan.resistors is None else self._plan.resistors
        others = {part.name for part in self._teller.network.capacitors} if sort is RESISTORS else set()
        if others & drawing.parts.keys():
            drawing = drawing.without(others)
            yield self._currents_first(sorted(others), drawing)
        forward = Forward(self._teller, sort, reduction, drawing)
        yield from forward.steps()
        if not reduction.left:
            return
        link = reduction.left[0]
        node_of = {joint: self._plan.node[conductor] for joint, conductor in self._teller.network.conductor_of.items()}
        a, b = next(pair for pair in self._sketch.probes if (node_of[pair[0]], node_of[pair[1]]) == ends)
        alone = not reduction.changes
        yield Step(
            kind="whole",
            title=f"Between {a} and {b}",
            parts=self._teller.parts([link]),
            conductors=self._teller.conductors(ends),
            reason=(
                f"Between joints {a} and {b} {'there is only' if alone else 'all that is left is'} {link.name}: its "
                f"{sort.value.word} is the equivalent {sort.value.word}."
            ),
            lines=(chain(self._teller.symbols.value(link.name), self._teller.amount(link.value, sort.value)),),
            readings={f"{link.name}.{sort.value.value}": self._teller.reading(link.value, sort.value)},
            sketch=forward.drawings[-1].drawn,
        )

    def _singles(self, reduction: Reduction) -> list[Link]:
        """The links of a reduction that are parts of the sheet, in its order."""
        links = {link.name: link for change in reduction.changes for link in removed(change)}
        links.update((link.name, link) for link in reduction.left)
        order = [part.name for part in self._sketch.parts]
        own = [name for name in order if name in links]
        return [links[name] for name in own]

    def _taken(self, sort: Sort, held: Held) -> Scalar:
        return sort.taken_of(held.through, held.voltage)
