"""How long it takes to lay a network out, beside solving it: from sketch to sketch.

The 200 ms asked for 60 parts are printed as the target; what is asserted is a ratio within the run.
"""

from __future__ import annotations

import random
from time import process_time

import networkx
import pytest

from solver import Sketch, capacitor, solve
from solver.tidy import tidy
from tests.benchmarks.conftest import Measured, beside
from tests.benchmarks.networks import grid, ladder

TARGET = 0.2
ROUNDS = 20
PARTS = 60


def random_network(joints: int, *, planar: bool) -> dict[str, object]:
    """60 capacitors between pairs of joints, no pair twice, with the first two joints as ends of the battery."""
    chance = random.Random(joints)
    graph = networkx.Graph()
    while graph.number_of_edges() < PARTS:
        a, b = chance.sample(range(joints), 2)
        if graph.has_edge(a, b):
            continue
        graph.add_edge(a, b)
        if planar and not networkx.check_planarity(graph)[0]:
            graph.remove_edge(a, b)
    return _with_battery(graph.edges)


def series_parallel() -> dict[str, object]:
    """60 capacitors, each put in series or in parallel with one that was there."""
    chance = random.Random(PARTS)
    pairs = [(0, 1)]
    while len(pairs) < PARTS:
        place = chance.randrange(len(pairs))
        a, b = pairs[place]
        if chance.random() < 0.5:
            pairs.append((a, b))
        else:
            middle = len(pairs) + 1
            pairs[place] = (a, middle)
            pairs.append((middle, b))
    return _with_battery(pairs)


def _with_battery(pairs) -> dict[str, object]:
    ends = list(dict.fromkeys(end for pair in pairs for end in pair))
    parts = [capacitor(f"C{number}", "10 µF", f"n{a}", f"n{b}") for number, (a, b) in enumerate(pairs, 1)]
    document = Sketch.of(*parts).document()
    battery = {"name": "E1", "kind": "battery", "value": "12 V", "from": f"n{ends[0]}", "to": f"n{ends[1]}"}
    return document | {"parts": [battery, *document["parts"]]}


@pytest.mark.benchmark(timer=process_time)
@pytest.mark.parametrize(
    ("name", "sketch", "target"),
    [
        pytest.param("60 C, series, parallel", series_parallel(), TARGET, id="series and parallel"),
        pytest.param("ladder, 60 C", ladder(60).sketch(), TARGET, id="ladder"),
        pytest.param("6×6 grid, 60 C", grid(6).sketch(), TARGET, id="grid"),
        pytest.param("60 C in a plane", random_network(25, planar=True), TARGET, id="planar"),
        pytest.param("60 C in no plane", random_network(20, planar=False), TARGET, id="not planar"),
        pytest.param("20×20 grid, 760 C", grid(20).sketch(), None, id="large grid"),
    ],
)
def test_a_network_is_laid_out_in_tens_of_milliseconds(benchmark, report, name, sketch, target):
    read = Sketch.read(sketch)
    assert tidy(tidy(read)) == tidy(read)
    own, solving = beside(benchmark, lambda: tidy(read), lambda: solve(read).json(), ROUNDS)
    report(Measured(f"tidy: {name}", "", own, target, {"solve": solving}))
    assert own < 40 * solving
