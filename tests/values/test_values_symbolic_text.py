"""Symbolic readings as text. Each expected line is the formula as one would write it by hand."""

import re

import pytest
from hypothesis import given
from hypothesis import strategies as st
from sympy import QQ, expand, field, symbols
from sympy.parsing.sympy_parser import implicit_multiplication, parse_expr, standard_transformations

from solver.format import format_symbolic

_, C, C1, C2, R, V, V0, X = field("C C_1 C_2 R V V_0 x", QQ)
ONE = C / C
FROM_RAISED = str.maketrans("⁰¹²³⁴⁵⁶⁷⁸⁹", "0123456789")
SIGNS = str.maketrans("−×·", "-**")
MICRO = QQ(1, 10**6)

LINES = [
    (2 * C / 3, "F", "2C/3"),
    (C * V0 / 2, "C", "CV_0/2"),
    (C * V0**2 / 2, "J", "CV_0²/2"),
    (-C * V0, "C", "−CV_0"),
    (C1 * C2 / (C1 + C2), "F", "C_1 C_2/(C_1 + C_2)"),
    (C1 / (C1 + C2), "", "C_1/(C_1 + C_2)"),
    (2 * C1 * V0 / (3 * C1 + 3 * C2), "V", "2C_1 V_0/(3(C_1 + C_2))"),
    ((C1 + 2 * C2) / 3, "F", "(C_1 + 2C_2)/3"),
    (C1 + 2 * C2, "F", "C_1 + 2C_2"),
    (V0 / R, "A", "V_0/R"),
    (V0 / (2 * R), "A", "V_0/(2R)"),
    (V0**2 / R, "W", "V_0²/R"),
    (2 * V / 3, "V", "2·V/3"),
    # numbers that measure something carry their unit, which follows from the reading's
    (C + 10 * MICRO, "F", "C + 10.0 µF"),
    (C / 3 + 10 * MICRO, "F", "C/3 + 10.0 µF"),
    (V0 - 9, "V", "V_0 − 9.00 V"),
    (9 * C, "C", "9.00 V × C"),
    (81 * C / 2, "J", "40.5 V² × C"),
    (9 / R, "A", "9.00 V/R"),
    (9 * C / (C + 10 * MICRO), "V", "9.00 V × C/(C + 10.0 µF)"),
    (10 * R / (R + 10), "Ω", "10.0 Ω × R/(R + 10.0 Ω)"),
    (2 * C * C1 / (3 * C + 30 * MICRO), "F", "2CC_1/(3C + 30.0 µF)"),
    # products stay products, numbers before symbols before sums
    ((C1 + C2) * V0 / (C + C1 + C2), "V", "V_0(C_1 + C_2)/(C + C_1 + C_2)"),
    (C1 * (C1 + C2) ** 2 * V0**2 / (2 * (C + C1 + C2) ** 2), "J", "C_1 V_0²(C_1 + C_2)²/(2(C + C_1 + C_2)²)"),
    (C1 * V0**2 / (C + C1) ** 2, "V²F/F²", "C_1 V_0²/(C + C_1)²"),
    (-(C1 + C2) * V0 / 2, "C", "−V_0(C_1 + C_2)/2"),
    (2 * V * (C + C1) / 3, "C", "2·V(C + C_1)/3"),
    ((C + C1) * (C + C2) / C1, "F", "(C + C_2)(C + C_1)/C_1"),
    (C1 * (C + C2) / (C * (C + C1)), "", "C_1(C + C_2)/(C(C + C_1))"),
    # "times" stands between a number with a unit and a bracket
    (9 * C * (C + 10 * MICRO) / (C + 20 * MICRO), "C", "9.00 V × C(C + 10.0 µF)/(C + 20.0 µF)"),
    (81 * (C + 10 * MICRO) ** 2 / (C + 30 * MICRO), "J", "81.0 V² × (C + 10.0 µF)²/(C + 30.0 µF)"),
    (V * (C + 10 * MICRO) ** 2 / (9 * C + 30 * MICRO) ** 2, "V", "V(C + 10.0 µF)²/(9(3C + 10.0 µF)²)"),
    # no symbol left
    (9 * ONE, "V", "9.00 V"),
    (0 * C, "V", "0 V"),
    # x could be anything: numbers are in SI units
    (X + 2, "F", "x + 2"),
    (9 * X, "C", "9x"),
    # a pure number too long to read is rounded
    (QQ(12345678, 89) * C, "F", "139000 × C"),
]


@pytest.mark.parametrize(("element", "unit", "line"), LINES)
def test_a_symbolic_reading_is_written_as_by_hand(element, unit, line):
    assert format_symbolic(element, unit, 3) == line


def test_units_of_symbols_may_be_told():
    assert format_symbolic(9 * X, "C", 2, {"x": "F"}) == "9.0 V × x"


def test_a_long_sum_is_cut_short_and_says_so():
    long = (C1 + C2 + C + R + X) ** 2 + R * X
    assert format_symbolic(long, "F", 3).endswith("+ … 9 more terms")  # 15 terms, 6 shown


LETTERS, (P, Q, S) = symbols("p q s"), field("p q s", QQ)[1:]
NUMBERS = st.builds(QQ, st.integers(-4, 4), st.integers(1, 6))
SUMS = st.builds(lambda a, b, c, d: a * P + b * Q + c * S + d, NUMBERS, NUMBERS, NUMBERS, NUMBERS).filter(bool)
SIDES = st.lists(st.sampled_from((P, Q, S)) | SUMS, min_size=1, max_size=3)


@given(SIDES, SIDES)
def test_what_is_written_is_the_function_itself(above, below):
    """Read again as formulas are, it comes to the same: nothing is lost among factors, numbers and signs."""
    element = P / P
    for factor in above:
        element *= factor
    for factor in below:
        element /= factor
    text = format_symbolic(element, "", 3)
    raised = re.sub("[⁰¹²³⁴⁵⁶⁷⁸⁹]+", lambda found: f"**{str.translate(found[0], FROM_RAISED)}", text)
    apart = re.sub("(?<=[pqs])(?=[pqs(])", "*", raised.translate(SIGNS))
    written = parse_expr(
        apart, {str(letter): letter for letter in LETTERS}, (*standard_transformations, implicit_multiplication)
    )
    assert expand(written * element.denom.as_expr() - element.numer.as_expr()).cancel() == 0
