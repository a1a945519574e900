"""A value marked “?” is found from what a reading has to be, shown on the sheet, and put in when asked."""

from __future__ import annotations

from playwright.sync_api import Locator, expect

from tests.browser.ready import link_to
from tests.browser.sheet_page import SheetPage

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
    must(sheet).get_by_role("button", name="Say what a reading has to be").click()
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
    assert "? 8 µF" in " ".join(sheet.written("C1"))
    nearest = must(sheet).get_by_role("row", name="E12").get_by_role("cell")
    expect(nearest).to_have_text(["8.20 µF", "4.05 V"])
    must(sheet).get_by_role("button", name="Put 8 µF in as the value of C1").click()
    expect(sheet.cell("C1", "Capacitance")).to_have_text("8 µF")
    expect(must(sheet)).to_have_count(0)
    sheet.undo()
    expect(must(sheet)).to_contain_text("C1 must be 8 µF")


def test_what_no_capacitor_can_do_is_said_in_words(sheet: SheetPage) -> None:
    sheet.open(link_to(PAIR))
    sheet.edit_cell(sheet.cell("C1", "Capacitance"), "?")
    ask(sheet, "equivalent of E1", "12 µF")
    wrong = sheet.page.get_by_role("region", name="What is wrong")
    expect(wrong).to_contain_text(
        "No capacitor can do this: the equivalent of E1 stays between 0 F and 10.0 µF, whatever C1 is."
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
