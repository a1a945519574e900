"""The laws that every solution keeps, exactly, on random networks of every kind."""

from __future__ import annotations

from collections import defaultdict
from fractions import Fraction

import flint
from hypothesis import given

from solver import Sketch, battery, capacitor, resistor, solve, switch
from tests.solver.exactly import fraction
from tests.solver.strategies import networks, quiet_networks

ZERO = Fraction(0)


def of_kind(sketch, kind):
    return [part for part in sketch.parts if part.kind == kind]


def typed(text):
    """The number that a test's value text begins with, in the prefix it has; micro is left to the caller."""
    return Fraction(text.split(" ")[0])


def conductor(solution, joint):
    return solution.joints[joint].conductor


def farads(part):
    return typed(part.value) / 10**6


@given(networks())
def test_every_voltage_is_the_difference_of_the_potentials_at_its_ends(sketch):
    solution = solve(sketch)
    for part in sketch.parts:
        voltage = getattr(solution.parts[part.name], "voltage", None)
        if voltage is not None:
            at = {end: fraction(solution.joints[end].potential) for end in (part.start, part.end)}
            assert fraction(voltage) == at[part.start] - at[part.end]


@given(networks())
def test_every_part_keeps_its_own_law(sketch):
    solution = solve(sketch)
    for part in of_kind(sketch, "capacitor"):
        read = solution.parts[part.name]
        assert fraction(read.charge) == farads(part) * fraction(read.voltage)
        assert fraction(read.energy) == fraction(read.charge) * fraction(read.voltage) / 2
    for part in of_kind(sketch, "resistor"):
        read = solution.parts[part.name]
        assert fraction(read.voltage) == typed(part.value) * fraction(read.current)
        assert fraction(read.power) == fraction(read.voltage) * fraction(read.current)
    for part in of_kind(sketch, "battery"):
        read = solution.parts[part.name]
        lost = typed(part.internal) * fraction(read.current) if part.internal else ZERO
        assert fraction(read.voltage) == typed(part.value) - lost
        assert fraction(read.power) == typed(part.value) * fraction(read.current)


@given(networks())
def test_as_much_current_arrives_at_every_conductor_as_leaves_it(sketch):
    solution = solve(sketch)
    leaving = defaultdict(Fraction)
    for part in of_kind(sketch, "resistor"):
        leaving[conductor(solution, part.start)] += fraction(solution.parts[part.name].current)
        leaving[conductor(solution, part.end)] -= fraction(solution.parts[part.name].current)
    for part in of_kind(sketch, "battery"):
        leaving[conductor(solution, part.start)] -= fraction(solution.parts[part.name].current)
        leaving[conductor(solution, part.end)] += fraction(solution.parts[part.name].current)
    assert set(leaving.values()) <= {ZERO}


@given(networks())
def test_the_charge_on_the_plates_of_every_body_is_what_it_was_before(sketch):
    solution = solve(sketch)
    gained = defaultdict(Fraction)
    for part in of_kind(sketch, "capacitor"):
        before = farads(part) * (typed(part.initial) if part.initial else ZERO)
        for joint, sign in ((part.start, 1), (part.end, -1)):
            body = solution.conductors[conductor(solution, joint)].body
            gained[body] += sign * (fraction(solution.parts[part.name].charge) - before)
    assert set(gained.values()) <= {ZERO}


@given(networks())
def test_a_conductors_charge_is_the_sum_of_the_plates_on_it(sketch):
    solution = solve(sketch)
    held, plates = defaultdict(Fraction), set()
    for part in of_kind(sketch, "capacitor"):
        a, b = conductor(solution, part.start), conductor(solution, part.end)
        if a != b:
            plates |= {a, b}
            held[a] += fraction(solution.parts[part.name].charge)
            held[b] -= fraction(solution.parts[part.name].charge)
    read = {name: fraction(one.charge) for name, one in solution.conductors.items() if one.charge is not None}
    assert read == {name: held[name] for name in plates}


@given(networks())
def test_a_conductor_is_isolated_where_only_capacitors_end(sketch):
    solution = solve(sketch)
    ends = defaultdict(set)
    for part in sketch.parts:
        if part.kind in ("capacitor", "resistor", "battery"):
            a, b = conductor(solution, part.start), conductor(solution, part.end)
            if a != b:
                ends[a].add(part.kind)
                ends[b].add(part.kind)
    isolated = {name for name, one in solution.conductors.items() if one.isolated}
    assert isolated == {name for name, kinds in ends.items() if kinds == {"capacitor"}}
    assert {check.conductor for check in solution.checks if check.kind == "charge"} == isolated


@given(networks())
def test_every_check_sums_to_exactly_zero(sketch):
    checks = list(solve(sketch).checks)
    assert len(checks) == len(solve(sketch).checks)
    for check in checks:
        assert isinstance(check.sum.exact, flint.fmpq)
        assert check.sum.exact == 0
        assert sum(map(fraction, check.terms), ZERO) == 0


@given(networks())
def test_the_loops_are_independent_and_as_many_as_there_are(sketch):
    solution = solve(sketch)
    loops = [check for check in solution.checks if check.kind == "loop"]
    between = [
        part
        for part in sketch.parts
        if part.kind in ("capacitor", "resistor", "battery")
        and conductor(solution, part.start) != conductor(solution, part.end)
    ]
    places = {part.name: place for place, part in enumerate(between)}
    rows = [[Fraction(int(name in check.parts)) for name in places] for check in loops]
    matrix = flint.nmod_mat(len(rows), len(places), [int(entry) for row in rows for entry in row], 2)
    assert matrix.rank() == len(loops)
    group = {name: name for name in solution.conductors}

    def find(name):
        while group[name] != name:
            name = group[name]
        return name

    for part in between:
        group[find(conductor(solution, part.start))] = find(conductor(solution, part.end))
    pieces = sum(name == find(name) for name in group)
    assert len(loops) == len(between) - len(group) + pieces


@given(networks())
def test_a_loop_with_a_battery_begins_with_one_and_no_loop_begins_with_a_minus(sketch):
    kinds = {part.name: part.kind for part in sketch.parts}
    for check in solve(sketch).checks:
        if check.kind == "loop":
            assert len(set(check.parts)) == len(check.parts)
            has_battery = "battery" in {kinds[name] for name in check.parts}
            assert (kinds[check.parts[0]] == "battery") == has_battery
            assert fraction(check.terms[0]) >= 0


@given(networks())
def test_totals_are_the_sums_of_the_parts(sketch):
    solution = solve(sketch)
    energies = [fraction(solution.parts[part.name].energy) for part in of_kind(sketch, "capacitor")]
    if energies:
        assert fraction(solution.totals.energy) == sum(energies)
    else:
        assert solution.totals.energy is None
    dissipated = [fraction(solution.parts[part.name].power) for part in of_kind(sketch, "resistor")]
    dissipated += [
        typed(part.internal) * fraction(solution.parts[part.name].current) ** 2
        for part in of_kind(sketch, "battery")
        if part.internal
    ]
    if dissipated:
        assert fraction(solution.totals.power) == sum(dissipated)
    else:
        assert solution.totals.power is None


@given(quiet_networks())
def test_the_batteries_work_is_what_is_stored_and_what_is_lost(sketch):
    solution = solve(sketch)
    work = sum((fraction(solution.parts[part.name].work) for part in of_kind(sketch, "battery")), ZERO)
    before = sum(
        (farads(part) * typed(part.initial) ** 2 / 2 for part in of_kind(sketch, "capacitor") if part.initial), ZERO
    )
    # Lost in resistances, by itself: half of C times the square of the change of every voltage.
    lost = sum(
        (
            farads(part) * (fraction(solution.parts[part.name].voltage) - typed(part.initial or "0 V")) ** 2 / 2
            for part in of_kind(sketch, "capacitor")
        ),
        ZERO,
    )
    assert fraction(solution.totals.lost) == lost >= 0
    assert work == fraction(solution.totals.energy) - before + lost
    if of_kind(sketch, "battery"):
        assert fraction(solution.totals.work) == work


@given(networks())
def test_a_joint_named_as_zero_is_at_exactly_zero(sketch):
    zero = sketch.parts[0].start if sketch.parts else None
    named = Sketch.of(*sketch.parts, zero=zero)
    if zero is not None:
        assert solve(named).joints[zero].potential.exact == 0


def test_the_zero_is_the_negative_terminal_of_the_first_battery_where_none_is_named():
    parts = [
        resistor("R1", "1 Ω", "a", "b"),
        battery("E1", "9 V", "b", "c"),
        resistor("R2", "2 Ω", "c", "a"),
        battery("E2", "1 V", "a", "d"),
        resistor("R3", "2 Ω", "d", "b"),
    ]
    assert solve(Sketch.of(*parts)).joints["c"].potential.exact == 0


def test_the_zero_is_the_first_joint_where_there_is_no_battery():
    assert solve(Sketch.of(capacitor("C1", "1 F", "b", "a", initial="5 V"))).joints["b"].potential.exact == 0


def test_the_first_example_of_a_class_comes_out_as_on_the_board():
    sketch = Sketch.of(
        battery("E1", "9 V", "a", "0"),
        capacitor("C1", "30 µF", "a", "b"),
        capacitor("C2", "10 µF", "b", "0"),
        capacitor("C3", "5 µF", "b", "0"),
        switch("S1", "b", "0"),
    )
    solution = solve(sketch)
    # 15 µF in series with 30 µF is 10 µF, which takes 90 µC from 9 V.
    assert solution.parts["E1"].equivalent.exact == flint.fmpq(10, 10**6)
    assert solution.parts["C1"].charge.exact == flint.fmpq(90, 10**6)
    assert [solution.parts[name].voltage.text for name in ("C1", "C2", "C3", "S1")] == [
        "3.00 V",
        "6.00 V",
        "6.00 V",
        "6.00 V",
    ]
    loops = [[term.text for term in check.terms] for check in solution.checks if check.kind == "loop"]
    assert loops == [["9.00 V", "−3.00 V", "−6.00 V"], ["6.00 V", "−6.00 V"]]
