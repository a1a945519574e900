"""On any planar network the rectangles fill one rectangle, exactly: no gap, no overlap, twice the energy in area."""

from __future__ import annotations

from fractions import Fraction

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from solver import Sketch, solve
from tests.solver.strategies import networks
from tests.solver.tilings import KINDS, assert_on_bars, assert_tiled, drawn_networks, exact, planar_networks, tiles


@pytest.mark.parametrize(("kind", "unit"), KINDS, ids=["capacitors", "resistors"])
@given(data=st.data())
@settings(max_examples=60, deadline=None)
def test_a_planar_network_between_two_conductors_is_tiled_exactly(kind, unit, data):
    sketch = data.draw(planar_networks(kind, unit))
    made = tiles(sketch)
    assert len(made.pictures) <= 1
    for picture in made.pictures:
        assert_tiled(picture)
        assert_on_bars(picture)


@given(sketch=drawn_networks())
@settings(max_examples=100, deadline=None)
def test_a_plane_drawing_is_tiled_exactly(sketch):
    for picture in tiles(sketch).pictures:
        assert_tiled(picture)
        assert_on_bars(picture)


@given(sketch=drawn_networks())
@settings(max_examples=40, deadline=None)
def test_all_areas_together_are_twice_the_energy(sketch):
    stored = solve(sketch).totals.energy
    area = sum(
        (exact(tile.right) - exact(tile.left)) * (exact(tile.top) - exact(tile.bottom))
        for picture in tiles(sketch).pictures
        for tile in picture.tiles
    )
    assert area == 2 * (exact(stored.exact) if stored else Fraction(0))


@given(sketch=drawn_networks())
@settings(max_examples=40, deadline=None)
def test_turning_every_part_round_moves_no_rectangle(sketch):
    turned = sketch.document()
    for part in turned["parts"]:
        if part["kind"] == "capacitor":
            part["from"], part["to"] = part["to"], part["from"]
    for before, after in zip(tiles(sketch).pictures, tiles(Sketch.read(turned)).pictures, strict=True):
        places = {tile.part: (tile.left, tile.right, tile.bottom, tile.top) for tile in before.tiles}
        assert {tile.part: (tile.left, tile.right, tile.bottom, tile.top) for tile in after.tiles} == places
        ways = {tile.part: tile.turned for tile in before.tiles if tile.across.value}
        assert all(tile.turned is not ways[tile.part] for tile in after.tiles if tile.part in ways)


@given(sketch=networks())
@settings(max_examples=100, deadline=None)
def test_any_network_has_each_part_in_one_picture_or_in_a_note(sketch):
    made = tiles(sketch)
    solution = solve(sketch)
    shown = [tile.part for picture in made.pictures for tile in picture.tiles]
    assert len(shown) == len(set(shown))
    for picture in made.pictures:
        quantity = "charge" if picture.kind == "capacitor" else "current"
        assert picture.tiled or picture.note.endswith("side by side, at common scales.")
        for tile in picture.tiles:
            readings = solution.parts[tile.part]
            assert exact(tile.right) - exact(tile.left) == abs(exact(getattr(readings, quantity).exact))
            assert exact(tile.top) - exact(tile.bottom) == abs(exact(readings.voltage.exact))
        if picture.tiled:
            assert_tiled(picture)
    for part in sketch.parts:
        if part.kind in ("capacitor", "resistor") and part.name not in shown:
            readings = solution.parts[part.name]
            assert readings.voltage.value == 0
            assert made.notes
