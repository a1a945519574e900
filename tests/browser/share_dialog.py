"""What a person does with the share dialog, as verbs."""

from __future__ import annotations

from playwright.sync_api import Locator, expect

from tests.browser.sheet_page import SheetPage


def open_share(sheet: SheetPage) -> Locator:
    sheet.page.get_by_role("button", name="Share link").click()
    dialog = sheet.page.get_by_role("dialog", name="Share this sheet")
    expect(dialog).to_be_visible()
    return dialog


def close(dialog: Locator) -> None:
    dialog.get_by_role("button", name="Close").click()
    expect(dialog).to_have_count(0)


def press(dialog: Locator, name: str) -> None:
    dialog.get_by_role("button", name=name, exact=True).click()


def link(dialog: Locator, label: str) -> str:
    return dialog.get_by_label(label, exact=True).input_value()


def store(sheet: SheetPage) -> Locator:
    dialog = open_share(sheet)
    press(dialog, "Store on this server")
    expect(dialog).to_contain_text("Stored as version 1")
    return dialog


def stored_links(sheet: SheetPage) -> tuple[str, str]:
    """The view link and the edit link of the sheet, stored anew; the dialog is closed again."""
    dialog = store(sheet)
    links = link(dialog, "View link"), link(dialog, "Edit link")
    close(dialog)
    return links


def change(sheet: SheetPage, value: str) -> None:
    sheet.edit_cell(sheet.cell("C1", "Capacitance"), value)
    sheet.settled()
