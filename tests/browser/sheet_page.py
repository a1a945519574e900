"""The page as a person uses it: verbs with mouse and keys, and what can be read on it afterwards.

Places on the sheet are grid dots (across, down). Assertions are for the tests; here is only what it takes to get there.
"""

from __future__ import annotations

import re
from dataclasses import dataclass

from playwright.sync_api import Locator, Page, expect

STEP = 24  # sheet units in one grid step
FRAMES = 4  # places a dragged pointer passes on its way

Spot = tuple[float, float]


@dataclass(frozen=True)
class View:
    """Where grid dots lie on the page, in CSS pixels."""

    left: float
    top: float
    scale: float

    def pixels(self, spot: Spot) -> tuple[float, float]:
        return self.left + spot[0] * STEP * self.scale, self.top + spot[1] * STEP * self.scale


def at_rest(page: Page) -> None:
    """Wait until nothing is on its way from one place or colour to another."""
    page.wait_for_function("() => document.getAnimations().every((each) => each.playState === 'finished')")


class SheetPage:
    """One tab with the page in it."""

    def __init__(self, page: Page) -> None:
        self.page = page
        self.sheet = page.get_by_role("application")
        self.panel = page.locator("#panel")
        self.field = page.locator("#typed")
        self.means = page.locator("#typed-means")
        self.spoken = page.locator("#spoken")
        self.notice = page.locator("#notice")
        self.kept = page.locator("#kept")
        self.actions = page.get_by_role("toolbar", name="What is selected")

    # Opening

    def open(self, address: str = "/") -> SheetPage:
        self.page.goto(address)
        return self.settled()

    def open_ready(self, title: str) -> SheetPage:
        """Choose a ready sketch, or "Empty sheet", in the dialog that opens another."""
        self.page.get_by_role("button", name="Open", exact=True).click()
        choice = (
            self.page.get_by_role("dialog").get_by_role("button").filter(has=self.page.get_by_text(title, exact=True))
        )
        choice.first.click()
        expect(self.page.get_by_role("dialog")).to_have_count(0)
        return self.settled()

    def open_empty(self) -> SheetPage:
        self.open_ready("Empty sheet")
        expect(self.page.get_by_text("Nothing is on the sheet yet.")).to_be_visible()
        return self

    def settled(self) -> SheetPage:
        """Wait until no value is on its way to another and the readings belong to the sheet as it is now."""
        expect(self.page.locator("#sheet[aria-busy]")).to_have_count(0)
        expect(self.panel).to_have_attribute("aria-busy", "false")
        expect(self.page.locator("#stages[aria-busy]")).to_have_count(0)
        return self

    # Where things are

    def view(self) -> View:
        """How the sheet is looked at: where a person sees the dots."""
        box = self.sheet.bounding_box()
        assert box
        transform = self.sheet.locator("svg > g").first.get_attribute("transform") or ""
        x, y, scale = (
            (float(number) for number in re.findall(r"-?[\d.]+(?:e-?\d+)?", transform)) if transform else (24, 24, 1)
        )
        return View(box["x"] + x, box["y"] + y, scale)

    def pixels(self, spot: Spot) -> tuple[float, float]:
        return self.view().pixels(spot)

    # Mouse

    def drag(
        self, start: Spot, end: Spot, *, shift: bool = False, button: str = "left", by: tuple[Spot, ...] = ()
    ) -> None:
        """Press at one dot, move to another over the dots `by`, let go."""
        view = self.view()
        mouse = self.page.mouse
        if shift:
            self.page.keyboard.down("Shift")
        mouse.move(*view.pixels(start))
        mouse.down(button=button)
        for stop in (*by, end):
            mouse.move(*view.pixels(stop), steps=FRAMES)
        mouse.up(button=button)
        if shift:
            self.page.keyboard.up("Shift")

    def line(self, start: Spot, end: Spot, *, by: tuple[Spot, ...] = ()) -> None:
        """Draw a line and leave the field open that asks what it is."""
        self.drag(start, end, by=by)
        expect(self.field).to_be_focused()

    def draw(self, start: Spot, end: Spot, what: str = "", *, by: tuple[Spot, ...] = ()) -> None:
        """Draw a line, say what it is (nothing: a wire), Enter."""
        self.line(start, end, by=by)
        self.answer(what)

    def answer(self, text: str) -> None:
        """Type into the field that is open, Enter."""
        self.field.fill(text)
        self.field.press("Enter")
        expect(self.field).to_have_count(0)
        self.settled()

    def click(self, spot: Spot, *, shift: bool = False) -> None:
        self.press_at(self.pixels(spot), shift=shift)

    def press_at(self, point: tuple[float, float], *, shift: bool = False) -> None:
        """Click at a point of the page, in pixels."""
        if shift:
            self.page.keyboard.down("Shift")
        self.page.mouse.click(*point)
        if shift:
            self.page.keyboard.up("Shift")

    def point_at(self, spot: Spot) -> None:
        self.page.mouse.move(*self.pixels(spot))

    # What is written on the sheet

    def label(self, part: str) -> Locator:
        """The words beside a part on the sheet: its name, its value, its readings."""
        return self.sheet.locator(".labels > g").filter(has=self.page.locator("text", has_text=re.compile(f"^{part}$")))

    def written(self, part: str) -> list[str]:
        """Name, value and readings beside a part, in that order."""
        return [text.strip() for text in self.label(part).locator("text").all_text_contents()]

    def value_on_sheet(self, part: str) -> Locator:
        return self.label(part).locator("> text").nth(1)

    def middle_of(self, shape: Locator) -> tuple[float, float]:
        box = shape.bounding_box()
        assert box
        return box["x"] + box["width"] / 2, box["y"] + box["height"] / 2

    def flags(self) -> list[str]:
        return self.sheet.locator(".flags > g text").all_text_contents()

    # Value on the sheet

    def click_value(self, part: str) -> None:
        self.press_at(self.middle_of(self.value_on_sheet(part)))
        expect(self.field).to_be_focused()

    def drag_value(self, part: str, pixels: float) -> None:
        """Drag a value's text sideways, until it has changed."""
        text = self.value_on_sheet(part)
        before = text.text_content() or ""
        x, y = self.middle_of(text)
        self.page.mouse.move(x, y)
        self.page.mouse.down()
        self.page.mouse.move(x + pixels, y, steps=8)
        expect(text).not_to_have_text(before)
        self.page.mouse.up()
        self.settled()

    # Ledger

    def row(self, part: str) -> Locator:
        """The row of a part."""
        return self.panel.locator(self._row(part))

    def _row(self, part: str) -> Locator:
        return self.page.get_by_role("row").filter(has=self.page.get_by_role("button", name=f"Name {part}", exact=True))

    def cell(self, part: str, column: str) -> Locator:
        """A cell of the ledger by the name of its part and the head of its column."""
        return self._cell(self._row(part), column)

    def total(self, row: str, column: str) -> Locator:
        """A cell of the last row of a table, such as "Across E1"."""
        return self._cell(self.page.get_by_role("row").filter(has=self.page.get_by_role("rowheader", name=row)), column)

    def _cell(self, row: Locator, column: str) -> Locator:
        table = self.panel.get_by_role("table").filter(has=row)
        expect(table).to_be_visible()
        heads = table.get_by_role("columnheader").all_inner_texts()
        return table.locator(row).get_by_role("cell").nth(heads.index(column) - 1)

    def parts(self) -> list[str]:
        """The parts that the ledger names, in its order."""
        names = self.panel.get_by_role("button", name=re.compile("^Name ")).all()
        return [(button.get_attribute("aria-label") or "").removeprefix("Name ") for button in names]

    def edit_cell(self, cell: Locator, text: str) -> None:
        """Click a cell of the ledger, type, Enter."""
        cell.get_by_role("button").click()
        field = self.panel.get_by_role("textbox")
        field.fill(text)
        field.press("Enter")

    def rename(self, part: str, name: str) -> None:
        self.row(part).get_by_role("button", name=f"Name {part}", exact=True).click()
        field = self.panel.get_by_role("textbox")
        field.fill(name)
        field.press("Enter")

    def check_lines(self) -> list[str]:
        lines = self.panel.get_by_role("region", name="Checks").locator("p").all_inner_texts()
        return [" ".join(line.split()) for line in lines]

    # Keys and buttons

    def press(self, *keys: str) -> None:
        """Press keys with the sheet in focus."""
        self.sheet.focus()
        for key in keys:
            self.page.keyboard.press(key)

    def act(self, name: str | re.Pattern[str]) -> None:
        """Press a button for what is selected."""
        self.actions.get_by_role("button", name=name).click()

    def undo(self) -> None:
        self.page.get_by_role("button", name="Undo").click()
        self.settled()

    def redo(self) -> None:
        self.page.get_by_role("button", name="Redo").click()
        self.settled()


def draw_mixed(
    sheet: SheetPage, across: tuple[int, int, int] = (4, 12, 20), down: tuple[int, int, int] = (3, 8, 14)
) -> None:
    """The network of the first ready sketch, from an empty sheet: one capacitor in series with two in parallel."""
    left, middle, right = across
    top, joint, bottom = down
    sheet.draw((left, top), (left, bottom), "9 V")
    sheet.draw((left, top), (middle, top))
    sheet.draw((middle, top), (middle, joint), "30 uF")
    sheet.draw((middle, joint), (middle, bottom), "10 uF")
    sheet.draw((middle, joint), (right, joint))
    sheet.draw((right, joint), (right, bottom), "5 uF")
    sheet.draw((left, bottom), (middle, bottom))
    sheet.draw((middle, bottom), (right, bottom))


def assert_mixed(sheet: SheetPage) -> None:
    """30 µF in series with 10 + 5 = 15 µF: 30·15/45 = 10 µF; 9 V · 10 µF = 90 µC; 90 µC / 30 µF = 3 V, the rest 6 V."""
    expected = {
        "C1": ("30 µF", "3.00 V", "90.0 µC", "135 µJ"),
        "C2": ("10 µF", "6.00 V", "60.0 µC", "180 µJ"),
        "C3": ("5 µF", "6.00 V", "30.0 µC", "90.0 µJ"),
    }
    for part, texts in expected.items():
        for column, text in zip(("Capacitance", "Voltage", "Charge", "Energy"), texts, strict=True):
            expect(sheet.cell(part, column)).to_have_text(text)
    whole = {"Capacitance": "10.0 µF", "Voltage": "9.00 V", "Charge": "90.0 µC", "Energy": "405 µJ"}
    for column, text in whole.items():
        expect(sheet.total("Across E1", column)).to_have_text(text)
