"""The line under the sheet says what is drawn on it, and draws what is typed into it."""

from __future__ import annotations

import json
import re

import pytest
from playwright.sync_api import Locator, Page, Route, expect

from tests.browser.ready import link_to, middle, ready
from tests.browser.share_dialog import stored_links
from tests.browser.sheet_page import SheetPage, assert_mixed, draw_mixed
from tests.browser.test_access import violations

LINE = "9 V : 30 µF + (10 µF ∥ 5 µF)"
MIXED = ready("Three, mixed")


def line_of(sheet: SheetPage) -> Locator:
    return sheet.page.get_by_role("textbox", name="Say it")


def say(sheet: SheetPage, text: str) -> None:
    """Type a line, Enter, and wait until it is drawn."""
    line = line_of(sheet)
    line.fill(text)
    with sheet.page.expect_response("**/api/line"):
        line.press("Enter")
    expect(sheet.page.locator("#line-words")).to_have_text("")
    sheet.settled()


def mistake(sheet: SheetPage) -> Locator:
    return sheet.page.locator("#say-it").get_by_role("alert")


def underlined(sheet: SheetPage) -> tuple[float, float]:
    """The left and right ends of what is underlined, in pixels from where the text begins."""
    mark = sheet.page.locator("#line-places span").bounding_box()
    begin = line_of(sheet).evaluate(
        """(field) => {
          const { left } = field.getBoundingClientRect();
          return left + field.clientLeft + parseFloat(getComputedStyle(field).paddingLeft);
        }"""
    )
    assert mark
    return mark["x"] - begin, mark["x"] + mark["width"] - begin


def spots(sheet: SheetPage) -> list[tuple[float, float]]:
    """Where the labels of the parts stand on the page."""
    boxes = (sheet.label(part).bounding_box() for part in ("E1", "C1", "C2", "C3"))
    return [(box["x"], box["y"]) for box in boxes if box]


def test_the_line_says_what_is_on_the_sheet_and_follows_it(sheet: SheetPage) -> None:
    expect(line_of(sheet)).to_have_value(LINE)
    sheet.click_value("C2")
    sheet.answer("22 uF")
    expect(line_of(sheet)).to_have_value("9 V : 30 µF + (22 µF ∥ 5 µF)")
    sheet.undo()
    expect(line_of(sheet)).to_have_value(LINE)
    sheet.open_ready("Two in parallel")
    expect(line_of(sheet)).to_have_value("9 V : 30 µF ∥ 60 µF")
    sheet.open_empty()
    expect(line_of(sheet)).to_have_value("")


def test_a_network_drawn_by_hand_has_its_line(empty: SheetPage) -> None:
    draw_mixed(empty)
    expect(line_of(empty)).to_have_value(LINE)


def test_what_series_and_parallel_do_not_describe_is_said_in_quiet_ink(sheet: SheetPage) -> None:
    sheet.open_ready("A bridge")
    line = line_of(sheet)
    expect(line).to_have_value("")
    misfit = "C5 crosses over as a bridge: neither series nor parallel joins it."
    expect(line).to_have_attribute("placeholder", misfit)
    line.focus()
    expect(line).to_have_accessible_description(re.compile(re.escape(misfit)))


def test_on_a_small_screen_the_whole_sentence_is_there_to_read(sheet: SheetPage) -> None:
    sheet.page.set_viewport_size({"width": 390, "height": 844})
    joints = {"a": [4, 2], "b": [12, 2], "c": [20, 2], "0": [12, 10], "1": [20, 10]}
    parts = [
        {"name": "E1", "kind": "battery", "value": "9 V", "from": "a", "to": "0"},
        {"name": "C1", "kind": "capacitor", "value": "1 µF", "from": "a", "to": "b"},
        {"name": "C2", "kind": "capacitor", "value": "1 µF", "from": "b", "to": "0"},
        {"name": "C3", "kind": "capacitor", "value": "1 µF", "from": "b", "to": "c"},
        {"name": "E2", "kind": "battery", "value": "4 V", "from": "c", "to": "1"},
        {"name": "W1", "kind": "wire", "from": "1", "to": "0"},
    ]
    sheet.open(link_to({"title": "Two batteries", "joints": joints, "parts": parts}))
    shown = sheet.page.locator("#line-misfit")
    expect(shown).to_have_text("E1 and E2 do not follow one another: a line begins with its batteries in one chain.")
    words, field = shown.bounding_box(), line_of(sheet).bounding_box()
    assert words
    assert field
    assert field["y"] <= words["y"]
    assert words["y"] + words["height"] <= field["y"] + field["height"]
    assert shown.evaluate("(each) => each.scrollWidth <= each.clientWidth && each.scrollHeight <= each.clientHeight")
    line_of(sheet).fill("9 V : 1 µF")
    expect(shown).to_be_hidden()


def test_a_network_typed_from_nothing_is_drawn_and_fits_the_window(empty: SheetPage) -> None:
    say(empty, "9V: 30uF + (10uF || 5uF)")
    expect(line_of(empty)).to_have_value(LINE)
    assert_mixed(empty)
    sheet = empty.sheet.bounding_box()
    assert sheet
    for x, y in spots(empty):
        assert sheet["x"] <= x <= sheet["x"] + sheet["width"]
        assert sheet["y"] <= y <= sheet["y"] + sheet["height"]
    expect(empty.spoken).to_have_text("Drawn: a battery, 3 capacitors")


def test_a_line_drawn_is_one_step_that_undo_takes_back(sheet: SheetPage) -> None:
    say(sheet, "12 V : 1 kΩ + (4k7 ∥ 1 kΩ)")
    expect(line_of(sheet)).to_have_value("12 V : 1 kΩ + (4.7 kΩ ∥ 1 kΩ)")
    expect(sheet.row("R3")).to_be_visible()
    assert sheet.parts() == ["R1", "R2", "R3", "E1"]
    sheet.undo()
    assert_mixed(sheet)
    expect(line_of(sheet)).to_have_value(LINE)
    expect(sheet.page.get_by_role("button", name="Undo")).to_be_disabled()
    sheet.redo()
    expect(line_of(sheet)).to_have_value("12 V : 1 kΩ + (4.7 kΩ ∥ 1 kΩ)")


def test_ctrl_z_in_the_line_takes_back_what_it_drew(sheet: SheetPage) -> None:
    say(sheet, "9 V : 30 µF + (22 µF ∥ 5 µF)")
    line_of(sheet).press("Control+z")
    expect(line_of(sheet)).to_have_value(LINE)
    line_of(sheet).press("Control+Shift+z")
    expect(line_of(sheet)).to_have_value("9 V : 30 µF + (22 µF ∥ 5 µF)")


def test_a_changed_value_moves_nothing(sheet: SheetPage) -> None:
    before, view = spots(sheet), sheet.view()
    say(sheet, "9 V : 30 µF + (10 µF ∥ C3 = 22 µF)")
    expect(sheet.cell("C3", "Capacitance")).to_have_text("22 µF")
    assert sheet.view() == view
    assert spots(sheet) == before
    expect(line_of(sheet)).to_have_value("9 V : 30 µF + (10 µF ∥ 22 µF)")


def test_a_line_typed_over_another_network_is_drawn_as_if_the_sheet_had_been_empty(sheet: SheetPage) -> None:
    say(sheet, "9 V : 1 kΩ + (2 kΩ ∥ 10 µF) + switch")
    say(sheet, "9 V : 10 µF + 5 µF")
    expect(line_of(sheet)).to_have_value("9 V : 10 µF + 5 µF")
    boxes = [sheet.label(name).bounding_box() for name in ("C1", "C2")]
    (upper, lower) = [box for box in boxes if box]
    assert upper["x"] == pytest.approx(lower["x"], abs=1)
    assert upper["y"] + upper["height"] < lower["y"]


def test_the_name_of_a_part_on_the_sheet_is_that_part(sheet: SheetPage) -> None:
    line_of(sheet).fill("9 V : [C1 ∥ C2]")
    expect(sheet.page.locator("#line-means")).to_have_text("Enter draws a battery, 2 capacitors.")
    say(sheet, "9 V : [C1 ∥ C2]")
    expect(line_of(sheet)).to_have_value("9 V : 30 µF ∥ 10 µF")


def test_the_same_network_in_other_words_is_no_step(sheet: SheetPage) -> None:
    say(sheet, "9V:30uF+(10uF//5uF)")
    expect(line_of(sheet)).to_have_value(LINE)
    expect(sheet.page.get_by_role("button", name="Undo")).to_be_disabled()


def test_a_mistake_is_told_at_its_place_and_the_sheet_stays(sheet: SheetPage) -> None:
    line = line_of(sheet)
    line.fill("9 V : 30 µF + 5 A")
    line.press("Enter")
    expect(mistake(sheet)).to_have_text("5 A is a current; a part takes F, Ω or V.")
    expect(line).to_have_attribute("aria-invalid", "true")
    expect(line).to_have_accessible_description(re.compile("5 A is a current"))
    expect(line).to_have_value("9 V : 30 µF + 5 A")
    start, end = underlined(sheet)
    # Widths of text are the browser's own: of what stands before the mistake, and of all.
    before, whole = line.evaluate(
        """(field) => {
          const pen = document.createElement("canvas").getContext("2d");
          pen.font = `${getComputedStyle(field).fontSize} ${getComputedStyle(field).fontFamily}`;
          return ["9 V : 30 µF + ", field.value].map((text) => pen.measureText(text).width);
        }"""
    )
    assert (start, end) == (pytest.approx(before, abs=2), pytest.approx(whole, abs=2))
    assert_mixed(sheet)
    expect(sheet.page.get_by_role("button", name="Undo")).to_be_disabled()
    line.press_sequentially("!")
    expect(mistake(sheet)).to_be_empty()
    expect(line).to_have_attribute("aria-invalid", "false")


def test_plus_and_parallel_without_brackets_offer_both_readings(sheet: SheetPage) -> None:
    line = line_of(sheet)
    line.fill("9 V : 30 µF + 22 µF ∥ 5 µF")
    line.press("Enter")
    expect(mistake(sheet)).to_contain_text("mixed here without brackets")
    form = sheet.page.locator("#say-it")
    form.get_by_role("button", name="9 V : 30 µF + (22 µF ∥ 5 µF)").click()
    expect(sheet.cell("C2", "Capacitance")).to_have_text("22 µF")
    expect(line).to_be_focused()
    expect(mistake(sheet)).to_be_empty()


@pytest.mark.parametrize("size", [(1366, 768), (390, 844)])
def test_axe_finds_nothing_amiss_in_a_mistake_or_a_misfit(sheet: SheetPage, size: tuple[int, int]) -> None:
    sheet.page.set_viewport_size({"width": size[0], "height": size[1]})
    line = line_of(sheet)
    line.fill("9 V : 30 µF + 22 µF ∥ 5 µF")
    expect(sheet.page.locator("#line-means")).to_contain_text("mixed here")
    assert violations(sheet.page) == []
    line.press("Enter")
    expect(mistake(sheet)).to_contain_text("mixed here")
    assert violations(sheet.page) == []
    sheet.open_ready("A bridge")
    expect(line).to_have_value("")
    assert violations(sheet.page) == []


def test_while_one_types_the_line_tells_quietly_what_it_will_become(sheet: SheetPage) -> None:
    line = line_of(sheet)
    line.fill("9 V : 30 µF + ")
    means = sheet.page.locator("#line-means")
    expect(means).to_have_text("Nothing stands after this +.")
    expect(mistake(sheet)).to_be_empty()
    line.fill("9 V : 30 µF + switch")
    expect(means).to_have_text("Enter draws a battery, a capacitor, a switch.")
    assert_mixed(sheet)


def test_escape_brings_the_line_of_the_sheet_back_and_then_leaves(sheet: SheetPage) -> None:
    line = line_of(sheet)
    line.fill("9 V : ")
    line.press("Escape")
    expect(line).to_have_value(LINE)
    expect(line).to_be_focused()
    line.press("Escape")
    expect(sheet.sheet).to_be_focused()


def test_a_line_left_half_typed_waits_until_the_sheet_changes(sheet: SheetPage) -> None:
    line = line_of(sheet)
    line.fill("9 V : 30 µF + ")
    sheet.click(middle(MIXED, "C1"))
    expect(line).to_have_value("9 V : 30 µF + ")
    sheet.act("Turn round")
    expect(line).to_have_value(LINE)


def test_a_sheet_that_cannot_be_solved_has_its_line_all_the_same(sheet: SheetPage) -> None:
    say(sheet, "9 V : wire")
    expect(sheet.panel.get_by_role("region", name="What is wrong")).to_be_visible()
    expect(line_of(sheet)).to_have_value("9 V : wire")
    sheet.undo()
    expect(line_of(sheet)).to_have_value(LINE)


def test_an_answer_that_comes_late_does_not_draw_what_was_given_up(sheet: SheetPage) -> None:
    held: list[Route] = []
    sheet.page.route("**/api/line", lambda route: held.append(route))
    line = line_of(sheet)
    line.fill("9 V : 1 µF")
    with sheet.page.expect_request("**/api/line"):
        line.press("Enter")
    line.press("Escape")
    answer = {"sketch": {"joints": {}, "parts": []}, "line": {"text": "", "misfit": None}, "makes": ""}
    for route in held:
        route.fulfill(content_type="application/json", body=json.dumps(answer))
    expect(line).to_have_value(LINE)
    assert_mixed(sheet)


def test_while_the_server_is_away_the_line_says_so_and_keeps_the_text(sheet: SheetPage) -> None:
    sheet.page.route("**/api/line", lambda route: route.abort())
    line = line_of(sheet)
    line.fill("9 V : 1 µF")
    line.press("Enter")
    expect(mistake(sheet)).to_contain_text("The server is away")
    expect(line).to_have_value("9 V : 1 µF")


def test_what_can_be_done_with_a_part_stands_beside_the_line(sheet: SheetPage) -> None:
    sheet.click(middle(MIXED, "C1"))
    expect(sheet.actions.get_by_role("button", name="In series")).to_be_visible()
    expect(line_of(sheet)).to_be_visible()


@pytest.mark.parametrize("size", [(1366, 768), (1920, 1080), (390, 844), (320, 568)])
def test_nothing_overlaps_in_the_bars_at_the_foot(sheet: SheetPage, size: tuple[int, int]) -> None:
    page: Page = sheet.page
    page.set_viewport_size({"width": size[0], "height": size[1]})
    sheet.press("n", "n")
    things = [
        sheet.sheet,
        sheet.actions,
        line_of(sheet),
        page.get_by_role("group", name="Overlays on the sheet"),
        page.get_by_role("button", name=re.compile("^Cover readings")),
    ]
    boxes = []
    for thing in things[2:] if size[0] < 760 else things:
        box = thing.bounding_box()
        assert box
        assert box["x"] >= 0
        assert box["x"] + box["width"] <= size[0]
        assert box["y"] + box["height"] <= size[1]
        boxes.append(box)
    for index, one in enumerate(boxes):
        for other in boxes[index + 1 :]:
            beside = one["x"] + one["width"] <= other["x"] + 0.5 or other["x"] + other["width"] <= one["x"] + 0.5
            above = one["y"] + one["height"] <= other["y"] + 0.5 or other["y"] + other["height"] <= one["y"] + 0.5
            assert beside or above


def test_an_embedded_sheet_has_no_line(sheet: SheetPage) -> None:
    view, _ = stored_links(sheet)
    sheet.open(f"{view}/embed")
    expect(line_of(sheet)).to_have_count(0)
    expect(sheet.page.locator("#hint")).to_be_hidden()
