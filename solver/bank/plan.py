"""The answer to a wish: banks of equal strings at once, and what a search for mixed ones finds slice by slice."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any, Final

import flint

from solver.bank.arrangement import Arrangement
from solver.bank.box import bounds, fewest_thinkable
from solver.bank.drawing import Drawn, draw, strings_of
from solver.bank.equal import equal_banks
from solver.bank.faults import sentence
from solver.bank.search import Place, last, look, start
from solver.bank.wish import Wish
from solver.cautions import for_figures
from solver.quantities import Quantity
from solver.readings import Reading

FORMULAS: Final = (
    {
        "what": "Energy given from V down to V_low",
        "formula": "E = ½·C·(V² − V_low²)",
        "source": "from E = ½·C·V², the area under the line of charge and voltage",
    },
    {
        "what": "Worst voltage on one of N equal parts in series, each within ±t",
        "formula": "V_max = V·(1 + t) / (N − (N − 2)·t)",
        "source": "one part at its least, the others at their most, all with the same charge (derived here); right "
        "after switching on capacitance decides the shares (KEMET, manufacturer's guide, 2013)",
    },
    {
        "what": "Largest balancing resistor across each of N parts that leak up to I",
        "formula": "R ≤ (N·V_limit − V) / ((N − 1)·I)",
        "source": "one part leaks nothing, the others I (derived here; notes that print it without N − 1 are right "
        "for two parts). With resistors within ±t: R ≤ (V_limit·(N − (N − 2)·t)/(1 + t) − V) / ((N − 1)·(1 − t)·I)",
    },
    {
        "what": "Bleeding down from V to V_end",
        "formula": "t = R·C·ln(V / V_end)",
        "source": "exponential decay V·e^(−t/RC), R and C at their most; the US National Electrical Code (460.6) has "
        "power capacitors up to 600 V fall to 50 V within a minute",
    },
    {
        "what": "Heat in a resistor at voltage V",
        "formula": "P = V² / R",
        "source": "Joule's law; common practice is a resistor rated for twice that",
    },
)
"""Each formula that figures come from, and where it comes from; sources: module docstrings of solver.bank."""


def plan(wish: Wish) -> dict[str, Any]:
    """The first answer, as BankPlan in shared/openapi.json has it."""
    banks, count = equal_banks(wish)
    equal = banks[0].parts if banks else None
    place = start(wish, equal)
    return {
        "asked": _asked(wish),
        "banks": [bank.document() for bank in banks],
        "count": count,
        "note": _note(wish, equal),
        "search": None if place is None else {"from": place.document(), "last": last(wish, equal)},
        "undrawn": {"balancing": _why_no_balancing(wish), "bleed": _why_no_bleed(wish)},
        "caution": _caution(wish, banks),
        "formulas": list(FORMULAS),
    }


def search_on(wish: Wish, place: Place) -> dict[str, Any]:
    """One slice of the search, as BankSlice in shared/openapi.json has it. Raises BankFaults."""
    banks, _ = equal_banks(wish)
    found = look(wish, place, banks[0].parts if banks else None)
    return {
        "banks": [bank.document() for bank in found.banks],
        "count": found.count,
        "from": found.place and found.place.document(),
        "parts": found.looking_at,
        "share": found.share,
        "end": found.end,
        "caution": _caution(wish, found.banks),
    }


def drawn(wish: Wish, document: dict[str, Any]) -> dict[str, Any]:
    """A bank as a sketch. `document` has the strings as BankDrawing in shared/openapi.json. Raises BankFaults."""
    bank = strings_of(wish, document["strings"])
    return draw(bank, Drawn(balancing=document["balancing"], bleed=document["bleed"])).document()


def _asked(wish: Wish) -> dict[str, Any]:
    def reading(scalar: flint.fmpq, quantity: Quantity) -> dict[str, Any]:
        return Reading(scalar, quantity).document()

    return {
        "voltage": reading(wish.voltage, Quantity.VOLTAGE),
        "capacitance": reading(wish.capacitance, Quantity.CAPACITANCE),
        "energy": None if wish.energy is None else reading(wish.energy, Quantity.ENERGY),
        "lowest": reading(wish.lowest, Quantity.VOLTAGE),
        "downTo": None if wish.down_to is None else reading(wish.down_to, Quantity.VOLTAGE),
    }


def _why_no_balancing(wish: Wish) -> str | None:
    """Why no bank of these parts can have balancing resistors; None where one may."""
    weak = [kind for kind in wish.kinds if kind.limit < wish.voltage]
    if not weak:
        return sentence("bank-balancing-alone")
    # A string that needs balancing has one of these in it, and takes the leakage of each.
    return None if any(kind.leakage is not None for kind in weak) else sentence("bank-undrawn-balancing")


def _why_no_bleed(wish: Wish) -> str | None:
    return sentence("bank-undrawn-bleed") if wish.down_to is None else None


def _caution(wish: Wish, banks: Sequence[Arrangement]) -> dict[str, Any] | None:
    """The caution for the most that any of these banks stores; None below every threshold."""
    if not banks:
        return None
    energy = max(bank.most for bank in banks) * wish.voltage**2 / 2
    found = for_figures(Reading(wish.voltage, Quantity.VOLTAGE), Reading(energy, Quantity.ENERGY))
    return None if found is None else found.document()


def _note(wish: Wish, equal: int | None) -> str | None:
    """Why there is no bank, or none of equal strings; None where there is one."""
    if equal is not None:
        return None
    if fewest_thinkable(wish) is not None:
        told = sentence("bank-no-equal")
        return told if len(wish.kinds) > 1 else " ".join((told, sentence("bank-mixed-one-kind")))
    parts = sum(kind.count for kind in wish.kinds)
    most = bounds(wish)[-1]
    if wish.energy is None:
        most_text = Reading(most, Quantity.CAPACITANCE).text
        wanted = Reading(wish.capacitance, Quantity.CAPACITANCE).text
    else:
        most_text = Reading(most * (wish.voltage**2 - wish.lowest**2) / 2, Quantity.ENERGY).text
        wanted = Reading(wish.energy, Quantity.ENERGY).text
    words = {"parts": parts, "most": most_text, "wanted": wanted, "voltage": wish.voltage_text}
    return sentence("bank-never", **words)
