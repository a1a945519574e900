"""A handout of a sketch: the task in words, the ledger to fill in and the ledger filled in, the cautions.

What is covered is asked for. Where nothing is covered, or everything, all that is usual is asked for.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from typing import Any, Final

from solver.cautions import cautions_of
from solver.covering import Covering
from solver.ledger import Cell, Row, Table, ledger_of
from solver.rating_table import TASK, rating_table
from solver.sketch import Sketch
from solver.solution import Solution
from solver.solving import SolvedNetwork
from solver.strains import Strain
from solver.subscripts import with_subscripts
from solver.task import task_of
from solver.unknown import Found

_USUAL_OF_BATTERY: Final = frozenset({"equivalent", "voltage", "current"})
"""What is asked of a battery without being covered: charge and work only fill the page."""


@dataclass(frozen=True)
class Handout:
    """`blank` is the ledger as the question sheet has it, `filled` all of it."""

    task: str
    blank: tuple[Table, ...]
    filled: tuple[Table, ...]
    cautions: tuple[str, ...]
    asked: tuple[str, ...]
    """The keys, as in `covered`, of the cells left blank."""

    def document(self) -> dict[str, Any]:
        """The handout as the web interface sends it; a cell is its text, null where it is to be found."""
        asked = set(self.asked)
        return {
            "task": self.task,
            "blank": [_table(table, asked) for table in self.blank],
            "filled": [_table(table, set()) for table in self.filled],
            "cautions": list(self.cautions),
        }


def handout_of(
    sketch: Sketch,
    solved: SolvedNetwork,
    solution: Solution,
    found: Found | None = None,
    strains: Sequence[Strain] = (),
) -> Handout:
    """The handout of a solved network. `sketch` is as typed: a “?” in it is for the reader to find, `found` has it;
    `strains` are how far its capacitors are strained."""
    ledger = ledger_of(solved.sketch, solution)
    covering = Covering.of(sketch.covered)
    given = {requirement.reading for requirement in sketch.required}
    if found is not None:
        ledger = tuple(_with_unknowns(table, found) for table in ledger)
    blank = tuple(table for table in (_on_question_sheet(table, covering) for table in ledger) if table is not None)
    asked = [cell for cell in _cells(blank) if _is_asked(cell, covering) and cell.key not in given]
    task = task_of(sketch, ledger, asked, solved.writing)
    if sketch.lot is not None:
        task = f"The parts are those of lot {sketch.lot} from the drawer, with the values given here. {task}"
    if (ratings := rating_table(solved.sketch, strains)) is not None:
        keys = {cell.key for cell in asked}
        shares = [cell.key in keys for cell in _cells((ratings,)) if cell.key]
        if any(shares):
            task = f"{task} {TASK}"
        # What parts are rated for stands in the drawing: a table of nothing but blanks only fills the page.
        blank, ledger = blank if all(shares) else (*blank, ratings), (*ledger, ratings)
    return Handout(
        task,
        blank,
        ledger,
        cautions_of([solved]),
        tuple(cell.key for cell in asked if cell.key),
    )


def _with_unknowns(table: Table, found: Found) -> Table:
    """The table with a key, "C1.value", on each value that is to be found."""
    unknown = {value.part for value in found.values}
    rows = tuple(
        replace(row, cells=(replace(cell, key=f"{row.name}.value", text=found.as_read(cell.text)), *row.cells[1:]))
        if row.name in unknown and row.cells and (cell := row.cells[0]) is not None and cell.key is None
        else row
        for row in table.rows
    )
    return replace(table, rows=rows)


def _cells(tables: tuple[Table, ...]) -> Iterator[Cell]:
    return (cell for table in tables for row in table.rows for cell in row.cells if cell is not None)


def _is_asked(cell: Cell, covering: Covering) -> bool:
    """Whether a reading is to be found; without covers every one is."""
    if cell.key is None:
        return False
    if cell.key.endswith(".value"):
        return True
    return covering.is_empty or covering.covers(cell.key)


def _on_question_sheet(table: Table, covering: Covering) -> Table | None:
    """The table without columns that are neither given nor usual to ask for; None where nothing but values is left."""
    if len(table.rows) == 2 and table.rows[1].is_sum:
        table = Table(table.title, table.columns, table.rows[:1])  # of one part the sum says nothing new
    kept = [0, *(column for column in range(1, len(table.columns)) if _is_kept(table, column, covering))]
    if not any(cell.key for row in table.rows for column in kept[1:] if (cell := row.cells[column - 1]) is not None):
        return None
    rows = tuple(
        Row(row.words, row.name, tuple(row.cells[column - 1] for column in kept[1:]), is_sum=row.is_sum)
        for row in table.rows
    )
    return Table(table.title, tuple(table.columns[column] for column in kept), rows)


def _is_kept(table: Table, column: int, covering: Covering) -> bool:
    cells = [cell for row in table.rows if (cell := row.cells[column - 1]) is not None]
    if table.title not in ("Batteries", "Switches") or any(cell.key is None for cell in cells):
        return True
    if any(not _is_asked(cell, covering) or covering.names(cell.key or "") for cell in cells):
        return True
    return table.title == "Batteries" and any(
        (cell.key or "").rpartition(".")[2] in _USUAL_OF_BATTERY for cell in cells
    )


def _table(table: Table, asked: set[str]) -> dict[str, Any]:
    rows = [_row(row, asked) for row in table.rows]
    return {"title": table.title, "columns": list(table.columns), "rows": rows}


def _row(row: Row, asked: set[str]) -> dict[str, Any]:
    """A row; the head of a sum takes the columns in front of the first cell that has something in it."""
    empty = next((place for place, cell in enumerate(row.cells) if cell is not None), 0) if row.is_sum else 0
    return {
        "words": row.words,
        "name": row.name,
        "span": 1 + empty,
        "sum": row.is_sum,
        "cells": [_cell(cell, asked) for cell in row.cells[empty:]],
    }


def _cell(cell: Cell | None, asked: set[str]) -> dict[str, Any]:
    """Its text, none where it is asked for; `key` as in `covered`, null where it is no reading."""
    if cell is None:
        return {"key": None, "text": "", "asked": False}
    is_asked = cell.key in asked
    return {"key": cell.key, "text": "" if is_asked else with_subscripts(cell.text), "asked": is_asked}
