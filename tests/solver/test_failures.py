"""What goes after what past the ratings, each state solved by hand beside the test."""

from __future__ import annotations

import math

import flint
import pytest

from solver import Sketch, battery, capacitor, resistor, switch
from solver.failures import failures
from solver.ratings import FOR_TEACHING, failures_document
from solver.sketch import Stage

q = flint.fmpq
PAIR = (
    capacitor("C1", "30 µF", "a", "b", rated="10 V"),
    capacitor("C2", "15 µF", "b", "0", rated="5 V"),
)


SYMBOLS = ("C1", ("a", "b")), ("C2", ("b", "0"))


def shares(failure):
    return [(each.part, each.share) for each in failure.strains]


def test_the_part_furthest_past_its_rating_goes_first_and_the_rest_takes_it_all():
    """On 9 V: 3 V and 6 V, C2 at 6/5 of its 5 V. It goes; C1 has all 9 V of its 10 V and holds."""
    [only] = failures(Sketch.of(battery("E1", "9 V", "a", "0"), *PAIR))
    assert (only.part, only.time, only.voltage) == ("C2", 0.0, 6)
    assert shares(only) == [("C1", q(9, 10))]
    assert [part.kind for part in only.sketch.parts] == ["battery", "capacitor", "wire"]


def test_one_failure_leads_to_the_next_until_the_battery_is_shorted():
    """On 24 V: 8 V and 16 V; C2 goes at 16/5, then C1 has 24 V of its 10 V and goes too, across the battery."""
    first, second = failures(Sketch.of(battery("E1", "24 V", "a", "0"), *PAIR))
    assert (first.part, first.shorts, shares(first)) == ("C2", (), [("C1", q(24, 10))])
    assert (second.part, second.shorts, second.solved) == ("C1", ("E1",), None)


def test_of_parts_as_far_past_their_limits_one_is_shown_and_the_others_are_named():
    """On 12 V: 6 µF and the two of 2 and 4 µF side by side have 6 V each; C1 of 5 V goes, and both of 10 V have 12."""
    pair = [capacitor(name, value, "b", "0", rated="10 V") for name, value in (("C2", "2 µF"), ("C3", "4 µF"))]
    sketch = Sketch.of(battery("E1", "12 V", "a", "0"), capacitor("C1", "6 µF", "a", "b", rated="5 V"), *pair)
    first, second = failures(sketch)
    assert (first.part, first.alike, shares(first)) == ("C1", (), [("C2", q(6, 5)), ("C3", q(6, 5))])
    assert (second.part, second.alike) == ("C2", ("C3",))
    *_, last = failures_document(sketch, 0)["steps"]
    assert " C3 is as far past and could as well go. " in last["sentence"]


def test_what_holds_fails_nowhere_and_derating_plays_no_part():
    sketch = Sketch.of(battery("E1", "7.5 V", "a", "0"), *PAIR, usable=50)
    assert failures(sketch) == ()


def test_three_in_a_chain_go_in_the_order_of_their_shares_each_time_anew():
    """6, 3 and 2 µF on 33 V: charge 33 µC (1/(1/6 + 1/3 + 1/2) = 1 µF), so 5.5, 11 and 16.5 V.

    Of ratings 20, 10 and 12 V that is 0.275, 1.1 and 1.375: C3 goes. Two are left with 33 µC each and 33 V to share;
    2 µF takes 66 µC: 11 and 22 V, of 20 and 10 V 0.55 and 2.2: C2 goes. C1 has all 33 V of its 20 V and goes as well.
    """
    parts = [("C1", "6 µF", "20 V"), ("C2", "3 µF", "10 V"), ("C3", "2 µF", "12 V")]
    chain = [
        capacitor(name, value, f"k{n}", f"k{n + 1}" if n < 2 else "0", rated=rated)
        for n, (name, value, rated) in enumerate(parts)
    ]
    gone = failures(Sketch.of(battery("E1", "33 V", "k0", "0"), *chain))
    assert [each.part for each in gone] == ["C3", "C2", "C1"]
    assert [each.voltage for each in gone] == [q(33, 2), 22, 33]
    assert shares(gone[0]) == [("C1", q(11, 20)), ("C2", q(11, 5))]
    assert gone[2].shorts == ("E1",)


def test_a_failed_part_in_parallel_empties_the_others():
    """Charged to 12 V and left alone: C1 (10 V) shorts, and nothing is left on C2 either."""
    parts = (
        capacitor("C1", "1 µF", "a", "0", initial="12 V", rated="10 V"),
        capacitor("C2", "1 µF", "a", "0", initial="12 V", rated="16 V"),
    )
    [only] = failures(Sketch.of(*parts))
    assert (only.part, only.voltage) == ("C1", 12)
    assert shares(only) == [("C2", 0)]


def test_charging_through_a_resistor_the_rating_is_reached_in_its_time():
    """12 V through 1 kΩ on 10 µF: 8 V are there after τ·ln(12/(12 − 8)) = 10 ms · ln 3. Then R1 takes it all."""
    parts = battery("E1", "12 V", "a", "0"), resistor("R1", "1 kΩ", "a", "b")
    [only] = failures(Sketch.of(*parts, capacitor("C1", "10 µF", "b", "0", rated="8 V")))
    assert only.time == pytest.approx(0.01 * math.log(3), rel=1e-9)
    assert float(only.voltage) == pytest.approx(8, rel=1e-9)
    assert only.shorts == ()


def test_of_two_that_charge_the_one_that_gets_there_first_goes_first():
    """C1 (τ = 1 ms) reaches 5 of 9 V after ln(9/4) ms = 0.81 ms; C2 (τ = 10 ms) would reach 2 V after 2.51 ms."""
    source = battery("E1", "9 V", "a", "0")
    parts = (
        resistor("R1", "1 kΩ", "a", "b"),
        capacitor("C1", "1 µF", "b", "0", rated="5 V"),
        resistor("R2", "10 kΩ", "a", "c"),
        capacitor("C2", "1 µF", "c", "0", rated="2 V"),
    )
    first, second = failures(Sketch.of(source, *parts))
    assert (first.part, second.part) == ("C1", "C2")
    assert first.time == pytest.approx(1e-3 * math.log(9 / 4), rel=1e-9)
    # The second goes on from what it has by then: both times together are its own.
    assert first.time + second.time == pytest.approx(1e-2 * math.log(9 / 7), rel=1e-9)


def test_a_polarised_part_goes_at_its_reversed_limit():
    [only] = failures(
        Sketch.of(
            battery("E1", "9 V", "a", "0"),
            resistor("R1", "1 kΩ", "a", "b"),
            capacitor("C1", "10 µF", "0", "b", rated="16 V", reverse="1 V"),
        )
    )
    assert (only.part, only.is_reversed) == ("C1", True)
    assert float(only.voltage) == pytest.approx(-1, rel=1e-9)


def told(*parts, stage=0, **more):
    return failures_document(Sketch.of(*parts, **more), stage)


def test_the_steps_are_told_with_what_they_show_and_what_they_are_not():
    made = told(battery("E1", "24 V", "a", "0"), *PAIR)
    assert [step["title"] for step in made["steps"]] == ["As it is", "C2 goes first", "C1 goes next"]
    assert made["steps"][1]["sentence"] == (
        "C2 goes first: it has 16.0 V, and becomes a short. C1 is past its limit: 24.0 V, 240 % of its 10 V."
    )
    assert "Nothing limits the current of E1 any more" in made["steps"][2]["sentence"]
    assert made["steps"][2]["failed"] == ["C2", "C1"]
    assert made["steps"][2]["solution"] is None
    assert made["closing"] == FOR_TEACHING
    assert "for teaching" in FOR_TEACHING


def test_where_all_holds_the_battery_is_taken_just_past_what_holds():
    made = told(battery("E1", "5 V", "a", "0"), *PAIR)
    assert made["steps"][0]["title"] == "E1 just past what holds"
    assert made["steps"][0]["sentence"].startswith("Nothing is past its limit as it is, so E1 is taken to 7.51 V.")
    assert made["steps"][1]["title"] == "C2 goes first"


def test_in_a_stage_what_it_starts_with_counts():
    """270 µC shared by 30 and 15 µF: 6 V; C2, for 5 V, goes, and C1 is emptied through it."""
    parts = (
        battery("E1", "9 V", "e", "0"),
        switch("S1", "e", "a"),
        capacitor("C1", "30 µF", "a", "0", rated="10 V"),
        switch("S2", "a", "b"),
        capacitor("C2", "15 µF", "b", "0", rated="5 V"),
    )
    made = told(*parts, stages=[Stage(("S1",)), Stage(("S2",))], stage=1)
    assert [step["title"] for step in made["steps"]] == ["As it is", "C2 goes first"]
    assert "C2 goes first: it has 6.00 V" in made["steps"][1]["sentence"]


def test_with_symbols_nothing_is_told_where_what_happens_takes_time():
    """C1, charged to V, discharges through R1: how high V is nobody knows, and nothing is followed."""
    made = told(resistor("R1", "1 Ω", "a", "b"), capacitor("C1", "1 F", "a", "b", initial="V", rated="5 V"))
    assert [step["title"] for step in made["steps"]] == ["As it is"]


def test_with_symbols_what_is_past_its_limit_at_once_goes():
    """Two of C in series have half of 9 V each, whatever C is: past the 4 V of both."""
    parts = battery("E1", "9 V", "a", "0"), *(capacitor(name, "C", *ends, rated="4 V") for name, ends in SYMBOLS)
    first, *_ = failures(Sketch.of(*parts))
    assert (first.part, first.voltage, first.alike) == ("C1", q(9, 2), ("C2",))
    assert first.solved.outcome.network.capacitors[0].name == "C2"
