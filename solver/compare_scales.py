"""One scale for the tiles of all columns: volts upwards, charge or current across, with round ticks for each."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Any, Final

from solver.compare_columns import Column
from solver.quantities import Quantity
from solver.tile_scale import Tick, as_fraction, ticks

_UP: Final = 6
_ACROSS: Final = 5
_UNITS: Final = {"capacitor": Quantity.CHARGE.unit, "resistor": Quantity.CURRENT.unit}


@dataclass(frozen=True, slots=True)
class Scale:
    """A scale from `low` to `high`, in SI units as floats for drawing, and its ticks."""

    low: float
    high: float
    ticks: tuple[Tick, ...]

    def document(self) -> dict[str, Any]:
        """The scale as the web interface sends it."""
        return {"low": self.low, "high": self.high, "ticks": [tick.document() for tick in self.ticks]}


@dataclass(frozen=True, slots=True)
class Scales:
    """The scale upwards, None where nothing is drawn; and one across for each kind of part that is."""

    up: Scale | None
    across: dict[str, Scale]

    def document(self) -> dict[str, Any]:
        """The scales as the web interface sends them."""
        return {
            "up": self.up and self.up.document(),
            "across": {kind: scale.document() for kind, scale in self.across.items()},
        }


def scales_of(columns: Sequence[Column]) -> Scales:
    """The scales that hold the tiles of all columns."""
    pictures = [picture for column in columns for picture in column.tiles.pictures]
    tiles = [tile for picture in pictures for tile in picture.tiles]
    if not tiles:
        return Scales(None, {})
    up = _scale(min(tile.bottom for tile in tiles), max(tile.top for tile in tiles), Quantity.VOLTAGE.unit, _UP)
    across = {}
    for kind, unit in _UNITS.items():
        widths = [picture.width.scalar for picture in pictures if picture.kind == kind]
        if widths:
            widest = max(widths, key=as_fraction)
            across[kind] = _scale(widest - widest, widest, unit, _ACROSS)
    return Scales(up, across)


def _scale(low: Any, high: Any, unit: str, most: int) -> Scale:
    return Scale(float(as_fraction(low)), float(as_fraction(high)), ticks(low, high, unit, most))
