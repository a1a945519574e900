"""Letter-and-digit codes against IEC 60062:2016, clause on the code for resistance and capacitance values.

The examples in the tables are those of the standard, from memory; each value is worked out in the row.
"""

from fractions import Fraction

import flint
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from solver.letter_codes import read_code
from solver.quantities import Quantity
from solver.values import ValueWrongUnit, read_text, read_value

# From memory of IEC 60062, table of coded resistance values, in ohms.
RESISTANCES = {
    "R10": "0.1", "R15": "0.15", "R332": "0.332", "R47": "0.47", "R590": "0.59",
    "1R0": "1", "1R5": "1.5", "3R32": "3.32", "4R7": "4.7", "5R90": "5.9",
    "10R": "10", "15R": "15", "33R2": "33.2", "59R0": "59", "100R": "100", "470R": "470", "590R": "590",
    "1K0": "1e3", "4K7": "4.7e3", "3K32": "3.32e3", "10K": "10e3", "100K": "100e3", "590K": "590e3",
    "1M0": "1e6", "1M5": "1.5e6", "3M32": "3.32e6", "10M": "10e6", "4G7": "4.7e9", "1T0": "1e12",
    "4L7": "4.7e-3",
    # k for K, common practice
    "4k7": "4.7e3", "10k": "10e3",
}  # fmt: skip

# From memory of IEC 60062, table of coded capacitance values, in farads.
CAPACITANCES = {
    "p10": "0.1e-12", "p332": "0.332e-12", "1p0": "1e-12", "4p7": "4.7e-12", "33p2": "33.2e-12", "100p": "100e-12",
    "n10": "0.1e-9", "1n0": "1e-9", "4n7": "4.7e-9", "10n": "10e-9", "100n": "100e-9",
    "µ10": "0.1e-6", "1µ0": "1e-6", "4µ7": "4.7e-6", "33µ2": "33.2e-6", "100µ": "100e-6",
    "1m0": "1e-3", "4m7": "4.7e-3", "4F7": "4.7",
    # u where µ cannot be printed
    "4u7": "4.7e-6", "u47": "0.47e-6", "22u": "22e-6",
}  # fmt: skip


def exact(number: str) -> flint.fmpq:
    ratio = Fraction(number)
    return flint.fmpq(ratio.numerator, ratio.denominator)


@pytest.mark.parametrize(("code", "ohms"), RESISTANCES.items())
def test_a_resistors_code_is_its_resistance(code, ohms):
    assert read_value(code, Quantity.RESISTANCE).factor == exact(ohms)
    assert read_text(code).kind == "resistor"


@pytest.mark.parametrize(("code", "farads"), CAPACITANCES.items())
def test_a_capacitors_code_is_its_capacitance(code, farads):
    assert read_value(code, Quantity.CAPACITANCE).factor == exact(farads)
    assert read_text(code).kind == "capacitor"


@pytest.mark.parametrize(
    ("code", "said"), [("4k7", "4.7 kΩ"), ("R47", "0.47 Ω"), ("4p7", "4.7 pF"), ("4700n", "4700 nF")]
)
def test_the_typing_field_says_which_reading_a_code_was_given(code, said):
    assert read_text(code).feedback.startswith(f"read as {said}: a ")


def test_mega_and_milli_are_told_apart_by_case():
    assert read_value("4M7", Quantity.RESISTANCE).factor == exact("4.7e6")
    assert read_value("4m7", Quantity.CAPACITANCE).factor == exact("4.7e-3")
    with pytest.raises(ValueWrongUnit):
        read_value("4m7", Quantity.RESISTANCE)


def test_a_code_for_ohms_on_a_capacitor_is_not_read_as_farads():
    with pytest.raises(ValueWrongUnit) as refusal:
        read_value("4R7", Quantity.CAPACITANCE)
    assert refusal.value.found == "resistance"


@pytest.mark.parametrize("text", ["2R", "R1", "R", "R_47", "C1", "V1"])
def test_one_digit_with_a_letter_is_a_symbol_and_no_code(text):
    # The standard writes 2R0 and R10, always with two digits or more (from memory), so one digit is free for symbols.
    assert read_code(text) is None
    assert read_text(text).value.symbol is not None


@settings(deadline=None)
@given(st.integers(0, 999), st.from_regex(r"[0-9]{1,4}", fullmatch=True), st.sampled_from("RkKMpnuµ"))
def test_the_letter_stands_where_the_decimal_point_would(whole, part, letter):
    powers = {"R": 0, "k": 3, "K": 3, "M": 6, "p": -12, "n": -9, "u": -6, "µ": -6}
    quantity = Quantity.RESISTANCE if letter in "RkKM" else Quantity.CAPACITANCE
    expected = Fraction(f"{whole}.{part}") * Fraction(10) ** powers[letter]
    assert read_value(f"{whole}{letter}{part}", quantity).factor == flint.fmpq(expected.numerator, expected.denominator)
