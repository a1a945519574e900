"""Capacitors given by their build, as they are charged: the field, the charge on the plates, and what breaks down."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from typing import Final

import flint

from solver.arithmetic import Scalar
from solver.faults import Note, note
from solver.functions import number_of
from solver.geometry import Build, asks_size, is_build, read_build
from solver.outcome import Outcome
from solver.quantities import Quantity
from solver.readings import Reading, Writing
from solver.sketch import Sketch

_ONE_VOLT: Final = flint.fmpq(1)


@dataclass(frozen=True)
class Built:
    """A build at the voltage of its capacitor: volts at `from` less that at `to`, in the arithmetic of its network."""

    build: Build
    voltage: Scalar
    writing: Writing

    def readings(self) -> tuple[Reading, Reading, Reading, Reading | None]:
        """Capacitance, largest field, charge density on the whole plate, and voltage of breakdown if one is listed."""
        breakdown = self.build.breakdown()
        return (
            Reading(self.build.capacitance, Quantity.CAPACITANCE, self.writing),
            self._read(max(self.build.fields(_ONE_VOLT)), Quantity.FIELD),
            self._read(self.build.density(_ONE_VOLT), Quantity.DENSITY),
            None if breakdown is None else Reading(breakdown, Quantity.VOLTAGE, self.writing),
        )

    def fields(self) -> tuple[Reading, ...]:
        """The largest field in each layer."""
        return tuple(self._read(each, Quantity.FIELD) for each in self.build.fields(_ONE_VOLT))

    def densities(self) -> tuple[Reading, ...]:
        """The charge density on the plate where it touches each layer."""
        return tuple(self._read(each, Quantity.DENSITY) for each in self.build.densities(_ONE_VOLT))

    def past(self) -> tuple[bool, ...]:
        """Of each layer, whether the field in it is past its strength; never where symbols remain."""
        voltage = number_of(self.voltage)
        if voltage is None:
            return (False,) * len(self.build.layers)
        return tuple(limit is not None and abs(voltage) > limit for limit in self.build.breakdowns())

    def _read(self, per_volt: flint.fmpq, quantity: Quantity) -> Reading:
        scalar = self.voltage * (float(per_volt) if isinstance(self.voltage, float) else per_volt)
        return Reading(scalar, quantity, self.writing)


def built_of(sketch: Sketch, outcome: Outcome, writing: Writing) -> dict[str, Built]:
    """The capacitors of a solved sketch that are given by their build, each by its name; not those with a “?” in it."""
    texts = {
        part.name: part.value
        for part in sketch.parts
        if part.kind == "capacitor" and part.value and is_build(part.value) and not asks_size(part.value)
    }
    if not texts:
        return {}
    capacitors = [each for each in outcome.network.capacitors if each.name in texts]
    return {
        capacitor.name: Built(read_build(texts[capacitor.name].strip()), voltage, writing)
        for capacitor, voltage in zip(capacitors, outcome.voltages(capacitors), strict=True)
    }


def past_breakdown(built: Mapping[str, Built]) -> Iterator[Note]:
    """A note on every capacitor whose voltage is past breakdown, with the layers that would break down."""
    for name, each in built.items():
        weak = [layer.dielectric.name for layer, past in zip(each.build.layers, each.past(), strict=True) if past]
        if weak:
            yield note("past-breakdown", parts=[name], what=" and ".join(dict.fromkeys(weak)))
