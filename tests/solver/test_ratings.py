"""Ratings: shares, the highest battery voltage, and what fails one after the other."""

from __future__ import annotations

import flint
import pytest
from hypothesis import given
from hypothesis import strategies as st

from solver import Sketch, battery, capacitor, resistor
from solver.ratings import failures, highest_emf, strains
from solver.solving import solve_network

# 30 µF and 15 µF in series on 9 V take 3 V and 6 V.
PAIR = (
    battery("E1", "9 V", "a", "0"),
    capacitor("C1", "30 µF", "a", "b", rated="10 V"),
    capacitor("C2", "15 µF", "b", "0", rated="5 V"),
)


def test_a_part_past_its_rating_is_told_by_its_share():
    first, second = strains(solve_network(Sketch.of(*PAIR)))
    assert (first.part, first.share, first.is_past) == ("C1", flint.fmpq(3, 10), False)
    assert (second.part, second.share, second.is_past) == ("C2", flint.fmpq(6, 5), True)


def test_the_smaller_capacitor_in_series_sets_the_limit():
    """5 V on 15 µF are 75 µC, 2.5 V on the other: 7.5 V in all; ½·75 µC·7.5 V = 281.25 µJ."""
    highest = highest_emf(Sketch.of(*PAIR), "E1")
    assert (highest.emf.exact, highest.limited_by) == (flint.fmpq(15, 2), ("C2",))
    assert (highest.charge.text, highest.energy.text) == ("75.0 µC", "281 µJ")


def test_in_parallel_the_lowest_rating_is_the_limit():
    parts = (battery("E1", "9 V", "a", "0"), capacitor("C1", "1 µF", "a", "0", rated="16 V"))
    highest = highest_emf(Sketch.of(*parts, capacitor("C2", "5 µF", "0", "a", rated="25 V")), "E1")
    assert (highest.emf.exact, highest.limited_by) == (16, ("C1",))


def test_where_nothing_is_rated_there_is_no_limit():
    assert highest_emf(Sketch.of(PAIR[0], capacitor("C1", "1 µF", "a", "0")), "E1") is None


def test_a_part_past_its_rating_whatever_the_battery_leaves_no_highest_voltage():
    charged = capacitor("C2", "1 µF", "c", "d", initial="30 V", rated="10 V")
    assert highest_emf(Sketch.of(*PAIR[:2], resistor("R1", "1 Ω", "b", "0"), charged), "E1") is None


def test_there_must_be_such_a_battery():
    with pytest.raises(KeyError):
        highest_emf(Sketch.of(*PAIR), "C1")


def test_the_part_furthest_past_its_rating_goes_first_and_the_rest_takes_it_all():
    """C2 at 6/5 of its rating goes; then C1 has all 9 V of its 10 V and holds."""
    [only] = failures(Sketch.of(*PAIR))
    assert (only.part, [(each.part, each.share) for each in only.strains]) == ("C2", [("C1", flint.fmpq(9, 10))])


def test_one_failure_leads_to_the_next_until_the_battery_is_shorted():
    """On 24 V: 8 V and 16 V; C2 goes at 16/5, then C1 has 24 V of its 10 V and goes too, across the battery."""
    first, second = failures(Sketch.of(battery("E1", "24 V", "a", "0"), *PAIR[1:]))
    assert (first.part, first.shorts) == ("C2", None)
    assert [each.share for each in first.strains] == [flint.fmpq(24, 10)]
    assert (second.part, second.shorts) == ("C1", "E1")


def test_what_holds_fails_nowhere():
    assert failures(Sketch.of(battery("E1", "7 V", "a", "0"), *PAIR[1:])) == ()


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
    highest = highest_emf(Sketch.of(battery("E1", "9 V", "j0", "0"), *capacitors), "E1")
    if all(rated is None for _, rated in parts):
        assert highest is None
        return
    emf = highest.emf.exact
    there = strains(solve_network(Sketch.of(battery("E1", f"{emf.p}/{emf.q} V", "j0", "0"), *capacitors)))
    assert max(strain.share for strain in there) == 1
    assert {strain.part for strain in there if strain.share == 1} == set(highest.limited_by)
