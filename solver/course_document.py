"""A stage's course as a document: each reading at every moment, as a curve or as a sum of products of curves.

Whoever draws a moment puts it together from this without knowing any physics: a curve is its end and its exponentials,
a sum names what it adds up. What every reading is just after the start and in the end is written out.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from typing import Any, Final

import flint

from solver.arithmetic import Scalar
from solver.checks import conductor_name
from solver.course_tiles import moving_tiles
from solver.decay import Decay
from solver.effort import bits_of_answer
from solver.exact import Rationals
from solver.format import format_float, format_number, format_symbolic
from solver.functions import Function, number_of
from solver.kinds import SWITCHES
from solver.network import Network
from solver.outcome import Outcome
from solver.quantities import Quantity
from solver.readings import LONGEST_FORMULA, PartReadings, Reading, Writing
from solver.solution import Solution
from solver.sparse import Floats
from solver.stages import SolvedStage
from solver.transient import MOST_TIME_CONSTANTS, Curve, PartCurves, TooManyTimeConstants, Transient

_SECOND: Final = "s"
_MOST_PARTS: Final = 200
"""Parts up to which the course in time is worked out."""
_ALWAYS: Final = 60
"""Parts up to which it is however long their values are."""
_MOST_WORK: Final = 2_000_000
"""Bits of an answer times capacitors (the time constants there may be) up to which it is in a larger network: that took
up to 0.3 s where this was measured."""
_TOO_MANY_PARTS: Final = f"The course in time is worked out for up to {_MOST_PARTS} parts."
_TOO_MANY_CONSTANTS: Final = (
    "The course in time is not worked out here: there are too many time constants, or they are too close together."
)
_TOO_LONG: Final = (
    "The course in time is not worked out here: in a network of this size its exact numbers get too long. "
    "Fewer parts, or values with fewer figures, help."
)
_SYMBOLS: Final = (
    "With symbols the course in time is worked out where there is one time constant; here there are several."
)
_CURRENTS: Final = {"voltage": Quantity.VOLTAGE, "current": Quantity.CURRENT, "charge": Quantity.CHARGE}


def course_document(solved: SolvedStage, solution: Solution) -> dict[str, Any] | None:
    """The time constants (seconds, longest first), their texts, the curves, and with `moment` all other readings.

    None where nothing takes time; only a `reason` where it is too much to be worked out. `spark` is the energy that is
    lost at once, beside the `heat` in each part. Where symbols occur the one time constant has a text, no number unless
    the symbols are not in it, and there is no `moment`. `solution` is that of the stage.
    """
    assert solved.thrown is not None
    outcome = solved.thrown.outcome
    if len(solved.sketch.parts) > _MOST_PARTS:
        return {"reason": _TOO_MANY_PARTS} if _takes_time(outcome) else None
    exact = isinstance(outcome.network.arithmetic, Rationals)
    if exact and _is_too_long(solved):
        return {"reason": _TOO_LONG} if _takes_time(outcome) else None
    try:
        found = solved.thrown.over_time
        if not found.decay.rates and found.decay.exact is None:
            return None
        return _worked_out(solved, solution, found, with_moment=exact)
    except TooManyTimeConstants:
        if isinstance(outcome.network.arithmetic, Floats):
            return {"reason": _TOO_LONG}
        return {"reason": _TOO_MANY_CONSTANTS if exact else _SYMBOLS}


def _worked_out(solved: SolvedStage, solution: Solution, found: Transient, *, with_moment: bool) -> dict[str, Any]:
    assert solved.thrown is not None
    writer = _Writer(solved.thrown.writing)
    document = {
        "timeConstants": [1 / rate for rate in found.decay.rates],
        "timeTexts": writer.times(found.decay),
        "parts": {name: writer.part(curves, solution.parts[name]) for name, curves in found.parts.items()},
    }
    if (spark := _spark(solved.thrown.outcome, found)) is not None:
        document["spark"] = writer.reading(spark, Quantity.ENERGY)
    if with_moment:
        document["moment"] = _Moment(solved, solution, found, writer).document()
    return document


def _spark(outcome: Outcome, found: Transient) -> Scalar | None:
    """The energy (joules) lost at once, before any resistor has taken any; None where a steady current goes on."""
    if found.work is None:
        return None
    zero = outcome.network.arithmetic.zero
    before = sum((part.capacitance * part.initial * part.initial for part in outcome.network.capacitors), zero) / 2
    after = zero
    for part in outcome.network.capacitors:
        curves = found.parts[part.name]
        assert curves.charge is not None
        after += curves.voltage.first * curves.charge.first / 2
    return before + found.work.first - after


def _is_too_long(solved: SolvedStage) -> bool:
    assert solved.thrown is not None
    network = solved.thrown.outcome.network
    rates = min(len(network.capacitors), MOST_TIME_CONSTANTS)
    return len(solved.sketch.parts) > _ALWAYS and sum(bits_of_answer(network)) * rates > _MOST_WORK


def _takes_time(outcome: Outcome) -> bool:
    """Whether the network could take time: there are both resistances and capacitors."""
    network = outcome.network
    resistance = network.resistors or any(battery.internal is not None for battery in network.batteries)
    return bool(network.capacitors and resistance)


class _Writer:
    """Writes curves; the readings at their ends in one writing."""

    def __init__(self, writing: Writing) -> None:
        self._writing: Final = writing

    def times(self, decay: Decay) -> list[str]:
        """The time constants as they are read; the only one from its exact value, in symbols where those remain."""
        figures, units = self._writing.figures, self._writing.symbol_units
        if decay.exact is None:
            return [format_float(1 / rate, _SECOND, figures) for rate in decay.rates]
        if (rate := number_of(decay.exact)) is not None:
            return [format_number(1 / rate, _SECOND, figures)]
        constant: Function = 1 / decay.exact
        if constant.length > LONGEST_FORMULA:
            return [f"a formula of {constant.length} terms"]
        return [format_symbolic(constant.named(self._writing.symbols), _SECOND, figures, units)]

    def part(self, curves: PartCurves, settled: PartReadings) -> dict[str, Any]:
        """The curves of a part, and the heat in it."""
        document = {
            name: self.curve(curve, quantity, getattr(settled, name, None))
            for name, quantity in _CURRENTS.items()
            if (curve := getattr(curves, name)) is not None
        }
        if curves.heat is not None:
            document["heat"] = self.reading(curves.heat, Quantity.ENERGY)
        return document

    def curve(self, curve: Curve, quantity: Quantity, settled: Reading | None = None) -> dict[str, Any]:
        """Both ends as readings, and the amplitudes."""
        return {**self.ends(curve.first, curve.final, quantity, settled), "amplitudes": list(curve.amplitudes)}

    def ends(self, first: Scalar, final: Scalar, quantity: Quantity, settled: Reading | None = None) -> dict[str, Any]:
        """What is read just after the start, and in the end: mostly that is how it is `settled`, which is written."""
        end = None
        if settled is not None and settled.quantity is quantity and not isinstance(final, float):
            end = settled.document() if settled.scalar == final else None
        return {"first": self.reading(first, quantity), "final": end or self.reading(final, quantity)}

    def reading(self, scalar: Scalar, quantity: Quantity) -> dict[str, Any]:
        """A reading; the sketch's figures also where it is known only as a float."""
        number = flint.fmpq(*scalar.as_integer_ratio()) if isinstance(scalar, float) else scalar
        return Reading(number, quantity, self._writing).document()


@dataclass(frozen=True)
class _Sum:
    """A reading that is a constant and a sum of products: each a factor and the keys of the readings it multiplies."""

    first: Scalar
    final: Scalar
    terms: tuple[tuple[Scalar, tuple[str, ...]], ...]
    constant: Scalar = 0


@dataclass(frozen=True)
class _Moment:
    """Everything else that the sheet shows at a moment, by the names that a solution has for it."""

    solved: SolvedStage
    solution: Solution
    found: Transient
    writer: _Writer

    def document(self) -> dict[str, Any]:
        """Conductors, parts, totals and probes; the signs of the checks' terms; the rectangles."""
        write = self.writer
        sketch = self.solved.sketch
        switches = {part.name: self._between(*part.gap) for part in sketch.parts if part.kind in SWITCHES}
        parts = {name: {"voltage": curve} for name, curve in switches.items() if curve}
        parts |= {
            name: {
                word: self._sum(value, quantity, getattr(self.solution.parts[name], word, None))
                for word, (value, quantity) in own.items()
            }
            for name, own in self._of_parts().items()
        }
        return {
            "conductors": {
                name: write.curve(curve, Quantity.POTENTIAL, self.solution.conductors[name].potential)
                for name, curve in zip(
                    map(conductor_name, range(len(self.found.potentials))), self.found.potentials, strict=True
                )
            },
            "parts": parts,
            "totals": dict(self._totals()),
            "probes": [self._between(a, b) for a, b in sketch.probes],
            "signs": list(self._signs()),
            "tiles": moving_tiles(self._thrown, self.found),
        }

    @property
    def _thrown(self) -> Any:
        return self.solved.thrown

    @property
    def _network(self) -> Network:
        network: Network = self._thrown.outcome.network
        return network

    def _between(self, a: str, b: str) -> dict[str, Any] | None:
        """The voltage between two joints; None where nothing ties the two to each other."""
        network = self._network
        one, other = network.conductor_of[a], network.conductor_of[b]
        if network.piece_at[one] != network.piece_at[other]:
            return None
        return self.writer.curve(self.found.between(one, other), Quantity.VOLTAGE)

    def _of_parts(self) -> dict[str, dict[str, tuple[_Sum, Quantity]]]:
        """Energy of capacitors, power of resistors, power and work of batteries."""
        curves = self.found.parts
        found: dict[str, dict[str, tuple[_Sum, Quantity]]] = {}
        for part in self._network.capacitors:
            energy = _product(flint.fmpq(1, 2), part.name, "voltage", "charge", curves[part.name])
            found[part.name] = {"energy": (energy, Quantity.ENERGY)}
        for resistor in self._network.resistors:
            power = _product(flint.fmpq(1), resistor.name, "voltage", "current", curves[resistor.name])
            found[resistor.name] = {"power": (power, Quantity.POWER)}
        for battery in self._network.batteries:
            own = curves[battery.name]
            found[battery.name] = {
                word: (_times(battery.emf, f"{battery.name}.{of}", curve), quantity)
                for word, of, curve, quantity in (
                    ("power", "current", own.current, Quantity.POWER),
                    ("work", "charge", own.charge, Quantity.WORK),
                )
                if curve is not None
            }
        return found

    def _totals(self) -> Iterator[tuple[str, dict[str, Any]]]:
        curves = self.found.parts
        energies = [
            _product(flint.fmpq(1, 2), part.name, "voltage", "charge", curves[part.name])
            for part in self._network.capacitors
        ]
        stored = _together(energies)
        yield "energy", self._sum(stored, Quantity.ENERGY)
        powers = [
            _product(flint.fmpq(1), resistor.name, "voltage", "current", curves[resistor.name])
            for resistor in self._network.resistors
        ]
        for battery in self._network.batteries:
            if battery.internal is not None:
                powers.append(_product(battery.internal, battery.name, "current", "current", curves[battery.name]))
        if powers:
            yield "power", self._sum(_together(powers), Quantity.POWER)
        if (work := self.found.work) is not None:
            if self._network.batteries:
                yield "work", self.writer.curve(work, Quantity.WORK)
            before = sum(
                (part.capacitance * part.initial * part.initial / 2 for part in self._network.capacitors),
                flint.fmpq(0),
            )
            one = flint.fmpq(1)
            terms: tuple[tuple[Scalar, tuple[str, ...]], ...] = ((-one, ("total.energy",)),)
            if self._network.batteries:
                terms = ((one, ("total.work",)), *terms)
            lost = _Sum(before + work.first - stored.first, before + work.final - stored.final, terms, before)
            yield "lost", self._sum(lost, Quantity.ENERGY)

    def _signs(self) -> Iterator[list[int] | None]:
        """For each check that a document lists the signs with which its parts' readings go into it; None for others."""
        words = {"loop": "voltage", "charge": "charge"}
        for check in self.solution.checks.shown():
            if check.kind == "energy":
                yield None
            else:
                readings = (getattr(self.solution.parts[name], words[check.kind]) for name in check.parts)
                yield [1 if term is reading else -1 for term, reading in zip(check.terms, readings, strict=False)]

    def _sum(self, found: _Sum, quantity: Quantity, settled: Reading | None = None) -> dict[str, Any]:
        return {
            **self.writer.ends(found.first, found.final, quantity, settled),
            "constant": float(found.constant),
            "terms": [[float(factor), *keys] for factor, keys in found.terms],
        }


def _product(factor: Scalar, name: str, one: str, other: str, curves: PartCurves) -> _Sum:
    a, b = getattr(curves, one), getattr(curves, other)
    keys = (f"{name}.{one}", f"{name}.{other}")
    return _Sum(factor * a.first * b.first, factor * a.final * b.final, ((factor, keys),))


def _times(factor: Scalar, key: str, curve: Curve) -> _Sum:
    return _Sum(factor * curve.first, factor * curve.final, ((factor, (key,)),))


def _together(sums: Sequence[_Sum]) -> _Sum:
    zero = flint.fmpq(0)
    first, final = sum((each.first for each in sums), zero), sum((each.final for each in sums), zero)
    return _Sum(first, final, tuple(term for each in sums for term in each.terms))
