"""A covered reading cannot be read anywhere until it is uncovered: not in words, signs, discs, shades or speech."""

from __future__ import annotations

import re

import pytest
from playwright.sync_api import expect

from tests.browser.ready import middle, ready
from tests.browser.sheet_page import SheetPage

MIXED = ready("Three, mixed")
READINGS = ("3.00", "6.00", "9.00", "90.0", "60.0", "30.0", "135", "180", "405", "10.0", "810")


def everything(sheet: SheetPage) -> str:
    """All that the page holds for the eye, the ear and the pointer, but for its addresses and its data."""
    texts = sheet.page.evaluate(
        """() => [...document.querySelectorAll("body *:not(script)")].flatMap((each) => [
          ...[...each.childNodes].filter((node) => node.nodeType === 3).map((node) => node.data),
          each.getAttribute("aria-label"), each.getAttribute("title"), each.value,
        ]).filter((text) => typeof text === "string").join("\\n")"""
    )
    return str(texts)


def leaks(sheet: SheetPage) -> list[str]:
    text = everything(sheet)
    return [number for number in READINGS if re.search(rf"(?<![\d.]){re.escape(number)} [mµnp]?[VCJF]\b", text)]


def uncovered(sheet: SheetPage) -> list[str]:
    return [number for number in READINGS if number in leaks(sheet)]


@pytest.mark.parametrize("by", ["key", "button"])
def test_all_readings_are_covered_at_once_and_none_can_be_read_anywhere(sheet: SheetPage, by: str) -> None:
    assert "90.0" in leaks(sheet)
    if by == "key":
        sheet.press(".")
    else:
        sheet.page.get_by_role("button", name=re.compile("Cover readings")).click()
    sheet.settled()
    assert leaks(sheet) == []
    expect(sheet.sheet.locator(".signs path")).to_have_count(0)
    expect(sheet.sheet.locator(".discs circle")).to_have_count(0)
    assert set(sheet.flags()) == {"?"}
    fills = sheet.sheet.locator(".flags rect").evaluate_all("all => all.map(each => each.getAttribute('fill'))")
    assert len(set(fills)) == 1
    bands = sheet.sheet.locator(".bands path[stroke-opacity]").evaluate_all(
        "all => all.map(each => each.getAttribute('stroke'))"
    )
    assert len(set(bands)) == 1
    sheet.page.get_by_role("button", name=re.compile("Uncover readings")).click()
    expect(sheet.cell("C1", "Voltage")).to_have_text("3.00 V")


def test_what_is_typed_stays_readable_when_readings_are_covered(sheet: SheetPage) -> None:
    sheet.press(".")
    expect(sheet.cell("C1", "Capacitance")).to_have_text("30 µF")
    assert sheet.written("C1")[:2] == ["C1", "30 µF"]


def test_a_part_is_spoken_with_its_readings_covered(sheet: SheetPage) -> None:
    sheet.press(".")
    sheet.click(middle(MIXED, "C1"))
    expect(sheet.spoken).to_contain_text("C1, 30 microfarads, voltage covered")
    expect(sheet.spoken).not_to_contain_text("3.00")
    sheet.press("n", "n", "n")
    assert leaks(sheet) == []


def test_pointing_at_an_isolated_conductor_tells_nothing_covered(sheet: SheetPage) -> None:
    sheet.press(".")
    sheet.point_at((12, 8))
    expect(sheet.sheet.locator(".marks")).not_to_contain_text(re.compile(r"[1-9]"))


def test_probes_are_covered_too(sheet: SheetPage) -> None:
    sheet.press(".")
    sheet.click(tuple(MIXED["joints"]["c"]))
    sheet.click(tuple(MIXED["joints"]["0"]), shift=True)
    expect(sheet.panel.get_by_role("region", name="Between two joints")).to_be_visible()
    assert leaks(sheet) == []
    assert "45.0 µF" not in everything(sheet)


@pytest.mark.parametrize("column", ["Voltage", "Charge", "Energy"])
def test_one_reading_is_covered_from_the_ledger_and_uncovered_again(sheet: SheetPage, column: str) -> None:
    before = sheet.cell("C1", column).inner_text()
    sheet.cell("C1", column).get_by_role("button").click()
    expect(sheet.cell("C1", column)).not_to_have_text(before)
    assert before not in sheet.written("C1")
    assert before not in (sheet.cell("C1", column).get_by_role("button").get_attribute("aria-label") or "")
    others = [each for each in ("Voltage", "Charge", "Energy") if each != column]
    assert sheet.cell("C1", others[0]).inner_text() in sheet.written("C1")
    sheet.cell("C1", column).get_by_role("button").click()
    expect(sheet.cell("C1", column)).to_have_text(before)


def test_a_covered_charge_takes_its_signs_away_and_a_covered_energy_its_disc(sheet: SheetPage) -> None:
    sheet.cell("C1", "Charge").get_by_role("button").click()
    expect(sheet.sheet.locator(".signs path")).to_have_count(2)
    sheet.cell("C1", "Energy").get_by_role("button").click()
    expect(sheet.sheet.locator(".discs circle")).to_have_count(2)


def test_a_covered_voltage_is_covered_in_the_checks(sheet: SheetPage) -> None:
    sheet.cell("C1", "Voltage").get_by_role("button").click()
    loops = [line for line in sheet.check_lines() if line.startswith("Loop")]
    assert loops
    assert not [line for line in loops if "3.00 V" in line]


def test_uncovering_one_of_all_shows_that_one_alone(sheet: SheetPage) -> None:
    sheet.press(".")
    sheet.cell("C1", "Voltage").get_by_role("button").click()
    expect(sheet.cell("C1", "Voltage")).to_have_text("3.00 V")
    assert leaks(sheet) == ["3.00"]


def test_a_covered_reading_on_the_sheet_is_uncovered_by_a_click_on_it(sheet: SheetPage) -> None:
    sheet.press(".")
    sheet.press_at(sheet.middle_of(sheet.label("C1").locator("> text").nth(2)))
    expect(sheet.cell("C1", "Voltage")).to_have_text("3.00 V")


def test_a_covered_flag_is_uncovered_by_a_click_on_it(sheet: SheetPage) -> None:
    sheet.press(".")
    sheet.press_at(sheet.middle_of(sheet.sheet.locator(".flags > g").first))
    expect(sheet.sheet.locator(".flags")).to_contain_text("V")
    assert len([flag for flag in sheet.flags() if flag == "?"]) == 2


def test_what_is_covered_stays_covered_after_a_reload_and_in_an_error_s_wake(sheet: SheetPage) -> None:
    sheet.press(".")
    sheet.page.reload()
    sheet.settled()
    expect(sheet.row("C1")).to_be_visible()
    assert leaks(sheet) == []


def test_covering_is_a_change_that_can_be_undone(sheet: SheetPage) -> None:
    sheet.press(".")
    sheet.undo()
    expect(sheet.cell("C1", "Voltage")).to_have_text("3.00 V")


def test_a_value_stepped_while_its_readings_are_covered_uncovers_nothing(sheet: SheetPage) -> None:
    sheet.press(".")
    sheet.click(middle(MIXED, "C1"))
    sheet.press("ArrowUp")
    expect(sheet.cell("C1", "Capacitance")).to_have_text("33 µF")
    sheet.settled()
    expect(sheet.spoken).to_contain_text("33 microfarads")
    assert "2.81" not in everything(sheet)


def test_a_part_added_while_all_is_covered_is_covered(sheet: SheetPage) -> None:
    sheet.press(".")
    sheet.click(middle(MIXED, "C1"))
    sheet.press("+")
    sheet.settled()
    assert set(sheet.row("C4").get_by_role("cell").all_inner_texts()[1:]) == {"?"}


def test_a_part_added_after_one_of_all_was_uncovered_is_covered(sheet: SheetPage) -> None:
    sheet.press(".")
    sheet.cell("C1", "Voltage").get_by_role("button").click()
    sheet.click(middle(MIXED, "C2"))
    sheet.press("+")
    sheet.settled()
    assert set(sheet.row("C4").get_by_role("cell").all_inner_texts()[1:]) == {"?"}
    expect(sheet.cell("C1", "Voltage")).not_to_have_text("?")
