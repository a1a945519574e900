"""The time line: curves of a stage that takes its time, read at a moment, played, and taken along as files."""

from __future__ import annotations

import csv
import io
import json
import math
import re
from datetime import UTC, datetime, timedelta
from pathlib import Path
from typing import Any
from xml.etree import ElementTree

import pytest
from playwright.sync_api import Locator, Page, expect

from tests.browser.ready import link_to
from tests.browser.sheet_page import SheetPage
from tests.browser.test_access import SIZES, violations

# One time constant: 1.5 kΩ × 10 µF = 15 ms.
LANTERN: dict[str, Any] = {
    "title": "Lantern fades",
    "joints": {"e": [2, 4], "a": [12, 4], "b": [22, 4], "z": [2, 14], "x": [22, 14]},
    "parts": [
        {"name": "E1", "kind": "battery", "value": "9 V", "from": "e", "to": "z"},
        {"name": "S1", "kind": "switch", "closed": True, "from": "e", "to": "a"},
        {"name": "R1", "kind": "resistor", "value": "1.5 kΩ", "from": "a", "to": "b"},
        {"name": "C1", "kind": "capacitor", "value": "10 µF", "from": "b", "to": "x"},
        {"name": "W1", "kind": "wire", "from": "z", "to": "x"},
    ],
    "stages": [{"name": "Charge", "closed": ["S1"]}, {"name": "Let go", "closed": []}],
    "stage": 0,
}
# e⁻¹: what is left after one time constant.
LEFT = math.exp(-1)


def with_values(**values: str) -> dict[str, Any]:
    parts = [
        {**part, **({"value": values[part["name"]]} if part["name"] in values else {})} for part in LANTERN["parts"]
    ]
    return {**LANTERN, "parts": parts}


def line(sheet: SheetPage) -> Locator:
    return sheet.page.get_by_role("region", name="Time line")


def moment(sheet: SheetPage) -> Locator:
    return line(sheet).get_by_role("slider", name="Moment")


def button(sheet: SheetPage, name: str | re.Pattern[str]) -> Locator:
    return line(sheet).get_by_role("button", name=name, exact=isinstance(name, str))


def readings(sheet: SheetPage) -> Locator:
    return line(sheet).get_by_role("list", name="Readings at the moment").get_by_role("listitem")


def choose(sheet: SheetPage, *labels: str) -> None:
    button(sheet, "Curves").click()
    for label in labels:
        line(sheet).get_by_label(label).check()
    sheet.page.keyboard.press("Escape")


# Numbers


def told(when: str, voltage: str, current: str) -> str:
    return f"{when}: C1 {voltage}, R1 current {current}"


def test_the_curves_are_read_at_each_moment_that_a_key_leads_to(sheet: SheetPage) -> None:
    sheet.open(link_to(LANTERN))
    expect(readings(sheet)).to_have_text(["C19.00 V", "R1 current0 A"])
    for key, words in [
        ("1", told("at 15.0 ms", f"{9 * (1 - LEFT):.2f} V", f"{6 * LEFT:.2f} mA")),
        ("5", told("at 75.0 ms", f"{9 * (1 - LEFT**5):.2f} V", f"{6000 * LEFT**5:.1f} µA")),
        ("End", told("in the end", "9.00 V", "0 A")),
        ("Home", told("just after the start", "0 V", "6.00 mA")),
        ("ArrowRight", told("at 1.50 ms", f"{9000 * (1 - LEFT**0.1):.0f} mV", f"{6 * LEFT**0.1:.2f} mA")),
        ("ArrowLeft", told("just after the start", "0 V", "6.00 mA")),
        ("PageUp", told("at 15.0 ms", f"{9 * (1 - LEFT):.2f} V", f"{6 * LEFT:.2f} mA")),
    ]:
        moment(sheet).press(key)
        expect(moment(sheet)).to_have_attribute("aria-valuetext", words)
    for _ in range(6):
        moment(sheet).press("PageUp")
    expect(moment(sheet)).to_have_attribute("aria-valuetext", told("in the end", "9.00 V", "0 A"))
    # The arrows were not taken for those that go through the stages.
    expect(sheet.page.get_by_role("list", name="Stages").get_by_role("button").first).to_have_attribute(
        "aria-current", "step"
    )


def test_buttons_lead_to_the_moments_and_say_what_is_read(sheet: SheetPage) -> None:
    sheet.open(link_to(LANTERN))
    for name, words in [
        ("τ: after one time constant", told("at 15.0 ms", f"{9 * (1 - LEFT):.2f} V", f"{6 * LEFT:.2f} mA")),
        ("5τ: after five time constants", told("at 75.0 ms", f"{9 * (1 - LEFT**5):.2f} V", f"{6000 * LEFT**5:.1f} µA")),
        ("end: when all has settled", told("in the end", "9.00 V", "0 A")),
        ("0⁺: just after the start", told("just after the start", "0 V", "6.00 mA")),
    ]:
        button(sheet, name).click()
        expect(sheet.spoken).to_have_text(words)
        expect(moment(sheet)).to_have_attribute("aria-valuetext", words)


def test_a_drag_leads_along_the_time_line(sheet: SheetPage) -> None:
    sheet.open(link_to(LANTERN))
    moment(sheet).press("1")
    at_tau = line(sheet).locator(".time-plot circle").first.bounding_box()
    moment(sheet).press("Home")
    box = moment(sheet).bounding_box()
    assert at_tau
    assert box
    mouse = sheet.page.mouse
    mouse.move(box["x"] + 60, box["y"] + 50)
    mouse.down()
    mouse.move(at_tau["x"] + at_tau["width"] / 2, box["y"] + 30)
    # A pixel is 0.2 ms, or 1 % of what is left to come.
    [volts] = re.findall(r"C1([\d.]+) V", readings(sheet).first.inner_text().replace("\n", ""))
    assert float(volts) == pytest.approx(9 * (1 - LEFT), abs=0.1)
    mouse.move(box["x"] + box["width"] - 2, box["y"] + 30)
    expect(readings(sheet).first).to_have_text("C19.00 V")
    mouse.up()
    expect(moment(sheet)).to_have_attribute("aria-valuetext", told("in the end", "9.00 V", "0 A"))
    mouse.move(box["x"] + 60, box["y"] + 30)
    expect(readings(sheet).first).to_have_text("C19.00 V")


def test_current_has_an_axis_of_its_own(sheet: SheetPage) -> None:
    sheet.open(link_to(LANTERN))
    texts = line(sheet).locator(".time-plot text")
    expect(texts.filter(has_text=re.compile(r"^V$"))).to_have_count(1)
    expect(texts.filter(has_text=re.compile(r"^mA$"))).to_have_count(1)
    expect(texts.filter(has_text=re.compile(r"^τ = 15.0 ms$"))).to_have_count(1)
    button(sheet, "Curves").click()
    line(sheet).get_by_label("R1 current").uncheck()
    expect(texts.filter(has_text=re.compile(r"^mA$"))).to_have_count(0)
    line(sheet).get_by_label("R1 current").check()
    line(sheet).get_by_label("C1 voltage").uncheck()
    expect(texts.filter(has_text=re.compile(r"^V$"))).to_have_count(0)
    expect(texts.filter(has_text=re.compile(r"^mA$"))).to_have_count(1)


def test_where_time_constants_differ_the_axis_is_made_for_one_of_them(sheet: SheetPage) -> None:
    parts = [
        *LANTERN["parts"],
        {"name": "R2", "kind": "resistor", "value": "4.7 kΩ", "from": "b", "to": "c"},
        {"name": "C2", "kind": "capacitor", "value": "22 µF", "from": "c", "to": "x"},
    ]
    sheet.open(link_to({**LANTERN, "joints": {**LANTERN["joints"], "c": [32, 4]}, "parts": parts}))
    # The roots of R1·C1·R2·C2·s² + (R1·C1 + R1·C2 + R2·C2)·s + 1: 140.4 ms and 11.05 ms (quadratic formula).
    spans = line(sheet).get_by_label("The axis spans six of")
    expect(spans.locator("option")).to_have_text(["6 × 140 ms", "6 × 11.1 ms"])
    moment(sheet).press("1")
    expect(moment(sheet)).to_have_attribute("aria-valuetext", re.compile("at 140 ms: "))
    spans.select_option("6 × 11.1 ms")
    moment(sheet).press("1")
    expect(moment(sheet)).to_have_attribute("aria-valuetext", re.compile(r"at 11\.[01] ms: "))


def with_a_clock_at_rest(sheet: SheetPage) -> None:
    """The lantern, with a clock that goes on only when it is told to."""
    noon = datetime(2026, 1, 1, 12, tzinfo=UTC)
    sheet.page.clock.install(time=noon)
    sheet.open(link_to(LANTERN))
    expect(moment(sheet)).to_be_visible()
    sheet.page.clock.pause_at(noon + timedelta(hours=1))


def test_it_plays_at_the_pace_that_the_button_says_and_rests_in_the_end(sheet: SheetPage) -> None:
    with_a_clock_at_rest(sheet)
    # 5τ = 75 ms, eighty times slower: 6 s.
    play = button(sheet, "Play 80 times slower")
    play.click()
    expect(button(sheet, "Pause")).to_be_focused()
    sheet.page.clock.run_for(3000)
    now = line(sheet).locator(".time-now")
    milliseconds = float(re.findall(r"t = ([\d.]+) ms", now.inner_text())[0])
    assert milliseconds == pytest.approx(3000 / 80, abs=3)
    button(sheet, "Pause").click()
    expect(moment(sheet)).to_have_attribute("aria-valuetext", re.compile(r"^at "))
    sheet.page.clock.run_for(2000)
    assert float(re.findall(r"t = ([\d.]+) ms", now.inner_text())[0]) == pytest.approx(milliseconds, abs=3)
    button(sheet, "Play in real time").click()
    sheet.page.clock.run_for(1000)
    expect(now).to_have_text("in the end")
    expect(button(sheet, "Play in real time")).to_be_visible()


def test_it_goes_in_steps_where_less_motion_is_wished_for(sheet: SheetPage) -> None:
    sheet.page.emulate_media(reduced_motion="reduce")
    with_a_clock_at_rest(sheet)
    moment(sheet).press(" ")
    texts = set()
    for _ in range(14):
        sheet.page.clock.run_for(90)
        texts.add(line(sheet).locator(".time-now").inner_text())
    # 0.6 s at an eightieth are 7.5 ms; 14 × 90 ms hold two such steps.
    assert texts == {"t = 0⁺", "t = 7.50 ms", "t = 15.0 ms"}


def test_the_curves_are_saved_as_numbers_and_as_a_picture(sheet: SheetPage, tmp_path: Path) -> None:
    sheet.open(link_to(LANTERN))
    choose(sheet, "R1 current")
    with sheet.page.expect_download() as saved:
        button(sheet, "CSV: the curves as numbers").click()
    assert saved.value.suggested_filename == "Lantern fades, Charge.csv"
    saved.value.save_as(tmp_path / "curves.csv")
    head, *rows = csv.reader(io.StringIO((tmp_path / "curves.csv").read_text(encoding="utf-8")))
    assert head == ["time (s)", "C1 voltage (V)", "R1 current (A)"]
    for row in rows:
        time, voltage, current = map(float, row)
        assert current == pytest.approx(0.006 * math.exp(-time / 0.015), rel=1e-9)
        assert voltage == pytest.approx(9 - 9 * math.exp(-time / 0.015), rel=1e-9)
    assert float(rows[-1][0]) == pytest.approx(0.09)
    with sheet.page.expect_download() as saved:
        button(sheet, "SVG: the curves as a picture").click()
    assert saved.value.suggested_filename == "Lantern fades, Charge.svg"
    saved.value.save_as(tmp_path / "curves.svg")
    picture = ElementTree.parse(tmp_path / "curves.svg").getroot()
    assert picture.tag == "{http://www.w3.org/2000/svg}svg"
    texts = ["".join(text.itertext()) for text in picture.iter("{http://www.w3.org/2000/svg}text")]
    assert {"Lantern fades, Charge"} == {title.text for title in picture.iter("{http://www.w3.org/2000/svg}title")}
    assert {"V", "mA", "τ = 15.0 ms", "5τ", "C1", "R1", "end"} <= set(texts)


def test_with_symbols_the_time_constant_and_both_ends_are_told(sheet: SheetPage) -> None:
    sheet.open(link_to(with_values(E1="E", R1="R", C1="C")))
    expect(line(sheet)).to_contain_text("τ = CR. A curve needs a number for each symbol. C1 goes from 0 V to E.")
    expect(moment(sheet)).to_have_count(0)
    expect(button(sheet, "CSV: the curves as numbers")).to_have_count(0)


def test_where_nothing_takes_time_there_is_no_time_line(sheet: SheetPage) -> None:
    sheet.open(link_to(LANTERN))
    expect(line(sheet)).to_be_visible()
    sheet.page.get_by_role("list", name="Stages").get_by_role("button").nth(1).click()
    expect(line(sheet)).to_have_count(0)
    sheet.page.get_by_role("list", name="Stages").get_by_role("button").nth(0).click()
    expect(line(sheet)).to_be_visible()
    sheet.page.get_by_role("button", name="End stages").click()
    expect(line(sheet)).to_have_count(0)


def test_what_is_covered_is_not_given_away(sheet: SheetPage) -> None:
    sheet.open(link_to({**LANTERN, "covered": ["C1.voltage"]}))
    expect(readings(sheet)).to_have_text(["R1 current0 A"])
    sheet.press(".")
    sheet.press(".")
    moment(sheet).press("1")
    expect(readings(sheet)).to_have_count(0)
    expect(moment(sheet)).to_have_attribute("aria-valuetext", "at 15.0 ms: no curve is shown")
    expect(line(sheet).locator(".time-plot .curves path")).to_have_count(0)
    expect(sheet.cell("C1", "Voltage")).to_have_text("?")
    assert sheet.written("C1")[2:] == ["?", "?", "?"]


def test_what_changes_after_the_switches_is_said(sheet: SheetPage) -> None:
    first, second = LANTERN["stages"]
    stages = [second, {**first, "set": {"C1": "20 µF"}}]
    sheet.open(link_to({**LANTERN, "stages": stages, "stage": 1}))
    moment(sheet).press("End")
    expect(moment(sheet)).to_have_attribute("aria-valuetext", told("in the end, before C1 changes", "9.00 V", "0 A"))


def test_it_closes_and_opens(sheet: SheetPage) -> None:
    sheet.open(link_to(LANTERN))
    button(sheet, "Time").press("Enter")
    expect(button(sheet, "Time")).to_have_attribute("aria-expanded", "false")
    expect(moment(sheet)).to_have_count(0)
    button(sheet, "Time").press("Enter")
    moment(sheet).press("1")
    expect(readings(sheet).first).to_have_text(f"C1{9 * (1 - LEFT):.2f} V")


def test_a_touch_leads_to_a_moment(sheet: SheetPage) -> None:
    session = sheet.page.context.new_cdp_session(sheet.page)
    sheet.open(link_to(LANTERN))
    box = moment(sheet).bounding_box()
    assert box
    for share in (0.0, 1.0):
        spot = {"x": box["x"] + 4 + share * (box["width"] - 8), "y": box["y"] + 40}
        session.send("Input.dispatchTouchEvent", {"type": "touchStart", "touchPoints": [spot]})
        session.send("Input.dispatchTouchEvent", {"type": "touchEnd", "touchPoints": []})
        if not share:
            expect(moment(sheet)).to_have_attribute("aria-valuetext", told("just after the start", "0 V", "6.00 mA"))
    expect(moment(sheet)).to_have_attribute("aria-valuetext", told("in the end", "9.00 V", "0 A"))


@pytest.mark.parametrize("size", SIZES)
def test_everybody_can_use_it_and_the_sheet_keeps_its_place(sheet: SheetPage, size: str) -> None:
    width, height = SIZES[size]
    sheet.page.set_viewport_size({"width": width, "height": height})
    sheet.open(link_to(LANTERN))
    choose(sheet, "R1 current", "E1 voltage", "C1 current")
    button(sheet, "Curves").click()
    assert violations(sheet.page) == []
    box, own = line(sheet).bounding_box(), sheet.sheet.bounding_box()
    assert box
    assert own
    assert box["x"] >= 0
    assert box["x"] + box["width"] <= width
    assert own["height"] >= 240
    assert sheet.page.evaluate("document.documentElement.scrollWidth") <= width


def test_the_document_is_what_the_curves_are_drawn_from(page: Page, base_url: str) -> None:
    """The course that the server sends for the lantern: τ = 15 ms from its exact value."""
    answer = page.request.post(
        f"{base_url}/api/solve?with=stages", data=json.dumps(LANTERN), headers={"Content-Type": "application/json"}
    )
    course = answer.json()["stages"][0]["course"]
    assert course["timeTexts"] == ["15.0 ms"]
    assert course["timeConstants"] == pytest.approx([0.015])
