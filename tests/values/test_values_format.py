"""Numbers as they are shown: rounded once, half away from zero, with the right prefix."""

from fractions import Fraction

import flint
import pytest
from hypothesis import given
from hypothesis import strategies as st

from solver.format import format_exact, format_float, format_number
from solver.quantities import Quantity
from solver.values import read_value

SHOWN = [
    # exact, unit, figures, text
    ("1/100000", "F", 3, "10.0 µF"),
    ("9", "V", 3, "9.00 V"),
    ("0", "V", 3, "0 V"),
    ("-9", "V", 1, "−9 V"),
    ("1/3", "V", 4, "333.3 mV"),
    ("2/3", "V", 2, "670 mV"),
    ("120", "V", 1, "100 V"),
    ("125", "V", 2, "130 V"),  # a half goes away from zero
    ("-125", "V", 2, "−130 V"),
    ("25/10", "V", 1, "3 V"),
    ("1245/1000", "V", 3, "1.25 V"),
    ("12449999/10000000", "V", 3, "1.24 V"),
    # carries into the next figure, prefix and power of ten
    ("9995/10000000", "F", 3, "1.00 mF"),
    ("99949/100000000", "F", 3, "999 µF"),
    ("999", "Ω", 2, "1.0 kΩ"),
    ("9999", "Ω", 3, "10.0 kΩ"),
    ("999999/1000000", "V", 3, "1.00 V"),
    # the prefixes' ends
    ("1/1000000000000000", "F", 3, "1.00 fF"),
    ("123/100000000000000000000000", "F", 3, "1.23 × 10⁻²¹ F"),
    ("9995/10000000000000000000", "F", 3, "1.00 fF"),
    ("999000000000", "Ω", 3, "999 GΩ"),
    ("1000000000000", "Ω", 3, "1.00 × 10¹² Ω"),
    ("-1000000000000", "Ω", 1, "−1 × 10¹² Ω"),
    # no unit, no prefix
    ("1/3", "", 3, "0.333"),
    ("2000", "", 2, "2000"),
    ("1/3000000", "", 2, "3.3 × 10⁻⁷"),
]


@pytest.mark.parametrize(("exact", "unit", "figures", "text"), SHOWN)
def test_an_exact_number_is_shown_as_the_table_says(exact, unit, figures, text):
    top, _, bottom = exact.partition("/")
    assert format_number(flint.fmpq(int(top), int(bottom or 1)), unit, figures) == text


@pytest.mark.parametrize("figures", [0, -1])
def test_less_than_one_figure_is_refused(figures):
    with pytest.raises(ValueError, match="one figure or more"):
        format_number(flint.fmpq(1), "V", figures)


def test_a_float_is_shown_as_the_exact_number_it_is():
    assert format_float(1e-05, "F", 3) == "10.0 µF"
    assert format_float(0.0, "V", 3) == "0 V"
    assert format_float(2.675, "V", 3) == "2.67 V"  # the float lies just below 2.675


@pytest.mark.parametrize("value", [float("inf"), float("-inf"), float("nan")])
def test_a_float_that_is_no_number_is_refused(value):
    with pytest.raises(ValueError, match=r"infinity|NaN"):
        format_float(value, "V", 3)


NUMBERS = st.fractions(min_value=Fraction(1, 10**16), max_value=10**14) | st.fractions(min_value=-1000, max_value=1000)
FIGURES = st.integers(1, 12)


def number_shown(text: str) -> Fraction:
    """What a shown text says, in SI units, worked out apart from the solver."""
    number, _, unit = text.replace("−", "-").rpartition(" ")
    mantissa, _, raised = number.partition(" × 10")
    ten = int(raised.translate(str.maketrans("⁰¹²³⁴⁵⁶⁷⁸⁹⁻", "0123456789-")) or 0)
    prefix = {"f": -15, "p": -12, "n": -9, "µ": -6, "m": -3, "": 0, "k": 3, "M": 6, "G": 9}[unit[:-1]]
    return Fraction(mantissa) * Fraction(10) ** (ten + prefix)


@given(NUMBERS, FIGURES)
def test_what_is_shown_is_within_half_a_unit_of_the_last_figure(number, figures):
    shown = number_shown(format_number(flint.fmpq(number.numerator, number.denominator), "V", figures))
    if number == 0:
        assert shown == 0
        return
    first = Fraction(1)  # the power of ten of the first figure
    while first > abs(number):
        first /= 10
    while first * 10 <= abs(number):
        first *= 10
    half = first / 10 ** (figures - 1) / 2
    assert abs(shown - number) <= half
    if abs(shown - number) == half:
        assert abs(shown) > abs(number)


@given(NUMBERS, FIGURES)
def test_the_number_before_a_prefix_lies_from_one_to_a_thousand(number, figures):
    text = format_number(flint.fmpq(number.numerator, number.denominator), "V", figures)
    if number != 0 and Fraction(1, 10**15) <= abs(number) < Fraction(999, 1000) * 10**12:
        assert "×" not in text
        assert 1 <= abs(float(text.split()[0].replace("−", "-"))) < 1000


@given(NUMBERS, NUMBERS, FIGURES)
def test_the_larger_number_is_never_shown_as_the_smaller(one, other, figures):
    smaller, larger = sorted((one, other))
    low = number_shown(format_number(flint.fmpq(smaller.numerator, smaller.denominator), "V", figures))
    high = number_shown(format_number(flint.fmpq(larger.numerator, larger.denominator), "V", figures))
    assert low <= high


@given(NUMBERS, FIGURES)
def test_the_sign_changes_nothing_but_the_sign(number, figures):
    exact = flint.fmpq(number.numerator, number.denominator)
    if number > 0:
        assert format_number(-exact, "V", figures) == "−" + format_number(exact, "V", figures)


@pytest.mark.parametrize(
    ("exact", "text"),
    [
        (flint.fmpq(47, 10**7), "4.7 µF"),
        (flint.fmpq(1, 10**5), "10 µF"),
        (flint.fmpq(9995, 10**7), "999.5 µF"),
        (flint.fmpq(1, 3000000), "1/3 µF"),
        (flint.fmpq(125, 3), "125/3 F"),
        (flint.fmpq(0), "0 F"),
        (flint.fmpq(-5, 2), "−2.5 F"),
        (flint.fmpq(10**12), "1000 GF"),
        (flint.fmpq(1, 10**16), "0.1 fF"),
    ],
)
def test_in_full_a_number_is_a_decimal_where_it_ends_and_else_a_fraction(exact, text):
    assert format_exact(exact, "F") == text


@given(st.fractions(min_value=Fraction(1, 10**9), max_value=10**9, max_denominator=10**9))
def test_a_number_in_full_reads_back_as_itself(number):
    exact = flint.fmpq(number.numerator, number.denominator)
    assert read_value(format_exact(exact, "V"), Quantity.VOLTAGE).factor == exact
