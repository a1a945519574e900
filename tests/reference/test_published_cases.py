"""Published problems, to the printed digits: `cases.json` has each with its source and where its answer was read.

A printed value agrees with an exact one that lies within half a unit of its last printed figure, ties included. The
units are read here by a table of the test's own, so that the solver's reading of values is tested as well.
"""

from __future__ import annotations

import json
import re
from fractions import Fraction
from pathlib import Path
from typing import Any

import flint
import pytest

from solver import Solution, solve

CASES: list[dict[str, Any]] = json.loads((Path(__file__).parent / "cases.json").read_text(encoding="utf-8"))["cases"]
PREFIXES = {"p": -12, "n": -9, "u": -6, "m": -3, "": 0, "k": 3, "M": 6}
PRINTED = re.compile(r"(\S+) ([pnumkM]?)(F|ohm|V|C|A|W|J|V/m)")
SEEN = {"book text", "quoted", "quoted, partly recalled", "recalled", "closed form, recomputed exactly"}


def number_and_step(printed: str, figures: int) -> tuple[Fraction, Fraction]:
    """A printed value in SI units, and one unit of its last figure."""
    number, prefix, _ = PRINTED.fullmatch(printed).groups()
    value = Fraction(number)
    if value == 0:
        return value, Fraction(0)
    exponent = 0
    while abs(value) >= Fraction(10) ** (exponent + 1):
        exponent += 1
    while abs(value) < Fraction(10) ** exponent:
        exponent -= 1
    scale = Fraction(10) ** PREFIXES[prefix]
    return value * scale, Fraction(10) ** (exponent - figures + 1) * scale


def agrees(value: Fraction, printed: str, figures: int) -> bool:
    number, step = number_and_step(printed, figures)
    return abs(value - number) <= step / 2


def significant(printed: str) -> int:
    """How many figures a decimal shows."""
    return len(printed.split()[0].lstrip("-").partition("e")[0].replace(".", "").lstrip("0"))


def rational(reading: Any) -> Fraction:
    exact = reading.exact
    assert isinstance(exact, flint.fmpq)
    return Fraction(int(exact.p), int(exact.q))


def sketch(case: dict[str, Any], parts: list[dict[str, Any]], probes: list[list[str]]) -> dict[str, Any]:
    """These parts on positions of our own (any will do), eight joints to a row."""
    ends = dict.fromkeys(joint for part in parts for joint in (part["from"], part["to"]))
    document = {
        "joints": {joint: [6 * (place % 8), 4 * (place // 8)] for place, joint in enumerate(ends)},
        "parts": parts,
        "probes": probes,
    }
    return {**document, "zero": case["zero"]} if case["zero"] in ends else document


def is_equivalent(quantity: str) -> bool:
    return quantity.startswith("equivalent ")


def equivalents(case: dict[str, Any]) -> dict[str, Fraction]:
    """Between two joints with the sources taken away, for parts of the sort that the printed unit names."""
    asked = [quantity for quantity in case["expect"] if is_equivalent(quantity)]
    if not asked:
        return {}
    [sort] = {
        "capacitance" if case["expect"][quantity]["printed"].endswith("F") else "resistance" for quantity in asked
    }
    other = {"capacitance": "resistor", "resistance": "capacitor"}[sort]
    parts = [part for part in case["parts"] if part["kind"] not in ("battery", other)]
    solution = solve(sketch(case, parts, [quantity.split()[1:] for quantity in asked]))
    return {quantity: rational(getattr(probe, sort)) for quantity, probe in zip(asked, solution.probes, strict=True)}


def read(solution: Solution, quantity: str) -> Fraction:
    """A quantity in the words of the cases."""
    match quantity.split():
        case ["voltage", *pair]:
            [probe] = [probe for probe in solution.probes if list(probe.between) == pair]
            return rational(probe.voltage)
        case ["node", joint]:
            return rational(solution.joints[joint].potential)
        case ["energy", "lost"]:
            return rational(solution.totals.lost)
        case ["total", total]:
            return rational(getattr(solution.totals, total))
        case [reading] | [reading, "supplied"]:
            part, _, name = reading.partition(".")
            return rational(getattr(solution.parts[part], name))
    raise AssertionError(f"no such quantity: {quantity}")


def name_of(case: dict[str, Any]) -> str:
    memory = {"recalled": " (from memory)", "quoted, partly recalled": " (partly from memory)"}
    return case["name"] + memory.get(case["seen"], "")


@pytest.mark.parametrize("case", CASES, ids=name_of)
def test_the_printed_answer_is_the_answer_to_its_last_figure(case):
    expected = case["expect"]
    voltages = [quantity.split()[1:] for quantity in expected if quantity.startswith("voltage ")]
    solution = solve(sketch(case, case["parts"], voltages))
    assert solution.method == "exact"
    between = equivalents(case)
    for quantity, answer in expected.items():
        got = between[quantity] if is_equivalent(quantity) else read(solution, quantity)
        told = f"{quantity} is {float(got):.12g}, {case['source']}"
        if "computed" in answer:
            figures = significant(answer["computed"])
            assert agrees(got, answer["computed"], figures), f"{told} computes {answer['computed']}: {answer['why']}"
            assert not agrees(got, answer["printed"], answer["figures"]), f"{told}: no longer in dispute"
        else:
            assert agrees(got, answer["printed"], answer["figures"]), f"{told} prints {answer['printed']}"
        if "exact" in answer:
            ratio, _, unit = answer["exact"].partition(" ")
            assert got == Fraction(ratio) * number_and_step(f"1 {unit}", 1)[0], f"{told} is {answer['exact']} exactly"


@pytest.mark.parametrize(
    ("case", "quantity", "battery"),
    [
        pytest.param(case, quantity, part["name"], id=name_of(case))
        for case in CASES
        for quantity in case["expect"]
        if is_equivalent(quantity)
        for part in case["parts"]
        if part["kind"] == "battery" and {part["from"], part["to"]} == set(quantity.split()[1:])
    ],
)
def test_a_battery_reads_the_equivalent_printed_for_its_terminals(case, quantity, battery):
    solution = solve(sketch(case, case["parts"], []))
    assert rational(solution.parts[battery].equivalent) == equivalents(case)[quantity]


def test_no_case_gets_lost():
    """Of the 135 collected, 75 need no time, stages, unknown or geometry; 15 more are states that need no history."""
    assert len({case["name"] for case in CASES}) == len(CASES) == 90
    assert sum(len(case["expect"]) for case in CASES) == 350


def test_every_case_says_where_its_values_come_from():
    assert {case["seen"] for case in CASES} == SEEN
    assert [case["name"] for case in CASES if len(case["source"]) < 20] == []


def test_agreement_ends_half_a_unit_from_the_last_printed_figure():
    assert agrees(Fraction("0.6675"), "667 mA", 3)
    assert not agrees(Fraction("0.66751"), "667 mA", 3)
    assert agrees(Fraction("-125e-6"), "-1.3e-4 C", 2)
    assert not agrees(Fraction("-1249e-7"), "-1.3e-4 C", 2)
    assert agrees(Fraction(205), "200 A", 2)
    assert not agrees(Fraction(205), "200 A", 3)
    assert not agrees(Fraction(1, 10**30), "0 A", 3)
