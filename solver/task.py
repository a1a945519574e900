"""The task on a question sheet in words: what is to be found, from what is covered, else from what there is to read."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from typing import Final

from solver.covering import Covering
from solver.faults import every
from solver.kinds import SWITCHES
from solver.ledger import Cell, Table
from solver.readings import Writing
from solver.sketch import Part, Requirement, Sketch
from solver.subscripts import with_subscripts
from solver.unknown_texts import asked_texts, asked_words


@dataclass(frozen=True)
class _Phrase:
    """How a reading is asked for: of the parts named, and once the parts have been named ("its", "their")."""

    first: str
    its: str
    their: str


_PHRASES: Final = {
    "voltage": _Phrase("the voltage across {who}", "the voltage across it", "the voltages across them"),
    "charge": _Phrase("the charge on {who}", "its charge", "their charges"),
    "energy": _Phrase("the energy stored in {who}", "its energy", "their energies"),
    "current": _Phrase("the current through {who}", "the current through it", "the currents through them"),
    "power": _Phrase("the power in {who}", "its power", "their powers"),
    "capacitance": _Phrase("the capacitance of {who}", "its capacitance", "their capacitances"),
    "field": _Phrase("the largest electric field in {who}", "the largest field in it", "the largest fields in them"),
    "density": _Phrase("the charge density on {who}", "its charge density", "their charge densities"),
    "breakdown": _Phrase("the voltage at which {who} breaks down", "its breakdown voltage", "their breakdown voltages"),
}
_OF_BATTERY: Final = {
    "voltage": _Phrase("the voltage between the terminals of {who}", "its terminal voltage", "their terminal voltages"),
    "charge": _Phrase("the charge that {who} delivers", "the charge that it delivers", "the charges that they deliver"),
    "work": _Phrase("the work of {who}", "its work", "their work"),
    "current": _Phrase("the current out of {who}", "the current out of it", "the currents out of them"),
    "power": _Phrase("the power of {who}", "its power", "their powers"),
}
_TOTALS: Final = {
    "energy": "the energy stored in all",
    "power": "the power in all resistors",
    "work": "the work of the batteries",
    "lost": "the energy lost while the network settles",
}
_SORTS: Final = ("capacitor", "resistor", "battery", *SWITCHES)


def task_of(sketch: Sketch, ledger: Sequence[Table], asked: Iterable[Cell], writing: Writing) -> str:
    """The task in one or two sentences; empty where nothing is asked.

    `asked` are the cells of the ledger that are left blank. Potentials that are covered one by one are asked for too.
    """
    keys = {cell.key for cell in asked if cell.key} - _goes_without_saying(sketch, ledger)
    things = [*_values(sketch, keys), *_questions(sketch), *_things(sketch, ledger, keys), *_potentials(sketch)]
    if not things:
        return ""
    symbols = every([with_subscripts(symbol) for symbol in writing.symbols]) if writing.symbols else ""
    terms = f", in terms of {symbols}," if symbols else ""
    figures = f" Give numbers to {writing.figures} significant figure{'s' * (writing.figures > 1)}."
    return f"Find{terms} {_joined(things)}.{'' if symbols else figures}"


def _values(sketch: Sketch, keys: set[str]) -> list[str]:
    """Values that are to be found from what is required."""
    unknown = [_unknown(sketch, part) for part in sketch.parts if f"{part.name}.value" in keys]
    if not unknown:
        return []
    required = every([f"{_reading(sketch, each.reading)} to be {_wanted(each)}" for each in sketch.required])
    return [f"what {every(unknown)} must be for {required}"]


def _unknown(sketch: Sketch, part: Part) -> str:
    """ "C1", "the gap of C1 (plates 1 m² ? mica)"."""
    words = asked_words(sketch, part.name)
    return words if words == part.name else f"{words} ({', then '.join(asked_texts(sketch, part))})"


def _questions(sketch: Sketch) -> list[str]:
    """What is asked about readings over time, as far as it is asked in full."""
    asked = []
    for question in sketch.questions:
        words = _reading(sketch, question.reading)
        if question.at and question.at.strip():
            asked.append(f"{words} after {question.at.strip()}")
        elif question.reaches and question.reaches.strip():
            value = question.reaches.strip()
            asked.append(f"when {words} is {f'at {value} of its full value' if value.endswith('%') else value}")
    return asked


def _wanted(requirement: Requirement) -> str:
    value = requirement.value.strip()
    return value if requirement.after is None else f"{value} after {requirement.after.strip()}"


def _reading(sketch: Sketch, key: str) -> str:
    """A reading in words, from its key."""
    owner, _, reading = key.rpartition(".")
    if not owner:
        return f"the {reading}"
    if owner == "total":
        return _TOTALS.get(reading, reading)
    if owner.startswith("probe "):
        return f"the {reading} between the ends of the dotted line"
    part = next((part for part in sketch.parts if part.name == owner), None)
    phrases = _OF_BATTERY if part is not None and part.kind == "battery" else _PHRASES
    return phrases[reading].first.format(who=owner) if reading in phrases else f"the {reading} of {owner}"


def _goes_without_saying(sketch: Sketch, ledger: Sequence[Table]) -> set[str]:
    """What the last row of a table asks for beside the equivalent and the sum, unless it was covered by itself."""
    covering = Covering.of(sketch.covered)
    cells = [cell for table in ledger for row in table.rows if row.is_sum for cell in row.cells]
    keys = {cell.key for cell in cells if cell is not None and cell.key}
    return {
        key for key in keys if not covering.names(key) and key.rpartition(".")[2] in ("voltage", "charge", "current")
    }


def _joined(things: Sequence[str]) -> str:
    """Things that may have commas and "and" in them, so that it stays plain where the next one begins."""
    if not any(" and " in thing for thing in things):
        return every(things)
    *most, last = things
    pause = "; " if len(things) > 3 or any(", " in thing for thing in things) else ", "
    return f"{pause.join(most)}{pause}and {last}" if most else last


def _things(sketch: Sketch, ledger: Sequence[Table], keys: set[str]) -> list[str]:
    things = []
    for kind in _SORTS:
        names = [part.name for part in sketch.parts if part.kind == kind]
        things += _of_parts(kind, names, keys)
    capacitances = any(table.title == "Capacitors" for table in ledger)
    for part in sketch.parts:
        if part.kind == "battery" and f"{part.name}.equivalent" in keys:
            things.append(f"the equivalent {_equivalent(ledger, part.name, capacitances)} that {part.name} sees")
    things += [words for total, words in _TOTALS.items() if f"total.{total}" in keys]
    between = sorted({key.rpartition(".")[2] for key in keys if key.startswith("probe ")}, reverse=True)
    if between:
        several = len(sketch.probes) > 1
        sorts = every([f"the {'' if sort == 'voltage' else 'equivalent '}{sort}" for sort in between])
        things.append(f"{sorts} between the ends of {'each' if several else 'the'} dotted line")
    return things


def _equivalent(ledger: Sequence[Table], name: str, capacitances: bool) -> str:
    for cell in (cell for table in ledger for row in table.rows for cell in row.cells):
        if cell is not None and cell.key == f"{name}.equivalent" and cell.reading is not None:
            return cell.reading.quantity.word
    return "capacitance" if capacitances else "resistance"


def _of_parts(kind: str, names: Sequence[str], keys: set[str]) -> list[str]:
    """Readings of parts of one kind, those of the same parts together."""
    phrases = _OF_BATTERY if kind == "battery" else _PHRASES
    groups: dict[tuple[str, ...], list[str]] = {}
    for reading in phrases:
        owners = tuple(name for name in names if f"{name}.{reading}" in keys)
        if owners:
            groups.setdefault(owners, []).append(reading)
    things = []
    for owners, readings in groups.items():
        one = len(owners) == 1 or (len(owners) == len(names))
        who = f"each {kind}" if len(owners) == len(names) > 1 else every(owners)
        first, *others = (phrases[reading] for reading in readings)
        things.append(every([first.first.format(who=who), *(each.its if one else each.their for each in others)]))
    return things


def _potentials(sketch: Sketch) -> list[str]:
    covering = Covering.of(sketch.covered)
    if any(covering.names(f"joint {joint}.potential") for joint in sketch.joints):
        return ["the potentials marked with a question mark"]
    return []
