"""Everything can be done by keyboard alone, from a cursor dot, and is said to a screen reader."""

from __future__ import annotations

import re

import pytest
from playwright.sync_api import expect

from tests.browser.ready import ready
from tests.browser.sheet_page import SheetPage, assert_mixed

MIXED = ready("Three, mixed")
Dot = tuple[int, int]


class Keyboard:
    """Draws with keys: what it knows of the cursor is what is said."""

    def __init__(self, sheet: SheetPage) -> None:
        self.sheet = sheet
        sheet.sheet.focus()
        sheet.page.keyboard.press("ArrowRight")
        expect(sheet.spoken).to_have_text(re.compile(r"^Dot \d+, \d+$"))
        x, y = re.findall(r"\d+", sheet.spoken.inner_text())
        self.at: Dot = (int(x), int(y))

    def press(self, *keys: str) -> None:
        for key in keys:
            self.sheet.page.keyboard.press(key)

    def go(self, dot: Dot) -> None:
        """Move the cursor there: five steps at once, then one by one."""
        for axis, (less, more) in enumerate((("ArrowLeft", "ArrowRight"), ("ArrowUp", "ArrowDown"))):
            way = dot[axis] - self.at[axis]
            key = more if way > 0 else less
            fives, ones = divmod(abs(way), 5)
            self.press(*[f"Shift+{key}"] * fives, *[key] * ones)
        self.at = dot

    def draw(self, start: Dot, end: Dot, what: str = "") -> None:
        self.press("Escape")
        self.go(start)
        self.press("Enter")
        self.go(end)
        self.press("Enter")
        expect(self.sheet.field).to_be_focused()
        self.sheet.page.keyboard.type(what)
        self.press("Enter")
        expect(self.sheet.field).to_have_count(0)
        expect(self.sheet.sheet).to_be_focused()
        self.sheet.settled()


def test_the_mixed_network_is_drawn_with_keys_alone(empty: SheetPage) -> None:
    keys = Keyboard(empty)
    keys.draw((4, 3), (4, 14), "9 V")
    keys.draw((4, 3), (12, 3))
    keys.draw((12, 3), (12, 8), "30 uF")
    keys.draw((12, 8), (12, 14), "10 uF")
    keys.draw((12, 8), (20, 8))
    keys.draw((20, 8), (20, 14), "5 uF")
    keys.draw((4, 14), (12, 14))
    keys.draw((12, 14), (20, 14))
    assert_mixed(empty)


def test_the_sheet_is_reached_by_tab_and_shows_its_cursor(sheet: SheetPage) -> None:
    sheet.page.get_by_role("button", name="Share link").focus()
    sheet.page.keyboard.press("Tab")
    expect(sheet.sheet).to_be_focused()
    expect(sheet.sheet.locator(".marks circle")).not_to_have_count(0)


def test_the_cursor_says_where_it_is_and_what_is_there(sheet: SheetPage) -> None:
    keys = Keyboard(sheet)
    keys.go((4, 2))
    expect(sheet.spoken).to_have_text(re.compile("^Joint a"))
    keys.go((15, 5))
    expect(sheet.spoken).to_have_text(
        re.compile(r"C1, 30 microfarads, 3\.00 volts, 90\.0 microcoulombs, 135 microjoules")
    )
    keys.go((18, 5))
    expect(sheet.spoken).to_have_text("Dot 18, 5")


def test_a_part_is_selected_at_the_cursor_by_space(sheet: SheetPage) -> None:
    keys = Keyboard(sheet)
    keys.go((15, 5))
    keys.press("Space")
    expect(sheet.spoken).to_have_text(re.compile(r"^C1, 30 microfarads, 3\.00 volts, 90\.0 microcoulombs"))
    expect(sheet.actions.get_by_role("button", name="Value of C1")).to_be_visible()


def test_n_and_shift_n_walk_through_the_parts_in_both_directions(sheet: SheetPage) -> None:
    for part in ("E1", "C1", "C2", "C3", "E1"):
        sheet.press("n")
        expect(sheet.spoken).to_have_text(re.compile(f"^{part},"))
    for part in ("C3", "C2"):
        sheet.press("Shift+N")
        expect(sheet.spoken).to_have_text(re.compile(f"^{part},"))


@pytest.mark.parametrize(
    ("key", "value"),
    [
        ("ArrowUp", "33 µF"),
        ("ArrowRight", "33 µF"),
        ("ArrowDown", "27 µF"),
        ("ArrowLeft", "27 µF"),
        ("Shift+ArrowUp", "47 µF"),
    ],
)
def test_arrows_step_the_value_of_the_selected_part_through_preferred_numbers(
    sheet: SheetPage, key: str, value: str
) -> None:
    sheet.press("n", "n", key)
    expect(sheet.cell("C1", "Capacitance")).to_have_text(value)
    expect(sheet.spoken).to_contain_text(f"C1, {value.split()[0]} microfarads")
    sheet.undo()
    expect(sheet.cell("C1", "Capacitance")).to_have_text("30 µF")


def test_arrows_pressed_quickly_step_once_each(sheet: SheetPage) -> None:
    sheet.press("n", "n", *["ArrowUp"] * 12)
    # Twelve preferred numbers up from 30 µF: 33 39 47 56 68 82 100 120 150 180 220 270.
    expect(sheet.cell("C1", "Capacitance")).to_have_text("270 µF")


def test_enter_opens_the_value_of_the_selected_part(sheet: SheetPage) -> None:
    sheet.press("n", "n", "Enter")
    expect(sheet.field).to_be_focused()
    expect(sheet.field).to_have_value("30 µF")
    sheet.answer("15 uF")
    expect(sheet.cell("C1", "Voltage")).to_have_text("4.50 V")
    expect(sheet.sheet).to_be_focused()


def test_m_picks_up_arrows_carry_and_enter_puts_down(sheet: SheetPage) -> None:
    before = sheet.label("C1").bounding_box()
    sheet.press("n", "n", "m", "ArrowRight", "ArrowRight")
    expect(sheet.spoken).to_contain_text("Moved 2, 0")
    sheet.press("Enter")
    sheet.settled()
    after = sheet.label("C1").bounding_box()
    assert before
    assert after
    assert after["x"] > before["x"] + 24
    expect(sheet.cell("C1", "Voltage")).to_have_text("3.00 V")
    sheet.undo()
    expect(sheet.page.get_by_role("button", name="Undo")).to_be_disabled()


def test_escape_puts_back_what_was_picked_up(sheet: SheetPage) -> None:
    before = sheet.label("C1").bounding_box()
    sheet.press("n", "n", "m", "ArrowRight", "ArrowRight", "Escape")
    assert sheet.label("C1").bounding_box() == before
    expect(sheet.page.get_by_role("button", name="Undo")).to_be_disabled()


def test_undo_drops_what_was_picked_up(sheet: SheetPage) -> None:
    sheet.press("n", "n", "f")
    expect(sheet.cell("C1", "Voltage")).to_have_text("−3.00 V")
    sheet.press("m", "ArrowRight", "Control+z")
    expect(sheet.cell("C1", "Voltage")).to_have_text("3.00 V")
    sheet.press("ArrowRight", "Enter")
    sheet.settled()
    expect(sheet.cell("C1", "Voltage")).not_to_have_text(re.compile("−"))


def test_two_joints_are_picked_with_keys_and_read_between(sheet: SheetPage) -> None:
    keys = Keyboard(sheet)
    keys.go((15, 8))
    keys.press("Space")
    keys.go((4, 16))
    keys.press("Shift+Space")
    expect(sheet.panel.get_by_role("region", name="Between two joints")).to_contain_text("45.0 µF")


def test_series_and_parallel_are_keys_and_the_new_part_is_spoken(sheet: SheetPage) -> None:
    sheet.press("n", "n", "+")
    expect(sheet.spoken).to_have_text(re.compile(r"^C4, 30 microfarads, [\d.]+ volts"))
    sheet.press("/")
    expect(sheet.spoken).to_have_text(re.compile(r"^C5, 30 microfarads, [\d.]+ volts"))


def test_turning_round_is_spoken(sheet: SheetPage) -> None:
    sheet.press("n", "n", "f")
    expect(sheet.spoken).to_contain_text("minus 3.00 volts")


def test_letters_typed_into_a_field_do_nothing_to_the_sheet(sheet: SheetPage) -> None:
    typed = "vqu fmn.0/+?"
    title = sheet.page.get_by_role("textbox", name="Title of the sheet")
    sheet.click_value("C1")
    for field in (sheet.field, title):
        field.fill("")
        field.press_sequentially(typed)
        expect(field).to_have_value(typed)
        for overlay in ("Potential", "Charge", "Energy"):
            button = sheet.page.get_by_role("button", name=re.compile(f"^{overlay}"))
            expect(button).to_have_attribute("aria-pressed", "true")
        expect(sheet.page.get_by_role("dialog")).to_have_count(0)
        field.press("Escape")
    expect(sheet.cell("C1", "Voltage")).to_have_text("3.00 V")
    assert sheet.parts() == ["C1", "C2", "C3", "E1"]


def test_letters_with_the_focus_on_a_button_do_nothing_to_the_sheet(sheet: SheetPage) -> None:
    sheet.press("n", "n")
    sheet.page.get_by_role("button", name="Look").focus()
    for key in ("f", "Delete", "v"):
        sheet.page.keyboard.press(key)
    expect(sheet.cell("C1", "Voltage")).to_have_text("3.00 V")
    expect(sheet.page.get_by_role("button", name=re.compile("^Potential"))).to_have_attribute("aria-pressed", "true")


def test_the_list_of_keys_opens_and_closes_and_gives_the_focus_back(sheet: SheetPage) -> None:
    dialog = sheet.page.get_by_role("dialog", name="Keys and gestures")
    sheet.press("?")
    expect(dialog).to_contain_text("preferred numbers")
    sheet.page.keyboard.press("Escape")
    expect(dialog).to_have_count(0)
    expect(sheet.sheet).to_be_focused()
    sheet.page.get_by_role("button", name="Keys").click()
    dialog.get_by_role("button", name="Close").click()
    expect(dialog).to_have_count(0)


@pytest.mark.parametrize(
    "key", ["V", "Q", "U", "N", "M", "F", "+", "/", ".", "0", "Enter", "Space", "Delete", "Escape", "Arrows"]
)
def test_the_list_of_keys_names_every_key(sheet: SheetPage, key: str) -> None:
    sheet.press("?")
    expect(sheet.page.get_by_role("dialog")).to_be_visible()
    keys = [
        text
        for each in sheet.page.get_by_role("dialog").locator("dt").all_inner_texts()
        for text in re.split(r"[\s,]+", each)
    ]
    assert key in keys


def test_the_view_is_fitted_by_key(sheet: SheetPage) -> None:
    view = sheet.view()
    sheet.page.mouse.move(*sheet.pixels((8, 8)))
    sheet.page.mouse.wheel(0, -400)
    assert sheet.view().scale > view.scale
    sheet.press("0")
    assert sheet.view() == view
