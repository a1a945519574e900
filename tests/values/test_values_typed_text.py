"""What the typing field makes of a text, and what it says."""

import flint
import pytest

from solver.quantities import Quantity
from solver.value_faults import Reason
from solver.values import TypedText, Value, ValueNotUnderstood, ValueWrongUnit, read_text

MADE = {
    # text: (kind, tidy spelling, feedback)
    "22 µF": ("capacitor", "22 µF", "F makes it a capacitor"),
    "22uF": ("capacitor", "22 µF", "F makes it a capacitor"),
    "9 V": ("battery", "9 V", "V makes it a battery"),
    "2V": ("battery", "2 V", "V makes it a battery"),
    "1,5 kΩ": ("resistor", "1.5 kΩ", "Ω makes it a resistor"),
    "22uf": ("capacitor", "22 µF", "read as 22 µF: a capacitor"),
    "5 ohm": ("resistor", "5 Ω", "read as 5 Ω: a resistor"),
    "1e-6 F": ("capacitor", "1 µF", "read as 1 µF: a capacitor"),
    "4k7": ("resistor", "4.7 kΩ", "read as 4.7 kΩ: a resistor"),
    "4u7": ("capacitor", "4.7 µF", "read as 4.7 µF: a capacitor"),
    "590R": ("resistor", "590 Ω", "read as 590 Ω: a resistor"),
    "22u": ("capacitor", "22 µF", "read as 22 µF: a capacitor"),
    "4.7 k": ("resistor", "4.7 kΩ", "read as 4.7 kΩ: a resistor"),
    "1,500 Ω": ("resistor", "1.500 Ω", "decimal comma, read as 1.500 Ω: a resistor"),
    "C": ("capacitor", "C", "the symbol C: a capacitor"),
    "2C": ("capacitor", "2C", "2 × the symbol C: a capacitor"),
    "3 C": ("capacitor", "3C", "3 × the symbol C: a capacitor"),
    "C/3": ("capacitor", "C/3", "1/3 × the symbol C: a capacitor"),
    "2R": ("resistor", "2R", "2 × the symbol R: a resistor; for ohms type 2 Ω"),
    "3/2 R": ("resistor", "3R/2", "3/2 × the symbol R: a resistor"),
    "r": ("resistor", "r", "the symbol r: a resistor"),
    "V": ("battery", "V", "the symbol V: a battery"),
    "V₀": ("battery", "V_0", "the symbol V_0: a battery"),
    "-E": ("battery", "−E", "−1 × the symbol E: a battery"),
    "U": ("battery", "U", "the symbol U: a battery"),
    "ε": ("battery", "ε", "the symbol ε: a battery"),
}


@pytest.mark.parametrize(("text", "kind", "spelling", "line"), [(text, *entry) for text, entry in MADE.items()])
def test_the_text_alone_decides_the_kind_of_part_and_says_so(text, kind, spelling, line):
    typed = read_text(text)
    assert (typed.kind, typed.tidied, typed.feedback) == (kind, spelling, line)
    assert (typed.fault, typed.closed) == (None, None)


def test_the_value_comes_with_its_quantity_and_its_exact_factor():
    assert read_text("22 µF").value == Value("22 µF", Quantity.CAPACITANCE, flint.fmpq(22, 10**6), None)
    assert read_text("2·V").value == Value("2·V", Quantity.EMF, flint.fmpq(2), "V")


@pytest.mark.parametrize(
    ("text", "expected"),
    [
        ("", TypedText("wire", None, "Enter makes it a wire")),
        ("  ", TypedText("wire", None, "Enter makes it a wire")),
        ("wire", TypedText("wire", None, "a wire", "wire")),
        ("Switch", TypedText("switch", None, "a switch; a click opens and closes it", "switch", closed=False)),
        ("open  switch", TypedText("switch", None, "an open switch; a click opens and closes it", "switch", False)),
        (
            "closed switch",
            TypedText("switch", None, "a closed switch; a click opens and closes it", "closed switch", True),
        ),
    ],
)
def test_a_word_makes_a_switch_or_a_wire_and_nothing_makes_a_wire(text, expected):
    assert read_text(text) == expected


@pytest.mark.parametrize(
    ("text", "line"),
    [
        ("22", "22 what? µF, V, Ω…"),
        ("4,7", "4.7 what? µF, V, Ω…"),
        ("10e-6", "10 × 10⁻⁶ what? F, V, Ω…"),
        (" ? ", "? of what? For a value that is to be found type ? µF, ? V or ? Ω"),
        ("10m", "10 m what? mF, mV, mΩ"),
        ("µF", "how many µF? Put a number before it"),
        ("sw", "switch makes it a switch"),
        ("close", "closed switch makes it a switch"),
        ("capac", "a capacitor is told by its value, such as 10 µF"),
        ("battery", "a battery is told by its value, such as 9 V"),
        ("x", "x could stand for anything: begin with C, R or V, such as C_x"),
        ("hello", "a number and a unit, such as 22 µF, 9 V or 1.5 kΩ, or the word switch"),
        ("3 A", "3 A is a current; a part takes F, Ω or V"),
        ("1e999999999 F", "far outside anything that could be built"),
        ("x" * 61, "too long: a value has at most 60 characters"),
    ],
)
def test_a_text_that_makes_no_part_yet_is_met_with_a_way_on(text, line):
    typed = read_text(text)
    assert (typed.kind, typed.value, typed.tidied, typed.feedback) == (None, None, "", line)


def test_what_is_wrong_comes_with_a_text_that_makes_no_part():
    assert type(read_text("3 A").fault) is ValueWrongUnit
    untold = read_text("x").fault
    assert isinstance(untold, ValueNotUnderstood)
    assert untold.reason is Reason.SYMBOL_UNTOLD


@pytest.mark.parametrize("final", ["22 µF", "1.5 kΩ", "closed switch", "2 C_x/3", "4.7×10⁻⁶ F", "-12,5 V"])
def test_every_beginning_of_a_text_has_a_line_short_enough_for_the_field(final):
    lines = [read_text(final[:length]).feedback for length in range(len(final) + 1)]
    assert all(0 < len(line) <= 90 for line in lines)
