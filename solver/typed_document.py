"""What a typed text is read as, as a document: the part or value it makes, and what that steps through."""

from __future__ import annotations

from typing import Any, Final

from solver.build_document import build_document
from solver.feedback import about_open_build
from solver.format import format_number
from solver.gap_ladder import gap_ladder
from solver.geometry import asks_size, is_build, read_build, read_open_build
from solver.kinds import KINDS, MORE_THAN_ZERO
from solver.open_build import open_build
from solver.preferred import Ladder, ladder
from solver.quantities import Quantity
from solver.rated_text import split_rating
from solver.tolerance_text import TAKES_TOLERANCE, split_tolerance
from solver.values import (
    UNKNOWN,
    Value,
    ValueFault,
    asked_kind,
    fault_of_size,
    read_rating,
    read_text,
    read_value,
    tidy,
)

_FIGURES: Final = 3


class TextRefused(Exception):
    """The text makes no part, or no value here: the code of what is wrong, and the line that says so."""

    def __init__(self, code: str, text: str) -> None:
        super().__init__(text)
        self.code = code


class NoSuchPlace(Exception):
    """A kind of part that does not have such an entry; the message says so."""


def document_of_text(text: str) -> dict[str, Any]:
    """What a text of the typing field makes, as ReadValue in shared/openapi.json has it. Raises TextRefused."""
    typed = read_text(text)
    if typed.kind is None:
        raise TextRefused(typed.fault.code if typed.fault else "value-not-understood", typed.feedback)
    tolerance = typed.tolerance.text if typed.tolerance else None
    read = _read_value(typed.kind, typed.tidied, typed.feedback, typed.value)
    return read | {"closed": typed.closed, "tolerance": tolerance, "rated": typed.rated}


def document_of_value(typed: str, name: str, place: str) -> dict[str, Any]:
    """What a text is as the `place` ("value", "rated" …) of a kind of part. Raises TextRefused and NoSuchPlace."""
    kind, text = KINDS[name], typed
    quantity = kind.quantity if place == "value" else kind.optional.get(place)
    if quantity is None:
        raise NoSuchPlace(f"a {kind.word} has no “{place}”")
    if name == "capacitor" and place == "value" and split_rating(typed):
        return document_of_text(typed)
    tolerance = None
    try:
        if place == "value" and name in TAKES_TOLERANCE:
            text, tolerance = split_tolerance(text, quantity)
        if place == "value" and (text.strip() == UNKNOWN or asked_kind(text) == name):
            found = _read_value(name, UNKNOWN, "to be found, from what a reading has to be", None)
            return found | {"tolerance": tolerance.text if tolerance else None}
        if name == "capacitor" and place == "value" and asks_size(text):
            told = about_open_build(open_build(text).word)
            found = _read_value(name, text.strip(), told, None)
            return found | {"tolerance": tolerance.text if tolerance else None}
        value = read_value(text, quantity)
        fault = fault_of_size(value) if place == "value" else None
        if place in MORE_THAN_ZERO:
            read_rating(text)
    except ValueFault as refusal:
        fault = refusal
    if fault:
        raise TextRefused(fault.code, str(fault))
    tidied = tidy(value)
    feedback = "" if tidied == typed.strip() else f"read as {tidied}"
    if tolerance is not None:
        feedback = f"read as {tidied} {tolerance.text}"
    return _read_value(name, tidied, feedback, value) | {"tolerance": tolerance.text if tolerance else None}


def _read_value(kind: str, tidied: str, feedback: str, value: Value | None) -> dict[str, Any]:
    steps = _steps(value) if value and value.quantity else None
    return {
        "kind": kind,
        "quantity": value.quantity.value if value and value.quantity else None,
        "text": tidied,
        "feedback": feedback,
        "reading": _reading(value) if value and value.symbol is None else None,
        "steps": list(steps.texts) if steps else [],
        "position": steps.position if steps else None,
        "closed": None,
        "tolerance": None,
        "rated": None,
        "build": build_document(read_open_build(tidied)) if kind == "capacitor" and is_build(tidied) else None,
    }


def _is_built(value: Value) -> bool:
    return value.quantity is Quantity.CAPACITANCE and is_build(value.text)


def _steps(value: Value) -> Ladder:
    """What a value steps through: a build through its gap, all else through numbers."""
    if _is_built(value):
        return gap_ladder(read_build(value.text))
    assert value.quantity
    return ladder(value, value.quantity)


def _reading(value: Value) -> dict[str, Any]:
    unit = value.quantity.unit if value.quantity else ""
    number = int(value.factor.numer()) / int(value.factor.denom())
    return {"exact": str(value.factor), "value": number, "text": format_number(value.factor, unit, _FIGURES)}
