"""One key or button adds a part in series or in parallel, and the drawing stays tidy."""

from __future__ import annotations

import re
from itertools import combinations

import pytest
from playwright.sync_api import Locator, expect

from tests.browser.ready import TITLES, middle, ready
from tests.browser.sheet_page import SheetPage

MIXED = ready("Three, mixed")
SLACK = 1.0  # pixels that boxes may share where they touch

KEYS = {"series": "+", "parallel": "/"}
BUTTONS = {"series": re.compile("In series"), "parallel": re.compile("In parallel")}


def boxes(shapes: Locator) -> list[dict[str, float]]:
    found = shapes.evaluate_all("all => all.map(each => each.getBoundingClientRect().toJSON())")
    return [box for box in found if box["width"] or box["height"]]


def overlap(one: dict[str, float], other: dict[str, float]) -> bool:
    return (
        min(one["right"], other["right"]) - max(one["left"], other["left"]) > SLACK
        and min(one["bottom"], other["bottom"]) - max(one["top"], other["top"]) > SLACK
    )


def assert_tidy(sheet: SheetPage) -> None:
    """No symbol on another, no label on a label or a symbol, and all of it in the window."""
    symbols = boxes(sheet.sheet.locator(".ink > g > g"))
    labels = boxes(sheet.sheet.locator(".labels > g:not(.contacts)"))
    assert not [pair for pair in combinations(symbols + labels, 2) if overlap(*pair)]
    window = sheet.sheet.bounding_box()
    assert window
    for box in symbols + labels:
        assert box["left"] >= window["x"]
        assert box["right"] <= window["x"] + window["width"]
        assert box["top"] >= window["y"]
        assert box["bottom"] <= window["y"] + window["height"]


def add(sheet: SheetPage, how: str, by: str) -> None:
    if by == "key":
        sheet.press(KEYS[how])
    else:
        sheet.act(BUTTONS[how])
    sheet.settled()


@pytest.mark.parametrize("by", ["key", "button"])
def test_another_in_series_carries_the_same_charge(sheet: SheetPage, by: str) -> None:
    sheet.click(middle(MIXED, "C1"))
    add(sheet, "series", by)
    expect(sheet.cell("C4", "Capacitance")).to_have_text("30 µF")
    charge = sheet.cell("C1", "Charge").inner_text()
    assert charge != "90.0 µC"
    assert sheet.cell("C4", "Charge").inner_text() == charge
    assert_tidy(sheet)


@pytest.mark.parametrize("by", ["key", "button"])
def test_another_in_parallel_has_the_same_voltage(sheet: SheetPage, by: str) -> None:
    sheet.click(middle(MIXED, "C2"))
    add(sheet, "parallel", by)
    expect(sheet.cell("C4", "Capacitance")).to_have_text("10 µF")
    # 30 µF with 10 + 10 + 5 = 25 µF: 9 V · 30/55 stays across the three.
    assert sheet.cell("C2", "Voltage").inner_text() == sheet.cell("C4", "Voltage").inner_text() == "4.91 V"
    assert_tidy(sheet)


def test_the_part_added_is_the_one_selected_so_that_a_key_can_follow(sheet: SheetPage) -> None:
    sheet.click(middle(MIXED, "C1"))
    sheet.press("+", "ArrowRight")
    expect(sheet.cell("C4", "Capacitance")).to_have_text("33 µF")
    expect(sheet.cell("C1", "Capacitance")).to_have_text("30 µF")


def test_adding_is_one_step_back(sheet: SheetPage) -> None:
    sheet.click(middle(MIXED, "C3"))
    sheet.press("/")
    expect(sheet.row("C4")).to_be_visible()
    sheet.undo()
    expect(sheet.row("C4")).to_have_count(0)
    expect(sheet.page.get_by_role("button", name="Undo")).to_be_disabled()


@pytest.mark.parametrize("how", KEYS)
@pytest.mark.parametrize("title", TITLES)
def test_every_part_of_every_ready_sketch_can_be_doubled_and_the_drawing_stays_tidy(
    sheet: SheetPage, title: str, how: str
) -> None:
    sketch = ready(title)
    parts = [part["name"] for part in sketch["parts"] if part["kind"] in ("capacitor", "resistor")]
    for part in parts:
        sheet.open_ready(title)
        sheet.click(middle(sketch, part))
        before = sheet.parts()
        sheet.press(KEYS[how])
        sheet.settled()
        assert len(sheet.parts()) == len(before) + 1, part
        assert_tidy(sheet)


@pytest.mark.parametrize("keys", ["++", "//", "+/+", "/+/", "+//+", "/++/"])
def test_a_part_doubled_again_and_again_stays_tidy(sheet: SheetPage, keys: str) -> None:
    sheet.click(middle(MIXED, "C2"))
    for key in keys:
        sheet.press(key)
        sheet.settled()
    assert len(sheet.parts()) == 4 + len(keys)
    assert_tidy(sheet)


def test_a_ladder_of_six_grows_from_one_capacitor_by_keys(empty: SheetPage) -> None:
    empty.draw((6, 3), (6, 15), "12 V")
    empty.draw((6, 3), (14, 3))
    empty.draw((14, 3), (14, 15), "60 uF")
    empty.draw((14, 15), (6, 15))
    empty.click((14, 9))
    for _ in range(5):
        empty.press("+")
        empty.settled()
    # Six of 60 µF in series are 10 µF, and each takes a sixth of 12 V.
    expect(empty.total("Across E1", "Capacitance")).to_have_text("10.0 µF")
    for number in range(1, 7):
        expect(empty.cell(f"C{number}", "Voltage")).to_have_text("2.00 V")
    assert_tidy(empty)


def test_a_wire_is_neither_in_series_nor_in_parallel_and_that_is_no_button(sheet: SheetPage) -> None:
    sheet.click((8, 2))
    expect(sheet.actions.get_by_role("button", name="Delete")).to_be_visible()
    expect(sheet.actions.get_by_role("button", name="In series")).to_have_count(0)
    expect(sheet.actions.get_by_role("button", name="In parallel")).to_have_count(0)
