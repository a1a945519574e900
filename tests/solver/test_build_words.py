"""A build is written back as it is read, and its gap steps through preferred numbers."""

from __future__ import annotations

import pytest

from solver.build_words import build_words
from solver.gap_ladder import gap_ladder
from solver.geometry import read_build

BUILDS = {
    "plates 20 cm2 0,1 mm": "plates 20 cm² 0.1 mm air",
    "PLATES 20 cm^2 1/3 mm Mica": "plates 20 cm² 1/3 mm mica",
    "plates 1 m² ptfe 50 um + κ = 2.50 at 12 MV/m 1e-3 cm": "plates 1 m² teflon 50 µm + κ 2.50 at 12 MV/m 1e-3 cm",
    "plates 1 m² 50 µm, mica 25 %, air ¾": "plates 1 m² 50 µm, mica 1/4, air 3/4",
    "spheres 3 cm 4 cm": "spheres 3 cm 4 cm air",
    "cylinders 1 mm 4 mm 50 cm κ 2.5": "cylinders 1 mm 4 mm 50 cm κ 2.5",
    "sphere 6370 km vacuum": "sphere 6370 km vacuum",
}


@pytest.mark.parametrize(("typed", "tidy"), BUILDS.items())
def test_a_build_in_words_reads_as_the_same_build(typed, tidy) -> None:
    build = read_build(typed)
    assert build_words(build) == tidy
    again = read_build(tidy)
    assert (again.shape, again.sizes, again.stacked) == (build.shape, build.sizes, build.stacked)
    assert again.capacitance == build.capacitance
    assert again.breakdown() == build.breakdown()


@pytest.mark.parametrize("typed", BUILDS)
def test_every_rung_of_the_ladder_is_a_build_with_a_wider_gap_than_the_one_before(typed) -> None:
    ladder = gap_ladder(read_build(typed))
    assert ladder.texts[ladder.position] == BUILDS[typed]
    capacitances = [read_build(text).capacitance for text in ladder.texts]
    falling = sorted(capacitances, reverse=not typed.startswith("sphere "))
    assert capacitances == falling
    assert len(set(capacitances)) == len(capacitances) > 20


def test_the_gap_steps_through_preferred_numbers_in_its_own_unit() -> None:
    """0.082, 0.10 and 0.12 are neighbours in the E12 series of IEC 60063."""
    ladder = gap_ladder(read_build("plates 20 cm² 0.1 mm"))
    next_to = ladder.texts[ladder.position - 1 : ladder.position + 2]
    assert next_to == ("plates 20 cm² 0.082 mm air", "plates 20 cm² 0.1 mm air", "plates 20 cm² 0.12 mm air")


def test_of_layers_the_last_one_steps_and_of_spheres_the_outer_one_which_stays_outside() -> None:
    layered = gap_ladder(read_build("plates 20 cm² mica 0.2 mm + air 0.1 mm"))
    assert layered.texts[layered.position + 1] == "plates 20 cm² mica 0.2 mm + air 0.12 mm"
    spheres = gap_ladder(read_build("spheres 3 cm 4 cm"))
    assert spheres.texts[:3] == ("spheres 3 cm 3.3 cm air", "spheres 3 cm 3.9 cm air", "spheres 3 cm 4 cm air")
