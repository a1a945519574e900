"""Every change is one step, without end in either direction: all undone is the first sheet, all redone the last."""

from __future__ import annotations

import random
from collections.abc import Callable

import pytest
from playwright.sync_api import expect

from tests.browser.sheet_page import SheetPage

STEPS = 24
VALUES = ["", "", "10 uF", "4.7 nF", "9 V", "12 V", "1.5 kohm", "switch"]


def looks(sheet: SheetPage) -> str:
    """All that can be seen of the sheet and read beside it, selection aside."""
    sheet.press("Escape")
    sheet.settled()
    # Strokes are thicker on a sheet that is shown small: what is drawn where counts, not how thick.
    drawing = sheet.sheet.locator(".ink *, .joints *").evaluate_all(
        "all => all.map(each => ['d', 'transform', 'cx', 'cy'].map(name => each.getAttribute(name)).join()).join(';')"
    )
    # Labels stay where they stood as long as that is free, so their names and values count here and not their places,
    # nor which readings find room: on a sheet that is shown small less does. All readings stand in the panel.
    words = sheet.sheet.locator(".labels > g").evaluate_all(
        "all => all.map(each => [...each.querySelectorAll('text')].slice(0, 2).map(text => text.textContent).join(' '))"
    )
    words += sheet.sheet.locator(".flags > g").all_text_contents()
    return drawing + "; ".join(sorted(words)) + sheet.panel.inner_text()


class Tinkerer:
    """Someone who tries this and that, the same things for the same seed."""

    def __init__(self, sheet: SheetPage, seed: int) -> None:
        self.sheet = sheet
        self.random = random.Random(seed)
        self.doings: list[Callable[[], None]] = [
            self.draw,
            self.draw,
            self.turn,
            self.double,
            self.step,
            self.move,
            self.delete,
            self.cover,
        ]

    def spot(self) -> tuple[int, int]:
        return self.random.randrange(2, 26, 2), self.random.randrange(2, 20, 2)

    def select(self) -> bool:
        """Select a part from the keyboard, if there is one."""
        for _ in range(self.random.randint(1, 5)):
            self.sheet.press("n")
        return bool(self.sheet.parts())

    def draw(self) -> None:
        start, end = self.spot(), self.spot()
        self.sheet.press("Escape")
        self.sheet.drag(start, end)
        if self.sheet.field.count():
            self.sheet.answer(self.random.choice(VALUES))

    def turn(self) -> None:
        if self.select():
            self.sheet.press("f")

    def double(self) -> None:
        if self.select():
            self.sheet.press(self.random.choice("+/"))

    def step(self) -> None:
        if self.select():
            self.sheet.press(self.random.choice(["ArrowUp", "ArrowDown"]))

    def move(self) -> None:
        if self.select():
            self.sheet.press("m", *self.random.choices(["ArrowLeft", "ArrowDown", "ArrowRight"], k=3), "Enter")

    def delete(self) -> None:
        if self.random.random() < 0.5 and self.select():
            self.sheet.press("Delete")

    def cover(self) -> None:
        self.sheet.press(".")

    def go(self) -> None:
        self.random.choice(self.doings)()


@pytest.mark.parametrize("seed", [1, 2])
def test_a_long_run_of_edits_is_undone_step_by_step_to_the_first_sheet_and_redone_to_the_last(
    sheet: SheetPage, seed: int
) -> None:
    tinkerer = Tinkerer(sheet, seed)
    past = [looks(sheet)]
    for _ in range(STEPS):
        tinkerer.go()
        now = looks(sheet)
        if now != past[-1]:
            past.append(now)
    assert len(past) > STEPS / 2
    undo, redo = (sheet.page.get_by_role("button", name=name) for name in ("Undo", "Redo"))
    for before in reversed(past[:-1]):
        sheet.undo()
        assert looks(sheet) == before
    expect(undo).to_be_disabled()
    for after in past[1:]:
        sheet.redo()
        assert looks(sheet) == after
    expect(redo).to_be_disabled()


def test_keys_undo_and_redo_wherever_the_focus_is_but_in_a_field(sheet: SheetPage) -> None:
    sheet.press("n", "f")
    expect(sheet.cell("E1", "Emf")).to_be_visible()
    expect(sheet.cell("C1", "Voltage")).to_have_text("−3.00 V")
    sheet.page.get_by_role("button", name="Look").focus()
    sheet.page.keyboard.press("Control+z")
    expect(sheet.cell("C1", "Voltage")).to_have_text("3.00 V")
    sheet.page.keyboard.press("Control+Shift+z")
    expect(sheet.cell("C1", "Voltage")).to_have_text("−3.00 V")


def test_undo_in_a_field_undoes_typing_and_not_the_sheet(sheet: SheetPage) -> None:
    sheet.press("n", "f")
    expect(sheet.cell("C1", "Voltage")).to_have_text("−3.00 V")
    sheet.click_value("C1")
    sheet.field.press_sequentially("4")
    sheet.field.press("Control+z")
    expect(sheet.field).to_have_value("30 µF")
    sheet.field.press("Escape")
    expect(sheet.cell("C1", "Voltage")).to_have_text("−3.00 V")


def test_a_new_change_after_undo_ends_what_could_be_redone(sheet: SheetPage) -> None:
    sheet.press("n", "f")
    sheet.undo()
    sheet.press("n", "f")
    expect(sheet.page.get_by_role("button", name="Redo")).to_be_disabled()
