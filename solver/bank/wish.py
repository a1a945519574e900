"""What is asked of a bank: read from the texts of a form, with every fault of the form told together."""

from __future__ import annotations

import json
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from functools import cached_property
from pathlib import Path
from typing import Any, Final, Self

import flint

from solver.bank.amounts import NotRead, is_number, read_count, read_number, read_seconds, read_share
from solver.bank.faults import BankFault, BankFaults, fault
from solver.quantities import Quantity
from solver.tolerance_text import Tolerance, read_tolerance, split_tolerance
from solver.value_faults import ToleranceOutOfRange
from solver.values import ValueFault, read_value, tidy

MOST_OF_ONE_KIND: Final = 1000
UNITS: Final[dict[str, str]] = json.loads(
    (Path(__file__).resolve().parents[2] / "shared" / "bank_units.json").read_text("utf-8")
)["units"]
"""What a number alone is meant in, by field."""
_ZERO: Final = flint.fmpq(0)
_ROW: Final = ("value", "rated", "tolerance", "leakage", "count", "price")


@dataclass(frozen=True)
class Kind:
    """A kind of part at hand: capacitance, `limit` (the rated voltage derated) and leakage in SI units, all exact.

    `row` is its row in the form, `label` how it is spoken of. `leakage` and `price` are None where not told.
    """

    row: int
    label: str
    value: str
    rated_text: str
    capacitance: flint.fmpq
    rated: flint.fmpq
    limit: flint.fmpq
    tolerance: Tolerance | None
    leakage: flint.fmpq | None
    count: int
    price: flint.fmpq | None

    @cached_property
    def _ends(self) -> tuple[flint.fmpq, flint.fmpq]:
        return self.tolerance.ends(self.capacitance) if self.tolerance else (self.capacitance, self.capacitance)

    @property
    def least(self) -> flint.fmpq:
        """The smallest capacitance that the tolerance allows."""
        return self._ends[0]

    @property
    def most(self) -> flint.fmpq:
        """The largest capacitance that the tolerance allows."""
        return self._ends[1]

    @cached_property
    def elastances(self) -> tuple[flint.fmpq, flint.fmpq]:
        """1/C at the most capacitance and at the least, in reciprocal farads."""
        return 1 / self.most, 1 / self.least


@dataclass(frozen=True)
class Wish:
    """What a bank has to do: hold `voltage`, and have at least `capacitance`.

    Where an energy is asked for, `energy` is it and `lowest` the voltage down to which it is given, and the capacitance
    is what that takes: C = 2E/(V² − V_low²). `derating` is the share of rated voltages that is used, `at_least` says
    whether the capacitance counts at its least (tolerance) or as marked. `resistors` is their tolerance; the bank is to
    bleed to `down_to` (None for not at all) `within` so many seconds.
    """

    voltage: flint.fmpq
    voltage_text: str
    capacitance: flint.fmpq
    energy: flint.fmpq | None
    lowest: flint.fmpq
    at_least: bool
    derating: flint.fmpq
    resistors: flint.fmpq
    down_to: flint.fmpq | None
    within: flint.fmpq
    kinds: tuple[Kind, ...]

    @classmethod
    def read(cls, document: Mapping[str, Any]) -> Self:
        """Reads BankWish of shared/openapi.json. Raises BankFaults with all that is wrong."""
        return cls(**_Form(document).read())

    def counted(self, kind: Kind) -> flint.fmpq:
        """The capacitance of a part as it counts here."""
        return kind.least if self.at_least else kind.capacitance


def _told_apart(kinds: Sequence[Kind]) -> tuple[Kind, ...]:
    """Kinds of one value and rating are spoken of by their rows too."""
    labels = [kind.label for kind in kinds]
    return tuple(
        replace(kind, label=f"{kind.label} (row {kind.row + 1})") if labels.count(kind.label) > 1 else kind
        for kind in kinds
    )


class _Form:
    """Reads field after field, and collects what is wrong."""

    def __init__(self, document: Mapping[str, Any]) -> None:
        self.document = document
        self.faults: list[BankFault] = []

    def read(self) -> dict[str, Any]:
        voltage = self._amount("voltage", "The working voltage", Quantity.VOLTAGE, "48 V")
        goal = self.document["goal"]
        capacitance: flint.fmpq | None = None
        energy: flint.fmpq | None = None
        lowest: flint.fmpq | None = _ZERO
        if goal == "capacitance":
            capacitance = self._amount("capacitance", "The capacitance", Quantity.CAPACITANCE, "1000 µF")
        else:
            energy = self._amount("energy", "The energy", Quantity.ENERGY, "2 J")
            lowest = self._lowest(voltage)
            if voltage and energy and lowest is not None and lowest < voltage:
                capacitance = 2 * energy / (voltage**2 - lowest**2)
        derating = self._share("derating", "a share of the rated voltage", "80 %")
        if derating is not None and not 0 < derating <= 1:
            self._wrong("bank-derating", "derating", text=self._text("derating"))
        resistors = self._share("resistors", "a tolerance of resistors", "5 %")
        if resistors is not None and not 0 <= resistors < 1:
            self._wrong("bank-resistor-tolerance", "resistors", text=self._text("resistors"))
        down_to, within = self._bleed(voltage)
        kinds = self._kinds(derating if derating and 0 < derating <= 1 else flint.fmpq(1))
        if self.faults:
            raise BankFaults(self.faults)
        return {
            "voltage": voltage,
            "voltage_text": tidy(read_value(self._text("voltage"), Quantity.VOLTAGE)),
            "capacitance": capacitance,
            "energy": energy,
            "lowest": lowest,
            "at_least": self.document["counted"] == "least",
            "derating": derating,
            "resistors": resistors,
            "down_to": down_to,
            "within": within,
            "kinds": kinds,
        }

    def _lowest(self, voltage: flint.fmpq | None) -> flint.fmpq | None:
        if not self._text("lowest"):
            return _ZERO
        lowest = self._amount("lowest", "The lower voltage", Quantity.VOLTAGE, "20 V", zero=True)
        if lowest is not None and voltage is not None and lowest >= voltage:
            words = {"voltage": self._text("voltage"), "lowest": self._text("lowest")}
            self._wrong("bank-lowest-too-high", "lowest", "voltage", **words)
        return lowest

    def _bleed(self, voltage: flint.fmpq | None) -> tuple[flint.fmpq | None, flint.fmpq]:
        if not self._text("downTo"):
            return None, _ZERO
        down_to = self._amount("downTo", "The voltage to bleed down to", Quantity.VOLTAGE, "5 V")
        if down_to and voltage and down_to >= voltage:
            self._wrong("bank-bleed-too-high", "downTo", down_to=self._text("downTo"), voltage=self._text("voltage"))
        return down_to, self._seconds()

    def _seconds(self) -> flint.fmpq:
        text = self._text("within")
        if not text:
            self._wrong("bank-missing", "within", what="The time to bleed down in", example="60 s")
            return _ZERO
        try:
            seconds = read_seconds(text)
        except NotRead:
            self._wrong("bank-not-understood", "within", text=text, what="a time", hint="such as 60 s or 5 min")
            return _ZERO
        if seconds <= 0:
            self._wrong("bank-not-positive", "within", what="The time to bleed down in", text=text)
        return seconds

    def _kinds(self, derating: flint.fmpq) -> tuple[Kind, ...]:
        before = len(self.faults)
        rows = [
            (index, row)
            for index, row in enumerate(self.document["kinds"])
            if any(str(row.get(key, "")).strip() for key in _ROW)
        ]
        kinds = [self._kind(index, row, derating) for index, row in rows]
        here = _told_apart([kind for kind in kinds if kind is not None and kind.count])
        if not here and len(self.faults) == before:
            self._wrong("bank-no-parts", "kinds")
        return here

    def _kind(self, index: int, row: Mapping[str, str], derating: flint.fmpq) -> Kind | None:
        field = f"kinds.{index}"
        where = f"in row {index + 1}"
        before = len(self.faults)
        capacitance, value, tolerance = self._value(field, where)
        rated = self._amount(f"{field}.rated", f"The rated voltage {where}", Quantity.VOLTAGE, "25 V")
        leakage = None
        if self._text(f"{field}.leakage"):
            leakage = self._amount(f"{field}.leakage", f"The leakage {where}", Quantity.CURRENT, "50 µA", zero=True)
        count = self._count(f"{field}.count", where)
        price = self._price(f"{field}.price", where)
        if capacitance is None or rated is None or count is None or len(self.faults) > before:
            return None
        volts = tidy(read_value(self._text(f"{field}.rated"), Quantity.VOLTAGE))
        return Kind(
            row=index,
            label=f"{value} {volts}",
            value=value,
            rated_text=volts,
            capacitance=capacitance,
            rated=rated,
            limit=rated * derating,
            tolerance=tolerance,
            leakage=leakage,
            count=count,
            price=price,
        )

    def _value(self, field: str, where: str) -> tuple[flint.fmpq | None, str, Tolerance | None]:
        """A row's capacitance, its tidy text and its tolerance, which may stand with the value or in its own field."""
        apart = self._text(f"{field}.tolerance")
        try:
            text, tolerance = split_tolerance(self._text(f"{field}.value"), Quantity.CAPACITANCE)
            if apart and tolerance is None:
                tolerance = read_tolerance(apart)
            elif apart:
                self._wrong("bank-tolerance-twice", f"{field}.value", f"{field}.tolerance", where=where)
        except ToleranceOutOfRange as wrong:
            self._wrong("bank-tolerance-whole", f"{field}.tolerance", what=f"The tolerance {where}", text=wrong.text)
            text, tolerance = self._text(f"{field}.value"), None
        except ValueFault:
            hint = "a percentage, such as 20 %, or −20 +80 %"
            told = {"text": apart or self._text(f"{field}.value"), "what": f"the tolerance {where}", "hint": hint}
            self._wrong("bank-not-understood", f"{field}.tolerance", **told)
            text, tolerance = self._text(f"{field}.value"), None
            if not apart:
                return None, text, None
        capacitance = self._amount(f"{field}.value", f"The value {where}", Quantity.CAPACITANCE, "470 µF", text=text)
        if tolerance and capacitance and tolerance.ends(capacitance)[0] <= 0:
            told = {"what": f"The tolerance {where}", "text": tolerance.text}
            self._wrong("bank-tolerance-whole", f"{field}.tolerance", **told)
        tidied = text if capacitance is None else tidy(read_value(text, Quantity.CAPACITANCE))
        return capacitance, tidied, tolerance

    def _count(self, field: str, where: str) -> int | None:
        text = self._text(field)
        if not text:
            self._wrong("bank-missing", field, what=f"How many there are {where}", example="12")
            return None
        try:
            count = read_count(text)
        except NotRead:
            hint = "a whole number, such as 12"
            self._wrong("bank-not-understood", field, text=text, what=f"how many there are {where}", hint=hint)
            return None
        if count > MOST_OF_ONE_KIND:
            self._wrong("bank-too-many", field, what=f"How many there are {where}", text=text, most=MOST_OF_ONE_KIND)
            return None
        return count

    def _price(self, field: str, where: str) -> flint.fmpq | None:
        text = self._text(field)
        if not text:
            return None
        try:
            price = read_number(text)
        except NotRead:
            price = flint.fmpq(-1)
        if price < 0:
            hint = "a number, such as 0.35, in a currency of your own"
            self._wrong("bank-not-understood", field, text=text, what=f"the price {where}", hint=hint)
            return None
        return price

    def _share(self, field: str, what: str, example: str) -> flint.fmpq | None:
        text = self._text(field)
        try:
            return read_share(text)
        except NotRead:
            self._wrong("bank-not-understood", field, text=text, what=what, hint=f"a percentage, such as {example}")
            return None

    def _amount(
        self, field: str, what: str, quantity: Quantity, example: str, *, zero: bool = False, text: str | None = None
    ) -> flint.fmpq | None:
        """A value of a quantity, in SI units: more than zero, or also zero where that can be; None where at fault.

        `text` is what stands in the field, where not all of it is the value.
        """
        text = self._text(field) if text is None else text.strip()
        if not text:
            self._wrong("bank-missing", field, what=what, example=example)
            return None
        try:
            value = read_value(text, quantity)
        except ValueFault as wrong:
            words = {"what": what[0].lower() + what[1:], "hint": wrong.hint}
            self._wrong("bank-not-understood", field, text=text, **words)
            return None
        if value.symbol is not None:
            self._wrong("bank-symbol", field, what=what, text=text)
            return None
        if value.factor < 0 or (value.factor == 0 and not zero):
            self._wrong("bank-not-positive", field, what=what, text=text)
            return None
        return value.factor

    def _text(self, field: str) -> str:
        """What stands in a field, a number alone with its unit of UNITS; "" where nothing does."""
        if field.startswith("kinds."):
            _, index, key = field.split(".")
            rows: Sequence[Mapping[str, str]] = self.document["kinds"]
            text = rows[int(index)].get(key, "").strip()
        else:
            key, text = field, str(self.document.get(field, "")).strip()
        return f"{text} {UNITS[key]}" if key in UNITS and is_number(text) else text

    def _wrong(self, code: str, *fields: str, **words: object) -> None:
        self.faults.append(fault(code, *fields, **words))
