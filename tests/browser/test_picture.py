"""The pictures in README: the first sheet as it opens, with the callout of an isolated conductor; a worked solution
beside a network; three columns compared; the two sheets of a handout; stages with a time line; a capacitor's side view;
what fails first; a bank planned.

With FARANDOLE_PICTURES=1 they are written where README shows them; else to the test's own folder.
"""

from __future__ import annotations

import os
from pathlib import Path

import pytest
from playwright.sync_api import Page, expect

from tests.browser.handout_page import HandoutPage
from tests.browser.ready import link_to, ready
from tests.browser.sheet_page import SheetPage
from tests.browser.solution_page import SolutionPage

PICTURES = Path(__file__).resolve().parent / "pictures"
COLOURS_OF_A_DRAWING = 50
COLOURS_OF_PRINT = 20
MOST_BYTES = 200_000


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


def test_a_worked_solution_makes_a_picture_for_the_readme(sheet: SheetPage, folder: Path) -> None:
    picture = folder / "worked-solution.png"
    SolutionPage(sheet).open().press("PageDown", "PageDown", "PageDown", "PageDown")
    sheet.page.mouse.move(5, 5)
    sheet.page.screenshot(path=picture, animations="disabled")
    assert picture.stat().st_size < MOST_BYTES
    assert colours(sheet.page, picture) > COLOURS_OF_A_DRAWING


def test_a_comparison_makes_a_picture_for_the_readme(page: Page, complaints: list[str], folder: Path) -> None:
    picture = folder / "compare.png"
    sketch = ready("Three, mixed") | {"compare": {"columns": ["series", "parallel", "other-series"]}}
    page.goto(link_to(sketch).replace("/p#", "/compare#"))
    expect(page.locator("#columns")).to_have_attribute("aria-busy", "false")
    expect(page.locator("article")).to_have_count(3)
    page.screenshot(path=picture, animations="disabled")
    assert picture.stat().st_size < MOST_BYTES
    assert colours(page, picture) > COLOURS_OF_A_DRAWING


def test_a_handout_makes_a_picture_for_the_readme(page: Page, complaints: list[str], folder: Path) -> None:
    picture = folder / "handout.png"
    handout = HandoutPage(page).open(ready("Three, mixed"))
    # Both sheets side by side, and the first page of each.
    page.set_viewport_size({"width": 1680, "height": 1170})
    page.evaluate(
        """() => {
          for (const each of document.querySelectorAll("#choices, header")) each.style.display = "none";
          document.querySelector("main").style.display = "block";
          document.querySelector("#pages").style.display = "flex";
        }"""
    )
    handout.settled()
    page.screenshot(path=picture, animations="disabled")
    assert picture.stat().st_size < MOST_BYTES
    assert colours(page, picture) > COLOURS_OF_PRINT


def test_stages_and_their_time_line_make_a_picture_for_the_readme(sheet: SheetPage, folder: Path) -> None:
    picture = folder / "time-line.png"
    sheet.open_ready("The lantern fades")
    line = sheet.page.get_by_role("region", name="Time line")
    line.get_by_role("slider", name="Moment").press("1")
    expect(line.get_by_role("list", name="Readings at the moment")).to_be_visible()
    sheet.page.screenshot(path=picture, animations="disabled")
    assert picture.stat().st_size < MOST_BYTES
    assert colours(sheet.page, picture) > COLOURS_OF_A_DRAWING


def test_a_side_view_makes_a_picture_for_the_readme(sheet: SheetPage, folder: Path) -> None:
    picture = folder / "side-view.png"
    sheet.open_ready("A slab, battery off and on")
    sheet.page.get_by_role("list", name="Stages").get_by_role("button").last.click()
    sheet.label("C1").click()
    view = sheet.page.get_by_role("region", name="How C1 is built")
    expect(view.get_by_role("img")).to_be_visible()
    view.scroll_into_view_if_needed()
    box = view.bounding_box()
    assert box is not None
    clip = {"x": box["x"] - 14, "y": box["y"] - 14, "width": box["width"] + 28, "height": box["height"] + 28}
    sheet.page.screenshot(path=picture, animations="disabled", clip=clip)  # type: ignore[arg-type]
    assert colours(sheet.page, picture) > COLOURS_OF_A_DRAWING


def test_what_fails_first_makes_a_picture_for_the_readme(sheet: SheetPage, folder: Path) -> None:
    picture = folder / "failures.png"
    sheet.open_ready("Which part fails first")
    sheet.page.get_by_role("button", name="What happens past it").click()
    dialog = sheet.page.get_by_role("dialog", name="What happens past it")
    dialog.get_by_role("button", name="Next").click()
    expect(dialog.get_by_role("heading", level=3)).to_have_text("C3 goes first")
    sheet.page.screenshot(path=picture, animations="disabled")
    assert picture.stat().st_size < MOST_BYTES
    assert colours(sheet.page, picture) > COLOURS_OF_A_DRAWING


def test_the_planner_makes_a_picture_for_the_readme(page: Page, complaints: list[str], folder: Path) -> None:
    picture = folder / "bank.png"
    page.set_viewport_size({"width": 1366, "height": 768})
    page.goto("/bank")
    expect(page.locator("#equal article")).to_have_count(3)
    page.locator("#caution summary").click()
    page.screenshot(path=picture, animations="disabled")
    assert picture.stat().st_size < MOST_BYTES
    assert colours(page, picture) > COLOURS_OF_PRINT
