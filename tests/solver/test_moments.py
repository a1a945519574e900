"""Questions of time are answered exactly: when a reading reaches a value, and what it is so long after the start."""

from __future__ import annotations

from itertools import pairwise

import mpmath
import pytest
from hypothesis import given
from hypothesis import strategies as st

from solver import Sketch, battery, capacitor, resistor
from solver.answers import Answer, answers_of
from solver.crossings import crossings, turning_points
from solver.sketch import Question
from solver.solving import solve_network

CHARGING = (battery("E1", "9 V", "e", "0"), resistor("R1", "1.5 kΩ", "e", "a"), capacitor("C1", "10 µF", "a", "0"))
LETTERS = (battery("E1", "V", "e", "0"), resistor("R1", "R", "e", "a"), capacitor("C1", "C", "a", "0"))
# Two time constants: C2 is charged through R1 first, and gives its charge away through R2 in the end.
BULGING = (
    battery("E1", "9 V", "e", "0"),
    resistor("R1", "1.5 kΩ", "e", "a"),
    capacitor("C1", "10 µF", "a", "b"),
    resistor("R2", "1 kΩ", "b", "0"),
    capacitor("C2", "1 µF", "b", "0"),
)
AT_ONCE = (battery("E1", "9 V", "a", "0"), capacitor("C1", "10 µF", "a", "0"))


def answer(parts, reading: str, reaches: str | None = None, at: str | None = None) -> Answer:
    solved = solve_network(Sketch.of(*parts))
    [found] = answers_of([Question(reading, reaches, at)], solved)
    return found


def formulas(found: Answer) -> list[str]:
    return [line.formula.text() for line in found.lines]


def test_a_value_is_reached_after_a_logarithm_of_the_time_constant():
    """9 V·(1 − e^(−t/τ)) = 6 V at t = τ·ln 3, τ = 1.5 kΩ × 10 µF = 15 ms."""
    found = answer(CHARGING, "C1.voltage", "6 V")
    assert found.text == "The voltage of C1 reaches 6.00 V after 16.5 ms."
    assert formulas(found) == ["t = τ · ln 3 = 15.0 ms × ln 3 = 16.5 ms"]
    with mpmath.workdps(30):
        assert float(found.times[0]) == pytest.approx(float(mpmath.mpf("0.015") * mpmath.log(3)), rel=1e-15)


@pytest.mark.parametrize(
    ("reading", "reaches", "line"),
    [
        ("C1.voltage", "80 %", "t = τ · ln 5 = 15.0 ms × ln 5 = 24.1 ms"),
        ("C1.charge", "45 µC", "t = τ · ln 2 = 15.0 ms × ln 2 = 10.4 ms"),
        ("R1.current", "50 %", "t = τ · ln 2 = 15.0 ms × ln 2 = 10.4 ms"),
        ("E1.current", "2 mA", "t = τ · ln 3 = 15.0 ms × ln 3 = 16.5 ms"),
        # A quarter of 405 µJ at half of the voltage.
        ("C1.energy", "101.25 µJ", "t = τ · ln 2 = 15.0 ms × ln 2 = 10.4 ms"),
        # 54 mW at the start, and power goes with the square of the current: ½ ln(54/10).
        ("R1.power", "10 mW", "t = τ/2 × ln(27/5) = 15.0 ms/2 × ln(27/5) = 12.6 ms"),
    ],
)
def test_what_stands_under_the_logarithm_is_exact(reading, reaches, line):
    assert formulas(answer(CHARGING, reading, reaches)) == [line]


@pytest.mark.parametrize(
    ("parts", "reading", "reaches", "text"),
    [
        (CHARGING, "C1.voltage", "12 V", "The voltage of C1 never reaches 12.0 V: it goes from 0 V to 9.00 V."),
        (
            CHARGING,
            "C1.voltage",
            "9 V",
            "The voltage of C1 comes nearer and nearer to 9.00 V, and never quite reaches it.",
        ),
        (CHARGING, "C1.voltage", "0 V", "The voltage of C1 is 0 V at the very start, and never again."),
        (CHARGING, "C1.energy", "-1 J", "The energy of C1 never reaches −1.00 J: it goes from 0 J to 405 µJ."),
        (BULGING, "C2.voltage", "0.5 V", "The voltage of C2 is 500 mV twice: after 90.0 µs and after 50.3 ms."),
        (BULGING, "C2.voltage", "5 V", "The voltage of C2 never reaches 5.00 V: it stays between 0 V and 3.24 V."),
        (
            BULGING,
            "C2.voltage",
            "0 V",
            "The voltage of C2 is 0 V at the very start, and comes near it again only in the end.",
        ),
        (AT_ONCE, "C1.voltage", "9 V", "The voltage of C1 is 9.00 V all the time: nothing here takes time."),
        (
            AT_ONCE,
            "C1.voltage",
            "8 V",
            "The voltage of C1 is 9.00 V all the time: nothing here takes time, so it never reaches 8.00 V.",
        ),
        (CHARGING, "E1.work", "1 J", "The work of E1 cannot be followed over time here."),
        (
            CHARGING,
            "C1.voltage",
            "6 A",
            "“6 A” is not understood as a voltage: 6 A is a current; a voltage in volts goes here.",
        ),
        (CHARGING, "C1.voltage", "", "Type what it is to reach, such as 6 V, or a share such as 80 %."),
        (CHARGING, "C1.voltage", "V_0", "“V_0” is no number: give one, such as 6 V, or a share, such as 50 %."),
        (CHARGING, "C1.voltage", "half", "“half” is no number: give one, such as 6 V, or a share, such as 50 %."),
        (
            LETTERS,
            "C1.voltage",
            "6 V",
            "Whether and when that is depends on the symbols: give numbers, or a share such as 80 %.",
        ),
    ],
)
def test_what_is_never_reached_or_not_understood_is_said_in_words(parts, reading, reaches, text):
    assert answer(parts, reading, reaches).text == text


def test_with_symbols_a_share_still_has_its_logarithm():
    assert formulas(answer(LETTERS, "C1.voltage", "80 %")) == ["t = τ · ln 5 = CR × ln 5"]


def test_a_reading_after_a_time():
    """6 mA·e^(−2/3) = 3.0805 mA after 10 ms."""
    found = answer(CHARGING, "R1.current", at="10 ms")
    assert found.text == "After 10.0 ms the current of R1 is 3.08 mA."
    assert formulas(found) == ["I = 6.00 mA × e^(−10.0 ms/(15.0 ms)) = 3.08 mA"]
    assert float(found.value) == pytest.approx(float(6e-3 * mpmath.exp(-mpmath.mpf(2) / 3)), rel=1e-15)


@pytest.mark.parametrize(
    ("parts", "reading", "at", "text"),
    [
        (CHARGING, "C1.voltage", "0 s", "Just after the start the voltage of C1 is 0 V."),
        (AT_ONCE, "C1.voltage", "1 s", "The voltage of C1 is 9.00 V all the time."),
        (
            CHARGING,
            "C1.voltage",
            "1 V",
            "“1 V” is not understood as a time: 1 V is a voltage; a time in seconds goes here.",
        ),
        (
            CHARGING,
            "C1.voltage",
            "-1 s",
            "“−1 s” is no time after the start: give a number of seconds, such as 10 s.",
        ),
        (CHARGING, "C1.voltage", "", "Type how long after the start, such as 10 s or 5 ms."),
        (CHARGING, "C1.energy", "15 ms", "After 15.0 ms the energy of C1 is 162 µJ."),
    ],
)
def test_a_time_is_read_and_answered_in_words(parts, reading, at, text):
    assert answer(parts, reading, at=at).text == text


def test_between_two_joints_a_voltage_is_followed_too():
    parts = (*CHARGING, resistor("R2", "1 kΩ", "e", "0"))
    assert answer(parts, "probe e a.voltage", "3 V").text == "The voltage between e and a reaches 3.00 V after 16.5 ms."


SUMS = st.lists(
    st.tuples(st.integers(-50, 50).filter(bool).map(float), st.integers(0, 60).map(lambda n: n / 4)),
    min_size=2,
    max_size=5,
    unique_by=lambda term: term[1],
)


@given(SUMS)
def test_no_crossing_is_overlooked(terms):
    """On a fine grid the sign changes at the crossings and nowhere else."""
    found = crossings(terms)
    assert found == sorted(found)

    def value(time: float) -> mpmath.mpf:
        return mpmath.fsum(c * mpmath.exp(-mpmath.mpf(rate) * time) for c, rate in terms)

    grid = [n / 50 for n in range(1, 400)]
    for low, high in pairwise(grid):
        size = sum(abs(c) * mpmath.exp(-mpmath.mpf(rate) * low) for c, rate in terms)
        if abs(value(low)) < 1e-9 * size or abs(value(high)) < 1e-9 * size:
            continue
        changes = sum(low < time <= high for time in found)
        assert (changes % 2 == 1) == (value(low) * value(high) < 0)


def test_a_bulge_turns_once():
    """e^(−t) − e^(−3t) is highest where e^(−t) = 3e^(−3t), at t = ½ ln 3."""
    [turn] = turning_points((1.0, -1.0), (1.0, 3.0))
    assert turn == pytest.approx(float(mpmath.log(3) / 2), rel=1e-12)
