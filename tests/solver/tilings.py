"""What a tiling must be, checked on exact coordinates; and sketches to be tiled."""

from __future__ import annotations

from fractions import Fraction
from itertools import combinations

from hypothesis import strategies as st

from solver import Sketch, battery, capacitor, resistor, wire
from solver.solving import solution_of, solve_network
from solver.tiles import Tiles, tiles_of
from tests.solver.strategies import values, written


def tiles(sketch) -> Tiles:
    """The tiles of a sketch or of a sketch document."""
    solved = solve_network(sketch if isinstance(sketch, Sketch) else Sketch.read(sketch))
    return tiles_of(solved, solution_of(solved))


def exact(scalar) -> Fraction:
    return Fraction(int(scalar.p), int(scalar.q))


def box(tile) -> tuple[Fraction, Fraction, Fraction, Fraction]:
    """Left, right, bottom, top."""
    return exact(tile.left), exact(tile.right), exact(tile.bottom), exact(tile.top)


def assert_tiled(picture) -> None:
    """The rectangles lie in the large one, cover as much as it has, and no two overlap: so there is no gap either."""
    assert picture.tiled
    width, height = exact(picture.width.exact), exact(picture.height.exact)
    boxes = [box(tile) for tile in picture.tiles]
    floor = min(bottom for _, _, bottom, _ in boxes)
    for left, right, bottom, top in boxes:
        assert 0 <= left <= right <= width
        assert floor <= bottom <= top <= floor + height
    assert sum((right - left) * (top - bottom) for left, right, bottom, top in boxes) == width * height
    for one, other in combinations(boxes, 2):
        assert min(one[1], other[1]) <= max(one[0], other[0]) or min(one[3], other[3]) <= max(one[2], other[2])
    for tile in picture.tiles:
        left, right, bottom, top = box(tile)
        assert (right - left, top - bottom) == (exact(tile.across.exact), exact(tile.voltage.exact))


def assert_on_bars(picture) -> None:
    """Every rectangle hangs from one stretch of conductor and stands on one; what has no size touches its own."""
    lines = [(exact(bar.level), exact(bar.left), exact(bar.right)) for bar in picture.bars]
    for tile in picture.tiles:
        left, right, bottom, top = box(tile)
        for level in (bottom, top):
            assert any(at == level and start <= left and right <= end for at, start, end in lines), tile.part


@st.composite
def planar_networks(draw, kind, unit, *, source=True):
    """Parts along a planar graph (points put into faces of a triangle, some edges left out or doubled), poles next to
    each other, and where asked a battery between them. Joints stand anywhere."""
    faces = [(0, 1, 2)]
    edges = [(0, 1), (0, 2), (1, 2)]
    for node in range(3, draw(st.integers(3, 8))):
        a, b, c = faces.pop(draw(st.integers(0, len(faces) - 1)))
        faces += [(a, b, node), (b, c, node), (a, c, node)]
        edges += [(a, node), (b, node), (c, node)]
    kept = [edge for edge in edges[1:] if draw(st.integers(0, 3))] or edges[1:2]
    doubled = [edge for edge in kept if draw(st.integers(0, 5)) == 0]
    parts = []
    for number, (a, b) in enumerate([*kept, *doubled]):
        if draw(st.booleans()):
            a, b = b, a
        parts.append(kind(f"P{number}", written(draw(values), unit), f"n{a}", f"n{b}"))
    driven = [battery("E1", "12 V", "n0", "n1")] if source else []
    return Sketch.of(*driven, *draw(st.permutations(parts)))


@st.composite
def drawn_networks(draw):
    """Capacitors and wires along the lines of a grid, poles on its edge: a drawing without crossings."""
    columns, rows = draw(st.integers(2, 4)), draw(st.integers(2, 4))
    spots = [(x, y) for x in range(columns) for y in range(rows)]
    lines = [((x, y), (x + 1, y)) for x, y in spots if x + 1 < columns]
    lines += [((x, y), (x, y + 1)) for x, y in spots if y + 1 < rows]
    edge = [(x, y) for x, y in spots if x in (0, columns - 1) or y in (0, rows - 1)]
    plus, minus = draw(st.permutations(edge))[:2]
    joined = {spot: spot for spot in spots}

    def find(spot):
        while joined[spot] != spot:
            spot = joined[spot]
        return spot

    parts = []
    for number, (a, b) in enumerate(lines):
        sort = draw(st.sampled_from(["capacitor"] * 4 + ["wire", "nothing"]))
        if draw(st.booleans()):
            a, b = b, a
        ends = name(a), name(b)
        if sort == "wire" and {find(a), find(b)} != {find(plus), find(minus)}:
            joined[find(a)] = find(b)
            parts.append(wire(f"W{number}", *ends))
        elif sort == "capacitor":
            parts.append(capacitor(f"C{number}", written(draw(values), "µF"), *ends))
    parts.append(battery("E1", "12 V", name(plus), name(minus)))
    used = {end for part in parts for end in (part.start, part.end)}
    return Sketch.read(
        {
            "joints": {name(spot): [4 * spot[0], 4 * spot[1]] for spot in spots if name(spot) in used},
            "parts": [part.document() for part in parts],
        }
    )


def name(spot) -> str:
    return f"x{spot[0]}y{spot[1]}"


KINDS = [(capacitor, "µF"), (resistor, "Ω")]
