"""A bank: strings in parallel, with its capacitance, voltages, energy, margins and resistors, as a document."""

from __future__ import annotations

from collections import Counter
from collections.abc import Callable
from dataclasses import dataclass
from functools import cached_property
from typing import Any

import flint

from solver.bank.amounts import percent, price_text, seconds_text
from solver.bank.faults import sentence
from solver.bank.resistors import Balancing, Bleed, balancing, bleed, logarithm_of, needs_balancing, slowest
from solver.bank.strings import String
from solver.bank.wish import Wish
from solver.quantities import Quantity
from solver.readings import Reading

_ZERO = flint.fmpq(0)


@dataclass(frozen=True)
class Arrangement:
    """Strings in parallel, each with how often it stands there."""

    wish: Wish
    strings: tuple[tuple[String, int], ...]

    @cached_property
    def parts(self) -> int:
        """How many parts it takes."""
        return sum(times * len(string.places) for string, times in self.strings)

    @cached_property
    def used(self) -> Counter[int]:
        """How many of each kind, by the kind's place in `Wish.kinds`."""
        used: Counter[int] = Counter()
        for string, times in self.strings:
            for place, count in Counter(string.places).items():
                used[place] += times * count
        return used

    @cached_property
    def price(self) -> flint.fmpq | None:
        """What the parts cost; None where a price is not told."""
        total = _ZERO
        for place, count in self.used.items():
            price = self.wish.kinds[place].price
            if price is None:
                return None
            total += price * count
        return total

    def _sum(self, capacitance: Callable[[String], flint.fmpq]) -> flint.fmpq:
        return sum((capacitance(string) * times for string, times in self.strings), _ZERO)

    @cached_property
    def capacitance(self) -> flint.fmpq:
        """In farads, as marked."""
        return self._sum(lambda string: string.capacitance)

    @cached_property
    def least(self) -> flint.fmpq:
        """In farads, all parts at their least."""
        return self._sum(lambda string: string.least)

    @cached_property
    def most(self) -> flint.fmpq:
        """In farads, all parts at their most."""
        return self._sum(lambda string: string.most)

    @property
    def counted(self) -> flint.fmpq:
        """The capacitance that the wish counts."""
        return self.least if self.wish.at_least else self.capacitance

    @property
    def suffices(self) -> bool:
        """Whether it holds the voltage and has the capacitance."""
        return self.counted >= self.wish.capacitance and all(string.holds for string, _ in self.strings)

    @cached_property
    def spare_voltage(self) -> flint.fmpq:
        """What is left of the limit of the part that comes closest to it, as a share of that limit."""
        return 1 - max(
            worst / kind.limit
            for string, _ in self.strings
            for worst, kind in zip(string.worst, string.kinds, strict=True)
        )

    @property
    def spare_capacitance(self) -> flint.fmpq:
        """What there is more than asked, as a share of what is asked."""
        return self.counted / self.wish.capacitance - 1

    @cached_property
    def rank(self) -> tuple[flint.fmpq, ...]:
        """Best first: fewer parts, then a lower price, then more voltage to spare, then less capacitance too many."""
        return (flint.fmpq(self.parts), self.price or _ZERO, -self.spare_voltage, self.spare_capacitance)

    @property
    def words(self) -> str:
        """The bank in a line: "2 strings of 3 × 470 µF 25 V"."""
        pieces = []
        for string, times in self.strings:
            series = " + ".join(
                f"{count} × {kind.label}" if count > 1 else kind.label for _, kind, count in string.sorts
            )
            length = len(string.places)
            if length == 1:
                pieces.append(f"{times} × {series}" if times > 1 else series)
            else:
                pieces.append(f"{times} strings of {series}" if times > 1 else f"a string of {series}")
        return " in parallel with ".join(pieces)

    def document(self) -> dict[str, Any]:
        """The bank as the web interface sends it: Bank in shared/openapi.json, but for what is said of it."""
        wish = self.wish
        volts, lowest = wish.voltage, wish.lowest
        energy = self.capacitance * volts**2 / 2
        given = self.capacitance * (volts**2 - lowest**2) / 2 if wish.energy is not None else None
        return {
            "words": self.words,
            "strings": [_string_document(string, times) for string, times in self.strings],
            "parts": self.parts,
            "price": None if self.price is None else price_text(self.price),
            "capacitance": _reading(self.capacitance, Quantity.CAPACITANCE),
            "least": _reading(self.least, Quantity.CAPACITANCE),
            "most": _reading(self.most, Quantity.CAPACITANCE),
            "energy": _reading(energy, Quantity.ENERGY),
            "given": None if given is None else _reading(given, Quantity.ENERGY),
            "spare": {"voltage": percent(self.spare_voltage), "capacitance": percent(self.spare_capacitance)},
            "rank": [float(number) for number in self.rank],
            "balancing": self._balancing(),
            "bleed": self._bleed(),
        }

    @cached_property
    def balanced(self) -> tuple[Balancing | None, ...]:
        """The balancing resistors of each string, in the order of `strings`; None where there are none."""
        return tuple(
            balancing(string)
            if needs_balancing(string) and all(kind.leakage is not None for kind in string.kinds)
            else None
            for string, _ in self.strings
        )

    @cached_property
    def bled(self) -> Bleed | None:
        """The bleed resistor across the bank; None where no bleeding is asked for."""
        return bleed(self.wish, self.most)

    def _balancing(self) -> dict[str, Any]:
        strings = [
            None if found is None else _balancing_document(self.wish, string, found)
            for (string, _), found in zip(self.strings, self.balanced, strict=True)
        ]
        return {"strings": strings, "note": self.why_not_balanced()}

    def why_not_balanced(self) -> str | None:
        """Why a string has no balancing resistors, in a sentence; None where none lacks them."""
        pairs = zip(self.strings, self.balanced, strict=True)
        without = [string for (string, _), found in pairs if found is None and len(string.places) > 1]
        if not without:
            return None
        if not any(needs_balancing(string) for string in without):
            return sentence("bank-balancing-alone")
        if any(kind.leakage is None for string in without for kind in string.kinds):
            return sentence("bank-balancing-no-leakage")
        return sentence("bank-balancing-none")

    def _bleed(self) -> dict[str, Any] | None:
        if (found := self.bled) is None:
            return None
        assert self.wish.down_to is not None
        return {
            "bound": _reading(float(found.bound), Quantity.RESISTANCE),
            "resistance": _reading(found.resistance, Quantity.RESISTANCE),
            "power": _reading(found.power, Quantity.POWER),
            "constant": _time(found.constant),
            "ratio": str(self.wish.voltage / self.wish.down_to),
            "time": _time(float(found.seconds)),
        }


def _string_document(string: String, times: int) -> dict[str, Any]:
    """A string as often as it stands in the bank; equal parts in it are one entry."""
    entries: list[dict[str, Any]] = []
    for index, kind, count in string.sorts:
        entries.append(
            {
                "row": kind.row,
                "label": kind.label,
                "count": count,
                "voltage": _reading(string.voltages[index], Quantity.VOLTAGE),
                "worst": _reading(string.worst[index], Quantity.VOLTAGE),
                "limit": _reading(kind.limit, Quantity.VOLTAGE),
                "share": percent(string.worst[index] / kind.limit),
                "ofRating": percent(string.worst[index] / kind.rated),
                "tolerance": kind.tolerance and kind.tolerance.text,
            }
        )
    return {"times": times, "capacitance": _reading(string.capacitance, Quantity.CAPACITANCE), "parts": entries}


def _balancing_document(wish: Wish, string: String, found: Balancing) -> dict[str, Any]:
    resistors = []
    for index, kind, count in string.sorts:
        resistors.append(
            {
                "row": kind.row,
                "label": kind.label,
                "count": count,
                "resistance": _reading(found.resistances[index], Quantity.RESISTANCE),
                "worst": _reading(found.worst[index], Quantity.VOLTAGE),
                "power": _reading(found.powers[index], Quantity.POWER),
            }
        )
    total = sum(found.resistances, _ZERO)
    constant = slowest(string, found.resistances)
    time = None
    if wish.down_to is not None:
        time = _time(float(constant * logarithm_of(wish.voltage / wish.down_to)))
    return {
        "bound": None if found.bound is None else _reading(found.bound, Quantity.RESISTANCE),
        "resistors": resistors,
        "power": _reading(wish.voltage**2 / total, Quantity.POWER),
        "constant": _time(constant),
        "time": time,
    }


def _reading(scalar: flint.fmpq | float, quantity: Quantity) -> dict[str, Any]:
    return Reading(scalar, quantity).document()


def _time(seconds: flint.fmpq | float) -> dict[str, Any]:
    value = float(seconds)
    exact = None if isinstance(seconds, float) else str(seconds)
    return {"exact": exact, "value": value, "text": seconds_text(value)}
