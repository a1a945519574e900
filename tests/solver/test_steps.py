"""Worked solutions of small networks: the steps, their sentences and their drawings, against what is taught."""

from __future__ import annotations

import json
import re
from pathlib import Path

import pytest
from hypothesis import given

from solver import Sketch, battery, capacitor, resistor, switch, wire
from solver.steps import MOST_PARTS
from tests.solver.strategies import networks
from tests.solver.told_steps import assert_agrees, every_way, worked

SAMPLES = {
    sample["id"]: sample["sketch"]
    for sample in json.loads(Path("shared/samples.json").read_text(encoding="utf-8"))["samples"]
}


def steps_by(sketch: Sketch, way: str | None = None):
    solution, told = worked(sketch, way)
    assert_agrees(sketch, solution, told.steps)
    return told


def texts(step) -> list[str]:
    return [line.formula.text() for line in step.lines]


def kinds(told) -> list[str]:
    return [step.kind for step in told.steps]


def test_one_in_series_with_two_in_parallel():
    """By hand: 10 + 5 = 15 µF, with 30 µF 10 µF; 9 V on it 90 µC; 3 V and 6 V; 60 µC and 30 µC."""
    told = steps_by(Sketch.read(SAMPLES["mixed"]))
    assert told.way == "rules"
    assert kinds(told) == ["parallel", "series", "whole", "back", "back", "check"]
    assert [step.parts for step in told.steps] == [
        ("C2", "C3"),
        ("C1", "C2", "C3"),
        ("E1", "C1", "C2", "C3"),
        ("C1", "C2", "C3"),
        ("C2", "C3"),
        ("C1", "C2", "C3"),
    ]
    assert texts(told.steps[0]) == ["C23 = C2 + C3 = 10.0 µF + 5.00 µF = 15.0 µF"]
    assert texts(told.steps[1]) == [
        "1/C123 = 1/C1 + 1/C23",
        "C123 = C1 · C23/(C1 + C23) = 30.0 µF × 15.0 µF/(30.0 µF + 15.0 µF) = 10.0 µF",
    ]
    assert texts(told.steps[2]) == [
        "V123 = E1 = 9.00 V",
        "Q123 = C123 · V123 = 10.0 µF × 9.00 V = 90.0 µC",
        "U123 = ½ · C123 · V123² = ½ × 10.0 µF × (9.00 V)² = 405 µJ",
    ]
    assert texts(told.steps[3])[:3] == [
        "Q1 = Q23 = Q123 = 90.0 µC",
        "V1 = Q1/C1 = 90.0 µC/(30.0 µF) = 3.00 V",
        "V23 = Q23/C23 = 90.0 µC/(15.0 µF) = 6.00 V",
    ]
    assert texts(told.steps[4])[:3] == [
        "V2 = V3 = V23 = 6.00 V",
        "Q2 = C2 · V2 = 10.0 µF × 6.00 V = 60.0 µC",
        "Q3 = C3 · V3 = 5.00 µF × 6.00 V = 30.0 µC",
    ]
    assert texts(told.steps[5]) == ["U1 + U2 + U3 = 135 µJ + 180 µJ + 90.0 µJ = 405 µJ = U123"]


def test_the_reason_is_the_physics():
    told = steps_by(
        Sketch.of(
            battery("E1", "9 V", "a", "0"), capacitor("C2", "30 µF", "a", "b"), capacitor("C3", "60 µF", "b", "0")
        )
    )
    assert told.steps[0].reason.startswith(
        "C2 and C3 carry the same charge, because the conductor between them is isolated: what arrives on one plate "
        "has left the other."
    )
    assert told.steps[0].conductors == ("k3",)


def test_batteries_in_a_row_have_each_delivered_the_charge():
    row = battery("E1", "9 V", "a", "m"), battery("E2", "3 V", "m", "0"), capacitor("C1", "5 µF", "a", "0")
    told = steps_by(Sketch.of(*row))
    assert told.steps[0].reason.endswith("The charge on C1 is what E1 and E2 have each delivered.")


def test_each_reduced_network_is_drawn_with_what_is_left():
    told = steps_by(Sketch.read(SAMPLES["mixed"]))
    drawn = [{part.name for part in step.sketch.parts if part.kind != "wire"} for step in told.steps[:-1]]
    assert drawn == [
        {"E1", "C1", "C23"},
        {"E1", "C123"},
        {"E1", "C123"},
        {"E1", "C1", "C23"},
        {"E1", "C1", "C2", "C3"},
    ]
    # C23 stands where C2 stood, and the wires to C3 are gone.
    assert {part.name for part in told.steps[0].sketch.parts if part.kind == "wire"} == {"W1", "W2", "W5"}
    [own] = [part for part in told.steps[0].sketch.parts if part.name == "C23"]
    assert (own.start, own.end, own.value) == ("d", "f", "15.0 µF")


def test_a_bent_part_does_not_lie_on_a_wire():
    """C123 of the sample runs from (15, 2) to (10, 16): the upper corner would lie on the wire along the top."""
    told = steps_by(Sketch.read(SAMPLES["mixed"]))
    [own] = [part for part in told.steps[1].sketch.parts if part.name == "C123"]
    assert (own.start, own.end, own.bend) == ("b", "f", "lower")


def test_resistors_go_by_ohms_law_and_internal_resistance_counts_in_series():
    """By hand: 6 Ω ∥ 3 Ω = 2 Ω, 4 + 2 = 6 Ω, with 0.5 Ω inside 6.5 V drive 1 A; 6 V at the terminals."""
    told = steps_by(
        Sketch.of(
            battery("E1", "6.5 V", "a", "0", internal="0.5 Ω"),
            resistor("R1", "4 Ω", "a", "b"),
            resistor("R2", "6 Ω", "b", "0"),
            resistor("R3", "3 Ω", "b", "0"),
        )
    )
    assert kinds(told) == ["parallel", "series", "whole", "back", "back", "check"]
    assert texts(told.steps[2])[:2] == [
        "I123 = E1/(R123 + r_E1) = 6.50 V/(6.00 Ω + 500 mΩ) = 1.00 A",
        "V123 = R123 · I123 = 6.00 Ω × 1.00 A = 6.00 V",
    ]
    assert told.steps[2].readings["E1.voltage"].text == "6.00 V"
    assert texts(told.steps[5]) == ["P1 + P2 + P3 + r_E1 · I123² = 4.00 W + 667 mW + 1.33 W + 500 mW = 6.50 W = P_E1"]


def test_currents_come_first_and_capacitors_at_the_voltages_they_leave():
    """College Board, AP Physics B 2003, question 2 (as in cases.json): 0.2 A, 4 V, 16 µC."""
    told = steps_by(
        Sketch.of(
            battery("E1", "6 V", "e", "0"),
            resistor("R1", "10 Ω", "e", "A"),
            resistor("R2", "20 Ω", "A", "0"),
            capacitor("C1", "12 µF", "A", "x"),
            capacitor("C2", "6 µF", "x", "0"),
        )
    )
    assert kinds(told) == ["set-aside", "series", "whole", "back", "check", "series", "whole", "back", "check"]
    assert "carry no current" in told.steps[0].reason
    assert {part.name for part in told.steps[0].sketch.parts} == {"E1", "R1", "R2"}
    assert {part.name for part in told.steps[5].sketch.parts} == {"E1", "R1", "R2", "C12"}
    assert told.steps[6].reason == (
        "C12 joins the same two conductors as R2, so the voltage across R2, 4.00 V, is the voltage across C12 as well."
    )
    assert texts(told.steps[6])[:2] == ["V_C12 = V_R2 = 4.00 V", "Q_C12 = C12 · V_C12 = 4.00 µF × 4.00 V = 16.0 µC"]


def test_a_voltage_that_several_parts_make_up_is_summed_along_the_way():
    """12 V on 1, 2, 3 and 6 Ω in series: 1 A, so 2 V and 3 V across the two in the middle."""
    told = steps_by(
        Sketch.of(
            battery("E1", "12 V", "a", "0"),
            resistor("R1", "1 Ω", "a", "b"),
            resistor("R2", "2 Ω", "b", "c"),
            resistor("R3", "3 Ω", "c", "d"),
            resistor("R4", "6 Ω", "d", "0"),
            capacitor("C5", "1 µF", "b", "d"),
        )
    )
    whole = told.steps[-1]
    assert whole.title == "Voltage, charge and energy of C5"
    assert texts(whole)[0] == "V5 = V2 + V3 = 2.00 V + 3.00 V = 5.00 V"
    assert "leads through R2 and R3" in whole.reason


def test_what_does_nothing_is_set_aside_with_a_sentence_each():
    told = steps_by(
        Sketch.of(
            battery("E1", "6 V", "e", "0", internal="1 Ω"),
            resistor("R1", "10 Ω", "e", "A"),
            capacitor("C1", "12 µF", "A", "0"),
            capacitor("C3", "12 µF", "A", "q"),
            switch("S1", "e", "z"),
            switch("S2", "0", "y", closed=True),
            resistor("R7", "1 Ω", "z", "0"),
            capacitor("C9", "1 µF", "0", "y"),
            wire("W1", "0", "y"),
            resistor("R8", "1 kΩ", "A", "p"),
            capacitor("C10", "1 µF", "p", "A"),
        )
    )
    assert [(step.title, step.reason) for step in told.steps[:-1]] == [
        (
            "The switches S1 and S2",
            "S2 is closed and acts like a wire. S1 is open: no charge passes there, so it is left out.",
        ),
        (
            "No voltage across C9",
            "Both ends of C9 are on one conductor, so there is no voltage across it: it holds no charge.",
        ),
        (
            "No current through R1, R7 and R8",
            "No conducting way leads from a battery and back through R1, R7 or R8, since capacitors let no steady "
            "current pass. So in the end no current flows through them, there is no voltage across them, and they act "
            "like wires.",
        ),
        (
            "No voltage across C10",
            "Resistors without a current join both ends of C10, so in the end no voltage is left across it, and it "
            "holds no charge.",
        ),
        (
            "No charge on C3",
            "No closed way leads from a battery and back through C3: whatever came onto one plate would have to leave "
            "the other, and there it has nowhere to go. So it holds no charge, and there is no voltage across it.",
        ),
    ]
    last = told.steps[-1]
    assert {part.name for part in last.sketch.parts if part.kind != "wire"} == {"E1", "C1"}
    assert "the whole emf is the voltage across C1" in last.reason


def test_symbols_stay_symbols():
    """Two of C and C in series with one of C: 2C, then 2C/3; on V each of the two has CV/3."""
    told = steps_by(
        Sketch.of(
            battery("E1", "V", "a", "0"),
            capacitor("C1", "C", "a", "b"),
            capacitor("C2", "C", "b", "0"),
            capacitor("C3", "C", "b", "0"),
        )
    )
    assert texts(told.steps[1])[1] == "C123 = C1 · C23/(C1 + C23) = C × 2C/(C + 2C) = 2C/3"
    assert told.steps[-2].readings["C2.charge"].text == "CV/3"
    assert told.steps[0].sketch.parts[-1].value == "2C"


def test_a_formula_that_no_value_can_be_is_drawn_as_a_symbol():
    told = steps_by(
        Sketch.of(battery("E1", "V", "a", "0"), capacitor("C1", "C", "a", "b"), capacitor("C2", "D", "b", "0"))
    )
    assert told.steps[0].sketch.parts[-1].value == "C_12"


def test_a_part_that_is_drawn_the_other_way_is_said_to_be():
    told = steps_by(
        Sketch.of(
            battery("E1", "9 V", "a", "0"), capacitor("C1", "30 µF", "a", "b"), capacitor("C2", "60 µF", "0", "b")
        )
    )
    back = told.steps[2]
    assert back.reason.endswith(
        "On the sheet C2 runs the other way, so its voltage and charge have the opposite sign there."
    )
    assert "V2 = Q2/C2 = 180 µC/(60.0 µF) = 3.00 V" in texts(back)
    assert back.readings["C2.voltage"].text == "−3.00 V"


def test_what_is_typed_as_its_own_name_is_not_said_twice():
    told = steps_by(Sketch.of(battery("E1", "V", "a", "0"), *(capacitor(f"C{n}", f"C{n}", "a", "0") for n in (1, 2))))
    assert texts(told.steps[0]) == ["C12 = C1 + C2 = C_1 + C_2"]


def test_the_bridge_is_not_for_the_rules_but_for_a_star():
    """By hand for 40, 10, 10, 40 and 20 Ω (sample): R1 and R3 to the top, R5 across; 20 Ω in all."""
    told = steps_by(Sketch.read(SAMPLES["resistors"]), "star")
    first = told.steps[0]
    assert first.kind == "delta-star"
    assert "A. E. Kennelly" in first.reason
    assert "Electrical World and Engineer 34 (1899) 413–414" in first.reason
    assert texts(first) == [
        "R_a = R3 · R5/(R1 + R3 + R5) = 10.0 Ω × 20.0 Ω/(40.0 Ω + 10.0 Ω + 20.0 Ω) = 2.86 Ω",
        "R_b = R5 · R1/(R1 + R3 + R5) = 20.0 Ω × 40.0 Ω/(40.0 Ω + 10.0 Ω + 20.0 Ω) = 11.4 Ω",
        "R_c = R1 · R3/(R1 + R3 + R5) = 40.0 Ω × 10.0 Ω/(40.0 Ω + 10.0 Ω + 20.0 Ω) = 5.71 Ω",
    ]
    [whole] = [step for step in told.steps if step.kind == "whole"]
    assert whole.readings["E1.current"].text == "600 mA"


def test_a_star_of_capacitors_goes_by_products_in_pairs():
    """1/C adds up where R does: 40·10 + 10·20 + 20·40 = 1400, over the side opposite each corner."""
    told = steps_by(Sketch.read(SAMPLES["bridge"]), "star")
    values = [reading.text for reading in told.steps[0].readings.values()]
    assert values == ["35.0 µF", "140 µF", "70.0 µF"]


def test_equivalents_get_names_that_are_free():
    told = steps_by(
        Sketch.of(
            battery("E1", "9 V", "a", "0"),
            capacitor("C1", "1 µF", "a", "0"),
            capacitor("C2", "1 µF", "a", "0"),
            capacitor("C12", "1 µF", "a", "b"),
            capacitor("C_a", "1 µF", "b", "0"),
        )
    )
    made = [
        key.partition(".")[0] for step in told.steps if step.kind in ("series", "parallel") for key in step.readings
    ]
    assert made == ["C_b", "C_c"]


def test_without_a_battery_the_steps_end_between_the_probed_joints():
    """5 and 8 µF in series (cases.json): 3.08 µF."""
    told = steps_by(
        Sketch.of(capacitor("C1", "5 µF", "a", "x"), capacitor("C2", "8 µF", "x", "0"), probes=[("a", "0")])
    )
    assert kinds(told) == ["series", "whole"]
    assert told.steps[-1].title == "Between a and 0"
    assert texts(told.steps[-1]) == ["C12 = 3.08 µF"]


def test_the_first_probe_that_has_something_between_is_worked_out():
    told = steps_by(
        Sketch.of(
            wire("W1", "a", "w"),
            capacitor("C1", "5 µF", "a", "x"),
            capacitor("C2", "8 µF", "x", "0"),
            capacitor("C3", "1 µF", "p", "q"),
            probes=[("a", "w"), ("a", "p"), ("x", "0"), ("a", "0")],
        )
    )
    assert told.steps[-1].title == "Between x and 0"
    assert [step.reason for step in told.steps[:-1]] == [
        "No way leads from the one joint to the other through C1 or C3, so they play no part."
    ]


def test_where_nothing_drives_anything_it_says_so():
    told = steps_by(Sketch.of(capacitor("C1", "5 µF", "a", "b")))
    assert (told.way, told.ways, told.steps) == ("", (), ())
    assert told.opening.startswith("Nothing drives a charge or a current here.")
    assert steps_by(Sketch.of(wire("W1", "a", "b"))).opening.startswith("There is nothing to work out yet")


def test_what_is_too_large_for_a_board_is_left_out():
    parts = [capacitor(f"C{number}", "1 µF", "a", "0") for number in range(MOST_PARTS)]
    told = steps_by(Sketch.of(battery("E1", "9 V", "a", "0"), *parts))
    assert told.steps == ()
    assert str(MOST_PARTS) in told.opening


def test_charge_from_before_keeps_the_rules_away():
    """With 10 V on C2 beforehand the conductor between the two is isolated with a charge of its own."""
    told = steps_by(
        Sketch.of(
            battery("E1", "9 V", "a", "0"),
            capacitor("C1", "5 µF", "a", "b"),
            capacitor("C2", "8 µF", "b", "0", initial="10 V"),
        )
    )
    assert "rules" not in {way.way for way in told.ways}
    assert "star" not in {way.way for way in told.ways}


@pytest.mark.parametrize(("figures", "said"), [(1, "1 significant figure only"), (4, "4 significant figures only")])
def test_it_says_that_values_are_exact_and_how_far_they_are_rounded(figures, said):
    told = steps_by(Sketch.of(battery("E1", "9 V", "a", "0"), capacitor("C1", "5 µF", "a", "0"), figures=figures))
    assert "carried exactly" in told.closing
    assert said in told.closing


def test_an_unknown_way_is_the_first():
    sketch = Sketch.read(SAMPLES["bridge"])
    assert worked(sketch, "by ear")[1].way == worked(sketch)[1].way


def test_the_document_is_as_the_interface_has_it():
    document = worked(Sketch.read(SAMPLES["series"]))[1].document()
    assert set(document) == {"way", "ways", "opening", "closing", "steps"}
    for step in document["steps"]:
        assert set(step) == {"kind", "title", "parts", "conductors", "reason", "lines", "readings", "sketch"}
        for line in step["lines"]:
            assert set(line) == {"math", "latex", "text"}
            assert line["math"][0] == "math"
    assert json.loads(json.dumps(document)) == document


ONE_NAME = r"(?<!and )(?<!or )(?<!, )\b[CRES]\d+\b"
ODD = [
    rf"(?:^|\. ){ONE_NAME} (?:are|carry|join|have|act|hold)\b",
    r"\band [CRES]\d+ (?:is|carries|joins|has|acts|holds)\b",
    r"\.\.",
    r"\s[,.:;]",
    r"\b(\w+) \1\b",
    r"[({]\s|\s[)}]",
]


@given(networks())
def test_sentences_read_well_whatever_the_network(sketch):
    """Verbs go with one name or several, no word stands twice, every sentence begins with a capital and ends."""
    for _, told in every_way(sketch):
        for text in (told.opening, told.closing, *(step.reason for step in told.steps)):
            assert re.match(r"[A-Z“]", text), text
            assert text.endswith((".", ".”")), text
            plain = re.sub(r"between [^,.]*? and \w+", "there", text)
            for pattern in ODD:
                assert not re.search(pattern, plain), f"{pattern}: {text}"
