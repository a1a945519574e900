"""Parts are selected one by one, several together or in a box; what is selected is taken away, copied and pasted."""

from __future__ import annotations

import re

import pytest
from playwright.sync_api import BrowserContext, expect

from tests.browser.ready import middle, ready
from tests.browser.sheet_page import SheetPage

MIXED = ready("Three, mixed")


@pytest.fixture(autouse=True)
def clipboard(context: BrowserContext) -> None:
    context.grant_permissions(["clipboard-read", "clipboard-write"])


def chosen(sheet: SheetPage) -> list[str]:
    """The parts that the bar names as selected."""
    return re.split(r",\s*", sheet.actions.locator("b").inner_text().replace("\n", ""))


def test_a_part_clicked_is_selected_and_a_click_beside_lets_go(sheet: SheetPage) -> None:
    sheet.click(middle(MIXED, "C1"))
    assert chosen(sheet) == ["C1"]
    sheet.click((8, 12))
    expect(sheet.actions.get_by_role("button")).to_have_count(0)


def test_escape_lets_go_of_what_is_selected(sheet: SheetPage) -> None:
    sheet.click(middle(MIXED, "C1"))
    sheet.page.keyboard.press("Escape")
    expect(sheet.actions.get_by_role("button")).to_have_count(0)


def test_a_row_of_the_ledger_clicked_selects_its_part(sheet: SheetPage) -> None:
    sheet.row("C2").get_by_role("cell").first.click(position={"x": 3, "y": 3})
    assert chosen(sheet) == ["C2"]


def test_shift_and_click_select_several_and_take_one_out_again(sheet: SheetPage) -> None:
    sheet.click(middle(MIXED, "C1"))
    sheet.click(middle(MIXED, "C2"), shift=True)
    sheet.click(middle(MIXED, "C3"), shift=True)
    expect(sheet.actions).to_contain_text("3 parts")
    sheet.click(middle(MIXED, "C2"), shift=True)
    expect(sheet.actions).to_contain_text("2 parts")
    sheet.press("Delete")
    expect(sheet.row("C1")).to_have_count(0)
    expect(sheet.row("C3")).to_have_count(0)
    expect(sheet.row("C2")).to_be_visible()


def test_a_box_spanned_with_shift_selects_what_lies_in_it_whole(sheet: SheetPage) -> None:
    sheet.drag((9, 7), (22, 17), shift=True)
    sheet.press("Delete")
    sheet.settled()
    assert sheet.parts() == ["C1", "E1"]


def test_what_is_selected_turns_round_together(sheet: SheetPage) -> None:
    sheet.click(middle(MIXED, "C2"))
    sheet.click(middle(MIXED, "C3"), shift=True)
    sheet.press("f")
    expect(sheet.cell("C2", "Voltage")).to_have_text("−6.00 V")
    expect(sheet.cell("C3", "Voltage")).to_have_text("−6.00 V")
    expect(sheet.cell("C1", "Voltage")).to_have_text("3.00 V")


def test_what_is_selected_moves_together(sheet: SheetPage) -> None:
    sheet.press("Control+a")
    before = sheet.label("C3").bounding_box()
    x, y = middle(MIXED, "C2")
    sheet.drag((x, y), (x + 1, y + 1))
    after = sheet.label("C3").bounding_box()
    assert before
    assert after
    assert (after["x"] > before["x"], after["y"] > before["y"]) == (True, True)
    expect(sheet.cell("C1", "Voltage")).to_have_text("3.00 V")


@pytest.mark.parametrize("key", ["Delete", "Backspace"])
def test_a_part_is_taken_away_by_key(sheet: SheetPage, key: str) -> None:
    sheet.click(middle(MIXED, "C3"))
    sheet.press(key)
    expect(sheet.row("C3")).to_have_count(0)
    # 30 µF and 10 µF in series at 9 V.
    expect(sheet.cell("C1", "Voltage")).to_have_text("2.25 V")
    expect(sheet.spoken).to_contain_text("C3")


def test_a_joint_taken_away_takes_its_parts_along(sheet: SheetPage) -> None:
    sheet.click(tuple(MIXED["joints"]["c"]))
    sheet.press("Delete")
    sheet.settled()
    assert sheet.parts() == ["C2", "C3", "E1"]


def test_copied_parts_are_pasted_beside_under_fresh_names(sheet: SheetPage) -> None:
    sheet.click(middle(MIXED, "C2"))
    sheet.click(middle(MIXED, "C3"), shift=True)
    sheet.press("Control+c", "Control+v")
    sheet.settled()
    assert sheet.parts() == ["C1", "C2", "C3", "C4", "C5", "E1"]
    expect(sheet.cell("C4", "Capacitance")).to_have_text("10 µF")
    expect(sheet.cell("C5", "Capacitance")).to_have_text("5 µF")
    expect(sheet.cell("C2", "Voltage")).to_have_text("6.00 V")
    sheet.undo()
    assert sheet.parts() == ["C1", "C2", "C3", "E1"]


def test_pasting_twice_does_not_put_one_copy_on_the_other(sheet: SheetPage) -> None:
    sheet.click(middle(MIXED, "C3"))
    sheet.press("Control+c", "Control+v", "Control+v")
    sheet.settled()
    first, second = (sheet.value_on_sheet(part).bounding_box() for part in ("C4", "C5"))
    assert first != second


def test_cut_parts_are_gone_and_can_be_pasted(sheet: SheetPage) -> None:
    sheet.click(middle(MIXED, "C3"))
    sheet.press("Control+x")
    expect(sheet.row("C3")).to_have_count(0)
    sheet.press("Control+v")
    expect(sheet.cell("C3", "Capacitance")).to_have_text("5 µF")


def test_a_network_is_copied_into_another_tab(sheet: SheetPage, context: BrowserContext) -> None:
    sheet.press("Control+a", "Control+c")
    other = SheetPage(context.new_page()).open().open_empty()
    other.press("Control+v")
    other.settled()
    assert other.parts() == ["C1", "C2", "C3", "E1"]
    for part, voltage in {"C1": "3.00 V", "C2": "6.00 V", "C3": "6.00 V"}.items():
        expect(other.cell(part, "Voltage")).to_have_text(voltage)


def test_other_text_on_the_clipboard_is_left_alone(sheet: SheetPage) -> None:
    sheet.page.evaluate("() => navigator.clipboard.writeText('{\"joints\": 3} <img src=x>')")
    sheet.press("Control+v")
    sheet.settled()
    assert sheet.parts() == ["C1", "C2", "C3", "E1"]
    expect(sheet.page.get_by_role("button", name="Undo")).to_be_disabled()


def test_copying_the_text_of_a_field_copies_that_and_no_part(sheet: SheetPage) -> None:
    sheet.click_value("C1")
    sheet.page.keyboard.press("Control+a")
    sheet.page.keyboard.press("Control+c")
    assert sheet.page.evaluate("() => navigator.clipboard.readText()") == "30 µF"
