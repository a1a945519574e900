"""Capacitors from their build: capacitance, field and breakdown, and builds that cannot be."""

from __future__ import annotations

import contextlib
from math import log, pi

import flint
import pytest
from hypothesis import given
from hypothesis import strategies as st

from solver import Sketch, battery, capacitor, solve
from solver.geometry import VACUUM_PERMITTIVITY, BuildFault, is_build, read_build

E0 = float(VACUUM_PERMITTIVITY)


@pytest.mark.parametrize(
    ("text", "farads"),
    [
        ("plates 2 m² 1 mm vacuum", 2 * E0 / 1e-3),
        ("plates 20 cm2 50 µm mica", 6 * E0 * 20e-4 / 50e-6),
        ("spheres 3 cm 6 cm vacuum", 4 * pi * E0 / (1 / 0.03 - 1 / 0.06)),
        ("cylinders 1 mm 4 mm 50 cm κ 2.5", 2 * pi * E0 * 2.5 * 0.5 / log(4)),
        ("sphere 15 cm vacuum", 4 * pi * E0 * 0.15),
        ("plates 1 m² κ 2 1 mm + κ 4 1 mm", E0 / (1e-3 / 2 + 1e-3 / 4)),
        ("plates 1 m² 1 mm, κ 2 1/4, κ 4 75 %", E0 * (2 * 0.25 + 4 * 0.75) / 1e-3),
        ("Plates 1 m^2 1,0 mm", 1.00059 * E0 / 1e-3),
    ],
)
def test_the_capacitance_of_a_build(text, farads):
    assert float(read_build(text).capacitance) == pytest.approx(farads, rel=1e-14)


def test_layers_are_the_series_network_that_they_are():
    parts = (
        capacitor("C1", "plates 30 cm² mica 0.2 mm", "a", "b"),
        capacitor("C2", "plates 30 cm² air 0.1 mm", "b", "0"),
    )
    series = solve(Sketch.of(battery("E1", "9 V", "a", "0"), *parts))
    layered = read_build("plates 30 cm² mica 0.2 mm + air 0.1 mm")
    assert series.parts["E1"].equivalent.exact == layered.capacitance
    fields = layered.fields(flint.fmpq(9))
    thickness = (flint.fmpq(2, 10**4), flint.fmpq(1, 10**4))
    voltages = [series.parts[name].voltage.exact for name in ("C1", "C2")]
    assert [field * d for field, d in zip(fields, thickness, strict=True)] == voltages


def test_strips_are_the_parallel_network_that_they_are():
    parts = (capacitor("C1", "plates 10 cm² 0.2 mm mica", "a", "0"), capacitor("C2", "plates 20 cm² 0.2 mm", "a", "0"))
    parallel = solve(Sketch.of(battery("E1", "9 V", "a", "0"), *parts))
    strips = read_build("plates 30 cm² 0.2 mm, mica 1/3, air 2/3")
    assert parallel.parts["E1"].equivalent.exact == strips.capacitance


def test_a_dielectric_breaks_down_at_its_strength_times_the_gap():
    """1.00 mm of air at 3 kV and of Teflon at 60 kV: OpenStax, College Physics, section 19.5."""
    assert read_build("plates 1 m² 1.00 mm air").breakdown() == 3000
    assert read_build("plates 1 m² 1.00 mm Teflon").breakdown() == 60_000
    assert read_build("plates 1 m² 1 mm vacuum").breakdown() is None


def test_an_air_gap_beside_a_solid_fails_first():
    """The air's field is 6.0/1.00059 times that in the mica; at 3 MV/m it carries 300 V, the mica 2·300 V·1.00059/6."""
    breakdown = read_build("plates 1 m² mica 0.2 mm + air 0.1 mm").breakdown()
    assert float(breakdown) == pytest.approx(300 + 2 * 300 * 1.00059 / 6, rel=1e-15)


def test_the_field_is_largest_at_the_inner_conductor():
    """V·b/(a·(b − a)) between spheres, V/(a·ln(b/a)) between cylinders."""
    assert float(read_build("spheres 3 cm 6 cm").fields(flint.fmpq(90))[0]) == pytest.approx(90 * 6 / (0.03 * 3))
    field = read_build("cylinders 1 mm 4 mm 50 cm").fields(flint.fmpq(90))[0]
    assert float(field) == pytest.approx(90 / (1e-3 * log(4)))


def test_a_material_of_one_s_own_may_have_a_strength():
    assert read_build("plates 1 m² 2 mm κ 6 at 12 MV/m").breakdown() == 24_000


@pytest.mark.parametrize(
    ("text", "told"),
    [
        ("plates", "an area, such as 20 cm² goes here"),
        ("plates 2 m² ", "a gap, such as 0.1 mm, goes here"),
        ("plates 2 m 1 mm", "an area, such as 20 cm² goes here, with its unit"),
        ("plates 2 m² 1 m²", "a gap, such as 0.1 mm goes here, with its unit"),
        ("plates 2 m² 0 mm", "a size has to be more than zero"),
        ("plates 2 m² 1 mm jam", "“jam” is not in the table: air, mica, paper …, or a constant of your own, κ 6"),
        ("plates 2 m² 1 mm air jam", "“jam” is too much"),
        ("plates 2 m² 1 mm κ 0.5", "no dielectric constant is less than 1"),
        ("plates 2 m² 1 mm, air 1/3, mica 1/3", "the shares of the area have to add up to 1"),
        ("plates 2 m² 1 mm, air 3/2, mica 1/3", "a share of the area lies between 0 and 1"),
        ("plates 2 m² air 1/0 mm", "nothing can be divided by zero"),
        ("plates 1e9999 m² 1 mm", "far outside anything that could be built"),
        ("plates 1e300 m² 1 mm", "far outside anything that could be built"),
        ("spheres 4 cm 3 cm", "the outer radius has to be larger than the inner one"),
        ("sphere", "a radius, such as 10 cm goes here"),
        ("plates 1 m² 1 mm κ 6 at 12", "a strength is in MV/m"),
        ("cube 3 cm", "begin with plates, spheres, cylinders or sphere"),
    ],
)
def test_what_is_no_build_is_told(text, told):
    with pytest.raises(BuildFault) as caught:
        read_build(text)
    assert str(caught.value) == told


def test_only_the_words_for_shapes_begin_a_build():
    assert [is_build(text) for text in ("plates", "Plates 1 m²", "sphere 1 m", "22 µF", "", "spherical")] == [
        True,
        True,
        True,
        False,
        False,
        False,
    ]


@given(st.text(max_size=40))
def test_no_text_breaks_the_reader(text):
    with contextlib.suppress(BuildFault):
        assert read_build(f"plates 1 m² {text}").capacitance > 0
