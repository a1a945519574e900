"""Whatever the network, laid out tidily it is the same one, and its drawing can be read."""

from __future__ import annotations

from typing import Any

import pytest
from hypothesis import given, settings

from solver import Sketch, SketchFaults, solve
from solver.schema import require_sketch
from solver.tidy import tidy
from tests.solver.drawn import crossings, drawn, is_planar, mistakes, network_graph, same_network
from tests.solver.tidy_networks import anything, planar, series_parallel

KINDS = {"series and parallel": series_parallel(), "planar": planar(), "anything": anything}
every_network = series_parallel() | planar() | anything


def readings(sketch: Sketch) -> Any:
    """All that is read of a network, or what is wrong with it; joints and wires aside."""
    try:
        document = solve(sketch).document()
    except SketchFaults as refusal:
        wires = {part.name for part in sketch.parts if part.kind == "wire"}
        return [(fault.code, set(fault.parts) - wires) for fault in refusal.faults]
    conductors = [{key: each[key] for key in each if key != "joints"} for each in document["conductors"].values()]
    parts = {name: each for name, each in document["parts"].items() if not name.startswith("W")}
    return parts, document["totals"], conductors, document["probes"]


@settings(max_examples=60)
@given(every_network)
def test_every_reading_is_exactly_what_it_was(sketch: Sketch):
    tidied = tidy(sketch)
    assert same_network(sketch, tidied)
    assert readings(tidied) == readings(sketch)


@settings(max_examples=150)
@given(every_network)
def test_no_line_runs_over_a_joint_a_symbol_or_another_line(sketch: Sketch):
    assert mistakes(tidy(sketch)) == []


@settings(max_examples=150)
@given(every_network)
def test_no_lines_cross_where_a_plane_holds_the_network(sketch: Sketch):
    tidied = tidy(sketch)
    if is_planar(sketch):
        assert crossings(tidied) == []


@settings(max_examples=100)
@given(every_network)
def test_what_is_tidy_stays_as_it_is(sketch: Sketch):
    tidied = tidy(sketch)
    assert tidy(tidied) == tidied


@settings(max_examples=60)
@given(every_network)
def test_the_result_is_a_sketch_that_the_schema_passes(sketch: Sketch):
    document = tidy(sketch).document()
    require_sketch(document)
    assert Sketch.read(document) == tidy(sketch)


@settings(max_examples=100)
@given(every_network)
def test_the_first_battery_is_on_the_left_upright_its_plus_above(sketch: Sketch):
    tidied = tidy(sketch)
    graph = network_graph(tidied)
    lines = {line.part.name: line for line in drawn(tidied)}
    for a, b, name in graph.edges(keys=True):
        if not name.startswith("E") or a == b:
            continue
        piece = _piece(graph, a)
        if name != min((each for each in piece if each.startswith("E")), key=_place(tidied)):
            continue
        rest = graph.copy()
        rest.remove_edge(a, b, name)
        if b not in _reached(rest, a):
            continue
        line = lines[name]
        assert line.upright
        assert line.start[1] < line.end[1], "its + terminal is below"
        assert all(line.start[0] <= lines[other].box[0] for other in piece)


def _place(sketch: Sketch):
    names = [part.name for part in sketch.parts]
    loops = {part.name for part in sketch.parts if _is_loop(sketch, part.name)}
    return lambda name: (name in loops, names.index(name))


def _is_loop(sketch: Sketch, name: str) -> bool:
    return any(key == name and a == b for a, b, key in network_graph(sketch).edges(keys=True))


def _reached(graph, node) -> set[int]:
    found, waiting = {node}, [node]
    while waiting:
        for other in graph[waiting.pop()]:
            if other not in found:
                found.add(other)
                waiting.append(other)
    return found


def _piece(graph, node) -> set[str]:
    """The parts that hang together with a conductor."""
    inside = _reached(graph, node)
    return {name for a, _, name in graph.edges(keys=True) if a in inside}


@pytest.mark.parametrize("kind", KINDS)
def test_the_networks_are_of_the_kind_that_they_are_called(kind: str):
    seen = []

    @settings(max_examples=30)
    @given(KINDS[kind])
    def look(sketch: Sketch) -> None:
        seen.append(is_planar(sketch))

    look()
    assert all(seen) or kind == "anything"
