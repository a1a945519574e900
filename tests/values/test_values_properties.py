"""For every value: spellings read back exactly, decimals are the rationals they say, any text has an answer."""

import time
from fractions import Fraction

import flint
from hypothesis import example, given
from hypothesis import strategies as st

from solver.kinds import KINDS
from solver.quantities import Quantity
from solver.units import PREFIXES
from solver.value_faults import LONGEST
from solver.values import Value, ValueFault, read_text, read_value, tidy

PLACES = st.sampled_from([Quantity.CAPACITANCE, Quantity.RESISTANCE, Quantity.EMF, Quantity.VOLTAGE, Quantity.CHARGE])
UNIT_SPELLINGS = {
    Quantity.CAPACITANCE: ("F", "farad", "farads"),
    Quantity.RESISTANCE: ("Ω", "\u2126", "ohm", "Ohms"),
    Quantity.EMF: ("V", "volt", "volts"),
    Quantity.VOLTAGE: ("V", "volt", "volts"),
    Quantity.CHARGE: ("C", "coulomb", "coulombs"),
}
DECIMALS = st.from_regex(r"-?[0-9]{1,9}(\.[0-9]{1,9})?", fullmatch=True)
RATIOS = st.from_regex(r"-?[0-9]{1,6}/[1-9][0-9]{0,5}", fullmatch=True)
SPACES = st.sampled_from(["", " ", "  ", "\u00a0", "\u202f"])
SIGNS = "0123456789.,-+/ eEuµμnpmkKMGRCVFΩ\u2126\u200b_{}²⁻⁶₀½·×^()LTAJWsH"
PIECES = st.sampled_from([*SIGNS, "10^", "×10⁻⁶", "ohm", "farad", "switch", "wire", "volt"])


@st.composite
def written_numbers(draw: st.DrawFn) -> tuple[str, Quantity, Fraction]:
    """A number with a unit in some spelling, its quantity, and what it is in SI units."""
    quantity = draw(PLACES)
    number = draw(DECIMALS | RATIOS)
    spelling = draw(st.sampled_from(UNIT_SPELLINGS[quantity]))
    prefix, power = draw(st.sampled_from([*PREFIXES.items(), ("u", -6), ("K", 3)]))
    shown = number.replace(".", ",") if draw(st.booleans()) else number
    ten = draw(st.none() | st.integers(-6, 6))
    raised = "" if ten is None else draw(st.sampled_from([f"e{ten}", f"×10^{ten}", f" · 10^({ten})", f" x 10**{ten}"]))
    text = f"{shown}{raised}{draw(SPACES)}{prefix}{spelling}"
    return text, quantity, Fraction(number) * Fraction(10) ** (power + (ten or 0))


@given(written_numbers())
def test_every_decimal_and_every_ratio_typed_is_exactly_that_rational(written):
    text, quantity, expected = written
    value = read_value(text, quantity)
    assert (value.factor.p, value.factor.q) == (expected.numerator, expected.denominator)
    assert value.symbol is None


@given(written_numbers())
def test_a_tidy_spelling_reads_back_as_the_same_value_and_is_its_own_tidy_spelling(written):
    text, quantity, _ = written
    value = read_value(text, quantity)
    spelling = tidy(value)
    again = read_value(spelling, quantity)
    assert again == Value(spelling, quantity, value.factor, None)
    assert tidy(again) == spelling


@given(
    st.fractions(min_value=-1000, max_value=1000, max_denominator=999),
    st.sampled_from(["C", "C_1", "C_x", "κ", "x"]),
    SPACES,
)
@example(Fraction(10), "C", "")
def test_a_symbol_with_a_factor_reads_as_that_factor_and_its_tidy_spelling_too(factor, symbol, space):
    value = read_value(f"{factor.numerator}/{factor.denominator}{space}{symbol}", Quantity.CAPACITANCE)
    assert value.factor == flint.fmpq(factor.numerator, factor.denominator)
    assert value.symbol == symbol
    assert read_value(tidy(value), Quantity.CAPACITANCE).factor == value.factor
    assert read_value(tidy(value), Quantity.CAPACITANCE).symbol == symbol


@given(st.integers(-40, 40), st.integers(1, 30), st.sampled_from(["V", "E", "R", "r", "U", "C"]))
def test_a_tidy_multiple_of_a_symbol_never_reads_as_a_unit_or_a_code(top, bottom, letter):
    place = next(kind.quantity for kind in KINDS.values() if letter in kind.symbol_letters)
    value = read_value(f"{top}/{bottom}·{letter}", place)
    again = read_value(tidy(value), place)
    assert (again.factor, again.symbol) == (flint.fmpq(top, bottom), letter)


def fault_of(text: str, place: Quantity) -> ValueFault | None:
    try:
        read_value(text, place)
    except ValueFault as fault:
        return fault
    return None


@given(st.text(max_size=70) | st.lists(PIECES, max_size=25).map("".join), PLACES)
@example("9" * 60, Quantity.EMF)
@example("1e" + "9" * 58, Quantity.EMF)
@example("1" + "/" * 59, Quantity.EMF)
@example("(" * 60, Quantity.EMF)
@example("1 000" * 12, Quantity.EMF)
def test_any_text_is_a_value_or_a_value_fault_and_answered_at_once(text, place):
    started = time.process_time()
    fault = fault_of(text, place)
    assert time.process_time() - started < 1  # it takes well under a millisecond; a runaway would take far longer
    if fault is None:
        value = read_value(text, place)
        assert read_value(tidy(value), place).factor == value.factor
    else:
        assert fault.hint != ""
        assert fault.text == text.strip()


@given(st.text(max_size=70) | st.lists(PIECES, max_size=25).map("".join))
def test_the_typing_field_has_a_line_for_any_text_and_a_fault_exactly_where_no_part_is_made(text):
    typed = read_text(text)
    assert typed.feedback != ""
    assert (typed.kind is None) == (typed.fault is not None)
    assert len(typed.tidied) <= LONGEST
    if typed.value is not None and typed.kind is not None:
        again = read_text(typed.tidied)
        assert (again.kind, again.tidied) == (typed.kind, typed.tidied)
        assert again.value is not None
        assert (again.value.factor, again.value.symbol) == (typed.value.factor, typed.value.symbol)


@given(st.text(max_size=70) | st.lists(PIECES, max_size=25).map("".join))
def test_a_value_made_in_the_typing_field_is_the_one_read_on_the_part(text):
    typed = read_text(text)
    if typed.value is not None and typed.value.quantity is not None:
        assert read_value(text, typed.value.quantity) == typed.value
