"""The float method for large networks: it says so, tells its residual, and agrees with the exact one."""

from __future__ import annotations

import math

import pytest
from hypothesis import given

from solver import Sketch, SketchFaults, battery, capacitor, resistor, solve
from solver.elements import ValueReader
from solver.ideal import ideal_groups
from solver.network import build
from solver.readings import Writing, entries
from solver.solving import SolvedNetwork, solution_of
from solver.sparse import Floats
from tests.solver.strategies import networks, quiet_networks

SIZE = 12


def in_floats(sketch):
    """The sketch solved in floats, small as it may be."""
    reader = ValueReader()
    network = build(sketch, [reader.element(part) for part in sketch.parts], Floats())
    ideal = ideal_groups(len(network.conductors), network.batteries, 0.0)
    return solution_of(SolvedNetwork.of(sketch, network, ideal, Writing(sketch.figures), equivalents=True))


def grid(kind, unit, size=SIZE):
    """A grid with a value of its own on every line."""
    ends = [
        ((x, y), (x + dx, y + dy))
        for x in range(size)
        for y in range(size)
        for dx, dy in ((1, 0), (0, 1))
        if x + dx < size and y + dy < size
    ]
    parts = [
        kind(f"P{k}", f"{1 + k * 37 % 97} {unit}", f"g{a}_{b}", f"g{c}_{d}") for k, ((a, b), (c, d)) in enumerate(ends)
    ]
    return battery("E1", "9 V", "g0_0", f"g{size - 1}_{size - 1}"), *parts


def ladder(steps):
    parts = [battery("E1", "9 V", "a0", "0")]
    for k in range(steps):
        parts.append(capacitor(f"C{k}", f"{1 + k % 9} µF", f"a{k}", f"a{k + 1}"))
        parts.append(capacitor(f"D{k}", f"{1 + k % 7} µF", f"a{k + 1}", "0"))
    return Sketch.of(*parts)


def agree(sketch):
    exact, rounded = solve(sketch), in_floats(sketch)
    assert (exact.method, rounded.method) == ("exact", "float")
    largest: dict[object, float] = {}
    for readings in exact.parts.values():
        for _, reading in entries(readings):
            largest[reading.quantity] = max(largest.get(reading.quantity, 0.0), abs(reading.value))
    for name, readings in exact.parts.items():
        found = dict(entries(rounded.parts[name]))
        assert set(found) == {word for word, _ in entries(readings)}
        for word, reading in entries(readings):
            assert found[word].value == pytest.approx(reading.value, rel=1e-8, abs=1e-9 * largest[reading.quantity])
            assert found[word].exact is None
    for name, reading in entries(exact.totals):
        assert getattr(rounded.totals, name).value == pytest.approx(reading.value, rel=1e-8, abs=1e-12)
    return rounded


@given(networks())
def test_floats_agree_with_exact_numbers_on_networks_of_every_kind(sketch):
    agree(sketch)


@given(quiet_networks())
def test_floats_agree_on_the_charges_that_pass(sketch):
    agree(sketch)


@pytest.mark.parametrize(("kind", "unit"), [(capacitor, "µF"), (resistor, "kΩ")])
def test_floats_agree_with_exact_numbers_on_a_grid(kind, unit):
    rounded = agree(Sketch.of(*grid(kind, unit), probes=[("g0_0", "g5_5")]))
    assert rounded.residual < 1e-14


def test_a_ladder_of_thousands_is_solved_in_floats_and_says_so():
    solution = solve(ladder(2000))
    assert solution.method == "float"
    assert solution.residual < 1e-14
    (note,) = [note for note in solution.notes if note.code == "float-method"]
    assert note.text == (
        f"This network is solved in floating-point numbers; the largest residual is {solution.residual:.1e}."
    )
    document = solution.document()
    assert (document["method"], document["residual"]) == ("float", solution.residual)
    assert document["parts"]["C0"]["voltage"]["exact"] is None


def test_a_large_ladder_agrees_with_the_exact_ladder_that_it_goes_on_from():
    # What lies far down a ladder hardly matters, so 3000 steps begin like 400.
    large, exact = solve(ladder(3000)), solve(ladder(400))
    assert (large.method, exact.method) == ("float", "exact")
    for name in ("C0", "D0", "C7", "D7"):
        assert large.parts[name].voltage.value == pytest.approx(exact.parts[name].voltage.value, rel=1e-9)
    assert large.parts["E1"].equivalent.value == pytest.approx(exact.parts["E1"].equivalent.value, rel=1e-9)


def test_many_small_networks_on_one_sheet_are_still_solved_exactly():
    parts = [
        part
        for k in range(500)
        for part in (battery(f"E{k}", "9 V", f"a{k}", f"b{k}"), capacitor(f"C{k}", f"{k + 1} µF", f"a{k}", f"b{k}"))
    ]
    assert solve(Sketch.of(*parts)).method == "exact"


def test_what_is_left_by_rounding_alone_reads_as_nothing():
    # A balanced bridge: floats find some 10⁻¹⁶ V across it.
    ends = [("R1", "3 Ω", "a", "x"), ("R2", "7 Ω", "x", "0"), ("R3", "0.3 Ω", "a", "y"), ("R4", "0.7 Ω", "y", "0")]
    sketch = Sketch.of(
        battery("E1", "9.7 V", "a", "0"), *(resistor(*part) for part in ends), resistor("R5", "1 Ω", "x", "y")
    )
    assert in_floats(sketch).parts["R5"].current.value == 0.0


def test_values_too_far_apart_for_floats_are_refused():
    edges = [(0, 1, 1e300), (1, 2, 1e-300), (0, 2, 1e-300)]
    with pytest.raises(SketchFaults) as caught:
        Floats().solve(3, edges, [[0.0, 1e300, 1e300]])
    (fault,) = caught.value.faults
    assert (fault.code, fault.text) == (
        "not-a-number",
        "The network cannot be solved for these values: they lie too many powers of ten apart.",
    )


def test_a_column_of_a_float_system_solves_its_equations():
    edges = [(0, 1, 2.0), (1, 2, 3.0), (0, 2, 5.0), (0, 2, 1.0)]
    solved_system = Floats().solve(3, edges, [[0.0, 1.0, 0.0], [0.0, 0.0, 0.0]])
    _, x, y = solved_system.columns[0]
    assert math.isclose(5 * x - 3 * y, 1.0)
    assert math.isclose(-3 * x + 9 * y, 0.0, abs_tol=1e-15)
    assert solved_system.columns[1] == [0.0, 0.0, 0.0]
    assert solved_system.residual < 1e-15
