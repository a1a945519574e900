"""How the page shares out its room: no table is cut off, the drawing is never too small, and what passes covers nothing
of it. At a laptop's size, and on a phone."""

from __future__ import annotations

import re

import pytest
from playwright.sync_api import Locator, Page, expect

from tests.browser.sheet_page import SheetPage

LEAST_SHEET = 300  # pixels: half of it is a hand's width on a phone
LEAST_CURVES = 120
PHONE = {"width": 390, "height": 844}


def box(of: Locator) -> dict[str, float]:
    found = of.bounding_box()
    assert found
    return dict(found)


def meet(one: dict[str, float], other: dict[str, float]) -> bool:
    return all(
        one[at] < other[at] + other[size] and other[at] < one[at] + one[size]
        for at, size in (("x", "width"), ("y", "height"))
    )


def say(sheet: SheetPage, line: str) -> None:
    sheet.page.locator("#line").fill(line)
    sheet.page.locator("#line").press("Enter")
    expect(sheet.panel.get_by_role("table").first).to_be_visible()
    sheet.settled()


def assert_tables_fit(sheet: SheetPage) -> None:
    room = sheet.page.get_by_role("complementary", name="Readings")
    assert room.evaluate("(column) => column.scrollWidth <= column.clientWidth")
    right = max(box(table)["x"] + box(table)["width"] for table in sheet.panel.locator("table").all())
    assert right <= box(sheet.panel)["x"] + box(sheet.panel)["width"] + 0.5


def lantern_with_changes(sheet: SheetPage) -> SheetPage:
    sheet.open_ready("The lantern fades")
    sheet.page.get_by_role("button", name="Show changes").click()
    return sheet.settled()


def test_a_ledger_with_changes_fits_its_column(sheet: SheetPage) -> None:
    lantern_with_changes(sheet)
    expect(sheet.panel).to_contain_text("→")
    assert_tables_fit(sheet)


@pytest.mark.parametrize("line", ["V_0 : C + (2C ∥ C/3 ∥ 3/2 C)", "V_0 : C_1 + (C_2 ∥ C_3)"])
def test_a_ledger_of_formulas_fits_its_column(empty: SheetPage, line: str) -> None:
    say(empty, line)
    assert_tables_fit(empty)


def test_a_formula_is_broken_between_terms_only(empty: SheetPage) -> None:
    say(empty, "V_0 : C_1 + (C_2 ∥ C_3)")
    text = empty.cell("C1", "Energy").text_content() or ""
    assert " + " not in text  # the space after a sign does not break
    assert re.findall(r"[ \u200b](.)", text)
    assert set(re.findall(r"[ \u200b](.)", text)) <= set("+−/")


def test_a_drawing_whose_readings_are_long_formulas_fills_the_sheet(empty: SheetPage) -> None:
    say(empty, "V_0 : C_1 + (C_2 ∥ C_3)")
    empty.page.get_by_role("button", name="Fit the drawing to the window").click()
    drawing = [box(each) for each in empty.sheet.locator(".ink > g").all()]
    left, right = min(each["x"] for each in drawing), max(each["x"] + each["width"] for each in drawing)
    assert right - left > box(empty.sheet)["width"] / 2
    expect(empty.page.locator("#hint")).to_have_text("Formulas that are too long for the sheet stand in the ledger.")


def test_another_sketch_begins_without_changes_and_a_reload_keeps_them(sheet: SheetPage) -> None:
    changes = sheet.page.get_by_role("button", name="Show changes")
    lantern_with_changes(sheet)
    sheet.page.reload()
    sheet.settled()
    expect(changes).to_have_attribute("aria-pressed", "true")
    sheet.open_ready("Charge, then share")
    expect(changes).to_have_attribute("aria-pressed", "false")


def test_curves_have_room_and_the_drawing_keeps_its_own(sheet: SheetPage) -> None:
    sheet.open_ready("The lantern fades")
    plot = box(sheet.page.locator(".time-plot"))
    axes = box(sheet.page.locator(".time-plot svg").first)
    assert plot["height"] == axes["height"]
    # The axes with their words take 3.6 times the size of small type, 11 pixels.
    assert plot["height"] - 3.6 * 11 >= LEAST_CURVES
    assert box(sheet.sheet)["height"] > 1.7 * plot["height"]


@pytest.mark.parametrize("title", ["A slab, battery off and on", "Charge, then share", "The lantern fades"])
def test_on_a_phone_the_sheet_above_stages_is_high_enough(page: Page, complaints: list[str], title: str) -> None:
    page.set_viewport_size(PHONE)  # type: ignore[arg-type]
    sheet = SheetPage(page).open().open_ready(title)
    assert box(sheet.sheet)["height"] >= LEAST_SHEET
    zoom = box(page.locator(".zoom"))
    assert not any(meet(zoom, box(label)) for label in sheet.sheet.locator(".labels > g, .flags > g").all())


def test_on_a_phone_no_flag_lies_on_a_label(page: Page, complaints: list[str]) -> None:
    page.set_viewport_size(PHONE)  # type: ignore[arg-type]
    sheet = SheetPage(page).open().open_ready("The lantern fades")
    flags = [box(flag) for flag in sheet.sheet.locator(".flags > g").all()]
    texts = [box(text) for text in sheet.sheet.locator(".labels > g text").all()]
    assert len(flags) == 3
    assert not [text for text in texts if any(meet(text, flag) for flag in flags)]


def test_a_notice_covers_nothing_of_the_drawing(empty: SheetPage) -> None:
    empty.draw((4, 3), (4, 12), "12 V")
    empty.draw((4, 3), (14, 3), "switch")
    empty.draw((14, 3), (14, 12), "6 µF")
    empty.draw((4, 12), (14, 12))
    empty.click((9, 3))
    for deed in ("Close it", "Open it"):
        empty.act(re.compile(deed))
        empty.settled()
    expect(empty.notice).to_contain_text("Readings are counted from the start again.")
    notice = box(empty.notice)
    assert not any(meet(notice, box(each)) for each in empty.sheet.locator(".labels > g, .flags > g, .ink > g").all())
    assert not meet(notice, box(empty.page.locator(".zoom")))


def test_a_question_of_time_stands_in_one_row(sheet: SheetPage) -> None:
    sheet.open_ready("The lantern fades")
    sheet.panel.get_by_role("button", name="When does a reading reach …?").click()
    row = sheet.panel.get_by_role("region", name="Questions of time")
    middles = [
        box(row.get_by_role(role, name=name))
        for role, name in (("combobox", "Reading of question 1"), ("button", "Remove question 1"))
    ]
    first, last = (each["y"] + each["height"] / 2 for each in middles)
    assert abs(first - last) < 4


def test_underscores_can_be_seen_in_the_line(empty: SheetPage) -> None:
    line = empty.page.locator("#line")
    place = box(line)
    # Of the writing, without the edge and what may be underlined.
    clip = {"x": place["x"] + 60, "y": place["y"] + 6, "width": 200, "height": place["height"] - 14}
    pictures = set()
    for text in ("C    ", "C____"):
        line.fill(text)
        pictures.add(empty.page.screenshot(clip=clip))  # type: ignore[arg-type]
    assert len(pictures) == 2


def test_what_the_bar_cuts_off_can_be_scrolled_clear(page: Page, complaints: list[str]) -> None:
    page.set_viewport_size(PHONE)  # type: ignore[arg-type]
    sheet = SheetPage(page).open()
    sheet.press("n", "n")
    sheet.settled()
    last = sheet.actions.get_by_role("button").last
    sheet.actions.evaluate("(bar) => bar.scrollTo({ left: bar.scrollWidth })")
    bar, button = box(sheet.actions), box(last)
    faded = 2.2 * 16
    assert button["x"] + button["width"] <= bar["x"] + bar["width"] - faded + 1
