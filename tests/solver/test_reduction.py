"""The reduction of links to one: groups as large as they can be, innermost first, and stars where no group is left."""

from __future__ import annotations

from fractions import Fraction
from itertools import count

import flint
import pytest
from hypothesis import given
from hypothesis import strategies as st

from solver.reduction import reduced, reduced_with_stars
from solver.step_changes import Law, Link, Parallel, Series, Star, Triangle, added, removed
from tests.solver.exactly import resistance_by_elimination

RESISTANCES, CAPACITANCES = Law(Series, flint.fmpq(1)), Law(Parallel, flint.fmpq(1))


def namer():
    """Joins names; what stands for no part in particular is x0, x1 …"""
    numbers = count()
    return lambda names: "".join(names) if names else f"x{next(numbers)}"


def link(name: str, a: int, b: int, value: int = 1) -> Link:
    return Link(name, a, b, flint.fmpq(value))


def whole(links, ends, law):
    reduction = reduced(links, ends, law, namer())
    [left] = reduction.left
    return left, reduction.changes


def test_what_is_in_parallel_goes_before_what_it_is_in_series_with():
    """30 in series with 10 and 5 side by side, as capacitances: 15, then 10."""
    left, changes = whole([link("1", 0, 1, 30), link("2", 1, 2, 10), link("3", 2, 1, 5)], {0, 2}, CAPACITANCES)
    assert [type(change) for change in changes] == [Parallel, Series]
    assert [change.whole.value for change in changes] == [15, 10]
    assert (left.name, left.a, left.b) == ("123", 0, 2)


def test_a_chain_is_one_group_however_it_is_given():
    chain = [link("1", 2, 3, 4), link("2", 0, 1, 1), link("3", 1, 2, 2)]
    left, [change] = whole(chain, {0, 3}, RESISTANCES)
    assert [member.name for member in change.members] == ["1", "3", "2"]
    assert change.between == (2, 1)
    assert (left.a, left.b, left.value) == (3, 0, 7)


def test_a_group_that_grows_takes_in_what_was_put_together_before():
    """Two in series, with two in parallel in the middle of the chain: one series group of three members."""
    links = [link("1", 0, 1), link("2", 1, 2), link("3", 2, 3), link("4", 2, 3), link("5", 3, 4)]
    _, changes = whole(links, {0, 4}, RESISTANCES)
    assert [[member.name for member in change.members] for change in changes] == [["3", "4"], ["1", "2", "34", "5"]]


def test_parallel_groups_take_in_parallel_groups():
    links = [link("1", 0, 1), link("2", 0, 2), link("3", 2, 1), link("4", 1, 0)]
    _, changes = whole(links, {0, 1}, CAPACITANCES)
    assert [[member.name for member in change.members] for change in changes] == [["2", "3"], ["1", "4", "23"]]


def test_an_end_is_never_passed_through():
    links = [link("1", 0, 1), link("2", 1, 2)]
    assert reduced(links, {0, 1, 2}, RESISTANCES, namer()).left == tuple(links)


def test_a_bridge_is_not_reduced():
    bridge = [link("1", 0, 1), link("2", 1, 3), link("3", 0, 2), link("4", 2, 3), link("5", 1, 2)]
    assert reduced(bridge, {0, 3}, RESISTANCES, namer()).changes == ()


@pytest.mark.parametrize(("law", "expected"), [(RESISTANCES, (3, 2, 1)), (CAPACITANCES, (6, 4, 2))])
def test_a_triangle_is_the_star_that_measures_the_same(law, expected):
    """By hand. Sides 2, 3, 6 Ω: arms 18/11, 12/11, 6/11 Ω. Sides of 2, 3, 6 µF: the products 36 over each side."""
    sides = [flint.fmpq(number) for number in (2, 3, 6)]
    arms = law.arms(sides)
    if law is RESISTANCES:
        assert list(arms) == [flint.fmpq(6 * number, 11) for number in expected]
    else:
        assert list(arms) == [18, 12, 6]
    assert list(law.sides(arms)) == sides


positive = st.fractions(Fraction(1, 20), 50, max_denominator=20)


@given(st.tuples(positive, positive, positive), st.sampled_from([RESISTANCES, CAPACITANCES]))
def test_between_two_corners_a_star_measures_what_its_triangle_does(values, law):
    """What defines the star (A. E. Kennelly 1899), worked out from the series and parallel rules alone."""
    first, second, third = sides = [flint.fmpq(value.numerator, value.denominator) for value in values]
    arms = law.arms(sides)
    for side, others, pair in (
        (first, (second, third), (arms[1], arms[2])),
        (second, (third, first), (arms[2], arms[0])),
        (third, (first, second), (arms[0], arms[1])),
    ):
        of_triangle = law.combined(Parallel, [side, law.combined(Series, list(others))])
        assert law.combined(Series, list(pair)) == of_triangle


@st.composite
def between_two_ends(draw):
    """Links between 0 and 1 such that each lies on a way from the one to the other."""
    size = draw(st.integers(2, 6))
    pairs = [(0, 1)] if size == 2 else [(0, 2), *((node, node + 1) for node in range(2, size - 1)), (size - 1, 1)]
    for _ in range(draw(st.integers(0, 6))):
        a, b = draw(
            st.tuples(st.integers(0, size - 1), st.integers(0, size - 1)).filter(lambda pair: pair[0] != pair[1])
        )
        pairs.append((a, b))
    values = [draw(positive) for _ in pairs]
    return size, [(a, b, value) for (a, b), value in zip(pairs, values, strict=True)]


@given(between_two_ends())
def test_what_is_left_is_the_resistance_that_elimination_finds(network):
    size, edges = network
    links = [
        Link(str(place), a, b, flint.fmpq(value.numerator, value.denominator))
        for place, (a, b, value) in enumerate(edges)
    ]
    reduction = reduced_with_stars(links, {0, 1}, RESISTANCES, namer(), size)
    if len(reduction.left) == 1:
        value = reduction.left[0].value
        conductances = [(a, b, 1 / resistance) for a, b, resistance in edges]
        assert Fraction(int(value.p), int(value.q)) == resistance_by_elimination(size, conductances, 0, 1)
    else:
        assert size >= 5


@given(between_two_ends())
def test_every_change_takes_away_what_is_there(network):
    size, edges = network
    there = {
        str(place): Link(str(place), a, b, flint.fmpq(value.numerator, value.denominator))
        for place, (a, b, value) in enumerate(edges)
    }
    reduction = reduced_with_stars(list(there.values()), {0, 1}, CAPACITANCES, namer(), size)
    for change in reduction.changes:
        for own in removed(change):
            assert there.pop(own.name) == own
        there.update((own.name, own) for own in added(change))
    assert tuple(there.values()) == reduction.left


def test_a_cube_takes_triangles_for_stars():
    """A cube of 1 Ω has 5/6 Ω across its diagonal (cases.json has the source), and no triangle to begin with."""
    corners = [(a, b) for a in range(8) for b in range(a) if (a ^ b).bit_count() == 1]
    cube = [link(str(place), a, b) for place, (a, b) in enumerate(corners)]
    reduction = reduced_with_stars(cube, {0, 7}, RESISTANCES, namer(), 8)
    [left] = reduction.left
    assert left.value == flint.fmpq(5, 6)
    assert isinstance(reduction.changes[0], Triangle)


def test_what_no_plane_holds_may_stay_unreduced():
    """All of six joined to all: no star, and no triangle that leads on."""
    pairs = [(a, b) for a in range(6) for b in range(a)]
    reduction = reduced_with_stars(
        [link(str(place), a, b) for place, (a, b) in enumerate(pairs)], {0, 1}, RESISTANCES, namer(), 6
    )
    assert reduction.changes == ()


def test_the_first_triangle_change_of_a_bridge_keeps_the_order_of_its_sides():
    bridge = [link("1", 0, 1, 40), link("2", 1, 3, 10), link("3", 0, 2, 10), link("4", 2, 3, 40), link("5", 1, 2, 20)]
    first = reduced_with_stars(bridge, {0, 3}, RESISTANCES, namer(), 4).changes[0]
    assert isinstance(first, Star)
    assert [side.name for side in first.sides] == ["1", "3", "5"]
    for corner, side, arm in zip(first.corners, first.sides, first.arms, strict=True):
        assert corner not in (side.a, side.b)
        assert (arm.a, arm.b) == (corner, 4)
