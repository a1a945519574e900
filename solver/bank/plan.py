"""The answer to a wish: banks of equal strings at once, and what a search for mixed ones finds slice by slice."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

import flint

from solver.bank.arrangement import Arrangement
from solver.bank.box import bounds, fewest_thinkable
from solver.bank.drawing import Drawn, draw, strings_of
from solver.bank.equal import equal_banks
from solver.bank.faults import sentence
from solver.bank.formulas import FORMULAS
from solver.bank.search import Place, last, look, start
from solver.bank.wish import Wish
from solver.bank.words import caution_for, told
from solver.quantities import Quantity
from solver.readings import Reading


def plan(wish: Wish) -> dict[str, Any]:
    """The first answer, as BankPlan in shared/openapi.json has it."""
    banks, count = equal_banks(wish)
    equal = banks[0].parts if banks else None
    place = start(wish, equal)
    return {
        "asked": _asked(wish),
        "banks": [_document(bank) for bank in banks],
        "count": count,
        "note": _note(wish, equal),
        "search": None if place is None else {"from": place.document(), "last": last(wish, equal)},
        "undrawn": {"balancing": _why_no_balancing(wish), "bleed": _why_no_bleed(wish)},
        "caution": _caution(wish, banks),
        "formulas": [formula.document() for formula in FORMULAS],
    }


def search_on(wish: Wish, place: Place) -> dict[str, Any]:
    """One slice of the search, as BankSlice in shared/openapi.json has it. Raises BankFaults."""
    banks, _ = equal_banks(wish)
    found = look(wish, place, banks[0].parts if banks else None)
    return {
        "banks": [_document(bank) for bank in found.banks],
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


def _document(bank: Arrangement) -> dict[str, Any]:
    """Bank in shared/openapi.json."""
    return bank.document() | {"told": told(bank)}


def _caution(wish: Wish, banks: Sequence[Arrangement]) -> dict[str, Any] | None:
    found = caution_for(wish, banks)
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
