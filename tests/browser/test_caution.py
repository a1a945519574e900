"""The caution on the sheet, in a frame and on paper: where the figures call for it, folded at will, never off paper."""

from __future__ import annotations

from typing import Any

import pytest
from playwright.sync_api import Locator, Page, expect

from tests.browser.ready import link_to
from tests.browser.share_dialog import stored_links
from tests.browser.sheet_page import SheetPage
from tests.browser.test_access import violations

LANTERN: dict[str, Any] = {
    "title": "Flash tube",
    "joints": {"a": [4, 3], "b": [14, 3], "c": [14, 11], "0": [4, 11]},
    "parts": [
        {"name": "E1", "kind": "battery", "value": "400 V", "from": "a", "to": "0"},
        {"name": "W1", "kind": "wire", "from": "a", "to": "b"},
        {"name": "C1", "kind": "capacitor", "value": "4 µF", "from": "b", "to": "c"},
        {"name": "W2", "kind": "wire", "from": "c", "to": "0"},
    ],
}
# ½ · 4 µF · (400 V)² = 320 mJ.
FIGURES = "Caution: up to 400 V and up to 320 mJ"


def caution(page: Page) -> Locator:
    return page.get_by_role("region", name="Caution")


def test_the_sheet_carries_the_caution_and_it_goes_when_the_figures_fall(sheet: SheetPage) -> None:
    expect(caution(sheet.page)).to_have_count(0)
    sheet.open(link_to(LANTERN))
    expect(caution(sheet.page)).to_contain_text(FIGURES)
    expect(caution(sheet.page)).to_contain_text("trained or licensed person")
    assert violations(sheet.page) == []
    sheet.edit_cell(sheet.cell("E1", "Emf"), "9 V")
    expect(caution(sheet.page)).to_have_count(0)
    sheet.undo()
    expect(caution(sheet.page)).to_contain_text(FIGURES)


def test_it_is_folded_by_key_and_stays_folded_while_the_sheet_changes(sheet: SheetPage) -> None:
    sheet.open(link_to(LANTERN))
    who = caution(sheet.page).get_by_text("trained or licensed person")
    expect(who).to_be_visible()
    caution(sheet.page).locator("summary").focus()
    sheet.page.keyboard.press("Enter")
    expect(who).to_be_hidden()
    sheet.edit_cell(sheet.cell("C1", "Capacitance"), "40 µF")
    expect(caution(sheet.page)).to_contain_text("up to 3.20 J")
    expect(who).to_be_hidden()
    caution(sheet.page).locator("summary").click()
    expect(who).to_be_visible()


def test_covered_readings_are_not_given_away_by_it(sheet: SheetPage) -> None:
    sheet.open(link_to({**LANTERN, "covered": ["total.energy"]}))
    expect(caution(sheet.page)).to_contain_text("Caution: dangerous to build")
    expect(caution(sheet.page)).not_to_contain_text("320 mJ")


def test_a_frame_on_a_course_page_has_it_folded_on_the_drawing(sheet: SheetPage) -> None:
    sheet.open(link_to(LANTERN))
    view, _ = stored_links(sheet)
    sheet.open(f"{view}/embed")
    who = caution(sheet.page).get_by_text("trained or licensed person")
    expect(caution(sheet.page).get_by_text(FIGURES)).to_be_visible()
    expect(who).to_be_hidden()
    caution(sheet.page).locator("summary").click()
    expect(who).to_be_visible()


@pytest.mark.parametrize("which", ["both", "question", "key"])
def test_no_choice_takes_it_off_a_handout(sheet: SheetPage, which: str) -> None:
    sheet.open(link_to(LANTERN))
    with sheet.page.expect_navigation():
        sheet.page.get_by_role("button", name="Handout").click()
    sheet.page.get_by_label("Sheets").select_option(which)
    printed = sheet.page.locator(".paper .cautions")
    expect(printed).to_have_count(1)
    expect(printed).to_contain_text(f"{FIGURES}.")
    expect(printed).to_contain_text("never work alone")
    sheet.page.emulate_media(media="print")
    expect(printed).to_be_visible()
