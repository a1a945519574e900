"""What lies between two joints, against an elimination of our own and against networkx."""

from __future__ import annotations

import networkx
import pytest
from hypothesis import given

from solver import Sketch, battery, capacitor, resistor, solve, switch, wire
from tests.solver.exactly import fraction, resistance_by_elimination
from tests.solver.strategies import connected


def between(a, b, *parts):
    """The probe between two joints."""
    return solve(Sketch.of(*parts, probes=[(a, b)])).probes[0]


def codes(*parts, probe):
    return [note.code for note in solve(Sketch.of(*parts, probes=[probe])).notes]


@given(connected(resistor, "Ω"))
def test_the_resistance_between_two_joints_is_that_of_an_independent_elimination(network):
    size, edges, parts, (a, b) = network
    probe = between(f"n{a}", f"n{b}", *parts)
    assert fraction(probe.resistance) == resistance_by_elimination(size, [(p, q, 1 / r) for p, q, r in edges], a, b)
    assert probe.capacitance is None


@given(connected(capacitor, "µF"))
def test_the_capacitance_between_two_joints_is_that_of_an_independent_elimination(network):
    size, edges, parts, (a, b) = network
    probe = between(f"n{a}", f"n{b}", *parts)
    # The same equations with capacitances for conductances: 1 C through, and the voltage is 1/C.
    assert fraction(probe.capacitance) * 10**6 == 1 / resistance_by_elimination(size, edges, a, b)
    assert probe.resistance is None


@given(connected(resistor, "Ω"))
def test_the_resistance_between_two_joints_is_the_resistance_distance_of_networkx(network):
    _, edges, parts, (a, b) = network
    graph = networkx.Graph()
    for p, q, resistance in edges:
        already = graph.get_edge_data(p, q, {"conductance": 0.0})["conductance"]
        graph.add_edge(p, q, conductance=already + 1 / float(resistance))
    distance = networkx.resistance_distance(graph, a, b, "conductance", invert_weight=False)
    assert between(f"n{a}", f"n{b}", *parts).resistance.value == pytest.approx(distance, rel=1e-9)


@given(connected(resistor, "Ω"))
def test_a_battery_sees_what_lies_between_its_terminals_without_it(network):
    _, _, parts, (a, b) = network
    alone = between(f"n{a}", f"n{b}", *parts).resistance
    ends = f"n{a}", f"n{b}"
    for internal in (None, "2 Ω"):
        solution = solve(Sketch.of(battery("E1", "9 V", *ends, internal=internal), *parts, probes=[ends]))
        assert solution.parts["E1"].equivalent == alone
        assert solution.probes[0].resistance == alone


@given(connected(capacitor, "µF"))
def test_a_battery_on_capacitors_sees_their_capacitance_without_it(network):
    _, _, parts, (a, b) = network
    ends = f"n{a}", f"n{b}"
    solution = solve(Sketch.of(battery("E1", "9 V", *ends), *parts, probes=[ends]))
    assert solution.parts["E1"].equivalent == solution.probes[0].capacitance == between(*ends, *parts).capacitance


def test_every_battery_sees_the_others_as_wires():
    parts = [
        battery("E1", "9 V", "a", "0"),
        battery("E2", "4 V", "b", "0"),
        resistor("R1", "2 Ω", "a", "m"),
        resistor("R2", "3 Ω", "b", "m"),
        resistor("R3", "6 Ω", "m", "0"),
    ]
    solution = solve(Sketch.of(*parts))
    assert fraction(solution.parts["E1"].equivalent) == 2 + 2  # 2 in series with 3 beside 6
    assert solution.parts["E2"].equivalent.text == "4.50 Ω"  # 3 in series with 2 beside 6


def test_an_internal_resistance_stays_where_its_battery_becomes_a_wire():
    parts = [battery("E1", "9 V", "a", "0", internal="1 Ω"), resistor("R1", "2 Ω", "a", "b")]
    assert between("b", "0", *parts).resistance.text == "3.00 Ω"


def test_with_a_conducting_path_the_resistance_is_read_and_capacitors_do_not_matter():
    parts = [resistor("R1", "2 Ω", "a", "b"), resistor("R2", "3 Ω", "b", "c"), capacitor("C1", "1 µF", "a", "c")]
    probe = between("a", "c", *parts)
    assert (probe.resistance.text, probe.capacitance) == ("5.00 Ω", None)


def test_without_a_conducting_path_the_capacitance_is_read_and_resistors_act_as_wires():
    parts = [resistor("R1", "2 Ω", "a", "b"), capacitor("C1", "3 µF", "b", "c"), capacitor("C2", "6 µF", "c", "d")]
    probe = between("a", "d", *parts)
    assert (probe.resistance, probe.capacitance.text) == (None, "2.00 µF")


def test_a_battery_directly_between_the_joints_is_taken_away_and_a_note_says_so():
    parts = [battery("E1", "9 V", "a", "0"), resistor("R1", "2 Ω", "a", "0")]
    assert between("0", "a", *parts).resistance.text == "2.00 Ω"
    assert "battery-away" in codes(*parts, probe=("a", "0"))


def test_two_batteries_side_by_side_are_both_taken_away():
    parts = [battery("E1", "9 V", "a", "0"), battery("E2", "9 V", "a", "0"), capacitor("C1", "2 µF", "a", "0")]
    assert between("a", "0", *parts).capacitance.text == "2.00 µF"


def test_with_a_battery_and_nothing_else_there_is_nothing_to_read_and_a_note_says_so():
    parts = [battery("E1", "9 V", "a", "0")]
    probe = between("a", "0", *parts)
    assert (probe.voltage.text, probe.capacitance, probe.resistance) == ("9.00 V", None, None)
    assert codes(*parts, probe=("a", "0")) == ["only-battery"]
    assert solve(Sketch.of(*parts)).parts["E1"].equivalent is None


def test_batteries_in_a_row_between_the_joints_are_a_wire():
    parts = [battery("E1", "9 V", "a", "b"), battery("E2", "3 V", "b", "0"), resistor("R1", "2 Ω", "a", "0")]
    assert between("a", "0", *parts).resistance.text == "0 Ω"


def test_a_battery_beside_another_ideal_one_sees_no_resistance():
    parts = [battery("E1", "9 V", "a", "0"), battery("E2", "9 V", "a", "0"), resistor("R1", "2 Ω", "a", "0")]
    assert solve(Sketch.of(*parts)).parts["E1"].equivalent.text == "0 Ω"


def test_joints_of_one_conductor_have_nothing_between_them():
    parts = [wire("W1", "a", "b"), switch("S1", "b", "c", closed=True), resistor("R1", "2 Ω", "a", "0")]
    probe = between("a", "c", *parts)
    assert (probe.voltage.text, probe.capacitance, probe.resistance) == ("0 V", None, None)
    assert codes(*parts, probe=("a", "c")) == ["nothing-between"]


def test_joints_that_no_part_joins_have_no_voltage_between_them():
    parts = [resistor("R1", "2 Ω", "a", "0"), resistor("R2", "2 Ω", "b", "c"), switch("S1", "a", "b")]
    probe = between("a", "b", *parts)
    assert (probe.voltage, probe.capacitance, probe.resistance) == (None, None, None)
    assert codes(*parts, probe=("a", "b")) == ["floating", "not-connected"]


def test_several_probes_are_each_read_on_their_own():
    parts = [
        battery("E1", "9 V", "a", "0"),
        capacitor("C1", "30 µF", "a", "b"),
        capacitor("C2", "15 µF", "b", "0"),
        resistor("R1", "1 kΩ", "b", "c"),
    ]
    probes = solve(Sketch.of(*parts, probes=[("a", "0"), ("b", "a"), ("b", "0"), ("c", "b"), ("c", "0")])).probes
    assert [probe.voltage.text for probe in probes] == ["9.00 V", "−3.00 V", "6.00 V", "0 V", "6.00 V"]
    # With the battery a wire, C1 and C2 lie side by side between b and both a and 0.
    assert [probe.capacitance and probe.capacitance.text for probe in probes] == [
        "10.0 µF",
        "45.0 µF",
        "45.0 µF",
        None,
        "45.0 µF",
    ]
    assert [probe.resistance and probe.resistance.text for probe in probes] == [None, None, None, "1.00 kΩ", None]
