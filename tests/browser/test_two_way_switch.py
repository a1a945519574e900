"""A two-way switch on the sheet: drawn with one line, thrown over with a press, moved, turned, copied, taken away."""

from __future__ import annotations

from typing import Any

from playwright.sync_api import expect

from tests.browser.ready import link_to
from tests.browser.sheet_page import SheetPage

LANTERN: dict[str, Any] = {
    "title": "Charge, then share",
    "joints": {
        "e": [4, 4],
        "a": [12, 10],
        "f": [10, 4],
        "b": [14, 4],
        "g": [20, 4],
        "z": [4, 18],
        "y": [12, 18],
        "x": [20, 18],
    },
    "parts": [
        {"name": "E1", "kind": "battery", "value": "9 V", "from": "e", "to": "z"},
        {"name": "S1", "kind": "two-way switch", "from": "a", "to": "f", "second": "b"},
        {"name": "W1", "kind": "wire", "from": "e", "to": "f"},
        {"name": "W2", "kind": "wire", "from": "b", "to": "g"},
        {"name": "C1", "kind": "capacitor", "value": "30 µF", "from": "a", "to": "y"},
        {"name": "C2", "kind": "capacitor", "value": "15 µF", "from": "g", "to": "x"},
        {"name": "W3", "kind": "wire", "from": "z", "to": "y"},
        {"name": "W4", "kind": "wire", "from": "y", "to": "x"},
    ],
}


def test_one_line_and_three_words_make_one_whose_second_contact_lies_beside_the_first(sheet: SheetPage) -> None:
    sheet.open_empty()
    sheet.draw((4, 6), (10, 6), "two-way switch")
    assert sheet.written("S1")[:2] == ["S1", "on contact 1"]
    # From the second contact, two dots below the end of the line, a capacitor is drawn.
    sheet.draw((10, 8), (10, 14), "10 µF")
    sheet.draw((10, 14), (4, 6), "3 V")
    expect(sheet.cell("C1", "Voltage")).to_have_text("0 V")
    sheet.panel.get_by_role("button", name="S1 is on contact 1: throw it over").click()
    expect(sheet.cell("C1", "Voltage")).not_to_have_text("0 V")


def test_a_second_press_on_it_throws_it_over_and_undo_takes_that_back(sheet: SheetPage) -> None:
    sheet.open(link_to(LANTERN))
    expect(sheet.cell("C1", "Voltage")).to_have_text("9.00 V")
    sheet.click((12, 5))
    expect(sheet.spoken).to_have_text("S1, two-way switch on contact 1, 9.00 volts")
    sheet.click((12, 5))
    expect(sheet.spoken).to_have_text("S1 on contact 2")
    expect(sheet.cell("C1", "Voltage")).to_have_text("0 V")
    expect(sheet.value_on_sheet("S1")).to_have_text("on contact 2")
    sheet.undo()
    expect(sheet.cell("C1", "Voltage")).to_have_text("9.00 V")


def test_with_stages_throwing_it_over_is_the_next_stage(sheet: SheetPage) -> None:
    sheet.open(link_to(LANTERN))
    sheet.page.get_by_role("button", name="Before and after").click()
    sheet.click((12, 5))
    sheet.act("Throw it over")
    cards = sheet.page.get_by_role("list", name="Stages").get_by_role("button")
    expect(cards).to_have_text(["1 Start", "2 S1 on contact 2"])
    # 9 V · 30 µF on 45 µF.
    expect(sheet.cell("C2", "Charge")).to_have_text("90.0 µC")
    sheet.press("Enter")
    expect(cards).to_have_count(3)
    expect(sheet.cell("C1", "Charge")).to_have_text("270 µC")
    expect(sheet.cell("C2", "Charge")).to_have_text("90.0 µC")
    cards.nth(1).click()
    expect(sheet.value_on_sheet("S1")).to_have_text("on contact 2")


def test_a_line_dropped_on_one_of_its_lines_joins_it_there(sheet: SheetPage) -> None:
    # Its second contact is at (12, 6), and its line runs there from (9.25, 6).
    sheet.open_empty()
    sheet.draw((4, 4), (12, 4), "two-way switch")
    sheet.draw((11, 12), (11, 6), "10 µF")
    sheet.draw((11, 12), (4, 4), "3 V")
    expect(sheet.cell("C1", "Voltage")).to_have_text("0 V")
    sheet.panel.get_by_role("button", name="S1 is on contact 1: throw it over").click()
    expect(sheet.cell("C1", "Voltage")).not_to_have_text("0 V")
    sheet.click((11, 6))
    expect(sheet.actions).to_contain_text("Joint")


def test_it_is_moved_whole_and_one_contact_by_itself(sheet: SheetPage) -> None:
    sheet.open_empty()
    sheet.draw((4, 6), (10, 6), "two-way switch")
    sheet.drag((7, 7), (9, 9))
    sheet.settled()
    # The second contact lies two dots below the end of the arm's line.
    sheet.click((12, 10))
    expect(sheet.actions).to_contain_text("Joint")
    sheet.drag((12, 10), (12, 4))
    sheet.click((12, 4))
    expect(sheet.actions).to_contain_text("Joint")


def test_turned_round_its_free_contact_goes_to_the_other_side(sheet: SheetPage) -> None:
    sheet.open_empty()
    sheet.draw((4, 6), (10, 6), "two-way switch")
    sheet.press("f")
    sheet.draw((10, 4), (10, 0), "10 µF")
    assert sheet.parts() == ["C1", "S1"]
    sheet.click((7, 5))
    sheet.press("f")
    expect(sheet.notice).to_contain_text("drag it to where it should be")


def test_it_is_copied_renamed_and_taken_away(sheet: SheetPage) -> None:
    sheet.open(link_to({**LANTERN, "stages": [{"closed": []}, {"closed": [], "second": ["S1"]}], "stage": 1}))
    sheet.rename("S1", "S7")
    expect(sheet.cell("C2", "Charge")).to_have_text("90.0 µC")
    sheet.click((12, 5))
    sheet.press("Control+c", "Control+v")
    expect(sheet.panel.get_by_role("button", name="Name S1", exact=True)).to_be_visible()
    sheet.press("Delete")
    expect(sheet.panel.get_by_role("button", name="Name S1", exact=True)).to_have_count(0)
    sheet.click((12, 5))
    sheet.press("Delete")
    expect(sheet.panel.get_by_role("button", name="Name S7", exact=True)).to_have_count(0)
    sheet.undo()
    expect(sheet.cell("C2", "Charge")).to_have_text("90.0 µC")


def test_nothing_is_in_series_with_it(sheet: SheetPage) -> None:
    sheet.open(link_to(LANTERN))
    sheet.click((12, 5))
    sheet.press("+")
    expect(sheet.notice).to_have_text("A two-way switch has three ends: nothing is in series or in parallel with it.")


def test_every_view_stands_it(sheet: SheetPage) -> None:
    sheet.open(link_to(LANTERN))
    sheet.press("w")
    sheet.page.get_by_role("button", name="Next", exact=True).click()
    expect(sheet.page.locator("#solution")).to_contain_text("S1 rests on its first contact")
    sheet.press("w")
    expect(sheet.page.locator("#tiles")).to_contain_text("C1")
    sheet.page.get_by_role("button", name="Tidy").click()
    expect(sheet.spoken).to_contain_text("laid out anew")
    expect(sheet.cell("C1", "Voltage")).to_have_text("9.00 V")
