"""Why capacitors add: parallel plates slide together into one area, series ones are laid together into one gap."""

from __future__ import annotations

from typing import Any

from playwright.sync_api import Locator, expect

from tests.browser.ready import link_to, ready
from tests.browser.sheet_page import SheetPage, at_rest


def chain(*builds: str) -> dict[str, Any]:
    """Capacitors one under the other, on a battery of 9 V."""
    down = [2 + 6 * place for place in range(len(builds) + 1)]
    joints = {"a": [4, 2], "0": [4, down[-1]]} | {f"s{place}": [14, y] for place, y in enumerate(down)}
    parts = [
        {"name": "E1", "kind": "battery", "value": "9 V", "from": "a", "to": "0"},
        {"name": "W1", "kind": "wire", "from": "a", "to": "s0"},
        {"name": "W2", "kind": "wire", "from": f"s{len(builds)}", "to": "0"},
    ]
    for place, build in enumerate(builds):
        ends = {"from": f"s{place}", "to": f"s{place + 1}"}
        parts.append({"name": f"C{place + 1}", "kind": "capacitor", "value": build, **ends})
    return {"title": "Storm lantern, a chain", "joints": joints, "parts": parts, "zero": "0"}


def together(sheet: SheetPage) -> Locator:
    return sheet.page.get_by_role("region", name="Together like one")


def left_of(sheet: SheetPage, name: str) -> float:
    """Where a piece with this name stands in the picture, once it has come to rest."""
    at_rest(sheet.page)
    box = together(sheet).get_by_role("img").locator("text", has_text=name).bounding_box()
    assert box
    return box["x"]


def test_parallel_parts_of_the_first_sample_slide_together(sheet: SheetPage) -> None:
    """10 µF and 5 µF have no build: one common gap, areas two to one, 15.0 µF together."""
    sheet.page.get_by_role("row", name="C2").first.get_by_role("cell").first.click(position={"x": 1, "y": 2})
    together(sheet).get_by_role("button", name="Why C2 and C3 in parallel add").click()
    expect(together(sheet)).to_contain_text("Drawn with one common gap, so that the area goes with the capacitance.")
    expect(together(sheet).get_by_role("img")).to_contain_text("10 µF")
    apart = left_of(sheet, "C₃") - left_of(sheet, "C₂")
    together(sheet).get_by_role("button", name="Slide them together").click()
    expect(together(sheet)).to_contain_text("the capacitances add up to 15.0\u00a0µF")
    assert 0 < left_of(sheet, "C₃") - left_of(sheet, "C₂") < apart
    expect(sheet.spoken).to_contain_text("C2 and C3 have the same voltage across their plates")
    together(sheet).get_by_role("button", name="Take them apart").click()
    expect(together(sheet)).not_to_contain_text("15.0")
    assert left_of(sheet, "C₃") - left_of(sheet, "C₂") == apart


def test_series_plates_of_one_area_become_one_gap_by_keys(sheet: SheetPage) -> None:
    sheet.open(link_to(chain("plates 20 cm² 0.1 mm mica", "plates 20 cm² 0.2 mm mica")))
    sheet.click((14, 5))
    sheet.click((14, 11), shift=True)
    button = together(sheet).get_by_role("button", name="Lay them together")
    button.focus()
    sheet.page.keyboard.press("Enter")
    expect(together(sheet)).to_contain_text(
        "one gap of 0.1\u00a0mm + 0.2\u00a0mm = 0.300\u00a0mm, 20\u00a0cm² wide: 354\u00a0pF"
    )
    expect(together(sheet).get_by_role("img")).to_contain_text("0.300 mm")
    expect(together(sheet).get_by_role("img")).to_contain_text("area 20 cm²")
    expect(together(sheet).get_by_role("button", name="Take them apart")).to_be_focused()


def test_parts_that_are_neither_show_nothing(sheet: SheetPage) -> None:
    middle = {"C1": (15, 5), "C2": (10, 12)}
    # What comes later has come once C2 alone has its way to C3.
    sheet.click(middle["C2"])
    expect(together(sheet)).to_be_visible()
    sheet.click(middle["C1"])
    expect(together(sheet)).to_have_count(0)
    sheet.click(middle["C2"])
    expect(together(sheet)).to_be_visible()
    sheet.click(middle["C1"], shift=True)
    expect(together(sheet)).to_have_count(0)


def test_covered_readings_keep_the_numbers_back(sheet: SheetPage) -> None:
    sheet.open(link_to({**ready("Two in parallel"), "covered": ["*"]}))
    sheet.click((12, 6))
    together(sheet).get_by_role("button", name="Why C1 and C2 in parallel add").click()
    together(sheet).get_by_role("button", name="Slide them together").click()
    expect(together(sheet)).to_contain_text("With readings covered the numbers are left out.")
    expect(together(sheet)).not_to_contain_text("90.0")


def test_nothing_moves_by_itself_where_less_motion_is_wished_for(sheet: SheetPage) -> None:
    sheet.page.emulate_media(reduced_motion="reduce")
    sheet.open(link_to(ready("Two in parallel")))
    sheet.click((12, 6))
    together(sheet).get_by_role("button", name="Why C1 and C2 in parallel add").click()
    together(sheet).get_by_role("button", name="Slide them together").click()
    piece = together(sheet).locator(".slides").first
    assert piece.evaluate("each => getComputedStyle(each).transitionDuration") == "0s"


def test_the_picture_fits_a_phone(sheet: SheetPage) -> None:
    sheet.page.set_viewport_size({"width": 390, "height": 844})
    sheet.open(link_to(chain("30 µF", "60 µF", "10 µF")))
    sheet.click((14, 5))
    together(sheet).get_by_role("button", name="Why C1, C2 and C3 in series make one wider gap").click()
    expect(together(sheet).get_by_role("img")).to_contain_text("60 µF")
    for text in together(sheet).get_by_role("img").locator("text").all():
        box = text.bounding_box()
        assert box
        assert box["x"] >= 0
        assert box["x"] + box["width"] <= 390
