"""Ways to work out what a sheet asks beyond its settled state: a value marked “?”, a stage, a course over time."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from solver.sketch import Sketch
from solver.solution import Solution
from solver.solving import SolvedNetwork
from solver.stages import SolvedStage
from solver.step_course import course_offer
from solver.step_stages import stage_offer
from solver.step_unknown import unknown_offer
from solver.steps import MOST_PARTS
from solver.unknown import Found
from solver.worked import Offer


@dataclass(frozen=True)
class FurtherWays:
    """Ways that come before those of the settled network, and ways after them."""

    before: tuple[Offer, ...]
    after: tuple[Offer, ...]


def further_ways(
    asked: Sketch, found: Found | None, stages: Sequence[SolvedStage], start: SolvedNetwork, solution: Solution
) -> FurtherWays:
    """The further ways for a sketch: `found` where it has a “?”, `stages` where it has any, `start` the network from
    whose beginning time counts. What is asked for comes first."""
    before: list[Offer] = []
    after: list[Offer] = []
    if len(asked.parts) > MOST_PARTS:
        return FurtherWays((), ())
    if found is not None:
        before.append(unknown_offer(found))
    if stages and (offer := stage_offer(stages, asked.stage or 0, solution)):
        before.append(offer)
    if offer := course_offer(start, asked.questions):
        (before if asked.questions and found is None else after).append(offer)
    return FurtherWays(tuple(before), tuple(after))
