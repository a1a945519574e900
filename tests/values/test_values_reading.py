"""What each way of writing a value means. Expected numbers are worked out by hand in the table itself."""

from fractions import Fraction

import flint
import pytest

from solver.quantities import Quantity
from solver.values import Value, read_value, tidy


def exact(text: str) -> flint.fmpq:
    """A rational from "47e-7" or "1/3", by Python's own fractions."""
    top, _, bottom = text.partition("/")
    ratio = Fraction(top) / Fraction(bottom or "1")
    return flint.fmpq(ratio.numerator, ratio.denominator)


CAPACITANCES = {
    # text: (farads, tidy spelling)
    "0.1 µF": ("1e-7", "0.1 µF"),
    "4.7nF": ("47e-10", "4.7 nF"),
    "4.70 nF": ("47e-10", "4.70 nF"),
    "100 mF": ("1/10", "100 mF"),
    "2 pF": ("2e-12", "2 pF"),
    "3 fF": ("3e-15", "3 fF"),
    "1e-6 F": ("1e-6", "1 µF"),
    "1E-6F": ("1e-6", "1 µF"),
    "1e-0006 F": ("1e-6", "1 µF"),
    "1.50e-5 F": ("15e-6", "15.0 µF"),
    "10uF": ("1e-5", "10 µF"),
    "10 \u00b5F": ("1e-5", "10 µF"),
    "10 \u03bcF": ("1e-5", "10 µF"),
    "22uf": ("22e-6", "22 µF"),
    "22 nf": ("22e-9", "22 nF"),
    "4,7 nF": ("47e-10", "4.7 nF"),
    "4.7\u202fnF": ("47e-10", "4.7 nF"),
    "4.7\u00a0nF": ("47e-10", "4.7 nF"),
    "4.7\u2009nF": ("47e-10", "4.7 nF"),
    "1 000 µF": ("1e-3", "1000 µF"),
    "12\u2009500,5 pF": ("125005e-13", "12500.5 pF"),
    "4.7×10^-6 F": ("47e-7", "4.7 µF"),
    "4,7·10⁻⁶ F": ("47e-7", "4.7 µF"),
    "4.7 x 10**-6 F": ("47e-7", "4.7 µF"),
    "4.7*10^(-6) F": ("47e-7", "4.7 µF"),
    "10⁻⁶ F": ("1e-6", "1 µF"),
    "10^-6 F": ("1e-6", "1 µF"),
    "3 × 10² pF": ("3e-10", "300 pF"),
    "1/3 µF": ("1/3000000", "1/3 µF"),
    "(1/3) µF": ("1/3000000", "1/3 µF"),
    "½ µF": ("5e-7", "1/2 µF"),
    "2⁄3 µF": ("2/3000000", "2/3 µF"),
    "1/3 × 10⁻⁵ F": ("1/300000", "10/3 µF"),
    "1e-20 F": ("1e-20", "1 × 10⁻²⁰ F"),
    ".5 F": ("1/2", "0.5 F"),
    "5. F": ("5", "5 F"),
    "007 F": ("7", "7 F"),
    "10 MF": ("1e7", "10 MF"),
    "3 microfarads": ("3e-6", "3 µF"),
    "3 Picofarad": ("3e-12", "3 pF"),
    "22㎌": ("22e-6", "22 µF"),
    "２２μＦ": ("22e-6", "22 µF"),
    "٢٢ µF": ("22e-6", "22 µF"),
    "-3 µF": ("-3e-6", "−3 µF"),
    "−3 µF": ("-3e-6", "−3 µF"),
    "0 F": ("0", "0 F"),
    "0e5 F": ("0", "0 F"),
}

RESISTANCES = {
    "5 Ω": ("5", "5 Ω"),
    "5 \u2126": ("5", "5 Ω"),
    "5ohm": ("5", "5 Ω"),
    "5 Ohms": ("5", "5 Ω"),
    "5 OHM": ("5", "5 Ω"),
    "1.5 kΩ": ("1500", "1.5 kΩ"),
    "1.5 KΩ": ("1500", "1.5 kΩ"),
    "10 kohm": ("1e4", "10 kΩ"),
    "10 KOhm": ("1e4", "10 kΩ"),
    "10 megohm": ("1e7", "10 MΩ"),
    "10 kiloohms": ("1e4", "10 kΩ"),
    "3 mΩ": ("3/1000", "3 mΩ"),
    "3 MΩ": ("3e6", "3 MΩ"),
    "3 Mohm": ("3e6", "3 MΩ"),
    "2 GΩ": ("2e9", "2 GΩ"),
    "1000/3 Ω": ("1000/3", "1000/3 Ω"),
}

VOLTAGES = {
    "9 V": ("9", "9 V"),
    "9v": ("9", "9 V"),
    "2V": ("2", "2 V"),
    "-12.0 V": ("-12", "−12.0 V"),
    "– 12 V": ("-12", "−12 V"),
    "+5 V": ("5", "5 V"),
    "3 volts": ("3", "3 V"),
    "2E3 V": ("2000", "2 kV"),
    "20 mV": ("2/100", "20 mV"),
    "3/2 V": ("3/2", "3/2 V"),
    "1V5": ("3/2", "1.5 V"),  # common practice on circuit drawings, not in IEC 60062
}

SYMBOLS = {
    # text: (quantity, factor, symbol, tidy spelling)
    "C": (Quantity.CAPACITANCE, "1", "C", "C"),
    "2C": (Quantity.CAPACITANCE, "2", "C", "2C"),
    "3C": (Quantity.CAPACITANCE, "3", "C", "3C"),
    "3 C": (Quantity.CAPACITANCE, "3", "C", "3C"),
    "C/3": (Quantity.CAPACITANCE, "1/3", "C", "C/3"),
    "2 C_x/3": (Quantity.CAPACITANCE, "2/3", "C_x", "2C_x/3"),
    "C1": (Quantity.CAPACITANCE, "1", "C_1", "C_1"),
    "C_1": (Quantity.CAPACITANCE, "1", "C_1", "C_1"),
    "C₁": (Quantity.CAPACITANCE, "1", "C_1", "C_1"),
    "C_{eq}": (Quantity.CAPACITANCE, "1", "C_eq", "C_eq"),
    "1,5C": (Quantity.CAPACITANCE, "3/2", "C", "1.5C"),
    "2·C": (Quantity.CAPACITANCE, "2", "C", "2C"),
    "½C": (Quantity.CAPACITANCE, "1/2", "C", "C/2"),
    "𝐶": (Quantity.CAPACITANCE, "1", "C", "C"),
    "x": (Quantity.CAPACITANCE, "1", "x", "x"),
    "κ": (Quantity.CAPACITANCE, "1", "κ", "κ"),
    "3/2 R": (Quantity.RESISTANCE, "3/2", "R", "3R/2"),
    "(3/2) R": (Quantity.RESISTANCE, "3/2", "R", "3R/2"),
    "2R": (Quantity.RESISTANCE, "2", "R", "2R"),
    "10 R": (Quantity.RESISTANCE, "10", "R", "10·R"),
    "R1": (Quantity.RESISTANCE, "1", "R_1", "R_1"),
    "r_int": (Quantity.RESISTANCE, "1", "r_int", "r_int"),
    "V": (Quantity.EMF, "1", "V", "V"),
    "V_0": (Quantity.EMF, "1", "V_0", "V_0"),
    "V₀": (Quantity.VOLTAGE, "1", "V_0", "V_0"),
    "2V_0": (Quantity.EMF, "2", "V_0", "2V_0"),
    "V/2": (Quantity.EMF, "1/2", "V", "V/2"),
    "2·V": (Quantity.EMF, "2", "V", "2·V"),
    "-E": (Quantity.EMF, "-1", "E", "−E"),
    "2E": (Quantity.EMF, "2", "E", "2E"),
    "E3": (Quantity.EMF, "1", "E_3", "E_3"),
    "ε": (Quantity.EMF, "1", "ε", "ε"),
    "ϵ": (Quantity.EMF, "1", "ε", "ε"),
    "ℰ": (Quantity.EMF, "1", "E", "E"),
    "U_0/2": (Quantity.EMF, "1/2", "U_0", "U_0/2"),
}

NUMBERS = [
    (text, quantity, expected, spelling)
    for quantity, table in (
        (Quantity.CAPACITANCE, CAPACITANCES),
        (Quantity.RESISTANCE, RESISTANCES),
        (Quantity.EMF, VOLTAGES),
        (Quantity.VOLTAGE, VOLTAGES),
    )
    for text, (expected, spelling) in table.items()
]


@pytest.mark.parametrize(("text", "quantity", "expected", "spelling"), NUMBERS)
def test_a_number_with_a_unit_is_read_exactly_and_written_back_tidily(text, quantity, expected, spelling):
    value = read_value(text, quantity)
    assert value == Value(text, quantity, exact(expected), None)
    assert type(value.factor) is flint.fmpq
    assert tidy(value) == spelling
    assert read_value(spelling, quantity).factor == value.factor


@pytest.mark.parametrize(("text", "expected"), list(SYMBOLS.items()))
def test_a_symbol_is_read_with_its_exact_factor(text, expected):
    quantity, factor, symbol, spelling = expected
    value = read_value(text, quantity)
    assert value == Value(text, quantity, exact(factor), symbol)
    assert tidy(value) == spelling
    assert read_value(spelling, quantity) == Value(spelling, quantity, value.factor, symbol)


def test_the_case_of_m_tells_milli_from_mega():
    assert read_value("1 mΩ", Quantity.RESISTANCE).factor == flint.fmpq(1, 1000)
    assert read_value("1 MΩ", Quantity.RESISTANCE).factor == flint.fmpq(10**6)


def test_c_after_a_number_is_coulomb_only_where_a_charge_is_wanted():
    assert read_value("3 C", Quantity.CHARGE) == Value("3 C", Quantity.CHARGE, flint.fmpq(3), None)
    assert read_value("90 µC", Quantity.CHARGE).factor == flint.fmpq(9, 10**5)
    assert read_value("3 C", Quantity.CAPACITANCE).symbol == "C"


def test_answers_in_joules_amperes_and_watts_are_read_where_they_are_wanted():
    assert read_value("4.5 mJ", Quantity.ENERGY).factor == flint.fmpq(9, 2000)
    assert read_value("2 J", Quantity.WORK).factor == flint.fmpq(2)
    assert read_value("0.5 A", Quantity.CURRENT).factor == flint.fmpq(1, 2)
    assert read_value("3 watts", Quantity.POWER).factor == flint.fmpq(3)


def test_spaces_round_a_text_are_not_part_of_it():
    assert read_value("  22 µF\t", Quantity.CAPACITANCE).text == "22 µF"


@pytest.mark.parametrize("text", ["1e-30 F", "1e30 F", "1e30C", "0 F"])
def test_the_ends_of_the_range_and_zero_are_inside_it(text):
    assert read_value(text, Quantity.CAPACITANCE).text == text
