"""Published problems of charging and discharging, to the printed digits: `time_cases.json` has each with its source.

Every moment and time constant is held against its closed form in mpmath as well.
"""

from __future__ import annotations

import json
from dataclasses import replace
from fractions import Fraction
from pathlib import Path
from typing import Any

import mpmath
import pytest

from solver.answers import Answer, answers_of
from solver.course import Course
from solver.functions import number_of
from solver.moments import When, looked_up
from solver.sketch import Question, Sketch
from solver.stages import SolvedStage, solve_stages
from solver.unknown import find
from tests.reference.test_published_cases import PREFIXES, name_of, sketch

CASES: list[dict[str, Any]] = json.loads((Path(__file__).parent / "time_cases.json").read_text("utf-8"))["cases"]
ASKED = [
    pytest.param(case, asked, id=f"{name_of(case)}: {asked.get('reading', 'time constant')} {place}")
    for case in CASES
    if "required" not in case
    for place, asked in enumerate(case["asked"])
]


def agrees(value: float, printed: str, figures: int) -> bool:
    """Within half a unit of the last printed figure."""
    number, unit = printed.split()
    prefix = unit[0] if len(unit) > 1 and unit[0] in PREFIXES and unit != "ohm" else ""
    step = mpmath.mpf(10) ** (mpmath.floor(mpmath.log10(abs(mpmath.mpf(number)))) - figures + 1)
    scaled = mpmath.mpf(value) / mpmath.mpf(10) ** PREFIXES[prefix]
    return bool(abs(scaled - mpmath.mpf(number)) <= step / 2)


def document(case: dict[str, Any]) -> Sketch:
    return Sketch.read({**sketch(case, case["parts"], []), "stages": case.get("stages", [])})


def stage_of(case: dict[str, Any], number: int) -> SolvedStage:
    solved = solve_stages(document(case))[number]
    assert solved.faults == ()
    return solved


def answered(solved: SolvedStage, asked: dict[str, Any]) -> Answer:
    question = Question(asked["reading"], asked.get("reaches"), asked.get("at"))
    [found] = answers_of([question], solved.thrown)
    return found


@pytest.mark.parametrize(("case", "asked"), ASKED)
def test_the_printed_answer_is_the_answer_to_its_last_figure(case, asked):
    solved = stage_of(case, asked["stage"])
    if "constant" in asked:
        got = float(number_of(Course(solved.thrown.outcome, solved.thrown.over_time).constant))
    elif "reaches" in asked:
        [time] = answered(solved, asked).times
        got = float(time)
    else:
        got = float(answered(solved, asked).value)
    told = f"{asked} is {got:.12g}, {case['source']}"
    assert agrees(got, asked["printed"], asked["figures"]), told


@pytest.mark.parametrize("case", [case for case in CASES if "required" in case], ids=name_of)
def test_the_printed_value_is_the_one_that_is_found(case):
    asked = Sketch.read(
        {**sketch(case, case["parts"], []), "stages": case.get("stages", []), "required": case["required"]}
    )
    # With a stage, the switch in it is as that stage has it.
    found = find(replace(asked, stage=0 if asked.stages else None))
    [expected] = case["asked"]
    [value] = found.values
    assert value.part == expected["value"]
    got = float(value.value)
    assert agrees(got, expected["printed"], expected["figures"]), f"{value.text}, {case['source']}"


@pytest.mark.parametrize(("case", "asked"), [each for each in ASKED if "reaches" in each.values[1]])
def test_a_moment_is_its_closed_form(case, asked):
    """τ·ln(r), with the exact τ and r that the solver gives, in thirty digits."""
    solved = stage_of(case, asked["stage"])
    course = Course(solved.thrown.outcome, solved.thrown.over_time)
    found = looked_up(course, Question(asked["reading"], asked["reaches"]))
    assert isinstance(found, When)
    [passage] = found.passages
    constant = number_of(course.constant)
    with mpmath.workdps(30):
        ratio = mpmath.mpf(int(passage.ratio.p)) / int(passage.ratio.q)
        closed = mpmath.mpf(int(constant.p)) / int(constant.q) * mpmath.log(ratio)
        assert passage.time == pytest.approx(float(closed), rel=1e-15)


def test_no_case_gets_lost():
    assert len({case["name"] for case in CASES}) == len(CASES) == 12
    assert sum(len(case["asked"]) for case in CASES) == 21
    assert {case["seen"] for case in CASES} == {"book text", "quoted"}


def test_agreement_ends_half_a_unit_from_the_last_printed_figure():
    assert agrees(4.992, "4.99 s", 3)
    assert not agrees(4.996, "4.99 s", 3)
    assert agrees(float(Fraction(30, 1)) * 1e6, "30.0 Mohm", 3)
