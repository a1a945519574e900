"""Where series and parallel rules do not suffice: what they do reduce comes first, equations go on from there.

What is left becomes a network of its own, with the equivalents as its parts; from its potentials the way leads back
into them.
"""

from __future__ import annotations

from collections.abc import Callable, Collection, Iterator
from dataclasses import replace
from typing import Final

from solver.ideal import ideal_of
from solver.network import Capacitor, Network, Resistor, tied
from solver.outcome import Outcome
from solver.reduction import Reduction
from solver.solution import Solution
from solver.solving import SolvedNetwork, solution_of
from solver.step_back import Back
from solver.step_changes import Link
from solver.step_drawing import Drawing
from solver.step_forward import Forward
from solver.step_names import symbols_of
from solver.step_plan import Plan, Reducer, laws
from solver.step_prepare import Preparation
from solver.step_sorts import CAPACITORS, RESISTORS, Sort
from solver.step_symbols import Symbols
from solver.step_teller import Held, Teller, parts_in
from solver.worked import Step

Equations = Callable[[SolvedNetwork, Solution, Symbols], tuple[Step, ...]]
"""Writes the equations of a network and solves them, with these symbols."""


class Partial:
    """A network whose groups are put together, and equations for the rest."""

    def __init__(self, solved: SolvedNetwork, plan: Plan, reduce: Reducer) -> None:
        network = solved.outcome.network
        self._solved: Final = solved
        of_resistances, of_capacitances = laws(network)
        aside = {*plan.shorted, *plan.idle, *plan.level, *plan.dead}
        node = plan.node
        resistors = [
            Link(part.name, node[part.a], node[part.b], part.resistance)
            for part in network.resistors
            if part.name not in aside
        ]
        capacitors = [
            Link(part.name, node[part.a], node[part.b], part.capacitance)
            for part in network.capacitors
            if part.name not in aside
        ]
        batteries = {node[end] for battery in network.batteries for end in (battery.a, battery.b)}
        self._reductions: Final[dict[Sort, Reduction]] = {
            RESISTORS: reduce(resistors, batteries | _ends(capacitors), of_resistances),
            CAPACITORS: reduce(capacitors, batteries | _ends(resistors), of_capacitances),
        }
        changes = [change for reduction in self._reductions.values() for change in reduction.changes]
        self.symbols: Final = symbols_of(network, changes)
        self._teller: Final = Teller(network, solved.writing, node, self.symbols, parts_in(changes))
        self._plan: Final = plan

    def steps(self, equations: Equations) -> Iterator[Step]:
        """In, the equations, and back."""
        preparation = Preparation(self._solved.sketch, self._teller, self._plan)
        yield from preparation.steps()
        drawing = preparation.drawing
        backs = []
        for sort, reduction in self._reductions.items():
            forward = Forward(self._teller, sort, reduction, drawing)
            yield from forward.steps()
            drawing = forward.drawings[-1]
            backs.append((sort, reduction, forward.drawings))
        reduced = self._reduced(drawing)
        for step in equations(reduced, solution_of(reduced), self.symbols):
            # What lights on the sheet are the parts in an equivalent.
            yield replace(step, parts=self._teller.parts_named(step.parts))
        for sort, reduction, drawings in reversed(backs):
            back = Back(self._teller, sort, reduction, drawings)
            for link in reduction.left:
                back.held[link.name] = self._held(reduced.outcome, sort, link)
            yield from back.steps()

    def _held(self, outcome: Outcome, sort: Sort, link: Link) -> Held:
        voltage = outcome.voltage(self._conductor(link.a), self._conductor(link.b))
        return Held(link.a, voltage, sort.through_of(link.value, voltage))

    def _conductor(self, node: int) -> int:
        """The conductor that stands for a node: the first of those that it is."""
        return self._plan.node.index(node)

    def _reduced(self, drawing: Drawing) -> SolvedNetwork:
        """What is left as a solved network; conductors keep their numbers."""
        network = self._solved.outcome.network
        zero = network.arithmetic.zero
        capacitors = [
            Capacitor(link.name, self._conductor(link.a), self._conductor(link.b), link.value, zero)
            for link in self._reductions[CAPACITORS].left
        ]
        resistors = [
            Resistor(link.name, self._conductor(link.a), self._conductor(link.b), link.value)
            for link in self._reductions[RESISTORS].left
        ]
        left = _with(network, self._plan.node, capacitors, resistors)
        writing, equivalents = self._solved.writing, self._solved.equivalents
        return SolvedNetwork.of(drawing.drawn, left, ideal_of(left), writing, equivalents=equivalents)


def _with(
    network: Network, node: Collection[int], capacitors: Collection[Capacitor], resistors: Collection[Resistor]
) -> Network:
    """The network with other capacitors and resistors; batteries end on the conductors that stand for nodes."""
    nodes = list(node)
    first = [nodes.index(number) for number in nodes]
    batteries = [
        type(battery)(battery.name, first[battery.a], first[battery.b], battery.emf, battery.internal)
        for battery in network.batteries
        if battery.a != battery.b
    ]
    return tied(
        network.joints,
        network.conductors,
        network.conductor_of,
        first[network.zero],
        list(capacitors),
        list(resistors),
        batteries,
        network.arithmetic,
    )


def _ends(links: Collection[Link]) -> set[int]:
    return {end for link in links for end in (link.a, link.b)}
