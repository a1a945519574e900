"""The worked solution of a stage: what it found on the plates, the charge that each isolated body keeps, the energy.

The equations are the charge sums of any network; only where the charges come from, and the account, are a stage's own.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import replace
from typing import Final

from solver.arithmetic import Scalar
from solver.energy import accounts
from solver.faults import every, listing
from solver.formula import Formula, Negative, Product, Sum, Symbol, half
from solver.network import Capacitor, Resistor
from solver.quantities import Quantity
from solver.readings import Reading
from solver.solution import Solution
from solver.solving import SolvedNetwork
from solver.stages import SolvedStage
from solver.step_equations import Equations
from solver.step_equations_account import initial_symbol
from solver.step_equations_charges import Potentials
from solver.step_equations_held import Held
from solver.step_equations_words import chunks_of, is_negative, lines_in_steps, sum_lines
from solver.step_teller import Teller, chain
from solver.worked import Line, Offer, Step, Way

STAGE: Final = Way("stage", "Charge kept")
_OPENING: Final = (
    "Where no conductor leads away, charge has to stay: the sum on each isolated body is the same before the switches "
    "go over and after. So what the stage before left on the plates makes one equation for each body, and from those "
    "come the voltages."
)
_ON_A_SHEET: Final = 12


def stage_offer(stages: Sequence[SolvedStage], number: int, solution: Solution) -> Offer | None:
    """The way for one of the stages; None where nothing is on any plate to be kept, or currents go on in the end."""
    stage = stages[number]
    if stage.solved is None or stage.thrown is None or not stage.solved.outcome.network.capacitors:
        return None
    begins = any(part.initial for part in stage.thrown.outcome.network.capacitors)
    if not stage.solved.outcome.network.arithmetic.exact or not (begins or number):
        return None
    if stage.solved.outcome.flows:
        return None
    return Offer(STAGE, lambda: _OPENING, lambda: tuple(_StageSteps(stages, number, solution).steps()))


def charge_before(teller: Teller, part: Capacitor) -> Symbol:
    """The charge that the stage before left on a capacitor: Q₁,₀."""
    own = teller.symbols.charge(part.name)
    return Symbol(own.stem, f"{own.index},0")


class _Carried(Potentials):
    """Potentials from charges that the stage before left."""

    when = "As this stage began"

    def began(self, part: Capacitor) -> tuple[Formula, Formula]:
        teller = self._teller
        return charge_before(teller, part), teller.amount(part.capacitance * part.initial, Quantity.CHARGE)


class _CarriedHeld(Held):
    """What the capacitors hold; the account of the energy is the stage's own, and comes after."""

    def began(self, part: Capacitor) -> Formula:
        return charge_before(self._teller, part)

    def account(self, works: Mapping[str, Scalar]) -> Iterator[Step]:
        return iter(())


class _StageEquations(Equations):
    potentials = _Carried
    held = _CarriedHeld


class _StageSteps:
    def __init__(self, stages: Sequence[SolvedStage], number: int, solution: Solution) -> None:
        self._stage: Final = stages[number]
        assert self._stage.solved is not None
        assert self._stage.thrown is not None
        self._solved: Final[SolvedNetwork] = self._stage.solved.at_rest
        self._thrown: Final[SolvedNetwork] = self._stage.thrown
        self._before: Final = next((each for each in reversed(stages[:number]) if each.solved is not None), None)
        self._number: Final = number
        self._solution: Final = solution
        self._equations: Final = _StageEquations(self._solved, None)
        self._teller: Final = self._equations.teller
        old = {part.name: part for part in self._thrown.outcome.network.capacitors}
        self._changed: Final = [
            (old[part.name], part)
            for part in self._solved.outcome.network.capacitors
            if old[part.name].capacitance != part.capacitance
        ]

    def steps(self) -> Iterator[Step]:
        """All steps, in their order."""
        yield from self._found()
        if self._changed:
            yield self._changes()
        told: dict[str, Reading] = {}
        for step in self._equations.steps():
            told |= step.readings
            yield step
        yield from self._energy()
        yield self._check(told)

    def _found(self) -> Iterator[Step]:
        teller = self._teller
        parts = self._thrown.outcome.network.capacitors
        name = f"“{self._before.stage.name}”" if self._before and self._before.stage.name else "the stage before"
        if self._number == 0:
            reason = "These charges are on the plates before anything is connected."
        else:
            reason = (
                f"This is what {name} left. Charge stays on the plates until a switch goes over and gives it a way; on "
                "a plate at the part's other end there is as much of the opposite sign."
            )
        lines = []
        for part in parts:
            charge = teller.amount(part.capacitance * part.initial, Quantity.CHARGE)
            factors = (
                teller.amount(part.capacitance, Quantity.CAPACITANCE),
                teller.amount(part.initial, Quantity.VOLTAGE),
            )
            letters = Product(teller.symbols.value(part.name), initial_symbol(teller, part))
            lines.append(
                chain(charge_before(teller, part), *([letters, Product(*factors)] if part.initial else []), charge)
            )
        for chunk in lines_in_steps(lines):
            yield Step(
                "given", "What the stage begins with", tuple(part.name for part in parts), (), reason, tuple(chunk)
            )

    def _changes(self) -> Step:
        teller = self._teller
        names = [new.name for _, new in self._changed]
        lines = [
            chain(teller.symbols.value(new.name), teller.amount(new.capacitance, Quantity.CAPACITANCE))
            for _, new in self._changed
        ]
        reason = (
            f"In this stage {listing(names)} {'gets another value' if len(names) == 1 else 'get other values'}. That "
            "alone moves no charge to where no conductor leads: the charges before stay as they were, and count in the "
            "sums below; the capacitances in them are the new ones."
        )
        return Step("given", f"The new value of {listing(names)}", tuple(names), (), reason, tuple(lines))

    def _energy(self) -> Iterator[Step]:
        """Before, after, the work of batteries and hand, and what was lost."""
        account, teller = self._stage.account, self._teller
        if account is None:
            return
        parts = self._thrown.outcome.network.capacitors
        charged = [part for part in parts if part.initial]
        lines: list[Line] = []
        for chunk in chunks_of(charged, _ON_A_SHEET):
            lines += sum_lines(
                Symbol("U", "before"),
                [Product(half(charge_before(teller, part)), initial_symbol(teller, part)) for part in chunk],
                [self._energy_before(part) for part in chunk],
                result=teller.amount(account.before.scalar, Quantity.ENERGY),
            )
        if not charged:
            lines.append(chain(Symbol("U", "before"), teller.amount(account.before.scalar, Quantity.ENERGY)))
        lines.append(chain(Symbol("U", "after"), teller.amount(account.after.scalar, Quantity.ENERGY)))
        if not self._changed:
            balanced = self._step("The energy, and what is lost", self._lost_reason(), [*lines, *self._balance()])
            yield replace(balanced, readings={"total.lost": teller.reading(account.lost.scalar, Quantity.ENERGY)})
            return
        yield self._step("The energy before and after", "Energies add up, wherever they are stored.", lines)
        yield from self._two_parts()

    def _energy_before(self, part: Capacitor) -> Formula:
        return self._teller.amount(part.capacitance * part.initial * part.initial / 2, Quantity.ENERGY)

    def _works(self) -> tuple[list[Formula], list[Formula]]:
        account, teller = self._stage.account, self._teller
        assert account is not None
        worked = [(name, work) for name, work in account.work.items() if work.scalar]
        return (
            [Symbol("W", name) for name, _ in worked],
            [teller.amount(work.scalar, Quantity.WORK) for _, work in worked],
        )

    def _balance(self) -> list[Line]:
        account, teller = self._stage.account, self._teller
        assert account is not None
        symbols, amounts = self._works()
        before, after = (teller.amount(each.scalar, Quantity.ENERGY) for each in (account.before, account.after))
        lost = teller.amount(account.lost.scalar, Quantity.ENERGY)
        return [
            chain(
                Symbol("W", "lost"),
                Sum(Symbol("U", "before"), *symbols, Negative(Symbol("U", "after"))),
                Sum(before, *amounts, Negative(after)),
                lost,
            )
        ]

    def _lost_reason(self) -> str:
        account = self._stage.account
        assert account is not None
        works = " and what the batteries gave" if any(work.scalar for work in account.work.values()) else ""
        if not account.lost.scalar:
            return f"What was stored before{works} is all stored now: nothing is lost."
        if any(part.resistance for part in self._solved.outcome.network.resistors):
            where = "it went as heat in the resistances, and what moved at once as a spark"
        else:
            where = "it went in the spark, as heat and a little radiation, and cannot be given to one part"
        return f"What was stored before{works} is not all stored now. The rest is lost: {where}."

    def _two_parts(self) -> Iterator[Step]:
        """First the switches, at once; then the values, slowly, by hand."""
        account, teller = self._stage.account, self._teller
        assert account is not None
        sudden = accounts(self._thrown.outcome)
        zero = self._thrown.outcome.network.arithmetic.zero
        between = sum((each.stored for each in sudden), zero)
        first = sum((each.work for each in sudden), zero)
        symbols, amounts = self._works()
        lost, by_hand = account.lost.scalar, account.by_hand.scalar
        lines = []
        if lost:
            lines.append(
                chain(
                    Symbol("W", "lost"),
                    Sum(Symbol("U", "before"), Symbol("W", "first"), Negative(Symbol("U", "between"))),
                    Sum(
                        teller.amount(account.before.scalar, Quantity.ENERGY),
                        teller.amount(first, Quantity.WORK),
                        Negative(teller.amount(between, Quantity.ENERGY)),
                    ),
                    teller.amount(lost, Quantity.ENERGY),
                )
            )
        hand = [Symbol("U", "after"), *([Symbol("W", "lost")] if lost else [])]
        hand_amounts = [
            teller.amount(account.after.scalar, Quantity.ENERGY),
            *([teller.amount(lost, Quantity.ENERGY)] if lost else []),
        ]
        before = teller.amount(account.before.scalar, Quantity.ENERGY)
        lines.append(
            chain(
                Symbol("W", "hand"),
                Sum(*hand, Negative(Symbol("U", "before")), *map(Negative, symbols)),
                Sum(*hand_amounts, Negative(before), *map(Negative, amounts)),
                teller.amount(by_hand, Quantity.WORK),
            )
        )
        first_part = (
            "First only the switches go over: with what the batteries give then, the capacitors come to the energy "
            "between, and what is lost is lost here. "
            if lost
            else ""
        )
        begins = f"{first_part}{'Then the' if lost else 'The'} new"
        comes = "value comes" if len(self._changed) == 1 else "values come"
        held = ", which here had to hold back" if is_negative(by_hand, teller) else ""
        reason = (
            f"{begins} {comes} slowly, so that nothing more is lost: what the energy has changed by and the batteries "
            f"did not give came from the hand{held}."
        )
        yield self._step("The work done by hand", reason, lines)

    def _step(self, title: str, reason: str, lines: Sequence[Line]) -> Step:
        names = tuple(part.name for part in self._thrown.outcome.network.branches if not isinstance(part, Resistor))
        return Step("energies", title, names, (), reason, tuple(lines))

    def _check(self, told: Mapping[str, Reading]) -> Step:
        """Each voltage and charge against what the solver found for the stage, exactly."""
        compared = []
        for key, reading in told.items():
            owner, _, word = key.rpartition(".")
            own = getattr(self._solution.parts.get(owner), word, None)
            if own is not None and word in ("voltage", "charge"):
                compared.append((owner, word, own.scalar - reading.scalar))
        right = [each for each in compared if not each[2]]
        names = tuple(dict.fromkeys(owner for owner, _, _ in compared))
        agree = "agrees exactly" if len(right) == len(compared) else f"agrees in {len(right)} of {len(compared)} cases"
        reason = (
            f"The solver finds the stage by a way of its own. With {every(names)} that makes {len(compared)} voltages "
            f"and charges to compare, and each {agree}."
        )
        return Step("check", "Check: against the solver", names, (), reason)
