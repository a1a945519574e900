"""The worst case of every reading of one network: which corners to look at, which of them matter, what it is there."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any, Final

import flint
import numpy as np

from solver.arithmetic import Scalar
from solver.quantities import Quantity
from solver.tolerance_climb import climbed
from solver.tolerance_corners import Corners, Exactly
from solver.tolerance_own import Own
from solver.tolerance_place import Bits, SpreadLost

MOST_ENUMERATED: Final = 12
"""Parts with a tolerance up to which every corner is looked at: 4096 of them."""
_HALF: Final = flint.fmpq(1, 2)
_ZERO: Final = flint.fmpq(0)
_ONE: Final = flint.fmpq(1)
_STORED: Final = "total.energy"

Chosen = tuple[int, ...]


class Worst:
    """What is looked for: `keys` are the readings that may have a spread, `plain` those of them that are extreme at
    corners, `left_out` the ones that have none. `is_proved` says whether every corner is looked at."""

    def __init__(self, corners: Corners) -> None:
        self._corners: Final = corners
        self._place: Final = {part.name: place for place, part in enumerate(corners.loose)}
        self._nominal: Final = corners.nominal()
        self._own: Final = {own.key: own for own in self._owned()}
        self.is_proved: Final = len(corners.loose) <= MOST_ENUMERATED
        self.left_out: Final = tuple(key for key in self._nominal.scalars if self._is_left_out(key))
        self.keys: Final = tuple(key for key in self._nominal.scalars if key not in self.left_out)
        self.plain: Final = tuple(key for key in self.keys if key not in self._own)

    def quantity(self, key: str) -> Quantity:
        """What a reading is."""
        return self._nominal.quantities[key]

    def climbed(self, keys: Sequence[str]) -> list[Bits]:
        """Corners at which climbs for these readings end, and some beside them."""
        return _as_bits(climbed(self._corners, keys))

    def choice(self, found: Sequence[Bits]) -> tuple[list[Bits], list[Chosen]]:
        """Of the corners found, or of all where every one is looked at, those that matter, and for each of `keys` which
        they are, as Place.chosen has it."""
        count = len(self._corners.loose)
        rows: Any = (np.arange(1 << count)[:, None] >> np.arange(count)) & 1 == 1 if self.is_proved else np.array(found)
        floats = self._corners.in_floats(rows)
        among = {row.tobytes(): index for index, row in enumerate(rows)}
        picked = [self._picked(key, rows, floats, among) for key in self.keys]
        kept = {index: place for place, index in enumerate(dict.fromkeys(index for each in picked for index in each))}
        return _as_bits(rows[list(kept)]), [tuple(kept[index] for index in each) for each in picked]

    def ends(self, corners: Sequence[Bits], chosen: Sequence[Chosen]) -> _Ends:
        """The exact ends of the readings, worked out as they are asked for."""
        return _Ends(self, corners, dict(zip(self.keys, chosen, strict=True)))

    def _picked(self, key: str, rows: Any, floats: dict[str, Any], among: dict[bytes, int]) -> Chosen:
        own = self._own.get(key)
        if own is None:
            return (int(floats[key].argmin()), int(floats[key].argmax())) if key in floats else ()
        if own.voltage not in floats:
            return ()
        pairs = self._pairs(own, rows, among)
        lows, highs = own.bounds(*(floats[own.voltage][pairs[:, end]] for end in (0, 1)))
        return tuple(int(index) for index in (*pairs[lows.argmin()], *pairs[highs.argmax()]))

    def _pairs(self, own: Own, rows: Any, among: dict[bytes, int]) -> Any:
        """Corners that differ in this part alone, as rows (at its least, at its largest), by their places."""
        place = self._place.get(own.key.rpartition(".")[0])
        every = np.arange(len(rows))
        if place is None:
            return np.stack([every, every], axis=1)
        pairs = []
        for index in every[~rows[:, place]]:
            other = rows[index].copy()
            other[place] = True
            if (partner := among.get(other.tobytes())) is not None:
                pairs.append((int(index), partner))
        # A resistance at its largest is a conductance at its least.
        return np.array(pairs)[:, ::-1] if self._corners.loose[place].is_resistor else np.array(pairs)

    def at_corners(self, key: str, corners: Sequence[Bits]) -> tuple[Scalar, Scalar] | None:
        """The exact ends of a reading that is extreme at these corners; what it is nominally lies between them. None
        where it is not determined at one of them, as a battery's charge where a current remains."""
        ends = [self._exactly(bits).scalars.get(key) for bits in corners]
        known = [self._nominal.scalars[key], *(end for end in ends if end is not None)]
        return (min(known), max(known)) if len(known) == 3 else None

    def within(self, key: str, corners: Sequence[Bits], least: Scalar, most: Scalar) -> tuple[Scalar, Scalar]:
        """The exact ends of a reading that can be extreme within the part's own tolerance; `least` and `most` are those
        of the part's voltage."""
        own = self._own[key]
        found = [self._nominal.scalars[key]]
        for pair in (corners[:2], corners[2:]):
            found.extend(own.values(*(self._exactly(bits).scalars[own.voltage] for bits in pair)))
        if own.squared and least <= 0 <= most:
            found.append(_ZERO)
        return min(found), max(found)

    def voltage_of(self, key: str) -> str | None:
        """The voltage that such a reading hangs on; None for one that is extreme at corners."""
        own = self._own.get(key)
        return None if own is None else own.voltage

    def _exactly(self, bits: Bits) -> Exactly:
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


class _Ends:
    """The exact ends of readings at the corners chosen for them."""

    def __init__(self, worst: Worst, corners: Sequence[Bits], chosen: dict[str, Chosen]) -> None:
        self._worst, self._corners, self._chosen = worst, corners, chosen

    def of(self, key: str) -> tuple[Scalar, Scalar] | None:
        """The least and the largest; None for a reading that has no spread. Raises SpreadLost."""
        corners = [self._corners[place] for place in self._chosen[key]]
        voltage = self._worst.voltage_of(key)
        if not corners:
            return None
        if len(corners) != (2 if voltage is None else 4):
            raise SpreadLost
        if voltage is None:
            return self._worst.at_corners(key, corners)
        ends = self.of(voltage)
        return None if ends is None else self._worst.within(key, corners, *ends)


def _as_bits(rows: Any) -> list[Bits]:
    return [tuple(bool(bit) for bit in row) for row in rows]
