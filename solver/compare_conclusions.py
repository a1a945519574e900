"""The one sentence that is drawn out of a row: how the columns differ in it, and why."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Any, Final

import flint

from solver.arithmetic import Scalar
from solver.compare_alone import alone
from solver.compare_columns import Column
from solver.compare_ratio import Common
from solver.compare_rows import Cell, PastRating, Row, past_rating
from solver.compare_words import hardly_one, multiple, sentence, share_of, so_much, together
from solver.functions import Function
from solver.readings import BatteryReadings

_VERBS: Final = {"voltage": "has", "charge": "carries", "current": "carries", "energy": "stores", "power": "takes"}
_WITH_VOLTAGE: Final = {"charge": "charge is proportional to voltage", "current": "current is proportional to voltage"}
_NOT_ALIKE: Final = (
    "equal charge takes more voltage in the smaller capacitance, equal current takes more in the larger resistance"
)


@dataclass(frozen=True, slots=True)
class _Group:
    """Cells with the same number."""

    cells: tuple[Cell, ...]
    number: Scalar

    @property
    def phrases(self) -> str:
        return together([cell.column.phrase for cell in self.cells])

    @property
    def names(self) -> list[str]:
        return list(dict.fromkeys(cell.name for cell in self.cells))


class Conclusions:
    """Draws conclusions from the rows of one comparison.

    `alike` says that all parts put in series and in parallel have the same value.
    """

    def __init__(self, columns: Sequence[Column], rows: Sequence[Row], chosen: Sequence[str], common: Common) -> None:
        self._common: Final = common
        self._rows: Final = {row.key: row for row in rows}
        self._first: Final = chosen[0] if chosen else None
        self._arranged: Final = all(column.part_kind for column in columns)
        self._count: Final = max((len(column.names) for column in columns), default=0)
        self._kinds: Final = {column.part_kind for column in columns}
        self._alike: Final = self._arranged and self._count > 1 and self._are_alike(columns[0])

    def _are_alike(self, column: Column) -> bool:
        own = column.names.values()
        network = column.solved.outcome.network
        sizes: list[Any] = [part.capacitance for part in network.capacitors if part.name in own]
        sizes += [part.resistance for part in network.resistors if part.name in own]
        return all(size == sizes[0] for size in sizes)

    def warning(self, row: Row) -> str | None:
        """In which columns a part would be past its rated voltage."""
        past = past_rating(row, self._common) if row.of_part and row.quantity == "voltage" else []
        if not past:
            return None

        def told(each: PastRating, first: bool) -> str:
            return f"{each.excess.text}{' past its rating' if first else ''} {each.column.phrase}"

        return sentence(f"{past[0].name} would be {together([told(each, not n) for n, each in enumerate(past)])}")

    def conclusion(self, row: Row) -> str:
        """The sentence of a row."""
        if len(row.there) == 1:
            return alone(row, row.there[0], alike=self._alike, both_kinds=len(self._kinds) > 1)
        if row.quantity in ("capacitance", "resistance"):
            return self._equivalent(row)
        if not row.of_part:
            return self._whole(row)
        if row.quantity == "voltage" and (told := self._shares(row)):
            return told
        subject = "each" if self._alike else row.there[0].name
        return self._compared(row, subject, _VERBS[row.quantity], row.quantity, "it", self._why(row))

    # Shares of the battery's voltage

    def _shares(self, row: Row) -> str | None:
        """ "In series C1 gets a third of the voltage, in parallel all of it"; None where that cannot be said."""
        groups = self._grouped(row, self._share) if self._same_battery(row) else None
        if groups is None:
            return None
        clauses: list[str] = []
        before, formulas = "", False
        for group in groups:
            share = share_of(group.number, "it" if clauses else "the voltage")
            if share is None:
                return None
            names = group.names
            subject = "each" if self._alike else names[0] if len(names) == 1 else f"both {together(names)}"
            verb = "" if subject == before else f"{subject} {'get' if len(names) > 1 and not self._alike else 'gets'} "
            before = subject
            reading = group.cells[0].reading
            is_formula = isinstance(self._common.scalar(reading), Function)
            formulas = formulas or is_formula
            number = f", {reading.text}" if is_formula else ""
            clauses.append(f"{group.phrases} {verb}{share}{number}")
        told = sentence(("; " if len(clauses) > 2 or formulas else ", ").join(clauses))
        series = {cell.column.part_kind for cell in row.there if cell.column.kind.way == "series"}
        if len(series) > 1 and not self._alike and row.owner == self._first:
            told += f" {sentence(_NOT_ALIKE)}"
        return told

    def _share(self, cell: Cell) -> Scalar | None:
        """The voltage as a share of that of the only battery, which is the same in every column."""
        column = cell.column
        battery = self._battery_voltage(column)
        return battery and self._common.quotient(self._common.scalar(cell.reading), battery)

    def _battery_voltage(self, column: Column) -> Scalar | None:
        if len(column.batteries) != 1:
            return None
        readings = column.solution.parts[column.batteries[0]]
        assert isinstance(readings, BatteryReadings)
        return self._common.scalar(readings.voltage) or None

    def _same_battery(self, row: Row) -> bool:
        voltages = [self._battery_voltage(cell.column) for cell in row.there]
        return all(voltage is not None and voltage == voltages[0] for voltage in voltages)

    def _grouped(self, row: Row, number: Any) -> list[_Group] | None:
        """Cells with equal numbers together, in the order of the columns; None where a number is not a rational."""
        groups: list[_Group] = []
        for cell in row.there:
            own = number(cell)
            if not isinstance(own, flint.fmpq):
                return None
            for place, group in enumerate(groups):
                if group.number == own:
                    groups[place] = _Group((*group.cells, cell), own)
                    break
            else:
                groups.append(_Group((cell,), own))
        return groups

    # How many times as much

    def _ratios(self, row: Row) -> list[_Group] | None:
        """Groups by their ratio to the first reading that is not zero."""
        common = self._common
        first = next((number for cell in row.there if (number := common.scalar(cell.reading))), None)
        if first is None:
            return [_Group(tuple(row.there), flint.fmpq(0))]
        return self._grouped(row, lambda cell: common.quotient(common.scalar(cell.reading), first))

    def _compared(self, row: Row, subject: str, verb: str, noun: str, pronoun: str, why: str = "") -> str:
        groups = self._ratios(row)
        if groups is None:
            first, *rest = row.there
            later = ", ".join(f"{cell.column.phrase} {cell.reading.text}" for cell in rest)
            return sentence(f"{first.column.phrase} {subject} {verb} the {noun} {first.reading.text}, {later}")
        none = [group for group in groups if not group.number]
        some = sorted((group for group in groups if group.number), key=lambda group: -abs(group.number))
        if not some:
            return sentence(f"{none[0].phrases} {subject} {verb} no {noun}")
        if none:
            later = ", ".join(f"{group.phrases} {group.cells[0].reading.text}" for group in some)
            return sentence(f"{none[0].phrases} {subject} {verb} no {noun}, {later}")
        most, *others = some
        if not others:
            return sentence(f"{most.phrases} {subject} {verb} the same {noun}")
        clauses = []
        for group in others:
            ratio = most.number / group.number
            name = pronoun if group.names == most.names or subject == "each" else group.names[0]
            turned = ", the other way round" if ratio < 0 else ""
            clauses.append(f"{so_much(abs(ratio), noun, self._common.figures)} {name} {verb} {group.phrases}{turned}")
        subject = most.names[0] if subject == row.there[0].name else subject
        return sentence(f"{most.phrases} {subject} {verb} {together(clauses)}{why}")

    def _extremes(self, row: Row) -> flint.fmpq | None:
        """The largest number over the smallest, where all are rational, none is zero and no two differ in sign."""
        groups = self._ratios(row)
        if groups is None or len(groups) < 2 or any(group.number <= 0 for group in groups):
            return None
        numbers: list[flint.fmpq] = [group.number for group in groups]
        extremes: flint.fmpq = max(numbers) / min(numbers)
        return extremes

    def _why(self, row: Row) -> str:
        """The reason, where the part's own value is the same in every column."""
        voltages = self._rows.get(f"{row.owner}.voltage")
        if row.quantity == "voltage" or voltages is None:
            return ""
        voltage = self._extremes(Row(row.owner, True, "voltage", "", self._cells_beside(voltages, row)))
        own = self._extremes(row)
        if voltage is None or own is None or hardly_one(voltage, self._common.figures):
            return ""
        if row.quantity in _WITH_VOLTAGE:
            return f": {_WITH_VOLTAGE[row.quantity]}" if own == voltage else ""
        if own != voltage**2:
            return ""
        return (
            f": {multiple(voltage, self._common.figures)} the voltage, squared"
            if len(row.there) == 2
            else (f": {row.quantity} is proportional to the square of the voltage")
        )

    @staticmethod
    def _cells_beside(voltages: Row, row: Row) -> tuple[Cell | None, ...]:
        return tuple(cell and voltage for cell, voltage in zip(row.cells, voltages.cells, strict=True))

    # The whole

    def _equivalent(self, row: Row) -> str:
        ways = {cell.column.kind.way: cell for cell in row.there}
        ratio = self._extremes(row)
        if self._count > 1 and set(ways) == {"series", "parallel"}:
            adding, other = ("parallel", "series") if row.quantity == "capacitance" else ("series", "parallel")
            plural = "capacitances" if row.quantity == "capacitance" else "resistances"
            if ratio is None:
                return sentence(
                    f"in {adding} the {plural} add up, in {other} the equivalent is less than the smallest part"
                )
            return sentence(
                f"in {adding} the {plural} add up to {multiple(ratio, self._common.figures)} what they come to in "
                f"{other}, where the equivalent is less than the smallest part"
            )
        groups = self._ratios(row)
        noun = f"equivalent {row.quantity}"
        if groups is None or any(group.number <= 0 for group in groups):
            return sentence(
                f"the {noun} is {together([f'{cell.reading.text} {cell.column.phrase}' for cell in row.there])}"
            )
        most, *others = sorted(groups, key=lambda group: -group.number)
        if not others:
            return sentence(f"{most.phrases} the {noun} is the same")
        clauses = [
            f"{multiple(most.number / group.number, self._common.figures)} what it is {group.phrases}"
            for group in others
        ]
        return sentence(f"{most.phrases} the {noun} is {together(clauses)}")

    def _whole(self, row: Row) -> str:
        same = self._same_battery(row)
        why = ""
        if row.owner is None:
            pair = ("the parts store", "energy") if row.quantity == "energy" else ("the resistors take", "power")
            subject, verb = pair[0].rsplit(" ", 1)
            return self._compared(row, subject, verb, pair[1], "they", ", from the same battery" if same else "")
        battery = "the battery" if same or len(row.there[0].column.batteries) == 1 else row.owner
        if same and (ratio := self._extremes(row)):
            kind = "capacitance" if row.quantity == "charge" else "resistance"
            equivalent = self._rows.get(f"{row.owner}.{kind}")
            beside = equivalent and self._extremes(Row(row.owner, False, kind, "", self._cells_beside(equivalent, row)))
            if beside == ratio:
                goes = "proportional to" if row.quantity == "charge" else "inversely proportional to"
                why = f": at the same voltage {row.quantity} is {goes} {kind}"
        subject = f"the same {battery.removeprefix('the ')}" if same else battery
        verb = "gives" if row.quantity == "charge" else "drives"
        return self._compared(row, subject, verb, row.quantity, "it", why)
