"""The handout's page in use: what is chosen there, and the sheets as a person reads them."""

from __future__ import annotations

import io
import re
from pathlib import Path
from typing import Any

from playwright.sync_api import Download, Locator, Page, expect
from pypdf import PdfReader

from tests.browser.ready import link_to


class HandoutPage:
    """One tab with a handout in it."""

    def __init__(self, page: Page) -> None:
        self.page = page
        self.question = page.get_by_role("region", name="Question sheet")
        self.key = page.get_by_role("region", name="Answer key")
        self.task = page.get_by_label("Task", exact=True)
        self.status = page.locator("#status")

    def open(self, sketch: dict[str, Any]) -> HandoutPage:
        self.page.goto(link_to(sketch).replace("/p#", "/handout#"))
        return self.settled()

    def settled(self) -> HandoutPage:
        expect(self.page.locator("#pages")).to_have_attribute("aria-busy", "false")
        expect(self.page.locator(".paper").first).to_be_visible()
        return self

    def choose(self, label: str, choice: str) -> None:
        self.page.get_by_label(label, exact=True).select_option(label=choice)

    def button(self, name: str) -> Locator:
        return self.page.get_by_role("button", name=name, exact=True)

    def saved(self, name: str) -> Download:
        """Press a button that makes a file."""
        with self.page.expect_download() as started:
            self.button(name).click()
        return started.value

    def printed(self) -> list[str]:
        """The words on each page that the browser prints, its number left out."""
        pages = PdfReader(io.BytesIO(self.page.pdf(prefer_css_page_size=True))).pages
        return [re.sub(r"^\d+ / \d+ ", "", " ".join(page.extract_text().split())) for page in pages]

    def size_printed(self) -> tuple[int, int]:
        """The size of the first printed page in whole millimetres."""
        box = PdfReader(io.BytesIO(self.page.pdf(prefer_css_page_size=True))).pages[0].mediabox
        return round(float(box.width) / 72 * 25.4), round(float(box.height) / 72 * 25.4)


def row(sheet: Locator, part: str) -> list[str]:
    """The row of a part on a sheet of paper, what is to be found as an empty text."""
    found = sheet.get_by_role("row").filter(has=sheet.page.get_by_role("rowheader", name=part, exact=True)).first
    cells = found.get_by_role("cell").all()
    return ["" if "asked" in (cell.get_attribute("class") or "") else cell.inner_text() for cell in cells]


def words_of(download: Download) -> list[str]:
    """The words on each page of a PDF that was saved."""
    path = Path(download.path())
    return [" ".join(page.extract_text().split()) for page in PdfReader(path).pages]
