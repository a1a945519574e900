"""Networks that are made for a comparison are drawn plainly: no line over another, room for labels."""

from __future__ import annotations

from itertools import combinations

import pytest

from solver import Sketch, battery, capacitor, solve
from solver.compare_layout import ACROSS, DOWN, in_parallel, in_series
from solver.network import conductors_of
from solver.tile_drawing import clockwise, routes

LAYOUTS = {"series": in_series, "parallel": in_parallel}
CELL = battery("W1", "12 V", "x", "y")  # named so that a wire may not be


def parts(count: int):
    return [capacitor(f"C{number}", f"{number} µF", "x", "y") for number in range(1, count + 1)]


@pytest.mark.parametrize("way", LAYOUTS)
@pytest.mark.parametrize("count", range(1, 13))
def test_no_line_runs_over_another_and_labels_have_room(way: str, count: int):
    sketch = LAYOUTS[way](CELL, parts(count), "Storm lantern", 4)
    assert Sketch.read(sketch.document()) == sketch
    found = routes(sketch)
    assert clockwise(sketch, sketch.parts, found) is not None
    middles = [found[part.name].middle for part in sketch.parts if part.kind != "wire"]
    assert all(
        abs(one[0] - other[0]) >= ACROSS or abs(one[1] - other[1]) >= DOWN for one, other in combinations(middles, 2)
    )
    across = [x for x, _ in sketch.joints.values()]
    assert max(across) - min(across) <= 6 * ACROSS
    # The battery stands left of all parts.
    assert all(middles[0][0] < middle[0] for middle in middles[1:])


@pytest.mark.parametrize("count", range(1, 13))
def test_in_series_every_conductor_between_joins_two_parts(count: int):
    sketch = in_series(CELL, parts(count), "Storm lantern", 3)
    conductor, members = conductors_of(sketch)
    assert len(members) == count + 1
    place = {joint: number for number, joint in enumerate(sketch.joints)}
    ends = [
        (conductor[place[part.start]], conductor[place[part.end]]) for part in sketch.parts if part.kind == "capacitor"
    ]
    assert all(ends[n][1] == ends[n + 1][0] for n in range(count - 1))
    cell = sketch.parts[0]
    assert (conductor[place[cell.start]], conductor[place[cell.end]]) == (ends[0][0], ends[-1][1])


@pytest.mark.parametrize("count", range(1, 13))
def test_in_parallel_there_are_two_conductors_and_every_part_joins_them_the_same_way(count: int):
    sketch = in_parallel(CELL, parts(count), "Storm lantern", 3)
    assert len(conductors_of(sketch)[1]) == 2
    solution = solve(sketch)
    assert {solution.parts[f"C{number}"].voltage.text for number in range(1, count + 1)} == {"12.0 V"}


def test_a_part_that_is_turned_has_the_other_sign():
    for lay in LAYOUTS.values():
        plain, turned = (solve(lay(CELL, parts(5), "Storm lantern", 3, names)) for names in ((), ("C2", "C5")))
        for name in ("C1", "C2", "C3", "C4", "C5"):
            same = plain.parts[name].voltage
            assert turned.parts[name].voltage == (-same if name in ("C2", "C5") else same)


def test_parts_stand_farther_apart_where_more_is_written_beside_them():
    rated = [part._replace(rated="6.3 V") for part in parts(3)]
    near, far = (in_parallel(CELL, each, "Three", 3) for each in (parts(3), rated))
    assert max(x for x, _ in far.joints.values()) > max(x for x, _ in near.joints.values())
