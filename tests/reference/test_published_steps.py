"""The worked solutions of the published problems: where a step arrives at a printed quantity, it is the printed one.

The problems, with their sources, are those of `cases.json`.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator
from typing import Any

import pytest

from solver.sketch import Sketch
from solver.solution import Solution
from solver.solving import solution_of, solve_network
from solver.steps import steps_of
from solver.worked import WorkedSolution
from tests.reference.test_published_cases import CASES, agrees, is_equivalent, name_of, rational, significant, sketch
from tests.solver.told_steps import assert_agrees


def every_way(document: dict[str, Any]) -> Iterator[tuple[Sketch, Solution, WorkedSolution]]:
    read = Sketch.read(document)
    solved = solve_network(read)
    solution = solution_of(solved)
    first = steps_of(solved, solution)
    yield read, solution, first
    for way in first.ways[1:]:
        yield read, solution, steps_of(solved, solution, way.way)


def printed(case: dict[str, Any], quantity: str) -> tuple[str, int]:
    """What a step has to agree with: the printed value, or the one computed where the printed one is in dispute."""
    answer = case["expect"][quantity]
    return (
        (answer["computed"], significant(answer["computed"]))
        if "computed" in answer
        else (answer["printed"], answer["figures"])
    )


def key_of(quantity: str) -> str | None:
    """The key under which a step tells a printed quantity; None where steps do not tell it by itself."""
    match quantity.split():
        case ["energy", "lost"]:
            return "total.lost"
        case ["total", total]:
            return f"total.{total}"
        case [reading] | [reading, "supplied"] if "." in reading:
            return reading
    return None


@pytest.mark.parametrize("case", CASES, ids=name_of)
def test_every_step_tells_the_printed_answer(case):
    document = sketch(case, case["parts"], [])
    for read, solution, worked in every_way(document):
        found = assert_agrees(read, solution, worked.steps)
        for quantity in case["expect"]:
            key = key_of(quantity)
            if key in found:
                text, figures = printed(case, quantity)
                assert agrees(rational(found[key]), text, figures), f"{worked.way}: {quantity}, {case['source']}"


@pytest.mark.parametrize("case", [case for case in CASES if any(map(is_equivalent, case["expect"]))], ids=name_of)
def test_the_steps_between_two_joints_end_at_the_printed_equivalent(case):
    """With the sources taken away, and the parts of the other sort, as in the cases themselves."""
    asked = [quantity for quantity in case["expect"] if is_equivalent(quantity)]
    for quantity in asked:
        text, figures = printed(case, quantity)
        other = "resistor" if text.endswith("F") else "capacitor"
        parts = [part for part in case["parts"] if part["kind"] not in ("battery", other)]
        for _, _, worked in every_way(sketch(case, parts, [quantity.split()[1:]])):
            [last] = worked.steps[-1].readings.values()
            assert agrees(rational(last), text, figures), f"{worked.way}: {quantity}, {case['source']}"


def test_steps_tell_every_printed_quantity_of_a_part_or_of_all():
    """By the first way of each case; what is asked between two joints or of a joint is another matter."""
    counted: Counter[str] = Counter()
    for case in CASES:
        [(_, _, first), *_] = every_way(sketch(case, case["parts"], []))
        keys = {key for step in first.steps for key in step.readings}
        counted.update("told" if key in keys else quantity for quantity in case["expect"] if (key := key_of(quantity)))
    assert counted.pop("told") >= 252
    assert counted.keys() <= {"energy lost"}


def test_the_cases_are_worked_out_in_every_way_there_is():
    taken: Counter[str] = Counter()
    for case in CASES:
        taken.update(worked.way for _, _, worked in every_way(sketch(case, case["parts"], [])))
    assert set(taken) >= {"rules", "star", "charges", "loops"}
