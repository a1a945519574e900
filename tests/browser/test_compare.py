"""Networks side by side: what is selected opens in columns, one dragged value changes all, and cells stay covered."""

from __future__ import annotations

import re
from itertools import pairwise
from typing import Any

import pytest
from playwright.sync_api import Locator, Page, expect

from tests.browser.ready import link_to, middle, ready
from tests.browser.sheet_page import SheetPage
from tests.browser.test_access import SIZES, violations

MIXED = ready("Three, mixed")
THREE: dict[str, Any] = {
    "title": "Storm lantern, three alike",
    "joints": {"a": [4, 2], "0": [4, 8]},
    "parts": [
        {"name": "E1", "kind": "battery", "value": "9 V", "from": "a", "to": "0"},
        *({"name": f"C{n}", "kind": "capacitor", "value": "30 µF", "from": "a", "to": "0"} for n in (1, 2, 3)),
    ],
}


class ComparePage:
    """One tab with a comparison in it."""

    def __init__(self, page: Page) -> None:
        self.page = page
        self.values = page.locator("#values")
        self.columns = page.locator("article")

    def open(self, sketch: dict[str, Any], **compare: Any) -> ComparePage:
        whole = {**sketch, "compare": compare} if compare else sketch
        self.page.goto(link_to(whole).replace("/p#", "/compare#"))
        return self.settled()

    def settled(self) -> ComparePage:
        expect(self.page.locator("#columns")).to_have_attribute("aria-busy", "false")
        expect(self.columns.first).to_be_visible()
        return self

    def value(self, name: str) -> Locator:
        return self.values.get_by_role("button", name=re.compile(f"^(value|emf) of {name}:"))

    def titles(self) -> list[str]:
        return self.page.locator("thead th").all_inner_texts()[:-2]

    def row(self, word: str, part: str | None = None) -> Locator:
        """A row of the table: of the whole, or of a part."""
        group = self.page.locator("tbody").filter(
            has=self.page.get_by_role("rowheader", name=re.compile(f"^{part} " if part else "^The whole$"))
        )
        return group.get_by_role("row").filter(has=self.page.get_by_role("rowheader", name=word, exact=True))

    def cells(self, word: str, part: str | None = None) -> list[str]:
        return self.row(word, part).get_by_role("cell").all_inner_texts()

    def choose(self, place: int, title: str) -> None:
        self.page.get_by_role("combobox", name=f"Column {place} shows").select_option(label=title)
        self.settled()

    def tile_widths(self, place: int) -> list[float]:
        """Of the rectangles in a column, in pixels."""
        tiles = self.columns.nth(place).locator(".tiles-column g[data-part] > rect")
        boxes = [tile.bounding_box() for tile in tiles.all()]
        return [box["width"] for box in boxes if box]


@pytest.fixture
def comparison(page: Page, complaints: list[str]) -> ComparePage:
    """A tab for a comparison; errors of its scripts fail the test."""
    return ComparePage(page)


def test_the_selected_parts_open_in_series_and_in_parallel(sheet: SheetPage) -> None:
    sheet.click(middle(MIXED, "C1"))
    sheet.click(middle(MIXED, "C2"), shift=True)
    sheet.page.get_by_role("button", name="Compare", exact=True).click()
    compare = ComparePage(sheet.page).settled()
    assert compare.titles() == ["In series", "In parallel"]
    # 30 µF and 10 µF: 7.5 µF and 40 µF, 16 : 3.
    expect(compare.row("Equivalent capacitance")).to_contain_text("7.50 µF")
    assert compare.cells("Equivalent capacitance")[:3] == ["7.50 µF", "40.0 µF", "3 : 16"]
    assert compare.cells("Voltage", "C1")[:3] == ["2.25 V", "9.00 V", "1 : 4"]
    expect(compare.page.get_by_role("checkbox", name="compare C3")).not_to_be_checked()
    sheet.page.go_back()
    sheet.settled()
    expect(sheet.cell("C3", "Charge")).to_have_text("30.0 µC")


@pytest.mark.parametrize("chosen", [(), ("C1",)])
def test_with_fewer_than_two_selected_all_capacitors_are_compared(sheet: SheetPage, chosen: tuple[str, ...]) -> None:
    for name in chosen:
        sheet.click(middle(MIXED, name))
    sheet.page.get_by_role("button", name="Compare", exact=True).click()
    compare = ComparePage(sheet.page).settled()
    assert compare.cells("Equivalent capacitance")[:2] == ["3.00 µF", "45.0 µF"]


def test_an_empty_sheet_says_that_there_is_nothing_to_compare(empty: SheetPage) -> None:
    empty.page.get_by_role("button", name="Compare", exact=True).click()
    expect(empty.notice).to_contain_text("nothing to compare yet")


def test_dragging_a_value_changes_all_columns_at_once_and_is_one_step(comparison: ComparePage) -> None:
    comparison.open(THREE, columns=["series", "parallel", "other-series"])
    assert comparison.cells("Energy stored")[:4] == ["405 µJ", "3.65 mJ", "–", "1 : 9 : –"]
    box = comparison.value("C1").bounding_box()
    assert box
    mouse = comparison.page.mouse
    mouse.move(box["x"] + 10, box["y"] + 10)
    mouse.down()
    mouse.move(box["x"] + 10 + 3 * 14, box["y"] + 10, steps=6)
    # E12 above 30: 33, 39, 47. In series 1/(1/47 + 2/30), in parallel 107 µF, as resistors 107 Ω.
    expect(comparison.row("Equivalent capacitance")).to_contain_text("107 µF")
    mouse.up()
    assert comparison.cells("Equivalent capacitance")[:2] == ["11.4 µF", "107 µF"]
    assert comparison.cells("Equivalent resistance")[2] == "107 Ω"
    for place, name in enumerate(("C 1 47 µF", "C 1 47 µF", "R 1 47 Ω")):
        drawing = comparison.columns.nth(place).get_by_role("img")
        expect(drawing).to_have_attribute("aria-label", re.compile(name.replace(" 1", "1")))
    comparison.page.get_by_role("button", name="Undo").click()
    expect(comparison.row("Equivalent capacitance")).to_contain_text("90.0 µF")
    expect(comparison.page.get_by_role("button", name="Undo")).to_be_disabled()


def test_a_value_is_stepped_with_the_arrow_keys_and_typed(comparison: ComparePage) -> None:
    comparison.open(THREE)
    comparison.value("C2").focus()
    comparison.page.keyboard.press("ArrowUp")
    comparison.page.keyboard.press("ArrowRight")
    expect(comparison.value("C2")).to_have_text("39 µF")
    comparison.page.keyboard.press("ArrowDown")
    comparison.page.keyboard.press("ArrowLeft")
    expect(comparison.value("C2")).to_have_text("30 µF")
    expect(comparison.page.locator("#spoken")).to_have_text("value of C2: 30 µF")
    comparison.value("E1").click()
    field = comparison.values.get_by_role("textbox")
    field.fill("nine")
    field.press("Enter")
    expect(comparison.values.get_by_role("alert").first).not_to_be_empty()
    field.fill("18")
    field.press("Enter")
    expect(comparison.value("E1")).to_have_text("18 V")
    expect(comparison.value("E1")).to_be_focused()
    expect(comparison.row("Voltage", "C1")).to_contain_text("6.00 V")


def test_tiles_of_all_columns_have_one_scale(comparison: ComparePage) -> None:
    comparison.open(THREE)
    expect(comparison.columns.first.locator(".tiles-column g[data-part]")).to_have_count(3)
    series, parallel = comparison.tile_widths(0), comparison.tile_widths(1)
    # 90 µC for each of three in series, 270 µC for each in parallel; between neighbours is a gap of 2 px.
    assert len(series) == len(parallel) == 3
    assert all(width + 2 == pytest.approx(3 * (series[0] + 2), rel=0.01) for width in parallel)
    heights = [comparison.columns.nth(place).locator(".tiles-column svg").bounding_box() for place in (0, 1)]
    assert heights[0]
    assert heights[1]
    assert heights[0]["height"] == heights[1]["height"]


def test_slivers_are_drawn_again_so_many_times_as_wide(comparison: ComparePage) -> None:
    parts = [{**part, "value": "100 µF"} if part["name"] == "C3" else part for part in THREE["parts"]]
    comparison.open({**THREE, "parts": [*parts, *({**parts[3], "name": f"C{n}"} for n in (4, 5, 6))]})
    series, parallel = comparison.columns.nth(0).locator("svg"), comparison.columns.nth(1).locator("svg")
    expect(series.last).to_contain_text(re.compile(r"the same,\d+ timesas wide"))
    times = int(re.findall(r"(\d+) times", series.last.text_content() or "")[0])
    expect(parallel.last).not_to_contain_text("as wide")
    # Six tiles at the common scale, then the same six.
    widths = comparison.tile_widths(0)
    own, wider = widths[: len(widths) // 2], widths[len(widths) // 2 :]
    assert len(own) == len(wider) == 6
    assert all(
        wide + 2 == pytest.approx(times * (narrow + 2), rel=0.12) for narrow, wide in zip(own, wider, strict=True)
    )
    assert all(width >= 90 for width in wider)


def test_every_row_has_its_conclusion_and_ratings_are_warned_of(comparison: ComparePage) -> None:
    rated = {**THREE, "parts": [*THREE["parts"][:3], {**THREE["parts"][3], "rated": "6 V"}]}
    comparison.open(rated)
    assert comparison.cells("Energy", "C2")[2:] == [
        "1 : 9",
        "In parallel each stores nine times the energy it stores in series: three times the voltage, squared.",
    ]
    assert comparison.cells("Voltage", "C3")[3] == (
        "C3 would be 3.00 V past its rating in parallel. "
        "In series each gets a third of the voltage, in parallel all of it."
    )
    expect(comparison.page.get_by_role("region", name="Notes")).to_contain_text("rules of your school")


def test_a_covered_reading_covers_what_would_tell_it(comparison: ComparePage) -> None:
    comparison.open(THREE)
    row = comparison.row("Voltage", "C1")
    row.get_by_role("button", name=re.compile("^9.00 V Voltage of C1, In parallel: cover it")).click()
    expect(row.get_by_role("button", name="Uncover: Voltage of C1, In parallel")).to_be_focused()
    assert comparison.cells("Voltage", "C1") == ["3.00 V", "?", "?", "?"]
    parallel = comparison.columns.nth(1)
    expect(parallel.locator(".tiles-covered")).to_be_visible()
    # Its voltage beside C1, and the potentials that would tell it.
    expect(parallel.get_by_role("img")).to_have_text(
        re.compile(r"^E19 VC130 µF\?270 µCC230 µF9.00 V270 µCC330 µF9.00 V270 µC\?\?\s*$")
    )
    expect(comparison.columns.nth(0).locator(".tiles-covered")).to_be_hidden()
    comparison.page.reload()
    comparison.settled()
    assert comparison.cells("Voltage", "C1") == ["3.00 V", "?", "?", "?"]
    for name in ("Voltage of C1, In parallel", "ratio, Voltage of C1", "conclusion, Voltage of C1"):
        comparison.page.get_by_role("button", name=f"Uncover: {name}").click()
    assert comparison.cells("Voltage", "C1")[:3] == ["3.00 V", "9.00 V", "1 : 3"]
    expect(parallel.locator(".tiles-covered")).to_be_hidden()


def test_all_is_covered_and_uncovered_again(comparison: ComparePage) -> None:
    comparison.open(THREE)
    comparison.page.keyboard.press(".")
    buttons = comparison.page.locator("tbody button")
    assert set(buttons.all_inner_texts()) == {"?"}
    for place in (0, 1):
        expect(comparison.columns.nth(place).locator(".tiles-covered")).to_be_visible()
        expect(comparison.columns.nth(place).get_by_role("img")).not_to_contain_text("9.00 V")
    comparison.page.get_by_role("button", name="Uncover: Energy stored, In series").click()
    expect(comparison.row("Energy stored")).to_contain_text("405 µJ")
    comparison.page.get_by_role("button", name="Uncover all").click()
    expect(buttons.filter(has_text=re.compile(r"^\?$"))).to_have_count(0)


def test_columns_are_chosen_added_and_taken_away(comparison: ComparePage) -> None:
    comparison.open(MIXED)
    comparison.page.get_by_role("button", name="A third column").click()
    comparison.settled()
    assert comparison.titles() == ["In series", "In parallel", "As resistors, in series"]
    expect(comparison.page.get_by_role("button", name="A third column")).to_have_count(0)
    comparison.choose(3, "The network as it is")
    expect(comparison.row("Voltage", "C1")).to_contain_text("3.00 V")
    # 30, 10 and 5 µF in series are 3 µF, which take 27 µC: 0.9 V for C1.
    assert comparison.cells("Voltage", "C1")[:4] == ["900 mV", "9.00 V", "3.00 V", "3 : 30 : 10"]
    comparison.choose(1, "In parallel")
    assert comparison.titles() == ["In parallel", "In series", "The network"]
    comparison.page.get_by_role("button", name="Take column 1 away").click()
    comparison.settled()
    assert comparison.titles() == ["In series", "The network"]
    expect(comparison.page.get_by_role("button", name=re.compile("^Take column"))).to_have_count(0)


def test_a_network_stands_beside_a_changed_copy(comparison: ComparePage) -> None:
    comparison.open(MIXED, columns=["network", "copy"])
    own = comparison.page.get_by_role("list", name="Values of the changed copy")
    own.get_by_role("button", name=re.compile("^value of C1 in the copy")).click()
    field = own.get_by_role("textbox")
    field.fill("15 µF")
    field.press("Enter")
    # 15 µF in series with 10 + 5 = 15 µF halves the voltage.
    expect(comparison.row("Voltage", "C1")).to_contain_text("4.50 V")
    assert comparison.cells("Voltage", "C1")[:3] == ["3.00 V", "4.50 V", "2 : 3"]
    expect(own).to_contain_text("was 30 µF")
    # The others still follow the shared values.
    comparison.value("E1").focus()
    comparison.page.keyboard.press("ArrowUp")
    expect(
        own.get_by_role("button", name=re.compile("^value of E1 in the copy: 9.1 V|^value of E1 in the copy: 10 V"))
    ).to_be_visible()
    own.get_by_role("button", name="Take back the change of C1").click()
    expect(comparison.row("Voltage", "C1")).to_contain_text("1 : 1")


def test_the_link_hands_the_whole_comparison_on(comparison: ComparePage) -> None:
    comparison.open(MIXED, columns=["network", "copy", "series"], changed={"C2": {"value": "20 µF"}})
    comparison.value("C3").focus()
    comparison.page.keyboard.press("ArrowUp")
    expect(comparison.value("C3")).to_have_text("5.6 µF")
    comparison.settled()
    comparison.page.get_by_role("button", name="Share link").click()
    link = comparison.page.get_by_role("dialog").get_by_role("textbox", name="Link").input_value()
    before = comparison.page.locator("#table").inner_text()
    other = ComparePage(comparison.page.context.new_page())
    other.page.goto(link)
    other.settled()
    expect(other.page.locator("#table")).to_have_text(re.compile("Changed copy"))
    assert other.page.locator("#table").inner_text() == before
    expect(other.value("C3")).to_have_text("5.6 µF")


def test_a_column_opens_in_the_sheet_and_the_sketch_goes_back_to_it(comparison: ComparePage) -> None:
    comparison.open(MIXED)
    with comparison.page.context.expect_page() as opened:
        comparison.columns.nth(0).get_by_role("link", name="Open in the sheet").click()
    sheet = SheetPage(opened.value).settled()
    expect(sheet.total("Across E1", "Capacitance")).to_have_text("3.00 µF")
    comparison.page.get_by_role("link", name="Back to the sheet").click()
    sheet = SheetPage(comparison.page).settled()
    expect(sheet.total("Across E1", "Capacitance")).to_have_text("10.0 µF")


def test_what_is_wrong_is_said_and_the_old_answer_does_not_pass_for_current(comparison: ComparePage) -> None:
    broken = {**THREE, "parts": [*THREE["parts"][:3], {**THREE["parts"][3], "value": "lots"}]}
    comparison.open(broken)
    wrong = comparison.page.get_by_role("region", name="What is wrong")
    expect(wrong).to_contain_text("“lots” is not understood")
    comparison.value("C3").click()
    field = comparison.values.get_by_role("textbox")
    field.fill("30 µF")
    field.press("Enter")
    expect(wrong).to_be_hidden()
    expect(comparison.row("Energy stored")).to_contain_text("1 : 9")


def test_while_the_server_is_away_it_is_said(comparison: ComparePage) -> None:
    comparison.open(THREE)
    comparison.page.route("**/api/compare", lambda route: route.abort())
    comparison.page.get_by_role("combobox", name="Column 2 shows").select_option("other-series")
    expect(comparison.page.get_by_role("region", name="What is wrong")).to_contain_text("The server is away")
    comparison.page.unroute("**/api/compare")
    expect(comparison.page.locator("thead")).to_contain_text("As resistors, in series")
    expect(comparison.page.get_by_role("region", name="What is wrong")).to_be_hidden()


def test_a_damaged_link_is_said_and_an_example_is_there(comparison: ComparePage) -> None:
    comparison.page.goto("/compare#notalink")
    comparison.settled()
    expect(comparison.page.locator("#notice")).to_contain_text("This link is damaged")
    expect(comparison.row("Energy stored")).to_be_visible()


def test_symbols_are_compared(comparison: ComparePage) -> None:
    values = ("V_0", "C", "C", "C")
    parts = [{**part, "value": value} for part, value in zip(THREE["parts"], values, strict=True)]
    comparison.open({**THREE, "parts": parts})
    assert comparison.cells("Voltage", "C1") == [
        "V₀/3",
        "V₀",
        "1 : 3",
        "In series each gets a third of the voltage, V₀/3; in parallel all of it, V₀.",
    ]


def test_on_a_phone_the_columns_stack_and_nothing_runs_out_of_the_page(comparison: ComparePage) -> None:
    comparison.page.set_viewport_size({"width": 390, "height": 844})
    comparison.open(MIXED, columns=["network", "copy", "other-parallel"])
    boxes = [column.bounding_box() for column in comparison.columns.all()]
    tops = [box["y"] + box["height"] <= after["y"] for box, after in pairwise(boxes) if box and after]
    assert tops == [True, True]
    assert comparison.page.evaluate("() => document.documentElement.scrollWidth <= window.innerWidth")
    says = comparison.row("Energy stored").get_by_role("cell").last.bounding_box()
    assert says
    assert says["width"] > 300


STATES: dict[str, dict[str, Any]] = {
    "two": {"columns": ["series", "parallel"]},
    "three": {"columns": ["network", "copy", "other-series"], "changed": {"C1": {"value": "15 µF"}}},
    "covered": {"columns": ["series", "parallel"], "covered": ["*"]},
}


@pytest.mark.parametrize("size", SIZES)
@pytest.mark.parametrize("state", [*STATES, "wrong", "typing"])
def test_axe_finds_nothing_amiss(comparison: ComparePage, state: str, size: str) -> None:
    width, height = SIZES[size]
    comparison.page.set_viewport_size({"width": width, "height": height})
    sketch = (
        MIXED
        if state != "wrong"
        else {**MIXED, "parts": [{**part, "value": "x"} for part in MIXED["parts"] if part["kind"] != "wire"]}
    )
    comparison.open(sketch, **STATES.get(state, {}))
    if state == "typing":
        comparison.value("C1").click()
        comparison.values.get_by_role("textbox").fill("nine")
        comparison.values.get_by_role("textbox").press("Enter")
        expect(comparison.values.get_by_role("alert").filter(has_text=re.compile("."))).to_be_visible()
    assert violations(comparison.page) == []


def test_everything_can_be_reached_and_done_with_the_keyboard(comparison: ComparePage) -> None:
    comparison.open(THREE)
    seen = []
    for _ in range(24):
        comparison.page.keyboard.press("Tab")
        seen.append(
            comparison.page.evaluate(
                "() => document.activeElement.getAttribute('aria-label') ?? document.activeElement.textContent.trim()"
            )
        )
    wanted = [
        "Cover all",
        "Share link",
        "value of E1: 9 V",
        "value of C1: 30 µF",
        "Column 1 shows",
        "Open in the sheet",
        "A third column",
    ]
    places = [seen.index(name) for name in wanted]
    assert places == sorted(places)
    assert any(name.startswith("10.0 µF Equivalent capacitance, In series") for name in seen)
