"""Tolerances on the sheet: typed with the value, kept while the value changes, and what they let the readings be."""

from __future__ import annotations

import re
import threading
from typing import Any

from axe_playwright_python.sync_playwright import Axe
from playwright.sync_api import Locator, Route, expect

from tests.browser.sheet_page import SheetPage


def lantern(sheet: SheetPage) -> None:
    sheet.draw((4, 3), (4, 9), "9 V")
    sheet.draw((4, 3), (10, 3))
    sheet.draw((10, 3), (10, 6), "30 uF 10%")
    sheet.draw((10, 6), (10, 9), "15 uF")
    sheet.draw((4, 9), (10, 9))


def test_a_tolerance_is_typed_with_the_value_and_stands_beside_it(empty: SheetPage) -> None:
    lantern(empty)
    assert empty.written("C1")[:3] == ["C1", "30 µF ±10 %", "3.00 V"]
    expect(empty.cell("C1", "Capacitance")).to_have_text("30 µF ±10 %")
    expect(empty.cell("C2", "Capacitance")).to_have_text("15 µF")


def test_the_field_says_what_a_letter_means_while_one_types(empty: SheetPage) -> None:
    empty.line((4, 3), (4, 9))
    empty.field.press_sequentially("4u7K")
    expect(empty.means).to_have_text("read as 4.7 µF: a capacitor, ±10 %")
    empty.field.fill("104")
    expect(empty.means).to_have_text("104 what? µF, V, Ω…; for a capacitor of 100 nF type “marked 104”")
    empty.answer("marked 104K")
    assert empty.written("C1")[:2] == ["C1", "100 nF ±10 %"]


def test_a_tolerance_stays_while_the_value_is_stepped_dragged_or_typed_as_a_number(empty: SheetPage) -> None:
    lantern(empty)
    empty.click((10, 4.5))
    empty.press("ArrowUp")
    empty.settled()
    expect(empty.cell("C1", "Capacitance")).to_have_text("33 µF ±10 %")
    empty.edit_cell(empty.cell("C1", "Capacitance"), "22")
    expect(empty.cell("C1", "Capacitance")).to_have_text("22 µF ±10 %")
    empty.drag_value("C1", 16)
    expect(empty.cell("C1", "Capacitance")).to_have_text("27 µF ±10 %")


def test_a_tolerance_alone_keeps_the_value_and_a_whole_value_drops_it(empty: SheetPage) -> None:
    lantern(empty)
    empty.edit_cell(empty.cell("C2", "Capacitance"), "±5 %")
    expect(empty.cell("C2", "Capacitance")).to_have_text("15 µF ±5 %")
    empty.edit_cell(empty.cell("C1", "Capacitance"), "20 uF")
    expect(empty.cell("C1", "Capacitance")).to_have_text("20 µF")
    empty.undo()
    expect(empty.cell("C1", "Capacitance")).to_have_text("30 µF ±10 %")


def test_a_tolerance_of_everything_is_refused_in_the_field(empty: SheetPage) -> None:
    empty.line((4, 3), (4, 9))
    empty.field.fill("10 uF 100%")
    empty.field.press("Enter")
    expect(empty.means).to_have_text("a tolerance has to be below 100 %, or nothing would be left of the value")
    expect(empty.field).to_be_focused()


def test_the_line_tells_of_tolerances_and_takes_them(empty: SheetPage) -> None:
    lantern(empty)
    line = empty.page.get_by_role("textbox", name="Say it")
    expect(line).to_have_value("9 V : 30 µF (±10 %) + 15 µF")
    line.fill("9 V : 30 µF (±10 %) + 15 µF (5 %)")
    line.press("Enter")
    expect(empty.cell("C2", "Capacitance")).to_have_text("15 µF ±5 %")


def test_a_link_carries_tolerances(empty: SheetPage) -> None:
    lantern(empty)
    empty.page.reload()
    empty.settled()
    expect(empty.cell("C1", "Capacitance")).to_have_text("30 µF ±10 %")


def spread_of(sheet: SheetPage, part: str, column: str) -> str:
    """What is told of a reading's spread, once it is there."""
    words = sheet.cell(part, column).locator("small")
    expect(words).to_have_count(1)
    return words.text_content() or ""


def test_a_bar_under_each_reading_tells_how_far_it_can_be(empty: SheetPage) -> None:
    lantern(empty)
    # 27 … 33 µF in series with 15 µF on 9 V: V = 9 · 15/(C + 15), from 2.81 V to 3.21 V; Q = V · C, 86.8 to 92.8 µC.
    assert spread_of(empty, "C1", "Voltage") == "2.81 to 3.21 V"
    assert spread_of(empty, "C1", "Charge") == "86.8 to 92.8 µC"
    expect(empty.cell("C1", "Voltage").locator("rect.range")).to_have_count(1)
    expect(empty.panel.get_by_role("region", name="Tolerances")).to_contain_text("from the least to the largest")


def test_the_figures_of_a_selected_part_are_written_out(empty: SheetPage) -> None:
    lantern(empty)
    figures = empty.cell("C2", "Voltage").locator("small")
    expect(figures).to_have_class("spoken")
    empty.click((10, 7.5))
    expect(figures).not_to_have_class("spoken")
    expect(figures).to_have_text("5.79 to 6.19 V")


def test_a_covered_reading_does_not_give_its_spread_away(empty: SheetPage) -> None:
    lantern(empty)
    spread_of(empty, "C1", "Voltage")
    empty.cell("C1", "Voltage").get_by_role("button").click()
    expect(empty.cell("C1", "Voltage").get_by_role("button")).to_have_text("?")
    expect(empty.cell("C1", "Voltage").locator("small")).to_have_count(0)
    expect(empty.cell("C1", "Voltage").locator("rect")).to_have_count(0)
    spread_of(empty, "C1", "Charge")


def test_without_a_tolerance_nothing_is_asked_and_nothing_is_drawn(sheet: SheetPage) -> None:
    asked = []
    sheet.page.on("request", lambda request: asked.append(request.url) if request.url.endswith("/api/spread") else None)
    sheet.drag_value("C1", 16)
    expect(sheet.page.locator(".spread-bar")).to_have_count(0)
    sheet.edit_cell(sheet.cell("C1", "Capacitance"), "30 uF 10%")
    spread_of(sheet, "C1", "Voltage")
    assert len(asked) == 1


def test_work_that_takes_long_shows_and_can_be_stopped_and_taken_up_again(empty: SheetPage) -> None:
    held: list[Route] = []
    come = threading.Event()

    def hold(route: Route) -> None:
        if come.is_set():
            route.continue_()
        else:
            held.append(route)

    empty.page.route("**/api/spread", hold)
    lantern(empty)
    region = empty.panel.get_by_role("region", name="Tolerances")
    expect(region.get_by_role("progressbar")).to_be_visible()
    region.get_by_role("button", name="Stop").click()
    expect(region).to_contain_text("Stopped")
    expect(empty.cell("C1", "Voltage").locator("rect")).to_have_count(0)
    come.set()
    region.get_by_role("button", name="Work out the spread").click()
    assert spread_of(empty, "C1", "Voltage") == "2.81 to 3.21 V"


def test_progress_is_shown_and_after_a_stop_the_server_is_asked_for_no_more(empty: SheetPage) -> None:
    place = {"climbed": 3, "corners": ["1"], "chosen": None, "told": 0}
    first = {"spreads": {}, "proved": True, "leftOut": [], "reason": None, "from": place, "share": 0.4}
    asked: list[Any] = []
    held: list[Route] = []

    def answer(route: Route) -> None:
        asked.append(route.request.post_data_json["from"])
        if len(asked) == 1:
            route.fulfill(json=first)
        elif len(asked) == 2:
            held.append(route)
        else:
            route.continue_()

    lantern(empty)
    spread_of(empty, "C1", "Voltage")
    empty.page.route("**/api/spread", answer)
    empty.edit_cell(empty.cell("C2", "Capacitance"), "15 uF 5%")
    region = empty.panel.get_by_role("region", name="Tolerances")
    expect(region.get_by_role("progressbar")).to_have_attribute("value", "0.4")
    region.get_by_role("button", name="Stop").click()
    expect(region).to_contain_text("Stopped")
    held[0].fulfill(json=first)
    region.get_by_role("button", name="Work out the spread").click()
    # 27 … 33 µF in series with 14.25 … 15.75 µF: 9 · 14.25/47.25 = 2.71 V, 9 · 15.75/42.75 = 3.32 V.
    assert spread_of(empty, "C1", "Voltage") == "2.71 to 3.32 V"
    # From the start, on from there, and after the stop from the start again: nothing in between.
    assert asked == [None, place, None]


def test_a_change_while_the_spread_is_worked_out_has_the_spread_of_what_is_there(empty: SheetPage) -> None:
    lantern(empty)
    empty.click((10, 7.5))
    empty.press("ArrowUp", "ArrowUp")
    empty.settled()
    # 27 … 33 µF in series with 22 µF: 9 · 22/(C + 22).
    expect(empty.cell("C1", "Voltage").locator("small")).to_have_text("3.60 to 4.04 V")


def test_axe_finds_nothing_wrong_with_the_bars(empty: SheetPage) -> None:
    lantern(empty)
    spread_of(empty, "C1", "Voltage")
    results = Axe().run(empty.page)
    assert results.violations_count == 0, results.generate_report()


def draw_lot(sheet: SheetPage) -> None:
    sheet.panel.get_by_role("button", name="Draw one lot from the drawer").click()
    sheet.settled()


def lot_bar(sheet: SheetPage) -> Locator:
    return sheet.page.get_by_role("group", name="Lot from the drawer")


def test_a_lot_is_drawn_marked_and_taken_back_by_one_press(empty: SheetPage) -> None:
    lantern(empty)
    expect(lot_bar(empty)).to_be_hidden()
    draw_lot(empty)
    expect(lot_bar(empty)).to_contain_text("for teaching; real lots are not even")
    here = re.compile(r"^30 µF ±10 % here (2[7-9]|3[0-3])\.\d µF$")
    expect(empty.cell("C1", "Capacitance")).to_have_text(here)
    assert re.fullmatch(r"30 µF, here \d\d\.\d µF", empty.written("C1")[1])
    expect(empty.cell("C2", "Capacitance")).to_have_text("15 µF")
    expect(empty.cell("C1", "Voltage").get_by_role("button")).not_to_have_text("3.00 V")
    lot_bar(empty).get_by_role("button", name="Back to the values as typed").click()
    empty.settled()
    expect(lot_bar(empty)).to_be_hidden()
    expect(empty.cell("C1", "Voltage").get_by_role("button")).to_have_text("3.00 V")
    assert empty.written("C1")[1] == "30 µF ±10 %"


def test_the_same_number_is_the_same_lot_and_another_is_not(empty: SheetPage) -> None:
    lantern(empty)
    draw_lot(empty)
    value = empty.cell("C1", "Capacitance")
    first = value.text_content() or ""
    lot_bar(empty).get_by_role("button", name="Another lot").click()
    empty.settled()
    expect(value).not_to_have_text(first)
    number = lot_bar(empty).get_by_role("textbox", name="Lot")
    expect(number).to_have_value("2")
    number.fill("1")
    number.press("Enter")
    empty.settled()
    expect(value).to_have_text(first)


def test_a_link_carries_the_lot_and_undo_takes_it_back(empty: SheetPage) -> None:
    lantern(empty)
    draw_lot(empty)
    value = empty.cell("C1", "Capacitance").text_content() or ""
    empty.page.reload()
    empty.settled()
    expect(lot_bar(empty)).to_be_visible()
    expect(empty.cell("C1", "Capacitance")).to_have_text(value)
    empty.cell("C2", "Capacitance").get_by_role("button").click()
    empty.page.keyboard.press("Escape")
    lot_bar(empty).get_by_role("button", name="Another lot").click()
    empty.undo()
    expect(empty.cell("C1", "Capacitance")).to_have_text(value)


def test_the_line_and_the_steps_of_a_value_stay_with_what_was_typed(empty: SheetPage) -> None:
    lantern(empty)
    draw_lot(empty)
    expect(empty.page.get_by_role("textbox", name="Say it")).to_have_value("9 V : 30 µF (±10 %) + 15 µF")
    empty.click((10, 4.5))
    empty.press("ArrowUp")
    empty.settled()
    expect(empty.cell("C1", "Capacitance")).to_contain_text("33 µF ±10 % here")


def test_axe_finds_nothing_wrong_with_a_lot(empty: SheetPage) -> None:
    lantern(empty)
    draw_lot(empty)
    results = Axe().run(empty.page)
    assert results.violations_count == 0, results.generate_report()


def test_a_build_has_a_spread_and_is_drawn_like_any_part(empty: SheetPage) -> None:
    empty.draw((4, 3), (4, 9), "9 V")
    empty.draw((4, 3), (10, 3))
    empty.draw((10, 3), (10, 9), "plates 20 cm² 0.1 mm mica ±20 %")
    empty.draw((10, 9), (4, 9))
    # 8.854e-12 F/m × 6 × 20e-4 m² / 0.1e-3 m = 1.0625 nF, times 9 V: 9.56 nC, 20 % less and more.
    assert spread_of(empty, "C1", "Charge") == "7.65 to 11.5 nC"
    draw_lot(empty)
    assert re.fullmatch(r"as built, here \d(\.\d+)? nF|as built, here \d+ pF", empty.written("C1")[1])
    expect(empty.cell("C1", "Capacitance")).to_contain_text("here")
