"""Worst cases over tolerances: held against every corner, against points within, and against sums done by hand."""

from __future__ import annotations

import random
from dataclasses import replace
from fractions import Fraction
from itertools import product

import flint
import numpy as np
import pytest
from hypothesis import assume, given, settings
from hypothesis import strategies as st

from solver import Sketch, SketchFaults, battery, capacitor, resistor, solve, switch
from solver import tolerance_worst as tolerance_module
from solver.elements import ValueReader
from solver.reading_keys import reading_at
from solver.readings import Reading
from solver.sketch import Stage
from solver.tolerance import spreads_of
from solver.tolerance_corners import Corners, readings_of
from tests.solver.strategies import batteries, capacitors, resistors

EXTREME_WITHIN = (".energy", ".power", ".charge")
"""Readings that may be extreme between corners."""


def exactly(number: Fraction | flint.fmpq) -> flint.fmpq:
    return number if isinstance(number, flint.fmpq) else flint.fmpq(number.numerator, number.denominator)


def ends_of(sketch: Sketch) -> dict[str, tuple[flint.fmpq, flint.fmpq]]:
    """The least and largest value of each part with a tolerance, in SI units."""
    reader = ValueReader()
    found = {}
    for element in map(reader.element, sketch.parts):
        if element.tolerance and element.value:
            found[element.part.name] = element.tolerance.ends(element.value.factor)
    return found


def with_values(sketch: Sketch, values: dict[str, flint.fmpq]) -> Sketch:
    """The same sketch with these values (SI units), and no tolerances."""
    units = {"capacitor": "F", "resistor": "Ω"}
    parts = [
        part._replace(value=f"{values[part.name].p}/{values[part.name].q} {units[part.kind]}", tolerance=None)
        if part.name in values
        else part
        for part in sketch.parts
    ]
    return replace(sketch, parts=tuple(parts))


def corners(sketch: Sketch):
    ends = ends_of(sketch)
    for chosen in product((0, 1), repeat=len(ends)):
        yield with_values(sketch, {name: pair[which] for (name, pair), which in zip(ends.items(), chosen, strict=True)})


def series(*values: str, emf: str = "9 V") -> Sketch:
    """Capacitors one after the other, each typed as "10 µF ±10 %"."""
    texts = [text.partition(" ±") for text in values]
    parts = [
        capacitor(f"C{k}", value, f"j{k}", f"j{k + 1}", tolerance=sign.strip() + rest if sign else None)
        for k, (value, sign, rest) in enumerate(texts, 1)
    ]
    return Sketch.of(battery("E1", emf, "j1", f"j{len(values) + 1}"), *parts)


# Named cases


def test_the_share_of_the_worst_part_in_a_string_is_the_known_formula():
    # One part at C(1 − t), the others at C(1 + t): V(1 + t)/(N − (N − 2)t), derived in the reference page.
    for count, per_cent in product((2, 3, 4, 6), (5, 10, 20)):
        sketch = series(*[f"10 µF ±{per_cent} %"] * count, emf="12 V")
        t = Fraction(per_cent, 100)
        expected = 12 * (1 + t) / (count - (count - 2) * t)
        assert spreads_of(sketch).spreads["C1.voltage"].high.exact == exactly(expected)


def test_an_energy_peaks_where_the_part_matches_the_rest():
    # In series with 10 µF on 9 V the energy is ½C·(90/(C + 10))²: largest at C = 10 µF, ½ · 10 · 4.5² = 101.25 µJ.
    # Called 12 µF ± 25 % it is 9 … 15 µF: 15 µF has ½ · 15 · 3.6² = 97.2 µJ, 9 µF has ½ · 9 · (90/19)² = 100.97 µJ.
    spread = spreads_of(series("12 µF ±25 %", "10 µF")).spreads["C1.energy"]
    assert spread.high.exact == flint.fmpq(10125, 10**8)
    assert spread.low.exact == flint.fmpq(972, 10**7)


def test_a_power_peaks_where_the_resistor_matches_the_internal_resistance():
    # 6 V with 2 Ω inside: most power at 2 Ω, 1.5² · 2 = 4.5 W; at 3 Ω it is 1.2² · 3 = 4.32 W, at 1 Ω 2² · 1 = 4 W.
    sketch = Sketch.of(
        battery("E1", "6 V", "a", "0", internal="2 Ω"), resistor("R1", "2 Ω", "a", "0", tolerance="±50 %")
    )
    spread = spreads_of(sketch).spreads["R1.power"]
    assert (spread.low.exact, spread.high.exact) == (4, flint.fmpq(9, 2))


def test_a_balanced_bridge_may_have_no_energy_or_a_little():
    parts = [capacitor(name, "10 µF", a, b, tolerance="±10 %") for name, a, b in (("C1", "a", "m"), ("C2", "m", "0"))]
    others = [capacitor(name, "10 µF", a, b, tolerance="±10 %") for name, a, b in (("C3", "a", "n"), ("C4", "n", "0"))]
    sketch = Sketch.of(battery("E1", "10 V", "a", "0"), *parts, *others, capacitor("C5", "1 µF", "m", "n"))
    found = spreads_of(sketch).spreads
    assert found["C5.voltage"].low.exact == -found["C5.voltage"].high.exact < 0
    assert found["C5.energy"].low.exact == 0
    # ½C·V² with the voltage at either end.
    volts = found["C5.voltage"].high.exact
    assert found["C5.energy"].high.exact == volts * volts / 2 / 10**6


def test_a_capacitor_charged_before_can_have_its_largest_charge_within_its_tolerance():
    # C at −3 V, joined to 20 µF at 9 V: V = (180 − 3C)/(C + 20) and Q = C·V. dQ/dC = 0 where (C + 20)² = 1600, so at
    # C = 20 µF, where Q = 20 · (180 − 60)/40 = 60 µC; with C from 15 to 25 µF that is more than at both ends.
    sketch = Sketch.of(
        capacitor("C1", "20 µF", "a", "0", initial="−3 V", tolerance="±25 %"),
        capacitor("C2", "20 µF", "a", "0", initial="9 V"),
    )
    spread = spreads_of(sketch).spreads["C1.charge"]
    assert spread.high.exact == flint.fmpq(60, 10**6)
    ends = [flint.fmpq(15 * (180 - 45), 35), flint.fmpq(25 * (180 - 75), 45)]
    assert spread.low.exact == min(ends) / 10**6


def test_the_equivalent_of_a_network_is_least_and_largest_where_all_parts_are():
    found = spreads_of(series("20 µF ±10 %", "20 µF ±10 %")).spreads["E1.equivalent"]
    assert (found.low.text, found.high.text) == ("9.00 µF", "11.0 µF")


def test_an_unequal_tolerance_reaches_as_far_down_and_up_as_it_says():
    sketch = Sketch.of(battery("E1", "10 V", "a", "0"), capacitor("C1", "10 µF", "a", "0", tolerance="−20 +80 %"))
    found = spreads_of(sketch).spreads["C1.charge"]
    assert (found.low.text, found.high.text) == ("80.0 µC", "180 µC")


def test_a_capacitor_given_by_its_build_has_its_tolerance_about_what_the_build_comes_to():
    build = "plates 20 cm² 0.1 mm mica"
    sketch = Sketch.of(battery("E1", "10 V", "a", "0"), capacitor("C1", build, "a", "0", tolerance="±10 %"))
    charge = solve(sketch).parts["C1"].charge.exact
    found = spreads_of(sketch).spreads
    assert (found["C1.charge"].low.exact, found["C1.charge"].high.exact) == (charge * 9 / 10, charge * 11 / 10)
    assert "C1.field" not in found


def test_what_no_tolerance_touches_has_no_spread():
    found = spreads_of(series("20 µF ±10 %", "20 µF")).spreads
    assert found["E1.voltage"].low.exact == found["E1.voltage"].high.exact == 9
    assert spreads_of(series("20 µF", "20 µF")).spreads == {}


def test_the_energy_in_all_is_left_out_where_nothing_bounds_it_and_everything_else_stays():
    charged = replace(
        series("20 µF ±10 %", "20 µF"),
        parts=tuple(
            part._replace(initial="2 V") if part.kind == "capacitor" else part
            for part in series("20 µF ±10 %", "20 µF").parts
        ),
    )
    found = spreads_of(charged)
    assert found.left_out == ("total.energy",)
    assert "total.lost" in found.spreads
    assert "total.energy" in spreads_of(series("20 µF ±10 %", "20 µF")).spreads


def test_symbols_and_later_stages_have_no_spread_and_a_reason():
    sketch = series("C ±10 %", "20 µF ±10 %")
    assert "symbol" in (spreads_of(sketch).reason or "")
    staged = Sketch.of(
        battery("E1", "9 V", "a", "0"),
        switch("S1", "a", "b"),
        capacitor("C1", "1 µF", "b", "0", tolerance="5 %"),
        stages=[Stage(), Stage(closed=("S1",))],
    )
    assert spreads_of(staged).reason is None
    assert "first stage only" in (spreads_of(replace(staged, stage=1)).reason or "")


def test_faults_are_told_as_everywhere():
    with pytest.raises(SketchFaults, match="C1"):
        spreads_of(series("20 parsec ±10 %"))


# Properties of any network


@st.composite
def loose_networks(draw, most=5):
    """Networks whose capacitors and resistors have tolerances, with charged capacitors and several batteries."""
    charged = draw(st.booleans())
    parts = [
        *draw(batteries(st.integers(1, 2))),
        *draw(capacitors(st.integers(0, 5), charged=charged)),
        *draw(resistors(st.integers(0, 4))),
    ]
    left = most
    loose = []
    for part in parts:
        text = (
            draw(st.sampled_from(["±10 %", "±60 %", "−20 +80 %", "±0.5 %"]))
            if part.kind != "battery" and left
            else None
        )
        left -= text is not None
        loose.append(part._replace(tolerance=text) if text else part)
    return Sketch.of(*loose)


def readings(sketch: Sketch) -> dict[str, Reading]:
    solution = solve(sketch)
    return {key: reading for key in spread_keys(sketch) if (reading := reading_at(solution, key)) is not None}


def spread_keys(sketch: Sketch) -> list[str]:
    words = {"capacitor": ("voltage", "charge", "energy"), "resistor": ("voltage", "current", "power", "passed")}
    of_battery = ("voltage", "current", "power", "charge", "work", "equivalent")
    keys = [f"{part.name}.{word}" for part in sketch.parts for word in words.get(part.kind, of_battery)]
    return [
        *keys,
        *(f"joint {joint}.potential" for joint in sketch.joints),
        *(f"total.{word}" for word in ("energy", "power", "work", "lost")),
    ]


def holds(found, sketch: Sketch) -> None:
    for key, reading in readings(sketch).items():
        if key in found:
            assert found[key].low.exact <= reading.exact <= found[key].high.exact, key


@given(loose_networks())
@settings(max_examples=80, deadline=None)
def test_no_corner_is_outside_and_what_is_extreme_at_corners_is_reached(sketch):
    assume(ends_of(sketch))
    found = spreads_of(sketch)
    assert found.proved
    at = [readings(corner) for corner in corners(sketch)]
    for key, spread in found.spreads.items():
        values = [each[key].exact for each in at if key in each]
        assert spread.low.exact <= min(values) <= max(values) <= spread.high.exact, key
        if not key.endswith(EXTREME_WITHIN):
            assert (spread.low.exact, spread.high.exact) == (min(values), max(values)), key


@given(loose_networks(most=9), st.randoms(use_true_random=False))
@settings(max_examples=80, deadline=None)
def test_no_choice_of_values_is_outside(sketch, chance):
    ends = ends_of(sketch)
    assume(ends)
    found = spreads_of(sketch).spreads
    for _ in range(5):
        shares = {name: flint.fmpq(chance.randint(0, 64), 64) for name in ends}
        holds(
            found, with_values(sketch, {name: low + shares[name] * (high - low) for name, (low, high) in ends.items()})
        )


@given(loose_networks(most=9), st.randoms(use_true_random=False))
@settings(max_examples=60, deadline=None)
def test_every_part_s_own_energy_and_power_stay_inside_along_its_whole_tolerance(sketch, chance):
    ends = ends_of(sketch)
    assume(ends)
    found = spreads_of(sketch).spreads
    name = chance.choice(list(ends))
    others = {other: chance.choice(pair) for other, pair in ends.items()}
    low, high = ends[name]
    for step in range(9):
        holds(found, with_values(sketch, others | {name: low + flint.fmpq(step, 8) * (high - low)}))


@given(loose_networks(most=6))
@settings(max_examples=50, deadline=None)
def test_climbing_finds_no_more_than_there_is_and_for_small_networks_all_of_it(sketch):
    assume(ends_of(sketch))
    proved = spreads_of(sketch)
    most = tolerance_module.MOST_ENUMERATED
    try:
        tolerance_module.MOST_ENUMERATED = 0
        found = spreads_of(sketch)
    finally:
        tolerance_module.MOST_ENUMERATED = most
    assert not found.proved
    for key, spread in found.spreads.items():
        low, high = proved.spreads[key].low.exact, proved.spreads[key].high.exact
        assert low <= spread.low.exact <= spread.high.exact <= high, key


# A hundred thousand draws


def drawn(sketch: Sketch, count: int, seed: int) -> tuple[dict[str, np.ndarray], dict[str, np.ndarray]]:
    """Capacitances drawn evenly within their tolerances, and the voltages on them, by nodal analysis of its own.

    For capacitors on one battery. The joint at the battery's − end is zero, that at its + end is its emf.
    """
    source, *parts = sketch.parts
    emf = solve(sketch).parts[source.name].voltage.value
    ends = ends_of(sketch)
    chance = np.random.default_rng(seed)
    values = {
        part.name: chance.uniform(float(ends[part.name][0]), float(ends[part.name][1]), count) * 1e6 for part in parts
    }
    free = [joint for joint in sketch.joints if joint not in (source.start, source.end)]
    node = {joint: place for place, joint in enumerate(free)}
    matrix, side = np.zeros((count, len(free), len(free))), np.zeros((count, len(free), 1))
    for part in parts:
        for here, there in ((part.start, part.end), (part.end, part.start)):
            if here in node:
                matrix[:, node[here], node[here]] += values[part.name]
                if there in node:
                    matrix[:, node[here], node[there]] -= values[part.name]
                elif there == source.start:
                    side[:, node[here], 0] += values[part.name] * emf
    solved = np.linalg.solve(matrix, side)[:, :, 0]
    level = {joint: solved[:, place] for joint, place in node.items()}
    level |= {source.start: np.full(count, emf), source.end: np.zeros(count)}
    return values, {part.name: level[part.start] - level[part.end] for part in parts}


def mesh(count: int, joints: int, seed: int) -> Sketch:
    """Capacitors with tolerances round a ring of joints and across it, on one battery."""
    chance = random.Random(seed)
    ring = [(f"j{k}", f"j{(k + 1) % joints}") for k in range(joints)]
    across = [tuple(f"j{k}" for k in chance.sample(range(joints), 2)) for _ in range(count - joints)]
    parts = [
        capacitor(
            f"C{k}",
            f"{chance.choice((1, 2.2, 4.7, 10, 22))} µF",
            a,
            b,
            tolerance=chance.choice(("±10 %", "±20 %", "−20 +80 %")),
        )
        for k, (a, b) in enumerate([*ring, *across])
    ]
    return Sketch.of(battery("E1", "9 V", "j0", f"j{joints // 2}"), *parts)


@pytest.mark.parametrize(
    ("count", "joints", "draws"), [(6, 4, 100_000), (11, 6, 100_000), (24, 12, 20_000), (60, 30, 2_000)]
)
def test_no_draw_is_outside(count, joints, draws):
    sketch = mesh(count, joints, seed=count)
    found = spreads_of(sketch)
    assert found.proved == (count <= 12)
    values, voltages = drawn(sketch, draws, seed=5)
    outside = []
    for name, voltage in voltages.items():
        charge = values[name] * 1e-6 * voltage
        for word, many in (("voltage", voltage), ("charge", charge), ("energy", charge * voltage / 2)):
            spread = found.spreads[f"{name}.{word}"]
            near = 1e-9 * float(np.abs(many).max())
            if many.min() < spread.low.value - near or many.max() > spread.high.value + near:
                outside.append(f"{name}.{word}")
    assert outside == []


def test_readings_are_those_of_the_solution():
    sketch = mesh(6, 4, seed=1)
    solution = solve(sketch)
    for key, reading in readings_of(sketch, Corners.of(sketch).network).items():
        assert reading_at(solution, key) == reading
