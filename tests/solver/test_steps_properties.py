"""Random networks worked out step by step: every step says exactly what the nodal equations say."""

from __future__ import annotations

from fractions import Fraction

from hypothesis import assume, given
from hypothesis import strategies as st

from solver import Sketch, battery, capacitor, resistor
from solver.faults import SketchFaults
from solver.sketch import Part
from tests.solver.strategies import connected, networks, values, written
from tests.solver.told_steps import assert_agrees, assert_equivalents_agree, every_way, worked

UNITS = {"capacitor": "µF", "resistor": "Ω"}
MADE = {"capacitor": capacitor, "resistor": resistor}
SHAPES = st.recursive(
    st.just(()),
    lambda inner: st.tuples(st.sampled_from(["series", "parallel"]), st.lists(inner, min_size=2, max_size=4)),
    max_leaves=9,
)


@st.composite
def series_parallel(draw, kind, texts, start="a", end="0"):
    """Parts of one kind between two joints, put together by series and parallel groups only, each drawn either way."""
    parts: list[Part] = []
    joints = iter(f"j{number}" for number in range(100))

    def lay(shape, a, b):
        if not shape:
            ends = (a, b) if draw(st.booleans()) else (b, a)
            parts.append(MADE[kind](f"{'C' if kind == 'capacitor' else 'R'}{len(parts) + 1}", draw(texts), *ends))
            return
        sort, inner = shape
        if sort == "parallel":
            for one in inner:
                lay(one, a, b)
        else:
            places = [a, *(next(joints) for _ in inner[1:]), b]
            for one, here, there in zip(inner, places, places[1:], strict=False):
                lay(one, here, there)

    lay(draw(SHAPES), start, end)
    return parts


def numbers(kind):
    return values.map(lambda value: written(value, UNITS[kind]))


def symbols(letter):
    return st.sampled_from([letter, f"2{letter}", f"{letter}/3", f"3{letter}/2", f"{letter}_2"])


@given(series_parallel("capacitor", numbers("capacitor")), st.integers(-12, 12))
def test_capacitors_in_series_and_parallel_agree_at_every_step(parts, emf):
    sketch = Sketch.of(battery("E1", f"{emf} V", "a", "0"), *parts)
    solution, steps = worked(sketch)
    assert steps.way == "rules"
    found = assert_agrees(sketch, solution, steps.steps)
    assert_equivalents_agree(sketch, steps.steps)
    for part in parts:
        assert {f"{part.name}.{quantity}" for quantity in ("voltage", "charge", "energy")} <= found.keys()


@given(series_parallel("resistor", numbers("resistor")), st.integers(-12, 12), st.none() | values)
def test_resistors_in_series_and_parallel_agree_at_every_step(parts, emf, internal):
    own = None if internal is None else written(internal, "Ω")
    sketch = Sketch.of(battery("E1", f"{emf} V", "a", "0", internal=own), *parts)
    solution, steps = worked(sketch)
    assert steps.way == "rules"
    found = assert_agrees(sketch, solution, steps.steps)
    assert_equivalents_agree(sketch, steps.steps)
    for part in parts:
        assert {f"{part.name}.{quantity}" for quantity in ("voltage", "current", "power")} <= found.keys()
    assert {"E1.current", "E1.power", "E1.voltage", "E1.equivalent"} <= found.keys()


@given(series_parallel("capacitor", symbols("C")))
def test_symbols_agree_at_every_step(parts):
    assume(len(parts) <= 6)
    sketch = Sketch.of(battery("E1", "V_0", "a", "0"), *parts)
    try:
        solution, steps = worked(sketch)
    except SketchFaults:
        assume(False)
    found = assert_agrees(sketch, solution, steps.steps)
    assert_equivalents_agree(sketch, steps.steps)
    assert {f"{part.name}.charge" for part in parts} <= found.keys()


@given(
    series_parallel("resistor", numbers("resistor")),
    st.lists(series_parallel("capacitor", numbers("capacitor"), "p", "q"), min_size=1, max_size=2),
    st.data(),
)
def test_capacitors_beside_resistors_agree_at_every_step(resistors, groups, data):
    """Groups of capacitors between any two joints of a network of resistors, behind more resistors here and there."""
    joints = sorted({joint for part in resistors for joint in (part.start, part.end)})
    parts = [battery("E1", "9 V", "a", "0"), *resistors]
    for number, group in enumerate(groups):
        ends = data.draw(st.permutations(joints).map(lambda order: order[:2]))
        place = {"p": ends[0], "q": ends[1]}
        if data.draw(st.booleans()):
            place["p"] = f"m{number}"
            parts.append(resistor(f"R9{number}", "2 Ω", ends[0], f"m{number}"))
        for part in group:
            start, end = (place.get(joint, f"{joint}of{number}") for joint in (part.start, part.end))
            parts.append(capacitor(f"C{len(parts)}", part.value, start, end))
    sketch = Sketch.of(*parts)
    solution, steps = worked(sketch)
    found = assert_agrees(sketch, solution, steps.steps)
    if steps.way == "rules":
        for part in sketch.parts[1:]:
            assert f"{part.name}.voltage" in found


@given(connected(capacitor, "µF", most=5), st.booleans())
def test_any_capacitors_on_one_battery_agree_by_every_way(network, turned):
    _, _, parts, (a, b) = network
    sketch = Sketch.of(battery("E1", "12 V", f"n{b if turned else a}", f"n{a if turned else b}"), *parts)
    for solution, steps in every_way(sketch):
        found = assert_agrees(sketch, solution, steps.steps)
        if steps.way in ("rules", "star"):
            for part in parts:
                assert f"{part.name}.energy" in found


@given(connected(resistor, "Ω", most=5))
def test_any_resistors_on_one_battery_agree_by_every_way(network):
    _, _, parts, (a, b) = network
    sketch = Sketch.of(battery("E1", "12 V", f"n{a}", f"n{b}", internal="1 Ω"), *parts)
    for solution, steps in every_way(sketch):
        found = assert_agrees(sketch, solution, steps.steps)
        if steps.way in ("rules", "star"):
            for part in parts:
                assert f"{part.name}.power" in found


@given(networks())
def test_any_network_at_all_agrees_by_every_way(sketch):
    for solution, steps in every_way(sketch):
        assert_agrees(sketch, solution, steps.steps)
        steps.document()


@given(connected(capacitor, "µF", most=4))
def test_the_equivalent_between_two_joints_is_that_of_the_probe(network):
    _, _, parts, (a, b) = network
    sketch = Sketch.of(*parts, probes=[(f"n{a}", f"n{b}")])
    for solution, steps in every_way(sketch):
        assert steps.way
        assert_agrees(sketch, solution, steps.steps)
        [reading] = steps.steps[-1].readings.values()
        assert reading == solution.probes[0].capacitance


@given(connected(resistor, "Ω", most=4))
def test_so_it_is_with_resistors(network):
    _, _, parts, (a, b) = network
    sketch = Sketch.of(*parts, probes=[(f"n{a}", f"n{b}")])
    for solution, steps in every_way(sketch):
        assert steps.way
        assert_agrees(sketch, solution, steps.steps)
        [reading] = steps.steps[-1].readings.values()
        assert reading == solution.probes[0].resistance


def test_a_chain_and_a_bunch_come_to_what_is_taught():
    """Three of 30 µF: a third of one in series, three times one in parallel."""
    for sort, expected in (("series", Fraction(10)), ("parallel", Fraction(90))):
        ends = [("a", "b"), ("b", "c"), ("c", "0")] if sort == "series" else [("a", "0")] * 3
        parts = [capacitor(f"C{number}", "30 µF", *pair) for number, pair in enumerate(ends, 1)]
        _, steps = worked(Sketch.of(battery("E1", "9 V", "a", "0"), *parts))
        assert steps.steps[0].kind == sort
        assert steps.steps[0].readings["C123.capacitance"].exact * 10**6 == expected.numerator
