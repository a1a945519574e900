"""Symbols instead of numbers: exact formulas, mixed with numbers or not, that agree with numbers put in for them."""

from __future__ import annotations

from fractions import Fraction

import flint
import pytest
from hypothesis import given
from hypothesis import strategies as st
from sympy import QQ, field

from solver import Sketch, SketchFaults, battery, capacitor, resistor, solve
from solver.readings import entries
from tests.solver.exactly import fraction
from tests.solver.strategies import connected, written


def series(*values, emf="V_0"):
    joints = ["a", *(f"m{k}" for k in range(1, len(values))), "0"]
    parts = [capacitor(f"C{k + 1}", value, joints[k], joints[k + 1]) for k, value in enumerate(values)]
    return solve(Sketch.of(battery("E1", emf, "a", "0"), *parts))


def test_two_equal_capacitors_in_series_share_the_voltage():
    read = series("C", "C").parts["C1"]
    _, c, v = field("C V_0", QQ)
    assert read.voltage.exact == v / 2
    assert read.charge.exact == c * v / 2
    assert read.energy.exact == c * v**2 / 8
    assert (read.voltage.text, read.charge.text, read.energy.text) == ("V_0/2", "CV_0/2", "CV_0²/8")
    assert read.charge.value is None


def test_rational_factors_of_a_symbol_are_kept_exactly():
    solution = series("C", "2C", "C/3")
    _, c, v = field("C V_0", QQ)
    # 1/(1 + 1/2 + 3) = 2/9
    assert solution.parts["E1"].equivalent.exact == 2 * c / 9
    assert solution.parts["C2"].voltage.exact == v / 9


def test_numbers_and_symbols_mix():
    read = series("C", "10 µF", emf="9 V").parts["C2"]
    _, c = field("C", QQ)
    assert read.voltage.exact == 9 * c / (c + QQ(1, 100000))
    assert read.voltage.text == "9.00 V × C/(C + 10.0 µF)"


def test_what_no_symbol_is_left_in_is_a_number():
    solution = series("C", "C", emf="9 V")
    voltage = solution.parts["C1"].voltage
    assert isinstance(voltage.exact, flint.fmpq)
    assert (voltage.exact, voltage.value, voltage.text) == (flint.fmpq(9, 2), 4.5, "4.50 V")


def test_exact_text_has_whole_numbers_symbols_and_few_signs():
    # Q = 2CcV/(3c + 2C) with c = 10⁻⁵ F, and Q²/2C = 2CV²/(3 + 200000 C)².
    document = series("C", "2C", "10 µF").parts["C1"].energy.document()
    assert document["exact"] == "2*C*V_0^2/(40000000000*C^2+1200000*C+9)"
    assert document["value"] is None
    assert series("C", "C").parts["C1"].charge.document() == {"exact": "C*V_0/2", "value": None, "text": "CV_0/2"}
    assert series("C", "D").parts["C1"].voltage.document()["exact"] == "D*V_0/(C+D)"
    assert (-series("C", "D").parts["C1"].voltage).document()["exact"] == "-D*V_0/(C+D)"
    assert series("C", "D", "X").parts["E1"].equivalent.document()["exact"] == "C*D*X/(C*D+C*X+D*X)"


def test_steady_currents_in_symbols():
    parts = [battery("E1", "E", "a", "0", internal="r"), resistor("R1", "R", "a", "0")]
    read = solve(Sketch.of(*parts)).parts
    _, emf, outer, inner = field("E R r", QQ)
    assert read["E1"].current.exact == emf / (outer + inner)
    assert read["R1"].power.exact == emf**2 * outer / (outer + inner) ** 2
    assert read["E1"].equivalent.exact == outer


def test_a_balanced_bridge_carries_exactly_nothing():
    ends = [
        ("R1", "R", "a", "x"),
        ("R2", "2R", "x", "0"),
        ("R3", "S", "a", "y"),
        ("R4", "2S", "y", "0"),
        ("R5", "T", "x", "y"),
    ]
    solution = solve(Sketch.of(battery("E1", "9 V", "a", "0"), *(resistor(*part) for part in ends)))
    assert solution.parts["R5"].current.exact == 0
    assert solution.parts["R5"].current.text == "0 A"


def test_checks_of_formulas_sum_to_exactly_zero():
    solution = series("C", "2C", "10 µF")
    assert [check.kind for check in solution.checks] == ["loop", "charge", "charge", "energy"]
    assert [check.sum.exact for check in solution.checks] == [0, 0, 0, 0]


def test_symbols_contradict_unless_they_are_the_same():
    parts = [battery("E1", "V_0", "a", "0"), battery("E2", "V_0", "a", "0"), capacitor("C1", "C", "a", "0")]
    assert [note.code for note in solve(Sketch.of(*parts)).notes] == ["split-open"]
    with pytest.raises(SketchFaults, match="E1 and E2 form a loop"):
        solve(Sketch.of(parts[0], battery("E2", "V_1", "a", "0")))


def test_greek_and_subscripted_symbols_are_symbols_too():
    solution = solve(Sketch.of(battery("E1", "ε", "a", "0"), capacitor("C1", "C_12", "a", "0")))
    assert solution.parts["C1"].charge.document()["exact"] == "C_12*ε"


def test_long_formulas_are_kept_exactly_but_not_written_out():
    ends = [(p, q) for p in range(5) for q in range(p)]
    parts = [capacitor(f"C{p}{q}", f"C_{p}{q}", f"j{p}", f"j{q}") for p, q in ends]
    seen = solve(Sketch.of(battery("E1", "9 V", "j0", "j1"), *parts)).parts["E1"].equivalent
    # Numerator: all 5³ spanning trees of five nodes (A. Cayley, Quart. J. Math. 23 (1889) 376–378). Denominator: the
    # pairs of trees that hold j0 and j1 apart, 2/5 as many, since the resistance between two nodes of five is 2/5.
    assert (len(seen.exact.numer), len(seen.exact.denom)) == (125, 50)
    assert seen.text == "a formula of 175 terms"
    assert seen.document()["exact"] is None


@given(connected(capacitor, "µF", most=3), st.integers(1, 9))
def test_a_number_put_in_for_a_symbol_gives_what_the_number_gives(network, microfarads):
    _, edges, parts, (a, b) = network
    ends = f"n{a}", f"n{b}"
    # Every second part is the symbol, times its own number; then the same with a number in its place.
    symbolic, numeric = [], []
    for place, ((p, q, value), part) in enumerate(zip(edges, parts, strict=True)):
        if place % 2 == 0:
            factor = value.limit_denominator(1) or 1
            symbolic.append(capacitor(part.name, f"{factor}C", f"n{p}", f"n{q}"))
            numeric.append(capacitor(part.name, written(factor * microfarads, "µF"), f"n{p}", f"n{q}"))
        else:
            symbolic.append(part)
            numeric.append(part)
    formula = solve(Sketch.of(battery("E1", "9 V", *ends), *symbolic)).parts
    number = solve(Sketch.of(battery("E1", "9 V", *ends), *numeric)).parts

    def at(reading):
        if isinstance(reading.exact, flint.fmpq):
            return fraction(reading)
        size = flint.fmpq(microfarads, 10**6)
        top, bottom = (polynomial.evaluate(0, size) for polynomial in (reading.exact.numer, reading.exact.denom))
        quotient = top / bottom
        return Fraction(int(quotient.p), int(quotient.q))

    for name, readings in formula.items():
        assert {word: at(reading) for word, reading in entries(readings)} == {
            word: fraction(reading) for word, reading in entries(number[name])
        }
