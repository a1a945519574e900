"""The worked solution as a person uses it: opening it, walking through it, reading what it says."""

from __future__ import annotations

import re

from playwright.sync_api import Locator, Page, expect

from tests.browser.sheet_page import SheetPage


class SolutionPage:
    """The panel beside the sheet. Assertions are for the tests."""

    def __init__(self, sheet: SheetPage) -> None:
        self.sheet = sheet
        self.page: Page = sheet.page
        self.panel = self.page.get_by_role("region", name="Worked solution")
        self.opener = self.page.get_by_role("button", name="Worked solution")
        self.list = self.panel.get_by_role("group", name="Steps")
        self.steps = self.panel.locator("ol > li")
        self.current = self.panel.locator("ol > li[aria-current=step]")

    def open(self) -> SolutionPage:
        """Press the button, and wait until the steps are there."""
        self.opener.click()
        expect(self.panel.get_by_text(re.compile(r"^(\d+ steps?|Step \d+ of \d+)$"))).to_be_visible()
        self.sheet.settled()
        return self

    def press(self, *keys: str) -> SolutionPage:
        """Press keys with the focus where it is."""
        for key in keys:
            self.page.keyboard.press(key)
        return self

    def button(self, name: str) -> Locator:
        return self.panel.get_by_role("button", name=name, exact=True)

    def at(self) -> int:
        """The number of the current step; 0 for the opening alone."""
        return self.steps.count()

    def titles(self) -> list[str]:
        return [squeezed(text) for text in self.steps.locator("h3 > span:last-child").all_text_contents()]

    def formulas(self, step: Locator | None = None) -> list[str]:
        """What the formulas of a step hold, signs and letters without the spaces between."""
        shown = (step or self.current).locator(".formula math")
        return [re.sub(r"[\s\u2062]", "", text) for text in shown.all_text_contents()]

    def drawn(self) -> list[str]:
        """Names and values in the drawing beside the current step."""
        return [squeezed(text) for text in self.current.get_by_role("img").locator("text").all_text_contents()]

    def opacity(self, layer: str, text: str) -> str | None:
        """How faded something on the sheet is: none where it is not."""
        group = self.sheet.sheet.locator(f".{layer} > g").filter(has=self.page.locator("text", has_text=text))
        own = group.first.get_attribute("opacity")
        return own or group.first.locator("text").first.get_attribute("opacity")

    def lit(self) -> list[str]:
        """The parts on the sheet whose labels are not faded, in the order of the alphabet."""
        labels = self.sheet.sheet.locator(".labels > g:not([opacity]) > text:first-child").all_text_contents()
        return sorted(labels)

    def copy(self, what: str) -> None:
        self.button("Copy").click()
        self.panel.get_by_role("button", name=what).click()


def squeezed(text: str) -> str:
    return " ".join(text.split())
