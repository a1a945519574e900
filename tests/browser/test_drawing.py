"""A line drawn from dot to dot becomes what is typed, and meets what is there."""

from __future__ import annotations

import re

import pytest
from playwright.sync_api import Page, expect

from tests.browser.sheet_page import SheetPage, assert_mixed, draw_mixed


def test_the_mixed_network_drawn_from_nothing_has_the_readings_of_the_class_room(empty: SheetPage) -> None:
    draw_mixed(empty)
    assert_mixed(empty)
    assert sorted(empty.flags()) == ["0 V", "6.00 V", "9.00 V"]


def test_an_empty_enter_is_a_wire_and_a_wire_has_no_row(empty: SheetPage) -> None:
    empty.draw((4, 3), (10, 3))
    empty.draw((4, 3), (4, 9), "9 V")
    assert empty.parts() == ["E1"]
    assert empty.flags() != []


@pytest.mark.parametrize(
    ("typed", "said", "part", "shown"),
    [
        ("22 µF", "capacitor", "C1", "22 µF"),
        ("22uF", "capacitor", "C1", "22 µF"),
        ("4,7 nF", "capacitor", "C1", "4.7 nF"),
        ("9 V", "battery", "E1", "9 V"),
        ("1.5 kΩ", "resistor", "R1", "1.5 kΩ"),
        ("1500 ohm", "resistor", "R1", "1500 Ω"),
        ("2C", "capacitor", "C1", "2C"),
        ("V_0", "battery", "E1", "V₀"),
        ("switch", "switch", "S1", "open"),
        ("", "wire", "", ""),
    ],
)
def test_the_field_says_what_a_text_will_become_and_it_becomes_that(
    empty: SheetPage, typed: str, said: str, part: str, shown: str
) -> None:
    empty.line((4, 3), (4, 9))
    empty.field.press_sequentially(typed)
    expect(empty.means).to_contain_text(said)
    empty.field.press("Enter")
    expect(empty.field).to_have_count(0)
    empty.settled()
    assert empty.parts() == ([part] if part else [])
    if part:
        assert empty.written(part)[:2] == [part, shown]


def test_the_feedback_follows_every_key(empty: SheetPage) -> None:
    empty.line((4, 3), (4, 9))
    expect(empty.means).to_contain_text("wire")
    empty.field.press_sequentially("22")
    expect(empty.means).not_to_contain_text("wire")
    empty.field.press_sequentially(" µF")
    expect(empty.means).to_contain_text("capacitor")
    for _ in range(2):
        empty.field.press("Backspace")
    empty.field.press_sequentially("V")
    expect(empty.means).to_contain_text("battery")


@pytest.mark.parametrize("nonsense", ["22 parsecs", "__import__('os')", "µF 22", "9 V 4", "22 µF + 1"])
def test_nonsense_is_answered_in_words_and_not_accepted(empty: SheetPage, nonsense: str) -> None:
    empty.line((4, 3), (4, 9))
    empty.field.fill(nonsense)
    empty.field.press("Enter")
    expect(empty.means).to_have_class(re.compile("wrong"))
    expect(empty.means).to_have_text(re.compile(r"\w+ .*\w"))
    expect(empty.field).to_be_focused()
    assert empty.parts() == []


def test_escape_drops_the_line_and_gives_the_keys_back_to_the_sheet(empty: SheetPage) -> None:
    empty.line((4, 3), (4, 9))
    empty.field.press_sequentially("9 V")
    empty.field.press("Escape")
    expect(empty.field).to_have_count(0)
    expect(empty.sheet).to_be_focused()
    expect(empty.page.get_by_text("Nothing is on the sheet yet.")).to_be_visible()
    expect(empty.page.get_by_role("button", name="Undo")).to_be_disabled()


def test_pressing_elsewhere_takes_what_is_typed(empty: SheetPage) -> None:
    empty.line((4, 3), (4, 9))
    empty.field.fill("9 V")
    empty.click((18, 14))
    expect(empty.cell("E1", "Emf")).to_have_text("9 V")


def test_pressing_elsewhere_with_nonsense_keeps_the_field_and_says_why(empty: SheetPage) -> None:
    empty.line((4, 3), (4, 9))
    empty.field.fill("nine volts or so")
    empty.click((18, 14))
    expect(empty.means).to_have_class(re.compile("wrong"))
    expect(empty.field).to_be_focused()
    expect(empty.field).to_have_value("nine volts or so")


def test_chips_put_a_unit_behind_the_number(empty: SheetPage) -> None:
    empty.line((4, 3), (4, 9))
    empty.field.press_sequentially("22")
    empty.page.get_by_role("button", name="nF", exact=True).click()
    expect(empty.field).to_have_value("22 nF")
    empty.page.get_by_role("button", name="µF", exact=True).click()
    expect(empty.field).to_have_value("22 µF")
    expect(empty.means).to_contain_text("capacitor")
    empty.page.get_by_role("button", name="Enter", exact=True).click()
    expect(empty.cell("C1", "Capacitance")).to_have_text("22 µF")


@pytest.mark.parametrize(("chip", "parts"), [("switch", ["S1"]), ("wire", [])])
def test_a_chip_that_names_a_kind_makes_it_at_once(empty: SheetPage, chip: str, parts: list[str]) -> None:
    empty.draw((4, 3), (4, 9), "9 V")
    empty.line((4, 3), (12, 3))
    empty.page.get_by_role("button", name=chip, exact=True).click()
    expect(empty.field).to_have_count(0)
    empty.settled()
    assert empty.parts() == ["E1", *parts]


def test_an_end_dropped_on_a_wire_makes_a_t_joint(empty: SheetPage) -> None:
    empty.draw((4, 3), (4, 11), "9 V")
    empty.draw((4, 3), (16, 3))
    empty.draw((4, 11), (16, 11))
    empty.draw((10, 3), (10, 11), "10 uF")
    expect(empty.cell("C1", "Voltage")).to_have_text("9.00 V")


def test_an_end_dropped_on_the_lead_of_a_part_joins_it_there(empty: SheetPage) -> None:
    empty.draw((4, 3), (4, 15), "9 V")
    empty.draw((4, 5), (10, 5))
    empty.draw((4, 13), (10, 13))
    empty.draw((10, 5), (10, 13), "10 uF")
    expect(empty.cell("C1", "Voltage")).to_have_text("9.00 V")


def test_a_line_may_begin_on_a_wire(empty: SheetPage) -> None:
    empty.draw((4, 3), (4, 11), "9 V")
    empty.draw((4, 3), (16, 3))
    empty.draw((4, 11), (16, 11))
    empty.draw((12, 11), (12, 3), "10 uF")
    expect(empty.cell("C1", "Voltage")).to_have_text("9.00 V")


def test_lines_that_cross_do_not_join(empty: SheetPage) -> None:
    empty.draw((4, 7), (16, 7))
    empty.draw((10, 3), (10, 11))
    assert len(empty.flags()) == 2


def test_a_wire_drawn_over_a_joint_ends_there(empty: SheetPage) -> None:
    empty.draw((10, 3), (10, 7), "10 uF")
    empty.draw((4, 7), (16, 7))
    assert len(empty.flags()) == 2


def test_ends_meet_at_joints(empty: SheetPage) -> None:
    empty.draw((4, 3), (4, 9), "9 V")
    empty.draw((4, 3), (12, 3), "30 uF")
    empty.draw((12, 3), (4, 9), "60 uF")
    # 9 V over 30 µF and 60 µF in series: the smaller takes twice the voltage of the larger.
    expect(empty.cell("C1", "Voltage")).to_have_text("6.00 V")
    expect(empty.cell("C2", "Voltage")).to_have_text("3.00 V")


def test_an_end_let_go_near_a_joint_meets_it(empty: SheetPage) -> None:
    empty.draw((4, 3), (4, 9), "9 V")
    empty.draw((4.3, 3.2), (12, 3), "30 uF")
    empty.draw((12.3, 2.8), (4.2, 9.3), "60 uF")
    expect(empty.cell("C1", "Voltage")).to_have_text("6.00 V")


@pytest.mark.parametrize("by", [((12, 3),), ((4, 9),)], ids=["across first", "down first"])
def test_a_wire_between_dots_that_share_no_row_or_column_bends_once_the_way_it_set_out(
    empty: SheetPage, by: tuple[tuple[int, int], ...]
) -> None:
    empty.draw((4, 3), (12, 9), by=by)
    # Whatever ends on the corner is joined to the wire: the corner is where the line went.
    empty.draw(by[0], (16, 15), "10 uF")
    assert len(empty.flags()) == 2


def test_a_second_part_between_the_same_joints_is_drawn_beside_the_first(empty: SheetPage, page: Page) -> None:
    empty.draw((6, 3), (6, 11), "10 uF")
    empty.draw((6, 3), (6, 11), "5 uF")
    first, second = (empty.label(part).bounding_box() for part in ("C1", "C2"))
    assert first
    assert second
    assert second["x"] >= first["x"] + first["width"] or second["x"] + second["width"] <= first["x"]
    empty.draw((2, 3), (2, 11), "9 V")
    empty.draw((2, 3), (6, 3))
    empty.draw((2, 11), (6, 11))
    expect(empty.total("Across E1", "Capacitance")).to_have_text("15.0 µF")


def test_a_line_let_go_where_it_began_is_no_line(empty: SheetPage) -> None:
    empty.drag((4, 3), (4, 3), by=((8, 3),))
    expect(empty.field).to_have_count(0)
    expect(empty.page.get_by_text("Nothing is on the sheet yet.")).to_be_visible()


def test_several_separate_networks_share_one_sheet(empty: SheetPage) -> None:
    for x, battery in ((4, "9 V"), (16, "12 V")):
        empty.draw((x, 3), (x, 11), battery)
        empty.draw((x, 3), (x + 6, 3))
        empty.draw((x, 11), (x + 6, 11))
        empty.draw((x + 6, 3), (x + 6, 11), "10 uF")
    expect(empty.cell("C1", "Voltage")).to_have_text("9.00 V")
    expect(empty.cell("C2", "Voltage")).to_have_text("12.0 V")
    expect(empty.panel.get_by_role("region", name="Notes")).to_contain_text("tied to nothing else")
