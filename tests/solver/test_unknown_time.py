"""Values marked “?” are found from what a reading is after a time, and in the stage that the sketch shows."""

from __future__ import annotations

from dataclasses import replace

import mpmath
import pytest
from hypothesis import given
from hypothesis import strategies as st

from solver import Sketch, SketchFaults, battery, capacitor, resistor, switch
from solver.answers import answers_of
from solver.sketch import Part, Question, Requirement, Stage
from solver.solving import solve_network
from solver.unknown import Found, find

E1 = battery("E1", "12 V", "e", "0")
R1 = resistor("R1", "?", "e", "a")
C1 = capacitor("C1", "10 mF", "a", "0")


def required(*parts: Part, of: tuple[str, ...] = (), more: tuple[tuple[str, ...], ...] = ()) -> Found:
    return find(Sketch.of(*parts, required=[Requirement(*each) for each in (of, *more)]))


def number(found: Found, place: int = 0) -> float:
    return float(found.values[place].value)


def refusal(*parts: Part, of: tuple[str, ...]) -> str:
    with pytest.raises(SketchFaults) as caught:
        required(*parts, of=of)
    [fault] = caught.value.faults
    return fault.text


def test_a_resistance_comes_from_a_logarithm():
    """A sixth of the way is left after 10 s: R = 10 s/(10 mF · ln 6)."""
    found = required(E1, R1, C1, of=("C1.voltage", "10 V", "10 s"))
    with mpmath.workdps(30):
        assert number(found) == pytest.approx(float(mpmath.mpf(1000) / mpmath.log(6)), rel=1e-14)
    assert not found.values[0].exact
    [nearest] = {each.reading.text for each in found.values[0].preferred if each.value.text == "560 Ω"}
    # 12 V·(1 − e^(−1000/560))
    assert nearest == "9.99 V"


def test_a_share_is_one_of_the_end_whatever_that_is():
    """With R2 the end depends on R1, but 80 % of it leave a fifth of the way: τ = 10 s/ln 5 = R1·R2/(R1 + R2)·C."""
    found = required(E1, R1, resistor("R2", "2 kΩ", "a", "0"), C1, of=("C1.voltage", "80 %", "10 s"))
    seen = 1000 / float(mpmath.log(5))
    assert number(found) == pytest.approx(1 / (1 / seen - 1 / 2000), rel=1e-13)


def test_a_capacitance_and_an_emf_come_from_a_time_too():
    found = required(
        E1, resistor("R1", "2 kΩ", "e", "a"), capacitor("C1", "?", "a", "0"), of=("C1.voltage", "80 %", "10 s")
    )
    assert number(found) == pytest.approx(10 / (2000 * float(mpmath.log(5))), rel=1e-14)
    found = required(
        battery("E1", "?", "e", "0"), resistor("R1", "2 kΩ", "e", "a"), C1, of=("C1.voltage", "5 V", "10 s")
    )
    assert number(found) == pytest.approx(5 / float(1 - mpmath.exp(-mpmath.mpf(1) / 2)), rel=1e-14)


def test_a_time_constant_is_required_exactly():
    found = required(E1, R1, C1, of=("time constant", "15 s"))
    assert (found.values[0].text, found.values[0].exact) == ("1.5 kΩ", True)


def test_where_the_unknown_stands_inside_and_outside_the_exponential_it_is_closed_in_upon():
    """The end, 12 V·2/(R + 2), and τ both depend on R (in kΩ)."""
    found = required(E1, R1, resistor("R2", "2 kΩ", "a", "0"), C1, of=("C1.voltage", "5 V", "10 s"))
    ohms = mpmath.findroot(
        lambda r: 12 * 2 / (r + 2) * (1 - mpmath.exp(-10 / (10 * 2 * r / (r + 2)))) - 5, mpmath.mpf("1.4")
    )
    assert number(found) == pytest.approx(float(ohms) * 1000, rel=1e-12)


def test_nearly_all_of_the_emf_takes_a_small_resistor():
    """12 V·2/(R + 2) = 11.9 V (R in kΩ): after 10 s not 10⁻²⁵ of the way to the end is left."""
    found = required(E1, R1, resistor("R2", "2 kΩ", "a", "0"), C1, of=("C1.voltage", "11.9 V", "10 s"))
    assert number(found) == pytest.approx(1000 * (24 / 11.9 - 2), rel=1e-12)


def test_with_several_time_constants_it_is_closed_in_upon_too():
    """What is found makes the reading what was required, by the curves of the network with the value put in."""
    ladder = (E1, R1, C1, resistor("R2", "1 kΩ", "a", "b"), capacitor("C2", "1 mF", "b", "0"))
    found = required(*ladder, of=("C2.voltage", "5 V", "10 s"))
    solved = solve_network(found.sketch)
    [answer] = answers_of([Question("C2.voltage", None, "10 s")], solved)
    assert float(answer.value) == pytest.approx(5, rel=1e-10)


def test_two_unknowns_may_have_one_requirement_in_time():
    """80 % after 10 s is R·C = 10 s/ln 5; 12 mC on 12 V is 1 mF."""
    found = required(
        E1,
        R1,
        capacitor("C1", "?", "a", "0"),
        of=("C1.voltage", "80 %", "10 s"),
        more=(("C1.charge", "12 mC"),),
    )
    assert number(found) == pytest.approx(10 / float(mpmath.log(5)) / 1e-3, rel=1e-12)
    assert number(found, 1) == pytest.approx(1e-3, rel=1e-12)


def test_a_stage_is_asked_about_from_the_charges_that_the_one_before_left():
    """12 V on 1 mF fall to 6 V in 2 s: R2 = 2 s/(1 mF · ln 2)."""
    parts = (
        E1,
        switch("S1", "e", "a"),
        capacitor("C1", "1 mF", "a", "0"),
        switch("S2", "a", "b"),
        resistor("R2", "?", "b", "0"),
    )
    sketch = Sketch.of(
        *parts, required=[Requirement("C1.voltage", "6 V", "2 s")], stages=[Stage(("S1",)), Stage(("S2",))]
    )
    assert number(find(replace(sketch, stage=1))) == pytest.approx(2000 / float(mpmath.log(2)), rel=1e-14)


def test_a_value_of_a_later_stage_is_found_from_charge_that_is_kept():
    """12 V on 1 mF are 12 mC; shared down to 4 V they take 3 mF, so the other has 2 mF."""
    parts = (
        E1,
        switch("S1", "e", "a"),
        capacitor("C1", "1 mF", "a", "0"),
        switch("S2", "a", "b"),
        capacitor("C2", "?", "b", "0"),
    )
    stages = [Stage(("S1",)), Stage(("S2",))]
    sketch = Sketch.of(*parts, required=[Requirement("C1.voltage", "4 V")], stages=stages)
    assert find(replace(sketch, stage=1)).values[0].text == "2 mF"


def test_a_gap_marked_in_a_stage_is_put_into_that_stage():
    """9 V on 10 µF, taken off, fall to 3 V where 90 µC stand on 30 µF."""
    parts = (battery("E1", "9 V", "e", "0"), switch("S1", "e", "a"), capacitor("C1", "?", "a", "0"))
    stages = [Stage(("S1",), (("C1", "10 µF"),)), Stage((), (("C1", "?"),))]
    sketch = replace(Sketch.of(*parts, required=[Requirement("C1.voltage", "3 V")], stages=stages), stage=1)
    found = find(sketch)
    assert found.values[0].text == "30 µF"
    assert [dict(stage.settings) for stage in found.sketch.stages] == [{"C1": "10 µF"}, {"C1": "30 µF"}]


@pytest.mark.parametrize(
    ("parts", "of", "text"),
    [
        (
            (E1, R1, C1),
            ("C1.voltage", "13 V", "10 s"),
            "No resistor can do this: on its way from 0 V to 12.0 V the voltage of C1 is never 13 V after 10 s.",
        ),
        (
            (E1, R1, C1),
            ("C1.voltage", "-13 V", "10 s"),
            "No resistor can do this: on its way from 0 V to 12.0 V the voltage of C1 is never −13 V after 10 s.",
        ),
        (
            (E1, resistor("R1", "2 kΩ", "e", "a"), C1, resistor("R2", "?", "e", "0")),
            ("C1.voltage", "5 V", "10 s"),
            "No resistor can do this: whatever R2 is, the voltage of C1 is not 5 V after 10 s.",
        ),
        (
            (E1, R1, resistor("R2", "2 Ω", "a", "0"), capacitor("C1", "10 mF", "a", "0")),
            ("C1.voltage", "12 V", "10 s"),
            "No resistor can do this: from the smallest resistor to the largest the voltage of C1 is never 12 V after "
            "10 s.",
        ),
        (
            (E1, R1, C1),
            ("E1.work", "1 J", "2 s"),
            "The work of E1 after a time cannot be required here: it has no course over time here.",
        ),
        (
            (E1, R1, C1),
            ("C1.voltage", "1 V", "2 V"),
            "The voltage of C1 after a time cannot be required here: “2 V” is not understood as a time: 2 V is a "
            "voltage; a time in seconds goes here.",
        ),
        (
            (E1, capacitor("C1", "?", "e", "0")),
            ("C1.voltage", "1 V", "2 s"),
            "The voltage of C1 after a time cannot be required here: no capacitor has to take up or give away "
            "charge here.",
        ),
        (
            (E1, R1, C1, resistor("R2", "1 kΩ", "a", "b"), capacitor("C2", "1 mF", "b", "0")),
            ("time constant", "5 s"),
            "The time constant cannot be required here: the network has several time constants.",
        ),
    ],
)
def test_what_a_time_cannot_tell_is_said_in_words(parts, of, text):
    assert refusal(*parts, of=of) == text


@given(st.integers(1, 99), st.integers(1, 400), st.integers(1, 900))
def test_the_resistance_that_is_found_makes_the_reading_what_was_required(percent, tenths, microfarads):
    store = capacitor("C1", f"{microfarads} µF", "a", "0")
    found = required(E1, R1, store, of=("C1.voltage", f"{percent} %", f"{tenths}e-1 s"))
    solved = solve_network(found.sketch)
    [answer] = answers_of([Question("C1.voltage", None, f"{tenths}e-1 s")], solved)
    assert float(answer.value) == pytest.approx(0.12 * percent, rel=1e-12)
