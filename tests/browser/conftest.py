"""What tests in the browser share: the page on its first sheet or an empty one, and a watch over what goes wrong."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from typing import Any

import pytest
from playwright.sync_api import BrowserContext, ConsoleMessage, Page

from tests.browser.module_page import module_address, module_page, run
from tests.browser.sheet_page import SheetPage

Elsewhere = Callable[[str], SheetPage]

__all__ = ["module_address", "module_page", "run"]

# A request that a test turns away or that the server refuses is written to the console by the browser itself.
EXPECTED = ("Failed to load resource:",)


@pytest.fixture(scope="session")
def browser_context_args(browser_context_args: dict[str, Any]) -> dict[str, Any]:
    return {**browser_context_args, "viewport": {"width": 1366, "height": 768}}


@pytest.fixture
def complaints(context: BrowserContext) -> Iterator[list[str]]:
    """Errors of scripts and of the security policy in any tab; whatever is in the list at the end fails the test."""
    heard: list[str] = []

    def listen(message: ConsoleMessage) -> None:
        if message.type in ("error", "warning") and not message.text.startswith(EXPECTED):
            heard.append(message.text)

    context.on("weberror", lambda error: heard.append(str(error.error)))
    context.on("console", listen)
    yield heard
    assert heard == []


@pytest.fixture
def sheet(page: Page, complaints: list[str]) -> SheetPage:
    """The page as it first opens, its readings there."""
    return SheetPage(page).open()


@pytest.fixture
def empty(sheet: SheetPage) -> SheetPage:
    """An empty sheet."""
    return sheet.open_empty()


@pytest.fixture
def elsewhere(new_context: Callable[[], BrowserContext]) -> Elsewhere:
    """Opens an address in a browser that has seen nothing of this."""
    return lambda address: SheetPage(new_context().new_page()).open(address)
