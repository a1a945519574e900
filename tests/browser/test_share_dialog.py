"""The share dialog in use: copying, pictures, the keyboard, small windows."""

from __future__ import annotations

import re
from typing import Any
from xml.etree import ElementTree

import pytest
from axe_playwright_python.sync_playwright import Axe
from playwright.sync_api import BrowserContext, expect

from tests.browser.share_dialog import close, link, open_share, press, store
from tests.browser.sheet_page import SheetPage


@pytest.mark.parametrize("missing", ["", "delete Navigator.prototype.clipboard;"], ids=["https", "plain http"])
def test_copy_puts_the_link_on_the_clipboard(context: BrowserContext, sheet: SheetPage, missing: str) -> None:
    context.grant_permissions(["clipboard-read", "clipboard-write"])
    sheet.page.evaluate("() => navigator.clipboard.writeText('before')")
    context.add_init_script(missing)
    sheet.page.reload()
    dialog = open_share(sheet.settled())
    dialog.get_by_role("button", name="Copy the link").click()
    expect(dialog.get_by_role("button", name="Copied the link")).to_be_focused()
    field = dialog.get_by_label("Link", exact=True)
    carried = field.input_value()
    close(dialog)
    title = sheet.page.get_by_label("Title of the sheet")
    title.fill("")
    title.press("ControlOrMeta+v")
    # The title takes no more than its 120 signs.
    assert title.input_value() == carried[:120]


def test_a_link_that_mail_programs_may_cut_says_how_long_it_is(sheet: SheetPage, run: Any) -> None:
    dialog = open_share(sheet)
    expect(dialog).not_to_contain_text("characters long")
    close(dialog)
    joints = {f"j{n}": [4 * (n % 30), 5 * (n // 30)] for n in range(300)}
    parts = [
        {"name": f"C{n}", "kind": "capacitor", "value": f"{n * 7919 % 9973} pF", "from": f"j{n}", "to": f"j{n + 1}"}
        for n in range(299)
    ]
    fragment = run(
        "const { encodeLink } = await import('/static/link.js'); return encodeLink(given);",
        {"joints": joints, "parts": parts},
    )
    dialog = open_share(sheet.open(f"/p#{fragment}"))
    carried = link(dialog, "Link")
    expect(dialog).to_contain_text(f"It is {len(carried):,} characters long")
    expect(dialog).to_contain_text("store it instead")


def test_the_pictures_are_saved_under_the_title(sheet: SheetPage) -> None:
    dialog = open_share(sheet)
    for kind, beginning in {"SVG": b"<svg", "PNG": b"\x89PNG"}.items():
        with sheet.page.expect_download() as started:
            press(dialog, kind)
        assert started.value.suggested_filename == f"Storm lantern, three capacitors.{kind.lower()}"
        assert started.value.path().read_bytes().startswith(beginning)
    expect(dialog).to_contain_text("Saved as “Storm lantern, three capacitors.png”.")


def test_a_picture_of_covered_readings_does_not_give_them_away(sheet: SheetPage) -> None:
    sheet.page.get_by_role("button", name=re.compile("^Cover readings")).click()
    dialog = open_share(sheet)
    with sheet.page.expect_download() as started:
        press(dialog, "SVG")
    texts = [
        "".join(text.itertext())
        for text in ElementTree.fromstring(started.value.path().read_text()).iter("{http://www.w3.org/2000/svg}text")
    ]
    assert "?" in texts
    assert {"3.00 V", "6.00 V", "90.0 µC", "135 µJ"}.isdisjoint(texts)


def test_a_server_for_this_computer_alone_says_that_its_links_are_for_this_computer_alone(sheet: SheetPage) -> None:
    expect(open_share(sheet)).to_contain_text("links made here open on this computer only")


def test_everything_in_the_dialog_is_reached_and_done_by_keyboard(sheet: SheetPage) -> None:
    keyboard = sheet.page.keyboard
    opener = sheet.page.get_by_role("button", name="Share link")
    opener.focus()
    keyboard.press("Enter")
    dialog = sheet.page.get_by_role("dialog", name="Share this sheet")
    expect(dialog.get_by_label("Link", exact=True)).to_be_focused()
    keyboard.press("Tab")
    expect(dialog.get_by_role("button", name="Copy the link")).to_be_focused()
    keyboard.press("Tab")
    expect(dialog.get_by_role("button", name="Store on this server")).to_be_focused()
    keyboard.press("Enter")
    expect(dialog.get_by_role("status").filter(has_text="Stored as version 1")).to_be_focused()
    keyboard.press("Tab")
    expect(dialog.get_by_role("button", name="QR code")).to_be_focused()
    keyboard.press("Escape")
    expect(dialog).to_have_count(0)
    expect(opener).to_be_focused()


def test_keys_pressed_in_the_dialog_do_nothing_to_the_sheet(sheet: SheetPage) -> None:
    sheet.click((12, 4))
    before = sheet.parts()
    dialog = open_share(sheet)
    dialog.get_by_label("Link", exact=True).focus()
    for key in ("Delete", "+", "/", "f", ".", "v"):
        sheet.page.keyboard.press(key)
    close(dialog)
    assert sheet.parts() == before
    expect(sheet.page.get_by_role("button", name="Undo")).to_be_disabled()


def test_a_press_beside_the_dialog_closes_it_and_a_selection_dragged_out_does_not(sheet: SheetPage) -> None:
    dialog = open_share(sheet)
    field = dialog.get_by_label("Link", exact=True).bounding_box()
    assert field
    mouse = sheet.page.mouse
    mouse.move(field["x"] + 40, field["y"] + 10)
    mouse.down()
    mouse.move(10, 10, steps=3)
    mouse.up()
    expect(dialog).to_be_visible()
    mouse.click(10, 10)
    expect(dialog).to_have_count(0)


@pytest.mark.parametrize("size", [(1366, 768), (390, 844)], ids=["wide", "phone"])
def test_the_dialog_fits_and_axe_finds_nothing_wrong_with_it(sheet: SheetPage, size: tuple[int, int]) -> None:
    sheet.page.set_viewport_size({"width": size[0], "height": size[1]})
    dialog = store(sheet)
    dialog.get_by_text("Edit link, for you alone").click()
    assert dialog.evaluate("(dialog) => dialog.scrollWidth <= dialog.clientWidth")
    box = dialog.bounding_box()
    assert box
    assert box["x"] >= 0
    assert box["x"] + box["width"] <= size[0]
    assert box["y"] + box["height"] <= size[1]
    found = Axe().run(sheet.page, context="dialog")
    assert found.violations_count == 0, found.generate_report()
