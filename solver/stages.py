"""Before and after: a sketch's stages solved one after the other, each from the charges that the one before left.

In a stage the switches go over first, and a battery takes its new emf, both at once: what charge is then lost to heat
and spark. Capacitors change their values after that, so slowly that nothing is lost: the batteries and the hand that
moves plate or slab do the work, and the stored energy follows (common practice).
"""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping, Sequence
from dataclasses import dataclass, replace

from solver.arithmetic import Arithmetic, Scalar
from solver.carried import Charges, charges_held, holding, starting_charges
from solver.effort import MOST_BITS, bits_of_answer, symbols_are_quick
from solver.elements import Element, ValueReader, symbol_units, symbols_used_twice
from solver.energy import accounts
from solver.exact import Rationals
from solver.faults import SketchFault, SketchFaults, TooManySymbols, UnknownStagePart, listing
from solver.functions import Functions
from solver.ideal import ideal_of
from solver.kinds import KINDS
from solver.network import Network, build
from solver.outcome import Outcome
from solver.quantities import Quantity
from solver.readings import Reading, Writing
from solver.relaxation import Relaxations
from solver.sketch import Part, Sketch, Stage
from solver.solving import SolvedNetwork, contradictions
from solver.sparse import Floats

Read = Callable[[Sketch], tuple[list[Element], list[SketchFault]]]
"""Reads the values of a sketch: its elements, and what is wrong with them."""


@dataclass(frozen=True)
class StageAccount:
    """Where the energy of a stage came from and went: before + work + by hand = after + lost, exactly (joules).

    `work` has each battery's, `by_hand` is what moving plates and slabs took (less than zero where they pull
    themselves), `lost` went as heat and spark.
    """

    before: Reading
    work: Mapping[str, Reading]
    by_hand: Reading
    after: Reading
    lost: Reading


@dataclass(frozen=True)
class KeptCharge:
    """An isolated body before and after: its plates' charges change, their sum does not.

    `before` and `after` have a charge for each plate, in the order of `parts`.
    """

    joints: tuple[str, ...]
    parts: tuple[str, ...]
    before: tuple[Reading, ...]
    after: tuple[Reading, ...]
    sum: Reading


@dataclass(frozen=True)
class SolvedStage:
    """A stage: the sketch as arranged in it, solved; or the faults that keep it from being solved.

    `solved` begins with the charges that the stage found, so its batteries' charges and work are those of the whole
    stage; where values change, what it says of energy is in `account` instead. `thrown` is what the switches alone
    bring about, which takes its time. `account` is None where a steady current remains, since that has no end.
    """

    stage: Stage
    sketch: Sketch
    solved: SolvedNetwork | None
    thrown: SolvedNetwork | None
    account: StageAccount | None
    kept: tuple[KeptCharge, ...]
    faults: tuple[SketchFault, ...]


def solve_stages(
    sketch: Sketch, reading: Read | None = None, numbers: Arithmetic | None = None
) -> tuple[SolvedStage, ...]:
    """Solves the stages of a sketch in their order; a sketch without stages is one stage by itself.

    `reading` reads the values of a sketch as arranged in a stage, where they are not all as typed; `numbers` are those
    to solve with, where they do not follow from the values.

    The first starts from the capacitors' initial voltages. A stage with a fault has it in `faults`; the next one starts
    from the charges of the last that could be solved. Raises SketchFaults where every stage has a value at fault, or a
    symbol stands for two things.
    """
    stages = sketch.stages or (_as_drawn(sketch),)
    arranged = list(_arranged(sketch, stages))
    read = [(reading or _read)(each) for each in arranged]
    first = next((elements for elements, faults in read if not faults), None)
    if first is None:
        raise SketchFaults(read[0][1])
    every = [*(element for elements, _ in read for element in elements)]
    units = symbol_units(every)
    if faults := symbols_used_twice(every):
        raise SketchFaults(list({fault.text: fault for fault in faults}.values()))
    arithmetic = numbers or _arithmetic(sketch, first, tuple(units))
    writing = Writing(sketch.figures, units)
    charges = starting_charges(build(sketch, first, arithmetic))
    solved = []
    before = first
    known = Relaxations()
    for stage, here, (elements, faults) in zip(stages, arranged, read, strict=True):
        found = _Step(here, before, elements, arithmetic, writing, charges, known).stage(
            stage, [*_unknown(sketch, stage), *faults]
        )
        solved.append(found)
        if found.solved is not None:
            charges = charges_held(found.solved.outcome)
            before = elements
    return tuple(solved)


def _as_drawn(sketch: Sketch) -> Stage:
    return Stage(
        closed=tuple(part.name for part in sketch.parts if part.closed),
        second=tuple(part.name for part in sketch.parts if part.rests == "second"),
    )


def _arranged(sketch: Sketch, stages: Sequence[Stage]) -> Iterator[Sketch]:
    """The sketch with its switches and values as each stage has them."""
    values: dict[str, str] = {}
    for stage in stages:
        values |= dict(stage.settings)
        parts = (_as_in(part, stage, values) for part in sketch.parts)
        yield replace(sketch, parts=tuple(parts), stages=(), stage=None, moment=None)


def _as_in(part: Part, stage: Stage, values: Mapping[str, str]) -> Part:
    if part.kind == "switch":
        return part._replace(closed=part.name in stage.closed)
    if part.kind == "two-way switch":
        return part._replace(rests="second" if part.name in stage.second else "first")
    return part._replace(value=values[part.name]) if part.name in values and part.kind != "wire" else part


def _read(sketch: Sketch) -> tuple[list[Element], list[SketchFault]]:
    reader = ValueReader()
    return [reader.element(part) for part in sketch.parts], reader.faults


def _unknown(sketch: Sketch, stage: Stage) -> list[SketchFault]:
    kinds = {part.name: part.kind for part in sketch.parts}
    return [
        *(UnknownStagePart(name=name, what="a switch") for name in stage.closed if kinds.get(name) != "switch"),
        *(
            UnknownStagePart(name=name, what="a two-way switch")
            for name in stage.second
            if kinds.get(name) != "two-way switch"
        ),
        *(
            UnknownStagePart(name=name, what="a part with a value")
            for name, _ in stage.settings
            if KINDS[kinds.get(name, "wire")].quantity is None
        ),
    ]


def _arithmetic(sketch: Sketch, elements: list[Element], symbols: tuple[str, ...]) -> Arithmetic:
    """Exact where that is quick enough for the network with all its switches as drawn, else floats."""
    if symbols:
        functions: Arithmetic = Functions(symbols)
        if not symbols_are_quick(build(sketch, elements, functions), elements):
            raise SketchFaults([TooManySymbols(symbols=listing(list(symbols)))])
        return functions
    exact: Arithmetic = Rationals()
    return exact if sum(bits_of_answer(build(sketch, elements, exact))) <= MOST_BITS else Floats()


@dataclass(frozen=True)
class _Step:
    """From stage to stage: the sketch as arranged now, its elements before and now, the charges there were, and what is
    `known` of the courses of networks with the same parts."""

    sketch: Sketch
    before: list[Element]
    now: list[Element]
    arithmetic: Arithmetic
    writing: Writing
    charges: Charges
    known: Relaxations

    def stage(self, stage: Stage, faults: list[SketchFault]) -> SolvedStage:
        if faults:
            return self._at_fault(stage, faults)
        network = build(self.sketch, self.now, self.arithmetic)
        if faults := contradictions(self.sketch, network, ideal_of(network)):
            return self._at_fault(stage, faults)
        elements, moved = self._thrown(), None
        if elements == self.now:
            thrown = solved = self._settled(network, self.charges)
        else:
            thrown = self._settled(build(self.sketch, elements, self.arithmetic), self.charges)
            moved = self._settled(network, charges_held(thrown.outcome)).outcome
            solved = replace(self._settled(network, self.charges), moved=True)
        account = self._account(thrown.outcome, moved)
        return SolvedStage(stage, self.sketch, solved, thrown, account, self._kept(solved), ())

    def _thrown(self) -> list[Element]:
        """The elements once the switches have gone over: capacitors still as they were, all else as it is now."""
        old = {element.part.name: element for element in self.before}
        return [old[element.part.name] if element.part.kind == "capacitor" else element for element in self.now]

    def _at_fault(self, stage: Stage, faults: list[SketchFault]) -> SolvedStage:
        return SolvedStage(stage, self.sketch, None, None, None, (), tuple(faults))

    def _settled(self, empty: Network, charges: Charges) -> SolvedNetwork:
        network = holding(empty, charges)
        solved = SolvedNetwork.of(self.sketch, network, ideal_of(network), self.writing, equivalents=True)
        return replace(solved, known=self.known)

    def _account(self, thrown: Outcome, moved: Outcome | None) -> StageAccount | None:
        """What the switches bring about is sudden; what is `moved` after that, slow."""
        outcomes = [thrown, moved] if moved else [thrown]
        if any(outcome.flows for outcome in outcomes):
            return None
        zero = self.arithmetic.zero
        sudden = accounts(thrown)
        works = {
            battery.name: battery.emf * sum((outcome.passed.battery[index] for outcome in outcomes), zero)
            for index, battery in enumerate(thrown.network.batteries)
        }
        between = after = sum((account.stored for account in sudden), zero)
        by_hand = zero
        if moved:
            slow = accounts(moved)
            after = sum((account.stored for account in slow), zero)
            by_hand = after - between - sum((account.work for account in slow), zero)

        def energy(scalar: Scalar) -> Reading:
            return Reading(scalar, Quantity.ENERGY, self.writing)

        return StageAccount(
            before=energy(sum((account.stored - account.rise for account in sudden), zero)),
            work={name: Reading(work, Quantity.WORK, self.writing) for name, work in works.items()},
            by_hand=energy(by_hand),
            after=energy(after),
            lost=energy(sum((account.lost for account in sudden), zero)),
        )

    def _kept(self, solved: SolvedNetwork) -> tuple[KeptCharge, ...]:
        """Conductors, or several that resistors join, which no battery feeds: what was on their plates and what is."""
        network, held = solved.outcome.network, charges_held(solved.outcome)
        fed = {network.body_of[battery.a] for battery in network.batteries}
        plates: dict[int, list[tuple[str, int]]] = {body: [] for body in range(len(network.bodies)) if body not in fed}
        for part in network.capacitors:
            a, b = network.body_of[part.a], network.body_of[part.b]
            if a != b:
                for body, sign in ((a, 1), (b, -1)):
                    if body in plates:
                        plates[body].append((part.name, sign))

        def charge(scalar: Scalar) -> Reading:
            return Reading(scalar, Quantity.CHARGE, self.writing)

        return tuple(
            KeptCharge(
                joints=tuple(joint for conductor in network.bodies[body] for joint in network.conductors[conductor]),
                parts=tuple(name for name, _ in own),
                before=tuple(charge(sign * self.charges[name]) for name, sign in own),
                after=tuple(charge(sign * held[name]) for name, sign in own),
                sum=charge(sum((sign * held[name] for name, sign in own), self.arithmetic.zero)),
            )
            for body, own in plates.items()
            if len(own) > 1
        )
