"""Published problems worked out by written equations: the printed answers come out, and every equation is true.

The cases and their sources are those of `cases.json`; how a printed value agrees is told in test_published_cases.py.
"""

from __future__ import annotations

from typing import Any

import pytest

from solver import Sketch
from solver.readings import Reading
from solver.solving import solution_of, solve_network
from solver.step_equations import equation_steps, ways_of
from tests.reference.test_published_cases import CASES, agrees, is_equivalent, name_of, rational, significant, sketch
from tests.solver.written_equations import Values


def told_by_way(case: dict[str, Any]) -> dict[str, dict[str, Reading]]:
    """The readings that each way's steps arrive at; the equations are put to the test on the way."""
    solved = solve_network(Sketch.read(sketch(case, case["parts"], [])))
    solution = solution_of(solved)
    found = {}
    for way in ways_of(solved):
        steps = equation_steps(solved, solution, way.way)
        found[way.way] = {key: reading for step in steps for key, reading in step.readings.items()}
        if way.way != "superposition":
            Values(solved).assert_true(steps)
    return found


def key_of(case: dict[str, Any], quantity: str) -> str:
    """What steps call a quantity of the cases."""
    words = quantity.split()
    if is_equivalent(quantity):
        own = [
            part["name"]
            for part in case["parts"]
            if part["kind"] == "battery" and {part["from"], part["to"]} == set(words[1:])
        ]
        return f"{own[0]}.equivalent" if own else quantity
    match words:
        case ["node", joint]:
            return f"joint {joint}.potential"
        case ["energy", "lost"]:
            return "total.lost"
        case ["total", total]:
            return f"total.{total}"
        case [reading, *_]:
            return reading
    return quantity


def assert_printed(case: dict[str, Any], quantity: str, reading: Reading, way: str) -> None:
    answer = case["expect"][quantity]
    value, told = rational(reading), f"{quantity} by {way} is {reading.text}, {case['source']}"
    if "computed" in answer:
        assert agrees(value, answer["computed"], significant(answer["computed"])), told
    else:
        assert agrees(value, answer["printed"], answer["figures"]), f"{told} prints {answer['printed']}"


@pytest.mark.parametrize("case", CASES, ids=name_of)
def test_equations_lead_to_the_printed_answer(case):
    for way, readings in told_by_way(case).items():
        for quantity in case["expect"]:
            if (reading := readings.get(key_of(case, quantity))) is not None:
                assert_printed(case, quantity, reading, way)


def test_most_of_what_is_printed_is_told():
    """Not told: voltages between joints, what passes on the way, and networks without anything that drives a charge."""
    told = {
        (case["name"], quantity)
        for case in CASES
        for readings in told_by_way(case).values()
        for quantity in case["expect"]
        if key_of(case, quantity) in readings
    }
    assert len(told) == 277
