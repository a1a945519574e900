"""The ladder a value is dragged along."""

from itertools import pairwise

import flint
import pytest
from hypothesis import given
from hypothesis import strategies as st

from solver.preferred import Ladder, ladder
from solver.quantities import Quantity
from solver.values import read_value


def climb(text: str, quantity: Quantity, each_way: int = 3, series: str = "E12") -> Ladder:
    return ladder(read_value(text, quantity), quantity, series, each_way)


def test_a_preferred_value_stands_among_its_neighbours():
    assert climb("22 µF", Quantity.CAPACITANCE) == Ladder(
        ("12 µF", "15 µF", "18 µF", "22 µF", "27 µF", "33 µF", "39 µF"), 3, preferred=True
    )


def test_a_value_between_preferred_numbers_stands_between_them():
    assert climb("5 kΩ", Quantity.RESISTANCE, 2) == Ladder(
        ("3.9 kΩ", "4.7 kΩ", "5 kΩ", "5.6 kΩ", "6.8 kΩ"), 2, preferred=False
    )


def test_the_value_itself_is_in_its_tidy_spelling():
    assert climb("4u70", Quantity.CAPACITANCE, 1).texts == ("3.9 µF", "4.70 µF", "5.6 µF")


def test_the_prefix_changes_along_the_ladder():
    assert climb("1 µF", Quantity.CAPACITANCE, 2, "E6").texts == ("470 nF", "680 nF", "1 µF", "1.5 µF", "2.2 µF")


def test_the_ladder_ends_at_femto_and_below_a_thousand_giga():
    assert climb("1.2 fF", Quantity.CAPACITANCE).texts[:2] == ("1 fF", "1.2 fF")
    assert climb("680 GΩ", Quantity.RESISTANCE).texts[-1] == "820 GΩ"


def test_volts_step_through_zero_in_whole_volts_with_the_common_cells():
    assert climb("1 V", Quantity.EMF).texts == ("−1.5 V", "−1 V", "0 V", "1 V", "1.5 V", "2 V", "3 V")
    assert climb("30 V", Quantity.EMF, 2).texts == ("28 V", "29 V", "30 V", "35 V", "40 V")
    assert climb("100 V", Quantity.VOLTAGE, 2).texts == ("90 V", "95 V", "100 V", "110 V", "120 V")


def test_small_voltages_step_in_their_own_prefix():
    assert climb("20 mV", Quantity.EMF, 1).texts == ("19 mV", "20 mV", "21 mV")


def test_a_symbol_steps_through_its_multiples_and_parts():
    assert climb("C", Quantity.CAPACITANCE, 2).texts == ("C/3", "C/2", "C", "2C", "3C")
    assert climb("3/2 R", Quantity.RESISTANCE, 1) == Ladder(("R", "3R/2", "2R"), 1, preferred=False)
    assert climb("V", Quantity.EMF, 1).texts == ("V/2", "V", "2·V")


@pytest.mark.parametrize("text", ["0 F", "-3 µF", "-C", "0C"])
def test_what_is_not_above_zero_has_no_ladder_of_preferred_numbers(text):
    assert climb(text, Quantity.CAPACITANCE) == Ladder((), None, preferred=False)


@given(
    st.from_regex(r"[1-9][0-9]{0,3}(\.[0-9]{1,2})? (p|n|µ|m)F", fullmatch=True),
    st.sampled_from(["E3", "E6", "E12", "E24", "E48", "E96", "E192"]),
)
def test_a_ladder_rises_and_holds_its_value_where_it_says(text, series):
    rungs = climb(text, Quantity.CAPACITANCE, 10, series)
    factors = [read_value(rung, Quantity.CAPACITANCE).factor for rung in rungs.texts]
    assert all(lower < upper for lower, upper in pairwise(factors))
    assert factors[rungs.position] == read_value(text, Quantity.CAPACITANCE).factor
    assert (len(factors), rungs.position) == (21, 10)


@given(st.integers(-2000, 2000), st.sampled_from(["V", "mV", "kV"]))
def test_a_ladder_of_volts_rises_and_holds_its_value(number, unit):
    rungs = climb(f"{number} {unit}", Quantity.EMF, 5)
    factors = [read_value(rung, Quantity.EMF).factor for rung in rungs.texts]
    assert all(lower < upper for lower, upper in pairwise(factors))
    scale = {"V": flint.fmpq(1), "mV": flint.fmpq(1, 1000), "kV": flint.fmpq(1000)}[unit]
    assert factors[rungs.position] == number * scale
