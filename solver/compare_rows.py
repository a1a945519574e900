"""The rows of a comparison: one quantity of the whole or of a part, as every column has it."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass
from functools import partial
from typing import Final

import flint

from solver.compare_columns import Column
from solver.compare_ratio import Common
from solver.quantities import Quantity
from solver.readings import Reading
from solver.values import ValueFault, read_value


@dataclass(frozen=True, slots=True)
class Cell:
    """What one column has in a row: the part's name there, and its reading."""

    column: Column
    name: str
    reading: Reading


@dataclass(frozen=True)
class Row:
    """A quantity in all columns that have it.

    `owner` is the part that it is of, or the battery, None for totals; `of_part` tells the chosen parts from the whole.
    `quantity` is the reading's name in a solution, `word` what it is called, `cells` one to a column or None.
    """

    owner: str | None
    of_part: bool
    quantity: str
    word: str
    cells: tuple[Cell | None, ...]

    @property
    def key(self) -> str:
        """As in a sketch's `covered`: "C1.voltage", "E1.equivalent", "total.energy"."""
        return f"{self.owner or 'total'}.{self.quantity}"

    @property
    def there(self) -> list[Cell]:
        """The cells that have a reading."""
        return [cell for cell in self.cells if cell is not None]

    @property
    def readings(self) -> list[Reading | None]:
        """One to a column."""
        return [None if cell is None else cell.reading for cell in self.cells]


_OF_PARTS: Final = ("voltage", "charge", "current", "energy", "power")


def rows_of(columns: Sequence[Column], chosen: Sequence[str]) -> Iterator[Row]:
    """All rows: the equivalents, what the batteries give, the totals, then each chosen part."""
    batteries = list(dict.fromkeys(name for column in columns for name in column.batteries))
    several = len(batteries) > 1

    def whole(owner: str | None, quantity: str, word: str, read: Callable[[Column], Reading | None]) -> Iterator[Row]:
        cells = [(column, read(column)) for column in columns]
        if any(reading is not None for _, reading in cells):
            named = f"{word}, {owner}" if owner and several else word
            yield Row(
                owner,
                False,
                quantity,
                named,
                tuple(None if reading is None else Cell(column, owner or "", reading) for column, reading in cells),
            )

    for name in batteries:
        for sort in (Quantity.CAPACITANCE, Quantity.RESISTANCE):
            yield from whole(name, sort.value, f"Equivalent {sort.word}", partial(_equivalent, name=name, sort=sort))
    for name in batteries:
        for quantity in ("charge", "current"):
            read = partial(_of_battery, name=name, quantity=quantity)
            yield from whole(name, quantity, f"{quantity.capitalize()} from the battery", read)
    yield from whole(None, "energy", "Energy stored", partial(_total, kind="capacitor"))
    yield from whole(None, "power", "Power in resistors", partial(_total, kind="resistor"))
    for part in chosen:
        for quantity in _OF_PARTS:
            found = tuple(_of_part(column, part, quantity) for column in columns)
            if any(cell is not None for cell in found):
                yield Row(part, True, quantity, quantity.capitalize(), found)


def _equivalent(column: Column, name: str, sort: Quantity) -> Reading | None:
    reading = getattr(column.solution.parts.get(name), "equivalent", None)
    return reading if isinstance(reading, Reading) and reading.quantity is sort else None


def _of_battery(column: Column, name: str, quantity: str) -> Reading | None:
    # What a battery delivered is of interest where something holds it; a current of zero, where it could flow.
    if ("capacitor" if quantity == "charge" else "resistor") not in column.has:
        return None
    reading: Reading | None = getattr(column.solution.parts.get(name), quantity, None)
    return reading


def _total(column: Column, kind: str) -> Reading | None:
    if kind not in column.has:
        return None
    totals = column.solution.totals
    return totals.energy if kind == "capacitor" else totals.power


def _of_part(column: Column, part: str, quantity: str) -> Cell | None:
    name = column.names.get(part)
    readings = None if name is None else column.solution.parts.get(name)
    reading: Reading | None = getattr(readings, quantity, None)
    return None if reading is None or name is None else Cell(column, name, reading)


@dataclass(frozen=True, slots=True)
class PastRating:
    """A column in which a part's voltage is more than its rated voltage, and by how much."""

    column: Column
    name: str
    excess: Reading


def past_rating(row: Row, common: Common) -> list[PastRating]:
    """The columns in which a part would be past its rating; the row has its voltages."""
    found = []
    for cell in row.there:
        part = next(part for part in cell.column.sketch.parts if part.name == cell.name)
        voltage = common.scalar(cell.reading)
        if not part.rated or not isinstance(voltage, flint.fmpq):
            continue
        try:
            rated = read_value(part.rated, Quantity.VOLTAGE)
        except ValueFault:
            continue
        excess = abs(voltage) - rated.factor
        if rated.symbol is None and excess > 0:
            found.append(PastRating(cell.column, cell.name, Reading(excess, Quantity.VOLTAGE, cell.reading.writing)))
    return found
