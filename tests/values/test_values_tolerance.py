"""Tolerances as people write them, and what the typing field makes of a value with one."""

import flint
import pytest
from hypothesis import given
from hypothesis import strategies as st

from solver.quantities import Quantity
from solver.tolerance_text import offered_marking, read_tolerance, split_tolerance
from solver.value_faults import ToleranceNotUnderstood, ToleranceOutOfRange
from solver.values import read_text, read_value

WRITTEN = {
    "±10 %": ("1/10", "1/10", "±10 %"),
    "10%": ("1/10", "1/10", "±10 %"),
    "+-5%": ("1/20", "1/20", "±5 %"),
    "+/- 0.5 per cent": ("1/200", "1/200", "±0.5 %"),
    "± 2,5 %": ("1/40", "1/40", "±2.5 %"),
    "−20 % +80 %": ("1/5", "4/5", "−20 +80 %"),
    "-20/+80%": ("1/5", "4/5", "−20 +80 %"),
    "+50 -10 %": ("1/10", "1/2", "−10 +50 %"),
    "-0/+100 %": ("0", "1", "−0 +100 %"),
    "±0 %": ("0", "0", "±0 %"),
}


def ratio(text: str) -> flint.fmpq:
    top, _, bottom = text.partition("/")
    return flint.fmpq(int(top), int(bottom or 1))


@pytest.mark.parametrize(("text", "down", "up", "tidy"), [(text, *rest) for text, rest in WRITTEN.items()])
def test_a_tolerance_is_read_exactly_and_written_in_one_way(text, down, up, tidy):
    tolerance = read_tolerance(text)
    assert (tolerance.down, tolerance.up, tolerance.text) == (ratio(down), ratio(up), tidy)
    assert read_tolerance(tolerance.text) == tolerance


def test_the_ends_of_a_tolerance_are_exact():
    assert read_tolerance("±10 %").ends(flint.fmpq(30, 10**6)) == (flint.fmpq(27, 10**6), flint.fmpq(33, 10**6))
    assert read_tolerance("±0.25 pF").ends(flint.fmpq(47, 10**13)) == (flint.fmpq(445, 10**14), flint.fmpq(495, 10**14))


@pytest.mark.parametrize("text", ["±100 %", "100 %", "−100 +50 %", "−10 +101 %", "250 %"])
def test_a_tolerance_that_leaves_nothing_is_refused(text):
    with pytest.raises(ToleranceOutOfRange, match="below 100 %"):
        read_tolerance(text)


@pytest.mark.parametrize("text", ["−10 %", "- 10%", "±-10 %"])
def test_a_negative_tolerance_is_refused_and_told_how_to_be_written(text):
    with pytest.raises(ToleranceNotUnderstood, match="cannot be negative"):
        read_tolerance(text)


@pytest.mark.parametrize("text", ["", "±", "±10", "%", "10", "ten %", "±1e3 %", "±10 V", "±10 % ±5 %"])
def test_what_is_no_tolerance_is_refused(text):
    with pytest.raises(ToleranceNotUnderstood, match="written like ±10 %"):
        read_tolerance(text)


TYPED = {
    "10 µF K": ("capacitor", "10 µF", "±10 %", "F makes it a capacitor, ±10 %"),
    "4,7 pF C": ("capacitor", "4.7 pF", "±0.25 pF", "F makes it a capacitor, ±0.25 pF"),
    "10 kΩ J": ("resistor", "10 kΩ", "±5 %", "Ω makes it a resistor, ±5 %"),
    # text: (kind, tidy spelling, tolerance, feedback)
    "10 µF ±10 %": ("capacitor", "10 µF", "±10 %", "F makes it a capacitor, ±10 %"),
    "10µF10%": ("capacitor", "10 µF", "±10 %", "F makes it a capacitor, ±10 %"),
    "1e-6 F 5%": ("capacitor", "1 µF", "±5 %", "read as 1 µF: a capacitor, ±5 %"),
    "1,5 kΩ +-1 %": ("resistor", "1.5 kΩ", "±1 %", "Ω makes it a resistor, ±1 %"),
    "2200 µF -20 +80%": ("capacitor", "2200 µF", "−20 +80 %", "F makes it a capacitor, −20 +80 %"),
    "C ±10 %": ("capacitor", "C", "±10 %", "the symbol C: a capacitor, ±10 %"),
    "4u7K": ("capacitor", "4.7 µF", "±10 %", "read as 4.7 µF: a capacitor, ±10 %"),
    "4k7J": ("resistor", "4.7 kΩ", "±5 %", "read as 4.7 kΩ: a resistor, ±5 %"),
    "104J": ("capacitor", "100 nF", "±5 %", "the marking means 100 nF ±5 %: a capacitor"),
    "marked 104": ("capacitor", "100 nF", None, "the marking means 100 nF: a capacitor"),
    "marked 473K": ("capacitor", "47 nF", "±10 %", "the marking means 47 nF ±10 %: a capacitor"),
    # 8.854e-12 F/m × 6 × 20e-4 m² / 0.1e-3 m
    "plates 1 m² κ 2 2 mm + κ 4 4 mm ±5 %": (
        "capacitor",
        "plates 1 m² κ 2 2 mm + κ 4 4 mm",
        "±5 %",
        "4.43 nF: a capacitor, ±5 %",
    ),
    "plates 1 m² κ 2 2 mm + κ 4 4 mm": ("capacitor", "plates 1 m² κ 2 2 mm + κ 4 4 mm", None, "4.43 nF: a capacitor"),
    "plates 1 m² 1 mm, vacuum 50 %, κ 3 50 %": (
        "capacitor",
        "plates 1 m² 1 mm, vacuum 50 %, κ 3 50 %",
        None,
        "17.7 nF: a capacitor",
    ),
    "plates 20 cm² 0.1 mm mica ±5 %": ("capacitor", "plates 20 cm² 0.1 mm mica", "±5 %", "1.06 nF: a capacitor, ±5 %"),
}


@pytest.mark.parametrize(("text", "kind", "tidy", "tolerance", "line"), [(text, *rest) for text, rest in TYPED.items()])
def test_a_value_typed_with_a_tolerance_makes_its_part_and_says_so(text, kind, tidy, tolerance, line):
    typed = read_text(text)
    assert (typed.kind, typed.tidied, typed.feedback) == (kind, tidy, line)
    assert (typed.tolerance and typed.tolerance.text) == tolerance
    assert typed.value == read_value(tidy, typed.value.quantity) or typed.value.text != tidy


REFUSED = {
    "9 V ±5 %": "a battery takes no tolerance here: only capacitors and resistors do",
    "switch 5%": "a switch takes no tolerance here: only capacitors and resistors do",
    "10 µF ±100 %": "a tolerance has to be below 100 %, or nothing would be left of the value",
    "10 µF −10 %": "a tolerance cannot be negative; write it like ±10 %",
    "22 µF ±10": "a tolerance is written like ±10 %",
    "marked 99": "a marking on a capacitor is three digits, such as 104 or 473K, or has an R in it, such as 4R7",
}


@pytest.mark.parametrize(("text", "line"), REFUSED.items())
def test_a_tolerance_in_the_wrong_place_or_size_is_refused_with_a_sentence(text, line):
    typed = read_text(text)
    assert (typed.kind, typed.feedback) == (None, line)


# What these meant before there were markings, they mean still; the marking is only offered.
@pytest.mark.parametrize(
    ("text", "kind", "tidy", "offered"),
    [
        ("104", None, "", "100 nF"),
        ("104K", "resistor", "104 kΩ", "100 nF ±10 %"),
        ("104M", "resistor", "104 MΩ", "100 nF ±20 %"),
    ],
)
def test_a_marking_that_means_something_else_is_only_offered(text, kind, tidy, offered):
    typed = read_text(text)
    assert (typed.kind, typed.tidied, typed.tolerance) == (kind, tidy, None)
    assert typed.feedback.endswith(f"; for a capacitor of {offered} type “marked {text}”")
    assert offered_marking(text) == offered


@pytest.mark.parametrize(("text", "farads"), [("104F", 104), ("4p7F", flint.fmpq(47, 10**13))])
def test_f_after_digits_is_the_farad_where_it_was_one(text, farads):
    value, tolerance = split_tolerance(text, Quantity.CAPACITANCE)
    assert tolerance is None
    assert read_value(value, Quantity.CAPACITANCE).factor == farads


@given(st.integers(0, 9999), st.integers(0, 10000))
def test_every_tolerance_in_hundredths_of_a_per_cent_keeps_its_ends(down, up):
    tolerance = read_tolerance(f"-{down / 100} +{up / 100} %")
    assert (tolerance.down, tolerance.up) == (flint.fmpq(down, 10000), flint.fmpq(up, 10000))
    assert read_tolerance(tolerance.text) == tolerance


@given(st.text(max_size=70))
def test_no_text_makes_the_reader_stumble(text):
    for place in (None, Quantity.CAPACITANCE, Quantity.RESISTANCE):
        try:
            value, _ = split_tolerance(text, place)
        except (ToleranceNotUnderstood, ToleranceOutOfRange):
            continue
        assert isinstance(value, str)
