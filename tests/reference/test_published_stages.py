"""Published problems of before and after, to the printed digits: `stage_cases.json` has each with its source."""

from __future__ import annotations

import json
from fractions import Fraction
from pathlib import Path
from typing import Any

import pytest

from solver.sketch import Sketch
from solver.solving import solution_of
from solver.stages import SolvedStage, solve_stages
from tests.reference.test_published_cases import agrees, name_of, rational, significant, sketch

CASES: list[dict[str, Any]] = json.loads((Path(__file__).parent / "stage_cases.json").read_text("utf-8"))["cases"]


def read(solved: SolvedStage, quantity: str) -> Fraction:
    """A quantity of a stage in the words of the cases."""
    assert solved.faults == ()
    solution = solution_of(solved.solved)
    match quantity.split():
        case ["equivalent", *pair]:
            [battery] = [
                part for part in solved.sketch.parts if part.kind == "battery" and [part.start, part.end] == pair
            ]
            return rational(solution.parts[battery.name].equivalent)
        case ["energy", "lost"]:
            return rational(solved.account.lost)
        case ["total", "energy"]:
            return rational(solution.totals.energy)
        case ["work"]:
            return rational(solved.account.by_hand)
        case [reading] | [reading, "supplied"]:
            part, _, name = reading.partition(".")
            if name == "capacitance":
                [capacitor] = [each for each in solved.solved.outcome.network.capacitors if each.name == part]
                return Fraction(int(capacitor.capacitance.p), int(capacitor.capacitance.q))
            return rational(getattr(solution.parts[part], name))
    raise AssertionError(f"no such quantity: {quantity}")


@pytest.mark.parametrize("case", CASES, ids=name_of)
def test_the_printed_answer_is_the_answer_to_its_last_figure(case):
    document = {**sketch(case, case["parts"], []), "stages": case["stages"]}
    solved = solve_stages(Sketch.read(document))
    for key, answer in case["expect"].items():
        stage, _, quantity = key.partition(":")
        got = read(solved[int(stage) - 1], quantity)
        told = f"{key} is {float(got):.12g}, {case['source']}"
        if "computed" in answer:
            assert agrees(got, answer["computed"], significant(answer["computed"])), f"{told}: {answer['why']}"
        else:
            assert agrees(got, answer["printed"], answer["figures"]), f"{told} prints {answer['printed']}"


def test_no_case_gets_lost():
    assert len({case["name"] for case in CASES}) == len(CASES) == 13
