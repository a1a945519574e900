"""Facts of the trade about series, parallel, sharing and energy, as properties of any values.

Common practice where no source is named. Expected values are worked out here in rationals, and agreement is exact.
"""

from __future__ import annotations

from decimal import Decimal
from fractions import Fraction
from itertools import pairwise

import flint
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from solver import Sketch, Solution, battery, capacitor, resistor, solve, switch
from solver.sketch import Part

facts = settings(deadline=None, max_examples=40)
numbers = st.decimals("0.001", "999", places=3).filter(bool).map(str)
several = st.lists(numbers, min_size=2, max_size=6)
voltages = st.decimals("-500", "500", places=2).map(str)
emfs = st.decimals("0.01", "500", places=2).map(str)
MAKERS = {"capacitor": (capacitor, "µF", Fraction(1, 10**6)), "resistor": (resistor, "kΩ", Fraction(1000))}


def number(reading) -> Fraction:
    assert isinstance(reading.exact, flint.fmpq)
    return Fraction(int(reading.exact.p), int(reading.exact.q))


def size(value: str, kind: str) -> Fraction:
    return Fraction(value) * MAKERS[kind][2]


def in_series(kind: str, values: list[str], **first: str) -> list[Part]:
    """From "a" to "0", through joints 1, 2, …; `first` is said of the first part only."""
    maker, unit, _ = MAKERS[kind]
    stops = ["a", *(str(stop) for stop in range(1, len(values))), "0"]
    return [
        maker(f"P{place}", f"{value} {unit}", start, end, **(first if place == 0 else {}))
        for place, (value, (start, end)) in enumerate(zip(values, pairwise(stops), strict=True))
    ]


def in_parallel(kind: str, values: list[str]) -> list[Part]:
    maker, unit, _ = MAKERS[kind]
    return [maker(f"P{place}", f"{value} {unit}", "a", "0") for place, value in enumerate(values)]


def total(kind: str, parts: list[Part]) -> Fraction:
    [probe] = solve(Sketch.of(*parts, probes=[("a", "0")])).probes
    return number({"capacitor": probe.capacitance, "resistor": probe.resistance}[kind])


def on_battery(emf: str, parts: list[Part]) -> Solution:
    return solve(Sketch.of(battery("E1", f"{emf} V", "a", "0"), *parts))


def each(solution: Solution, reading: str) -> list[Fraction]:
    """One reading of every part but the battery."""
    return [number(getattr(part, reading)) for name, part in solution.parts.items() if name.startswith("P")]


@facts
@given(several)
def test_capacitors_in_series_total_less_than_the_smallest(values):
    assert 0 < total("capacitor", in_series("capacitor", values)) < min(size(value, "capacitor") for value in values)


@facts
@given(several)
def test_capacitors_in_parallel_total_their_sum_more_than_the_largest(values):
    sizes = [size(value, "capacitor") for value in values]
    assert total("capacitor", in_parallel("capacitor", values)) == sum(sizes) > max(sizes)


@facts
@given(several)
def test_resistors_in_series_total_their_sum_more_than_the_largest(values):
    sizes = [size(value, "resistor") for value in values]
    assert total("resistor", in_series("resistor", values)) == sum(sizes) > max(sizes)


@facts
@given(several)
def test_resistors_in_parallel_total_less_than_the_smallest(values):
    assert 0 < total("resistor", in_parallel("resistor", values)) < min(size(value, "resistor") for value in values)


@facts
@given(numbers, st.integers(2, 12))
def test_equal_ones_total_one_divided_or_multiplied_by_their_number(value, count):
    values = [value] * count
    assert total("capacitor", in_series("capacitor", values)) == size(value, "capacitor") / count
    assert total("capacitor", in_parallel("capacitor", values)) == size(value, "capacitor") * count
    assert total("resistor", in_series("resistor", values)) == size(value, "resistor") * count
    assert total("resistor", in_parallel("resistor", values)) == size(value, "resistor") / count


@facts
@given(emfs, several)
def test_series_charges_are_equal_and_voltages_add_where_the_conductors_between_started_neutral(emf, values):
    solution = on_battery(emf, in_series("capacitor", values))
    [charge] = set(each(solution, "charge"))
    assert charge == Fraction(emf) / sum(1 / size(value, "capacitor") for value in values)
    assert sum(each(solution, "voltage")) == Fraction(emf)


@facts
@given(emfs, several, voltages)
def test_series_charges_differ_by_what_the_conductor_between_started_with(emf, values, before):
    """Equal charges need a neutral start: the first capacitor's plate brought −C·V to the conductor after it."""
    solution = on_battery(emf, in_series("capacitor", values, initial=f"{before} V"))
    first, *others = each(solution, "charge")
    assert first - others[0] == size(values[0], "capacitor") * Fraction(before)
    assert len(set(others)) == 1


@facts
@given(emfs, several)
def test_the_smaller_of_series_capacitors_takes_the_larger_voltage(emf, values):
    shares = each(on_battery(emf, in_series("capacitor", values)), "voltage")
    products = {share * size(value, "capacitor") for share, value in zip(shares, values, strict=True)}
    assert len(products) == 1


@facts
@given(emfs, several)
def test_parallel_voltages_are_equal_and_charges_add(emf, values):
    solution = on_battery(emf, in_parallel("capacitor", values))
    assert set(each(solution, "voltage")) == {Fraction(emf)}
    assert each(solution, "charge") == [size(value, "capacitor") * Fraction(emf) for value in values]
    assert sum(each(solution, "charge")) == number(solution.parts["E1"].charge)


@facts
@given(emfs, several)
def test_series_currents_are_equal_and_voltages_add(emf, values):
    solution = on_battery(emf, in_series("resistor", values))
    assert set(each(solution, "current")) == {Fraction(emf) / sum(size(value, "resistor") for value in values)}
    assert each(solution, "current")[0] == number(solution.parts["E1"].current)
    assert sum(each(solution, "voltage")) == Fraction(emf)


@facts
@given(emfs, several)
def test_parallel_currents_add_and_voltages_are_equal(emf, values):
    solution = on_battery(emf, in_parallel("resistor", values))
    assert set(each(solution, "voltage")) == {Fraction(emf)}
    assert each(solution, "current") == [Fraction(emf) / size(value, "resistor") for value in values]
    assert sum(each(solution, "current")) == number(solution.parts["E1"].current)


@facts
@given(emfs, numbers, st.integers(2, 8))
def test_equal_ones_on_one_battery_store_less_in_series_and_more_in_parallel(emf, value, count):
    one = size(value, "capacitor") * Fraction(emf) ** 2 / 2
    series = on_battery(emf, in_series("capacitor", [value] * count))
    parallel = on_battery(emf, in_parallel("capacitor", [value] * count))
    assert number(series.totals.energy) == one / count
    assert number(parallel.totals.energy) == one * count


@pytest.mark.parametrize("arrangement", [in_series, in_parallel])
@facts
@given(emfs, several, numbers)
def test_half_of_the_batterys_work_is_lost_when_charging_from_empty(arrangement, emf, values, resistance):
    """K. Lee, arXiv:1210.4155 (2012): half, whatever the resistance; here none, and one in the lead."""
    parts = arrangement("capacitor", values)
    for lead in (switch("S1", "e", "a", closed=True), resistor("R1", f"{resistance} Ω", "e", "a")):
        totals = solve(Sketch.of(battery("E1", f"{emf} V", "e", "0"), lead, *parts)).totals
        assert number(totals.lost) == number(totals.energy) == number(totals.work) / 2 > 0


@facts
@given(numbers, voltages)
def test_sharing_with_an_equal_empty_capacitor_loses_half_of_the_energy(value, before):
    """K. Lee, arXiv:1210.4155 (2012): exactly half, whatever the route."""
    charged = Fraction(before) ** 2 * size(value, "capacitor") / 2
    totals = solve(
        Sketch.of(
            capacitor("C1", f"{value} µF", "a", "0", initial=f"{before} V"),
            capacitor("C2", f"{value} µF", "b", "0"),
            switch("S1", "a", "b", closed=True),
        )
    ).totals
    assert number(totals.lost) == number(totals.energy) == charged / 2


@facts
@given(numbers, numbers, voltages, voltages)
def test_sharing_keeps_the_charge_and_loses_the_energy_of_the_difference(first, second, before_first, before_second):
    """Lost: ½·C₁C₂/(C₁+C₂)·(V₁−V₂)², signed at the terminals that are joined (derived from charge and energy).

    J. B. Tatum, Electricity and Magnetism, §5.13, has the charges after sharing from one charged part.
    """
    c1, c2 = size(first, "capacitor"), size(second, "capacitor")
    v1, v2 = Fraction(before_first), Fraction(before_second)
    solution = solve(
        Sketch.of(
            capacitor("P1", f"{first} µF", "a", "0", initial=f"{before_first} V"),
            capacitor("P2", f"{second} µF", "b", "0", initial=f"{before_second} V"),
            resistor("R1", "1 Ω", "a", "b"),
        )
    )
    assert sum(each(solution, "charge")) == c1 * v1 + c2 * v2
    assert set(each(solution, "voltage")) == {(c1 * v1 + c2 * v2) / (c1 + c2)}
    assert number(solution.totals.lost) == c1 * c2 / (c1 + c2) * (v1 - v2) ** 2 / 2 >= 0


@facts
@given(emfs, numbers, numbers, numbers, st.integers(1, 9))
def test_a_bridge_of_equal_ratios_has_no_voltage_across(emf, upper, lower, across, ratio):
    for maker, unit, _ in MAKERS.values():
        solution = on_battery(
            emf,
            [
                maker("B1", f"{upper} {unit}", "a", "p"),
                maker("B2", f"{lower} {unit}", "p", "0"),
                maker("B3", f"{Decimal(upper) * ratio} {unit}", "a", "q"),
                maker("B4", f"{Decimal(lower) * ratio} {unit}", "q", "0"),
                maker("P1", f"{across} {unit}", "p", "q"),
            ],
        )
        assert each(solution, "voltage") == [0]
