"""Ways that write equations: they lead to the nodal solution exactly, and every equation written is true."""

from __future__ import annotations

from hypothesis import assume, given, settings
from hypothesis import strategies as st

from solver import Sketch, battery, capacitor, resistor
from solver.faults import SketchFaults
from solver.solving import solution_of, solve_network
from solver.step_equations import equation_steps, ways_of
from tests.solver.strategies import connected, networks, values, voltages, written
from tests.solver.told_steps import assert_agrees
from tests.solver.written_equations import Values


def assert_right(sketch):
    """All ways agree with the nodal solution, and what they write is true; gives back what each way tells."""
    try:
        solved = solve_network(sketch)
    except SketchFaults:
        assume(False)
    solution = solution_of(solved)
    told = {}
    for way in ways_of(solved):
        steps = equation_steps(solved, solution, way.way)
        told[way.way] = assert_agrees(sketch, solution, steps)
        if not solved.outcome.ideal.in_loop and way.way != "superposition":
            assert Values(solved).assert_true(steps) > 0
    return told


@given(networks())
def test_any_network_comes_out_as_the_nodal_equations_have_it(sketch):
    assert_right(sketch)


@given(networks(most=14))
@settings(max_examples=25)
def test_larger_networks_do_too(sketch):
    assert_right(sketch)


@given(connected(capacitor, "µF"), voltages)
def test_capacitors_that_do_not_reduce_come_out(network, emf):
    _, _, parts, (a, b) = network
    told = assert_right(Sketch.of(battery("E1", f"{emf} V", f"n{a}", f"n{b}"), *parts))
    if emf and told:
        assert "E1.equivalent" in told["charges"]
        assert {"total.energy", "total.work", "total.lost"} & told["charges"].keys()


@given(connected(resistor, "Ω"), voltages)
def test_resistors_that_do_not_reduce_come_out(network, emf):
    _, _, parts, (a, b) = network
    told = assert_right(Sketch.of(battery("E1", f"{emf} V", f"n{a}", f"n{b}", internal="1.5 Ω"), *parts))
    assert {"E1.current", "E1.power", "total.power"} <= told["loops"].keys()
    assert emf == 0 or "E1.equivalent" in told["loops"]


@st.composite
def several_batteries(draw, kind, unit):
    """A connected network of one kind with two or three batteries between its joints."""
    size, _, parts, _ = draw(connected(kind, unit, most=5))
    joined = {node: node for node in range(size)}
    found = []
    for number in range(draw(st.integers(2, 3))):
        a, b = draw(st.permutations(range(size)).map(lambda order: order[:2]))
        internal = written(draw(values), "Ω") if joined[a] == joined[b] or draw(st.booleans()) else None
        if internal is None:
            joined = {node: joined[a] if group == joined[b] else group for node, group in joined.items()}
        found.append(battery(f"E{number}", f"{draw(voltages)} V", f"n{a}", f"n{b}", internal=internal))
    return Sketch.of(*draw(st.permutations([*parts, *found])))


@given(several_batteries(resistor, "Ω"))
def test_currents_of_several_batteries_come_out_by_every_way(sketch):
    told = assert_right(sketch)
    for found in told.values():
        for part in sketch.parts:
            if part.kind == "battery" or f"{part.name}.voltage" in found:
                assert f"{part.name}.current" in found or part.kind == "resistor"


@given(several_batteries(capacitor, "µF"))
def test_charges_of_several_batteries_come_out_by_every_way(sketch):
    assert_right(sketch)


@given(several_batteries(resistor, "Ω"), st.lists(st.tuples(st.integers(0, 6), st.integers(0, 6)), max_size=4))
def test_capacitors_follow_the_currents(sketch, places):
    joints = list(sketch.joints)
    extra = [
        capacitor(f"C{number}", f"{number + 1} µF", joints[a % len(joints)], joints[b % len(joints)])
        for number, (a, b) in enumerate(places)
        if a % len(joints) != b % len(joints)
    ]
    assert_right(Sketch.of(*sketch.parts, *extra))
