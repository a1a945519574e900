"""Nothing drawn is lost: not by a reload, a server that is away, an answer that comes late."""

from __future__ import annotations

import re

import pytest
from playwright.sync_api import BrowserContext, Page, Route, expect

from tests.browser.ready import link_to, middle, ready
from tests.browser.sheet_page import SheetPage, assert_mixed, draw_mixed

MIXED = ready("Three, mixed")
INTERFACE = "**/api/**"
SOLVE = "**/api/solve*"


def change_c1(sheet: SheetPage, value: str) -> None:
    sheet.edit_cell(sheet.cell("C1", "Capacitance"), value)
    expect(sheet.cell("C1", "Capacitance")).to_have_text(value)


def server_away(page: Page) -> None:
    page.route(INTERFACE, lambda route: route.abort())


def server_back(page: Page) -> None:
    page.unroute(INTERFACE)


def test_a_reload_keeps_what_was_drawn(empty: SheetPage) -> None:
    draw_mixed(empty)
    expect(empty.kept).to_contain_text("kept on this device")
    empty.page.reload()
    empty.settled()
    assert_mixed(empty)


def test_a_reload_keeps_a_change_to_a_ready_sketch_and_its_title(sheet: SheetPage) -> None:
    change_c1(sheet, "15 µF")
    title = sheet.page.get_by_role("textbox", name="Title of the sheet")
    title.fill("Lamp of the second group")
    title.press("Enter")
    sheet.page.reload()
    sheet.settled()
    expect(sheet.cell("C1", "Capacitance")).to_have_text("15 µF")
    expect(title).to_have_value("Lamp of the second group")


def test_a_reload_keeps_what_could_be_undone_and_done_again(sheet: SheetPage) -> None:
    change_c1(sheet, "15 µF")
    change_c1(sheet, "20 µF")
    sheet.undo()
    sheet.page.reload()
    sheet.settled()
    sheet.redo()
    expect(sheet.cell("C1", "Capacitance")).to_have_text("20 µF")
    sheet.undo()
    sheet.undo()
    expect(sheet.cell("C1", "Capacitance")).to_have_text("30 µF")
    expect(sheet.page.get_by_role("button", name="Undo")).to_be_disabled()


def test_a_reload_keeps_the_ready_sketch_that_was_chosen(sheet: SheetPage) -> None:
    sheet.open_ready("A bridge")
    sheet.page.reload()
    sheet.settled()
    assert sheet.parts() == ["C1", "C2", "C3", "C4", "C5", "E1"]


def test_a_tab_closed_without_warning_is_offered_again(sheet: SheetPage, context: BrowserContext) -> None:
    change_c1(sheet, "15 µF")
    sheet.page.close(run_before_unload=False)
    later = SheetPage(context.new_page()).open()
    later.page.get_by_role("button", name="Go on with it").click()
    expect(later.cell("C1", "Capacitance")).to_have_text("15 µF")


def test_the_sheet_before_is_found_under_open(sheet: SheetPage) -> None:
    change_c1(sheet, "15 µF")
    sheet.open_empty()
    sheet.open_ready(MIXED["title"])
    expect(sheet.cell("C1", "Capacitance")).to_have_text("15 µF")


def test_two_tabs_do_not_write_over_each_other(sheet: SheetPage, context: BrowserContext) -> None:
    other = SheetPage(context.new_page()).open()
    change_c1(sheet, "15 µF")
    change_c1(other, "60 µF")
    for tab, value in ((sheet, "15 µF"), (other, "60 µF")):
        tab.page.reload()
        tab.settled()
        expect(tab.cell("C1", "Capacitance")).to_have_text(value)


def test_the_page_works_on_while_the_server_is_away_and_says_its_readings_are_out_of_date(sheet: SheetPage) -> None:
    server_away(sheet.page)
    change_c1(sheet, "60 µF")
    note = sheet.panel.get_by_text("The server is away")
    expect(note).to_be_visible()
    expect(note).to_contain_text("out of date")
    sheet.line((24, 4), (24, 10))
    sheet.field.press_sequentially("47 µF")
    expect(sheet.means).to_contain_text("The server is away")
    sheet.field.press("Enter")
    expect(sheet.row("C4")).to_be_visible()
    sheet.page.get_by_role("button", name="Undo").click()
    expect(sheet.row("C4")).to_have_count(0)
    expect(sheet.kept).to_contain_text("kept on this device")
    server_back(sheet.page)
    expect(note).to_have_count(0, timeout=15_000)
    # 60 µF with 15 µF in series: the smaller takes four fifths of 9 V.
    expect(sheet.cell("C1", "Voltage")).to_have_text("1.80 V")


def test_readings_of_an_older_sheet_are_not_spoken_or_pointed_out_as_current(sheet: SheetPage) -> None:
    server_away(sheet.page)
    change_c1(sheet, "60 µF")
    expect(sheet.panel.get_by_text("The server is away")).to_be_visible()
    sheet.click(middle(MIXED, "C2"))
    expect(sheet.spoken).to_contain_text("C2, 10 microfarads")
    expect(sheet.spoken).not_to_contain_text("6.00 volts")
    sheet.point_at((12, 8))
    expect(sheet.sheet.locator(".marks")).not_to_contain_text("net charge")


def test_a_sheet_opened_while_the_server_is_away_is_all_there(sheet: SheetPage) -> None:
    server_away(sheet.page)
    sheet.open_ready("A bridge")
    assert sheet.parts() == ["C1", "C2", "C3", "C4", "C5", "E1"]
    expect(sheet.panel.get_by_text("The server is away")).to_be_visible()
    assert sheet.flags() == []


WATCH = """() => {
  window.seen = [];
  const panel = document.getElementById("panel");
  const look = () => {
    const cell = panel.querySelector("[data-focus='C1.voltage']");
    if (cell && panel.getAttribute("aria-busy") === "false") seen.push(cell.textContent);
  };
  new MutationObserver(look).observe(panel, { childList: true, subtree: true, attributes: true });
}"""


def test_an_answer_that_comes_late_is_dropped(sheet: SheetPage) -> None:
    sheet.page.evaluate(WATCH)
    held: list[Route] = []
    sheet.page.route(SOLVE, lambda route: route.continue_() if held else held.append(route))
    change_c1(sheet, "60 µF")
    expect(sheet.panel).to_have_attribute("aria-busy", "true")
    change_c1(sheet, "15 µF")
    held[0].continue_()
    expect(sheet.cell("C1", "Voltage")).to_have_text("4.50 V")
    sheet.settled()
    # 1.80 V would be the answer for 60 µF, which is no longer on the sheet.
    assert "1.80 V" not in sheet.page.evaluate("() => seen")


def test_readings_that_keep_one_waiting_are_marked(sheet: SheetPage) -> None:
    held: list[Route] = []
    sheet.page.route(SOLVE, lambda route: held.append(route))
    change_c1(sheet, "60 µF")
    expect(sheet.panel).to_have_class(re.compile("stale"))
    held[0].continue_()
    expect(sheet.panel).not_to_have_class(re.compile("stale"))
    expect(sheet.cell("C1", "Voltage")).to_have_text("1.80 V")


@pytest.mark.parametrize("status", [413, 422, 500, 503])
def test_a_server_that_says_no_is_quoted_and_nothing_breaks(sheet: SheetPage, status: int) -> None:
    problem = {
        "type": "about:blank",
        "title": "No",
        "status": status,
        "detail": "The server says no in words.",
        "code": "busy",
    }
    problem |= {
        "parts": [],
        "joints": [],
        "errors": [{"code": "busy", "parts": [], "joints": [], "text": "The server says no in words."}],
    }
    sheet.page.route(
        SOLVE, lambda route: route.fulfill(status=status, json=problem, content_type="application/problem+json")
    )
    change_c1(sheet, "60 µF")
    expect(sheet.panel).to_contain_text("The server says no in words.")
    assert sheet.flags() == []


def test_an_answer_that_is_no_json_counts_as_a_server_that_is_away(sheet: SheetPage) -> None:
    sheet.page.route(
        SOLVE, lambda route: route.fulfill(status=502, body="<html>Bad gateway</html>", content_type="text/html")
    )
    change_c1(sheet, "60 µF")
    expect(sheet.panel.get_by_text("The server is away")).to_be_visible()


@pytest.mark.parametrize(("status", "body"), [(502, "<html>Bad gateway</html>"), (503, '{"detail": "Busy."}')])
def test_a_value_is_stepped_again_once_the_server_is_itself_again(sheet: SheetPage, status: int, body: str) -> None:
    sheet.page.route("**/api/values", lambda route: route.fulfill(status=status, body=body, content_type="text/html"))
    sheet.press("n", "n", "ArrowUp")
    expect(sheet.notice).to_contain_text("C1 has no number to step from")
    sheet.page.unroute("**/api/values")
    sheet.press("ArrowUp")
    expect(sheet.value_on_sheet("C1")).to_have_text("33 µF")
    expect(sheet.settled().cell("C1", "Capacitance")).to_have_text("33 µF")


def test_a_damaged_link_says_so_and_the_page_works_on(sheet: SheetPage) -> None:
    whole = link_to(MIXED)
    sheet.open(whole[: len(whole) // 2])
    expect(sheet.notice).to_contain_text("This link is damaged")
    sheet.draw((4, 3), (4, 9), "9 V")
    expect(sheet.cell("E1", "Emf")).to_have_text("9 V")


def test_a_damaged_link_opened_in_a_tab_with_work_in_it_loses_nothing(sheet: SheetPage) -> None:
    change_c1(sheet, "15 µF")
    whole = link_to(MIXED)
    sheet.open(whole[: len(whole) // 2])
    expect(sheet.notice).to_contain_text("This link is damaged")
    sheet.page.go_back()
    sheet.settled()
    expect(sheet.cell("C1", "Capacitance")).to_have_text("15 µF")


def test_a_carried_sketch_is_opened_and_a_change_to_it_survives_a_reload(sheet: SheetPage) -> None:
    sheet.open(link_to(ready("Two in series")))
    sheet.edit_cell(sheet.cell("C1", "Capacitance"), "60 µF")
    expect(sheet.cell("C1", "Voltage")).to_have_text("4.50 V")
    sheet.page.reload()
    sheet.settled()
    expect(sheet.cell("C1", "Voltage")).to_have_text("4.50 V")


def test_a_page_that_may_store_nothing_says_so(page: Page, complaints: list[str]) -> None:
    page.add_init_script("Storage.prototype.setItem = () => { throw new DOMException('full', 'QuotaExceededError'); };")
    sheet = SheetPage(page).open()
    change_c1(sheet, "60 µF")
    expect(sheet.kept).to_contain_text("not kept")
    expect(sheet.cell("C1", "Voltage")).to_have_text("1.80 V")
