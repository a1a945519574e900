"""Why a column has the charge or current that it has: one sentence within each arrangement.

It stands beside what leaves the battery.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from typing import Any, Final

from solver.compare_columns import Column
from solver.compare_rows import Row
from solver.compare_words import sentence
from solver.readings import Reading

_WRITTEN_OUT: Final = 4
"""Terms of a sum that are all written."""
_ALL: Final = {2: "both", 3: "all three", 4: "all four", 5: "all five", 6: "all six"}


@dataclass(frozen=True, slots=True)
class Reason:
    """One sentence about one column; `keys` are those of the rows whose readings in that column it tells."""

    column: Column
    text: str
    keys: tuple[str, ...]

    def document(self) -> dict[str, Any]:
        """The reason as the web interface sends it."""
        return {"column": self.column.kind.value, "text": self.text, "keys": list(self.keys)}


def reasons_of(row: Row, rows: Sequence[Row]) -> Iterator[Reason]:
    """The reasons beside what a battery gives: that series parts carry the same, and what parallel parts add up to."""
    if row.of_part or row.quantity not in ("charge", "current"):
        return
    of_parts = [each for each in rows if each.of_part and each.quantity == row.quantity]
    for place, cell in enumerate(row.cells):
        if cell is None or cell.column.kind.way is None:
            continue
        told = [(each.key, part.reading) for each in of_parts if (part := each.cells[place]) is not None]
        readings = [reading for _, reading in told]
        # A sign would need a word of its own; nothing is carried where the sum is nothing.
        if len(told) < 2 or any(reading.value is not None and reading.value <= 0 for reading in readings):
            continue
        text = _in_series(cell.column, readings) if cell.column.kind.way == "series" else _in_parallel(cell, readings)
        yield Reason(cell.column, sentence(f"{cell.column.phrase} {text}"), (row.key, *(key for key, _ in told)))


def _in_series(column: Column, readings: Sequence[Reading]) -> str:
    carried = f"{_ALL.get(len(readings), f'all {len(readings)}')} carry {readings[0].text}"
    if column.part_kind == "resistor":
        return f"{carried}: there is only one way for the current"
    isolated = "the conductor between them is" if len(readings) == 2 else "the conductors between them are"
    return f"{carried}: {isolated} isolated"


def _in_parallel(cell: Any, readings: Sequence[Reading]) -> str:
    whole = cell.reading.text
    if len(readings) <= _WRITTEN_OUT:
        return f"{' + '.join(reading.text for reading in readings)} = {whole} leave the battery"
    kind = "charges" if cell.column.part_kind == "capacitor" else "currents"
    return f"the {kind} of {_ALL.get(len(readings), f'all {len(readings)}')} add up to {whole}, which leave the battery"
