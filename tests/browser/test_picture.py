"""The picture of the main screen: the first sheet as it opens, with the callout of an isolated conductor.

With FARANDOLE_PICTURES=1 it is written where README shows it; else to the test's own folder.
"""

from __future__ import annotations

import os
from pathlib import Path

import pytest
from playwright.sync_api import Page, expect

from tests.browser.sheet_page import SheetPage

PICTURES = Path(__file__).resolve().parent / "pictures"
COLOURS_OF_A_DRAWING = 50


@pytest.fixture
def folder(tmp_path: Path) -> Path:
    if os.environ.get("FARANDOLE_PICTURES") != "1":
        return tmp_path
    PICTURES.mkdir(exist_ok=True)
    return PICTURES


def colours(page: Page, picture: Path) -> int:
    """How many colours a picture has, counted by the browser."""
    page.goto("about:blank")
    page.set_content("<canvas></canvas>")
    counted = page.evaluate(
        """async (bytes) => {
          const image = await createImageBitmap(new Blob([new Uint8Array(bytes)], { type: "image/png" }));
          const canvas = new OffscreenCanvas(image.width, image.height);
          const context = canvas.getContext("2d");
          context.drawImage(image, 0, 0);
          return new Set(new Uint32Array(context.getImageData(0, 0, image.width, image.height).data.buffer)).size;
        }""",
        list(picture.read_bytes()),
    )
    return int(counted)


def test_the_main_screen_makes_a_picture_for_the_readme(sheet: SheetPage, folder: Path) -> None:
    picture = folder / "main-screen.png"
    sheet.point_at((12, 8))
    expect(sheet.sheet.locator(".marks")).to_contain_text("net charge")
    sheet.page.screenshot(path=picture, animations="disabled")
    assert colours(sheet.page, picture) > COLOURS_OF_A_DRAWING
