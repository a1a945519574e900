"""Tolerances on the sheet: typed with the value, kept while the value changes, taken off again."""

from __future__ import annotations

from playwright.sync_api import expect

from tests.browser.sheet_page import SheetPage


def lantern(sheet: SheetPage) -> None:
    sheet.draw((4, 3), (4, 9), "9 V")
    sheet.draw((4, 3), (10, 3))
    sheet.draw((10, 3), (10, 6), "30 uF 10%")
    sheet.draw((10, 6), (10, 9), "15 uF")
    sheet.draw((4, 9), (10, 9))


def test_a_tolerance_is_typed_with_the_value_and_stands_beside_it(empty: SheetPage) -> None:
    lantern(empty)
    assert empty.written("C1")[:3] == ["C1", "30 µF ±10 %", "3.00 V"]
    expect(empty.cell("C1", "Capacitance")).to_have_text("30 µF ±10 %")
    expect(empty.cell("C2", "Capacitance")).to_have_text("15 µF")


def test_the_field_says_what_a_letter_means_while_one_types(empty: SheetPage) -> None:
    empty.line((4, 3), (4, 9))
    empty.field.press_sequentially("4u7K")
    expect(empty.means).to_have_text("read as 4.7 µF: a capacitor, ±10 %")
    empty.field.fill("104")
    expect(empty.means).to_have_text("104 what? µF, V, Ω…; for a capacitor of 100 nF type “marked 104”")
    empty.answer("marked 104K")
    assert empty.written("C1")[:2] == ["C1", "100 nF ±10 %"]


def test_a_tolerance_stays_while_the_value_is_stepped_dragged_or_typed_as_a_number(empty: SheetPage) -> None:
    lantern(empty)
    empty.click((10, 4.5))
    empty.press("ArrowUp")
    empty.settled()
    expect(empty.cell("C1", "Capacitance")).to_have_text("33 µF ±10 %")
    empty.edit_cell(empty.cell("C1", "Capacitance"), "22")
    expect(empty.cell("C1", "Capacitance")).to_have_text("22 µF ±10 %")
    empty.drag_value("C1", 16)
    expect(empty.cell("C1", "Capacitance")).to_have_text("27 µF ±10 %")


def test_a_tolerance_alone_keeps_the_value_and_a_whole_value_drops_it(empty: SheetPage) -> None:
    lantern(empty)
    empty.edit_cell(empty.cell("C2", "Capacitance"), "±5 %")
    expect(empty.cell("C2", "Capacitance")).to_have_text("15 µF ±5 %")
    empty.edit_cell(empty.cell("C1", "Capacitance"), "20 uF")
    expect(empty.cell("C1", "Capacitance")).to_have_text("20 µF")
    empty.undo()
    expect(empty.cell("C1", "Capacitance")).to_have_text("30 µF ±10 %")


def test_a_tolerance_of_everything_is_refused_in_the_field(empty: SheetPage) -> None:
    empty.line((4, 3), (4, 9))
    empty.field.fill("10 uF 100%")
    empty.field.press("Enter")
    expect(empty.means).to_have_text("a tolerance has to be below 100 %, or nothing would be left of the value")
    expect(empty.field).to_be_focused()


def test_the_line_tells_of_tolerances_and_takes_them(empty: SheetPage) -> None:
    lantern(empty)
    line = empty.page.get_by_role("textbox", name="Say it")
    expect(line).to_have_value("9 V : 30 µF (±10 %) + 15 µF")
    line.fill("9 V : 30 µF (±10 %) + 15 µF (5 %)")
    line.press("Enter")
    expect(empty.cell("C2", "Capacitance")).to_have_text("15 µF ±5 %")


def test_a_link_carries_tolerances(empty: SheetPage) -> None:
    lantern(empty)
    empty.page.reload()
    empty.settled()
    expect(empty.cell("C1", "Capacitance")).to_have_text("30 µF ±10 %")
