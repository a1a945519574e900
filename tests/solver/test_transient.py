"""Networks over time: exponentials against an integration in steps, and what must hold at every moment."""

from __future__ import annotations

from math import exp, isclose, log

import flint
import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from scipy.integrate import solve_ivp

from solver import Sketch, battery, capacitor, resistor, switch
from solver.energy import accounts
from solver.outcome import Outcome
from solver.relaxation import Relaxations
from solver.sketch import Stage
from solver.solving import solve_network
from solver.stages import solve_stages
from solver.transient import Curve, TooManyTimeConstants, Transient, transient


def course(*parts) -> tuple[Outcome, Transient]:
    outcome = solve_network(Sketch.of(*parts)).outcome
    return outcome, transient(outcome)


def at(curve: Curve, rates: tuple[float, ...], time: float) -> float:
    return float(curve.final) + sum(a * exp(-rate * time) for a, rate in zip(curve.amplitudes, rates, strict=True))


def test_one_capacitor_charges_through_one_resistor():
    _, found = course(
        battery("E1", "9 V", "e", "0"), resistor("R1", "200 kΩ", "e", "a"), capacitor("C1", "50 µF", "a", "0")
    )
    assert found.decay.exact == flint.fmpq(1, 10)  # 1 / (200 kΩ · 50 µF)
    lamp = found.parts["C1"]
    assert (lamp.voltage.first, lamp.voltage.final, lamp.voltage.amplitudes) == (0, 9, (-9.0,))
    assert found.parts["R1"].current.first == flint.fmpq(9, 200_000)
    # Half of the battery's work, ½·50 µF·(9 V)² = 2.025 mJ, is heat in the resistor, whatever its resistance.
    assert found.parts["R1"].heat == flint.fmpq(2025, 10**6)
    assert isclose(at(lamp.voltage, found.decay.rates, 10 * log(2)), 4.5)


def test_a_time_constant_in_symbols_is_a_formula():
    outcome, found = course(
        battery("E1", "V_0", "e", "0"),
        resistor("R1", "R", "e", "a"),
        capacitor("C1", "C", "a", "0"),
        resistor("R2", "2R", "a", "0"),
    )
    number = outcome.network.arithmetic
    [conductance] = {part.resistance for part in outcome.network.resistors if part.name == "R1"}
    [capacitance] = {part.capacitance for part in outcome.network.capacitors}
    # The two resistors side by side are 2R/3.
    assert number.one / found.decay.exact == conductance * 2 / 3 * capacitance
    assert found.parts["C1"].voltage.amplitudes == ()


def test_several_time_constants_in_symbols_are_too_many():
    with pytest.raises(TooManyTimeConstants):
        course(
            resistor("R1", "R", "a", "b"),
            capacitor("C1", "C", "a", "0", initial="V_0"),
            capacitor("C2", "3C", "b", "0"),
            resistor("R2", "R", "b", "0"),
        )


def test_ideal_parts_share_at_once_and_the_rest_takes_its_time():
    """30 µF at 9 V beside an empty 15 µF: 270 µC on 45 µF make 6 V at once, and 2 kΩ · 45 µF = 90 ms empty them."""
    _, found = course(
        capacitor("C1", "30 µF", "a", "0", initial="9 V"),
        capacitor("C2", "15 µF", "a", "0"),
        resistor("R1", "2 kΩ", "a", "0"),
    )
    assert found.parts["C2"].voltage.first == 6
    assert found.decay.exact == 1 / flint.fmpq(90, 1000)


def test_with_two_equal_time_constants_there_is_one_rate():
    _, found = course(
        capacitor("C1", "10 µF", "a", "0", initial="5 V"),
        resistor("R1", "1 kΩ", "a", "0"),
        capacitor("C2", "10 µF", "b", "0", initial="3 V"),
        resistor("R2", "1 kΩ", "b", "0"),
    )
    assert found.decay.rates == (100.0,)
    assert found.parts["C2"].voltage.amplitudes == (3.0,)


def test_where_nothing_moves_there_is_no_rate():
    _, found = course(battery("E1", "9 V", "a", "0"), capacitor("C1", "10 µF", "a", "0"))
    assert found.decay.rates == ()
    assert found.parts["C1"].voltage == Curve(flint.fmpq(9), flint.fmpq(9), ())


def test_a_network_of_nothing_has_no_curve_but_that_of_its_work():
    found = transient(solve_network(Sketch({}, ())).outcome)
    assert (found.potentials, found.parts, found.decay.rates) == ((), {}, ())
    assert found.work == Curve(0, 0, ())


def test_time_constants_a_thousand_million_times_apart_keep_all_their_digits():
    """Far apart they are those of the parts by themselves but for corrections of that order."""
    _, found = course(
        battery("E1", "10 V", "e", "0"),
        resistor("R1", "1 Ω", "e", "a"),
        capacitor("C1", "1 nF", "a", "0"),
        resistor("R2", "1 MΩ", "a", "b"),
        capacitor("C2", "1 µF", "b", "0"),
    )
    slow, fast = found.decay.rates
    # Trace and determinant of the equations: λ₁ + λ₂ and λ₁·λ₂, the small root by division.
    trace, determinant = 1e9 + 1e-6 / 1e-9 + 1.0, 1e9
    assert isclose(slow * fast, determinant, rel_tol=1e-14)
    assert isclose(slow + fast, trace, rel_tol=1e-15)
    assert isclose(at(found.parts["C2"].voltage, found.decay.rates, 1.0), 10 * (1 - exp(-1)), rel_tol=1e-6)


VALUES = st.sampled_from((1, 2, 3, 5, 8))


@st.composite
def networks(draw):
    """Up to 20 parts: a battery with something inside, resistors and capacitors, one of these from each joint to 0."""
    joints = [f"j{n}" for n in range(draw(st.integers(1, 8)))]
    everywhere = st.sampled_from([*joints, "0"])
    pairs = st.tuples(everywhere, everywhere).filter(lambda pair: pair[0] != pair[1])
    starts = st.sampled_from(("0 V", "4 V", "-7 V"))
    parts = [battery("E1", "9 V", "j0", "0", internal=f"{draw(VALUES)} Ω")]
    for n, joint in enumerate(joints):
        parts.append(capacitor(f"C{n}", f"{draw(VALUES)} F", joint, "0", initial=draw(starts)))
    for n, (a, b) in enumerate(draw(st.lists(pairs, max_size=8))):
        parts.append(resistor(f"R{n}", f"{draw(VALUES)} Ω", a, b))
    for n, (a, b) in enumerate(draw(st.lists(pairs, max_size=3))):
        parts.append(capacitor(f"D{n}", f"{draw(VALUES)} F", a, b))
    return parts


@given(networks())
@settings(max_examples=40, deadline=None)
def test_the_curves_are_those_of_an_integration_in_steps(parts):
    outcome, found = course(*parts)
    number = outcome.network.conductor_of
    zero = number["0"]
    rows = [c for c in range(len(outcome.network.conductors)) if c != zero]
    place = {c: index for index, c in enumerate(rows)}
    capacitances, conductances, pushed = np.zeros((len(rows),) * 2), np.zeros((len(rows),) * 2), np.zeros(len(rows))
    charges = np.zeros(len(rows))

    def stamp(matrix, a, b, weight):
        for here, there in ((a, b), (b, a)):
            if here in place:
                matrix[place[here], place[here]] += weight
                if there in place:
                    matrix[place[here], place[there]] -= weight

    for part in parts:
        a, b, value = number[part.start], number[part.end], float(part.value.split()[0])
        if part.kind == "capacitor":
            stamp(capacitances, a, b, value)
            began = value * float((part.initial or "0 V").split()[0])
            for conductor, charge in ((a, began), (b, -began)):
                if conductor in place:
                    charges[place[conductor]] += charge
        else:
            weight = 1 / float((part.internal or part.value).split()[0])
            stamp(conductances, a, b, weight)
            if part.kind == "battery":
                pushed[place[a]] += weight * value
    inverse = np.linalg.inv(capacitances)
    times = [0.0, 0.3, 2.0, 20.0]
    steps = solve_ivp(
        lambda _, level: inverse @ (pushed - conductances @ level),
        (0.0, times[-1]),
        inverse @ charges,
        "Radau",
        times,
        rtol=1e-10,
        atol=1e-12,
    )
    for column, time in enumerate(times):
        for conductor in rows:
            got = at(found.potentials[conductor], found.decay.rates, time)
            assert got == pytest.approx(steps.y[place[conductor], column], rel=1e-7, abs=1e-8)


@given(networks(), st.floats(0, 30))
@settings(max_examples=40, deadline=None)
def test_as_much_comes_to_every_conductor_as_leaves_it_at_any_moment(parts, time):
    outcome, found = course(*parts)
    leaving = [0.0] * len(outcome.network.conductors)
    for part in outcome.network.branches:
        current = at(found.parts[part.name].current, found.decay.rates, time)
        sign = -1 if part in outcome.network.batteries else 1
        leaving[part.a] += sign * current
        leaving[part.b] -= sign * current
    assert leaving == pytest.approx([0.0] * len(leaving), abs=1e-9)


def test_an_ideal_battery_supplies_what_leaves_its_plus_terminal():
    """9 V on 3 kΩ with 6 µF behind it and on a bare 2 µF: this is full at once, the other draws 3 mA at first."""
    _, found = course(
        battery("E1", "9 V", "e", "0"),
        resistor("R1", "3 kΩ", "e", "a"),
        capacitor("C1", "6 µF", "a", "0"),
        capacitor("C2", "2 µF", "e", "0"),
    )
    assert found.parts["C2"].voltage.first == 9
    assert found.parts["E1"].current == Curve(flint.fmpq(3, 1000), flint.fmpq(0), (0.003,))


@given(st.lists(st.tuples(VALUES, VALUES, st.sampled_from(("0 V", "6 V", "-2 V"))), min_size=1, max_size=6))
@settings(max_examples=40, deadline=None)
def test_the_heat_in_all_resistors_is_what_is_lost(sections):
    """A ladder: resistors along, capacitors across, some charged, on an ideal battery."""
    parts = [battery("E1", "9 V", "j0", "0")]
    for n, (resistance, capacitance, start) in enumerate(sections):
        parts.append(resistor(f"R{n}", f"{resistance} kΩ", f"j{n}", f"j{n + 1}"))
        parts.append(capacitor(f"C{n}", f"{capacitance} µF", f"j{n + 1}", "0", initial=start))
    outcome, found = course(*parts)
    lost = sum(account.lost for account in accounts(outcome))
    heat = sum(float(found.parts[part.name].heat) for part in outcome.network.resistors)
    assert heat == pytest.approx(float(lost), rel=1e-13)


# Fewer rates than capacitors, and stages that share what they have in common


def test_of_a_symmetrical_network_only_what_moves_is_followed():
    """Two like branches charge alike, so they go as one with half the resistance and twice the capacitance; a third
    network beside them is at rest. The equations: λ² − λ·(1/R₁C₁ + 1/R₁C₂ + 1/R₂C₂) + 1/(R₁R₂C₁C₂) = 0."""
    _, found = course(
        battery("E1", "6 V", "e", "0"),
        resistor("R1", "2 Ω", "e", "m"),
        capacitor("C1", "1 F", "m", "0"),
        *(part for n in "ab" for part in (resistor(f"R{n}", "4 Ω", "m", n), capacitor(f"C{n}", "3 F", n, "0"))),
        capacitor("C9", "5 F", "x", "y", initial="2 V"),
        resistor("R9", "7 Ω", "y", "z"),
    )
    slow, fast = found.decay.rates
    # R₁ = 2 Ω to 1 F, then 2 Ω to 6 F: λ₁ + λ₂ = 1/2 + 1/2 + 1/12 and λ₁·λ₂ = 1/24.
    assert isclose(slow + fast, 13 / 12, rel_tol=1e-15)
    assert isclose(slow * fast, 1 / 24, rel_tol=1e-15)
    assert found.parts["Ca"].voltage == found.parts["Cb"].voltage
    assert found.parts["C9"].voltage == Curve(flint.fmpq(2), flint.fmpq(2), (0.0, 0.0))


def test_two_deviations_that_go_alike_have_one_rate():
    """Three like sections in a ring, one of them charged: what leaves it comes to both others alike."""
    ring = [resistor(f"R{n}", "1 Ω", f"j{n}", f"j{(n + 1) % 3}") for n in range(3)]
    stores = [capacitor(f"C{n}", "1 F", f"j{n}", "0", initial="3 V" if n == 0 else "0 V") for n in range(3)]
    _, found = course(*ring, *stores)
    # The ring evens out at 3/s (eigenvalues 0, 3, 3), and nothing leaves it: all come to 1 V.
    assert found.decay.exact == 3
    assert [found.parts[f"C{n}"].voltage.final for n in range(3)] == [1, 1, 1]
    assert found.parts["C1"].voltage.amplitudes == (-1.0,)


@given(networks(), networks())
@settings(max_examples=30, deadline=None)
def test_what_is_kept_of_one_network_does_not_change_the_next(one, other):
    known = Relaxations()
    for parts in (one, other, one):
        outcome = solve_network(Sketch.of(*parts)).outcome
        shared, alone = transient(outcome, known=known), transient(outcome)
        assert shared.decay.rates == alone.decay.rates
        assert (shared.potentials, shared.parts, shared.work) == (alone.potentials, alone.parts, alone.work)


def test_the_curves_of_some_parts_are_those_that_they_have_among_all():
    parts = (
        battery("E1", "9 V", "e", "0", internal="1 Ω"),
        resistor("R1", "1 Ω", "e", "b"),
        capacitor("C1", "2 F", "b", "0"),
        resistor("R2", "3 Ω", "b", "c"),
        capacitor("C2", "5 F", "c", "0", initial="4 V"),
    )
    outcome, every = course(*parts)
    some = transient(outcome, of={"C2", "R1"})
    assert some.parts == {name: every.parts[name] for name in ("C2", "R1")}
    assert some.potentials == every.potentials
    assert some.decay.rates == every.decay.rates
    assert some.work is None


def test_stages_with_the_same_parts_have_the_courses_that_they_have_by_themselves():
    parts = (
        battery("E1", "9 V", "e", "0"),
        switch("S1", "e", "a"),
        resistor("R1", "1 Ω", "a", "b"),
        capacitor("C1", "2 F", "b", "0"),
        resistor("R2", "3 Ω", "b", "c"),
        capacitor("C2", "5 F", "c", "0"),
    )
    stages = [
        Stage(closed=("S1",)),
        Stage(closed=("S1",), settings=(("E1", "4 V"),)),
        Stage(closed=("S1",), settings=(("C1", "7 F"),)),
        Stage(closed=()),
        Stage(closed=("S1",), settings=(("E1", "9 V"), ("C1", "2 F"))),
    ]
    for solved in solve_stages(Sketch.of(*parts, stages=stages)):
        assert solved.thrown.over_time.decay.rates == transient(solved.thrown.outcome).decay.rates
        assert solved.thrown.over_time.parts == transient(solved.thrown.outcome).parts
