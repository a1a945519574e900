"""Ways that write equations: they lead to the nodal solution exactly, and every equation written is true."""

from __future__ import annotations

from hypothesis import assume, given, settings
from hypothesis import strategies as st

from solver import Sketch, battery, capacitor, resistor
from solver.faults import SketchFaults
from solver.formula import Amount, Equation, Sum, Symbol
from solver.solving import solution_of, solve_network
from solver.step_equations import equation_steps, ways_of
from solver.step_equations_words import TERMS_ON_A_LINE, lines_in_steps, over_lines
from solver.worked import Line
from tests.solver.strategies import connected, networks, values, voltages, written
from tests.solver.told_steps import assert_agrees
from tests.solver.written_equations import Values

MOST_LINES = 20


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


symbolic = st.sampled_from(["C", "2C", "C/3", "C_2", "3 µF"])


@given(connected(capacitor, "µF", most=4), st.lists(symbolic, min_size=11, max_size=11))
@settings(max_examples=25)
def test_symbols_come_out_and_every_equation_with_them_is_true(network, texts):
    _, _, parts, (a, b) = network
    named = [capacitor(part.name, text, part.start, part.end) for part, text in zip(parts, texts, strict=False)]
    assert_right(Sketch.of(battery("E1", "V_0", f"n{a}", f"n{b}"), *named))


@given(networks(most=12))
@settings(max_examples=25)
def test_no_line_has_more_terms_than_can_be_read(sketch):
    try:
        solved = solve_network(sketch)
    except SketchFaults:
        assume(False)
    solution = solution_of(solved)
    for way in ways_of(solved):
        for step in equation_steps(solved, solution, way.way):
            assert len(step.lines) <= MOST_LINES, step.title
            for line in step.lines:
                assert most_terms(line.formula) <= TERMS_ON_A_LINE + 2, line.formula.text()


def most_terms(formula):
    """The longest sum in a formula."""
    if isinstance(formula, Equation):
        return max(map(most_terms, formula.sides))
    return len(formula.terms) if isinstance(formula, Sum) else 1


def told(*parts, way=None):
    """The steps of a network, by the first way unless another is asked for."""
    solved = solve_network(Sketch.of(*parts))
    ways = [own.way for own in ways_of(solved)]
    return equation_steps(solved, solution_of(solved), way or ways[0])


def lines(steps, title):
    [step] = [step for step in steps if step.title == title]
    return [line.formula.text() for line in step.lines]


BRIDGE = (
    battery("E1", "9 V", "a", "0"),
    capacitor("C1", "1 µF", "a", "b"),
    capacitor("C2", "2 µF", "a", "c"),
    capacitor("C3", "3 µF", "b", "0"),
    capacitor("C4", "4 µF", "c", "0"),
    capacitor("C5", "5 µF", "b", "c"),
)


def test_the_charge_on_an_isolated_conductor_is_written_in_symbols_then_in_numbers():
    assert lines(told(*BRIDGE), "The charge on k3") == [
        "C1 · (V_k3 − V_k1) + C3 · (V_k3 − V_k2) + C5 · (V_k3 − V_k4) = 0",
        "1.00 µF × (V_k3 − 9.00 V) + 3.00 µF × V_k3 + 5.00 µF × (V_k3 − V_k4) = 0 C",
        "9.00 µF × V_k3 − 5.00 µF × V_k4 = 9.00 µC",
    ]


def test_two_unknowns_are_eliminated_one_after_the_other():
    # By hand: 9x − 5y = 9 and 11y − 5x = 18 give y = 207/74 and x = 189/74.
    steps = told(*BRIDGE)
    assert lines(steps, "V_k3 from the charge sum of k3")[-1] == "8.22 µF × V_k4 = 23.0 µC"
    solved = lines(steps, "Solve for V_k4, then V_k3")
    assert [line.rpartition(" = ")[2] for line in solved] == ["2.80 V", "2.55 V"]


def test_a_conductor_keeps_the_charge_that_it_started_with():
    # 2 µF at 12 V hold 24 µC, which 6 µF share: 4 V; of 144 µJ are 48 µJ left.
    steps = told(capacitor("C1", "2 µF", "a", "0", initial="12 V"), capacitor("C2", "4 µF", "a", "0"))
    [step] = [step for step in steps if step.title == "The charge on k2"]
    assert "this came to −24.0 µC in all, and so it stays" in step.reason
    assert step.lines[0].formula.text() == "Q_k2,0 = −C1 · V_1,0 = −2.00 µF × 12.0 V = −24.0 µC"
    [lost] = [step for step in steps if step.title == "What is lost"]
    assert lost.readings["total.lost"].text == "96.0 µJ"


def test_bodies_joined_by_a_battery_share_one_unknown():
    steps = told(
        battery("E1", "12 V", "a", "0"),
        capacitor("C1", "1 µF", "a", "b"),
        battery("E2", "6 V", "c", "b"),
        capacitor("C2", "2 µF", "c", "0"),
        capacitor("C3", "3 µF", "b", "0"),
    )
    # (V − 12 V) + 2(V + 6 V) + 3V = 0 gives V = 0.
    assert lines(steps, "The charge on k3 and k4 together")[1:] == [
        "1.00 µF × (V_k3 − 12.0 V) + 2.00 µF × (V_k3 + 6.00 V) + 3.00 µF × V_k3 = 0 C",
        "6.00 µF × V_k3 = 0 C",
    ]


TWO_CELLS = (
    battery("E1", "12 V", "a", "0", internal="1 Ω"),
    resistor("R1", "2 Ω", "a", "b"),
    battery("E2", "6 V", "c", "0"),
    resistor("R2", "3 Ω", "c", "b"),
    resistor("R3", "6 Ω", "b", "0"),
)


def test_junctions_and_loops_are_written_with_chosen_directions():
    # By hand: 3x − 3y = 6 and 9x + 6y = 12 give x = 8/5 and y = −2/5.
    steps = told(*TWO_CELLS)
    assert lines(steps, "The currents") == [
        "I1 from k2 to k3, through E1 and R1",
        "I2 from k2 to k3, through E2 and R2",
        "I3 from k3 to k2, through R3",
    ]
    assert lines(steps, "Junction k2") == ["I3 = I1 + I2"]
    assert lines(steps, "Loop 2: E1, R1 and R3") == [
        "r_E1 · I1 + R1 · I1 + R3 · I3 = E1",
        "1.00 Ω × I1 + 2.00 Ω × I1 + 6.00 Ω × (I1 + I2) = 12.0 V",
        "9.00 Ω × I1 + 6.00 Ω × I2 = 12.0 V",
    ]
    assert [line.rpartition(" = ")[2] for line in lines(steps, "Solve for I2, then I1")] == ["−400 mA", "1.60 A"]
    assert lines(steps, "Check: the power")[0] == "P_E1 + P_E2 = 19.2 W + (−2.40 W) = 16.8 W"


def test_one_battery_at_a_time_the_other_is_a_wire_or_its_internal_resistance():
    steps = told(*TWO_CELLS, way="superposition")
    intros = {step.title: step for step in steps if step.kind == "alone"}
    assert [part.kind for part in intros["E1 alone"].sketch.parts].count("battery") == 1
    assert [part.value for part in intros["E2 alone"].sketch.parts if part.name == "R_a"] == ["1 Ω"]
    assert lines(steps, "Currents together") == [
        "I_E1 = I_E1,E1 − I_a,E2 = 2.40 A + (−800 mA) = 1.60 A",
        "I1 = I_1,E1 + I_1,E2 = 2.40 A + (−800 mA) = 1.60 A",
        "I2 = I_2,E1 + I_2,E2 = −1.60 A + 1.20 A = −400 mA",
        "I3 = I_3,E1 + I_3,E2 = 800 mA + 400 mA = 1.20 A",
    ]
    # R1: 2 Ω × (1.6 A)² = 5.12 W; alone 2 Ω × (2.4 A)² + 2 Ω × (0.8 A)² = 12.8 W.
    assert "R1 takes 5.12 W, not the 12.8 W" in steps[-1].reason


@given(several_batteries(resistor, "Ω") | several_batteries(capacitor, "µF"))
def test_what_each_battery_does_alone_adds_up(sketch):
    solved = solve_network(sketch)
    solution = solution_of(solved)
    assume("superposition" in [way.way for way in ways_of(solved)])
    for step in equation_steps(solved, solution, "superposition"):
        if step.title in ("Currents together", "Voltages together"):
            for key, line in zip(step.readings, whole_sums(step), strict=True):
                name, _, quantity = key.partition(".")
                assert line == getattr(solution.parts[name], quantity).scalar


def whole_sums(step):
    """The sum of the amounts on each line."""
    for line in step.lines:
        sums = [side for side in line.formula.sides if isinstance(side, Sum) and isinstance(side.terms[0], Amount)]
        if sums:
            yield sum(term.reading.scalar for term in sums[0].terms)
        elif isinstance(line.formula.sides[-1], Amount):
            yield line.formula.sides[-1].reading.scalar


def test_energies_of_batteries_alone_are_not_told():
    steps = told(*TWO_CELLS, way="superposition")
    alone = [line.formula.text() for step in steps if step.title.startswith("E1 alone") for line in step.lines]
    assert alone
    assert not [line for line in alone if line.startswith(("P", "U", "W"))]


def ladder(make, unit, sections):
    """A battery and a ladder that needs as many unknowns as it has sections."""
    parts = [battery("E1", "9 V", "n0", "0")]
    for number in range(sections):
        parts.append(make(f"P{number}", f"{number + 1} {unit}", f"n{number}", f"n{number + 1}"))
        parts.append(make(f"S{number}", f"{number + 2} {unit}", f"n{number + 1}", "0"))
    return parts


def test_more_than_eight_unknowns_are_said_to_be_too_many():
    for make, unit, sign in ((capacitor, "µF", "potential"), (resistor, "Ω", "current")):
        written_out = told(*ladder(make, unit, 8))
        assert any(step.title == "The equations" for step in written_out)
        steps = told(*ladder(make, unit, 9))
        [sample] = [step for step in steps if "too many to be worked out on paper" in step.reason]
        assert sample.title.endswith(f"unknown {sign}s")
        assert sample.lines
        assert not [step for step in steps if step.title == "The equations"]
        assert_right(Sketch.of(*ladder(make, unit, 9)))


def test_batteries_in_parallel_are_told_as_one():
    parts = (battery("E1", "9 V", "a", "0"), battery("E2", "9 V", "a", "0"), resistor("R1", "3 Ω", "a", "0"))
    steps = told(*parts)
    assert steps[0].title == "Without E2"
    assert {"R1.current", "total.power"} <= assert_right(Sketch.of(*parts))["loops"].keys()


def test_nothing_is_written_where_nothing_drives_a_charge():
    solved = solve_network(Sketch.of(capacitor("C1", "1 µF", "a", "0"), resistor("R1", "1 Ω", "a", "0")))
    assert ways_of(solved) == ()


def test_a_sum_that_goes_over_several_lines_stays_in_one_step():
    """Seven lines, then a sum of thirteen terms that takes three: together they are more than a step has otherwise."""
    symbols = [Symbol("I", str(number)) for number in range(1, 14)]
    short = [Line(Equation(symbol, symbols[0])) for symbol in symbols[:7]]
    first, second = lines_in_steps([*short, *over_lines(symbols, symbols[0]), short[0]])
    assert [len(first), len(second)] == [10, 1]
