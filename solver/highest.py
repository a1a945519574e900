"""The highest emf of a battery at which all rated capacitors hold, at every moment of every stage, and what limits it.

All voltages are linear in one emf, so two solutions tell all others. The ends of every way give exact bounds; between
them each voltage is a sum of exponentials whose extremes are found anew at each bound that is tried, which only ever
makes it lower, since the largest voltage is a convex function of the emf. What is told is rounded down, and proved.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from typing import Any, Final

import flint

from solver.carried import voltages_held
from solver.extremes import IN_THE_END, found_highest, found_lowest
from solver.faults import SketchFaults
from solver.functions import number_of
from solver.rounding import round_ratio
from solver.sketch import Part, Sketch, Stage
from solver.solving import SolvedNetwork
from solver.stages import SolvedStage, solve_stages
from solver.strains import Limit, Path, limits_of, paths_of

_ROUNDS: Final = 30
_SLACK: Final = flint.fmpq(1, 10**8)


@dataclass(frozen=True)
class Bound:
    """A part that limits an emf (volts), in which stage and when (seconds; None before it, infinite in the end)."""

    emf: flint.fmpq
    part: str
    stage: int
    time: float | None


@dataclass(frozen=True)
class Highest:
    """The highest emf of a battery in one stage, or in all of them: `emf` as it is, `told` rounded down to the sketch's
    figures; what limits it; at `told` the charge that the battery delivers in the stage (None where it is not
    determined) and the energy stored at its end."""

    battery: str
    emf: flint.fmpq
    told: flint.fmpq
    bounds: tuple[Bound, ...]
    charge: flint.fmpq | None
    energy: flint.fmpq | None

    @property
    def limited_by(self) -> tuple[str, ...]:
        """The parts that are at a limit at the highest emf."""
        return tuple(dict.fromkeys(bound.part for bound in self.bounds))


class Strained(Exception):
    """Some parts are past their limits at any emf of the battery; `parts` names them."""

    def __init__(self, parts: Sequence[str]) -> None:
        super().__init__(", ".join(parts))
        self.parts = tuple(parts)


class EmfNotOne(Exception):
    """The stages give the battery several emfs."""


def highest_emfs(sketch: Sketch, battery: str) -> tuple[Highest | None, tuple[Highest | None, ...]]:
    """The highest emf of a battery in all stages together and in each, all else as it is; None where no limit depends
    on it. Raises Strained, EmfNotOne, SketchFaults, and KeyError where there is no such battery."""
    if not any(part.name == battery and part.kind == "battery" for part in sketch.parts):
        raise KeyError(battery)
    if any(name == battery for stage in sketch.stages[1:] for name, _ in stage.settings):
        raise EmfNotOne(battery)
    return _Search(sketch, battery).found()


def with_emf(sketch: Sketch, battery: str, emf: str) -> Sketch:
    """The sketch with another emf, in its stages too."""

    def part(each: Part) -> Part:
        return each._replace(value=emf) if each.name == battery else each

    def stage(each: Stage) -> Stage:
        return replace(each, settings=tuple((name, emf if name == battery else text) for name, text in each.settings))

    return replace(sketch, parts=tuple(map(part, sketch.parts)), stages=tuple(map(stage, sketch.stages)))


@dataclass(frozen=True)
class _Ways:
    """One part through one stage, at emfs of 0 V and 1 V."""

    limit: Limit
    stage: int
    off: Path
    on: Path

    def stops(self) -> Iterator[tuple[flint.fmpq, flint.fmpq, float | None]]:
        """Voltage without the battery, its rise with the emf, and the time, at each end of the way."""
        for (start, time), (one, _) in zip(self.off.stops(), self.on.stops(), strict=True):
            yield start, one - start, time

    def between(self, emf: flint.fmpq) -> Path:
        """The way at an emf. Rates whose intervals meet are one and the same root."""
        terms: list[tuple[Any, Any]] = []
        for share, path in ((1 - emf, self.off), (emf, self.on)):
            for amplitude, rate in path.terms:
                same = next((place for place, (_, other) in enumerate(terms) if other.overlaps(rate)), None)
                if same is None:
                    terms.append((amplitude * flint.arb(share), rate))
                else:
                    terms[same] = (terms[same][0] + amplitude * flint.arb(share), terms[same][1])
        before, first, final, settled = (start + emf * rise for start, rise, _ in self.stops())
        return Path(before, first, final, settled, tuple(terms))

    def is_past(self, emf: flint.fmpq) -> bool:
        """Whether it is past a limit at an end of the way, at an emf."""
        return any(self.limit.share(start + emf * rise) > 1 + _SLACK for start, rise, _ in self.stops())

    def at(self, time: float) -> tuple[flint.fmpq, flint.fmpq]:
        """Voltage without the battery, and its rise with the emf, at a time on the way."""
        start, one = self.off.at(time), self.on.at(time)
        return start, one - start


class _Search:
    def __init__(self, sketch: Sketch, battery: str) -> None:
        self.battery = battery
        self.figures = sketch.figures
        self.off, self.on = (solve_stages(with_emf(sketch, battery, emf)) for emf in ("0 V", "1 V"))
        if faults := [fault for stage in (*self.off, *self.on) for fault in stage.faults]:
            raise SketchFaults(faults)
        limits = limits_of(sketch)
        self.stages = [
            _ways(limits, number, off, on) for number, (off, on) in enumerate(zip(self.off, self.on, strict=True))
        ]

    def found(self) -> tuple[Highest | None, tuple[Highest | None, ...]]:
        each = [self._bounds(ways) for ways in self.stages]
        alone = tuple(self._highest(bounds, [number]) for number, bounds in enumerate(each))
        if len(each) == 1:
            return alone[0], alone
        return self._highest([bound for bounds in each for bound in bounds], range(len(each))), alone

    def _bounds(self, stage: Sequence[_Ways]) -> list[Bound]:
        """The lowest bounds that the parts set in one stage, all that are equal; none where there is no bound.

        Raises Strained where parts are past their limits whatever the emf.
        """
        bounds = [bound for ways in stage for bound in _of_stops(ways)]
        followed = [ways for ways in stage if ways.off.terms or ways.on.terms]
        for ways in followed:
            for trial in (flint.fmpq(1), flint.fmpq(-1)) if ways.off.terms else (flint.fmpq(1),):
                bounds += _of_way(ways, trial)
        # Where all that goes on comes from the battery, its emf does not change when a way turns.
        followed = [ways for ways in followed if ways.off.terms]
        for _ in range(_ROUNDS):
            if not bounds:
                return []
            lowest_yet = min(bound.emf for bound in bounds)
            lower = [
                bound
                for ways in followed
                for bound in _of_way(ways, lowest_yet)
                if bound.emf < lowest_yet - abs(lowest_yet) * _SLACK / 100
            ]
            if not lower:
                break
            bounds += lower
        least = min(bound.emf for bound in bounds)
        limiting = [bound for bound in bounds if bound.emf - least <= abs(least) * _SLACK]
        past = (
            [bound.part for bound in limiting]
            if least <= 0
            else [way.limit.part for way in stage if way.is_past(least)]
        )
        if past:
            raise Strained(list(dict.fromkeys(past)))
        return limiting

    def _highest(self, bounds: list[Bound], stages: Sequence[int]) -> Highest | None:
        if not bounds:
            return None
        emf, stage = min(bound.emf for bound in bounds), stages[-1]
        told = rounded_down(emf, self.figures)
        for _ in range(_ROUNDS):
            if self._holds(told, stages):
                break
            told = rounded_down(told * (1 - flint.fmpq(1, 10**self.figures)), self.figures)
        limiting = tuple(bound for bound in bounds if bound.emf - emf <= abs(emf) * _SLACK)
        return Highest(self.battery, emf, told, limiting, self._charge(told, stage), self._energy(told, stage))

    def _holds(self, emf: flint.fmpq, stages: Sequence[int]) -> bool:
        """Whether it is proved that nothing on the way passes its limit in these stages, to one part in 10⁸."""
        every = (ways for number in stages for ways in self.stages[number])
        for ways in (ways for ways in every if ways.off.terms or ways.on.terms):
            path, limit = ways.between(emf), ways.limit
            up, down = (None if each is None else each * (1 + _SLACK) for each in (limit.up, limit.down))
            if up is not None and path.highest(up).bound > up:
                return False
            if down is not None and -path.lowest(-down).bound > down:
                return False
        return True

    def _charge(self, emf: flint.fmpq, stage: int) -> flint.fmpq | None:
        low, high = (self._delivered(stages[stage]) for stages in (self.off, self.on))
        return None if low is None or high is None else low + emf * (high - low)

    def _delivered(self, stage: SolvedStage) -> flint.fmpq | None:
        solved = _network(stage)
        index = [battery.name for battery in solved.outcome.network.batteries].index(self.battery)
        charge = solved.outcome.charge_of_battery(index)
        return None if charge is None else number_of(charge)

    def _energy(self, emf: flint.fmpq, stage: int) -> flint.fmpq | None:
        """∑ ½CV² over all capacitors, rated or not."""
        low, high = (voltages_held(_network(each[stage]).outcome) for each in (self.off, self.on))
        total = flint.fmpq(0)
        for part in _network(self.on[stage]).outcome.network.capacitors:
            numbers = (number_of(part.capacitance), number_of(low[part.name]), number_of(high[part.name]))
            known = [number for number in numbers if number is not None]
            if len(known) < len(numbers):
                return None
            capacitance, without, one = known
            voltage = without + emf * (one - without)
            total += capacitance * voltage * voltage / 2
        return total


def _network(stage: SolvedStage) -> SolvedNetwork:
    assert stage.solved is not None
    return stage.solved


def _ways(limits: Mapping[str, Limit], number: int, off: SolvedStage, on: SolvedStage) -> list[_Ways]:
    paths = []
    for stage in (off, on):
        assert stage.thrown is not None
        paths.append(paths_of(stage.thrown, _network(stage), limits))
    low, high = paths
    return [
        _Ways(limit, number, low[name], high[name]) for name, limit in limits.items() if name in low and name in high
    ]


def _of_stops(ways: _Ways) -> Iterator[Bound]:
    """The bounds that the ends of a way set."""
    for start, rise, time in ways.stops():
        yield from _bound(ways, start, rise, time)


def _of_way(ways: _Ways, emf: flint.fmpq) -> list[Bound]:
    """The bounds that the highest and lowest voltage on the way set, as it is at an emf."""
    path = ways.between(emf)
    found: list[Bound] = []
    ends = path.first, path.final, path.terms
    for extreme in (found_highest(*ends), found_lowest(*ends)):
        if 0 < extreme.time < IN_THE_END:
            found += _bound(ways, *ways.at(extreme.time), extreme.time)
    return found


def _bound(ways: _Ways, start: flint.fmpq, rise: flint.fmpq, time: float | None) -> Iterator[Bound]:
    """Up to which emf −down ≤ start + emf · rise ≤ up; zero where it is past a limit whatever the emf."""
    limit = ways.limit
    if not rise:
        if limit.share(start) > 1:
            yield Bound(flint.fmpq(0), limit.part, ways.stage, time)
        return
    reached = limit.up if rise > 0 else limit.down
    if reached is not None:
        yield Bound((reached - start) / rise if rise > 0 else (-reached - start) / rise, limit.part, ways.stage, time)


def rounded_down(number: flint.fmpq, figures: int) -> flint.fmpq:
    """A number more than zero to so many significant figures, never more than it is.

    >>> rounded_down(flint.fmpq(74996, 10000), 3), rounded_down(flint.fmpq(15, 2), 3)
    (749/100, 15/2)
    """
    digits, power = round_ratio(int(number.p), int(number.q), figures)
    unit = flint.fmpq(10) ** (power - figures + 1)
    rounded = digits * unit
    if rounded <= number:
        return rounded
    # From 10.0 the step down is to 9.99.
    return rounded - (unit / 10 if digits == 10 ** (figures - 1) else unit)
