"""Capacitors' voltages against what they are rated for, at every moment of a stage: a share of 1 is at the limit.

What a part may have is its rated voltage times the share of it that the sketch lets be used; a polarised capacitor has
another limit the other way round. The moments: before anything is connected, just after, on the way, in the end.
"""

from __future__ import annotations

from collections.abc import Collection, Mapping, Sequence
from dataclasses import dataclass
from typing import Any, Final

import flint

from solver.arithmetic import Scalar
from solver.carried import voltages_held
from solver.decay import Indistinguishable
from solver.extremes import IN_THE_END, Extreme, highest, lowest, value_at
from solver.functions import number_of
from solver.network import Network
from solver.quantities import Quantity
from solver.sketch import Sketch
from solver.solving import SolvedNetwork
from solver.transient import TooManyTimeConstants
from solver.values import ValueFault, read_value

MOST_FOLLOWED: Final = 12
"""Capacitors, and so time constants, up to which what happens on the way is worked out."""
_ALL: Final = 100


@dataclass(frozen=True)
class Limit:
    """What a capacitor may have, in volts: `up` the way it is drawn (from less to), `down` the other way round, each
    more than zero, None where nothing limits it; `rated` is its rated voltage, all of it."""

    part: str
    rated: flint.fmpq | None
    up: flint.fmpq | None
    down: flint.fmpq | None
    is_polarised: bool

    def share(self, voltage: flint.fmpq) -> flint.fmpq:
        """How much of the limit that counts for it a voltage is; zero where none does."""
        limit = self.up if voltage >= 0 else self.down
        return abs(voltage) / limit if limit else flint.fmpq(0)


def limits_of(sketch: Sketch) -> dict[str, Limit]:
    """The limits of each capacitor that has any in numbers."""
    found = {}
    for part in sketch.parts:
        rated, reverse = _number(part.rated), _number(part.reverse)
        if rated is None and reverse is None:
            continue
        up = rated * sketch.usable / _ALL if rated is not None else None
        down = reverse if reverse is not None else up
        found[part.name] = Limit(part.name, rated, up, down, reverse is not None)
    return found


def _number(text: str | None) -> flint.fmpq | None:
    if text is None:
        return None
    try:
        value = read_value(text, Quantity.VOLTAGE)
    except ValueFault:
        return None
    return value.factor if value.symbol is None and value.factor > 0 else None


@dataclass(frozen=True)
class Path:
    """A capacitor's voltage through a stage: `before` it, `first` just after everything is connected, `final` when the
    switches have done their work, `settled` when values have changed too; volts, exact where the network is.

    Between `first` and `final` it goes as a sum of exponentials, `terms` (amplitudes and rates, intervals).
    """

    before: flint.fmpq
    first: flint.fmpq
    final: flint.fmpq
    settled: flint.fmpq
    terms: tuple[tuple[Any, Any], ...] = ()

    def stops(self) -> tuple[tuple[flint.fmpq, float | None], ...]:
        """The voltages at the ends of the way, each with its time (None before the start)."""
        return (self.before, None), (self.first, 0.0), (self.final, IN_THE_END), (self.settled, IN_THE_END)

    def at(self, time: float) -> flint.fmpq:
        """The voltage at a time after the start (seconds), to the precision of floats."""
        return value_at(self.final, self.terms, time)

    def highest(self, enough: flint.fmpq | None) -> Extreme:
        """The highest voltage between the ends; its bound is as low as it takes to tell whether it passes `enough`."""
        return highest(self.first, self.final, self.terms, enough)

    def lowest(self, enough: flint.fmpq | None) -> Extreme:
        """The lowest voltage between the ends, as `highest`."""
        return lowest(self.first, self.final, self.terms, enough)


def paths_of(thrown: SolvedNetwork, solved: SolvedNetwork, names: Collection[str]) -> dict[str, Path]:
    """The voltages of these capacitors through a stage, where they are numbers. `thrown` is what the switches bring
    about, `solved` what there is once values have changed too; without stages the two are one."""
    network: Network = thrown.outcome.network
    ends, after = voltages_held(thrown.outcome), voltages_held(solved.outcome)
    curves = _curves(thrown) if names else {}
    found = {}
    for part in network.capacitors:
        if part.name not in names:
            continue
        curve = curves.get(part.name)
        first = curve.first if curve else ends[part.name]
        scalars = (part.initial, first, ends[part.name], after[part.name])
        numbers = [number for number in map(number_of, scalars) if number is not None]
        if len(numbers) == len(scalars):
            before, start, end, settled = numbers
            found[part.name] = Path(before, start, end, settled, curve.terms if curve else ())
    return found


def resists(network: Network) -> bool:
    """Whether what happens may take time."""
    return bool(network.resistors) or any(battery.internal is not None for battery in network.batteries)


def is_followed(network: Network) -> bool:
    """Whether what happens on the way is worked out where it takes time."""
    return isinstance(network.arithmetic.zero, flint.fmpq) and len(network.capacitors) <= MOST_FOLLOWED


@dataclass(frozen=True)
class _Way:
    first: Scalar
    terms: tuple[tuple[Any, Any], ...]


def _curves(thrown: SolvedNetwork) -> Mapping[str, _Way]:
    """Each capacitor's way from the start to the end; none where it is at its end at once, or too much to work out."""
    network = thrown.outcome.network
    if not resists(network) or not is_followed(network):
        return {}
    try:
        found = thrown.over_time
        curves = {part.name: found.parts[part.name].voltage for part in network.capacitors}
        terms = found.decay.enclosed([curve.weights for curve in curves.values()])
        return {name: _Way(curve.first, own) for (name, curve), own in zip(curves.items(), terms, strict=True)}
    except (TooManyTimeConstants, Indistinguishable):
        return {}


@dataclass(frozen=True)
class Strain:
    """A capacitor against its limits: the largest `share` of a limit that it comes to, at which `voltage` (volts,
    signed) and at which `time` (seconds; None before the start, infinite in the end), and the share `in_the_end`."""

    limit: Limit
    share: flint.fmpq
    voltage: flint.fmpq
    time: float | None
    in_the_end: flint.fmpq

    @property
    def part(self) -> str:
        """The capacitor's name."""
        return self.limit.part

    @property
    def is_past(self) -> bool:
        """Whether it is past a limit at some moment."""
        return bool(self.share > 1)

    @property
    def is_reversed(self) -> bool:
        """Whether it is a polarised one that is furthest strained the wrong way round."""
        return self.limit.is_polarised and bool(self.voltage < 0)


def strains_of(limits: Mapping[str, Limit], paths: Mapping[str, Path]) -> tuple[Strain, ...]:
    """The strain of each capacitor that has a limit and a path, in the order of the limits."""
    return tuple(_strain(limit, paths[name]) for name, limit in limits.items() if name in paths)


def _strain(limit: Limit, path: Path) -> Strain:
    moments: list[tuple[flint.fmpq, float | None]] = list(path.stops())
    if path.terms:
        reach = limit.up, None if limit.down is None else -limit.down
        moments += [(each.value, each.time) for each in (path.highest(reach[0]), path.lowest(reach[1]))]
    # Of equal shares the end counts, then the earlier moment.
    voltage, time = max(moments, key=lambda moment: (limit.share(moment[0]), moment[1] == IN_THE_END))
    return Strain(limit, limit.share(voltage), voltage, time, limit.share(path.settled))


def strains(networks: Sequence[SolvedNetwork]) -> tuple[Strain, ...]:
    """The strains in a network, or in a stage given as (thrown, solved)."""
    thrown, solved = networks[0], networks[-1]
    limits = limits_of(solved.sketch)
    return strains_of(limits, paths_of(thrown, solved, limits))
