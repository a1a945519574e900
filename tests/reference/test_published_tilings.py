"""Published dissections of rectangles into squares, come out of the tiles as their authors print them.

R. L. Brooks, C. A. B. Smith, A. H. Stone, W. T. Tutte, "The dissection of rectangles into squares", Duke Math. J. 7
(1940) 312–340; A. J. W. Duijvestijn, "Simple perfect squared square of lowest order", J. Comb. Theory B 25 (1978)
240–243. The data, and the reading of them as networks, are those of the other tests here; unit parts make squares.
"""

from __future__ import annotations

import pytest

from solver import Sketch, battery, capacitor, resistor
from solver.solving import solution_of, solve_network
from solver.tiles import tiles_of
from tests.reference.test_published_graphs import SQUARED, read_code
from tests.reference.test_squared_rectangles import RECTANGLES


def places(width, code):
    """Left edge, top edge and side of each square of a code: each bracket hangs from the highest free stretch."""
    edge = [(0, width, 0)]
    squares = []
    for bracket in code.strip("[]").split("]["):
        highest = min(depth for _, _, depth in edge)
        left = min(start for start, _, depth in edge if depth == highest)
        for side in map(int, bracket.split(",")):
            squares.append((left, highest, side))
            kept = [
                (max(start, left + side) if start >= left else start, min(end, left) if start < left else end, depth)
                for start, end, depth in edge
            ]
            edge = [
                *((start, end, depth) for start, end, depth in kept if start < end),
                (left, left + side, highest + side),
            ]
            edge.sort()
            left += side
    return squares


DISSECTIONS = {
    **{title: (width, height, squares) for title, (width, height, squares) in RECTANGLES.items()},
    **{title: (width, height, places(width, code)) for title, (width, height, code) in SQUARED.items()},
}
every_dissection = pytest.mark.parametrize(("width", "height", "squares"), DISSECTIONS.values(), ids=DISSECTIONS)


def segment(squares, x, y):
    """Left and right end of the horizontal segment through a point."""
    edges = {(left, left + side) for left, top, side in squares for level in (top, top + side) if level == y}
    start = end = x
    while True:
        longer = [(a, b) for a, b in edges if a <= end and b >= start and (a < start or b > end)]
        if not longer:
            return start, end
        start, end = min(start, *(a for a, _ in longer)), max(end, *(b for _, b in longer))


def network(height, squares, kind, unit, *, mirrored=False):
    """The sketch of a dissection: a joint for every horizontal segment, drawn at its middle."""
    parts, joints = [], {}
    for left, top, side in squares:
        ends = []
        for level in (top, top + side):
            start, end = segment(squares, left + side / 2, level)
            joints[f"y{level}x{start:.0f}"] = [round(start + end) * (-1 if mirrored else 1), 2 * level]
            ends.append(f"y{level}x{start:.0f}")
        parts.append(kind(f"P{side}", unit, *ends))
    parts.append(battery("E1", f"{height} V", "y0x0", f"y{height}x0"))
    return Sketch.read({"joints": joints, "parts": [part.document() for part in parts]})


@every_dissection
def test_the_data_are_squares_that_fill_the_rectangle(width, height, squares):
    cells = [(x + i, y + j) for x, y, side in squares for i in range(side) for j in range(side)]
    assert len(cells) == len(set(cells)) == width * height
    assert set(cells) == {(x, y) for x in range(width) for y in range(height)}


@every_dissection
@pytest.mark.parametrize(("kind", "unit"), [(resistor, "1 Ω"), (capacitor, "1 F")], ids=["resistors", "capacitors"])
def test_the_tiles_are_the_printed_squares(width, height, squares, kind, unit):
    solved = solve_network(network(height, squares, kind, unit))
    [picture] = tiles_of(solved, solution_of(solved)).pictures
    assert picture.tiled
    assert (picture.width.exact, picture.height.exact) == (width, height)
    printed = {f"P{side}": (left, left + side, height - top - side, height - top) for left, top, side in squares}
    assert {tile.part: (tile.left, tile.right, tile.bottom, tile.top) for tile in picture.tiles} == printed
    assert all(tile.voltage.exact == tile.across.exact for tile in picture.tiles)


@every_dissection
def test_drawn_the_other_way_round_they_are_the_mirror_image(width, height, squares):
    solved = solve_network(network(height, squares, resistor, "1 Ω", mirrored=True))
    [picture] = tiles_of(solved, solution_of(solved)).pictures
    printed = {f"P{side}": (width - left - side, width - left) for left, _, side in squares}
    assert {tile.part: (tile.left, tile.right) for tile in picture.tiles} == printed


@every_dissection
def test_the_bars_are_the_printed_horizontal_segments(width, height, squares):
    solved = solve_network(network(height, squares, resistor, "1 Ω"))
    [picture] = tiles_of(solved, solution_of(solved)).pictures
    printed = {(height - y, *segment(squares, x + side / 2, y)) for x, top, side in squares for y in (top, top + side)}
    assert {(bar.level, bar.left, bar.right) for bar in picture.bars} == printed


def test_the_codes_read_here_and_there_are_the_same_squares():
    for width, height, code in SQUARED.values():
        squares, high = read_code(width, code)
        assert sorted(side for side, _, _ in squares) == sorted(side for _, _, side in places(width, code))
        assert high == height
