"""Stages as a document: each with its arrangement, its solution and its account, or what is wrong in it."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

from solver.course_document import course_document
from solver.solving import solution_of
from solver.stages import KeptCharge, SolvedStage, StageAccount


def stages_document(stages: Sequence[SolvedStage], shown: int) -> list[dict[str, Any]]:
    """The stages as the web interface sends them: of the one that is shown the course in time too."""
    return [stage_document(stage, with_course=number == shown) for number, stage in enumerate(stages)]


def stage_document(solved: SolvedStage, *, with_course: bool = False) -> dict[str, Any]:
    """A stage as the web interface sends it; where it has faults there is neither solution nor course."""
    document: dict[str, Any] = {
        "name": solved.stage.name,
        "text": solved.stage.text,
        "sketch": solved.sketch.document(),
        "faults": [fault.document() for fault in solved.faults],
    }
    if solved.solved is None:
        return document
    solution = solution_of(solved.solved)
    document |= {
        "solution": solution.document(),
        "account": _account(solved.account),
        "kept": [_kept(kept) for kept in solved.kept],
    }
    return document | ({"course": course_document(solved, solution)} if with_course else {})


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
