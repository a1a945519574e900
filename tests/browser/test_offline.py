"""The file for a memory stick: opened from a file with no network at all, covered readings uncover, steps go on."""

from __future__ import annotations

import re
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pytest
from playwright.sync_api import Browser, Page, expect

from tests.browser.handout_page import HandoutPage
from tests.browser.ready import ready
from tests.browser.test_access import SIZES, violations

MIXED = ready("Three, mixed")


class StickPage:
    """The file in a browser that has no network. Whatever it asks for beside itself is remembered."""

    def __init__(self, page: Page, asked: list[str]) -> None:
        self.page = page
        self.asked = asked
        self.ledger = page.get_by_role("region", name="Ledger")
        self.sheet = page.locator("#sheet")

    def cell(self, part: str, place: int) -> str:
        found = (
            self.ledger.get_by_role("row").filter(has=self.page.get_by_role("rowheader", name=part, exact=True)).first
        )
        return found.get_by_role("cell").nth(place).inner_text()

    def written(self) -> list[str]:
        return self.sheet.locator("text").all_text_contents()


@pytest.fixture
def stick(page: Page, browser: Browser, tmp_path: Path, complaints: list[str]) -> Iterator[Any]:
    """Saves a sketch's file from the handout, and opens it elsewhere."""
    contexts = []

    def opened(sketch: dict[str, Any], size: tuple[int, int] = (1366, 768)) -> StickPage:
        handout = HandoutPage(page).open(sketch)
        saved = handout.saved("One file that works offline")
        assert saved.suggested_filename.endswith(".html")
        path = tmp_path / "memory stick.html"
        saved.save_as(path)
        context = browser.new_context(offline=True, viewport={"width": size[0], "height": size[1]})
        contexts.append(context)
        asked: list[str] = []
        other = context.new_page()
        other.on("request", lambda request: asked.append(request.url))
        other.on("console", lambda message: complaints.append(message.text))
        other.on("pageerror", lambda error: complaints.append(str(error)))
        other.goto(path.as_uri())
        expect(other.get_by_role("region", name="Ledger")).to_be_visible()
        return StickPage(other, asked)

    yield opened
    for context in contexts:
        context.close()


def test_it_shows_the_sheet_and_asks_for_nothing(stick: Any) -> None:
    shown = stick(MIXED)
    expect(shown.page.get_by_role("heading", name="Storm lantern, three capacitors")).to_be_visible()
    assert shown.page.title() == "Storm lantern, three capacitors"
    assert [shown.cell("C1", place) for place in range(4)] == ["30 µF", "3.00 V", "90.0 µC", "135 µJ"]
    assert {"30 µF", "3.00 V", "90.0 µC", "9.00 V", "6.00 V"} <= set(shown.written())
    expect(shown.page.get_by_role("region", name="Charge across, voltage up")).to_be_visible()
    expect(shown.page.get_by_role("region", name="Checks")).to_contain_text("Loop")
    expect(shown.page.get_by_role("region", name="Caution")).to_contain_text("stay charged")
    assert shown.asked == [shown.page.url]


def test_covered_readings_uncover_on_the_sheet_and_in_the_ledger(stick: Any) -> None:
    shown = stick(MIXED | {"covered": ["C1.voltage", "C2.charge", "joint a.potential"]})
    assert shown.cell("C1", 1) == "?"
    assert "9.00 V" not in shown.written()
    before = shown.written().count("?")
    covered = shown.sheet.locator(".labels text", has_text="?").first
    box = covered.bounding_box()
    assert box
    shown.page.mouse.click(box["x"] + box["width"] / 2, box["y"] + box["height"] / 2)
    expect(shown.ledger).to_contain_text("3.00 V")
    assert shown.written().count("?") == before - 1
    shown.ledger.get_by_role("button", name="Uncover charge of C2").click()
    expect(shown.ledger).to_contain_text("60.0 µC")
    flag = shown.sheet.locator(".flags text", has_text="?").bounding_box()
    assert flag
    shown.page.mouse.click(flag["x"] + flag["width"] / 2, flag["y"] + flag["height"] / 2)
    expect(shown.sheet.locator(".flags")).to_contain_text("9.00 V")
    assert "?" not in shown.written()


def test_tiles_stay_covered_as_long_as_they_would_give_something_away(stick: Any) -> None:
    shown = stick(MIXED | {"covered": ["C1.voltage"]})
    expect(shown.page.locator("#tiles")).to_contain_text("Covered: the tiles would give away the voltage of C1.")
    shown.ledger.get_by_role("button", name="Uncover voltage of C1").click()
    expect(shown.page.locator("#tiles")).not_to_contain_text("Covered")
    expect(shown.page.locator("#tiles svg")).to_be_visible()


def test_all_are_covered_and_uncovered_with_one_key(stick: Any) -> None:
    shown = stick(MIXED)
    shown.page.keyboard.press(".")
    expect(shown.page.get_by_role("button", name=re.compile("^Uncover readings"))).to_be_visible()
    assert shown.cell("C1", 1) == "?"
    assert "3.00 V" not in shown.written()
    shown.page.get_by_role("button", name=re.compile("^Uncover readings")).click()
    assert shown.cell("C1", 1) == "3.00 V"


def test_a_reading_can_be_covered_by_keyboard_and_the_focus_stays(stick: Any) -> None:
    shown = stick(MIXED)
    shown.ledger.get_by_role("button", name=re.compile("^3.00 V, voltage of C1")).focus()
    shown.page.keyboard.press("Enter")
    expect(shown.ledger.get_by_role("button", name="Uncover voltage of C1")).to_be_focused()
    shown.page.get_by_role("region", name="Potentials").get_by_role("button").first.click()
    assert "?" in shown.sheet.locator(".flags text").all_text_contents()


def test_the_worked_solution_goes_on_step_by_step_in_every_way(stick: Any) -> None:
    shown = stick(ready("A bridge"))
    shown.page.get_by_role("button", name="Worked solution").click()
    solution = shown.page.get_by_role("region", name="Worked solution")
    expect(solution).to_be_visible()
    shown.page.keyboard.press("PageDown")
    shown.page.keyboard.press("PageDown")
    expect(solution.get_by_role("listitem")).to_have_count(2)
    assert solution.locator("math").count() > 0
    first = solution.get_by_role("listitem").first.inner_text()
    way = solution.get_by_label("Way to the solution")
    way.select_option(index=1)
    expect(solution.get_by_role("listitem").first).not_to_have_text(first)
    assert shown.asked == [shown.page.url]


def test_overlays_and_larger_type_work_as_on_the_page(stick: Any) -> None:
    shown = stick(MIXED)
    assert "135 µJ" in shown.written()
    shown.page.get_by_role("button", name=re.compile("^Energy")).click()
    assert "135 µJ" not in shown.written()
    shown.page.get_by_role("button", name="Look").click()
    shown.page.get_by_label("Larger, for the back row").check()
    expect(shown.page.locator("html")).to_have_class(re.compile("larger"))


def test_the_form_of_resistors_comes_along(stick: Any, page: Page) -> None:
    page.add_init_script("localStorage.setItem('farandole look', JSON.stringify({ zigzag: true }))")
    shown = stick(ready("The bridge with resistors"))
    expect(shown.page.locator("#zigzag")).to_be_checked()


@pytest.mark.parametrize("size", SIZES.values(), ids=list(SIZES))
def test_axe_finds_nothing_wrong_with_the_file(stick: Any, size: tuple[int, int]) -> None:
    shown = stick(MIXED | {"covered": ["C1.voltage"]}, size)
    assert violations(shown.page) == []
    shown.page.get_by_role("button", name="Worked solution").click()
    shown.page.keyboard.press("PageDown")
    assert violations(shown.page) == []
    assert shown.page.evaluate("() => document.documentElement.scrollWidth <= innerWidth")


def test_a_title_that_looks_like_markup_is_text(stick: Any) -> None:
    title = "</title></script><script>document.title = 'run'</script>"
    shown = stick(MIXED | {"title": title})
    expect(shown.page.get_by_role("heading", level=1)).to_have_text(title)
    assert shown.page.title() == title
