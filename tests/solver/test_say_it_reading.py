"""A line is read as the trade writes it, and every mistake is told with its place in the text."""

from __future__ import annotations

import pytest
from hypothesis import example, given
from hypothesis import strategies as st

from solver.say_it import Description, Item, LineFaults, Parallel, Series, parse, words_of
from solver.say_it.faults import DEEPEST, LONGEST, MOST
from tests.solver.say_it_trees import capacitance


def cap(value, **extras):
    return Item("capacitor", value, **extras)


def network_of(line):
    return parse(line).network


def faults_of(line):
    with pytest.raises(LineFaults) as caught:
        parse(line)
    return caught.value.faults


def only_fault(line):
    (fault,) = faults_of(line)
    return fault


MIXED = Description((Item("battery", "9 V"),), Series((cap("30 µF"), Parallel((cap("10 µF"), cap("5 µF"))))))


@pytest.mark.parametrize(
    "line",
    [
        "9 V : 30 µF + (10 µF ∥ 5 µF)",
        "9V:30uF+(10uF||5uF)",
        "9 V : 30 µF + (10 µF // 5 µF)",
        "9 V : 30 µF + (10 µF | 5 µF)",
        "9 V : (((30 µF))) + ((10 µF) ‖ 5 µF)",
        "9 V: 30 µF in series with (10 µF in parallel with 5 µF)",
        "  9 V  :  30μF  +  ( 10 µF ∥ 5 µF ) ",
        "9 V : 30 µF + [10 µF ∥ 5 µF]",
        "9 V : {30 µF + [(10 µF) parallel with 5 µF]}",
        "9 V : 30 µF series with (10 µF in parallel to 5 µF)",
        "9 V : 30 µF series (10 µF parallel 5 µF)",
    ],
)
def test_one_network_can_be_typed_in_several_ways(line):
    assert parse(line) == MIXED


def test_series_goes_with_plus_and_parallel_with_two_strokes():
    # 30·15/45 = 10 µF, and (30 + 15) µF.
    assert capacitance(network_of("30 µF + 15 µF")) == 10
    assert capacitance(network_of("30 µF ∥ 15 µF")) == 45


def test_brackets_within_the_same_joining_change_nothing():
    assert network_of("1 µF + (2 µF + 3 µF)") == network_of("(1 µF + 2 µF) + 3 µF") == network_of("1 µF + 2 µF + 3 µF")


@pytest.mark.parametrize(
    ("line", "kind", "value"),
    [
        ("4u7", "capacitor", "4.7 µF"),
        ("4k7", "resistor", "4.7 kΩ"),
        ("C", "capacitor", "C"),
        ("2C/3", "capacitor", "2C/3"),
        ("3/2 R", "resistor", "3R/2"),
        ("(2/3) kΩ", "resistor", "2/3 kΩ"),
        ("1e+3 Ω", "resistor", "1 kΩ"),
        ("3 × 10^3 Ω", "resistor", "3 kΩ"),
        ("3 × 10³ Ω", "resistor", "3 kΩ"),
        ("4,7 nF", "capacitor", "4.7 nF"),
    ],
)
def test_values_are_those_of_the_field_on_the_sheet(line, kind, value):
    assert network_of(line) == Item(kind, value)


def test_a_switch_is_a_word_and_may_have_a_name():
    assert network_of("switch + S4 = closed switch + wire") == Series(
        (Item("switch", closed=False), Item("switch", name="S4", closed=True), Item("wire"))
    )


def test_what_a_part_has_beside_its_value_stands_in_brackets_after_it():
    line = parse("9 V (inside 0.5 Ω) : 10 µF (turned, starts at 4,7 V and rated 16 V) + 1 kΩ (turned)")
    assert line.source == (Item("battery", "9 V", internal="0.5 Ω"),)
    assert line.network == Series(
        (cap("10 µF", initial="4.7 V", rated="16 V", turned=True), Item("resistor", "1 kΩ", turned=True))
    )


def test_batteries_stand_before_the_colon_in_series():
    assert [item.value for item in parse("9 V + E2 = 1.5 V : 1 kΩ").source] == ["9 V", "1.5 V"]
    assert [item.value for item in parse("3 × 1.5 V : 1 kΩ").source] == ["1.5 V"] * 3
    assert parse("V_0 : C").source == (Item("battery", "V_0"),)
    # Before the colon any symbol is an emf.
    assert parse("X_1 : C").source == (Item("battery", "X_1"),)


def test_batteries_alone_need_no_colon():
    assert parse("9 V") == parse("9 V :") == Description((Item("battery", "9 V"),), None)


def test_without_batteries_the_network_lies_between_two_open_ends():
    assert parse("C + C") == Description((), Series((cap("C"), cap("C"))))


def test_a_repeat_is_joined_as_what_it_stands_among_is():
    assert network_of("1 µF + 3 × 10 µF") == Series((cap("1 µF"), *[cap("10 µF")] * 3))
    assert network_of("1 µF ∥ 3x10 µF") == Parallel((cap("1 µF"), *[cap("10 µF")] * 3))
    pair = Series((cap("1 µF"), cap("2 µF")))
    assert network_of("C ∥ 2 * (1 µF + 2 µF)") == Parallel((cap("C"), pair, pair))


def test_a_repeat_alone_has_to_say_how():
    assert network_of("3 × 10 µF in series") == Series((cap("10 µF"),) * 3)
    assert network_of("1 µF + (3 × 10 µF in parallel)") == Series((cap("1 µF"), Parallel((cap("10 µF"),) * 3)))
    assert network_of("1 µF + 3 × 10 µF in parallel") == network_of("1 µF + (3 × 10 µF in parallel)")
    assert network_of("3 × 10 µF parallel") == network_of("3 × 10 µF in parallel")
    assert network_of("1 µF + 3 × 10 µF (rated 16 V) parallel") == network_of(
        "1 µF + (3 × 10 µF (rated 16 V) in parallel)"
    )
    assert network_of("2 × (C + 2C) series") == network_of("C + 2C + C + 2C")
    assert network_of("2 × (C + 2C) in parallel") == Parallel((Series((cap("C"), cap("2C"))),) * 2)
    fault = only_fault("9 V : 3 × 10 µF")
    assert (fault.code, fault.start, fault.end) == ("line-repeat", 6, 15)
    assert fault.instead == ("9 V : 3 × 10 µF in series", "9 V : 3 × 10 µF in parallel")
    assert all(parse(line) for line in fault.instead)


def test_plus_and_parallel_without_brackets_are_not_guessed_at():
    fault = only_fault("9 V : 30 µF + 10 µF ∥ 5 µF")
    assert fault.code == "line-mixed"
    assert fault.text == (
        "+ and ∥ are mixed here without brackets. Which is meant: (30 µF + 10 µF) ∥ 5 µF, or 30 µF + (10 µF ∥ 5 µF)?"
    )
    assert fault.instead == ("9 V : (30 µF + 10 µF) ∥ 5 µF", "9 V : 30 µF + (10 µF ∥ 5 µF)")
    # 40 and 40/3 µF of the textbook rules in series with or beside the third.
    assert [capacitance(network_of(line)) for line in fault.instead] == [pytest.approx(12.5), 10]


@pytest.mark.parametrize(
    ("line", "code", "place", "says"),
    [
        ("9 V : 30 + C", "line-value", "30", "“30” is not understood: 30 what? µF, V, Ω…"),
        ("9 V : 5 A", "line-value", "5 A", "5 A is a current; a part takes F, Ω or V."),
        ("9 V : −3 µF", "line-value", "−3 µF", "more than zero"),
        ("9 V : -3 µF", "line-value", "-3 µF", "−3 µF cannot be"),
        ("9 V : ? + C", "line-value", "?", "such as ? µF or C1 = ?"),
        ("9 V : S1 = ?", "line-value", "?", "such as ? µF or C1 = ?"),
        ("9 V : C (rated 0 V)", "line-value", "0 V", "more than zero"),
        ("9 V (inside −1 Ω) : C", "line-value", "−1 Ω", "less than zero"),
        ("9 V : C (starts at 3 µF)", "line-value", "3 µF", "3 µF is a capacitance"),
        (
            "9 V : 10 µF (red)",
            "line-extra",
            "red",
            "(starts at 3 V) or (rated 16 V) or (reversed at most 1 V) or (turned)",
        ),
        ("9 V : wire (turned)", "line-extra", "turned", "say nothing"),
        ("9 V : C (rated 1 V, rated 2 V)", "line-extra", "rated 2 V", "twice"),
        ("9 V : (C", "line-brackets", "(", "not closed"),
        ("9 V : C (rated 1 V", "line-brackets", "(", "not closed"),
        ("9 V : C)", "line-brackets", ")", "closes nothing"),
        ("9 V : ) + C", "line-brackets", ")", "closes nothing"),
        ("9 V : [C + 2C)", "line-brackets", ")", ") does not close [: brackets open and close in pairs of one kind."),
        ("9 V : C (rated 1 V]", "line-brackets", "]", "] does not close ("),
        ("9 V : C parallel", "line-repeat", "parallel", "goes with a repeat, such as 3 × 10 µF parallel."),
        ("9 V : 10 µF 16 V (rated 25 V)", "line-extra", "rated 25 V", "twice"),
        ("9 V : ( )", "line-brackets", "( )", "Nothing stands in"),
        ("9 V : + C", "line-sign", "+", "Nothing stands before this +."),
        ("9 V : C ∥", "line-sign", "∥", "Nothing stands after this ∥."),
        ("9 V : C + ∥ C", "line-sign", "+", "Nothing stands after this +."),
        ("9 V : 3 ×", "line-sign", "3 ×", "Nothing stands after this ×."),
        ("9 V : (C ∥ C)(C)", "line-sign", "", "+ for series or ∥ for parallel is missing"),
        ("9 V : (C ∥ C) C", "line-sign", " ", "+ for series or ∥ for parallel is missing"),
        ("9 V : C in series", "line-repeat", "in series", "goes with a repeat"),
        ("9 V : (C + C) in parallel", "line-repeat", "in parallel", "goes with a repeat"),
        ("9 V : 3 × 10 µF or 5 µF", "line-value", "10 µF or 5 µF", "“10 µF or 5 µF” is not understood"),
        ("9 V : 1 × C + C", "line-repeat", "1", "begins at 2"),
        ("9 V : C1 = 3 × C", "line-repeat", "C1 = 3 × C", "name of one only"),
        ("9 V : C + 3 × C1 = 2 µF", "line-repeat", "3 × C1 = 2 µF", "name of one only"),
        ("9 V : C4 = C + C4 = 2C", "line-name", "C4 = 2C", "Two parts are called C4"),
        ("9 V : 4 = 2C", "line-name", "4", "cannot be a name"),
        ("9 V : C4 = ", "line-name", "C4 =", "What is C4?"),
        ("9 V : W1 = wire", "line-name", "W1", "no name"),
        ("9 V : C : C", "line-colon", ":", "one colon"),
        (": C", "line-battery", ":", "A battery has to stand before the colon"),
        ("10 µF : C", "line-battery", "10 µF", "10 µF is a capacitor"),
        ("9 V ∥ 3 V : C", "line-battery", "9 V ∥ 3 V", "one after the other"),
        ("9 V : C + 3 V", "line-battery", "3 V", "batteries stand before the colon"),
        ("9 V : C + 300 × C", "line-too-long", "300", "200 parts"),
    ],
)
def test_a_mistake_is_told_at_its_place(line, code, place, says):
    fault = only_fault(line)
    assert fault.code == code
    assert line[fault.start : fault.end] == place
    assert says in fault.text
    assert fault.text[-1] in ".?…"


def test_a_battery_among_the_others_is_offered_a_colon():
    assert only_fault("9 V + C + 2C").instead == ("9 V : C + 2C",)
    assert only_fault("(C ∥ 2C) + 9 V").instead == ("9 V : (C ∥ 2C)",)
    assert only_fault("C ∥ 9 V").instead == ("9 V : C",)
    assert only_fault("C + 9 V + C").instead == ()


def test_several_mistakes_are_told_together_in_the_order_of_the_text():
    faults = faults_of("9 V : 30 + 4 A + C (red)")
    assert [fault.start for fault in faults] == [6, 11, 20]


def test_an_empty_line_asks_for_a_network():
    assert only_fault("  ").code == "line-empty"


def test_a_line_has_limits():
    assert only_fault("C + " * 600 + "C").code == "line-too-long"
    assert len(list(parse(f"{MOST} × C in series").network.members)) == MOST
    assert only_fault(f"{MOST} × C + C").code == "line-too-long"
    assert only_fault("20 × (20 × C in series) in series").code == "line-too-long"
    assert parse(f"{'(' * DEEPEST}C{')' * DEEPEST}").network == cap("C")
    assert only_fault("(" * LONGEST).text == f"Brackets go {DEEPEST} deep at most."


def test_no_line_is_offered_that_would_be_refused_again():
    faults = faults_of("9 V : 30 µF + 5 A ∥ C")
    assert {fault.code: fault.instead for fault in faults} == {"line-mixed": (), "line-value": ()}
    assert only_fault("9 V : (C + C ∥ C) + C ∥ C").instead == ()


_PIECES = (
    "9 V",
    " : ",
    "30 µF",
    "C",
    "C1 = ",
    "5 A",
    "30",
    " + ",
    " ∥ ",
    "(",
    ")",
    "[",
    "]",
    "{",
    "}",
    "3 × ",
    " parallel",
)


@given(st.lists(st.sampled_from(_PIECES), min_size=3, max_size=16).map("".join))
@example("9 V : 30 µF + (10 µF ∥ (5 µF + [2 µF ∥ 1 µF)))")
@example("3 × C + 5 A ∥ C")
@example("3 × 3 × C")
@example("9 V + C + 30")
def test_every_line_that_is_offered_is_read(line):
    try:
        parse(line)
    except LineFaults as refusal:
        for offered in [offered for fault in refusal.faults for offered in fault.instead]:
            parse(offered)


@given(st.text(st.sampled_from("9V 5µF+∥|/()×=:CRin series0.,e1-^switch"), max_size=40))
def test_whatever_is_typed_is_read_or_refused_within_the_text(line):
    try:
        parse(line)
        faults = ()
    except LineFaults as refusal:
        faults = refusal.faults or pytest.fail("refused without a reason")
    assert all(0 <= fault.start <= fault.end <= len(line) and fault.text for fault in faults)


def test_a_line_is_told_in_words():
    assert words_of(parse("2 × 9 V : switch + 30 µF + (C ∥ 2 × R)")) == (
        "2 batteries, a switch, 2 capacitors, 2 resistors"
    )
