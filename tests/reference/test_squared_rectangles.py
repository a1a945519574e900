"""Rectangles cut into unequal squares, as networks: every square's side comes out as an exact whole number.

R. L. Brooks, C. A. B. Smith, A. H. Stone, W. T. Tutte, "The dissection of rectangles into squares", Duke Math. J. 7
(1940) 312-340: each horizontal segment is a conductor, each square a unit part between the segments at its top and
bottom, and as many volts stand across as the rectangle is high. The two simple perfect rectangles of nine squares are
from memory, so the test checks first that the squares fill them. Larger ones are among the published cases.
"""

from __future__ import annotations

import flint
import pytest

from solver import Sketch, battery, capacitor, resistor, solve

# Width, height; left edge, top edge and side of each square.
RECTANGLES = {
    "33 × 32": (33, 32, [(0, 0, 18), (18, 0, 15), (18, 15, 7), (25, 15, 8), (0, 18, 14), (14, 18, 4), (14, 22, 10),
                         (24, 22, 1), (24, 23, 9)]),
    "69 × 61": (69, 61, [(0, 0, 36), (36, 0, 33), (36, 33, 5), (41, 33, 28), (0, 36, 25), (25, 36, 9), (34, 36, 2),
                         (34, 38, 7), (25, 45, 16)]),
}  # fmt: skip
every_rectangle = pytest.mark.parametrize(("width", "height", "squares"), RECTANGLES.values(), ids=RECTANGLES)


def segment(squares, x, y):
    """The name of the horizontal segment that passes through a point: its height, and its left end."""
    edges = [(left, left + side) for left, top, side in squares for level in (top, top + side) if level == y]
    start = x
    while lefts := [left for left, right in edges if left < start <= right]:
        start = min(lefts)
    return f"h{y}_{start}"


def ends(squares):
    """For every square its side and the segments at its top and bottom."""
    return [(side, segment(squares, x, y), segment(squares, x, y + side)) for x, y, side in squares]


@every_rectangle
def test_the_squares_are_unequal_and_fill_the_rectangle(width, height, squares):
    cells = [(x + i, y + j) for x, y, side in squares for i in range(side) for j in range(side)]
    assert len(cells) == len(set(cells)) == width * height
    assert {(x, y) for x in range(width) for y in range(height)} == set(cells)
    assert len({side for _, _, side in squares}) == len(squares) == 9


@every_rectangle
def test_currents_in_resistors_of_1_ohm_are_the_sides(width, height, squares):
    parts = [resistor(f"R{side}", "1 Ω", top, bottom) for side, top, bottom in ends(squares)]
    solution = solve(Sketch.of(battery("E1", f"{height} V", "h0_0", f"h{height}_0"), *parts))
    assert [solution.parts[f"R{side}"].current.exact for _, _, side in squares] == [side for _, _, side in squares]
    assert solution.parts["E1"].current.exact == width
    assert solution.parts["E1"].equivalent.exact == flint.fmpq(height, width)


@every_rectangle
def test_charges_of_capacitors_of_1_farad_are_the_sides(width, height, squares):
    parts = [capacitor(f"C{side}", "1 F", top, bottom) for side, top, bottom in ends(squares)]
    solution = solve(Sketch.of(battery("E1", f"{height} V", "h0_0", f"h{height}_0"), *parts))
    assert [solution.parts[f"C{side}"].charge.exact for _, _, side in squares] == [side for _, _, side in squares]
    assert solution.parts["E1"].charge.exact == width
    assert solution.parts["E1"].equivalent.exact == flint.fmpq(width, height)
