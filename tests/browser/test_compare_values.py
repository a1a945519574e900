"""Values typed on the page that compares are read as on the sheet, with their tolerances."""

from __future__ import annotations

import re

from playwright.sync_api import expect

from tests.browser.sheet_page import SheetPage
from tests.browser.test_compare import THREE, ComparePage, comparison

__all__ = ["comparison"]


def test_a_value_is_typed_with_its_tolerance_as_on_the_sheet(comparison: ComparePage) -> None:
    comparison.open(THREE)

    def typed(name: str, text: str) -> None:
        comparison.value(name).click()
        comparison.values.get_by_role("textbox").fill(text)
        comparison.values.get_by_role("textbox").press("Enter")

    typed("C1", "10 µF ±5 %")
    expect(comparison.value("C1")).to_have_text("10 µF ±5 %")
    typed("C2", "104K")
    expect(comparison.value("C2")).to_have_text("100 nF ±10 %")
    typed("C3", "10 µF K")
    expect(comparison.value("C3")).to_have_text("10 µF ±10 %")
    typed("C3", "10 µF X")
    alert = comparison.values.get_by_role("alert").filter(has_text=re.compile("."))
    expect(alert).to_have_text("a number and a unit, such as 10 µF")
    comparison.values.get_by_role("textbox").fill("plates 1 m² ? mica")
    comparison.values.get_by_role("textbox").press("Enter")
    expect(alert).to_have_text("What a value must be is found on the sheet, not here: type a value.")
    comparison.values.get_by_role("textbox").press("Escape")
    expect(comparison.page.locator("main")).to_contain_text(
        "Tolerances are left out here: every part counts as what it is called."
    )
    # A number alone keeps the unit and the tolerance, a step keeps the tolerance, and a new value has none but its own.
    typed("C1", "22")
    expect(comparison.value("C1")).to_have_text("22 µF ±5 %")
    comparison.page.keyboard.press("ArrowUp")
    expect(comparison.value("C1")).to_have_text("27 µF ±5 %")
    typed("C1", "10 µF")
    expect(comparison.value("C1")).to_have_text("10 µF")
    comparison.page.get_by_role("link", name="Back to the sheet").click()
    expect(SheetPage(comparison.page).settled().cell("C2", "Capacitance")).to_have_text("100 nF ±10 %")


def test_a_changed_copy_has_a_tolerance_of_its_own(comparison: ComparePage) -> None:
    whole = {
        **THREE,
        "parts": [{**part, "tolerance": "±20 %"} if part["name"] == "C1" else part for part in THREE["parts"]],
    }
    comparison.open(whole, columns=["network", "copy"])
    own = comparison.page.get_by_role("list", name="Values of the changed copy")
    control = own.get_by_role("button", name=re.compile("^value of C1 in the copy"))
    expect(control).to_have_text("30 µF ±20 %")
    for text, shown in (("15 µF", "15 µF"), ("15 µF ±1 %", "15 µF ±1 %")):
        control.click()
        own.get_by_role("textbox").fill(text)
        own.get_by_role("textbox").press("Enter")
        expect(control).to_have_text(shown)
    expect(own).to_contain_text("was 30 µF ±20 %")
    expect(comparison.value("C1")).to_have_text("30 µF ±20 %")
    expect(comparison.row("Charge", "C1")).to_contain_text("135 µC")


def test_drawings_side_by_side_have_no_room_for_tolerances_and_ratings(comparison: ComparePage) -> None:
    battery, *capacitors = THREE["parts"]
    marked = [{**part, "tolerance": "±5 %", "rated": "10 V"} for part in capacitors]
    comparison.open({**THREE, "parts": [battery, *marked]})
    for number in (0, 1):
        labels = comparison.columns.nth(number).locator(".labels")
        expect(labels.first).to_contain_text("30 µF")
        expect(labels.first).not_to_contain_text(re.compile("±|rated"))
