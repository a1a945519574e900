"""The dialog that hands a sheet on: each of its links opens the same sheet, and no failure loses anything."""

from __future__ import annotations

import json
import re
from xml.etree import ElementTree

import pytest
from playwright.sync_api import Page, Route, expect

from tests.browser.conftest import Elsewhere
from tests.browser.share_dialog import change, close, link, open_share, press, store
from tests.browser.sheet_page import SheetPage

CAPACITANCES = {"C1": "30 µF", "C2": "10 µF", "C3": "5 µF"}


def someone_else_stores(page: Page, edit: str, title: str) -> None:
    view, key = edit.split("#key=")
    api = view.replace("/s/", "/api/sketches/")
    now = page.request.get(api).json()
    answer = page.request.put(
        api,
        data=json.dumps({**now["sketch"], "title": title}),
        headers={
            "Authorization": f"Bearer {key}",
            "If-Match": f'"{now["version"]}"',
            "Content-Type": "application/json",
        },
    )
    assert answer.status == 200


def shows(sheet: SheetPage, title: str, capacitances: dict[str, str]) -> None:
    expect(sheet.page.get_by_label("Title of the sheet")).to_have_value(title)
    for part, text in capacitances.items():
        expect(sheet.cell(part, "Capacitance")).to_have_text(text)


def test_the_link_that_carries_the_sheet_opens_it_in_another_browser(sheet: SheetPage, elsewhere: Elsewhere) -> None:
    change(sheet, "47 µF")
    carried = link(open_share(sheet), "Link")
    assert "/p#" in carried
    other = elsewhere(carried)
    shows(other, "Storm lantern, three capacitors", {**CAPACITANCES, "C1": "47 µF"})
    assert other.written("C1") == sheet.written("C1")


def test_the_view_link_and_the_edit_link_open_the_stored_sheet_in_another_browser(
    sheet: SheetPage, elsewhere: Elsewhere
) -> None:
    dialog = store(sheet)
    view, edit = link(dialog, "View link"), link(dialog, "Edit link")
    assert re.fullmatch(r"http://[^/]+/s/\w+", view)
    assert edit.startswith(view + "#key=")
    for address in (view, edit):
        shows(elsewhere(address), "Storm lantern, three capacitors", CAPACITANCES)


def test_the_edit_link_is_folded_away_until_it_is_asked_for(sheet: SheetPage) -> None:
    dialog = store(sheet)
    expect(dialog.get_by_label("View link")).to_be_visible()
    expect(dialog.get_by_label("Edit link")).not_to_be_visible()
    dialog.get_by_text("Edit link, for you alone").click()
    expect(dialog.get_by_label("Edit link")).to_be_visible()
    expect(dialog).to_contain_text("keep it to yourself")


def test_whoever_has_the_edit_link_stores_the_next_version(sheet: SheetPage, elsewhere: Elsewhere) -> None:
    dialog = store(sheet)
    view, edit = link(dialog, "View link"), link(dialog, "Edit link")
    other = elsewhere(edit)
    change(other, "68 µF")
    theirs = open_share(other)
    expect(theirs).to_contain_text("the sheet has changed since")
    press(theirs, "Store the changes")
    expect(theirs).to_contain_text("Stored as version 2")
    shows(elsewhere(view), "Storm lantern, three capacitors", {"C1": "68 µF"})


def test_whoever_has_the_view_link_alone_can_only_store_a_new_sheet(sheet: SheetPage, elsewhere: Elsewhere) -> None:
    view = link(store(sheet), "View link")
    other = elsewhere(view)
    change(other, "68 µF")
    theirs = open_share(other)
    expect(theirs).to_contain_text("your sheet is different")
    expect(theirs.get_by_role("button", name="Store the changes")).to_have_count(0)
    press(theirs, "Store as a new sheet")
    expect(theirs).to_contain_text("Stored as version 1")
    assert link(theirs, "View link") != view
    shows(elsewhere(view), "Storm lantern, three capacitors", CAPACITANCES)


def test_a_sheet_that_has_not_changed_since_offers_nothing_to_store(sheet: SheetPage) -> None:
    view = link(store(sheet), "View link")
    close(sheet.page.get_by_role("dialog"))
    dialog = open_share(sheet)
    expect(dialog).to_contain_text("Stored as version 1")
    assert link(dialog, "View link") == view
    expect(dialog.get_by_role("button", name=re.compile("^Store"))).to_have_count(0)


def test_a_stored_sheet_is_still_the_stored_one_after_a_reload(sheet: SheetPage) -> None:
    edit = link(store(sheet), "Edit link")
    sheet.page.reload()
    change(sheet.settled(), "68 µF")
    dialog = open_share(sheet)
    press(dialog, "Store the changes")
    expect(dialog).to_contain_text("Stored as version 2")
    assert link(dialog, "Edit link") == edit


@pytest.mark.parametrize("seen", ["on opening the dialog", "on storing"])
def test_where_someone_else_stored_first_both_sheets_are_kept(
    sheet: SheetPage, elsewhere: Elsewhere, seen: str
) -> None:
    edit = link(store(sheet), "Edit link")
    close(sheet.page.get_by_role("dialog"))
    change(sheet, "68 µF")
    if seen == "on storing":
        dialog = open_share(sheet)
        expect(dialog.get_by_role("button", name="Store the changes")).to_be_visible()
        someone_else_stores(sheet.page, edit, "Theirs")
        press(dialog, "Store the changes")
        expect(dialog).to_contain_text("Someone else saved this sketch first")
    else:
        someone_else_stores(sheet.page, edit, "Theirs")
        dialog = open_share(sheet)
        expect(dialog).to_contain_text("Version 2 has been stored since")
    with sheet.page.context.expect_page() as opened:
        dialog.get_by_role("link", name="Open theirs").click()
    shows(SheetPage(opened.value).settled(), "Theirs", CAPACITANCES)
    press(dialog, "Store mine as a new sheet")
    expect(dialog).to_contain_text("Stored as version 1")
    shows(elsewhere(link(dialog, "View link")), "Storm lantern, three capacitors", {"C1": "68 µF"})


def test_a_change_whose_acknowledgement_was_lost_is_not_taken_for_someone_elses(sheet: SheetPage) -> None:
    store(sheet)
    close(sheet.page.get_by_role("dialog"))
    change(sheet, "68 µF")
    dialog = open_share(sheet)

    def lose_the_answer(route: Route) -> None:
        if route.request.method != "PUT":
            return route.fallback()
        route.fetch()
        return route.abort()

    sheet.page.route("**/api/sketches/*", lose_the_answer)
    press(dialog, "Store the changes")
    expect(dialog).to_contain_text("The server does not answer")
    sheet.page.unroute("**/api/sketches/*")
    press(dialog, "Store the changes")
    expect(dialog).to_contain_text("Stored as version 2")


def test_while_the_server_is_away_the_dialog_says_so_and_storing_can_be_tried_again(sheet: SheetPage) -> None:
    change(sheet, "68 µF")
    dialog = open_share(sheet)
    sheet.page.route("**/api/sketches", lambda route: route.abort())
    press(dialog, "Store on this server")
    expect(dialog).to_contain_text("nothing was stored. Nothing is lost")
    sheet.page.unroute("**/api/sketches")
    press(dialog, "Store on this server")
    expect(dialog).to_contain_text("Stored as version 1")
    shows(sheet, "Storm lantern, three capacitors", {"C1": "68 µF"})


def test_while_the_server_is_away_a_stored_sheet_can_be_asked_for_again(sheet: SheetPage) -> None:
    store(sheet)
    close(sheet.page.get_by_role("dialog"))
    sheet.page.route("**/api/sketches/*", lambda route: route.abort())
    dialog = open_share(sheet)
    expect(dialog).to_contain_text("The server does not answer")
    sheet.page.unroute("**/api/sketches/*")
    press(dialog, "Try again")
    expect(dialog).to_contain_text("Stored as version 1")


def test_an_answer_that_is_not_the_servers_is_as_good_as_none(sheet: SheetPage) -> None:
    dialog = open_share(sheet)
    sheet.page.route(
        "**/api/sketches",
        lambda route: route.fulfill(status=502, content_type="text/html", body="<h1>Bad gateway</h1>"),
    )
    press(dialog, "Store on this server")
    expect(dialog).to_contain_text("The server does not answer")


def test_what_the_server_refuses_is_told_in_its_own_sentence(sheet: SheetPage) -> None:
    def refuse(route: Route) -> None:
        problem = {
            "type": "about:blank",
            "title": "Busy",
            "status": 503,
            "detail": "The place where sketches are stored does not answer.",
        }
        route.fulfill(status=503, content_type="application/problem+json", body=json.dumps(problem))

    sheet.page.route("**/api/sketches", refuse)
    dialog = open_share(sheet)
    press(dialog, "Store on this server")
    expect(dialog.locator(".wrong")).to_have_text("The place where sketches are stored does not answer.")


def test_a_sheet_removed_from_the_server_can_be_stored_as_a_new_one(sheet: SheetPage) -> None:
    edit = link(store(sheet), "Edit link")
    close(sheet.page.get_by_role("dialog"))
    view, key = edit.split("#key=")
    headers = {"Authorization": f"Bearer {key}", "If-Match": '"1"'}
    assert sheet.page.request.delete(view.replace("/s/", "/api/sketches/"), headers=headers).status == 204
    dialog = open_share(sheet)
    expect(dialog).to_contain_text("has been removed")
    press(dialog, "Store as a new sheet")
    expect(dialog).to_contain_text("Stored as version 1")
    assert link(dialog, "Edit link") != edit


def test_the_qr_code_is_large_and_fills_the_screen_when_pressed(sheet: SheetPage) -> None:
    dialog = store(sheet)
    code = dialog.get_by_role("button", name="QR code of the view link")
    box = code.locator("img").bounding_box()
    assert box
    assert min(box["width"], box["height"]) >= 320
    code.click()
    whole = sheet.page.get_by_role("dialog", name="Scan to open the sheet")
    expect(whole).to_contain_text(link(dialog, "View link"))
    image = whole.get_by_role("img", name="QR code of the view link")
    assert image.evaluate("(image) => image.complete && image.naturalWidth > 0")
    filled, window = whole.bounding_box(), sheet.page.viewport_size
    assert filled
    assert window
    assert (filled["width"], filled["height"]) == (window["width"], window["height"])
    sheet.page.keyboard.press("Escape")
    expect(whole).to_have_count(0)
    expect(code).to_be_focused()


def test_the_frame_for_a_course_page_leads_to_the_embedded_sheet_and_escapes_its_title(sheet: SheetPage) -> None:
    title = sheet.page.get_by_label("Title of the sheet")
    title.fill('A "b" <c> & d')
    title.press("Enter")
    dialog = store(sheet)
    frame = ElementTree.fromstring(link(dialog, "Frame for a course page"))
    assert frame.tag == "iframe"
    assert frame.attrib["title"] == 'A "b" <c> & d'
    assert frame.attrib["src"] == link(dialog, "View link") + "/embed"
    assert sheet.page.request.get(frame.attrib["src"]).status == 200
