"""Random networks to lay out: what series and parallel rules reduce, what a plane holds, and anything at all."""

from __future__ import annotations

import networkx as nx
from hypothesis import strategies as st

from solver import Sketch, battery, capacitor, resistor, switch
from solver.sketch import Part
from tests.solver.strategies import networks

PLACES = st.tuples(st.integers(0, 40), st.integers(0, 30))


def part(kind: str, number: int, a: str, b: str) -> Part:
    """A part of this kind with a value of its own."""
    match kind:
        case "capacitor":
            return capacitor(f"C{number}", f"{number + 1} µF", a, b)
        case "resistor":
            return resistor(f"R{number}", f"{number + 1} Ω", a, b)
        case "switch":
            return switch(f"S{number}", a, b, closed=number % 2 == 0)
        case _:
            return battery(f"E{number}", f"{number + 1} V", a, b, internal=f"{number + 1} Ω")


kinds = st.sampled_from(["capacitor", "capacitor", "resistor", "resistor", "switch", "battery"])


@st.composite
def sketch_of(draw, pairs):
    """A sketch with a part for each pair, the first one a battery, its joints anywhere."""
    parts = [battery("E0", "9 V", *pairs[0])]
    parts += [part(draw(kinds), number, a, b) for number, (a, b) in enumerate(pairs[1:], 1)]
    sketch = Sketch.of(*parts)
    places = draw(st.lists(PLACES, min_size=len(sketch.joints), max_size=len(sketch.joints), unique=True))
    return Sketch(joints=dict(zip(sketch.joints, places, strict=True)), parts=sketch.parts)


@st.composite
def series_parallel(draw, most=14):
    """Grown from a battery and one part by putting another in series or in parallel with one that is there."""
    pairs = [("a", "b"), ("a", "b")]
    for number in range(draw(st.integers(0, most))):
        place = draw(st.integers(1, len(pairs) - 1))
        a, b = pairs[place]
        if draw(st.booleans()):
            pairs.append((a, b))
        else:
            pairs[place] = (a, f"n{number}")
            pairs.append((f"n{number}", b))
    return draw(sketch_of(pairs))


@st.composite
def planar(draw, most=22):
    """Joined at random as long as a plane holds it."""
    size = draw(st.integers(2, 10))
    graph = nx.Graph()
    pairs = []
    for _ in range(draw(st.integers(1, most))):
        a, b = draw(st.tuples(st.integers(0, size - 1), st.integers(0, size - 1)))
        tried = graph.copy()
        tried.add_edge(a, b)
        if a != b and nx.check_planarity(tried)[0]:
            graph = tried
            pairs.append((f"n{a}", f"n{b}"))
    return draw(sketch_of(pairs or [("n0", "n1")]))


anything = networks(most=8)
