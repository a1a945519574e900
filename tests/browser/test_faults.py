"""What cannot be solved is said in words where the readings stood, the part is marked, and nothing old is left up."""

from __future__ import annotations

import re

from playwright.sync_api import expect

from tests.browser.ready import link_to, middle, ready
from tests.browser.sheet_page import SheetPage

MIXED = ready("Three, mixed")
READING = re.compile(r"\d+(\.\d+)? [mµ]?[VCJ]\b")


def assert_no_readings(sheet: SheetPage) -> None:
    """Values that were typed may stand; potentials, charges and energies may not."""
    assert sheet.flags() == []
    expect(sheet.sheet.locator(".signs path, .discs circle, .bands path")).to_have_count(0)
    for part in sheet.parts():
        assert len(sheet.written(part)) == 2, "only the name and the value"
        assert not [text for text in sheet.row(part).get_by_role("cell").all_inner_texts()[1:] if text.strip()]
    expect(sheet.panel.get_by_role("region", name="Checks")).to_have_count(0)
    expect(sheet.panel.get_by_role("rowheader", name=re.compile("Across|Stored"))).to_have_count(0)


def short_the_battery(sheet: SheetPage) -> None:
    sheet.draw((8, 2), (8, 16))


def test_a_shorted_battery_is_named_in_the_ledger_s_place_and_nothing_old_stays(sheet: SheetPage) -> None:
    short_the_battery(sheet)
    wrong = sheet.panel.get_by_role("region", name="What is wrong")
    expect(wrong).to_contain_text("Both terminals of battery E1 are joined by wire")
    expect(wrong).to_contain_text("One thing to put right")
    assert_no_readings(sheet)


def test_the_part_concerned_is_marked_on_the_sheet(sheet: SheetPage) -> None:
    short_the_battery(sheet)
    expect(sheet.sheet.locator(".marks text")).to_have_text(["!"])
    mark = sheet.middle_of(sheet.sheet.locator(".marks text"))
    x, y = sheet.pixels(middle(MIXED, "E1"))
    assert abs(mark[0] - x) < 60
    assert abs(mark[1] - y) < 60


def test_putting_it_right_brings_the_readings_back(sheet: SheetPage) -> None:
    short_the_battery(sheet)
    sheet.click((8, 9))
    sheet.press("Delete")
    expect(sheet.cell("C1", "Voltage")).to_have_text("3.00 V")
    expect(sheet.panel.get_by_role("region", name="What is wrong")).to_have_count(0)
    expect(sheet.sheet.locator(".marks text")).to_have_count(0)


def test_a_message_pressed_selects_the_part_it_is_about(sheet: SheetPage) -> None:
    short_the_battery(sheet)
    sheet.panel.get_by_role("button", name=re.compile("Both terminals")).click()
    expect(sheet.actions).to_contain_text("E")
    expect(sheet.actions.get_by_role("button", name="Turn round")).to_be_visible()


def test_batteries_that_contradict_each_other_are_both_named(sheet: SheetPage) -> None:
    sheet.draw((7, 2), (7, 16), "12 V")
    wrong = sheet.panel.get_by_role("region", name="What is wrong")
    expect(wrong).to_contain_text(re.compile("E1.*E2.*loop of ideal batteries"))
    assert_no_readings(sheet)
    expect(sheet.sheet.locator(".marks text")).to_have_count(2)


def test_several_faults_are_listed_together(sheet: SheetPage) -> None:
    parts = [{**part, "value": "0 µF"} if part["name"] == "C1" else part for part in MIXED["parts"]]
    sheet.open(link_to({**MIXED, "parts": parts}))
    short_the_battery(sheet)
    wrong = sheet.panel.get_by_role("region", name="What is wrong")
    expect(wrong.get_by_role("listitem")).to_have_count(2)
    expect(wrong).to_contain_text("battery E1")
    expect(wrong).to_contain_text("capacitance of C1")


def test_a_value_of_zero_is_said_to_be_too_little(sheet: SheetPage) -> None:
    sheet.edit_cell(sheet.cell("C1", "Capacitance"), "0 µF")
    expect(sheet.panel).to_contain_text(re.compile("C1.*more than zero"))


def test_a_part_without_a_value_is_asked_for_one(sheet: SheetPage) -> None:
    parts = [{**part, "value": ""} if part["name"] == "C1" else part for part in MIXED["parts"]]
    sheet.open(link_to({**MIXED, "parts": parts}))
    expect(sheet.panel.get_by_role("region", name="What is wrong")).to_contain_text("C1 has no capacitance yet")
    assert sheet.written("C1") == ["C1", "value?"]
    assert_no_readings(sheet)
    sheet.edit_cell(sheet.cell("C1", "Capacitance"), "30 µF")
    expect(sheet.cell("C1", "Voltage")).to_have_text("3.00 V")


def test_editing_goes_on_while_something_is_wrong(sheet: SheetPage) -> None:
    short_the_battery(sheet)
    sheet.edit_cell(sheet.cell("C1", "Capacitance"), "60 µF")
    expect(sheet.cell("C1", "Capacitance")).to_have_text("60 µF")
    expect(sheet.panel.get_by_role("region", name="What is wrong")).to_be_visible()
    sheet.undo()
    sheet.undo()
    expect(sheet.cell("C1", "Voltage")).to_have_text("3.00 V")


def test_an_error_is_announced(sheet: SheetPage) -> None:
    short_the_battery(sheet)
    live = sheet.page.locator("[aria-live], [role=status], [role=alert]").filter(
        has_text="Both terminals of battery E1"
    )
    expect(live).not_to_have_count(0)
