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
compared in floats; the readings themselves are then solved exactly at the corners chosen (tolerance_worst).

All this can be done in slices that keep nothing in between: each says where the next is to go on.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from time import process_time
from typing import Any, Final

from solver.effort import MOST_BITS, bits_of_answer
from solver.readings import Reading, Writing
from solver.sketch import Sketch
from solver.tolerance_corners import Corners, has_symbols
from solver.tolerance_place import Place
from solver.tolerance_worst import Worst

MOST_LOOSE: Final = 100
SECONDS: Final = 0.3
"""Processor time after which a slice of the work is handed in; the least that is done in one is a fraction of that."""
_TOGETHER: Final = 800
"""Readings times parts with a tolerance that are climbed for together."""
_CLIMBING: Final = 0.8
"""About how much of the work climbing is."""


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


@dataclass(frozen=True)
class Slice:
    """The spreads that a slice of the work found, where to go on (None at the end), and about how much is behind."""

    spreads: Spreads
    place: Place | None
    share: float

    def document(self) -> dict[str, Any]:
        """The slice as the web interface sends it: SpreadSlice in shared/openapi.json."""
        place = None if self.place is None else self.place.document()
        return self.spreads.document() | {"from": place, "share": self.share}


def spreads_of(sketch: Sketch) -> Spreads:
    """The spread of every reading of a sketch whose values are numbers. Raises SketchFaults as `solve` does.

    >>> from solver import battery, capacitor
    >>> series = [capacitor("C1", "10 µF", "a", "b", tolerance="±10 %"), capacitor("C2", "10 µF", "b", "0")]
    >>> spread = spreads_of(Sketch.of(battery("E1", "9 V", "a", "0"), *series)).spreads["C1.voltage"]
    >>> spread.low.exact, spread.high.text
    (30/7, '4.74 V')
    """
    return spread_on(sketch, Place(), seconds=float("inf")).spreads


def spread_on(sketch: Sketch, place: Place, seconds: float = SECONDS) -> Slice:
    """One slice of the work, from a place on, `seconds` of processor time long or a little more.

    Raises SketchFaults as `solve` does, and SpreadLost for a place that is none in this sketch.
    """
    if sketch.stages and sketch.stage:
        return _nothing(
            "The spread is told for the first stage only: what the others begin with has a spread of its own."
        )
    if has_symbols(sketch):
        return _nothing("The spread is told for numbers: with a symbol among the values there is none.")
    corners = Corners.of(sketch)
    if not corners.loose:
        return Slice(Spreads({}, proved=True), None, 1.0)
    if len(corners.loose) > MOST_LOOSE or sum(bits_of_answer(corners.network)) > MOST_BITS:
        return _nothing(f"The spread is told for up to {MOST_LOOSE} parts with a tolerance.")
    return _Work(corners, place, seconds).slice()


def _nothing(reason: str) -> Slice:
    return Slice(Spreads({}, proved=True, reason=reason), None, 1.0)


class _Work:
    """One slice: climbing for a few readings at a time, choosing among all corners found, solving those exactly."""

    def __init__(self, corners: Corners, place: Place, seconds: float) -> None:
        self._end: Final = process_time() + seconds
        self._worst: Final = Worst(corners)
        self._corners: Final = corners
        self._place = place
        place.require(len(corners.loose), len(self._worst.plain), self._worst.keys)

    def slice(self) -> Slice:
        worst = self._worst
        found: dict[str, Spread] = {}
        left_out: list[str] = []
        while not self._is_chosen:
            self._look_further()
            if self._is_over:
                return Slice(Spreads({}, worst.is_proved), self._place, self._share)
        chosen = self._place.chosen or ()
        writing = Writing(self._corners.sketch.figures)
        ends = worst.ends(self._place.corners, chosen)
        for number in range(self._place.told, len(worst.keys)):
            key = worst.keys[number]
            if (pair := ends.of(key)) is None:
                left_out.append(key)
            else:
                low, high = (Reading(scalar, worst.quantity(key), writing) for scalar in pair)
                found[key] = Spread(low, high)
            self._place = self._place.told_to(number + 1)
            if self._is_over and number + 1 < len(worst.keys):
                return Slice(Spreads(found, worst.is_proved, tuple(left_out)), self._place, self._share)
        return Slice(Spreads(found, worst.is_proved, (*left_out, *worst.left_out)), None, 1.0)

    @property
    def _is_chosen(self) -> bool:
        return self._place.chosen is not None

    @property
    def _is_over(self) -> bool:
        return process_time() >= self._end

    @property
    def _share(self) -> float:
        worst, place = self._worst, self._place
        behind = place.told / len(worst.keys)
        return behind if worst.is_proved else _CLIMBING * place.climbed / len(worst.plain) + (1 - _CLIMBING) * behind

    def _look_further(self) -> None:
        """Climb for some readings more, or choose once there are corners for all."""
        worst, place = self._worst, self._place
        if worst.is_proved or place.climbed == len(worst.plain):
            self._place = place.with_choice(*worst.choice(place.corners))
            return
        few = max(1, _TOGETHER // len(self._corners.loose))
        keys = worst.plain[place.climbed : place.climbed + few]
        self._place = place.with_corners(worst.climbed(keys), place.climbed + len(keys))
