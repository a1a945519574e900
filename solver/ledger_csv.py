"""The ledger as a file for spreadsheets: CSV (RFC 4180), of every reading the text, the number and the exact value.

A spreadsheet takes a cell that begins with = + - or @ for a formula, and 1/3 for a day in March. So such texts have
an apostrophe before them, exact values have their unit, and what is covered is a question mark.
"""

from __future__ import annotations

import csv
import io
from collections.abc import Iterable, Sequence
from typing import Any, Final

from solver.covering import Covering
from solver.kinds import KINDS
from solver.quantities import Quantity
from solver.ratings import percent
from solver.readings import Reading
from solver.sketch import Part, Sketch
from solver.solution import Solution
from solver.strains import Strain
from solver.values import ValueFault, read_value

BEGINS_A_FORMULA: Final = ("=", "+", "-", "@", "\t", "\r", "\n")
_TYPED: Final = {
    "Value": "value",
    "Starts at": "initial",
    "Inside": "internal",
    "Rated": "rated",
    "Reversed": "reverse",
}
_READ: Final = {
    "voltage": Quantity.VOLTAGE,
    "charge": Quantity.CHARGE,
    "energy": Quantity.ENERGY,
    "current": Quantity.CURRENT,
    "power": Quantity.POWER,
    "work": Quantity.WORK,
    "equivalent": None,  # farads or ohms
    "field": Quantity.FIELD,
    "density": Quantity.DENSITY,
    "breakdown": Quantity.VOLTAGE,
}
_HEADS: Final = {"field": "Largest field", "density": "Charge density", "breakdown": "Breaks down at"}
_OF_LIMITS: Final = ("Share of limit", "Share of limit, number", "Past its limit")
_TOTALS: Final = {"energy": "energy", "power": "power", "work": "work", "lost": "energy"}


def ledger_csv(sketch: Sketch, solution: Solution, strains: Sequence[Strain] = ()) -> bytes:
    """A row for every part but wires, for what is read between joints, and for the totals; UTF-8 with its mark.

    Of each reading there are three columns: the rounded text; the number in SI units, to the nearest float; the exact
    value with its unit. Capacitors with a limit have the share of it that they come to, covered with their voltage.
    """
    strained = {strain.part: strain for strain in strains}
    covering = Covering.of(sketch.covered)
    rows: list[dict[str, str]] = []
    for part in sketch.parts:
        if part.kind != "wire":
            readings = _readings(solution.parts[part.name])
            row = {"Part": part.name, "Kind": part.kind, **_typed(part), **_read(part.name, readings, covering)}
            rows.append(row | _strained(strained.get(part.name), covering))
    for probe in solution.probes:
        owner = f"probe {' '.join(probe.between)}"
        sort = "capacitance" if probe.capacitance is not None else "resistance"
        cells = _cells("voltage", probe.voltage, f"{owner}.voltage", covering)
        cells |= _cells("equivalent", getattr(probe, sort), f"{owner}.{sort}", covering)
        rows.append({"Part": " and ".join(probe.between), "Kind": "between joints", **cells})
    for total, column in _TOTALS.items():
        reading: Reading | None = getattr(solution.totals, total)
        if reading is not None:
            cells = _cells(column, reading, f"total.{total}", covering)
            rows.append({"Part": "lost" if total == "lost" else "all", "Kind": f"total {total}", **cells})
    used = {column for row in rows for column, text in row.items() if text}
    return _written([column for column in _columns() if column in used or column in ("Part", "Kind")], rows)


def _readings(part: Any) -> dict[str, Reading | None]:
    """The readings of a part; of a battery without the current and power that it no longer has when all is settled."""
    readings = {name: getattr(part, name, None) for name in _READ}
    if readings["current"] is not None and readings["current"].value == 0 and readings["charge"] is not None:
        readings |= {"current": None, "power": None}
    return readings


def _columns() -> list[str]:
    typed = [column for name in _TYPED for column in (name, f"{name}, number", f"{name}, exact")]
    read = [column for name in _READ for column in _heads(name)]
    return ["Part", "Kind", "State", *typed, *read, *_OF_LIMITS]


def _heads(name: str) -> tuple[str, str, str]:
    quantity = _READ[name]
    head = _HEADS.get(name, name.capitalize())
    return head, f"{head} / {quantity.unit}" if quantity else f"{head} in SI units", f"{head}, exact"


def _typed(part: Part) -> dict[str, str]:
    """What was typed, and what it means. The number of a battery's internal resistance is in ohms, and so on."""
    kind = KINDS[part.kind]
    cells = {"State": part.state}
    for column, place in _TYPED.items():
        text: str | None = getattr(part, place)
        quantity = kind.quantity if place == "value" else kind.optional.get(place)
        if not text or quantity is None:
            continue
        cells[column] = safe(text.strip())
        if (value := _value(text, quantity)) is not None:
            number = _number(Reading(value, quantity))
            cells |= dict(zip((f"{column}, number", f"{column}, exact"), number, strict=True))
    return cells


def _value(text: str, quantity: Quantity) -> Any:
    """The exact value of a typed text; None where it is a symbol, or nothing that is understood."""
    try:
        value = read_value(text, quantity)
    except ValueFault:
        return None
    return value.factor if value.symbol is None else None


def _read(owner: str, readings: dict[str, Any], covering: Covering) -> dict[str, str]:
    cells: dict[str, str] = {}
    for name, reading in readings.items():
        cells |= _cells(name, reading, f"{owner}.{name}", covering)
    return cells


def _strained(strain: Strain | None, covering: Covering) -> dict[str, str]:
    if strain is None:
        return {}
    if covering.covers(f"{strain.part}.voltage"):
        return dict.fromkeys((_OF_LIMITS[0], _OF_LIMITS[2]), "?")
    cells = percent(strain.share), repr(float(strain.share)), "yes" if strain.is_past else "no"
    return dict(zip(_OF_LIMITS, cells, strict=True))


def _cells(name: str, reading: Reading | None, key: str, covering: Covering) -> dict[str, str]:
    if reading is None:
        return {}
    text, number, exact = _heads(name)
    if covering.covers(key):
        return {text: "?"}
    return dict(zip((text, number, exact), (safe(reading.text), *_number(reading)), strict=True))


def _number(reading: Reading) -> tuple[str, str]:
    """The number, which a spreadsheet can go on with, and the exact value."""
    exact, value, _ = reading.told()
    if exact is None:
        return "" if value is None else repr(value), ""
    written = exact.replace("-", "−")
    # A symbol stands for a quantity, its unit included.
    return (repr(value), f"{written} {reading.quantity.unit}") if value is not None else ("", written)


def safe(text: str) -> str:
    """A text that no spreadsheet takes for a formula.

    >>> safe("-9 V"), safe("9 V")
    ("'-9 V", '9 V')
    """
    return f"'{text}" if text.startswith(BEGINS_A_FORMULA) else text


def _written(columns: list[str], rows: Iterable[dict[str, str]]) -> bytes:
    file = io.StringIO(newline="")
    writer = csv.DictWriter(file, columns, restval="", extrasaction="ignore")
    writer.writeheader()
    writer.writerows(rows)
    # The mark tells spreadsheets that it is UTF-8, without which µ comes out as two other signs.
    return file.getvalue().encode("utf-8-sig")
