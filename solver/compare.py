"""Two or three networks side by side: their readings in one table, the exact ratios, and what follows from each."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any, Final

import flint

from solver.compare_columns import Column, Columns, Wish
from solver.compare_conclusions import Conclusions
from solver.compare_faults import FEWEST_COLUMNS, MOST_COLUMNS, MOST_PARTS, ComparisonFault
from solver.compare_ratio import Common, Ratio
from solver.compare_reasons import Reason, reasons_of
from solver.compare_rows import Row, rows_of
from solver.compare_scales import Scales, scales_of
from solver.sketch import Part

__all__ = ["FEWEST_COLUMNS", "MOST_COLUMNS", "MOST_PARTS", "Comparison", "ComparisonFault", "Line", "Wish", "compare"]

# Common practice: what is touchable, and what is felt, differs with whom one asks; these are on the safe side.
_HIGH_VOLTAGE: Final = flint.fmpq(60)
_MUCH_ENERGY: Final = flint.fmpq(1)
_DEFER: Final = "Keep to the rules of your school, and ask who is trained for it."


@dataclass(frozen=True)
class Line:
    """A row of the table with what is said of it; `warning` is about a rating, `reasons` are within one column each."""

    row: Row
    ratio: Ratio | None
    conclusion: str
    warning: str | None
    reasons: tuple[Reason, ...] = ()

    def document(self) -> dict[str, Any]:
        """The line as the web interface sends it."""
        row = self.row
        return {
            "key": row.key,
            "part": row.owner if row.of_part else None,
            "word": row.word,
            "readings": [reading and reading.document() for reading in row.readings],
            "ratio": self.ratio and self.ratio.document(),
            "conclusion": self.conclusion,
            "warning": self.warning,
            "reasons": [reason.document() for reason in self.reasons],
        }


@dataclass(frozen=True)
class Comparison:
    """The columns, the lines of the table, the scales common to all tiles, and notes in sentences.

    `chosen` are the parts compared, `arranged` those of them that stand in series and in parallel, and `battery` is the
    one that feeds them, as on the sheet or as made for it.
    """

    columns: tuple[Column, ...]
    lines: tuple[Line, ...]
    scales: Scales
    chosen: tuple[Part, ...]
    arranged: tuple[Part, ...]
    battery: Part
    notes: tuple[str, ...]

    def line(self, key: str) -> Line:
        """The line with this key, such as "C1.voltage". Raises KeyError."""
        for line in self.lines:
            if line.row.key == key:
                return line
        raise KeyError(key)

    def document(self) -> dict[str, Any]:
        """The comparison as the web interface sends it."""
        return {
            "columns": [column.document() for column in self.columns],
            "rows": [line.document() for line in self.lines],
            "scales": self.scales.document(),
            "parts": [part.name for part in self.chosen],
            "arranged": [part.name for part in self.arranged],
            "battery": {"name": self.battery.name, "value": self.battery.value},
            "notes": list(self.notes),
        }


def compare(wish: Wish | Mapping[str, Any]) -> Comparison:
    """Compares what is wished for, given as it is or as a document. Raises ComparisonFault and SketchFaults.

    >>> parts = [{"name": f"C{n}", "kind": "capacitor", "value": "30 µF", "from": "a", "to": "b"} for n in (1, 2, 3)]
    >>> sketch = {"joints": {"a": [0, 0], "b": [0, 4]}, "parts": parts}
    >>> made = compare({"sketch": sketch, "columns": ["series", "parallel"]})
    >>> made.line("C1.voltage").conclusion
    'In series each gets a third of the voltage, in parallel all of it.'
    >>> made.line("total.energy").ratio.text, made.line("total.energy").conclusion
    ('1 : 9', 'In parallel the parts store nine times the energy they store in series, from the same battery.')
    """
    columns = Columns(wish if isinstance(wish, Wish) else Wish.read(wish))
    made = columns.made
    common = Common([column.solved.writing for column in made], columns.wish.sketch.figures)
    chosen = [part.name for part in columns.chosen]
    rows = tuple(rows_of(made, chosen))
    conclusions = Conclusions(made, rows, chosen, common)
    lines = tuple(
        Line(
            row,
            common.ratio(row.readings),
            conclusions.conclusion(row),
            conclusions.warning(row),
            tuple(reasons_of(row, rows)),
        )
        for row in rows
    )
    return Comparison(
        made,
        lines,
        scales_of(made),
        tuple(columns.chosen),
        tuple(columns.arranged),
        columns.battery,
        (*columns.notes, *_cautions(lines, common)),
    )


def _cautions(lines: tuple[Line, ...], common: Common) -> list[str]:
    told = []
    if any(line.warning for line in lines):
        told.append(f"Past its rated voltage a capacitor can fail, and burst: never build that. {_DEFER}")

    def beyond(line: Line, most: flint.fmpq) -> bool:
        numbers = [common.scalar(reading) for reading in line.row.readings if reading is not None]
        return any(isinstance(number, flint.fmpq) and abs(number) > most for number in numbers)

    if any(beyond(line, _HIGH_VOLTAGE) for line in lines if line.row.quantity == "voltage"):
        told.append(f"Voltages above 60 V can hurt: they are for paper here, not for the bench. {_DEFER}")
    if any(beyond(line, _MUCH_ENERGY) for line in lines if line.row.key == "total.energy"):
        told.append(
            "So much energy stays in the capacitors when the battery is gone: "
            f"they have to be discharged through a resistor before anyone touches them. {_DEFER}"
        )
    return told
