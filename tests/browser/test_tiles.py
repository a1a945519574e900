"""The tiles beside the sheet: drawn to scale, lit together with the sheet, moved by a dragged value, kept covered."""

from __future__ import annotations

import json
import random
import re
from collections.abc import Callable
from typing import Any

import pytest
from playwright.sync_api import Locator, Page, expect

from solver import Sketch
from solver.tile_drawing import routes
from tests.browser.ready import SETTLED, middle, ready
from tests.browser.sheet_page import SheetPage

MIXED = ready("Three, mixed")
SOLVE = re.compile(r".*/api/solve.*")
NEAR = 2.5  # pixels: the gap between tiles, and the middle of a bar


def tile(sheet: SheetPage, part: str) -> Locator:
    return sheet.page.locator(f"#tiles [data-part={part}]")


def picture(sheet: SheetPage, name: str = "Charge across, voltage up") -> Locator:
    return sheet.page.get_by_role("complementary").get_by_role("region", name=name)


def sides(sheet: SheetPage, part: str) -> tuple[float, float, float, float]:
    """Left, right, top and bottom of a tile on the page, in pixels."""
    box = tile(sheet, part).locator("rect").first.bounding_box()
    assert box
    return box["x"], box["x"] + box["width"], box["y"], box["y"] + box["height"]


def size(sheet: SheetPage, part: str) -> tuple[float, float]:
    left, right, top, bottom = sides(sheet, part)
    return right - left, bottom - top


def told(sheet: SheetPage) -> Locator:
    """The line under the picture."""
    return sheet.page.locator("#tiles .tiles-line")


def lit(sheet: SheetPage) -> list[str]:
    return [each.get_attribute("data-part") or "" for each in sheet.page.locator("#tiles g.lit").all()]


def test_series_parts_stack_and_parallel_ones_stand_side_by_side(sheet: SheetPage) -> None:
    one, two, three = (sides(sheet, part) for part in ("C1", "C2", "C3"))
    assert one[3] == pytest.approx(two[2], abs=NEAR)
    assert one[3] == pytest.approx(three[2], abs=NEAR)
    assert two[1] == pytest.approx(three[0], abs=NEAR)
    assert one[:2] == pytest.approx((two[0], three[1]), abs=NEAR)


def test_tiles_are_as_wide_as_their_charge_and_as_high_as_their_voltage(sheet: SheetPage) -> None:
    (wide, three_volts), (two_thirds, six_volts), (third, _) = (size(sheet, part) for part in ("C1", "C2", "C3"))
    assert six_volts == pytest.approx(2 * three_volts, abs=1)
    assert two_thirds == pytest.approx(wide * 2 / 3, abs=NEAR)
    assert third == pytest.approx(wide / 3, abs=NEAR)


def test_the_picture_says_what_is_across_and_up_and_what_half_the_area_is(sheet: SheetPage) -> None:
    expect(picture(sheet)).to_contain_text("area ÷ 2 = energy")
    expect(told(sheet)).to_have_text("In all 9.00 V × 90.0 µC ÷ 2 = 405 µJ")
    written = picture(sheet).locator("svg text").all_text_contents()
    assert {"9.00 V", "6.00 V", "0 V"} <= set(written), "potentials at the bars"
    assert {"0", "20 µC", "40 µC", "60 µC", "80 µC"} <= set(written), "round numbers across"
    assert {"2 V", "4 V", "6 V", "8 V"} <= set(written), "round numbers up"
    assert {"C1", "135 µJ", "C2", "180 µJ", "C3", "90.0 µJ"} <= set(written)


def test_resistors_have_their_current_across_and_their_power_as_area(sheet: SheetPage) -> None:
    sheet.open_ready("The bridge with resistors")
    expect(picture(sheet, "Current across, voltage up")).to_contain_text("area = power")
    expect(told(sheet)).to_have_text("In all 12.0 V × 600 mA = 7.20 W")
    width, height = size(sheet, "R1")
    # 8 V · 200 mA as against 4 V · 400 mA.
    assert size(sheet, "R3") == pytest.approx((2 * width, height / 2), abs=2 * NEAR)


def test_bars_have_the_shade_of_their_conductor_on_the_sheet(sheet: SheetPage) -> None:
    bars = (
        picture(sheet).locator("[data-conductor]").evaluate_all("all => all.map(each => getComputedStyle(each).fill)")
    )
    flags = sheet.sheet.locator(".flags rect").evaluate_all("all => all.map(each => getComputedStyle(each).fill)")
    assert sorted(bars) == sorted(flags)
    assert len(set(bars)) == 3


@pytest.mark.parametrize("sample", SETTLED, ids=[sample["id"] for sample in SETTLED])
def test_what_is_left_on_the_sheet_is_left_in_the_tiles(sheet: SheetPage, sample: dict[str, Any]) -> None:
    sheet.open_ready(sample["title"])
    sketch = sample["sketch"]
    names = [part["name"] for part in sketch["parts"] if part["kind"] in ("capacitor", "resistor")]
    expect(tile(sheet, names[0])).to_be_visible()
    for one in names:
        for other in names:
            if middle(sketch, one)[0] < middle(sketch, other)[0]:
                assert sum(sides(sheet, one)[:2]) < sum(sides(sheet, other)[:2]) + NEAR


# Pointing and choosing


def test_pointing_at_a_tile_lights_the_part_on_the_sheet(sheet: SheetPage) -> None:
    before = sheet.sheet.locator(".marks rect").count()
    tile(sheet, "C2").hover()
    expect(sheet.sheet.locator(".marks rect")).to_have_count(before + 1)
    assert sheet.middle_of(sheet.sheet.locator(".marks rect").last) == pytest.approx(
        sheet.pixels(middle(MIXED, "C2")), abs=1
    )
    expect(told(sheet)).to_have_text("C2: 6.00 V × 60.0 µC ÷ 2 = 180 µJ")
    assert lit(sheet) == ["C2"]
    sheet.page.mouse.move(5, 5)
    expect(sheet.sheet.locator(".marks rect")).to_have_count(before)
    assert lit(sheet) == []


def test_pointing_at_a_part_on_the_sheet_lights_its_tile(sheet: SheetPage) -> None:
    sheet.point_at(middle(MIXED, "C3"))
    expect(tile(sheet, "C3")).to_have_class("lit")
    expect(told(sheet)).to_contain_text("30.0 µC")
    sheet.point_at((2, 2))
    expect(tile(sheet, "C3")).not_to_have_class("lit")


def test_a_click_on_a_tile_selects_the_part(sheet: SheetPage) -> None:
    tile(sheet, "C1").click()
    expect(sheet.row("C1")).to_have_class("chosen")
    expect(sheet.spoken).to_contain_text("C1, 30 microfarads, 3.00 volts, 90.0 microcoulombs")
    expect(tile(sheet, "C1").locator("rect").last).to_have_attribute("stroke-dasharray", "5 4")
    sheet.page.mouse.move(5, 5)
    expect(told(sheet)).to_have_text("C1: 3.00 V × 90.0 µC ÷ 2 = 135 µJ")


def test_shift_and_a_click_on_another_tile_selects_both(sheet: SheetPage) -> None:
    tile(sheet, "C1").click()
    tile(sheet, "C3").click(modifiers=["Shift"])
    expect(sheet.panel.locator("tr.chosen")).to_have_count(2)


def test_pointing_at_the_bar_of_an_isolated_conductor_tells_its_charge_sum(sheet: SheetPage) -> None:
    box = picture(sheet).locator("[data-conductor]").nth(1).bounding_box()
    assert box
    sheet.page.mouse.move(box["x"] + box["width"] / 2, box["y"] + box["height"] / 2)
    expect(sheet.sheet.locator(".marks")).to_contain_text("net charge 0 C")


# Changing


def test_a_dragged_value_moves_its_tile_with_the_readings(sheet: SheetPage) -> None:
    wide, high = size(sheet, "C1")
    text = sheet.value_on_sheet("C3")
    x, y = sheet.middle_of(text)
    sheet.page.mouse.move(x, y)
    sheet.page.mouse.down()
    sheet.page.mouse.move(x + 56, y, steps=8)
    # Four steps up the ladder from 5 µF; while the button is still down.
    expect(text).not_to_have_text("5 µF")
    sheet.settled()
    sheet.page.wait_for_function(
        """([before]) =>
          document.querySelector("#tiles [data-part=C1] rect").getBoundingClientRect().height > before + 5""",
        arg=[high],
    )
    reading = sheet.cell("C1", "Energy").inner_text()
    expect(tile(sheet, "C1")).to_contain_text(reading)
    sheet.page.mouse.up()
    sheet.settled()
    assert size(sheet, "C1")[0] == pytest.approx(wide, abs=1), "the frame is full, so it is the scale that changed"


def test_a_smaller_charge_leaves_the_scale_as_it_was(sheet: SheetPage) -> None:
    wide, _ = size(sheet, "C1")
    sheet.edit_cell(sheet.cell("C1", "Capacitance"), "20 µF")
    # 20 in series with 15: 60/7 µF and 540/7 = 77.1 µC, where 90 µC were.
    expect(told(sheet)).to_have_text("In all 9.00 V × 77.1 µC ÷ 2 = 347 µJ")
    expect_width(sheet, "C1", wide * 6 / 7)


def expect_width(sheet: SheetPage, part: str, width: float) -> None:
    sheet.page.wait_for_function(
        """([part, width, near]) => Math.abs(
          document.querySelector(`#tiles [data-part=${part}] rect`).getBoundingClientRect().width - width) < near""",
        arg=[part, width, NEAR],
    )


@pytest.mark.parametrize(("wish", "seconds"), [("no-preference", "0.12s"), ("reduce", "0s")])
def test_tiles_ease_for_120_ms_unless_less_motion_is_wanted(
    page: Page, complaints: list[str], wish: str, seconds: str
) -> None:
    page.emulate_media(reduced_motion=wish)  # type: ignore[arg-type]
    sheet = SheetPage(page).open()
    shape = tile(sheet, "C1").locator("rect")
    durations = shape.evaluate("each => getComputedStyle(each).transitionDuration")
    assert set(re.split(", *", durations)) == {seconds}
    properties = shape.evaluate("each => getComputedStyle(each).transitionProperty")
    if wish == "no-preference":
        assert {"x", "y", "width", "height"} <= set(re.split(", *", properties))


def test_a_part_added_has_its_tile(sheet: SheetPage) -> None:
    sheet.click(middle(MIXED, "C2"))
    sheet.press("+")
    expect(tile(sheet, "C4")).to_be_visible()


def test_a_fault_takes_the_tiles_away_and_its_end_brings_them_back(sheet: SheetPage) -> None:
    sheet.draw((8, 2), (8, 16))
    expect(sheet.panel.get_by_role("region", name="What is wrong")).to_be_visible()
    expect(picture(sheet)).to_have_count(0)
    sheet.undo()
    expect(tile(sheet, "C1")).to_be_visible()


def test_tiles_fade_while_the_server_is_away(sheet: SheetPage) -> None:
    sheet.page.route("**/api/**", lambda route: route.abort())
    sheet.click(middle(MIXED, "C1"))
    sheet.press("ArrowUp")
    sheet.edit_cell(sheet.cell("C1", "Capacitance"), "33 µF")
    expect(picture(sheet).locator("svg")).to_have_css("opacity", "0.35")
    sheet.page.unroute("**/api/**")
    expect(picture(sheet).locator("svg")).to_have_css("opacity", "1", timeout=20_000)


# For everybody, everywhere


def test_the_tiles_are_told_in_words(sheet: SheetPage) -> None:
    words = picture(sheet).get_by_role("listitem").all_text_contents()
    assert words == [
        "3 tiles fill a rectangle, 90.0 microcoulombs across in all and 9.00 volts up, 405 microjoules in all.",
        "C1, from 9.00 volts down to 6.00 volts: 90.0 microcoulombs across, 3.00 volts up, 135 microjoules; "
        "on top of C2 and C3.",
        "C2, from 6.00 volts down to 0 volts: 60.0 microcoulombs across, 6.00 volts up, 180 microjoules; left of C3.",
        "C3, from 6.00 volts down to 0 volts: 30.0 microcoulombs across, 6.00 volts up, 90.0 microjoules.",
    ]


def test_on_a_phone_the_tiles_are_as_wide_as_the_page_and_no_wider(page: Page, complaints: list[str]) -> None:
    page.set_viewport_size({"width": 390, "height": 844})
    sheet = SheetPage(page).open()
    page.locator("#tiles").scroll_into_view_if_needed()
    expect(tile(sheet, "C1")).to_be_visible()
    box = picture(sheet).locator("svg").bounding_box()
    assert box
    assert box["x"] >= 0
    assert 340 < box["width"] <= 390 - box["x"]
    assert page.evaluate("document.documentElement.scrollWidth") <= 390
    tile(sheet, "C2").click()
    expect(sheet.row("C2")).to_have_class("chosen")


def test_larger_type_enlarges_the_picture(sheet: SheetPage) -> None:
    before = picture(sheet).locator("svg").bounding_box()
    sheet.page.get_by_role("button", name="Look").click()
    sheet.page.get_by_role("checkbox", name=re.compile("Larger")).check()
    after = picture(sheet).locator("svg").bounding_box()
    assert before
    assert after
    assert after["height"] > 1.2 * before["height"]
    sizes = (
        picture(sheet)
        .locator("svg text")
        .evaluate_all("all => all.map(each => parseFloat(each.getAttribute('font-size')))")
    )
    assert min(sizes) >= 14


def test_tiles_out_of_sight_are_not_asked_for(sheet: SheetPage) -> None:
    asked: list[str] = []
    sheet.page.on("request", lambda request: asked.append(request.url) if SOLVE.match(request.url) else None)
    sheet.page.set_viewport_size({"width": 1366, "height": 440})
    column = sheet.page.get_by_role("complementary")
    sheet.row("E1").evaluate("each => each.scrollIntoView({ block: 'start' })")
    # Two frames, after which the browser has said what has gone out of sight.
    sheet.page.evaluate("() => new Promise((done) => requestAnimationFrame(() => requestAnimationFrame(done)))")
    height = sheet.middle_of(sheet.cell("E1", "Emf"))[1]
    sheet.edit_cell(sheet.cell("E1", "Emf"), "12 V")
    expect(sheet.cell("C3", "Voltage")).to_have_text("8.00 V")
    assert "tiles" not in asked[-1]
    assert sheet.middle_of(sheet.cell("E1", "Emf"))[1] == height, "what is in sight stays where it is"
    column.evaluate("each => each.scrollTo(0, 0)")
    expect(tile(sheet, "C3")).to_contain_text(sheet.cell("C3", "Energy").inner_text())
    assert "tiles" in asked[-1]


def test_server_and_browser_draw_the_same_routes(run: Callable[..., Any]) -> None:
    chance = random.Random(7)
    joints = {f"j{n}": [chance.randrange(12), chance.randrange(12)] for n in range(12)}
    parts = [
        {
            "name": f"W{n}",
            "kind": "wire",
            "from": chance.choice(list(joints)),
            "to": chance.choice(list(joints)),
            **chance.choice([{}, {}, {"bend": "lower"}, {"bend": "upper"}]),
        }
        for n in range(200)
    ]
    sketch = {"joints": joints, "parts": parts}
    found = run(
        """const { routes } = await import("/static/geometry.js");
        const told = ([name, { points, symbol }]) => [name, [points, symbol.at]];
        return Object.fromEntries([...routes(given)].map(told));""",
        sketch,
    )
    own = routes(Sketch.read(sketch))
    assert found == json.loads(json.dumps({name: [route.points, route.middle] for name, route in own.items()}))
