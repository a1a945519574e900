"""A network with its parts at any values within their tolerances: its readings in floats, many at once, or exactly.

A corner is a choice, for every part with a tolerance, of its least value or its largest.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, replace
from typing import Any, Final, Self

import flint
import numpy as np

from solver.arithmetic import Arithmetic, Scalar
from solver.assembly import Assembly
from solver.elements import Element, ValueReader, symbol_units
from solver.energy import accounts
from solver.exact import Rationals
from solver.faults import SketchFaults
from solver.geometry import is_build
from solver.ideal import ideal_of
from solver.kinds import KINDS
from solver.many import Many, ManyFloats, plain
from solver.network import Network, build
from solver.outcome import Outcome
from solver.quantities import Quantity
from solver.readings import Reading, Writing
from solver.sketch import Part, Sketch
from solver.solving import contradictions
from solver.sparse import Floats
from solver.tolerance_place import Bits

_ENTRIES: Final = 1_500_000
"""Numbers of a matrix that are solved together."""


@dataclass(frozen=True)
class Loose:
    """A part whose value lies anywhere from `low` to `high` (SI units); `place` counts among the network's capacitors,
    or resistors where it is one."""

    name: str
    is_resistor: bool
    place: int
    low: flint.fmpq
    high: flint.fmpq


@dataclass(frozen=True)
class Exactly:
    """All readings of the network with its parts at certain values: exact scalars, and what quantity each is."""

    scalars: Mapping[str, flint.fmpq]
    quantities: Mapping[str, Quantity]


class Corners:
    """The network of a sketch with its loose parts.

    `network` has every part at the value it is called, in exact numbers; `ends` are the least and the largest value of
    each loose part, as floats.
    """

    def __init__(self, sketch: Sketch, elements: list[Element], network: Network, loose: tuple[Loose, ...]) -> None:
        self.sketch: Final = _without_builds(sketch)
        self.loose: Final = loose
        self.network: Final = network
        self._floats: Final = build(sketch, elements, Floats())
        self._known: Final[dict[Bits, Exactly]] = {}
        # Exact numbers are not far off; what stands at both ends is all that floats need of a part.
        self.ends: Final = np.array([[float(part.low), float(part.high)] for part in loose]).reshape(-1, 2)

    @classmethod
    def of(cls, sketch: Sketch) -> Self:
        """Raises SketchFaults. A sketch with symbols has no numbers to vary: see has_symbols."""
        reader = ValueReader()
        elements = [reader.element(part) for part in sketch.parts]
        network = build(sketch, elements, Rationals())
        if faults := [*reader.faults, *contradictions(sketch, network, ideal_of(network))]:
            raise SketchFaults(faults)
        places = {part.name: place for place, part in enumerate(network.capacitors)}
        places |= {part.name: place for place, part in enumerate(network.resistors)}
        loose = []
        for element in elements:
            if element.tolerance is None or element.value is None:
                continue
            low, high = element.tolerance.ends(element.value.factor)
            if low < high:
                name = element.part.name
                loose.append(Loose(name, element.part.kind == "resistor", places[name], low, high))
        return cls(sketch, elements, network, tuple(loose))

    def nominal(self) -> Exactly:
        """The readings with every part at the value it is called."""
        return self._readings(self.network)

    def exactly(self, bits: Bits) -> Exactly:
        """The readings at a corner."""
        if bits not in self._known:
            values = [part.high if high else part.low for part, high in zip(self.loose, bits, strict=True)]
            self._known[bits] = self._readings(self._with(self.network, values, self.network.arithmetic))
        return self._known[bits]

    def in_floats(self, corners: Any) -> dict[str, Any]:
        """Every reading at each of these corners, given as an array of truths, one row a corner: an array of floats."""
        rows = np.where(corners, self.ends[:, 1], self.ends[:, 0])
        return self.at_values(rows)

    def at_values(self, rows: Any) -> dict[str, Any]:
        """Every reading at each of these rows of values (SI units)."""
        together = max(1, _ENTRIES // len(self.network.conductors) ** 2)
        pieces = [self._many(rows[start : start + together]) for start in range(0, len(rows), together)]
        return {key: np.concatenate([piece[key] for piece in pieces]) for key in pieces[0] if _in_all(key, pieces)}

    def middle(self) -> Any:
        """The middle of every part's values."""
        return self.ends.mean(axis=1)

    def _many(self, rows: Any) -> dict[str, Any]:
        values = [Many(rows[:, place].copy()) for place in range(rows.shape[1])]
        network = self._with(self._floats, values, ManyFloats(len(rows)))
        ones = np.ones(len(rows))
        return {key: plain(reading.scalar) * ones for key, reading in readings_of(self.sketch, network).items()}

    def _readings(self, network: Network) -> Exactly:
        found = readings_of(self.sketch, network)
        return Exactly(
            {key: reading.scalar for key, reading in found.items()},
            {key: reading.quantity for key, reading in found.items()},
        )

    def _with(self, network: Network, values: list[Scalar], arithmetic: Arithmetic) -> Network:
        capacitors, resistors = list(network.capacitors), list(network.resistors)
        for part, value in zip(self.loose, values, strict=True):
            if part.is_resistor:
                resistors[part.place] = resistors[part.place]._replace(resistance=value)
            else:
                capacitors[part.place] = capacitors[part.place]._replace(capacitance=value)
        return replace(network, capacitors=tuple(capacitors), resistors=tuple(resistors), arithmetic=arithmetic)


def _without_builds(sketch: Sketch) -> Sketch:
    """The sketch that readings are named from: what only a build has, such as its field, is of its exact measures."""
    return replace(sketch, parts=tuple(map(_without_build, sketch.parts)))


def _without_build(part: Part) -> Part:
    if part.kind != "capacitor" or part.value is None or not is_build(part.value):
        return part
    return part._replace(value=KINDS[part.kind].example)


def has_symbols(sketch: Sketch) -> bool:
    """Whether a value is a symbol. Values that cannot be read have none."""
    reader = ValueReader()
    return bool(symbol_units([reader.element(part) for part in sketch.parts]))


def readings_of(sketch: Sketch, network: Network) -> dict[str, Reading]:
    """Every reading of a network, by its key as in a sketch's `covered`; of a conductor's joints only the first one."""
    outcome = Outcome.of(network, ideal_of(network), equivalents=True)
    assembly = Assembly(sketch, outcome, Writing(sketch.figures))
    found: dict[str, Reading] = {}
    for name, part in assembly.parts().items():
        _put(found, name, part)
    joints = assembly.joints()
    for conductor in network.conductors:
        found[f"joint {conductor[0]}.potential"] = joints[conductor[0]].potential
    for probe in assembly.probes()[0]:
        _put(found, f"probe {' '.join(probe.between)}", probe)
    _put(found, "total", assembly.totals(accounts(outcome)))
    return found


def _put(found: dict[str, Reading], owner: str, holder: Any) -> None:
    for word in holder.__slots__:
        if isinstance(reading := getattr(holder, word), Reading):
            found[f"{owner}.{word}"] = reading


def _in_all(key: str, pieces: list[dict[str, Any]]) -> bool:
    return all(key in piece for piece in pieces)
