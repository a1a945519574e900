"""Tidy lays the drawing out anew: one step, in sight, announced, with the same readings."""

from __future__ import annotations

from typing import Any

import pytest
from playwright.sync_api import Locator, Page, Route, expect

from tests.browser.ready import TITLES, link_to, ready
from tests.browser.sheet_page import SheetPage, assert_mixed, draw_mixed

# A bridge as somebody in a hurry draws it: no two parts in a line.
ASTRAY: dict[str, Any] = {
    "title": "Bridge, drawn in a hurry",
    "joints": {"a": [30, 3], "0": [2, 25], "p": [9, 14], "q": [22, 20], "r": [40, 9]},
    "parts": [
        {"name": "C1", "kind": "capacitor", "value": "40 µF", "from": "a", "to": "p"},
        {"name": "C2", "kind": "capacitor", "value": "10 µF", "from": "p", "to": "0"},
        {"name": "C3", "kind": "capacitor", "value": "10 µF", "from": "a", "to": "q"},
        {"name": "C4", "kind": "capacitor", "value": "40 µF", "from": "q", "to": "0"},
        {"name": "C5", "kind": "capacitor", "value": "20 µF", "from": "p", "to": "q"},
        {"name": "E1", "kind": "battery", "value": "12 V", "from": "r", "to": "0"},
        {"name": "W1", "kind": "wire", "from": "a", "to": "r"},
    ],
}
PARTS = ("E1", "C1", "C2", "C3", "C4", "C5")


def button(page: Page) -> Locator:
    return page.get_by_role("button", name="Tidy")


def tidy(sheet: SheetPage) -> dict[str, Any]:
    """Press the button and wait until the drawing has changed; the sketch that the server sent."""
    with sheet.page.expect_response("**/api/tidy") as answer:
        button(sheet.page).click()
    sheet.settled()
    expect(sheet.spoken).to_contain_text("laid out anew")
    sketch: dict[str, Any] = answer.value.json()
    return sketch


def places(sheet: SheetPage, parts: tuple[str, ...] = PARTS) -> dict[str, tuple[float, float]]:
    """Where the labels of parts stand on the page, rounded to pixels."""
    boxes = {part: sheet.label(part).bounding_box() for part in parts}
    return {part: (round(box["x"]), round(box["y"])) for part, box in boxes.items() if box}


def drawing(sheet: SheetPage) -> list[str]:
    """All lines on the sheet, in sheet units."""
    lines: list[str] = sheet.sheet.locator(".ink path").evaluate_all(
        "(all) => all.map((each) => each.getAttribute('d')).sort()"
    )
    return lines


def readings(sheet: SheetPage) -> list[str]:
    return sheet.panel.get_by_role("table").first.get_by_role("cell").all_inner_texts()


@pytest.fixture
def astray(sheet: SheetPage) -> SheetPage:
    return sheet.open(link_to(ASTRAY))


def test_a_bridge_drawn_anyhow_becomes_two_columns_with_the_battery_left(astray: SheetPage) -> None:
    before = readings(astray)
    sketch = tidy(astray)
    assert readings(astray) == before
    assert [part["name"] for part in sketch["parts"]][:6] == [part["name"] for part in ASTRAY["parts"]][:6]
    order = {part: index for index, part in enumerate(part["name"] for part in sketch["parts"])}
    shapes = {
        part: astray.sheet.locator(".ink > g").nth(order[part]).locator("g").first.bounding_box() for part in PARTS
    }
    assert all(shapes.values())
    middles = {part: box["x"] + box["width"] / 2 for part, box in shapes.items() if box}
    assert middles["E1"] == min(middles.values())
    assert middles["C1"] == pytest.approx(middles["C2"], abs=1)
    assert middles["C3"] == pytest.approx(middles["C4"], abs=1)
    assert middles["C5"] == pytest.approx((middles["C1"] + middles["C3"]) / 2, abs=1)


def test_tidying_is_one_step_that_undo_takes_back(astray: SheetPage) -> None:
    expect(astray.page.get_by_role("button", name="Undo")).to_be_disabled()
    before = drawing(astray)
    tidy(astray)
    after = drawing(astray)
    assert after != before
    astray.undo()
    assert drawing(astray) == before
    expect(astray.page.get_by_role("button", name="Undo")).to_be_disabled()
    astray.redo()
    assert drawing(astray) == after


def test_a_tidied_drawing_is_whole_in_the_window(astray: SheetPage) -> None:
    astray.page.get_by_role("button", name="Zoom in").click(click_count=6)
    tidy(astray)
    window = astray.sheet.bounding_box()
    assert window
    for part in PARTS:
        box = astray.label(part).bounding_box()
        assert box
        assert window["x"] <= box["x"]
        assert window["y"] <= box["y"]
        assert box["x"] + box["width"] <= window["x"] + window["width"]
        assert box["y"] + box["height"] <= window["y"] + window["height"]


def test_no_two_labels_of_a_tidied_drawing_cover_each_other(astray: SheetPage) -> None:
    tidy(astray)
    boxes = [box for part in PARTS if (box := astray.label(part).bounding_box())]
    assert len(boxes) == len(PARTS)
    for index, one in enumerate(boxes):
        for other in boxes[index + 1 :]:
            apart_across = one["x"] + one["width"] <= other["x"] + 1 or other["x"] + other["width"] <= one["x"] + 1
            apart_down = one["y"] + one["height"] <= other["y"] + 1 or other["y"] + other["height"] <= one["y"] + 1
            assert apart_across or apart_down


def test_the_key_does_what_the_button_does(astray: SheetPage) -> None:
    before = places(astray)
    with astray.page.expect_response("**/api/tidy"):
        astray.press("t")
    astray.settled()
    expect(astray.spoken).to_contain_text("Ctrl Z takes it back")
    assert places(astray) != before
    astray.press("Control+z")
    astray.settled()
    expect(astray.page.get_by_role("button", name="Undo")).to_be_disabled()


def test_what_is_tidy_already_is_left_alone(astray: SheetPage) -> None:
    tidy(astray)
    before = places(astray)
    button(astray.page).click()
    expect(astray.spoken).to_have_text("The drawing is tidy already")
    assert places(astray) == before
    astray.undo()
    expect(astray.page.get_by_role("button", name="Undo")).to_be_disabled()


def test_what_was_drawn_by_hand_reads_the_same_when_it_is_tidied(empty: SheetPage) -> None:
    draw_mixed(empty, across=(4, 15, 17), down=(2, 5, 9))
    tidy(empty)
    assert_mixed(empty)


def test_parts_that_were_selected_stay_so(astray: SheetPage) -> None:
    astray.press("n")
    expect(astray.actions).to_contain_text("C1")
    tidy(astray)
    expect(astray.actions).to_contain_text("C1")


def test_an_empty_sheet_says_that_there_is_nothing_to_lay_out(empty: SheetPage) -> None:
    button(empty.page).click()
    expect(empty.notice).to_have_text("Nothing is on the sheet yet.")


def test_without_the_server_the_drawing_stays_and_it_is_said(astray: SheetPage) -> None:
    before = places(astray)
    astray.page.route("**/api/tidy", lambda route: route.abort())
    button(astray.page).click()
    expect(astray.notice).to_contain_text("The server is away")
    assert places(astray) == before
    astray.page.unroute("**/api/tidy")
    tidy(astray)


def test_a_sheet_that_is_changed_meanwhile_keeps_the_change(astray: SheetPage) -> None:
    held: list[Route] = []
    astray.page.route("**/api/tidy", lambda route: held.append(route))
    with astray.page.expect_request("**/api/tidy"):
        button(astray.page).click()
    astray.press("n", "f")
    astray.settled()
    before = places(astray)
    held[0].continue_()
    expect(astray.notice).to_contain_text("changed meanwhile")
    assert places(astray) == before


def test_every_ready_sketch_can_be_tidied(sheet: SheetPage) -> None:
    for title in TITLES:
        sheet.open_ready(title)
        names = [part["name"] for part in ready(title)["parts"] if part["kind"] != "wire"]
        with sheet.page.expect_response("**/api/tidy") as answer:
            button(sheet.page).click()
        assert [part["name"] for part in answer.value.json()["parts"]][: len(names)] == names
        sheet.settled()


def test_the_key_is_in_the_list(sheet: SheetPage) -> None:
    sheet.page.get_by_role("button", name="Keys").click()
    expect(sheet.page.get_by_role("dialog")).to_contain_text("lay the whole drawing out anew")
