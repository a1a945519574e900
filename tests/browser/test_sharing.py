"""A sheet is handed on as a link, stored or carried, and whoever opens it sees the same."""

from __future__ import annotations

import re
import threading
from collections.abc import Iterator
from http.server import BaseHTTPRequestHandler, ThreadingHTTPServer

import pytest
from playwright.sync_api import Page, expect

from tests.browser.conftest import Elsewhere
from tests.browser.ready import TITLES, middle, ready
from tests.browser.share_dialog import link, open_share, press, stored_links
from tests.browser.sheet_page import SheetPage

MIXED = ready("Three, mixed")


def looks(sheet: SheetPage) -> list[str]:
    sheet.settled()
    # The account of a stage is loaded by itself.
    staged = sheet.page.get_by_role("list", name="Stages").count()
    expect(sheet.panel.get_by_role("region", name="This stage")).to_have_count(staged)
    ledger = sheet.panel.get_by_role("cell").all_inner_texts()
    return [*ledger, *sheet.flags(), *[text for part in sheet.parts() for text in sheet.written(part)]]


@pytest.mark.parametrize("title", TITLES)
def test_a_link_opened_in_another_browser_shows_the_same_sketch_and_readings(
    sheet: SheetPage, elsewhere: Elsewhere, title: str
) -> None:
    sheet.open_ready(title)
    carried = link(open_share(sheet), "Link")
    theirs = elsewhere(carried)
    assert looks(theirs) == looks(sheet)
    expect(theirs.page.get_by_role("textbox", name="Title of the sheet")).to_have_value(ready(title)["title"])


def test_the_link_follows_what_is_on_the_sheet(sheet: SheetPage, elsewhere: Elsewhere) -> None:
    sheet.edit_cell(sheet.cell("C1", "Capacitance"), "15 µF")
    sheet.press(".")
    carried = link(open_share(sheet), "Link")
    theirs = elsewhere(carried)
    expect(theirs.cell("C1", "Capacitance")).to_have_text("15 µF")
    expect(theirs.cell("C1", "Voltage")).to_have_text("?")


def test_a_stored_sheet_is_seen_under_its_view_link_and_changed_under_its_edit_link(
    sheet: SheetPage, elsewhere: Elsewhere
) -> None:
    view, edit = stored_links(sheet)
    assert edit.startswith(view)
    assert looks(elsewhere(view)) == looks(sheet)
    editor = elsewhere(edit)
    editor.edit_cell(editor.cell("C1", "Capacitance"), "15 µF")
    expect(editor.cell("C1", "Voltage")).to_have_text("4.50 V")
    dialog = open_share(editor)
    press(dialog, "Store the changes")
    expect(dialog).to_contain_text("Stored as version 2")
    expect(elsewhere(view).cell("C1", "Capacitance")).to_have_text("15 µF")
    expect(elsewhere(f"{view}?version=1").cell("C1", "Capacitance")).to_have_text("30 µF")


def test_whoever_saves_second_is_told_and_overwrites_nothing(sheet: SheetPage, elsewhere: Elsewhere) -> None:
    view, edit = stored_links(sheet)
    other = elsewhere(edit)
    sheet.edit_cell(sheet.cell("C1", "Capacitance"), "60 µF")
    mine = open_share(sheet)
    expect(mine.get_by_role("button", name="Store the changes")).to_be_visible()
    other.edit_cell(other.cell("C1", "Capacitance"), "15 µF")
    theirs = open_share(other)
    press(theirs, "Store the changes")
    expect(theirs).to_contain_text("Stored as version 2")
    press(mine, "Store the changes")
    expect(mine).to_contain_text(
        "Someone else saved this sketch first: it is at version 2 now, and nothing was overwritten."
    )
    expect(elsewhere(view).cell("C1", "Capacitance")).to_have_text("15 µF")
    press(mine, "Store mine as a new sheet")
    expect(mine).to_contain_text("Stored as version 1")
    new_view = mine.get_by_role("textbox", name="View link").input_value()
    assert new_view != view
    expect(elsewhere(new_view).cell("C1", "Capacitance")).to_have_text("60 µF")


def test_an_embedded_sheet_is_read_and_not_changed(sheet: SheetPage, page: Page) -> None:
    view, _ = stored_links(sheet)
    sheet.open(f"{view}/embed")
    assert sheet.written("C1") == ["C1", "30 µF", "3.00 V", "90.0 µC", "135 µJ"]
    assert sorted(sheet.flags()) == ["0 V", "6.00 V", "9.00 V"]
    before = sheet.label("C1").bounding_box()
    sheet.click(middle(MIXED, "C1"))
    sheet.press("Delete", "f", "+", "/", ".", "Control+x", "Control+z")
    sheet.press_at(sheet.middle_of(sheet.value_on_sheet("C1")))
    expect(sheet.field).to_have_count(0)
    assert sheet.written("C1") == ["C1", "30 µF", "3.00 V", "90.0 µC", "135 µJ"]
    assert sheet.label("C1").bounding_box() == before
    expect(page.get_by_role("textbox", name="Title of the sheet")).not_to_be_editable()
    expect(page.get_by_role("link", name="Open in Farandole")).to_have_attribute("href", re.compile(r"/s/[\w-]+$"))


class CoursePage(BaseHTTPRequestHandler):
    """A page of another site, with whatever is in `frame` on it."""

    frame = ""

    def do_GET(self) -> None:
        body = f"<!doctype html><meta charset=utf-8><title>Course</title>{self.frame}".encode()
        self.send_response(200)
        self.send_header("Content-Type", "text/html")
        self.send_header("Content-Length", str(len(body)))
        self.end_headers()
        self.wfile.write(body)

    def log_message(self, *_: object) -> None:
        """Requests are of no interest here."""


@pytest.fixture
def course_address() -> Iterator[str]:
    with ThreadingHTTPServer(("127.0.0.1", 0), CoursePage) as server:
        server.daemon_threads = True
        thread = threading.Thread(target=server.serve_forever, daemon=True)
        thread.start()
        yield f"http://127.0.0.1:{server.server_port}/"
        server.shutdown()
        thread.join()


def test_an_embedded_sheet_shows_in_the_frame_of_another_page(
    sheet: SheetPage, page: Page, course_address: str
) -> None:
    stored_links(sheet)
    CoursePage.frame = link(open_share(sheet), "Frame for a course page")
    page.goto(course_address)
    expect(page.frame_locator("iframe").locator(".labels")).to_contain_text("3.00 V")


def test_a_stored_sketch_that_is_not_there_has_a_page_that_says_so(page: Page) -> None:
    answer = page.goto("/s/nosuchsketchatall0000")
    assert answer
    assert answer.status == 404
    expect(page.locator("body")).to_contain_text("check that the link is whole")
    expect(page.get_by_role("link").first).to_be_visible()
