"""Tolerances: the exact worst case of every reading, with every part anywhere within its tolerance.

What is exact, and why. A network's determinants are sums over spanning trees, in each of which a part occurs once or
not at all (G. Kirchhoff, Annalen der Physik und Chemie 72 (1847) 497–508). So every potential difference is, in each
single capacitance or resistance, a ratio of two linear functions, (a + bx)/(c + dx), whose denominator is a sum of
positive terms: it rises throughout or falls throughout. From any point, one part after the other can then be moved to
one of its ends without making the reading smaller: its largest value, and its least, is at a corner. So it is with

- currents V/R, charges that passed, and charges C·V of capacitors that began empty, also in the part's own value;
- charge, work, current and power of a battery, whose emf is exact, and with their totals: in each single value all of
  them have one denominator, so their sums are such ratios too;
- what a battery sees, and what lies between two joints;
- the energy lost, which is the least of ∑ ½C·(V − V₀)² over the potentials of bodies, and the energy stored in all
  where nothing was charged before, which is the same with V₀ = 0: the least of sums that rise with every C rises too.

A part's own energy or power is not of this kind: see tolerance_own. In every other part's value it goes with the
voltage, so corners of the others are enough, and it is zero at least where the voltage can be zero. One reading is left
out where none of this holds: the energy in all, if a capacitor was charged before, or if resistors with a tolerance
share a steady current.

Up to 12 parts with a tolerance every corner is looked at, and the bounds are proved. Beyond, tolerance_climb goes from
corner to corner until no single part makes a reading more extreme: those bounds are found, not proved. Corners are
compared in floats; the readings themselves are then solved exactly at the corners chosen.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any, Final

import flint
import numpy as np

from solver.arithmetic import Scalar
from solver.effort import MOST_BITS, bits_of_answer
from solver.readings import Reading, Writing
from solver.sketch import Sketch
from solver.tolerance_climb import climbed
from solver.tolerance_corners import Bits, Corners, Exactly, has_symbols
from solver.tolerance_own import Own

MOST_ENUMERATED: Final = 12
"""Parts with a tolerance up to which every corner is looked at: 4096 of them."""
MOST_LOOSE: Final = 100
_HALF: Final = flint.fmpq(1, 2)
_ZERO: Final = flint.fmpq(0)
_ONE: Final = flint.fmpq(1)
_STORED: Final = "total.energy"


@dataclass(frozen=True)
class Spread:
    """The least and the largest that a reading can be."""

    low: Reading
    high: Reading


@dataclass(frozen=True)
class Spreads:
    """The spread of every reading, by its key as in a sketch's `covered` ("C1.voltage", "total.work").

    `proved` is False where the bounds were found by climbing. `left_out` are keys of readings that have none; `reason`
    says why there is no spread at all, where there is none.
    """

    spreads: Mapping[str, Spread]
    proved: bool
    left_out: tuple[str, ...] = ()
    reason: str | None = None

    def document(self) -> dict[str, Any]:
        """The spreads as the web interface sends them."""
        return {
            "spreads": {
                key: {"low": spread.low.document(), "high": spread.high.document()}
                for key, spread in self.spreads.items()
            },
            "proved": self.proved,
            "leftOut": list(self.left_out),
            "reason": self.reason,
        }


def has_tolerance(sketch: Sketch) -> bool:
    """Whether a part of the sketch has a tolerance."""
    return any(part.tolerance is not None for part in sketch.parts)


def spreads_of(sketch: Sketch) -> Spreads:
    """The spread of every reading of a sketch whose values are numbers. Raises SketchFaults as `solve` does.

    >>> from solver import battery, capacitor
    >>> series = [capacitor("C1", "10 µF", "a", "b", tolerance="±10 %"), capacitor("C2", "10 µF", "b", "0")]
    >>> spread = spreads_of(Sketch.of(battery("E1", "9 V", "a", "0"), *series)).spreads["C1.voltage"]
    >>> spread.low.exact, spread.high.text
    (30/7, '4.74 V')
    """
    if sketch.stages and sketch.stage:
        return _nothing(
            "The spread is told for the first stage only: what the others begin with has a spread of its own."
        )
    if has_symbols(sketch):
        return _nothing("The spread is told for numbers: with a symbol among the values there is none.")
    corners = Corners.of(sketch)
    if not corners.loose:
        return Spreads({}, proved=True)
    if len(corners.loose) > MOST_LOOSE or sum(bits_of_answer(corners.network)) > MOST_BITS:
        return _nothing(f"The spread is told for up to {MOST_LOOSE} parts with a tolerance.")
    return _Worst(corners).spreads()


def _nothing(reason: str) -> Spreads:
    return Spreads({}, proved=True, reason=reason)


class _Worst:
    """The worst case of every reading of one network."""

    def __init__(self, corners: Corners) -> None:
        self._corners: Final = corners
        self._place: Final = {part.name: place for place, part in enumerate(corners.loose)}
        self._nominal: Final = corners.nominal()
        self._own: Final = {own.key: own for own in self._owned()}
        self._proved: Final = len(corners.loose) <= MOST_ENUMERATED
        keys = [key for key in self._nominal.scalars if key not in self._own and not self._is_left_out(key)]
        if self._proved:
            count = len(corners.loose)
            self._bits: Any = (np.arange(1 << count)[:, None] >> np.arange(count)) & 1 == 1
        else:
            self._bits = climbed(corners, keys)
        self._floats: Final = corners.in_floats(self._bits)
        self._plain: Final = [key for key in keys if key in self._floats]

    def spreads(self) -> Spreads:
        """The spreads of all readings that have one."""
        ends = {}
        for key in self._plain:
            if (pair := self._at_corners(key)) is not None:
                ends[key] = pair
        for key, own in self._own.items():
            if own.voltage in ends:
                ends[key] = self._own_ends(own, *ends[own.voltage])
        writing = Writing(self._corners.sketch.figures)
        nominal = self._nominal
        found = {
            key: Spread(*(Reading(scalar, nominal.quantities[key], writing) for scalar in ends[key]))
            for key in nominal.scalars
            if key in ends
        }
        left_out = tuple(key for key in nominal.scalars if key not in found)
        return Spreads(found, self._proved, left_out)

    def _at_corners(self, key: str) -> tuple[Scalar, Scalar] | None:
        """The exact ends of a reading that is extreme at corners; what it is nominally lies between them. None where it
        is not determined at one of them, as a battery's charge where a current remains."""
        values = self._floats[key]
        ends = [self._exactly(int(index)).scalars.get(key) for index in (values.argmin(), values.argmax())]
        known = [self._nominal.scalars[key], *(end for end in ends if end is not None)]
        return (min(known), max(known)) if len(known) == 3 else None

    def _own_ends(self, own: Own, least: Scalar, most: Scalar) -> tuple[Scalar, Scalar]:
        """The exact ends of a reading that can be extreme within the part's own tolerance."""
        pairs = self._pairs(own)
        lows, highs = own.bounds(*(self._floats[own.voltage][pairs[:, end]] for end in (0, 1)))
        found = [self._nominal.scalars[own.key]]
        for pair in (pairs[lows.argmin()], pairs[highs.argmax()]):
            found.extend(own.values(*(self._exactly(int(index)).scalars[own.voltage] for index in pair)))
        if own.squared and least <= 0 <= most:
            found.append(_ZERO)
        return min(found), max(found)

    def _pairs(self, own: Own) -> Any:
        """Corners that differ in this part alone, as rows (at its least, at its largest), by their places."""
        place = self._place.get(own.key.rpartition(".")[0])
        every = np.arange(len(self._bits))
        if place is None:
            return np.stack([every, every], axis=1)
        known = {row.tobytes(): index for index, row in enumerate(self._bits)}
        pairs = []
        for index in every[~self._bits[:, place]]:
            other = self._bits[index].copy()
            other[place] = True
            if (partner := known.get(other.tobytes())) is not None:
                pairs.append((int(index), partner))
        # A resistance at its largest is a conductance at its least.
        return np.array(pairs)[:, ::-1] if self._corners.loose[place].is_resistor else np.array(pairs)

    def _exactly(self, index: int) -> Exactly:
        bits: Bits = tuple(bool(bit) for bit in self._bits[index])
        return self._corners.exactly(bits)

    def _owned(self) -> list[Own]:
        network, loose = self._corners.network, {part.name: part for part in self._corners.loose}
        found = []
        for part in network.capacitors:
            own = loose.get(part.name)
            low, high = (own.low, own.high) if own else (part.capacitance, part.capacitance)
            voltage, start = f"{part.name}.voltage", part.initial
            found.append(Own(f"{part.name}.energy", voltage, True, _HALF, low, high, start))
            if start:
                found.append(Own(f"{part.name}.charge", voltage, False, _ONE, low, high, start))
        for resistor in network.resistors:
            own = loose.get(resistor.name)
            least, most = (own.low, own.high) if own else (resistor.resistance, resistor.resistance)
            voltage = f"{resistor.name}.voltage"
            found.append(Own(f"{resistor.name}.power", voltage, True, _ONE, 1 / most, 1 / least, _ZERO))
        return found

    def _is_left_out(self, key: str) -> bool:
        if key != _STORED:
            return False
        network = self._corners.network
        shares = any(part.is_resistor for part in self._corners.loose) and any(
            key.endswith(".current") and scalar for key, scalar in self._nominal.scalars.items()
        )
        return shares or any(part.initial for part in network.capacitors)
