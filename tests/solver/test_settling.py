"""What passes while a network settles: against formulas worked by hand, and against integrating it step by step."""

from __future__ import annotations

from fractions import Fraction

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from scipy.integrate import solve_ivp

from solver import Sketch, battery, capacitor, resistor, solve, wire
from tests.solver.exactly import fraction
from tests.solver.strategies import values, voltages, written


def micro(reading):
    """A charge in µC, or an energy in µJ."""
    return fraction(reading) * 10**6


def test_one_capacitor_takes_its_charge_through_the_resistor_and_half_the_work_is_lost():
    solution = solve(
        Sketch.of(battery("E1", "9 V", "a", "0"), resistor("R1", "1 kΩ", "a", "b"), capacitor("C1", "10 µF", "b", "0"))
    )
    assert micro(solution.parts["E1"].charge) == micro(solution.parts["R1"].passed) == 10 * 9
    assert micro(solution.parts["E1"].work) == 9 * 90
    assert micro(solution.totals.lost) == Fraction(9 * 90, 2)


def test_two_ways_to_a_capacitor_share_its_charge_as_they_share_a_current():
    solution = solve(
        Sketch.of(
            battery("E1", "9 V", "a", "0"),
            resistor("R1", "1 Ω", "a", "b"),
            resistor("R2", "2 Ω", "a", "b"),
            capacitor("C1", "10 µF", "b", "0"),
        )
    )
    # At every moment the currents are as 2 to 1, so the charges are.
    assert (micro(solution.parts["R1"].passed), micro(solution.parts["R2"].passed)) == (60, 30)


def test_two_batteries_side_by_side_share_the_charge_by_their_internal_resistances():
    solution = solve(
        Sketch.of(
            battery("E1", "9 V", "a", "0", internal="1 Ω"),
            battery("E2", "9 V", "a", "0", internal="2 Ω"),
            capacitor("C1", "10 µF", "a", "0"),
        )
    )
    assert (micro(solution.parts["E1"].charge), micro(solution.parts["E2"].charge)) == (60, 30)
    assert solution.parts["E1"].current.exact == 0


def test_a_battery_that_charges_another_takes_work_out_of_it():
    solution = solve(
        Sketch.of(battery("E1", "9 V", "a", "0"), battery("E2", "6 V", "b", "0"), capacitor("C1", "10 µF", "a", "b"))
    )
    # 3 V on 10 µF: 30 µC leave E1 and go into E2.
    assert (micro(solution.parts["E1"].charge), micro(solution.parts["E2"].charge)) == (30, -30)
    assert (micro(solution.parts["E1"].work), micro(solution.parts["E2"].work)) == (270, -180)
    assert micro(solution.totals.lost) == 90 - 45


def test_an_ideal_battery_across_a_charged_capacitor_sets_its_voltage_at_once():
    solution = solve(Sketch.of(battery("E1", "9 V", "a", "0"), capacitor("C1", "10 µF", "a", "0", initial="12 V")))
    assert micro(solution.parts["E1"].charge) == 10 * (9 - 12)
    # Work −270 µJ, stored energy down from 720 to 405 µJ: 45 µJ is ½·10·3², lost in the spark.
    assert micro(solution.totals.lost) == 45


def test_capacitors_in_a_loop_share_their_charges_when_nothing_conducts():
    solution = solve(
        Sketch.of(
            capacitor("C1", "2 µF", "a", "b", initial="12 V"),
            capacitor("C2", "3 µF", "b", "c"),
            capacitor("C3", "6 µF", "c", "a"),
        )
    )
    # The charge q that goes round makes 12 − q/2 = q/3 + q/6.
    assert [micro(solution.parts[name].charge) for name in ("C1", "C2", "C3")] == [12, -12, -12]
    starts = [check.start.text for check in solution.checks if check.kind == "charge"]
    assert starts == ["24.0 µC", "−24.0 µC", "0 C"]


def test_a_lone_charged_capacitor_keeps_its_charge():
    solution = solve(Sketch.of(capacitor("C1", "2 µF", "a", "b", initial="12 V")))
    assert (solution.parts["C1"].voltage.text, solution.totals.lost.text) == ("12.0 V", "0 J")
    assert [check.kind for check in solution.checks] == ["charge", "charge", "energy"]


def test_a_charged_capacitor_with_its_ends_joined_loses_all_its_energy():
    solution = solve(Sketch.of(capacitor("C1", "2 µF", "a", "b", initial="10 V"), wire("W1", "a", "b")))
    assert (solution.parts["C1"].charge.text, solution.parts["C1"].energy.text) == ("0 C", "0 J")
    assert micro(solution.totals.lost) == 100


def test_capacitors_within_a_body_take_the_voltage_of_the_steady_state():
    solution = solve(
        Sketch.of(
            battery("E1", "9 V", "a", "0"),
            resistor("R1", "1 Ω", "a", "b"),
            resistor("R2", "2 Ω", "b", "0"),
            capacitor("C1", "10 µF", "a", "b", initial="7 V"),
            capacitor("C2", "10 µF", "b", "0"),
        )
    )
    assert [solution.parts[name].voltage.text for name in ("C1", "C2")] == ["3.00 V", "6.00 V"]
    assert solution.totals.work is None
    assert solution.totals.lost is None
    assert [check.kind for check in solution.checks] == ["loop", "loop", "loop"]


def test_charge_that_passes_where_no_current_remains_is_told_even_beside_a_steady_current():
    solution = solve(
        Sketch.of(
            battery("E1", "9 V", "a", "0"),
            resistor("R1", "1 Ω", "a", "b"),
            resistor("R2", "2 Ω", "b", "0"),
            resistor("R3", "5 Ω", "b", "c"),
            battery("E2", "2 V", "c", "d"),
            capacitor("C1", "10 µF", "d", "0"),
        )
    )
    # C1 ends at 6 − 2 V, and its charge came through R3 and backwards through E2.
    assert micro(solution.parts["R3"].passed) == 40
    assert micro(solution.parts["E2"].charge) == -40
    assert solution.parts["R1"].passed is None
    assert solution.parts["E1"].charge is None


def test_a_steady_current_in_one_network_leaves_another_on_the_sheet_alone():
    solution = solve(
        Sketch.of(
            battery("E1", "9 V", "a", "0"),
            resistor("R1", "1 Ω", "a", "0"),
            battery("E2", "5 V", "b", "1"),
            capacitor("C1", "10 µF", "b", "1"),
        )
    )
    assert micro(solution.parts["E2"].work) == 250
    assert [check.parts for check in solution.checks if check.kind == "energy"] == [("E2", "C1")]


@st.composite
def resistor_capacitor_networks(draw):
    """Nodes that each have a capacitor to 0, resistors that tie them all to a battery's + terminal."""
    size = draw(st.integers(1, 5))
    ends = [(draw(st.integers(0, node - 1)), node) for node in range(1, size + 1)]
    ends += draw(
        st.lists(st.tuples(st.integers(0, size), st.integers(0, size)).filter(lambda e: e[0] != e[1]), max_size=5)
    )
    return (
        draw(voltages),
        [(a, b, draw(values)) for a, b in ends],
        [(draw(values), draw(voltages)) for _ in range(size)],
    )


@settings(max_examples=20)
@given(resistor_capacitor_networks())
def test_the_charge_through_each_resistor_is_its_current_added_up_over_time(network):
    emf, resistances, capacitances = network
    parts = [battery("E1", written(emf, "V"), "n0", "0")]
    parts += [resistor(f"R{k}", written(r, "Ω"), f"n{a}", f"n{b}") for k, (a, b, r) in enumerate(resistances)]
    parts += [
        capacitor(f"C{k}", written(c, "F"), f"n{k + 1}", "0", initial=written(v, "V"))
        for k, (c, v) in enumerate(capacitances)
    ]
    solution = solve(Sketch.of(*parts))
    farads = np.array([float(c) for c, _ in capacitances])

    def currents(potentials):
        at = np.array([emf, *potentials])
        return np.array([(at[a] - at[b]) / float(r) for a, b, r in resistances])

    def rates(_, state):
        through = currents(state[: len(farads)])
        arriving = np.zeros(len(farads) + 1)
        for (a, b, _), current in zip(resistances, through, strict=True):
            arriving[a] -= current
            arriving[b] += current
        return np.concatenate([arriving[1:] / farads, through])

    # Long enough for the slowest: every resistance, one after the other, for all the capacitance.
    longest = 40 * float(sum(r for *_, r in resistances)) * float(farads.sum())
    start = [*(float(v) for _, v in capacitances), *np.zeros(len(resistances))]
    run = solve_ivp(rates, (0, longest), start, method="LSODA", rtol=1e-10, atol=1e-10)
    added_up = run.y[len(farads) :, -1]
    passed = [solution.parts[f"R{k}"].passed.value for k in range(len(resistances))]
    assert passed == pytest.approx(added_up, rel=1e-5, abs=1e-5)
