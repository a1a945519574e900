"""Tiles that are covered, that do not tile, that have no size: what stands in the picture's place, and why."""

from __future__ import annotations

import re
from itertools import pairwise
from typing import Any

import pytest
from playwright.sync_api import expect

from tests.browser.ready import link_to, ready
from tests.browser.sheet_page import SheetPage
from tests.browser.test_tiles import NEAR, picture, sides, size, tile, told

MIXED = ready("Three, mixed")
BRIDGE = ready("A bridge")


# What is covered


@pytest.mark.parametrize("column", ["Voltage", "Charge", "Energy"])
def test_one_covered_reading_covers_the_picture_that_would_give_it_away(sheet: SheetPage, column: str) -> None:
    sheet.cell("C1", column).get_by_role("button").click()
    expect(picture(sheet)).to_contain_text(f"Covered: the tiles would give away the {column.lower()} of C1.")
    expect(sheet.page.locator("#tiles rect")).to_have_count(0)
    assert not re.search(r"\d [mµ]?[VCJ]\b", picture(sheet).inner_text())
    sheet.cell("C1", column).get_by_role("button").click()
    expect(tile(sheet, "C1")).to_be_visible()


def test_a_covered_potential_covers_the_picture(sheet: SheetPage) -> None:
    sheet.open(link_to({**MIXED, "covered": ["joint c.potential"]}))
    expect(picture(sheet)).to_contain_text("Covered: the tiles would give away the potential of joint")


def test_a_covered_width_or_area_covers_the_picture(sheet: SheetPage) -> None:
    sheet.open(link_to({**MIXED, "covered": ["E1.charge", "total.energy"]}))
    expect(picture(sheet)).to_contain_text("give away the charge of E1 and the energy of all.")


def test_many_covered_readings_are_counted(sheet: SheetPage) -> None:
    sheet.open(link_to({**MIXED, "covered": ["C1.voltage", "C2.voltage", "C1.energy", "total.energy"]}))
    expect(picture(sheet)).to_contain_text("Covered: the tiles would give away 4 readings that are covered.")


def test_all_covered_shows_no_shape_and_no_number_until_uncovered(sheet: SheetPage) -> None:
    sheet.press(".")
    expect(picture(sheet)).to_contain_text("Covered: the tiles are drawn once the readings are uncovered.")
    expect(sheet.page.locator("#tiles rect")).to_have_count(0)
    assert not re.search(r"\d [mµ]?[VCJ]\b|\d (volts|micro)", sheet.page.locator("#tiles").inner_text())
    sheet.press(".")
    expect(tile(sheet, "C3")).to_be_visible()


def test_a_value_changed_while_covered_says_nothing(sheet: SheetPage) -> None:
    sheet.press(".")
    sheet.edit_cell(sheet.cell("C1", "Capacitance"), "33 µF")
    sheet.settled()
    expect(sheet.page.locator("#tiles rect")).to_have_count(0)
    assert not re.search(r"\d [mµ]?[VCJ]\b", sheet.page.locator("#tiles").text_content() or "")


# What has no tiling


def two_batteries() -> dict[str, Any]:
    return {
        "joints": {"a": [2, 2], "b": [2, 16], "d": [10, 9], "e": [18, 2], "f": [18, 16], "g": [10, 16]},
        "parts": [
            {"name": "E1", "kind": "battery", "value": "9 V", "from": "a", "to": "b"},
            {"name": "E2", "kind": "battery", "value": "5 V", "from": "e", "to": "f"},
            {"name": "C1", "kind": "capacitor", "value": "1 µF", "from": "a", "to": "d"},
            {"name": "C2", "kind": "capacitor", "value": "2 µF", "from": "e", "to": "d"},
            {"name": "C3", "kind": "capacitor", "value": "3 µF", "from": "d", "to": "g"},
            {"name": "W1", "kind": "wire", "from": "b", "to": "g"},
            {"name": "W2", "kind": "wire", "from": "g", "to": "f"},
        ],
    }


def test_what_does_not_tile_stands_side_by_side_and_says_why(sheet: SheetPage) -> None:
    sheet.open(link_to(two_batteries()))
    expect(picture(sheet)).to_contain_text("E1 and E2 do not share both their conductors")
    lefts = sorted(sides(sheet, part)[:2] for part in ("C1", "C2", "C3"))
    assert all(one[1] < other[0] for one, other in pairwise(lefts)), "with a gap between them"
    # 1·(9 − V) + 2·(5 − V) = 3·V: V = 19/6; 35/6 V by 35/6 µC, 11/6 V by 11/3 µC.
    (one, high), (two, low) = size(sheet, "C1"), size(sheet, "C2")
    assert high / low == pytest.approx(35 / 11, rel=0.05)
    assert one / two == pytest.approx(35 / 22, rel=0.15)


def test_symbols_have_a_sentence_and_no_picture(sheet: SheetPage) -> None:
    sheet.edit_cell(sheet.cell("C1", "Capacitance"), "C")
    expect(sheet.page.locator("#tiles")).to_have_text("The rectangles can be drawn once the symbols have numbers.")


def test_an_empty_sheet_has_no_tiles(empty: SheetPage) -> None:
    expect(empty.page.locator("#tiles")).to_have_text("")


def test_a_part_without_charge_is_a_bare_line_with_its_name(sheet: SheetPage) -> None:
    values = {"C1": "40 µF", "C2": "10 µF", "C3": "40 µF", "C4": "10 µF"}
    parts = [{**part, "value": values.get(part["name"], part.get("value"))} for part in BRIDGE["parts"]]
    for part in parts:
        if part["value"] is None:
            del part["value"]
    sheet.open(link_to({**BRIDGE, "parts": parts}))
    expect(tile(sheet, "C5").locator("text")).to_have_text("C5")
    bare = sheet.middle_of(tile(sheet, "C5"))
    assert bare[0] == pytest.approx(sides(sheet, "C1")[1], abs=NEAR)
    tile(sheet, "C5").hover()
    expect(told(sheet)).to_have_text("C5: 0 V × 0 C ÷ 2 = 0 J")


def test_resistors_with_a_current_and_capacitors_have_a_picture_each(sheet: SheetPage) -> None:
    sheet.open(
        link_to(
            {
                "joints": {"a": [2, 2], "b": [10, 2], "c": [10, 9], "d": [10, 16], "e": [2, 16], "f": [18, 9]},
                "parts": [
                    {"name": "E1", "kind": "battery", "value": "9 V", "from": "a", "to": "e"},
                    {"name": "W1", "kind": "wire", "from": "a", "to": "b"},
                    {"name": "R1", "kind": "resistor", "value": "100 Ω", "from": "b", "to": "c"},
                    {"name": "R2", "kind": "resistor", "value": "200 Ω", "from": "c", "to": "d"},
                    {"name": "W2", "kind": "wire", "from": "e", "to": "d"},
                    {"name": "W3", "kind": "wire", "from": "c", "to": "f"},
                    {"name": "C1", "kind": "capacitor", "value": "5 µF", "from": "f", "to": "d"},
                ],
            }
        )
    )
    expect(tile(sheet, "C1")).to_be_visible()
    expect(tile(sheet, "R2")).to_be_visible()
    assert told(sheet).all_inner_texts() == [
        "In all 6.00 V × 30.0 µC ÷ 2 = 90.0 µJ",
        "In all 9.00 V × 30.0 mA = 270 mW",
    ]
