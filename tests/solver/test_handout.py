"""A handout asks for what is covered, gives what is not, and warns of what is dangerous to build."""

from __future__ import annotations

from dataclasses import replace
from typing import Any

from hypothesis import given, settings

from solver import Sketch, battery, capacitor, resistor, switch
from solver.handout import Handout, handout_of
from solver.sketch import Question, Requirement
from solver.solving import solution_of, solve_network
from solver.strains import strains
from solver.unknown import find
from tests.solver.strategies import networks

MIXED = Sketch.of(
    battery("E1", "9 V", "a", "0"),
    capacitor("C1", "30 µF", "a", "b"),
    capacitor("C2", "10 µF", "b", "0"),
    capacitor("C3", "5 µF", "b", "0"),
)
THREE_FIGURES = " Give numbers to 3 significant figures."


def handout(sketch: Sketch, *covered: str) -> Handout:
    sketch = replace(sketch, covered=covered)
    solved = solve_network(sketch)
    return handout_of(sketch, solved, solution_of(solved))


def cells(tables: list[dict[str, Any]], part: str) -> list[str]:
    """The texts in the row of a part, a line for each that is to be found."""
    row = next(row for table in tables for row in table["rows"] if row["name"] == part)
    return ["____" if cell["asked"] else cell["text"] for cell in row["cells"]]


def test_without_covers_all_that_is_usual_is_asked() -> None:
    asked = handout(MIXED)
    assert asked.task == (
        "Find the voltage across each capacitor, its charge and its energy; the equivalent capacitance that E1 sees; "
        "and the energy stored in all." + THREE_FIGURES
    )
    assert cells(asked.document()["blank"], "C2") == ["10 µF", "____", "____", "____"]
    assert cells(asked.document()["blank"], "E1") == ["____", "____", "____", "____"]


def test_covering_everything_asks_the_same_as_covering_nothing() -> None:
    one, other = handout(MIXED), handout(MIXED, "*")
    assert (one.task, one.asked, one.document()["blank"]) == (other.task, other.asked, other.document()["blank"])


def test_covered_readings_are_asked_and_the_others_given() -> None:
    asked = handout(MIXED, "C1.charge", "C2.charge", "C2.voltage")
    assert asked.task == "Find the voltage across C2, and the charge on C1 and C2." + THREE_FIGURES
    # 30 µF with 10 + 5 µF: 10 µF at 9 V is 90 µC, 3 V across C1 and 6 V across the others.
    blank = asked.document()["blank"]
    assert cells(blank, "C1") == ["30 µF", "3.00 V", "____", "135 µJ"]
    assert cells(blank, "C2") == ["10 µF", "____", "____", "180 µJ"]
    assert cells(blank, "C3") == ["5 µF", "6.00 V", "30.0 µC", "90.0 µJ"]
    assert set(asked.asked) == {"C1.charge", "C2.charge", "C2.voltage"}


def test_readings_left_out_of_a_cover_are_given() -> None:
    asked = handout(MIXED, "*", "but C1.voltage")
    assert cells(asked.document()["blank"], "C1") == ["30 µF", "3.00 V", "____", "____"]
    assert "the voltages across C2 and C3" in asked.task or "the voltage across C2 and C3" in asked.task


def test_the_answer_key_has_everything() -> None:
    filled = handout(MIXED, "*").document()["filled"]
    assert cells(filled, "C1") == ["30 µF", "3.00 V", "90.0 µC", "135 µJ"]
    across = next(row for table in filled for row in table["rows"] if row["words"] == "Across ")
    assert [cell["text"] for cell in across["cells"]] == ["10.0 µF", "9.00 V", "90.0 µC", "405 µJ"]


def test_what_a_battery_sees_is_across_it_only_where_it_alone_made_all_readings() -> None:
    """With a charge brought along, ½CV² of the equivalent is not what is stored: each stands by itself."""
    first = Sketch.of(
        battery("E1", "9 V", "a", "0"), capacitor("C1", "30 µF", "a", "0"), capacitor("C2", "15 µF", "b", "0")
    )
    last = handout(first, "*").document()["filled"][0]["rows"][-1]
    assert (last["words"], last["name"]) == ("Across ", "E1")
    charged = replace(first, parts=(*first.parts[:2], first.parts[2]._replace(initial="4 V")))
    capacitors, batteries = handout(charged, "*").document()["filled"]
    # ½ · 30 µF · 81 V² + ½ · 15 µF · 16 V²
    assert [cell["text"] for cell in capacitors["rows"][-1]["cells"]] == ["1.34 mJ"]
    assert capacitors["rows"][-1]["words"] == "Stored in all"
    assert dict(zip(batteries["columns"][1:], cells([batteries], "E1"), strict=True))["Equivalent"] == "30.0 µF"


def test_covered_potentials_are_asked_by_their_marks() -> None:
    assert "the potentials marked with a question mark" in handout(MIXED, "joint b.potential").task


def test_resistors_are_asked_for_currents() -> None:
    asked = handout(
        Sketch.of(battery("E1", "9 V", "a", "0"), resistor("R1", "2 Ω", "a", "b"), resistor("R2", "1 Ω", "b", "0"))
    )
    assert asked.task == (
        "Find the voltage across each resistor, the current through it and its power; "
        "the equivalent resistance that E1 sees; and the power in all resistors." + THREE_FIGURES
    )


def test_one_part_alone_has_no_row_for_all() -> None:
    asked = handout(Sketch.of(battery("E1", "9 V", "a", "0"), capacitor("C1", "10 µF", "a", "0")))
    assert asked.task == "Find the voltage across C1, its charge and its energy." + THREE_FIGURES
    assert [[row["name"] for row in table["rows"]] for table in asked.document()["blank"]] == [["C1"]]


def test_with_symbols_the_task_names_them_and_asks_for_no_figures() -> None:
    asked = handout(
        Sketch.of(battery("E1", "V_0", "a", "0"), capacitor("C1", "C", "a", "b"), capacitor("C2", "2C", "b", "0"))
    )
    assert asked.task.startswith(
        "Find, in terms of C and V₀, the voltage across each capacitor, its charge and its energy;"
    )
    assert "figures" not in asked.task
    assert cells(asked.document()["filled"], "C1")[1] == "2V₀/3"


def test_probes_are_asked_between_the_ends_of_the_dotted_line() -> None:
    sketch = replace(MIXED, probes=(("a", "b"),))
    assert "the voltage and the equivalent capacitance between the ends of the dotted line" in handout(sketch).task


def handout_of_found(value: str) -> Handout:
    """C1 of this value in series with 10 µF on 9 V, which is to have 6 V."""
    sketch = Sketch.of(
        battery("E1", "9 V", "a", "0"),
        capacitor("C1", value, "a", "b"),
        capacitor("C2", "10 µF", "b", "0"),
        required=[Requirement("C2.voltage", "6 V")],
    )
    found = find(sketch)
    solved = solve_network(found.sketch)
    return handout_of(sketch, solved, solution_of(solved), found)


def test_a_value_that_is_to_be_found_is_blank_and_what_is_required_is_given() -> None:
    # In series with 10 µF at 6 V the charge is 60 µC, and 3 V are left for C1: 20 µF.
    asked = handout_of_found("?")
    assert asked.task.startswith("Find what C1 must be for the voltage across C2 to be 6 V;")
    assert cells(asked.document()["blank"], "C1") == ["____"] * 4
    assert cells(asked.document()["blank"], "C2") == ["10 µF", "6.00 V", "____", "____"]
    assert cells(asked.document()["filled"], "C1")[:2] == ["20 µF", "3.00 V"]


def test_a_size_that_is_to_be_found_is_asked_for_with_the_build_and_answered_with_few_figures() -> None:
    # As above C1 has to be 20 µF: 6 · 8.854 pF/m · 1 m² / 20 µF = 2.656 µm.
    asked = handout_of_found("plates 1 m² ? mica")
    assert asked.task.startswith(
        "Find what the gap of C1 (plates 1 m² ? mica) must be for the voltage across C2 to be 6 V;"
    )
    assert cells(asked.document()["blank"], "C1")[0] == "____"
    assert cells(asked.document()["filled"], "C1")[:2] == ["plates 1 m² 2.66 µm mica", "3.00 V"]


def test_questions_of_time_are_asked_and_a_value_may_have_to_do_after_a_time() -> None:
    parts = (battery("E1", "12 V", "a", "0"), resistor("R1", "?", "a", "b"), capacitor("C1", "10 mF", "b", "0"))
    questions = [Question("C1.voltage", "80 %"), Question("R1.current", None, "5 s"), Question("C1.voltage", "6 V")]
    required = [Requirement("C1.voltage", "10 V", "10 s")]
    sketch = Sketch.of(*parts, required=required, questions=[*questions, Question("C1.voltage", "")])
    found = find(sketch)
    solved = solve_network(found.sketch)
    task = handout_of(sketch, solved, solution_of(solved), found).task
    assert task.startswith("Find what R1 must be for the voltage across C1 to be 10 V after 10 s;")
    assert "; when the voltage across C1 is at 80 % of its full value;" in task
    assert "; the current through R1 after 5 s;" in task
    assert "; when the voltage across C1 is 6 V;" in task


def test_the_state_of_a_switch_is_given_and_its_voltage_asked_only_if_covered() -> None:
    sketch = Sketch.of(
        battery("E1", "9 V", "a", "0"), switch("S1", "a", "b", closed=False), capacitor("C1", "10 µF", "b", "0")
    )
    assert "Switches" not in [table["title"] for table in handout(sketch).document()["blank"]]
    assert cells(handout(sketch, "S1.voltage").document()["blank"], "S1") == ["open", "____"]


def test_a_handout_carries_the_caution_of_its_network() -> None:
    """½ · 4 µF · (400 V)² = 320 mJ; what is said from which figures on stands with the cautions."""
    low = handout(Sketch.of(battery("E1", "40 V", "a", "0"), capacitor("C1", "10 µF", "a", "0"))).cautions
    assert len(low) == 1
    assert "stay charged" in low[0]
    high = handout(Sketch.of(battery("E1", "400 V", "a", "0"), capacitor("C1", "4 µF", "a", "0"))).cautions
    assert high[0] == "Caution: up to 400 V and up to 320 mJ."
    assert "trained or licensed person" in high[-1]


def test_charge_that_was_there_before_is_warned_of() -> None:
    apart = Sketch.of(capacitor("C1", "1 mF", "a", "0", initial="400 V"), capacitor("C2", "1 mF", "a", "0"))
    assert "up to 400 V" in " ".join(handout(apart).cautions)


def test_nothing_is_warned_of_where_nothing_is_charged_and_nothing_drives() -> None:
    assert handout(Sketch.of(capacitor("C1", "10 µF", "a", "0"))).cautions == ()


def test_what_is_live_without_capacitors_is_warned_of_too() -> None:
    sentences = handout(Sketch.of(battery("E1", "9 V", "a", "0"), resistor("R1", "2 Ω", "a", "0"))).cautions
    assert len(sentences) == 1
    assert "school's rules" in sentences[0]


@given(networks())
@settings(max_examples=40, deadline=None)
def test_the_ledger_has_every_part_and_every_reading_as_the_solution_has_it(sketch: Sketch) -> None:
    solved = solve_network(sketch)
    solution = solution_of(solved)
    made = handout_of(sketch, solved, solution)
    rows = [
        row for table in made.filled for row in table.rows if not row.is_sum and table.title != "Between two joints"
    ]
    assert {row.name for row in rows} == {part.name for part in sketch.parts if part.kind != "wire"}
    for cell in (cell for table in made.filled for row in table.rows for cell in row.cells if cell and cell.key):
        owner, _, name = str(cell.key).rpartition(".")
        reading = getattr(solution.totals if owner == "total" else solution.parts[owner], name)
        assert cell.text == reading.text
    assert all(len(row.cells) == len(table.columns) - 1 for table in (*made.filled, *made.blank) for row in table.rows)


RATED = Sketch.of(
    battery("E1", "9 V", "a", "0"),
    capacitor("C1", "30 µF", "a", "b", rated="2 V"),
    capacitor("C2", "10 µF", "b", "0", rated="16 V"),
    capacitor("C3", "5 µF", "b", "0", rated="16 V", reverse="1 V"),
    usable=50,
)


def strained(sketch: Sketch, *covered: str) -> Handout:
    sketch = replace(sketch, covered=covered)
    solved = solve_network(sketch)
    return handout_of(sketch, solved, solution_of(solved), strains=strains([solved]))


def ratings(tables: list[dict[str, Any]]) -> list[list[str]]:
    [table] = [table for table in tables if table["title"] == "Ratings"]
    return [["____" if cell["asked"] else cell["text"] for cell in row["cells"]] for row in table["rows"]]


def test_the_key_has_each_share_of_a_rating_and_a_mark_on_what_is_past_it() -> None:
    # 3 V and 6 V, as above, of half of 2 V and of 16 V.
    made = strained(RATED)
    assert ratings(made.document()["filled"]) == [
        ["2 V", "300 % of 1 V usable, (!) past its limit"],
        ["16 V", "75 % of 8 V usable"],
        ["16 V, reversed 1 V", "75 % of 8 V usable"],
    ]
    # What they are rated for stands in the drawing.
    assert all(table["title"] != "Ratings" for table in made.document()["blank"])
    assert made.task.endswith("Find what share of its rating each capacitor comes to, and which are past it.")


def test_the_question_sheet_gives_no_share_of_a_voltage_that_is_asked_for() -> None:
    made = strained(RATED, "C1.voltage", "C2.charge")
    assert [row[1] for row in ratings(made.document()["blank"])] == ["____", "75 % of 8 V usable", "75 % of 8 V usable"]
    assert "share of its rating" not in strained(RATED, "C2.charge").task


def test_a_polarised_capacitor_the_wrong_way_round_is_told_apart_on_paper() -> None:
    sketch = Sketch.of(battery("E1", "9 V", "a", "0"), capacitor("C1", "1 µF", "0", "a", rated="16 V", reverse="1 V"))
    assert ratings(strained(sketch).document()["filled"]) == [
        ["16 V, reversed 1 V", "reversed, 900 % of 1 V, (!) past its limit"]
    ]


def test_without_ratings_a_handout_has_no_table_of_them() -> None:
    assert all(table["title"] != "Ratings" for table in strained(MIXED).document()["filled"])
