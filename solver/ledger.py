"""The ledger as tables of texts and readings, for files and paper; static/panel/ledger.js has the same rows."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from typing import Any, Final

from solver.kinds import SWITCHES
from solver.readings import Reading
from solver.sketch import Part, Sketch
from solver.solution import Probe, Solution


@dataclass(frozen=True, slots=True)
class Cell:
    """One entry: its text, and where it is a reading its key as in `covered` and the reading itself."""

    text: str
    key: str | None = None
    reading: Reading | None = None


@dataclass(frozen=True, slots=True)
class Row:
    """One row: what stands at its head, words and then the name of a part, and a cell for each column, None if empty.

    `is_sum` marks a last row, for all parts together.
    """

    words: str
    name: str | None
    cells: tuple[Cell | None, ...]
    is_sum: bool = False


@dataclass(frozen=True, slots=True)
class Table:
    """The parts of one kind. `columns` are the heads, that of the first column, which names the part, included."""

    title: str
    columns: tuple[str, ...]
    rows: tuple[Row, ...]


@dataclass(frozen=True)
class _Columns:
    kind: str
    title: str
    value: str
    readings: tuple[tuple[str, str], ...]
    middle: str
    total: str
    all_words: str


_CAPACITORS: Final = _Columns(
    "capacitor",
    "Capacitors",
    "Capacitance",
    (("voltage", "Voltage"), ("charge", "Charge"), ("energy", "Energy")),
    "charge",
    "energy",
    "Stored in all",
)
_RESISTORS: Final = _Columns(
    "resistor",
    "Resistors",
    "Resistance",
    (("voltage", "Voltage"), ("current", "Current"), ("power", "Power")),
    "current",
    "power",
    "Power in all",
)
_OF_BATTERIES: Final = (("charge", "Charge"), ("work", "Work"), ("current", "Current"), ("power", "Power"))
_OF_BUILDS: Final = (
    ("capacitance", "Capacitance"),
    ("field", "Largest field"),
    ("density", "Charge density"),
    ("breakdown", "Breaks down at"),
)


def ledger_of(sketch: Sketch, solution: Solution) -> tuple[Table, ...]:
    """The tables of a sketch: capacitors, what those given by their build have besides, resistors, batteries, switches,
    then what is read between joints."""
    return _Ledger(sketch, solution).tables()


class _Ledger:
    def __init__(self, sketch: Sketch, solution: Solution) -> None:
        self._sketch = sketch
        self._solution = solution
        self._batteries = self._of_kind("battery")

    def tables(self) -> tuple[Table, ...]:
        parts = [self._parts(_CAPACITORS), self._builds(), self._parts(_RESISTORS)]
        made = [*parts, self._battery_table(), self._switches(), self._between()]
        return tuple(table for table in made if table is not None)

    def _of_kind(self, kind: str) -> list[Part]:
        return [part for part in self._sketch.parts if part.kind == kind]

    def _reading(self, owner: str, name: str) -> Cell | None:
        reading: Reading | None = getattr(self._solution.parts[owner], name, None)
        return None if reading is None else Cell(reading.text, f"{owner}.{name}", reading)

    def _parts(self, columns: _Columns) -> Table | None:
        parts = self._of_kind(columns.kind)
        if not parts:
            return None
        starts = any(part.initial is not None for part in parts)
        heads = ["Part", columns.value, *(["Starts at"] if starts else []), *(head for _, head in columns.readings)]
        rows = []
        for part in parts:
            given = [
                Cell(" ".join(filter(None, (part.value, part.tolerance)))),
                *([Cell(part.initial or "0 V")] if starts else []),
            ]
            rows.append(Row("", part.name, (*given, *(self._reading(part.name, name) for name, _ in columns.readings))))
        return Table(columns.title, tuple(heads), (*rows, *self._sum(columns, len(heads) - 1)))

    def _builds(self) -> Table | None:
        built = [part for part in self._of_kind("capacitor") if self._reading(part.name, "field")]
        columns = [(head, self._column(name)) for name, head in _OF_BUILDS]
        return _table("Fields", "Part", columns, built) if built else None

    def _one_across(self) -> bool:
        """Whether one battery alone makes all readings of parts of one kind, which begin without charge: only then are
        charge and energy of all parts those of the equivalent across it."""
        kinds = bool(self._of_kind("capacitor")) + bool(self._of_kind("resistor"))
        begins = any(part.initial is not None for part in self._sketch.parts) or bool(self._sketch.stage)
        return len(self._batteries) == 1 and kinds == 1 and not begins

    def _sum(self, columns: _Columns, width: int) -> list[Row]:
        """ "Across E1" where that is all there is; else the total alone."""
        total: Reading | None = getattr(self._solution.totals, columns.total)
        cell = None if total is None else Cell(total.text, f"total.{columns.total}", total)
        if self._one_across():
            name = self._batteries[0].name
            if equivalent := self._reading(name, "equivalent"):
                middle = self._reading(name, "voltage"), self._reading(name, columns.middle)
                return [Row("Across ", name, (equivalent, *middle, cell), is_sum=True)]
        if cell is None:
            return []
        return [Row(columns.all_words, None, (*(None,) * (width - 1), cell), is_sum=True)]

    def _battery_table(self) -> Table | None:
        if not self._batteries:
            return None
        inside = any(part.internal is not None for part in self._batteries)
        shown = [
            (name, head) for name, head in _OF_BATTERIES if any(self._tells(part, name) for part in self._batteries)
        ]
        sees = not self._one_across() and any(self._reading(part.name, "equivalent") for part in self._batteries)
        columns: list[tuple[str, Callable[[Part], Cell | None]]] = [("Emf", lambda part: Cell(part.value or ""))]
        if inside:
            columns.append(("Inside", lambda part: Cell(part.internal or "0 Ω")))
            columns.append(("Voltage", self._column("voltage")))
        if sees:
            columns.append(("Equivalent", self._column("equivalent")))
        columns += [(head, self._column(name)) for name, head in shown]
        return _table("Batteries", "Battery", columns, self._batteries)

    def _column(self, name: str) -> Callable[[Part], Cell | None]:
        return lambda part: self._reading(part.name, name)

    def _tells(self, part: Part, name: str) -> bool:
        """Where no current remains a column of zeros would say nothing: charge and work are there instead."""
        readings: Any = self._solution.parts[part.name]
        reading = getattr(readings, name)
        if reading is None:
            return False
        return name not in ("current", "power") or reading.value != 0 or readings.charge is None

    def _switches(self) -> Table | None:
        switches = [part for part in self._sketch.parts if part.kind in SWITCHES]
        if not switches:
            return None
        columns: list[tuple[str, Callable[[Part], Cell | None]]] = [
            ("State", lambda part: Cell(part.state)),
            ("Voltage", self._column("voltage")),
        ]
        return _table("Switches", "Switch", columns, switches)

    def _between(self) -> Table | None:
        if not self._solution.probes:
            return None
        rows = []
        for probe in self._solution.probes:
            sort = "capacitance" if probe.capacitance is not None else "resistance"
            cells = _of_probe(probe, "voltage"), _of_probe(probe, sort)
            rows.append(Row(f"{probe.between[0]} and {probe.between[1]}", None, cells))
        return Table("Between two joints", ("Joints", "Voltage", "Equivalent"), tuple(rows))


def _of_probe(probe: Probe, name: str) -> Cell | None:
    reading: Reading | None = getattr(probe, name)
    return None if reading is None else Cell(reading.text, f"probe {' '.join(probe.between)}.{name}", reading)


def _table(
    title: str, first: str, columns: Sequence[tuple[str, Callable[[Part], Cell | None]]], parts: Sequence[Part]
) -> Table:
    rows = (Row("", part.name, tuple(cell(part) for _, cell in columns)) for part in parts)
    return Table(title, (first, *(head for head, _ in columns)), tuple(rows))
