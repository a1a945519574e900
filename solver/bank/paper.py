"""A bank on one page of paper: what it has to do, drawing, parts list, figures, formulas with sources, the caution."""

from __future__ import annotations

from collections import Counter
from collections.abc import Mapping
from dataclasses import dataclass, replace
from functools import cached_property
from typing import Any, Final

import flint

from solver.bank.amounts import price_text
from solver.bank.arrangement import Arrangement
from solver.bank.drawing import FOR_PAPER, FOR_SHEET, Drawn, draw, strings_of
from solver.bank.formulas import BALANCING, BLEEDING, ENERGY, HEAT, WORST, WORST_OF_UNEQUAL, Formula
from solver.bank.wish import Wish
from solver.bank.words import (
    balancing_sentences,
    begun,
    bleed_sentences,
    capacitance_words,
    caution_for,
    practice,
    voltage_sentences,
)
from solver.cautions import DECIDING
from solver.quantities import Quantity
from solver.readings import Reading
from solver.tolerance_text import Tolerance

MOST_DRAWN_WHOLE: Final = 8
"""Parts up to which all strings are drawn on paper; else one of each sort, for they can be read then."""
COLUMNS: Final = ("Number", "Part", "Value", "Rated, tolerance", "Price each")
TEACHING: Final = "For teaching and first estimates."


@dataclass(frozen=True)
class Paper:
    """The page of one bank; `drawn` says which of its resistors are on it."""

    bank: Arrangement
    drawn: Drawn

    def document(self) -> dict[str, Any]:
        """The page as the web interface sends it: BankPaper in shared/openapi.json."""
        caution = caution_for(self._wish, [self.bank])
        return {
            "title": begun(self.bank.words),
            "task": self._task(),
            "sketch": self._sketch(),
            "caption": self._caption(),
            "columns": list(COLUMNS),
            "rows": [list(row) for row in self._rows()],
            "figures": self._figures(),
            "formulas": [formula.document() for formula in self._formulas()],
            "caution": None if caution is None else caution.document(),
            "closing": TEACHING if caution is not None else f"{TEACHING} {DECIDING}",
        }

    @property
    def _wish(self) -> Wish:
        return self.bank.wish

    @property
    def _is_drawn_once(self) -> bool:
        return self.bank.parts > MOST_DRAWN_WHOLE and any(times > 1 for _, times in self.bank.strings)

    def _task(self) -> str:
        wish = self._wish
        volts = _text(wish.voltage, Quantity.VOLTAGE)
        if wish.energy is None:
            what = f"have at least {_text(wish.capacitance, Quantity.CAPACITANCE)}"
        else:
            joules, lowest = _text(wish.energy, Quantity.ENERGY), _text(wish.lowest, Quantity.VOLTAGE)
            what = f"give at least {joules} on the way from {volts} down to {lowest}"
        cost = (
            "" if self.bank.price is None else f" Its {self.bank.parts} capacitors cost {price_text(self.bank.price)}."
        )
        return f"The bank has to hold {volts} and {what}.{cost}"

    def _sketch(self) -> dict[str, Any]:
        bank, drawn = self.bank, self.drawn
        if self._is_drawn_once:
            bank = Arrangement(self._wish, tuple((string, 1) for string, _ in self.bank.strings))
            # A bleed resistor is across all strings, and would be another one across a few.
            drawn = replace(drawn, bleed=False)
        values = [self._wish.kinds[place].value for place in bank.used]
        # The parts list has tolerances, and ratings unless they alone tell parts apart.
        alike = len(set(values)) < len(values)
        sketch = draw(bank, drawn, FOR_SHEET if alike else FOR_PAPER)
        parts = (part._replace(tolerance=None, rated=part.rated if alike else None) for part in sketch.parts)
        return replace(sketch, parts=tuple(parts)).document()

    def _caption(self) -> str | None:
        if not self._is_drawn_once:
            return None
        bled = self.bank.bled if self.drawn.bleed else None
        across = ""
        if bled is not None:
            ohms = _text(bled.resistance, Quantity.RESISTANCE)
            across = f", and across all of them the bleed resistor of {ohms}"
        return f"One string of each sort is drawn; in parallel stand {self.bank.words}{across}."

    def _rows(self) -> list[tuple[str, ...]]:
        """The parts list: capacitors by row of the form, then resistors by value."""
        wish, bank = self._wish, self.bank
        rows: list[tuple[str, ...]] = []
        for place, count in sorted(bank.used.items()):
            kind = wish.kinds[place]
            more = f"{kind.rated_text}, {kind.tolerance.text}" if kind.tolerance else kind.rated_text
            price = "" if kind.price is None else price_text(kind.price)
            rows.append((str(count), "capacitor", kind.value, more, price))
        share = wish.resistors
        tolerance = Tolerance(share, share).text if share else ""
        for ohms, count in sorted(self._resistors.items(), reverse=True):
            rows.append((str(count), "resistor", _text(ohms, Quantity.RESISTANCE), tolerance, ""))
        return rows

    @cached_property
    def _resistors(self) -> Counter[flint.fmpq]:
        """How many resistors of each value."""
        counts: Counter[flint.fmpq] = Counter()
        if self.drawn.balancing:
            for (_, times), found in zip(self.bank.strings, self.bank.balanced, strict=True):
                for ohms in found.resistances if found is not None else ():
                    counts[ohms] += times
        if self.drawn.bleed and self.bank.bled is not None:
            counts[self.bank.bled.resistance] += 1
        return counts

    def _figures(self) -> list[str]:
        bank, wish = self.bank, self._wish
        volts = _text(wish.voltage, Quantity.VOLTAGE)
        stored = _text(bank.capacitance * wish.voltage**2 / 2, Quantity.ENERGY)
        energy = f"Energy stored at {volts}: {stored}."
        if wish.energy is not None:
            given = _text(bank.capacitance * (wish.voltage**2 - wish.lowest**2) / 2, Quantity.ENERGY)
            energy = f"Energy given: {given}, of {stored} stored at {volts}."
        resistors = balancing_sentences(bank) if self.drawn.balancing else []
        resistors += bleed_sentences(bank) if self.drawn.bleed else []
        note = bank.why_not_balanced() if self.drawn.balancing else None
        return [
            f"Capacitance: {capacitance_words(bank)}.",
            energy,
            *(f"{line}." for line in voltage_sentences(bank)),
            *resistors,
            *practice(resistors),
            *([note] if note else []),
        ]

    def _formulas(self) -> list[Formula]:
        """Those that the figures on the page come from."""
        longer = [string for string, _ in self.bank.strings if len(string.places) > 1]
        alike = [len(string.sorts) == 1 for string in longer]
        balanced = [found for found in self.bank.balanced if found is not None] if self.drawn.balancing else []
        bled = self.drawn.bleed and self.bank.bled is not None
        used = (
            (ENERGY, self._wish.energy is not None),
            (WORST, any(alike)),
            (WORST_OF_UNEQUAL, not all(alike)),
            (BALANCING, any(found.bound is not None for found in balanced)),
            (BLEEDING, bled),
            (HEAT, bool(balanced) or bled),
        )
        return [formula for formula, is_used in used if is_used]


def paper(wish: Wish, document: Mapping[str, Any]) -> dict[str, Any]:
    """The page of a bank. `document` has the strings as BankDrawing in shared/openapi.json. Raises BankFaults."""
    bank = strings_of(wish, document["strings"])
    return Paper(bank, Drawn(balancing=document["balancing"], bleed=document["bleed"])).document()


def _text(value: flint.fmpq, quantity: Quantity) -> str:
    return Reading(value, quantity).text
