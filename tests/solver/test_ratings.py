"""Ratings: shares of what a part stands, at every moment, and what a polarised one stands the wrong way round."""

from __future__ import annotations

import math

import flint
import pytest

from solver import Sketch, battery, capacitor, resistor, switch
from solver.ratings import percent, ratings_document
from solver.sketch import Stage
from solver.solving import solve_network
from solver.stages import solve_stages
from solver.strains import strains

q = flint.fmpq
# 30 µF and 15 µF in series on 9 V take 3 V and 6 V.
PAIR = (
    battery("E1", "9 V", "a", "0"),
    capacitor("C1", "30 µF", "a", "b", rated="10 V"),
    capacitor("C2", "15 µF", "b", "0", rated="5 V"),
)


def of(*parts, **more):
    return {each.part: each for each in strains([solve_network(Sketch.of(*parts, **more))])}


def document(*parts, **more):
    sketch = Sketch.of(*parts, **more)
    return ratings_document(sketch, [solve_network(sketch)])


def test_what_the_highest_voltage_says_nothing_of_is_said():
    assert document(*PAIR)["leftOut"] == []
    others = (capacitor("C3", "1 µF", "a", "0", tolerance="±5 %"), capacitor("C4", "1 µF", "a", "0"))
    assert document(*PAIR, *others)["leftOut"] == [
        "C3 and C4 have no rating, so nothing is known of what they take.",
        "Tolerances are left out: with other values within them a capacitor may get more.",
    ]


def test_a_part_past_its_rating_is_told_by_its_share():
    found = of(*PAIR)
    assert (found["C1"].share, found["C1"].is_past) == (q(3, 10), False)
    assert (found["C2"].share, found["C2"].is_past) == (q(6, 5), True)


def test_just_at_the_rating_nothing_is_past_it():
    found = of(battery("E1", "5 V", "a", "0"), capacitor("C1", "1 µF", "a", "0", rated="5 V"))
    assert (found["C1"].share, found["C1"].is_past) == (1, False)


def test_how_a_part_without_polarity_lies_does_not_matter():
    assert of(PAIR[0], capacitor("C1", "1 µF", "0", "a", rated="10 V"))["C1"].share == q(9, 10)


def test_derating_counts_in_every_share():
    """Of 80 % of 10 V the 3 V are 3/8, of 80 % of 5 V the 6 V are 3/2."""
    found = of(*PAIR, usable=80)
    assert (found["C1"].share, found["C2"].share) == (q(3, 8), q(3, 2))
    assert document(*PAIR, usable=80)["strains"]["C2"]["sentence"].endswith(
        "150 % of 4 V usable, which are 80 % of its 5 V."
    )


def test_a_polarised_one_the_wrong_way_round_is_measured_by_its_other_limit():
    found = of(battery("E1", "1.5 V", "a", "0"), capacitor("C1", "1 µF", "0", "a", rated="16 V", reverse="1 V"))
    assert (found["C1"].share, found["C1"].is_reversed, found["C1"].is_past) == (q(3, 2), True, True)
    right = of(battery("E1", "1.5 V", "a", "0"), capacitor("C1", "1 µF", "a", "0", rated="16 V", reverse="1 V"))
    assert (right["C1"].share, right["C1"].is_reversed) == (q(3, 32), False)


def test_derating_leaves_the_reversed_limit_alone():
    parts = battery("E1", "1 V", "a", "0"), capacitor("C1", "1 µF", "0", "a", rated="16 V", reverse="1 V")
    assert of(*parts, usable=50)["C1"].share == 1


def test_a_part_may_be_past_its_rating_on_the_way_only():
    """Through 1 kΩ the battery charges 1 µF and 1 µF in series; 1 kΩ across the second empties it again.

    With u = v₂: both carry the loop's charge less what R₂ takes, so with τ = 1 ms: v₁′ = (E − v₁ − v₂)/τ and
    v₂′ = (E − v₁ − 2v₂)/τ. The rates are (3 ∓ √5)/2 per τ, and v₂ = E/√5·(exp(−λ₁t) − exp(−λ₂t)), highest at
    t = ln(λ₂/λ₁)/(λ₂ − λ₁).
    """
    low, high = (3 - math.sqrt(5)) / 2, (3 + math.sqrt(5)) / 2
    when = math.log(high / low) / (high - low)
    top = 9 / math.sqrt(5) * (math.exp(-low * when) - math.exp(-high * when))
    found = of(
        battery("E1", "9 V", "a", "0"),
        resistor("R1", "1 kΩ", "a", "b"),
        capacitor("C1", "1 µF", "b", "c"),
        capacitor("C2", "1 µF", "c", "0", rated="2 V"),
        resistor("R2", "1 kΩ", "c", "0"),
    )["C2"]
    assert float(found.voltage) == pytest.approx(top, rel=1e-9)
    assert found.time == pytest.approx(when * 1e-3, rel=1e-4)
    assert (found.in_the_end, found.is_past) == (0, True)


def test_the_moment_after_connecting_and_the_charge_before_it_count():
    """12 V on 1 µF, then shared with an empty 2 µF: 4 V each; 2 kΩ across empties both in the end."""
    parts = (
        capacitor("C1", "1 µF", "a", "0", initial="12 V", rated="10 V"),
        capacitor("C2", "2 µF", "a", "0", rated="8 V"),
        resistor("R1", "2 kΩ", "a", "0"),
    )
    found = of(*parts)
    assert (found["C1"].voltage, found["C1"].time, found["C1"].share) == (12, None, q(6, 5))
    assert (found["C2"].voltage, found["C2"].time, found["C2"].share) == (4, 0.0, q(1, 2))


def test_in_a_stage_what_the_one_before_left_counts():
    """270 µC on 30 µF at 9 V, then shared with 15 µF: 6 V on both."""
    sketch = Sketch.of(
        battery("E1", "9 V", "e", "0"),
        switch("S1", "e", "a"),
        capacitor("C1", "30 µF", "a", "0", rated="10 V"),
        switch("S2", "a", "b"),
        capacitor("C2", "15 µF", "b", "0", rated="5 V"),
        stages=[Stage(("S1",)), Stage(("S2",))],
    )
    second = solve_stages(sketch)[1]
    found = {each.part: each for each in strains([second.thrown, second.solved])}
    assert (found["C1"].share, found["C1"].in_the_end) == (q(9, 10), q(3, 5))
    assert found["C2"].share == q(6, 5)


def test_with_symbols_nothing_is_compared():
    assert of(battery("E1", "V_0", "a", "0"), capacitor("C1", "1 µF", "a", "0", rated="5 V")) == {}
    assert of(battery("E1", "9 V", "a", "0"), capacitor("C1", "1 µF", "a", "0", rated="V_r")) == {}


def test_per_cent_never_hides_that_something_is_past():
    shares = q(0), q(3, 10), q(9999, 10000), q(1), q(10001, 10000), q(6, 5)
    assert [percent(share) for share in shares] == ["0 %", "30 %", "99 %", "100 %", "over 100 %", "120 %"]


def test_sentences_tell_how_far_a_part_is_strained():
    told = document(*PAIR)["strains"]
    assert told["C1"]["sentence"] == "C1 holds: 3.00 V, 30 % of its 10 V."
    assert told["C2"]["sentence"] == "C2 is past its limit: 6.00 V, 120 % of its 5 V."
    wrong = document(battery("E1", "9 V", "a", "0"), capacitor("C1", "1 µF", "0", "a", rated="16 V", reverse="1.5 V"))
    sentence = "C1 has 9.00 V the wrong way round and stands 1.5 V reversed: too much."
    assert wrong["strains"]["C1"]["sentence"] == sentence
