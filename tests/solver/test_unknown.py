"""Values marked “?” are found exactly from what readings have to be, or it is said why there are none."""

from __future__ import annotations

import pytest
from hypothesis import assume, given
from hypothesis import strategies as st

from solver import Sketch, SketchFaults, battery, capacitor, resistor, solve
from solver.reading_keys import reading_at
from solver.sketch import Requirement, Stage
from solver.unknown import Found, find

E1 = battery("E1", "9 V", "a", "0")
TWO = (E1, capacitor("C1", "?", "a", "b"), capacitor("C2", "10 µF", "b", "0"))


def found(*parts, **required: str) -> Found:
    """`C2_voltage="4 V"` requires the reading C2.voltage to be 4 V."""
    requirements = [Requirement(key.replace("_", "."), value) for key, value in required.items()]
    return find(Sketch.of(*parts, required=requirements))


def refusal(*parts, **required: str) -> SketchFaults:
    with pytest.raises(SketchFaults) as caught:
        found(*parts, **required)
    [fault] = caught.value.faults
    return fault


def test_a_voltage_tells_the_capacitance_in_series_with_it():
    """40 µC on 10 µF at 4 V; the other has the same charge at 5 V: 8 µF."""
    [value] = found(*TWO, C2_voltage="4 V").values
    assert (value.part, value.text, value.exact, value.others) == ("C1", "8 µF", True, ())
    nearest = [(each.series, each.value.text, each.reading.text) for each in value.preferred]
    # 9 V · 6.8/16.8 = 3.643 V, 9 V · 8.2/18.2 = 4.055 V
    assert nearest == [("E6", "6.80 µF", "3.64 V"), ("E12", "8.20 µF", "4.05 V"), ("E24", "8.20 µF", "4.05 V")]


def test_the_sketch_comes_back_with_the_value_in_it():
    answer = found(*TWO, C2_voltage="4 V").sketch
    assert solve(answer).parts["C2"].voltage.exact == 4
    assert answer.required == ()


def test_an_energy_may_leave_two_values():
    """20 µJ on C1 beside 5 µF: Q = 45C/(C + 5) µC, Q² = 40C, so C² − 40.625C + 25 = 0: 0.625 and 40."""
    [value] = found(E1, capacitor("C1", "?", "a", "b"), capacitor("C2", "5 µF", "b", "0"), C1_energy="20 µJ").values
    assert (value.text, [other.text for other in value.others]) == ("625 nF", ["40.0 µF"])


def test_what_is_not_rational_comes_to_fifteen_figures():
    """½·C·(9·5/(C + 5))² = 10: C² − 91.25C + 25 = 0, whose smaller root is (91.25 − √8226.5625)/2."""
    [value] = found(E1, capacitor("C1", "?", "a", "b"), capacitor("C2", "5 µF", "b", "0"), C1_energy="10 µJ").values
    assert not value.exact
    assert float(value.value) * 1e6 == pytest.approx((91.25 - 8226.5625**0.5) / 2, rel=1e-13)


def test_two_unknowns_take_two_requirements():
    """18 µC at 4 V are 4.5 µF, at the other 5 V 3.6 µF."""
    answer = found(
        E1, capacitor("C1", "?", "a", "b"), capacitor("C2", "?", "b", "0"), C2_voltage="4 V", E1_charge="18 µC"
    )
    assert [value.text for value in answer.values] == ["3.6 µF", "4.5 µF"]


def test_an_emf_and_a_resistance_can_be_asked_for():
    assert (
        found(battery("E1", "?", "a", "0"), resistor("R1", "2 kΩ", "a", "0"), R1_power="8 mW").values[0].text == "4 V"
    )
    assert found(E1, resistor("R1", "?", "a", "b"), resistor("R2", "5 Ω", "b", "0"), R2_current="1 A").values[
        0
    ].text == ("4 Ω")


def test_a_part_drawn_the_other_way_round_needs_no_minus():
    [value] = found(E1, capacitor("C1", "?", "b", "a"), capacitor("C2", "10 µF", "0", "b"), C2_voltage="4 V").values
    assert value.text == "8 µF"


def test_between_two_joints_and_in_all_can_be_required():
    parts = (capacitor("C1", "?", "a", "b"), capacitor("C2", "10 µF", "b", "0"))
    equivalent = find(Sketch.of(*parts, required=[Requirement("probe a 0.capacitance", "5 µF")]))
    assert equivalent.values[0].text == "10 µF"
    assert found(*TWO, total_energy="202.5 µJ").values[0].text == "10 µF"


@pytest.mark.parametrize(
    ("parts", "required", "text"),
    [
        (
            TWO,
            {"E1_equivalent": "12 µF"},
            "No capacitor can do this: in series the total is always below 10.0 µF; it would take −60.0 µF.",
        ),
        (
            TWO,
            {"C2_voltage": "12 V"},
            "No capacitor can do this: the voltage of C2 stays between 0 V and 9.00 V, whatever C1 is; it would take "
            "−40.0 µF.",
        ),
        (
            (E1, capacitor("C1", "?", "a", "0"), capacitor("C2", "4 µF", "a", "0")),
            {"E1_equivalent": "3 µF"},
            "No capacitor can do this: in parallel the total is always above 4.00 µF; it would take −1.00 µF.",
        ),
        (
            (E1, capacitor("C1", "?", "a", "0"), capacitor("C2", "4 µF", "a", "0")),
            {"C2_voltage": "3 V"},
            "No capacitor can do this: the voltage of C2 is 9.00 V whatever C1 is.",
        ),
        (
            (E1, capacitor("C1", "?", "a", "0"), capacitor("C2", "4 µF", "a", "0")),
            {"C2_voltage": "9 V"},
            "The voltage of C2 does not depend on C1, so it cannot tell what C1 must be.",
        ),
        (
            TWO,
            {"C7_voltage": "9 V"},
            "There is no “voltage of C7” among the readings of this sheet, so it cannot be required.",
        ),
        (
            TWO,
            {"C2_voltage": "9 V", "C1_voltage": "1 V"},
            "One value is asked for with “?” and 2 readings are required: there have to be as many of one as of the "
            "other, at most two.",
        ),
        (TWO, {}, "Now say which reading you want: C1 follows from it."),
        (TWO, {"C2_voltage": " "}, "Now say what the voltage of C2 has to be: C1 follows from it."),
        (
            (E1, capacitor("C1", "?", "a", "b"), capacitor("C2", "?", "b", "0")),
            {"C2_voltage": "3 V"},
            "Now say which other reading you want: C1 and C2 follow from the two together.",
        ),
        (
            (E1, capacitor("C1", "?", "a", "b"), capacitor("C2", "C", "b", "0")),
            {"C1_voltage": "3 V"},
            "“C” is not understood as the value of C2: with a “?” on the sheet all other values have to be numbers.",
        ),
        (
            TWO,
            {"C2_voltage": "9 µF"},
            "“9 µF” is not understood as the voltage of C2 of the sheet: 9 µF is a capacitance; a voltage in volts "
            "goes here.",
        ),
    ],
)
def test_what_cannot_be_found_is_said(parts, required, text):
    assert refusal(*parts, **required).text == text


BOTH = (capacitor("C1", "?", "a", "b"), capacitor("C2", "?", "b", "0"))
BESIDE = (capacitor("C1", "?", "a", "0"), capacitor("C2", "?", "a", "0"))


@pytest.mark.parametrize(
    ("parts", "required", "pairs"),
    [
        # Voltages in series are as 1/C: C1 : C2 = 6 : 3, whatever they are.
        (BOTH, {"C1_voltage": "3 V", "C2_voltage": "6 V"}, "C1 = 1 µF and C2 = 500 nF, or C1 = 2 µF and C2 = 1 µF"),
        # 7.5 µC at 9 V are 5/6 µF: 1/C1 + 1/C2 = 6/5, as for 1 and 5 µF.
        (BOTH, {"C1_charge": "7.5 µC", "C2_charge": "7.5 µC"}, "C1 = 1 µF and C2 = 5 µF, or C1 = 5 µF and C2 = 1 µF"),
        (
            BESIDE,
            {"E1_equivalent": "10 µF", "E1_charge": "90 µC"},
            "C1 = 1 µF and C2 = 9 µF, or C1 = 2 µF and C2 = 8 µF",
        ),
        (BESIDE, {"C1_charge": "9 µC", "C1_energy": "40.5 µJ"}, "C1 = 1 µF and C2 = 1 µF, or C1 = 1 µF and C2 = 2 µF"),
    ],
)
def test_two_requirements_that_say_the_same_leave_many_pairs(parts, required, pairs):
    fault = refusal(E1, *parts, **required)
    assert (fault.code, fault.parts) == ("requirements-alike", ("C1", "C2"))
    assert fault.text == (
        f"The two readings do not settle C1 and C2: many pairs of values have both, such as {pairs}. Require another "
        "reading instead of one of the two."
    )


def test_two_requirements_that_contradict_each_other_have_no_pair():
    fault = refusal(E1, *BOTH, C1_voltage="3 V", C2_voltage="5 V")
    assert fault.text == (
        "No two capacitors can do this: no positive values of C1 and C2 make all that is required true together."
    )


@pytest.mark.parametrize("typed", ["?", "10 µF"])
def test_a_symbol_beside_the_question_mark_of_a_part_is_refused_wherever_the_question_is_asked(typed):
    lone = capacitor("C1", typed, "a", "b", initial="V")
    stages = () if typed == "?" else (Stage(settings=(("C1", "?"),)),)
    with pytest.raises(SketchFaults) as caught:
        find(Sketch.of(lone, stages=stages, required=[Requirement("C1.charge", "3 C")]))
    assert [fault.text for fault in caught.value.faults] == [
        "“V” is not understood as the value of C1: with a “?” on the sheet all other values have to be numbers."
    ]


VALUES = st.sampled_from(("1 µF", "2.2 µF", "4.7 µF", "10 µF", "33 µF"))
JOINTS = ("a", "b", "c", "0")
PAIRS = [(one, other) for place, one in enumerate(JOINTS) for other in JOINTS[place + 1 :]]


@given(st.dictionaries(st.sampled_from(PAIRS), VALUES, min_size=2), st.data())
def test_the_value_that_was_taken_away_is_found_again(network, data):
    """Any network on four joints: a value is asked for with the voltage that it gives some part."""
    capacitors = [capacitor(f"C{n}", value, a, b) for n, ((a, b), value) in enumerate(network.items())]
    sketch = Sketch.of(E1, *capacitors)
    asked, read = data.draw(st.sampled_from(capacitors)), data.draw(st.sampled_from(capacitors))
    voltage = solve(sketch).parts[read.name].voltage.exact
    question = Sketch.of(
        E1,
        *(capacitor(part.name, "?" if part is asked else part.value, part.start, part.end) for part in capacitors),
        required=[Requirement(f"{read.name}.voltage", f"{voltage.p}/{voltage.q} V")],
    )
    try:
        answer = find(question)
    except SketchFaults as refused:
        assume(refused.faults[0].code != "requirement-idle")
        raise
    again = solve(answer.sketch)
    assert abs(reading_at(again, f"{read.name}.voltage").exact) == abs(voltage)
