"""Published problems that ask for a value, to the printed digits: `unknown_cases.json` has each with its source."""

from __future__ import annotations

import json
from fractions import Fraction
from pathlib import Path
from typing import Any

import pytest

from solver import SketchFaults, solve
from solver.sketch import Sketch
from solver.unknown import find
from tests.reference.test_published_cases import agrees, name_of, rational, read, sketch

CASES: list[dict[str, Any]] = json.loads((Path(__file__).parent / "unknown_cases.json").read_text("utf-8"))["cases"]


def question(case: dict[str, Any]) -> Sketch:
    required = []
    for key, value in case["given"].items():
        words = key.removesuffix(" supplied").split()
        reading = f"probe {words[1]} {words[2]}.resistance" if words[0] == "equivalent" else words[0]
        required.append({"reading": reading, "value": value})
    return Sketch.read({**sketch(case, case["parts"], []), "required": required})


TAKEN = [case for case in CASES if isinstance(case["unknown"], str) or len(case["unknown"]) < 3]
UNPHYSICAL = "Second resistor of a series pair of 0.500 Mohm"


@pytest.mark.parametrize("case", [case for case in TAKEN if case["name"] != UNPHYSICAL], ids=name_of)
def test_the_printed_answer_is_the_answer_to_its_last_figure(case):
    found = find(question(case))
    solution = solve(found.sketch)
    values = {value.part: value for value in found.values}
    for key, answer in case["expect"].items():
        part, _, name = key.partition(".")
        if name == "value":
            got = rational(values[part].value)
        elif name == "capacitance":
            got = rational(solution.parts[part].charge) / rational(solution.parts[part].voltage)
        else:
            got = read(solution, key)
        told = f"{key} is {float(got):.12g}, {case['source']}"
        assert agrees(Fraction(got), answer["printed"], answer["figures"]), f"{told} prints {answer['printed']}"


def test_a_resistor_that_would_have_to_be_negative_is_refused_with_the_reason():
    """The book prints −400 kΩ to show that its premise is wrong."""
    [case] = [case for case in CASES if case["name"] == UNPHYSICAL]
    with pytest.raises(SketchFaults) as caught:
        find(question(case))
    assert caught.value.faults[0].text == (
        "No resistor can do this: in series the total is always above 900 kΩ; it would take −400 kΩ."
    )


def test_no_case_gets_lost():
    assert len({case["name"] for case in CASES}) == len(CASES) == 14
    assert len(TAKEN) == 13
