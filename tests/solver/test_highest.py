"""The highest voltage of a battery that every part survives: exact at the ends of a way, proved between them."""

from __future__ import annotations

from dataclasses import replace

import flint
import pytest
from hypothesis import given
from hypothesis import strategies as st

from solver import Sketch, battery, capacitor, resistor, switch
from solver.highest import EmfNotOne, Strained, highest_emfs, rounded_down, with_emf
from solver.ratings import ratings_document
from solver.sketch import Stage
from solver.solving import solve_network
from solver.strains import strains

q = flint.fmpq
PAIR = (
    battery("E1", "9 V", "a", "0"),
    capacitor("C1", "30 µF", "a", "b", rated="10 V"),
    capacitor("C2", "15 µF", "b", "0", rated="5 V"),
)


def sentence(*parts, **more):
    sketch = Sketch.of(*parts, **more)
    return [each["sentence"] for each in ratings_document(sketch, [solve_network(sketch)])["highest"]]


def test_the_smaller_capacitor_in_series_sets_the_limit():
    """5 V on 15 µF are 75 µC, 2.5 V on the other: 7.5 V in all; ½·75 µC·7.5 V = 281.25 µJ."""
    highest, _ = highest_emfs(Sketch.of(*PAIR), "E1")
    assert (highest.emf, highest.told, highest.limited_by) == (q(15, 2), q(15, 2), ("C2",))
    assert (highest.charge, highest.energy) == (q(75, 10**6), q(28125, 10**8))
    assert sentence(*PAIR) == ["Holds up to 7.50 V; C2 limits it."]


def test_in_parallel_the_lowest_rating_is_the_limit():
    parts = (battery("E1", "9 V", "a", "0"), capacitor("C1", "1 µF", "a", "0", rated="16 V"))
    highest, _ = highest_emfs(Sketch.of(*parts, capacitor("C2", "5 µF", "0", "a", rated="25 V")), "E1")
    assert (highest.emf, highest.limited_by) == (16, ("C1",))


@pytest.mark.parametrize(
    ("rated", "unrated", "limits"),
    [(3, 0, "C1, C2 and C3 limit"), (10, 0, "all ten limit"), (10, 2, "all ten with a rating limit")],
)
def test_many_that_limit_it_together_are_not_named_one_by_one(rated, unrated, limits):
    parts = [capacitor(f"C{number + 1}", "1 µF", "a", "0", rated="16 V") for number in range(rated)]
    others = [capacitor(f"C{rated + number + 1}", "1 µF", "a", "0") for number in range(unrated)]
    assert sentence(battery("E1", "9 V", "a", "0"), *parts, *others) == [f"Holds up to 16.0 V; {limits} it."]


def test_derating_lowers_it_in_proportion():
    assert highest_emfs(Sketch.of(*PAIR, usable=80), "E1")[0].emf == 6


def test_a_polarised_part_the_wrong_way_round_limits_it_by_what_it_stands_reversed():
    """Reversed it may have 1 V, and takes two thirds of the battery's: 1.5 V."""
    turned = capacitor("C2", "15 µF", "0", "b", rated="50 V", reverse="1 V")
    highest, _ = highest_emfs(Sketch.of(*PAIR[:2], turned), "E1")
    assert (highest.emf, highest.limited_by) == (q(3, 2), ("C2",))


def test_all_else_is_as_it_is():
    """E2 gives 3 V of the 10 V that C1 may have, so E1 may give 7 V."""
    parts = battery("E1", "1 V", "a", "b"), battery("E2", "3 V", "b", "0")
    sketch = Sketch.of(*parts, capacitor("C1", "1 µF", "a", "0", rated="10 V"))
    assert highest_emfs(sketch, "E1")[0].emf == 7
    assert sentence(*sketch.parts)[0] == "With E1 it holds up to 7.00 V; C1 limits it."


def test_where_nothing_is_rated_or_depends_on_it_there_is_no_limit():
    assert highest_emfs(Sketch.of(PAIR[0], capacitor("C1", "1 µF", "a", "0")), "E1") == (None, (None,))
    apart = capacitor("C2", "1 µF", "c", "d", initial="3 V", rated="10 V")
    assert highest_emfs(Sketch.of(PAIR[0], capacitor("C1", "1 µF", "a", "0"), apart), "E1")[0] is None


def test_a_part_past_its_rating_whatever_the_battery_is_named():
    charged = capacitor("C2", "1 µF", "c", "d", initial="30 V", rated="10 V")
    sketch = Sketch.of(*PAIR[:2], resistor("R1", "1 Ω", "b", "0"), charged)
    with pytest.raises(Strained) as refusal:
        highest_emfs(sketch, "E1")
    assert refusal.value.parts == ("C2",)
    assert sentence(*sketch.parts) == ["No voltage of E1 will do: C2 is past its limit whatever E1 gives."]


def test_two_parts_that_want_opposite_voltages_leave_none():
    """E2's 12 V are too much for C1 unless E1 takes 2 V of them back, and C2 has no more than 1 V from E1."""
    sketch = Sketch.of(
        battery("E1", "1 V", "0", "a"),
        capacitor("C2", "1 µF", "0", "a", rated="1 V"),
        battery("E2", "12 V", "b", "0"),
        capacitor("C1", "1 µF", "b", "a", rated="10 V"),
    )
    with pytest.raises(Strained):
        highest_emfs(Sketch.of(*sketch.parts), "E1")


def test_there_must_be_such_a_battery():
    with pytest.raises(KeyError):
        highest_emfs(Sketch.of(*PAIR), "C1")


STAGED = (
    battery("E1", "9 V", "e", "0"),
    switch("S1", "e", "a"),
    capacitor("C1", "30 µF", "a", "0", rated="16 V"),
    switch("S2", "a", "b"),
    capacitor("C2", "15 µF", "b", "0", rated="8 V"),
)


def test_each_stage_has_its_own_and_all_together_the_lowest():
    """Charged at E, C1 holds up to 16 V. Shared, both have 30/45 of E: C2's 8 V allow 12 V."""
    sketch = Sketch.of(*STAGED, stages=[Stage(("S1",)), Stage(("S2",))])
    whole, (first, second) = highest_emfs(sketch, "E1")
    assert (first.emf, first.limited_by) == (16, ("C1",))
    assert (second.emf, second.limited_by) == (12, ("C2",))
    assert (whole.emf, [bound.stage for bound in whole.bounds][:1]) == (12, [1])
    assert whole.energy == q(1, 2) * q(45, 10**6) * 64
    said = [each["sentence"] for each in ratings_document(sketch, [solve_network(Sketch.of(*STAGED))])["highest"]]
    assert said == [
        "Holds up to 12.0 V; C2 limits it.",
        "Stage 1 holds up to 16.0 V; C1 limits it.",
        "Stage 2 holds up to 12.0 V; C2 limits it.",
    ]


def test_with_several_emfs_in_the_stages_there_is_no_single_one():
    sketch = Sketch.of(*STAGED, stages=[Stage(("S1",), (("E1", "9 V"),)), Stage(("S2",), (("E1", "3 V"),))])
    with pytest.raises(EmfNotOne):
        highest_emfs(sketch, "E1")


def test_on_the_way_the_limit_is_where_the_largest_voltage_is():
    """The pulse of test_ratings: v₂ = E/√5·(…), so the highest E is the rating over the pulse's height at 1 V."""
    parts = (
        battery("E1", "9 V", "a", "0"),
        resistor("R1", "1 kΩ", "a", "b"),
        capacitor("C1", "1 µF", "b", "c"),
        capacitor("C2", "1 µF", "c", "0", rated="2 V"),
        resistor("R2", "1 kΩ", "c", "0"),
    )
    highest, _ = highest_emfs(Sketch.of(*parts), "E1")
    at_one_volt = strains([solve_network(with_emf(Sketch.of(*parts), "E1", "1 V"))])[0].voltage
    assert float(highest.emf) == pytest.approx(float(2 / at_one_volt), rel=1e-8)
    assert highest.told <= highest.emf
    assert "after the start." in sentence(*parts)[0]


def test_what_is_told_is_never_more_than_what_holds():
    assert [rounded_down(each, 3) for each in (q(74999, 10000), q(7501, 1000), q(15, 2), q(99999, 10000))] == [
        q(749, 100),
        q(75, 10),
        q(15, 2),
        q(999, 100),
    ]


VALUES = st.sampled_from(("1 µF", "2.2 µF", "10 µF", "47 µF"))
RATED = st.sampled_from((None, "6.3 V", "16 V", "25 V"))


@given(st.lists(st.tuples(VALUES, RATED), min_size=1, max_size=5), st.booleans())
def test_at_the_highest_voltage_some_part_is_just_at_its_rating_and_none_is_past_it(parts, in_series):
    count = len(parts)
    ends = [(f"j{n}", f"j{n + 1}" if n + 1 < count else "0") if in_series else ("j0", "0") for n in range(count)]
    capacitors = [
        capacitor(f"C{n}", value, a, b, rated=rated)
        for n, ((value, rated), (a, b)) in enumerate(zip(parts, ends, strict=True))
    ]
    sketch = Sketch.of(battery("E1", "9 V", "j0", "0"), *capacitors)
    highest, _ = highest_emfs(sketch, "E1")
    if all(rated is None for _, rated in parts):
        assert highest is None
        return
    there = strains([solve_network(with_emf(sketch, "E1", f"{highest.emf.p}/{highest.emf.q} V"))])
    assert max(strain.share for strain in there) == 1
    assert {strain.part for strain in there if strain.share == 1} == set(highest.limited_by)


OHMS = st.sampled_from(("470 Ω", "1 kΩ", "3.3 kΩ"))


@given(st.lists(st.tuples(VALUES, OHMS, RATED), min_size=1, max_size=3), st.sampled_from((100, 80)))
def test_on_a_ladder_of_resistors_nothing_is_ever_past_its_limit_at_what_is_told(rungs, usable):
    """A chain of resistors with a capacitor and a resistor to earth at every knot: whatever the way, told holds."""
    parts = [battery("E1", "9 V", "k0", "0")]
    for n, (value, ohms, rated) in enumerate(rungs):
        parts.append(resistor(f"R{n}", ohms, f"k{n}", f"k{n + 1}"))
        parts.append(capacitor(f"C{n}", value, f"k{n + 1}", "0" if n % 2 else f"k{max(n - 1, 0)}", rated=rated))
        parts.append(resistor(f"S{n}", "1 kΩ", f"k{n + 1}", "0"))
    sketch = replace(Sketch.of(*parts), usable=usable)
    highest, _ = highest_emfs(sketch, "E1")
    if highest is None:
        return
    there = strains([solve_network(with_emf(sketch, "E1", f"{highest.told.p}/{highest.told.q} V"))])
    assert all(strain.share <= 1 + q(1, 10**7) for strain in there)
    beyond = highest.told + q(2, 100) * highest.told
    past = strains([solve_network(with_emf(sketch, "E1", f"{beyond.p}/{beyond.q} V"))])
    assert any(strain.is_past for strain in past)
