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
from solver.tolerance_text import split_tolerance
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


# IEC 60062:2016 + A1:2019, tolerance letters: per cent above 10 pF (B to N), picofarads below (B, C, D; F and G from
# memory). T, Z and P after a maker's chart; Q and S from memory.
PER_CENT = {"B": "0.1", "C": "0.25", "D": "0.5", "F": "1", "G": "2", "J": "5", "K": "10", "M": "20", "N": "30"}
PICOFARADS = {"B": "0.1", "C": "0.25", "D": "0.5", "F": "1", "G": "2"}
UNEQUAL = {"T": (10, 50), "Z": (20, 80), "P": (0, 100), "Q": (10, 30), "S": (20, 50)}


@pytest.mark.parametrize(("letter", "per_cent"), PER_CENT.items())
def test_a_tolerance_letter_after_a_code_is_per_cent(letter, per_cent):
    value, tolerance = split_tolerance(f"4k7{letter}", Quantity.RESISTANCE)
    assert value == "4k7"
    assert tolerance.down == tolerance.up == exact(per_cent) / 100
    if letter != "F":  # 4n7F is farads
        assert split_tolerance(f"4n7{letter}", Quantity.CAPACITANCE)[1] == tolerance


@pytest.mark.parametrize(("letter", "picofarads"), PICOFARADS.items())
def test_below_ten_picofarads_a_tolerance_letter_is_picofarads(letter, picofarads):
    value, tolerance = split_tolerance(f"marked 4R7{letter}", None)
    assert value == "4.7 pF"
    assert tolerance.absolute
    assert tolerance.down == tolerance.up == exact(picofarads) / 10**12


@pytest.mark.parametrize(("letter", "ends"), UNEQUAL.items())
def test_unequal_tolerance_letters(letter, ends):
    _, tolerance = split_tolerance(f"marked 104{letter}", None)
    assert (100 * tolerance.down, 100 * tolerance.up) == ends


# Two digits and the number of zeros, in picofarads; R for the decimal point (MIL-PRF-39001; EIA-198).
MARKINGS = {"104": "100e-9", "473": "47e-9", "102": "1e-9", "107": "100e-6", "220": "22e-12", "4R7": "4.7e-12"}


@pytest.mark.parametrize(("marking", "farads"), MARKINGS.items())
def test_a_capacitors_marking_is_its_capacitance(marking, farads):
    value, tolerance = split_tolerance(f"marked {marking}", None)
    assert tolerance is None
    assert read_value(value, Quantity.CAPACITANCE).factor == exact(farads)


def test_on_a_capacitor_three_digits_with_a_letter_are_a_marking():
    value, tolerance = split_tolerance("104K", Quantity.CAPACITANCE)
    assert (value, tolerance.text) == ("100 nF", "±10 %")
