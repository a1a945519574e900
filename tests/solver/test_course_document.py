"""What a course as a document says of every moment: the laws hold between its readings at any time.

A moment is put together here as the page does it, from nothing but the document.
"""

from __future__ import annotations

import json
from math import exp, inf
from typing import Any

import mpmath
import pytest
from hypothesis import assume, given, settings
from hypothesis import strategies as st

from solver import Sketch, battery, capacitor, resistor, switch, wire
from solver.sketch import Stage
from solver.stage_document import stages_document
from solver.stages import solve_stages


def course(*parts: Any, stages: int = 1, probes: Any = ()) -> tuple[Any, Any]:
    """The document of the last of so many stages, all switches closed, and its course."""
    sketch = Sketch.of(*parts, stages=[Stage(closed=("S1",))] * stages, probes=probes)
    document = json.loads(json.dumps(stages_document(solve_stages(sketch), stages - 1)))[stages - 1]
    return document, document["course"]


class Moment:
    """All readings of a course at a time, seconds after its start."""

    def __init__(self, found: Any, time: float) -> None:
        moment = found["moment"]
        self._all = {
            f"{name}.{word}": each
            for readings in (found["parts"], moment["parts"])
            for name, own in readings.items()
            for word, each in own.items()
        }
        self._all |= {f"conductor {name}": own["potential"] for name, own in wrapped(moment["conductors"]).items()}
        self._all |= {f"total.{word}": each for word, each in moment["totals"].items()}
        self._left = [exp(-time / constant) for constant in found["timeConstants"]]

    def __getitem__(self, key: str) -> float:
        return self.value(self._all[key])

    def value(self, each: Any) -> float:
        if "amplitudes" in each:
            final = each["final"]
            end = final["value"] if isinstance(final, dict) else final
            return float(end + sum(a * left for a, left in zip(each["amplitudes"], self._left, strict=True)))
        total = each["constant"]
        for factor, *keys in each["terms"]:
            for key in keys:
                factor *= self[key]
            total += factor
        return float(total)


def wrapped(conductors: Any) -> Any:
    return {name: {"potential": curve} for name, curve in conductors.items()}


VALUES = st.sampled_from((1, 2, 3, 5, 8))
STARTS = st.sampled_from(("0 V", "4 V", "-7 V"))


@st.composite
def networks(draw: st.DrawFn) -> list[Any]:
    """A ladder on a battery, ideal or not, and a few parts across it."""
    count = draw(st.integers(1, 4))
    inside = draw(st.sampled_from((None, "2 Ω")))
    parts = [battery("E1", "9 V", "b", "0", internal=inside), switch("S1", "b", "j0")]
    for n in range(count):
        parts.append(resistor(f"R{n}", f"{draw(VALUES)} Ω", f"j{n}", f"j{n + 1}"))
        parts.append(capacitor(f"C{n}", f"{draw(VALUES)} F", f"j{n + 1}", "0", initial=draw(STARTS)))
    ends = st.sampled_from([f"j{n}" for n in range(count + 1)])
    pairs = st.tuples(ends, ends).filter(lambda pair: pair[0] != pair[1])
    for n, (a, b) in enumerate(draw(st.lists(pairs, max_size=2))):
        parts.append(capacitor(f"D{n}", f"{draw(VALUES)} F", a, b))
    if draw(st.booleans()):
        parts.append(resistor("R9", f"{draw(VALUES)} Ω", f"j{count}", "0"))
    return parts


def value_of(part: Any) -> float:
    return float(part.value.split()[0])


@given(networks(), st.floats(1e-3, 40))
@settings(max_examples=60, deadline=None)
def test_every_law_holds_at_any_moment(parts: list[Any], time: float) -> None:
    document, found = course(*parts)
    assume(found is not None)
    at = Moment(found, time)
    conductor = {joint: each["conductor"] for joint, each in document["solution"]["joints"].items()}
    for part in parts:
        if part.kind == "switch":
            continue
        ends = at[f"conductor {conductor[part.start]}"] - at[f"conductor {conductor[part.end]}"]
        voltage = at[f"{part.name}.voltage"]
        assert voltage == pytest.approx(ends, abs=1e-9)
        if part.kind == "capacitor":
            assert at[f"{part.name}.charge"] == pytest.approx(value_of(part) * voltage, abs=1e-9)
            assert at[f"{part.name}.energy"] == pytest.approx(value_of(part) * voltage**2 / 2, abs=1e-9)
        elif part.kind == "resistor":
            assert at[f"{part.name}.current"] == pytest.approx(voltage / value_of(part), abs=1e-9)
            assert at[f"{part.name}.power"] == pytest.approx(voltage**2 / value_of(part), abs=1e-9)
        else:
            assert at[f"{part.name}.power"] == pytest.approx(9 * at[f"{part.name}.current"], abs=1e-8)


@given(networks(), st.floats(0.05, 20))
@settings(max_examples=60, deadline=None)
def test_what_is_lost_grows_as_fast_as_resistances_take_it(parts: list[Any], time: float) -> None:
    """d(lost)/dt is the power in all resistances, and d(work)/dt the battery's: by differences over a short time."""
    _, found = course(*parts)
    assume(found is not None and "lost" in found["moment"]["totals"])
    short = 1e-5
    before, at, after = (Moment(found, time + step) for step in (-short, 0, short))
    for grows, by in (("total.lost", "total.power"), ("total.work", "E1.power"), ("E1.charge", "E1.current")):
        assert (after[grows] - before[grows]) / (2 * short) == pytest.approx(at[by], abs=1e-4, rel=1e-4)


@given(networks())
@settings(max_examples=60, deadline=None)
def test_heat_and_spark_make_up_what_the_account_says_is_lost(parts: list[Any]) -> None:
    document, found = course(*parts)
    assume(found is not None and document["account"] is not None)
    heat = sum(own["heat"]["value"] for own in found["parts"].values() if "heat" in own)
    lost = document["account"]["lost"]["value"]
    assert heat + found["spark"]["value"] == pytest.approx(lost, rel=1e-12, abs=1e-12)
    totals = found["moment"]["totals"]
    assert totals["lost"]["first"]["exact"] == found["spark"]["exact"]
    assert totals["lost"]["final"]["exact"] == document["account"]["lost"]["exact"]


@given(networks())
@settings(max_examples=40, deadline=None)
def test_both_ends_are_written_from_exact_numbers(parts: list[Any]) -> None:
    document, found = course(*parts)
    assume(found is not None)
    first = Moment(found, 0)
    for name, own in found["moment"]["parts"].items():
        for word, each in own.items():
            assert first.value(each) == pytest.approx(each["first"]["value"], rel=1e-9, abs=1e-9)
            if name in document["solution"]["parts"] and word in document["solution"]["parts"][name]:
                assert each["final"]["exact"] == document["solution"]["parts"][name][word]["exact"]


def test_an_ideal_battery_has_given_at_once_what_bare_capacitors_take() -> None:
    """9 V on a bare 2 µF and, through 3 kΩ, on 6 µF: 18 µC at once, 54 µC more with 18 ms."""
    _, found = course(
        battery("E1", "9 V", "b", "0"),
        switch("S1", "b", "e"),
        resistor("R1", "3 kΩ", "e", "a"),
        capacitor("C1", "6 µF", "a", "0"),
        capacitor("C2", "2 µF", "e", "0"),
    )
    charge = found["parts"]["E1"]["charge"]
    assert (charge["first"]["text"], charge["final"]["text"]) == ("18.0 µC", "72.0 µC")
    assert charge["amplitudes"] == pytest.approx([-54e-6])
    # Half of the 162 µJ that the battery spent on the bare one went as a spark.
    assert found["spark"]["text"] == "81.0 µJ"


def test_checks_say_with_which_signs_readings_go_into_them() -> None:
    document, found = course(
        battery("E1", "9 V", "b", "0"),
        switch("S1", "b", "e"),
        resistor("R1", "3 kΩ", "e", "a"),
        capacitor("C1", "6 µF", "a", "0"),
    )
    at = Moment(found, 0.01)
    told = 0
    for check, signs in zip(document["solution"]["checks"], found["moment"]["signs"], strict=True):
        if signs is not None:
            told += 1
            assert sum(sign * at[f"{part}.voltage"] for sign, part in zip(signs, check["parts"], strict=True)) == (
                pytest.approx(0, abs=1e-12)
            )
    assert told == 1


def test_an_open_switch_and_a_pair_of_joints_have_their_voltage() -> None:
    _, found = course(
        battery("E1", "9 V", "b", "0"),
        switch("S1", "b", "e"),
        switch("S2", "a", "0"),
        resistor("R1", "3 kΩ", "e", "a"),
        capacitor("C1", "6 µF", "a", "0"),
        probes=[("b", "a")],
    )
    # e⁻¹ of 9 V is left across the resistor after one time constant, 18 ms.
    at = Moment(found, 0.018)
    assert at["S2.voltage"] == pytest.approx(9 - 9 * exp(-1))
    [probe] = found["moment"]["probes"]
    assert at.value(probe) == pytest.approx(9 * exp(-1))


# Tiles


def tiles(found: Any, kind: str) -> Any:
    [picture] = [each for each in found["moment"]["tiles"] if each["kind"] == kind]
    return picture


def test_parts_that_always_share_their_charge_stack_at_every_moment() -> None:
    _, found = course(
        battery("E1", "9 V", "b", "0"),
        switch("S1", "b", "e"),
        resistor("R1", "3 kΩ", "e", "a"),
        capacitor("C1", "30 µF", "a", "m"),
        capacitor("C2", "10 µF", "m", "0"),
        capacitor("C3", "5 µF", "m", "0"),
    )
    picture = tiles(found, "capacitor")
    assert picture["note"] is None
    for time in (0.001, 0.02, 0.3):
        at = Moment(found, time)
        left = {tile["part"]: at.value(tile["left"]) for tile in picture["tiles"]}
        wide = {name: at[f"{name}.charge"] for name in left}
        assert left["C1"] == pytest.approx(0, abs=1e-15)
        assert wide["C1"] == pytest.approx(wide["C2"] + wide["C3"])
        [first, second] = sorted(("C2", "C3"), key=left.__getitem__)
        assert left[first] == pytest.approx(0, abs=1e-15)
        assert left[second] == pytest.approx(wide[first])


def test_parts_that_give_charge_to_each_other_stand_side_by_side() -> None:
    _, found = course(
        capacitor("C1", "30 µF", "a", "0", initial="9 V"),
        switch("S1", "a", "b"),
        resistor("R1", "3 kΩ", "b", "c"),
        capacitor("C2", "10 µF", "c", "0"),
    )
    assert tiles(found, "capacitor")["note"].startswith("They do not fill one rectangle")
    assert tiles(found, "resistor")["note"] is None


# Too much, and far apart


def test_more_parts_than_are_worked_out_are_said() -> None:
    parts = [capacitor(f"C{n}", "1 µF", f"j{n}", f"j{n + 1}") for n in range(200)]
    _, found = course(*parts, resistor("R1", "1 Ω", "j200", "j201"), switch("S1", "j201", "j0"))
    assert found == {"reason": "The course in time is worked out for up to 200 parts."}


def test_two_hundred_parts_have_their_course() -> None:
    """197 kΩ in a row charge 1 µF: after 197 ms e⁻¹ of 9 V is left for the resistors, 9 V/197 · e⁻¹ for each."""
    resistors = [resistor(f"R{n}", "1 kΩ", f"j{n}", f"j{n + 1}") for n in range(197)]
    _, found = course(
        battery("E1", "9 V", "b", "0"), switch("S1", "b", "j0"), *resistors, capacitor("C1", "1 µF", "j197", "0")
    )
    assert found["timeTexts"] == ["197 ms"]
    at = Moment(found, 0.197)
    assert at["C1.voltage"] == pytest.approx(9 - 9 * exp(-1), rel=1e-14)
    assert at["R100.voltage"] == pytest.approx(9 / 197 * exp(-1), rel=1e-14)


def long_ladder(sections: int) -> list[Any]:
    """Resistors along, capacitors across, all different and of 13 figures."""
    parts = [battery("E1", "9 V", "b", "0"), switch("S1", "b", "j0")]
    for n in range(sections):
        parts.append(resistor(f"R{n}", f"{1 + n / 7:.12f} kΩ", f"j{n}", f"j{n + 1}"))
        parts.append(capacitor(f"C{n}", f"{1 + n / 11:.12f} µF", f"j{n + 1}", "0"))
    return parts


def test_numbers_that_get_too_long_in_a_large_network_are_said() -> None:
    _, found = course(*long_ladder(39))
    assert found == {
        "reason": "The course in time is not worked out here: in a network of this size its exact numbers get too "
        "long. Fewer parts, or values with fewer figures, help."
    }


def test_with_fewer_parts_long_numbers_have_their_course() -> None:
    _, found = course(*long_ladder(29))
    assert len(found["timeConstants"]) == 29
    assert Moment(found, inf)["C28.voltage"] == 9


def test_several_time_constants_in_symbols_are_said() -> None:
    _, found = course(
        resistor("R1", "R", "a", "b"),
        capacitor("C1", "C", "a", "0", initial="V_0"),
        switch("S1", "b", "c"),
        capacitor("C2", "3C", "c", "0"),
        resistor("R2", "R", "c", "0"),
    )
    assert list(found) == ["reason"]


def test_a_stage_that_is_not_shown_has_no_course() -> None:
    parts = (battery("E1", "9 V", "b", "0"), switch("S1", "b", "e"), resistor("R1", "1 Ω", "e", "a"))
    sketch = Sketch.of(*parts, capacitor("C1", "1 F", "a", "0"), stages=[Stage(closed=("S1",)), Stage(closed=())])
    first, second = stages_document(solve_stages(sketch), 0)
    assert "course" in first
    assert "course" not in second


@pytest.mark.parametrize("apart", [3, 6, 9])
def test_stiff_networks_keep_twelve_digits_at_every_moment(apart: int) -> None:
    """R1·C1 is 10^apart times shorter than R2·C2; the exact solution of the two equations with mpmath's 60 digits."""
    _, found = course(
        battery("E1", "10 V", "b", "0"),
        switch("S1", "b", "e"),
        resistor("R1", "1 Ω", "e", "a"),
        capacitor("C1", f"{10.0**-apart:.9f} F" if apart < 9 else "1 nF", "a", "0"),
        resistor("R2", "1 MΩ", "a", "m"),
        capacitor("C2", "1 µF", "m", "0"),
    )
    with mpmath.workdps(60):
        c1 = mpmath.mpf(10) ** -apart
        # C·du/dt = −G·(u − 10): the matrix of rates, its exponential.
        r2, c2 = mpmath.mpf(10) ** 6, mpmath.mpf(10) ** -6
        matrix = -mpmath.matrix([[(1 + 1 / r2) / c1, -1 / r2 / c1], [-1 / r2 / c2, 1 / r2 / c2]])
        values, left = mpmath.eig(matrix)
        weights = mpmath.lu_solve(left, mpmath.matrix([-10, -10]))
        for time in (float(c1) / 3, float(c1) * 5, 1e-3, 1.0, 7.0):
            at = Moment(found, time)
            for row, name in enumerate(("C1", "C2")):
                exact = 10 + sum(left[row, k] * weights[k] * mpmath.exp(values[k] * mpmath.mpf(time)) for k in (0, 1))
                assert at[f"{name}.voltage"] == pytest.approx(float(mpmath.re(exact)), rel=1e-12, abs=1e-12)


def test_a_wire_takes_no_part() -> None:
    _, found = course(
        battery("E1", "9 V", "b", "0"),
        switch("S1", "b", "e"),
        resistor("R1", "1 Ω", "e", "a"),
        capacitor("C1", "1 F", "a", "y"),
        wire("W1", "y", "0"),
    )
    assert set(found["moment"]["parts"]) == {"E1", "S1", "R1", "C1"}
    assert Moment(found, inf)["C1.voltage"] == 9
