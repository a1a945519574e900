"""Each refusal of a value really fires, with its name, its code and a hint."""

import pytest

from solver.quantities import Quantity
from solver.value_faults import Reason, with_article
from solver.values import ValueFault, ValueNotUnderstood, ValueOutOfRange, ValueWrongUnit, read_text, read_value

NOT_UNDERSTOOD = [
    ("", Quantity.CAPACITANCE, Reason.EMPTY, "type a value, such as 10 µF"),
    ("\u200b", Quantity.EMF, Reason.EMPTY, "type a value, such as 10 V"),
    ("1" * 61, Quantity.EMF, Reason.TOO_LONG, "too long: a value has at most 60 characters"),
    ("22", Quantity.CAPACITANCE, Reason.UNIT_MISSING, "22 what? For a capacitor add farads, such as 22 µF"),
    (
        "10e-6",
        Quantity.CAPACITANCE,
        Reason.UNIT_MISSING,
        "10 × 10⁻⁶ what? For a capacitor add farads, such as 10 × 10⁻⁶ F",
    ),
    ("22", Quantity.EMF, Reason.UNIT_MISSING, "22 what? For a battery add volts, such as 22 V"),
    ("-22", Quantity.EMF, Reason.UNIT_MISSING, "−22 what? For a battery add volts, such as −22 V"),
    ("22", Quantity.RESISTANCE, Reason.UNIT_MISSING, "22 what? For a resistance add ohms, such as 22 Ω"),
    ("4,70", Quantity.VOLTAGE, Reason.UNIT_MISSING, "4.70 what? For a voltage add volts, such as 4.70 V"),
    ("1/3", Quantity.ENERGY, Reason.UNIT_MISSING, "1/3 what? For an energy add joules, such as 1/3 J"),
    ("F", Quantity.CAPACITANCE, Reason.NUMBER_MISSING, "how many F? Put a number before it"),
    ("µF", Quantity.CAPACITANCE, Reason.NUMBER_MISSING, "how many µF? Put a number before it"),
    ("ohm", Quantity.RESISTANCE, Reason.NUMBER_MISSING, "how many ohm? Put a number before it"),
    ("10m", Quantity.RESISTANCE, Reason.LONE_PREFIX, "10 m what? mΩ"),
    ("k", Quantity.RESISTANCE, Reason.LONE_PREFIX, "k is short for a power of ten"),
    ("1,000,000 Ω", Quantity.RESISTANCE, Reason.SEPARATORS, "without marks between the thousands"),
    ("1.000,5 Ω", Quantity.RESISTANCE, Reason.SEPARATORS, "without marks between the thousands"),
    ("1'000 Ω", Quantity.RESISTANCE, Reason.SEPARATORS, "without marks between the thousands"),
    ("1/0 V", Quantity.EMF, Reason.DIVIDED_BY_ZERO, "nothing can be divided by zero"),
    ("C/0", Quantity.CAPACITANCE, Reason.DIVIDED_BY_ZERO, "nothing can be divided by zero"),
    ("2V/3", Quantity.EMF, Reason.VOLTS_OR_SYMBOL, "for volts put the fraction first, 2/3 V"),
    ("22 mf", Quantity.CAPACITANCE, Reason.OLD_MICRO, "22 µF or 22 mF?"),
    ("Cx", Quantity.CAPACITANCE, Reason.SUBSCRIPT, "such as C_x"),
    ("2Cx", Quantity.CAPACITANCE, Reason.SUBSCRIPT, "such as C_x"),
    ("C1 + C2", Quantity.CAPACITANCE, Reason.OTHER, "a number and a unit, such as 10 µF"),
    ("C V", Quantity.CAPACITANCE, Reason.OTHER, "a number and a unit"),
    ("1 1/2 V", Quantity.EMF, Reason.OTHER, "a number and a unit"),
    ("1½ V", Quantity.EMF, Reason.OTHER, "a number and a unit"),
    ("10 10 µF", Quantity.CAPACITANCE, Reason.OTHER, "a number and a unit"),
    ("F/2", Quantity.CAPACITANCE, Reason.OTHER, "a number and a unit"),
    ("3 mµF", Quantity.CAPACITANCE, Reason.OTHER, "a number and a unit"),
    ("C^2", Quantity.CAPACITANCE, Reason.OTHER, "a number and a unit"),
    ("C_123456789", Quantity.CAPACITANCE, Reason.OTHER, "a number and a unit"),
    ("4k7F", Quantity.CAPACITANCE, Reason.OTHER, "a number and a unit"),
    ("__import__('os')", Quantity.CAPACITANCE, Reason.OTHER, "a number and a unit"),
    ("9**9**9 V", Quantity.EMF, Reason.OTHER, "a number and a unit"),
    ("·C", Quantity.CAPACITANCE, Reason.OTHER, "a number and a unit"),
    ("-", Quantity.EMF, Reason.OTHER, "a number and a unit"),
]


@pytest.mark.parametrize(("text", "quantity", "reason", "hint"), NOT_UNDERSTOOD)
def test_a_text_that_is_no_value_is_refused_with_its_reason(text, quantity, reason, hint):
    with pytest.raises(ValueNotUnderstood) as refusal:
        read_value(text, quantity)
    assert refusal.value.reason is reason
    assert refusal.value.text == text.strip()
    assert refusal.value.place is quantity
    assert hint in refusal.value.hint
    assert refusal.value.code == "value-not-understood"


def test_every_reason_that_a_known_place_can_have_is_in_the_table():
    assert {entry[2] for entry in NOT_UNDERSTOOD} == set(Reason) - {Reason.SYMBOL_UNTOLD, Reason.ASKED}


WRONG_UNITS = [
    ("9 V", Quantity.CAPACITANCE, "voltage"),
    ("9 V", Quantity.RESISTANCE, "voltage"),
    ("10 µF", Quantity.EMF, "capacitance"),
    ("10 Ω", Quantity.VOLTAGE, "resistance"),
    ("4k7", Quantity.CAPACITANCE, "resistance"),
    ("4R7", Quantity.CAPACITANCE, "resistance"),
    ("4n7", Quantity.RESISTANCE, "capacitance"),
    ("10k", Quantity.EMF, "resistance"),
    ("3 mC", Quantity.CAPACITANCE, "charge"),
    ("3 coulombs", Quantity.CAPACITANCE, "charge"),
    ("3C", Quantity.RESISTANCE, "capacitance"),
    ("3 A", Quantity.RESISTANCE, "current"),
    ("3 J", Quantity.CAPACITANCE, "energy"),
    ("3 kW", Quantity.EMF, "power"),
    ("3 mH", Quantity.CAPACITANCE, "inductance"),
    ("50 Hz", Quantity.EMF, "frequency"),
    ("3 ms", Quantity.CAPACITANCE, "time"),
    ("3 mm", Quantity.CAPACITANCE, "length"),
    ("R", Quantity.CAPACITANCE, "resistance"),
    ("C_1", Quantity.EMF, "capacitance"),
    ("V_0", Quantity.RESISTANCE, "voltage"),
]


@pytest.mark.parametrize(("text", "quantity", "found"), WRONG_UNITS)
def test_a_value_of_another_quantity_is_refused_by_the_word_of_that_quantity(text, quantity, found):
    with pytest.raises(ValueWrongUnit) as refusal:
        read_value(text, quantity)
    assert refusal.value.found == found
    assert refusal.value.code == "value-wrong-unit"
    assert refusal.value.hint.startswith(f"{text} is {with_article(found)}; {with_article(quantity.word)} in ")


FAR_OUT = ["1e31 F", "1e-31 F", "2e30 F", "1e40 F", "-1e40 F", "1e25 MF", "1e40 C", "10^99999 F", "3 × 10⁹⁹⁹⁹ F"]
ABSURD = ["1e999999999 F", "1e-999999999 F", "0e999999999 F", "1" * 32 + " F", "C/" + "9" * 40]


@pytest.mark.parametrize("text", FAR_OUT + ABSURD)
def test_a_number_no_part_could_have_is_out_of_range(text):
    with pytest.raises(ValueOutOfRange) as refusal:
        read_value(text, Quantity.CAPACITANCE)
    assert refusal.value.code == "value-out-of-range"
    assert refusal.value.hint == "far outside anything that could be built"


def test_every_refusal_is_a_value_fault():
    assert {kind.__base__ for kind in (ValueNotUnderstood, ValueWrongUnit, ValueOutOfRange)} == {ValueFault}


@pytest.mark.parametrize(
    ("text", "hint"),
    [
        ("-5 µF", "a capacitance has to be more than zero"),
        ("0 F", "a capacitance has to be more than zero"),
        ("-C", "a capacitance has to be more than zero"),
        ("0 Ω", "a resistance has to be more than zero"),
    ],
)
def test_no_part_is_made_with_a_value_that_it_cannot_have(text, hint):
    typed = read_text(text)
    assert (typed.kind, typed.feedback, typed.fault.code) == (None, hint, "value-not-positive")


def test_an_emf_may_be_zero_or_less():
    assert [read_text(text).kind for text in ("-9 V", "0 V")] == ["battery", "battery"]
