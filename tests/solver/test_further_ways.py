"""Worked solutions of a stage, of a course over time and of a value “?”: every value in them is the solver's."""

from __future__ import annotations

import flint
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from solver import Sketch, battery, capacitor, resistor, switch
from solver.course import Course
from solver.functions import number_of
from solver.further_ways import further_ways
from solver.sketch import Question, Requirement, Stage
from solver.solving import solution_of, solve_network
from solver.stages import solve_stages
from solver.step_course import course_offer
from solver.step_stages import stage_offer
from solver.step_unknown import unknown_offer
from solver.unknown import find
from solver.worked import Step
from tests.solver.told_steps import assert_agrees

E1 = battery("E1", "9 V", "e", "0")
SHARING = (
    E1,
    switch("S1", "e", "a"),
    capacitor("C1", "10 µF", "a", "0"),
    switch("S2", "a", "b"),
    capacitor("C2", "5 µF", "b", "0"),
)
CHARGING = (E1, resistor("R1", "1.5 kΩ", "e", "a"), capacitor("C1", "10 µF", "a", "0"))


def of_stage(sketch: Sketch, number: int) -> tuple[Step, ...]:
    stages = solve_stages(sketch)
    offer = stage_offer(stages, number, solution_of(stages[number].solved))
    return () if offer is None else tuple(offer.steps())


def of_course(*parts, questions: tuple[Question, ...] = ()) -> dict[str, Step]:
    offer = course_offer(solve_network(Sketch.of(*parts)), questions)
    return {} if offer is None else {step.title: step for step in offer.steps()}


def of_unknown(*parts, required: list[Requirement]) -> list[Step]:
    return list(unknown_offer(find(Sketch.of(*parts, required=required))).steps())


def texts(step: Step) -> list[str]:
    return [line.formula.text() for line in step.lines]


def by_title(steps: tuple[Step, ...]) -> dict[str, Step]:
    return {step.title: step for step in steps}


# A stage


def test_a_stage_goes_from_the_charge_that_is_kept_to_the_energy_that_is_lost():
    """90 µC on 10 + 5 µF make 6 V; ½·90 µC·9 V = 405 µJ become ½·90 µC·6 V = 270 µJ."""
    stages = (Stage(("S1",), name="Charge"), Stage(("S2",), name="Share"))
    steps = by_title(of_stage(Sketch.of(*SHARING, stages=stages), 1))
    assert texts(steps["What the stage begins with"]) == [
        "Q_1,0 = C1 · V_1,0 = 10.0 µF × 9.00 V = 90.0 µC",
        "Q_2,0 = 0 C",
    ]
    assert "“Charge” left" in steps["What the stage begins with"].reason
    assert texts(steps["The charge on k3"])[:2] == [
        "Q_k3,0 = Q_1,0 = 90.0 µC",
        "C1 · (V_k3 − V_k2) + C2 · (V_k3 − V_k2) = Q_k3,0",
    ]
    assert texts(steps["Solve for V_k3"]) == ["V_k3 = 90.0 µC/(15.0 µF) = 6.00 V"]
    assert texts(steps["The energy, and what is lost"]) == [
        "U_before = ½ · Q_1,0 × V_1,0 = 405 µJ",
        "U_after = 270 µJ",
        "W_lost = U_before − U_after = 405 µJ − 270 µJ = 135 µJ",
    ]
    assert "4 voltages and charges to compare, and each agrees exactly" in steps["Check: against the solver"].reason


def test_plates_pulled_or_a_slab_pushed_in_cost_or_give_work():
    """90 µC stay on C1 as it grows from 10 to 30 µF: 405 µJ become 135 µJ, and the hand holds back 270 µJ."""
    parts = (E1, switch("S1", "e", "a"), capacitor("C1", "10 µF", "a", "0"))
    stages = (Stage(("S1",)), Stage((), (("C1", "30 µF"),)))
    steps = by_title(of_stage(Sketch.of(*parts, stages=stages), 1))
    assert texts(steps["The new value of C1"]) == ["C1 = 30.0 µF"]
    assert texts(steps["The work done by hand"]) == ["W_hand = U_after − U_before = 135 µJ − 405 µJ = −270 µJ"]


def test_what_is_lost_in_the_switches_is_told_apart_from_the_hand():
    """Back on 9 V from 3 V the 30 µF lose ½·30 µF·(6 V)² = 540 µJ; then the battery gives 9 V · 90 µC for ten more
    microfarads and half of that is stored: the hand holds back 405 µJ."""
    parts = (E1, switch("S1", "e", "a"), capacitor("C1", "30 µF", "a", "0", initial="3 V"))
    sketch = Sketch.of(*parts, stages=(Stage(()), Stage(("S1",), (("C1", "40 µF"),))))
    lost, hand = texts(by_title(of_stage(sketch, 1))["The work done by hand"])
    assert lost.endswith("= 540 µJ")
    assert hand == "W_hand = U_after + W_lost − U_before − W_E1 = 1.62 mJ + 540 µJ − 135 µJ − 2.43 mJ = −405 µJ"


def test_where_nothing_was_on_the_plates_or_a_current_goes_on_there_is_no_such_way():
    assert of_stage(Sketch.of(*SHARING, stages=(Stage(("S1",)),)), 0) == ()
    leaking = (*SHARING, resistor("R1", "1 kΩ", "a", "0"))
    assert of_stage(Sketch.of(*leaking, stages=(Stage(()), Stage(("S1",)))), 1) == ()


JOINTS = ("a", "b", "c", "0")
SWITCHES = (switch("S1", "a", "b"), switch("S2", "c", "0"), switch("S3", "b", "c"), switch("S4", "e", "a"))


@given(
    st.lists(st.tuples(st.permutations(JOINTS), st.integers(1, 9), st.integers(-3, 3)), min_size=1, max_size=4),
    st.lists(st.sets(st.sampled_from(("S1", "S2", "S3", "S4"))), min_size=1, max_size=4),
)
@settings(max_examples=60)
def test_every_reading_of_a_stage_is_the_one_that_the_solver_finds(capacitors, closed):
    parts = [
        capacitor(f"C{place}", f"{value} µF", ends[0], ends[1], initial=f"{volts} V")
        for place, (ends, value, volts) in enumerate(capacitors, 1)
    ]
    sketch = Sketch.of(E1, *SWITCHES, *parts, stages=[Stage(tuple(sorted(names))) for names in closed])
    stages = solve_stages(sketch)
    for number, stage in enumerate(stages):
        if stage.faults:
            continue
        solution = solution_of(stage.solved)
        offer = stage_offer(stages, number, solution)
        if offer is None:
            continue
        steps = tuple(offer.steps())
        assert_agrees(stage.sketch, solution, steps)
        assert "cases" not in steps[-1].reason


# Over time


def test_one_time_constant_is_the_product_of_what_all_resistors_and_all_capacitors_come_to():
    """2 kΩ and 1 kΩ seen side by side, 667 Ω; two of 10 µF in series, 5 µF: 3.33 ms."""
    steps = of_course(
        E1,
        resistor("R1", "2 kΩ", "e", "a"),
        resistor("R2", "1 kΩ", "a", "0"),
        capacitor("C1", "10 µF", "a", "b"),
        capacitor("C2", "10 µF", "b", "0", initial="1 V"),
    )
    assert texts(steps["R1 and R2 in parallel"]) == [
        "R12 = R1 · R2/(R1 + R2) = 2.00 kΩ × 1.00 kΩ/(2.00 kΩ + 1.00 kΩ) = 667 Ω"
    ]
    assert texts(steps["The time constant"]) == ["τ = R12 · C12 = 667 Ω × 5.00 µF = 3.33 ms"]
    assert texts(steps["The way between"])[1] == (
        "V_C2 = V_C2,end + (V_C2,start − V_C2,end) · e^(−t/τ) = 2.00 V − 1.00 V × e^(−t/τ)"
    )


def test_round_one_loop_parts_are_in_series_in_whatever_order_they_lie():
    steps = of_course(
        E1,
        resistor("R1", "2 kΩ", "e", "a"),
        capacitor("C1", "10 µF", "a", "b"),
        resistor("R2", "1 kΩ", "b", "c"),
        capacitor("C2", "10 µF", "c", "0"),
    )
    assert texts(steps["The time constant"]) == ["τ = R12 · C12 = 3.00 kΩ × 5.00 µF = 15.0 ms"]
    # Half of what the battery gave: ½·5 µF·(9 V)² = 202.5 µJ.
    assert texts(steps["Heat over the whole time"])[-1] == "W_heat = W_R1 + W_R2 = 135 µJ + 67.5 µJ = 203 µJ"


def test_a_bridge_that_series_and_parallel_do_not_reduce_tells_its_time_constant_by_the_current_at_the_start():
    """A bridge of five resistors seen from C1 in one of its corners: the current at the start is exact."""
    parts = (
        E1,
        resistor("R0", "1 kΩ", "e", "p"),
        resistor("R1", "1 kΩ", "p", "a"),
        resistor("R2", "2 kΩ", "p", "b"),
        resistor("R3", "3 kΩ", "a", "b"),
        resistor("R4", "4 kΩ", "a", "0"),
        resistor("R5", "5 kΩ", "b", "0"),
        capacitor("C1", "10 µF", "a", "b"),
        resistor("R6", "1 kΩ", "p", "0"),
    )
    steps = of_course(*parts)
    [line] = texts(steps["The time constant"])
    assert line.startswith("τ = C1 · (V_C1,end − V_C1,start)/I_C1,start = 10.0 µF × ")
    network = solve_network(Sketch.of(*parts))
    constant = number_of(Course(network.outcome, network.over_time).constant)
    assert line.endswith(f"= {float(constant) * 1e3:.1f} ms")


def test_an_internal_resistance_is_what_the_charge_has_to_pass():
    steps = of_course(battery("E1", "9 V", "e", "0", internal="1 Ω"), capacitor("C1", "10 µF", "e", "0"))
    assert texts(steps["The time constant"]) == ["τ = r_E1 · C1 = 1.00 Ω × 10.0 µF = 10.0 µs"]
    assert "through the internal resistance of E1" in steps["The time constant"].reason


def test_each_question_has_its_step():
    questions = (
        Question("C1.voltage", "80 %"),
        Question("R1.power", "10 mW"),
        Question("C1.charge", None, "10 ms"),
        Question("C1.voltage", "12 V"),
        Question("C1.voltage", "nonsense"),
    )
    steps = of_course(*CHARGING, questions=questions)
    assert texts(steps["When the voltage of C1 is 7.20 V"]) == [
        "e^(−t/τ) = (7.20 V − 9.00 V)/(0 V − 9.00 V) = 1/5",
        "t = τ · ln 5 = 15.0 ms × ln 5 = 24.1 ms",
    ]
    # 54 mW at the start go with the square of the current.
    assert texts(steps["When the power of R1 is 10.0 mW"]) == [
        "e^(−2 · t/τ) = 10.0 mW/(54.0 mW) = 5/27",
        "t = τ/2 × ln(27/5) = 15.0 ms/2 × ln(27/5) = 12.6 ms",
    ]
    assert texts(steps["The charge of C1 after 10.0 ms"]) == ["Q = 90.0 µC × (1 − e^(−10.0 ms/(15.0 ms))) = 43.8 µC"]
    assert steps["When the voltage of C1 is 12.0 V"].reason == (
        "The voltage of C1 never reaches 12.0 V: it goes from 0 V to 9.00 V."
    )


def test_with_several_time_constants_or_none_there_is_no_such_way():
    assert of_course(*CHARGING, resistor("R2", "1 kΩ", "a", "b"), capacitor("C2", "1 µF", "b", "0")) == {}
    assert of_course(E1, capacitor("C1", "10 µF", "e", "0")) == {}


def test_the_course_goes_in_letters_too():
    steps = of_course(battery("E1", "V", "e", "0"), resistor("R1", "R", "e", "a"), capacitor("C1", "C", "a", "0"))
    assert texts(steps["The time constant"]) == ["τ = R1 · C1 = R × C = CR"]
    assert texts(steps["Heat over the whole time"])[0].endswith("= CV²/2")


# What must it be


def test_a_value_is_derived_from_a_quotient_of_linear_functions():
    parts = (E1, capacitor("C1", "?", "e", "b"), capacitor("C2", "10 µF", "b", "0"))
    first, solved, nearest = of_unknown(*parts, required=[Requirement("C2.voltage", "4 V")])
    assert texts(first) == ["V2 = 9.00 V × C_1/(C_1 + 10.0 µF)"]
    assert "It is 0 V where C1 is next to nothing, goes to 9.00 V as C1 grows without end" in first.reason
    assert texts(solved) == [
        "9.00 V × C_1/(C_1 + 10.0 µF) = 4.00 V",
        "9.00 V × C_1 = 4.00 V × (C_1 + 10.0 µF)",
        "(9.00 V − 4.00 V) · C_1 = 4.00 V × 10.0 µF",
        "C_1 = 10.0 µF × 4.00 V/(9.00 V − 4.00 V) = 8.00 µF",
    ]
    assert texts(nearest) == ["C_1 = 6.80 µF makes V2 = 3.64 V", "C_1 = 8.20 µF makes V2 = 4.05 V"]


@pytest.mark.parametrize(
    ("parts", "requirement", "lines"),
    [
        # A reading that falls as the value grows: both differences are written above zero.
        (
            (E1, capacitor("C1", "?", "e", "b"), capacitor("C2", "10 µF", "b", "0")),
            ("C1.voltage", "4 V"),
            [
                "90.0 µC/(C_1 + 10.0 µF) = 4.00 V",
                "9.00 V × 10.0 µF = 4.00 V × (C_1 + 10.0 µF)",
                "4.00 V × C_1 = (9.00 V − 4.00 V) × 10.0 µF",
                "C_1 = 10.0 µF × (9.00 V − 4.00 V)/(4.00 V) = 12.5 µF",
            ],
        ),
        (
            (E1, capacitor("C1", "?", "e", "0"), capacitor("C2", "1 µF", "e", "0")),
            ("E1.charge", "20 µC"),
            [
                "9.00 V × C_1 + 9.00 µC = 20.0 µC",
                "9.00 V × C_1 = 20.0 µC − 9.00 µC",
                "C_1 = (20.0 µC − 9.00 µC)/(9.00 V) = 1.22 µF",
            ],
        ),
        (
            (E1, resistor("R1", "?", "e", "0")),
            ("R1.current", "20 mA"),
            ["9.00 V/R_1 = 20.0 mA", "R_1 = 9.00 V/(20.0 mA) = 450 Ω"],
        ),
        (
            (battery("E1", "?", "e", "0"), capacitor("C1", "1 µF", "e", "0")),
            ("C1.energy", "20 mJ"),
            ["500 nF × E_1² = 20.0 mJ", "E_1 = 200 V", "E_1 = −200 V"],
        ),
    ],
)
def test_each_form_of_equation_is_solved_on_the_board(parts, requirement, lines):
    steps = of_unknown(*parts, required=[Requirement(*requirement)])
    [solved] = [step for step in steps if step.kind == "solve"]
    assert texts(solved) == lines


def test_a_time_makes_a_logarithm_first():
    """10 V of 12 V after 10 s: a sixth is left, so τ = 10 s/ln 6, and 10 mF take R = τ/C.
    OpenStax, University Physics Vol. 2, section 10.5, Example 10.9: 558.11 Ω."""
    parts = (battery("E1", "12 V", "e", "0"), resistor("R1", "?", "e", "a"), capacitor("C1", "10 mF", "a", "0"))
    ends, logarithm, solved, _ = of_unknown(*parts, required=[Requirement("C1.voltage", "10 V", "10 s")])
    assert texts(ends) == ["V_C1,start = 0 V", "V_C1,end = 12.0 V", "τ = 10.0 mF × R_1"]
    assert texts(logarithm) == [
        "(V_C1 − V_C1,end)/(V_C1,start − V_C1,end) = e^(−10.0 s/τ) = 1/6",
        "τ = 10.0 s/(ln 6) = 5.58 s",
    ]
    assert texts(solved) == ["10.0 mF × R_1 = 5.58 s", "R_1 = 5.58 s/(10.0 mF) = 558 Ω"]


def test_two_unknowns_come_from_two_equations():
    parts = (E1, capacitor("C1", "?", "e", "b"), capacitor("C2", "?", "b", "0"))
    steps = of_unknown(*parts, required=[Requirement("C2.voltage", "4 V"), Requirement("E1.charge", "18 µC")])
    assert texts(steps[-1]) == [
        "9.00 V × C_1/(C_1 + C_2) = 4.00 V",
        "9.00 V × C_1 C_2/(C_1 + C_2) = 18.0 µC",
        "C_1 = 3.60 µF",
        "C_2 = 4.50 µF",
    ]


def test_what_is_asked_for_comes_first():
    stages = (Stage(("S1",)), Stage(("S2",)))
    sketch = Sketch.of(*SHARING, stages=stages)
    solved = solve_stages(sketch)
    ways = further_ways(sketch, None, solved, solved[0].thrown, solution_of(solved[0].solved))
    assert (ways.before, ways.after) == ((), ())
    asked = Sketch.of(*CHARGING, questions=[Question("C1.voltage", "6 V")])
    network = solve_network(asked)
    ways = further_ways(asked, None, (), network, solution_of(network))
    assert [offer.way.title for offer in ways.before] == ["Over time"]
    assert flint.fmpq(3, 200) == number_of(Course(network.outcome, network.over_time).constant)
