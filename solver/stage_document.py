"""Stages as a document: each with its arrangement, its solution, its account, its curves, or what is wrong in it."""

from __future__ import annotations

from typing import Any, Final

import flint

from solver.arithmetic import Scalar
from solver.decay import Decay, number_of
from solver.format import format_float, format_number, format_symbolic
from solver.functions import Function
from solver.quantities import Quantity
from solver.readings import LONGEST_FORMULA, Reading, Writing
from solver.solving import solution_of
from solver.stages import KeptCharge, SolvedStage, StageAccount
from solver.transient import Curve, PartCurves, TooManyTimeConstants, Transient, transient

_SECOND: Final = "s"
_MOST_PARTS: Final = 60
"""Parts up to which the course in time is worked out."""


def stage_document(solved: SolvedStage) -> dict[str, Any]:
    """A stage as the web interface sends it; where it has faults there is no solution."""
    document: dict[str, Any] = {
        "name": solved.stage.name,
        "text": solved.stage.text,
        "sketch": solved.sketch.document(),
        "faults": [fault.document() for fault in solved.faults],
    }
    if solved.solved is None:
        return document
    return document | {
        "solution": solution_of(solved.solved).document(),
        "account": _account(solved.account),
        "kept": [_kept(kept) for kept in solved.kept],
        "course": _course(solved),
    }


def _account(account: StageAccount | None) -> dict[str, Any] | None:
    if account is None:
        return None
    return {
        "before": account.before.document(),
        "work": {name: reading.document() for name, reading in account.work.items()},
        "byHand": account.by_hand.document(),
        "after": account.after.document(),
        "lost": account.lost.document(),
    }


def _kept(kept: KeptCharge) -> dict[str, Any]:
    return {
        "joints": list(kept.joints),
        "parts": list(kept.parts),
        "before": [reading.document() for reading in kept.before],
        "after": [reading.document() for reading in kept.after],
        "sum": kept.sum.document(),
    }


def _course(solved: SolvedStage) -> dict[str, Any] | None:
    """The time constants (seconds, longest first), their texts, and the curves.

    None where nothing takes time, or it is too much. Where symbols occur the one time constant has a text, no number
    unless the symbols are not in it.
    """
    assert solved.thrown is not None
    if len(solved.sketch.parts) > _MOST_PARTS:
        return None
    try:
        found = transient(solved.thrown.outcome)
    except TooManyTimeConstants:
        return None
    if not found.decay.rates and found.decay.exact is None:
        return None
    return _Curves(solved.thrown.writing).document(found)


class _Curves:
    """Writes curves; the readings at their ends in one writing."""

    def __init__(self, writing: Writing) -> None:
        self._writing = writing

    def document(self, found: Transient) -> dict[str, Any]:
        return {
            "timeConstants": [1 / rate for rate in found.decay.rates],
            "timeTexts": self._times(found.decay),
            "parts": {name: self._part(curves) for name, curves in found.parts.items()},
        }

    def _times(self, decay: Decay) -> list[str]:
        """The time constants as they are read; the only one from its exact value, in symbols where those remain."""
        figures, units = self._writing.figures, self._writing.symbol_units
        if decay.exact is None:
            return [format_float(1 / rate, _SECOND, figures) for rate in decay.rates]
        if isinstance(decay.exact, float):
            return [format_float(1 / decay.exact, _SECOND, figures)]
        if (rate := number_of(decay.exact)) is not None:
            return [format_number(1 / rate, _SECOND, figures)]
        constant: Function = 1 / decay.exact
        if constant.length > LONGEST_FORMULA:
            return [f"a formula of {constant.length} terms"]
        return [format_symbolic(constant.named(self._writing.symbols), _SECOND, figures, units)]

    def _part(self, curves: PartCurves) -> dict[str, Any]:
        document = {"voltage": self._curve(curves.voltage, Quantity.VOLTAGE)}
        if curves.current is not None:
            document["current"] = self._curve(curves.current, Quantity.CURRENT)
        if curves.charge is not None:
            document["charge"] = self._curve(curves.charge, Quantity.CHARGE)
        if curves.heat is not None:
            document["heat"] = self._reading(curves.heat, Quantity.ENERGY)
        return document

    def _curve(self, curve: Curve, quantity: Quantity) -> dict[str, Any]:
        return {
            "first": self._reading(curve.first, quantity),
            "final": self._reading(curve.final, quantity),
            "amplitudes": list(curve.amplitudes),
        }

    def _reading(self, scalar: Scalar, quantity: Quantity) -> dict[str, Any]:
        number = flint.fmpq(*scalar.as_integer_ratio()) if isinstance(scalar, float) else scalar
        return Reading(number, quantity, self._writing).document()
