"""A comparison gives nothing away that the sheet covers, and its drawings have one scale for what the eye compares."""

from __future__ import annotations

import re

import pytest
from playwright.sync_api import Page, expect

from tests.browser.sheet_page import SheetPage
from tests.browser.test_compare import THREE, ComparePage
from tests.browser.test_covering import leaks


@pytest.fixture
def comparison(page: Page, complaints: list[str]) -> ComparePage:
    """A tab for a comparison; errors of its scripts fail the test."""
    return ComparePage(page)


def test_what_is_covered_on_the_sheet_is_covered_here_and_stays_so_on_the_way_back(sheet: SheetPage) -> None:
    sheet.press(".")
    sheet.page.get_by_role("button", name="Compare", exact=True).click()
    compare = ComparePage(sheet.page).settled()
    expect(compare.page.locator("tbody button").first).to_be_visible()
    assert set(compare.page.locator("tbody button").all_inner_texts()) == {"?"}
    assert leaks(sheet) == []
    compare.page.get_by_role("button", name="A third column").click()
    expect(compare.page.locator("thead")).to_contain_text("As resistors, in series")
    assert set(compare.page.locator("tbody button").all_inner_texts()) == {"?"}
    compare.page.get_by_role("link", name="Back to the sheet").click()
    sheet.settled()
    assert leaks(sheet) == []


def test_a_single_covered_reading_is_covered_in_every_column(sheet: SheetPage) -> None:
    sheet.cell("C1", "Voltage").get_by_role("button").click()
    sheet.page.get_by_role("button", name="Compare", exact=True).click()
    compare = ComparePage(sheet.page).settled()
    expect(compare.row("Voltage", "C1")).to_contain_text("?")
    assert compare.cells("Voltage", "C1") == ["?", "?", "?", "?"]
    assert "?" not in compare.cells("Voltage", "C2")
    before = compare.page.url
    compare.page.get_by_role("button", name="Uncover all").click()
    expect(compare.page).not_to_have_url(before)
    compare.page.reload()
    compare.settled()
    expect(compare.row("Voltage", "C1")).to_contain_text("V")
    assert "?" not in compare.cells("Voltage", "C1")


def test_the_reason_within_a_column_goes_with_what_it_would_tell(comparison: ComparePage) -> None:
    comparison.open(THREE)
    says = comparison.row("Charge from the battery").locator(".says")
    expect(says).to_contain_text("In series all three carry 90.0 µC: the conductors between them are isolated.")
    expect(says).to_contain_text("In parallel 270 µC + 270 µC + 270 µC = 810 µC leave the battery.")
    comparison.row("Charge", "C2").get_by_role("button", name=re.compile("^90.0 µC Charge of C2")).click()
    expect(says).not_to_contain_text("90.0 µC")
    expect(says).to_contain_text("810 µC leave the battery")


def test_signs_and_discs_go_by_one_scale_in_all_columns(comparison: ComparePage) -> None:
    comparison.open(THREE)
    columns = [comparison.columns.nth(place).get_by_role("img") for place in (0, 1)]
    for column, charge in zip(columns, ("90.0 µC", "270 µC"), strict=True):
        expect(column).to_contain_text(charge)
    # A third of the charge: 2 signs on a plate against 6; a ninth of the energy: a third of the radius.
    strokes = [column.locator(".signs path").first.get_attribute("d").count("M") for column in columns]
    assert strokes[1] == 3 * strokes[0]
    radii = [float(column.locator(".discs circle").first.get_attribute("r")) for column in columns]
    assert radii[1] == pytest.approx(3 * radii[0])


def test_both_drawings_have_one_scale_and_larger_enlarges_what_is_written_on_each(comparison: ComparePage) -> None:
    comparison.open(THREE)

    def heights() -> list[float]:
        """Of the name of C1 in each column, in pixels."""
        found = [column.get_by_role("img").locator("text", has_text="C1").first for column in comparison.columns.all()]
        return [box["height"] for name in found if (box := name.bounding_box())]

    before = heights()
    assert before[0] == pytest.approx(before[1], rel=0.02)
    comparison.page.get_by_role("button", name="Larger").click()
    expect(comparison.page.get_by_role("button", name="Larger")).to_have_attribute("aria-pressed", "true")
    after = heights()
    assert after[0] == pytest.approx(after[1], rel=0.02)
    assert min(after) > 1.15 * max(before)


def test_a_narrow_picture_of_tiles_tells_how_wide_it_is(comparison: ComparePage) -> None:
    comparison.open(THREE)
    scale = comparison.columns.nth(0).locator(".tiles-column .scale")
    expect(scale.first).to_contain_text("90.0 µC")
