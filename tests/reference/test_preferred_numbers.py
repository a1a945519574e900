"""Preferred numbers against IEC 60063:2015 (first edition 1952), and stepping along them."""

import flint
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from solver.preferred import SERIES, nearest_preferred, step

# IEC 60063:2015, table of the E3 to E24 series.
E3 = "1.0 2.2 4.7"
E6 = "1.0 1.5 2.2 3.3 4.7 6.8"
E12 = "1.0 1.2 1.5 1.8 2.2 2.7 3.3 3.9 4.7 5.6 6.8 8.2"
E24 = "1.0 1.1 1.2 1.3 1.5 1.6 1.8 2.0 2.2 2.4 2.7 3.0 3.3 3.6 3.9 4.3 4.7 5.1 5.6 6.2 6.8 7.5 8.2 9.1"
# From memory of the same standard's table of the E48, E96 and E192 series.
E48 = (
    "100 105 110 115 121 127 133 140 147 154 162 169 178 187 196 205 215 226 237 249 261 274 287 301 "
    "316 332 348 365 383 402 422 442 464 487 511 536 562 590 619 649 681 715 750 787 825 866 909 953"
)
E96_ONLY = (
    "102 107 113 118 124 130 137 143 150 158 165 174 182 191 200 210 221 232 243 255 267 280 294 309 "
    "324 340 357 374 392 412 432 453 475 499 523 549 576 604 634 665 698 732 768 806 845 887 931 976"
)


def tenths(table: str) -> tuple[flint.fmpq, ...]:
    return tuple(flint.fmpq(int(number.replace(".", "")), 10) for number in table.split())


def hundredths(table: str) -> list[flint.fmpq]:
    return [flint.fmpq(int(number), 100) for number in table.split()]


@pytest.mark.parametrize(("name", "table"), [("E3", E3), ("E6", E6), ("E12", E12), ("E24", E24)])
def test_the_coarse_series_are_the_standards_table(name, table):
    assert SERIES[name] == tenths(table)


def test_e48_and_e96_are_the_standards_table():
    assert list(SERIES["E48"]) == hundredths(E48)
    assert list(SERIES["E96"]) == sorted(hundredths(E48) + hundredths(E96_ONLY))


@pytest.mark.parametrize("count", [48, 96, 192])
def test_the_fine_series_are_roots_of_ten_rounded_to_three_figures_but_for_one(count):
    assert len(SERIES[f"E{count}"]) == count
    unlike = [
        number
        for i, number in enumerate(SERIES[f"E{count}"])
        # number − 0.005 ≤ 10^(i/count) < number + 0.005, raised to the count-th power, in whole numbers
        if not (int(200 * number) - 1) ** count <= 200**count * 10**i < (int(200 * number) + 1) ** count
    ]
    # IEC 60063 has 9.20 in E192, where 10^(185/192) = 9.1947…
    assert unlike == ([flint.fmpq(92, 10)] if count == 192 else [])


@pytest.mark.parametrize(
    ("coarse", "fine"), [("E3", "E6"), ("E6", "E12"), ("E12", "E24"), ("E48", "E96"), ("E96", "E192")]
)
def test_each_series_is_every_other_number_of_the_next(coarse, fine):
    assert SERIES[coarse] == SERIES[fine][::2]


@pytest.mark.parametrize(
    ("value", "series", "nearest"),
    [
        (flint.fmpq(5), "E12", flint.fmpq(47, 10)),
        (flint.fmpq(95, 10), "E12", flint.fmpq(10)),  # 10/9.5 = 1.053 < 9.5/8.2 = 1.159
        (flint.fmpq(47, 10**8), "E3", flint.fmpq(47, 10**8)),
        (flint.fmpq(1, 3), "E24", flint.fmpq(33, 100)),
    ],
)
def test_the_nearest_preferred_number_is_the_nearest_by_ratio(value, series, nearest):
    assert nearest_preferred(value, series) == nearest


@pytest.mark.parametrize(
    ("value", "by", "reached"),
    [
        (flint.fmpq(47, 10), 1, flint.fmpq(56, 10)),
        (flint.fmpq(47, 10), -1, flint.fmpq(39, 10)),
        (flint.fmpq(82, 10), 1, flint.fmpq(10)),
        (flint.fmpq(1), -1, flint.fmpq(82, 100)),
        (flint.fmpq(5), 1, flint.fmpq(56, 10)),
        (flint.fmpq(5), -1, flint.fmpq(47, 10)),
        (flint.fmpq(5), 0, flint.fmpq(5)),
        (flint.fmpq(95, 10), 1, flint.fmpq(10)),
        (flint.fmpq(1, 10**6), 24, flint.fmpq(1, 10**4)),
    ],
)
def test_a_step_goes_to_the_next_preferred_number_in_its_direction(value, by, reached):
    assert step(value, "E12", by) == reached
    assert type(step(value, "E12", by)) is flint.fmpq


@pytest.mark.parametrize("value", [flint.fmpq(0), flint.fmpq(-1)])
def test_a_value_that_is_not_positive_has_no_preferred_number(value):
    with pytest.raises(ValueError, match="preferred numbers are positive"):
        nearest_preferred(value)
    with pytest.raises(ValueError, match="preferred numbers are positive"):
        step(value, "E12", 1)


POSITIVE = st.fractions(min_value=1, max_value=10**6).map(lambda f: flint.fmpq(f.numerator, f.denominator * 10**4))


@settings(deadline=None)
@given(POSITIVE, st.sampled_from(sorted(SERIES)), st.integers(1, 200))
def test_stepping_up_and_back_down_returns_to_a_preferred_number(value, series, by):
    preferred = nearest_preferred(value, series)
    assert step(step(preferred, series, by), series, -by) == preferred


@settings(deadline=None)
@given(POSITIVE, st.sampled_from(sorted(SERIES)), st.integers(1, 40))
def test_a_step_of_many_is_many_steps_of_one_and_moves_in_its_direction(value, series, by):
    up = down = value
    for _ in range(by):
        up, down = step(up, series, 1), step(down, series, -1)
    assert (step(value, series, by), step(value, series, -by)) == (up, down)
    assert down < value < up


@settings(deadline=None)
@given(POSITIVE, st.sampled_from(sorted(SERIES)))
def test_no_preferred_number_is_nearer_than_the_nearest(value, series):
    nearest = nearest_preferred(value, series)
    distance = max(nearest / value, value / nearest)
    for other in (step(nearest, series, 1), step(nearest, series, -1)):
        assert distance <= max(other / value, value / other)
