"""What is on the sheet can be changed on the sheet and in the ledger, and every change is one step back."""

from __future__ import annotations

import re

import pytest
from playwright.sync_api import Route, expect

from tests.browser.ready import middle, ready
from tests.browser.sheet_page import SheetPage, at_rest

MIXED = ready("Three, mixed")
PREFERRED_PER_DECADE = 12  # IEC 60063, series E12: 10, 12, 15, 18, 22, 27, 33, 39, 47, 56, 68, 82


def undo_is_disabled(sheet: SheetPage) -> None:
    expect(sheet.page.get_by_role("button", name="Undo")).to_be_disabled()


def test_a_selected_joint_is_dragged_and_its_parts_stretch(empty: SheetPage) -> None:
    empty.draw((4, 3), (4, 9), "9 V")
    empty.draw((4, 3), (10, 3), "10 uF")
    empty.click((10, 3))
    empty.drag((10, 3), (12, 7))
    empty.page.keyboard.press("Escape")
    empty.draw((12, 7), (4, 9), "10 uF")
    expect(empty.cell("C1", "Voltage")).to_have_text("4.50 V")


def test_a_part_dragged_by_its_symbol_moves_whole_and_wires_follow(sheet: SheetPage) -> None:
    x, y = middle(MIXED, "C1")
    before = sheet.label("C1").bounding_box()
    sheet.drag((x, y), (x + 2, y))
    sheet.settled()
    after = sheet.label("C1").bounding_box()
    assert before
    assert after
    assert after["x"] - before["x"] == pytest.approx(2 * 24 * sheet.view().scale, abs=2)
    expect(sheet.cell("C1", "Voltage")).to_have_text("3.00 V")
    sheet.undo()
    undo_is_disabled(sheet)


def test_a_part_dropped_on_joints_joins_them(empty: SheetPage) -> None:
    empty.draw((4, 3), (4, 9), "9 V")
    empty.draw((14, 3), (14, 9), "10 uF")
    empty.draw((4, 3), (10, 3))
    empty.draw((4, 9), (10, 9))
    empty.drag((14, 6), (10, 6))
    expect(empty.cell("C1", "Voltage")).to_have_text("9.00 V")


def test_a_joint_dropped_on_the_other_end_of_its_part_stays_and_that_is_said(empty: SheetPage) -> None:
    empty.draw((4, 3), (10, 3), "10 uF")
    empty.click((4, 3))
    empty.drag((4, 3), (10, 3))
    expect(empty.notice).to_contain_text("C1")
    expect(empty.notice).to_be_visible()
    assert empty.written("C1")[:2] == ["C1", "10 µF"]


def test_a_value_dragged_sideways_steps_through_preferred_numbers_and_is_one_step_back(sheet: SheetPage) -> None:
    sheet.drag_value("C1", 14 * PREFERRED_PER_DECADE)
    # 30 µF is no preferred number: the first step leads to 33 µF, and twelve steps up from there to 270 µF.
    expect(sheet.cell("C1", "Capacitance")).to_have_text("270 µF")
    expect(sheet.cell("C1", "Voltage")).not_to_have_text("3.00 V")
    sheet.undo()
    expect(sheet.cell("C1", "Capacitance")).to_have_text("30 µF")
    expect(sheet.cell("C1", "Voltage")).to_have_text("3.00 V")
    undo_is_disabled(sheet)


def test_the_readings_follow_while_a_value_is_being_dragged(sheet: SheetPage) -> None:
    x, y = sheet.middle_of(sheet.value_on_sheet("C1"))
    sheet.page.mouse.move(x, y)
    sheet.page.mouse.down()
    seen = []
    for pixels in (15, 30, 45):
        sheet.page.mouse.move(x + pixels, y, steps=4)
        before = seen[-1] if seen else "3.00 V"
        expect(sheet.cell("C1", "Voltage")).not_to_have_text(before)
        seen.append(sheet.cell("C1", "Voltage").inner_text())
    sheet.page.mouse.up()
    # A larger capacitor in series takes a smaller share: 33, 39, 47 µF beside 15 µF at 9 V.
    assert seen == ["2.81 V", "2.50 V", "2.18 V"]


def test_readings_ease_to_a_new_value_and_jump_where_values_follow_one_another(sheet: SheetPage) -> None:
    sheet.page.evaluate(
        "() => [performance.now = () => window.clock, addEventListener('transitionrun', () => (window.eased = true))]"
    )

    def eases_at(milliseconds: int, value: str) -> bool:
        sheet.page.evaluate("(time) => [window.clock, window.eased] = [time, false]", milliseconds)
        sheet.press("ArrowUp")
        expect(sheet.cell("C1", "Capacitance")).to_have_text(value)
        sheet.settled()
        sheet.page.evaluate("() => new Promise((done) => requestAnimationFrame(() => requestAnimationFrame(done)))")
        at_rest(sheet.page)
        return bool(sheet.page.evaluate("() => window.eased"))

    sheet.press("n", "n")
    expect(sheet.actions.get_by_role("button", name="Value of C1")).to_be_visible()
    assert eases_at(1_000_000, "33 µF")
    assert not eases_at(1_000_100, "39 µF")
    assert eases_at(1_001_000, "47 µF")


def test_a_value_let_go_before_the_server_has_answered_is_stepped_all_the_same(sheet: SheetPage) -> None:
    held: list[Route] = []
    sheet.page.route("**/api/values", lambda route: held.append(route))
    x, y = sheet.middle_of(sheet.value_on_sheet("C1"))
    sheet.page.mouse.move(x, y)
    with sheet.page.expect_request("**/api/values"):
        sheet.page.mouse.down()
        sheet.page.mouse.move(x + 14 * PREFERRED_PER_DECADE, y, steps=4)
    sheet.page.mouse.up()
    held[0].continue_()
    sheet.page.unroute("**/api/values")
    expect(sheet.cell("C1", "Capacitance")).to_have_text("270 µF")
    sheet.undo()
    expect(sheet.cell("C1", "Capacitance")).to_have_text("30 µF")


def test_escape_while_a_value_is_dragged_puts_it_back(sheet: SheetPage) -> None:
    x, y = sheet.middle_of(sheet.value_on_sheet("C1"))
    sheet.page.mouse.move(x, y)
    sheet.page.mouse.down()
    sheet.page.mouse.move(x + 60, y, steps=6)
    expect(sheet.value_on_sheet("C1")).not_to_have_text("30 µF")
    sheet.page.keyboard.press("Escape")
    sheet.page.mouse.up()
    expect(sheet.value_on_sheet("C1")).to_have_text("30 µF")
    undo_is_disabled(sheet)


def test_a_value_clicked_is_typed_anew(sheet: SheetPage) -> None:
    sheet.click_value("C1")
    expect(sheet.field).to_have_value("30 µF")
    sheet.answer("15 uF")
    expect(sheet.cell("C1", "Capacitance")).to_have_text("15 µF")
    expect(sheet.cell("C1", "Voltage")).to_have_text("4.50 V")


def test_a_value_of_another_quantity_is_refused_in_words(sheet: SheetPage) -> None:
    sheet.click_value("C1")
    sheet.field.fill("12 V")
    sheet.field.press("Enter")
    expect(sheet.means).to_have_class(re.compile("wrong"))
    expect(sheet.means).to_contain_text("capacit")
    sheet.field.press("Escape")
    expect(sheet.cell("C1", "Capacitance")).to_have_text("30 µF")
    undo_is_disabled(sheet)


def test_turning_a_part_round_changes_signs_and_nothing_else(sheet: SheetPage) -> None:
    sheet.click(middle(MIXED, "C1"))
    sheet.act(re.compile("Turn round"))
    expect(sheet.cell("C1", "Voltage")).to_have_text("−3.00 V")
    expect(sheet.cell("C1", "Charge")).to_have_text("−90.0 µC")
    expect(sheet.cell("C1", "Energy")).to_have_text("135 µJ")
    expect(sheet.cell("C2", "Voltage")).to_have_text("6.00 V")
    sheet.press("f")
    expect(sheet.cell("C1", "Voltage")).to_have_text("3.00 V")


def test_a_battery_turned_round_turns_every_sign(sheet: SheetPage) -> None:
    sheet.click(middle(MIXED, "E1"))
    sheet.press("f")
    for part, voltage in {"C1": "−3.00 V", "C2": "−6.00 V", "C3": "−6.00 V"}.items():
        expect(sheet.cell(part, "Voltage")).to_have_text(voltage)


def test_a_part_is_renamed_in_the_ledger(sheet: SheetPage) -> None:
    sheet.rename("C1", "C_flash")
    expect(sheet.row("C_flash")).to_be_visible()
    assert sheet.written("Cflash")[:2] == ["Cflash", "30 µF"]  # the letters after "_" stand as a subscript
    expect(sheet.cell("C_flash", "Voltage")).to_have_text("3.00 V")
    sheet.undo()
    expect(sheet.row("C1")).to_be_visible()


@pytest.mark.parametrize(
    ("name", "said"), [("C2", "C2"), ("", "letter"), ("1C", "letter"), ("C 1", "letter"), ("<b>", "letter")]
)
def test_a_name_that_cannot_be_is_refused_in_words_where_it_was_typed(sheet: SheetPage, name: str, said: str) -> None:
    sheet.rename("C1", name)
    expect(sheet.panel.get_by_role("alert")).to_contain_text(said)
    sheet.panel.get_by_role("textbox").press("Escape")
    expect(sheet.row("C1")).to_be_visible()
    undo_is_disabled(sheet)


def test_a_value_is_edited_in_the_ledger(sheet: SheetPage) -> None:
    sheet.edit_cell(sheet.cell("C1", "Capacitance"), "15uF")
    expect(sheet.cell("C1", "Capacitance")).to_have_text("15 µF")
    expect(sheet.cell("C1", "Voltage")).to_have_text("4.50 V")
    assert sheet.written("C1")[1] == "15 µF"


def test_a_plain_number_in_the_ledger_keeps_the_unit_of_the_value_before(sheet: SheetPage) -> None:
    sheet.edit_cell(sheet.cell("C1", "Capacitance"), "15")
    expect(sheet.cell("C1", "Capacitance")).to_have_text("15 µF")


@pytest.mark.parametrize("entry", ["nine", "9 V", "10 µF + 5 µF"])
def test_an_entry_of_the_ledger_that_is_no_value_is_refused_in_words_and_the_sheet_stays(
    sheet: SheetPage, entry: str
) -> None:
    sheet.edit_cell(sheet.cell("C1", "Capacitance"), entry)
    expect(sheet.panel.get_by_role("alert")).to_contain_text(re.compile(r"\w{3,} \w"))
    expect(sheet.panel.get_by_role("textbox")).to_have_value(entry)
    sheet.panel.get_by_role("textbox").press("Escape")
    expect(sheet.cell("C1", "Capacitance")).to_have_text("30 µF")
    expect(sheet.cell("C1", "Voltage")).to_have_text("3.00 V")
    undo_is_disabled(sheet)


def test_a_battery_has_its_emf_edited_in_the_ledger(sheet: SheetPage) -> None:
    sheet.edit_cell(sheet.cell("E1", "Emf"), "18 V")
    expect(sheet.cell("C1", "Voltage")).to_have_text("6.00 V")


def test_a_capacitor_may_start_at_a_voltage(empty: SheetPage) -> None:
    # Two equal capacitors joined, one of them at 10 V before: they end at half of it.
    empty.draw((6, 3), (6, 9), "10 uF")
    empty.act(re.compile("Starts at"))
    empty.answer("10 V")
    empty.draw((12, 3), (12, 9), "10 uF")
    empty.draw((6, 3), (12, 3))
    empty.draw((6, 9), (12, 9))
    expect(empty.cell("C1", "Starts at")).to_have_text("10 V")
    for part in ("C1", "C2"):
        expect(empty.cell(part, "Voltage")).to_have_text("5.00 V")
    empty.edit_cell(empty.cell("C1", "Starts at"), "")
    expect(empty.panel.get_by_role("columnheader", name="Starts at")).to_have_count(0)
    expect(empty.cell("C1", "Voltage")).to_have_text("0 V")


def test_a_battery_may_have_a_resistance_inside(empty: SheetPage) -> None:
    # 9 V, 1 Ω inside and 2 Ω outside: 3 A, so 6 V are left at the terminals.
    empty.draw((4, 3), (4, 9), "9 V")
    empty.act("Internal resistance")
    empty.answer("1 ohm")
    empty.draw((4, 3), (12, 3))
    empty.draw((12, 3), (12, 9), "2 ohm")
    empty.draw((4, 9), (12, 9))
    expect(empty.cell("E1", "Inside")).to_have_text("1 Ω")
    expect(empty.cell("E1", "Voltage")).to_have_text("6.00 V")
    expect(empty.cell("R1", "Current")).to_have_text("3.00 A")


def draw_with_switch(empty: SheetPage, switch: str) -> None:
    """9 V, the switch and 10 µF in one round."""
    empty.draw((4, 3), (4, 9), "9 V")
    empty.draw((4, 3), (12, 3), switch)
    empty.draw((12, 3), (12, 9), "10 uF")
    empty.draw((4, 9), (12, 9))


def test_a_switch_is_closed_and_opened_on_the_sheet_in_the_ledger_and_by_enter(empty: SheetPage) -> None:
    draw_with_switch(empty, "switch")
    expect(empty.cell("C1", "Voltage")).to_have_text("0 V")
    empty.click((8, 3))
    empty.act(re.compile("Close it"))
    expect(empty.cell("C1", "Voltage")).to_have_text("9.00 V")
    empty.cell("S1", "State").get_by_role("button").click()
    expect(empty.cell("C1", "Voltage")).to_have_text("0 V")
    expect(empty.cell("S1", "State")).to_have_text("open")
    empty.press("Enter")
    expect(empty.cell("S1", "State")).to_have_text("closed")
    expect(empty.cell("C1", "Voltage")).to_have_text("9.00 V")


def test_a_switch_thrown_while_there_is_charge_offers_to_keep_it(empty: SheetPage) -> None:
    draw_with_switch(empty, "closed switch")
    expect(empty.cell("C1", "Voltage")).to_have_text("9.00 V")
    empty.click((8, 3))
    empty.act(re.compile("Open it"))
    expect(empty.cell("C1", "Voltage")).to_have_text("0 V")
    expect(empty.notice).to_contain_text("Readings are counted from the start again.")
    empty.notice.get_by_role("button", name="Keep the charge instead").click()
    expect(empty.cell("C1", "Voltage")).to_have_text("9.00 V")
    stages = empty.page.get_by_role("list", name="Stages").get_by_role("listitem")
    expect(stages).to_have_count(2)
    expect(stages.last).to_contain_text("S1 opened")
    # Thrown back, it is the next stage, and there is nothing to offer.
    empty.act(re.compile("Close it"))
    expect(empty.notice).to_be_hidden()
    empty.undo()
    empty.undo()
    expect(empty.cell("C1", "Voltage")).to_have_text("0 V")


def test_significant_figures_are_the_sheet_s_own_and_undone_with_it(sheet: SheetPage) -> None:
    figures = sheet.panel.get_by_role("combobox", name="Significant figures")
    figures.select_option("5 significant figures")
    expect(sheet.cell("C1", "Charge")).to_have_text("90.000 µC")
    assert sheet.written("C1")[2] == "3.0000 V"
    figures.select_option("1 significant figure")
    expect(sheet.cell("C1", "Charge")).to_have_text("90 µC")
    sheet.undo()
    sheet.undo()
    expect(sheet.cell("C1", "Charge")).to_have_text("90.0 µC")


def test_any_joint_can_be_the_one_at_zero(sheet: SheetPage) -> None:
    sheet.click(tuple(MIXED["joints"]["a"]))
    sheet.act(re.compile("0 V"))
    sheet.settled()
    assert sorted(sheet.flags()) == ["0 V", "−3.00 V", "−9.00 V"]


def test_the_title_is_part_of_the_sheet(sheet: SheetPage) -> None:
    title = sheet.page.get_by_role("textbox", name="Title of the sheet")
    title.fill("Lamp of the second group")
    title.press("Enter")
    expect(sheet.page).to_have_title(re.compile("Lamp of the second group"))
    sheet.undo()
    expect(title).to_have_value(MIXED["title"])
    undo_is_disabled(sheet)
