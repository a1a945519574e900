"""A value marked “?” is found from what a reading has to be, shown on the sheet, and put in when asked."""

from __future__ import annotations

import re

from playwright.sync_api import Locator, expect

from tests.browser.ready import link_to
from tests.browser.sheet_page import SheetPage
from tests.browser.solution_page import SolutionPage

PAIR = {
    "title": "Two in series",
    "joints": {"a": [4, 2], "b": [4, 9], "0": [4, 16], "e": [0, 2], "z": [0, 16]},
    "parts": [
        {"name": "E1", "kind": "battery", "value": "9 V", "from": "e", "to": "z"},
        {"name": "W1", "kind": "wire", "from": "e", "to": "a"},
        {"name": "C1", "kind": "capacitor", "value": "30 µF", "from": "a", "to": "b"},
        {"name": "C2", "kind": "capacitor", "value": "10 µF", "from": "b", "to": "0"},
        {"name": "W2", "kind": "wire", "from": "0", "to": "z"},
    ],
}


def must(sheet: SheetPage) -> Locator:
    return sheet.page.get_by_role("region", name="What must it be")


def ask(sheet: SheetPage, reading: str, value: str) -> None:
    must(sheet).get_by_label("Reading 1 that is required").select_option(label=reading)
    must(sheet).get_by_label("What it has to be, 1").fill(value)
    must(sheet).get_by_label("What it has to be, 1").press("Enter")


def test_a_value_is_found_and_put_in(sheet: SheetPage) -> None:
    sheet.open(link_to(PAIR))
    sheet.edit_cell(sheet.cell("C1", "Capacitance"), "?")
    ask(sheet, "voltage of C2", "4 V")
    # 40 µC on 10 µF at 4 V; the same charge at the other 5 V is 8 µF.
    expect(must(sheet)).to_contain_text("C1 must be 8 µF")
    expect(sheet.cell("C2", "Voltage")).to_have_text("4.00 V")
    assert "? = 8 µF" in " ".join(sheet.written("C1"))
    expect(sheet.cell("C1", "Capacitance")).to_have_text("? = 8 µF")
    expect(sheet.page.locator("#line")).to_have_value(re.compile(r"\? \+ 10 µF"))
    nearest = must(sheet).get_by_role("row", name="E12").get_by_role("cell")
    expect(nearest).to_have_text(["8.20 µF", "4.05 V", "Put it in"])
    must(sheet).get_by_role("button", name="Put 8 µF in as the value of C1").click()
    expect(sheet.cell("C1", "Capacitance")).to_have_text("8 µF")
    expect(must(sheet)).to_have_count(0)
    sheet.undo()
    expect(must(sheet)).to_contain_text("C1 must be 8 µF")


def test_what_is_still_to_be_said_is_asked_for_calmly(sheet: SheetPage) -> None:
    sheet.open(link_to(PAIR))
    sheet.panel.get_by_role("row", name="C1").click()
    sheet.panel.get_by_role("button", name="Type ? as its value").click()
    expect(must(sheet)).to_contain_text("Now say which reading you want: C1 follows from it.")
    expect(sheet.page.get_by_role("region", name="What is wrong")).to_have_count(0)
    expect(sheet.panel.locator("tr.faulty")).to_have_count(0)
    reading = must(sheet).get_by_label("Reading 1 that is required")
    expect(reading).to_be_focused()
    # The emf is fixed, and the voltage of C1 follows from that of C2 as well.
    expect(reading).to_have_value("C2.voltage")
    expect(reading.get_by_text("voltage of E1")).to_have_count(0)
    reading.select_option(label="charge of C2")
    expect(must(sheet)).to_contain_text("Now say what the charge of C2 has to be: C1 follows from it.")
    must(sheet).get_by_label("What it has to be, 1").fill("40 µC")
    must(sheet).get_by_label("What it has to be, 1").press("Enter")
    expect(must(sheet)).to_contain_text("C1 must be 8 µF")
    must(sheet).get_by_role("button", name="Remove requirement 1").click()
    expect(must(sheet)).to_contain_text("Now say which reading you want")


def test_one_of_two_requirements_is_removed_while_the_other_is_only_offered(sheet: SheetPage) -> None:
    asked = [{**part, "value": "?"} if part["kind"] == "capacitor" else part for part in PAIR["parts"]]
    sheet.open(link_to({**PAIR, "parts": asked, "required": [{"reading": "C1.charge", "value": "40 µC"}]}))
    expect(must(sheet).get_by_label("Reading 2 that is required")).to_be_visible()
    must(sheet).get_by_role("button", name="Remove requirement 1").click()
    expect(must(sheet).get_by_role("button", name="Remove requirement 1")).to_have_count(0)
    expect(must(sheet).get_by_label("What it has to be, 1")).to_have_value("")


def test_the_field_says_that_a_value_can_be_asked_for(sheet: SheetPage) -> None:
    sheet.open(link_to(PAIR))
    sheet.panel.get_by_role("row", name="C1").click()
    sheet.actions.get_by_role("button", name="Value of C1").click()
    expect(sheet.means).to_have_text("? asks what it must be")
    sheet.field.fill("? µF")
    expect(sheet.means).to_have_text("to be found, from what a reading has to be")
    sheet.page.get_by_role("button", name="? asks what it must be").click()
    expect(sheet.field).to_have_count(0)
    expect(must(sheet)).to_contain_text("Now say which reading you want")


def test_a_preferred_number_is_put_in(sheet: SheetPage) -> None:
    parts = [{**part, "value": "?"} if part["name"] == "C1" else part for part in PAIR["parts"]]
    sheet.open(link_to({**PAIR, "figures": 1, "parts": parts, "required": [{"reading": "C2.voltage", "value": "4 V"}]}))
    must(sheet).get_by_role("button", name="Put 8.2 µF of E12 in as the value of C1").click()
    expect(sheet.cell("C1", "Capacitance")).to_have_text("8.2 µF")
    expect(must(sheet)).to_have_count(0)


def test_what_no_capacitor_can_do_is_said_in_words(sheet: SheetPage) -> None:
    sheet.open(link_to(PAIR))
    sheet.edit_cell(sheet.cell("C1", "Capacitance"), "?")
    ask(sheet, "equivalent of E1", "12 µF")
    wrong = sheet.page.get_by_role("region", name="What is wrong")
    expect(wrong).to_contain_text(
        "No capacitor can do this: in series the total is always below 10.0 µF; it would take −60.0 µF."
    )
    must(sheet).get_by_label("What it has to be, 1").fill("5 µF")
    must(sheet).get_by_label("What it has to be, 1").press("Enter")
    expect(must(sheet)).to_contain_text("C1 must be 10 µF")


def test_a_question_travels_in_a_link(sheet: SheetPage) -> None:
    parts = [{**part, "value": "?"} if part["name"] == "C1" else part for part in PAIR["parts"]]
    sheet.open(link_to({**PAIR, "parts": parts, "required": [{"reading": "C2.voltage", "value": "4 V"}]}))
    expect(must(sheet)).to_contain_text("C1 must be 8 µF")
    sheet.panel.get_by_role("button", name="Name C2").click()
    sheet.panel.get_by_role("textbox", name="Name C2").fill("C9")
    sheet.panel.get_by_role("textbox", name="Name C2").press("Enter")
    expect(must(sheet).get_by_label("Reading 1 that is required")).to_have_value("C9.voltage")
    expect(must(sheet)).to_contain_text("C1 must be 8 µF")


# τ = R × 10 mF; 10 V of 12 V after 10 s: R = 10 s/(10 mF × ln 6) = 558.1 Ω.
# OpenStax, University Physics Vol. 2, section 10.5, Example 10.9.
WIPER = {
    "title": "Time for the wiper",
    "joints": {"e": [2, 4], "a": [14, 4], "z": [2, 14], "x": [14, 14]},
    "parts": [
        {"name": "E1", "kind": "battery", "value": "12.00 V", "from": "e", "to": "z"},
        {"name": "R1", "kind": "resistor", "value": "1 kΩ", "from": "e", "to": "a"},
        {"name": "C1", "kind": "capacitor", "value": "10.00 mF", "from": "a", "to": "x"},
        {"name": "W1", "kind": "wire", "from": "z", "to": "x"},
    ],
    "figures": 5,
}


def test_a_resistance_is_found_from_what_a_reading_is_after_a_time(sheet: SheetPage) -> None:
    sheet.open(link_to(WIPER))
    sheet.edit_cell(sheet.cell("R1", "Resistance"), "?")
    ask(sheet, "voltage of C1", "10.00 V")
    must(sheet).get_by_label("When, 1").select_option(label="after")
    must(sheet).get_by_label("After how long, 1").fill("10.00 s")
    must(sheet).get_by_label("After how long, 1").press("Enter")
    expect(must(sheet)).to_contain_text("R1 must be 558.11 Ω")
    told = re.sub(r"[\s\u2061\u202f]", "", must(sheet).locator("math").text_content() or "")
    assert told == "τ=10.000sln6=5.5811s"
    must(sheet).get_by_label("What it has to be, 1").fill("80 %")
    must(sheet).get_by_label("What it has to be, 1").press("Enter")
    # 10 s/(10 mF × ln 5)
    expect(must(sheet)).to_contain_text("R1 must be 621.33 Ω")
    must(sheet).get_by_label("Reading 1 that is required").select_option(label="time constant")
    expect(must(sheet).get_by_label("After how long, 1")).to_have_count(0)
    must(sheet).get_by_label("What it has to be, 1").fill("15 s")
    must(sheet).get_by_label("What it has to be, 1").press("Enter")
    expect(must(sheet)).to_contain_text("R1 must be 1.5 kΩ")


def test_the_derivation_stands_in_the_worked_solution(sheet: SheetPage) -> None:
    parts = [{**part, "value": "?"} if part["name"] == "C1" else part for part in PAIR["parts"]]
    sheet.open(link_to({**PAIR, "parts": parts, "required": [{"reading": "C2.voltage", "value": "4 V"}]}))
    solution = SolutionPage(sheet).open()
    expect(solution.panel.get_by_label("Way to the solution")).to_have_value("unknown")
    solution.list.focus()
    solution.press("ArrowRight", "ArrowRight")
    assert solution.formulas() == [
        "9.00V×C1C1+10.0µF=4.00V",
        "9.00V×C1=4.00V×(C1+10.0µF)",
        "(9.00V−4.00V)C1=4.00V×10.0µF",
        "C1=10.0µF×4.00V9.00V−4.00V=8.00µF",
    ]
