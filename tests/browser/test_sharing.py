"""A sheet is handed on as a link, stored or carried, and whoever opens it sees the same."""

from __future__ import annotations

import re
import threading
from collections.abc import Callable, Iterator
from http.server import BaseHTTPRequestHandler, ThreadingHTTPServer

import pytest
from playwright.sync_api import Browser, Locator, Page, expect

from tests.browser.ready import TITLES, middle, ready
from tests.browser.sheet_page import SheetPage

MIXED = ready("Three, mixed")
Stranger = Callable[[str], SheetPage]


@pytest.fixture
def stranger(browser: Browser, base_url: str) -> Iterator[Stranger]:
    """Someone else: a browser of their own, on an address."""
    contexts = []

    def open_at(address: str) -> SheetPage:
        contexts.append(browser.new_context(base_url=base_url, viewport={"width": 1366, "height": 768}))
        return SheetPage(contexts[-1].new_page()).open(address)

    yield open_at
    for context in contexts:
        context.close()


def share(sheet: SheetPage) -> Locator:
    sheet.page.get_by_role("button", name="Share link").click()
    dialog = sheet.page.get_by_role("dialog", name="Share this sheet")
    expect(dialog).to_be_visible()
    return dialog


def store(sheet: SheetPage) -> tuple[str, str]:
    """The view link and the edit link of the sheet, stored anew."""
    dialog = share(sheet)
    dialog.get_by_role("button", name="Store on this server").click()
    expect(dialog).to_contain_text("Stored as version 1")
    view = dialog.get_by_role("textbox", name="View link").input_value()
    dialog.get_by_text("Edit link, for you alone").click()
    edit = dialog.get_by_role("textbox", name="Edit link").input_value()
    dialog.get_by_role("button", name="Close").click()
    return view, edit


def looks(sheet: SheetPage) -> list[str]:
    sheet.settled()
    ledger = sheet.panel.get_by_role("cell").all_inner_texts()
    return [*ledger, *sheet.flags(), *[text for part in sheet.parts() for text in sheet.written(part)]]


@pytest.mark.parametrize("title", TITLES)
def test_a_link_opened_in_another_browser_shows_the_same_sketch_and_readings(
    sheet: SheetPage, stranger: Stranger, title: str
) -> None:
    sheet.open_ready(title)
    link = share(sheet).get_by_role("textbox", name="Link", exact=True).input_value()
    theirs = stranger(link)
    assert looks(theirs) == looks(sheet)
    expect(theirs.page.get_by_role("textbox", name="Title of the sheet")).to_have_value(ready(title)["title"])


def test_the_link_follows_what_is_on_the_sheet(sheet: SheetPage, stranger: Stranger) -> None:
    sheet.edit_cell(sheet.cell("C1", "Capacitance"), "15 µF")
    sheet.press(".")
    link = share(sheet).get_by_role("textbox", name="Link", exact=True).input_value()
    theirs = stranger(link)
    expect(theirs.cell("C1", "Capacitance")).to_have_text("15 µF")
    expect(theirs.cell("C1", "Voltage")).to_have_text("?")


def test_a_stored_sheet_is_seen_under_its_view_link_and_changed_under_its_edit_link(
    sheet: SheetPage, stranger: Stranger
) -> None:
    view, edit = store(sheet)
    assert edit.startswith(view)
    assert looks(stranger(view)) == looks(sheet)
    editor = stranger(edit)
    editor.edit_cell(editor.cell("C1", "Capacitance"), "15 µF")
    expect(editor.cell("C1", "Voltage")).to_have_text("4.50 V")
    dialog = share(editor)
    dialog.get_by_role("button", name="Store the changes").click()
    expect(dialog).to_contain_text("Stored as version 2")
    expect(stranger(view).cell("C1", "Capacitance")).to_have_text("15 µF")
    expect(stranger(f"{view}?version=1").cell("C1", "Capacitance")).to_have_text("30 µF")


def test_whoever_saves_second_is_told_and_overwrites_nothing(sheet: SheetPage, stranger: Stranger) -> None:
    view, edit = store(sheet)
    other = stranger(edit)
    sheet.edit_cell(sheet.cell("C1", "Capacitance"), "60 µF")
    mine = share(sheet)
    expect(mine.get_by_role("button", name="Store the changes")).to_be_visible()
    other.edit_cell(other.cell("C1", "Capacitance"), "15 µF")
    theirs = share(other)
    theirs.get_by_role("button", name="Store the changes").click()
    expect(theirs).to_contain_text("Stored as version 2")
    mine.get_by_role("button", name="Store the changes").click()
    expect(mine).to_contain_text(
        "Someone else saved this sketch first: it is at version 2 now, and nothing was overwritten."
    )
    expect(stranger(view).cell("C1", "Capacitance")).to_have_text("15 µF")
    mine.get_by_role("button", name="Store mine as a new sheet").click()
    expect(mine).to_contain_text("Stored as version 1")
    new_view = mine.get_by_role("textbox", name="View link").input_value()
    assert new_view != view
    expect(stranger(new_view).cell("C1", "Capacitance")).to_have_text("60 µF")


def test_whoever_has_only_the_view_link_stores_a_sheet_of_their_own(sheet: SheetPage, stranger: Stranger) -> None:
    view, _ = store(sheet)
    viewer = stranger(view)
    viewer.edit_cell(viewer.cell("C1", "Capacitance"), "15 µF")
    dialog = share(viewer)
    expect(dialog.get_by_role("button", name="Store the changes")).to_have_count(0)
    dialog.get_by_role("button", name="Store as a new sheet").click()
    expect(dialog).to_contain_text("Stored as version 1")
    expect(stranger(view).cell("C1", "Capacitance")).to_have_text("30 µF")


def test_an_embedded_sheet_is_read_and_not_changed(sheet: SheetPage, page: Page) -> None:
    view, _ = store(sheet)
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
    store(sheet)
    CoursePage.frame = share(sheet).get_by_role("textbox", name="Frame for a course page").input_value()
    page.goto(course_address)
    expect(page.frame_locator("iframe").locator(".labels")).to_contain_text("3.00 V")


def test_the_qr_code_fills_the_screen_for_the_back_row(sheet: SheetPage) -> None:
    dialog = share(sheet)
    dialog.get_by_role("button", name="Store on this server").click()
    dialog.get_by_role("button", name=re.compile("QR code")).click()
    code = sheet.page.get_by_role("img", name="QR code of the view link")
    expect(code).to_be_visible()
    assert code.evaluate("each => each.complete && each.naturalWidth > 0")
    assert (code.bounding_box() or {"height": 0})["height"] >= 500


def test_a_server_that_is_away_stores_nothing_and_says_so(sheet: SheetPage) -> None:
    sheet.page.route("**/api/**", lambda route: route.abort())
    dialog = share(sheet)
    dialog.get_by_role("button", name="Store on this server").click()
    expect(dialog).to_contain_text("nothing was stored")
    expect(dialog.get_by_role("textbox", name="Link", exact=True)).to_have_value(re.compile("/p#"))


def test_a_stored_sketch_that_is_not_there_has_a_page_that_says_so(page: Page) -> None:
    answer = page.goto("/s/nosuchsketchatall0000")
    assert answer
    assert answer.status == 404
    expect(page.locator("body")).to_contain_text("check that the link is whole")
    expect(page.get_by_role("link").first).to_be_visible()
