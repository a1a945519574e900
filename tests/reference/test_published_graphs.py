"""Equivalent values of graphs that have been published, of unit resistors and of unit capacitors, exactly.

A capacitance lies between two nodes as a conductance does, so it is one over the resistance of the same graph.
"""

from __future__ import annotations

from fractions import Fraction
from itertools import pairwise
from math import comb

import flint
import networkx
import pytest

from solver import Sketch, battery, capacitor, resistor, solve

KINDS = pytest.mark.parametrize(
    ("kind", "unit"), [(resistor, "1 Ω"), (capacitor, "1 F")], ids=["resistors", "capacitors"]
)


def parts_of(graph, kind, unit):
    return [kind(f"P{k}", unit, f"v{a}", f"v{b}") for k, (a, b) in enumerate(graph.edges)]


def resistances(graph, kind, unit, start, ends):
    """The exact resistance from one node to others, or one over the capacitance."""
    probes = [(f"v{start}", f"v{end}") for end in ends]
    found = []
    for probe in solve(Sketch.of(*parts_of(graph, kind, unit), probes=probes)).probes:
        exact = (probe.resistance if kind is resistor else probe.capacitance).exact
        fraction = Fraction(int(exact.p), int(exact.q))
        found.append(fraction if kind is resistor else 1 / fraction)
    return found


# F. J. van Steenwijk, "Equivalent resistors of polyhedral resistive structures", Am. J. Phys. 66 (1998) 90-91, by
# distance along edges; also D. J. Klein, Croat. Chem. Acta 75 (2002) 633-649. Values from memory; a test below
# derives the first of each.
PLATONIC = {
    "tetrahedron": (networkx.tetrahedral_graph, ["1/2"]),
    "cube": (networkx.cubical_graph, ["7/12", "3/4", "5/6"]),
    "octahedron": (networkx.octahedral_graph, ["5/12", "1/2"]),
    "dodecahedron": (networkx.dodecahedral_graph, ["19/30", "9/10", "16/15", "17/15", "7/6"]),
    "icosahedron": (networkx.icosahedral_graph, ["11/30", "7/15", "1/2"]),
}
every_solid = pytest.mark.parametrize(("solid", "published"), PLATONIC.values(), ids=PLATONIC)


@KINDS
@every_solid
def test_the_platonic_solids_have_the_published_values(solid, published, kind, unit):
    graph = solid()
    distance = networkx.single_source_shortest_path_length(graph, 0)
    ends = [node for node in graph if node]
    assert max(distance.values()) == len(published)
    assert resistances(graph, kind, unit, 0, ends) == [Fraction(published[distance[end] - 1]) for end in ends]


@every_solid
def test_the_values_across_all_edges_add_up_to_one_less_than_the_nodes(solid, published):
    # R. M. Foster, "The average impedance of an electrical network" (1949), from memory: with all edges alike, each
    # has (nodes − 1)/edges.
    graph = solid()
    assert Fraction(published[0]) == Fraction(len(graph) - 1, graph.number_of_edges())


@KINDS
@pytest.mark.parametrize("size", [2, 3, 4, 5, 8, 12])
def test_any_two_nodes_of_a_complete_graph_have_two_over_their_number_between_them(size, kind, unit):
    # By symmetry the other n − 2 nodes are at one potential: 1/(1 + (n − 2)/2) = 2/n.
    assert resistances(networkx.complete_graph(size), kind, unit, 0, range(1, size)) == [Fraction(2, size)] * (size - 1)


@KINDS
@pytest.mark.parametrize("size", [3, 4, 7, 20])
def test_on_a_cycle_two_arcs_lie_side_by_side(size, kind, unit):
    assert resistances(networkx.cycle_graph(size), kind, unit, 0, range(1, size)) == [
        Fraction(steps * (size - steps), size) for steps in range(1, size)
    ]


@KINDS
@pytest.mark.parametrize("dimension", [1, 2, 3, 4, 5])
def test_across_a_hypercube_its_layers_lie_one_behind_the_other(dimension, kind, unit):
    # Nodes at distance k from a corner are at one potential, and (d − k)·comb(d, k) edges lead to the next layer.
    graph = networkx.convert_node_labels_to_integers(networkx.hypercube_graph(dimension), ordering="sorted")
    layers = sum(Fraction(1, (dimension - k) * comb(dimension, k)) for k in range(dimension))
    assert resistances(graph, kind, unit, 0, [2**dimension - 1]) == [layers]


def fibonacci(number):
    before, here = 0, 1
    for _ in range(number):
        before, here = here, before + here
    return before


def ladder(sections):
    """Sections of one unit part along and one across, seen from the near end."""
    graph = networkx.Graph()
    for section in range(sections):
        graph.add_edge(section, section + 1)
        graph.add_edge(section + 1, "e")
    return graph


@KINDS
@pytest.mark.parametrize("sections", [1, 2, 3, 10, 60])
def test_a_ladder_is_a_ratio_of_neighbouring_fibonacci_numbers(sections, kind, unit):
    # R = 1 + 1/(1 + 1/R'), so 2/1, 5/3, 13/8 and on: F(2n + 1)/F(2n). A. M. Morgan-Voyce, "Ladder-network analysis
    # using Fibonacci numbers", IRE Trans. Circuit Theory 6 (1959) 321-322 (from memory).
    assert resistances(ladder(sections), kind, unit, 0, ["e"]) == [
        Fraction(fibonacci(2 * sections + 1), fibonacci(2 * sections))
    ]


def test_potentials_along_a_ladder_are_fibonacci_numbers():
    sections = 12
    emf = fibonacci(2 * sections + 1)
    sketch = Sketch.of(battery("E1", f"{emf} V", "v0", "ve"), *parts_of(ladder(sections), resistor, "1 Ω"))
    joints = solve(sketch).joints
    along = [joints[f"v{section}"].potential.exact for section in range(sections + 1)]
    assert along == [fibonacci(2 * (sections - section) + 1) for section in range(sections + 1)]


# Rectangles cut into unequal squares, by their codes: each bracket has, from left to right, the squares that hang from
# one horizontal segment, always the highest that is free, and the leftmost of these (C. J. Bouwkamp, 1946).
SQUARED = {
    # R. L. Brooks, C. A. B. Smith, A. H. Stone, W. T. Tutte, Duke Math. J. 7 (1940) 312-340; code from memory.
    "33 × 32, order 9": (33, 32, "[18,15][7,8][14,4][10,1][9]"),
    # A. J. W. Duijvestijn, J. Comb. Theory B 25 (1978) 240-243, the lowest order of a perfect squared square; code
    # from memory.
    "112 × 112, order 21": (
        112,
        112,
        "[50,35,27][8,19][15,17,11][6,24][29,25,9,2][7,18][16][42][4,37][33]",
    ),
}
every_squared = pytest.mark.parametrize(("width", "height", "code"), SQUARED.values(), ids=SQUARED)


def read_code(width, code):
    """The squares as (side, segment above, segment below), and how high the rectangle is.

    The lower edge of what lies so far is kept as (left end, height, squares that end there), the segment that each
    bracket hangs from is numbered, and the last one is the rectangle's lower side.
    """
    edge = [(0, 0, [])]
    above, below = {}, {}
    brackets = [[int(side) for side in group.split(",")] for group in code.strip("[]").split("][")]
    for segment, sides in enumerate(brackets):
        highest = min(height for _, height, _ in edge)
        first = next(place for place, (_, height, _) in enumerate(edge) if height == highest)
        last = first
        while last + 1 < len(edge) and edge[last + 1][1] == highest:
            last += 1
        for _, _, squares in edge[first : last + 1]:
            below.update(dict.fromkeys(squares, segment))
        left = edge[first][0]
        right = edge[last + 1][0] if last + 1 < len(edge) else width
        assert sum(sides) == right - left, "the squares of a bracket fill their segment"
        hanging = []
        for side in sides:
            above[side] = segment
            hanging.append((left, highest + side, [side]))
            left += side
        edge[first : last + 1] = hanging
    assert len({height for _, height, _ in edge}) == 1, "the last squares end on one line"
    for _, _, squares in edge:
        below.update(dict.fromkeys(squares, len(brackets)))
    return [(side, above[side], below[side]) for side in above], edge[0][1]


@every_squared
def test_a_code_is_of_unequal_squares_that_fill_the_rectangle(width, height, code):
    squares, high = read_code(width, code)
    assert high == height
    assert sum(side**2 for side, _, _ in squares) == width * height
    assert len(squares) == code.count(",") + code.count("[")


@KINDS
@every_squared
def test_every_squares_side_is_an_exact_whole_number(width, height, code, kind, unit):
    # Width is current (or charge), height is voltage, and a square has as much of the one as of the other.
    squares, _ = read_code(width, code)
    top, bottom = "h0", f"h{max(below for _, _, below in squares)}"
    parts = [kind(f"P{side}", unit, f"h{above}", f"h{below}") for side, above, below in squares]
    solution = solve(Sketch.of(battery("E1", f"{height} V", top, bottom), *parts))
    through = "current" if kind is resistor else "charge"
    for side, _, _ in squares:
        read = solution.parts[f"P{side}"]
        assert isinstance(getattr(read, through).exact, flint.fmpq)
        assert getattr(read, through).exact == read.voltage.exact == side
    assert getattr(solution.parts["E1"], through).exact == width
    ratio = flint.fmpq(height, width) if kind is resistor else flint.fmpq(width, height)
    assert solution.parts["E1"].equivalent.exact == ratio


@every_squared
def test_every_horizontal_segment_lies_as_low_as_its_potential_says(width, height, code):
    squares, _ = read_code(width, code)
    parts = [resistor(f"R{side}", "1 Ω", f"h{above}", f"h{below}") for side, above, below in squares]
    last = max(below for _, _, below in squares)
    solution = solve(Sketch.of(battery("E1", f"{height} V", "h0", f"h{last}"), *parts))
    lies = {0: 0}
    for side, above, below in sorted(squares, key=lambda square: square[1]):
        assert lies.setdefault(below, lies[above] + side) == lies[above] + side
    assert {f"h{segment}": height - low for segment, low in lies.items()} == {
        joint: one.potential.exact for joint, one in solution.joints.items()
    }


def test_neighbouring_fibonacci_numbers_grow_by_the_golden_ratio():
    ratios = [resistances(ladder(n), resistor, "1 Ω", 0, ["e"])[0] for n in (5, 10, 20)]
    golden = [abs(ratio * ratio - ratio - 1) for ratio in ratios]
    assert all(later < earlier / 100 for earlier, later in pairwise(golden))
