"""The time line: curves of a stage that takes its time, read at a moment, played, and taken along as files."""

from __future__ import annotations

import csv
import io
import json
import math
import re
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


def test_the_curves_are_read_at_each_moment_that_a_key_leads_to(sheet: SheetPage) -> None:
    sheet.open(link_to(LANTERN))
    expect(readings(sheet)).to_have_text(["C10 V"])
    choose(sheet, "R1 current")
    for key, told in [
        ("1", f"at 15.0 ms: R1 current {6 * LEFT:.2f} mA, C1 {9 * (1 - LEFT):.2f} V"),
        ("5", f"at 75.0 ms: R1 current {6000 * LEFT**5:.1f} µA, C1 {9 * (1 - LEFT**5):.2f} V"),
        ("End", "in the end: R1 current 0 A, C1 9.00 V"),
        ("Home", "just after the start: R1 current 6.00 mA, C1 0 V"),
        (
            "ArrowRight",
            f"at 1.50 ms: R1 current {6 * LEFT**0.1:.2f} mA, C1 {9 * (1 - LEFT**0.1):.3f} V".replace(
                "0.856 V", "856 mV"
            ),
        ),
        ("ArrowLeft", "just after the start: R1 current 6.00 mA, C1 0 V"),
        ("PageUp", f"at 15.0 ms: R1 current {6 * LEFT:.2f} mA, C1 {9 * (1 - LEFT):.2f} V"),
    ]:
        moment(sheet).press(key)
        expect(moment(sheet)).to_have_attribute("aria-valuetext", told)
    for _ in range(6):
        moment(sheet).press("PageUp")
    expect(moment(sheet)).to_have_attribute("aria-valuetext", "in the end: R1 current 0 A, C1 9.00 V")
    # The arrows were not taken for those that go through the stages.
    expect(sheet.page.get_by_role("list", name="Stages").get_by_role("button").first).to_have_attribute(
        "aria-current", "step"
    )


def test_buttons_lead_to_the_moments_and_say_what_is_read(sheet: SheetPage) -> None:
    sheet.open(link_to(LANTERN))
    for name, told in [
        ("τ: after one time constant", f"at 15.0 ms: C1 {9 * (1 - LEFT):.2f} V"),
        ("5τ: after five time constants", f"at 75.0 ms: C1 {9 * (1 - LEFT**5):.2f} V"),
        ("end: when all has settled", "in the end: C1 9.00 V"),
        ("0⁺: just after the start", "just after the start: C1 0 V"),
    ]:
        button(sheet, name).click()
        expect(sheet.spoken).to_have_text(told)
        expect(moment(sheet)).to_have_attribute("aria-valuetext", told)


def test_a_drag_leads_along_the_time_line(sheet: SheetPage) -> None:
    sheet.open(link_to(LANTERN))
    moment(sheet).press("1")
    at_tau = line(sheet).locator(".time-plot circle").bounding_box()
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
    expect(readings(sheet)).to_have_text(["C19.00 V"])
    mouse.up()
    expect(moment(sheet)).to_have_attribute("aria-valuetext", "in the end: C1 9.00 V")
    mouse.move(box["x"] + 60, box["y"] + 30)
    expect(readings(sheet)).to_have_text(["C19.00 V"])


def test_dragging_paints_the_cursor_and_nothing_else_within_a_frame(sheet: SheetPage) -> None:
    joints = {f"j{n}": [2 + 2 * n, 4] for n in range(16)} | {"z": [2, 14], "y": [32, 14]}
    parts: list[dict[str, Any]] = [
        {"name": "E1", "kind": "battery", "value": "9 V", "internal": "1 Ω", "from": "j0", "to": "z"},
        *(
            {"name": f"R{n}", "kind": "resistor", "value": "1 kΩ", "from": f"j{n - 1}", "to": f"j{n}"}
            for n in range(1, 15)
        ),
        *({"name": f"C{n}", "kind": "capacitor", "value": f"{n} µF", "from": f"j{n}", "to": "z"} for n in range(1, 15)),
        {"name": "S1", "kind": "switch", "closed": True, "from": "j14", "to": "j15"},
    ]
    joints.pop("y")
    sheet.open(link_to({"joints": joints, "parts": parts, "stages": [{"closed": ["S1"]}], "stage": 0}))
    choose(sheet, *(f"C{n} voltage" for n in range(7, 15)), *(f"R{n} current" for n in range(1, 15)))
    expect(readings(sheet)).to_have_count(28)
    took, changed = moment(sheet).evaluate("""async (plot) => {
        const box = plot.getBoundingClientRect();
        const at = (type, x) => plot.dispatchEvent(
            new PointerEvent(type, { pointerId: 1, clientX: x, clientY: box.top + 40, bubbles: true }),
        );
        // No finger is there to be held.
        plot.setPointerCapture = () => {};
        plot.hasPointerCapture = () => true;
        const changed = new Set();
        const watch = new MutationObserver((list) => {
            for (const { target } of list) changed.add(`${target.parentNode?.tagName} ${target.tagName}`);
        });
        watch.observe(plot, { subtree: true, childList: true, attributes: true });
        at("pointerdown", box.left + 60);
        const since = performance.now();
        for (let step = 0; step < 100; step += 1) {
            at("pointermove", box.left + 60 + 4 * step);
            plot.getBoundingClientRect();
        }
        const took = (performance.now() - since) / 100;
        await Promise.resolve();
        return [took, [...changed].sort()];
    }""")
    assert changed == ["g circle", "g path"]
    assert took < 16


def test_current_has_an_axis_of_its_own(sheet: SheetPage) -> None:
    sheet.open(link_to(LANTERN))
    texts = line(sheet).locator(".time-plot text")
    expect(texts.filter(has_text=re.compile(r"^mA$"))).to_have_count(0)
    choose(sheet, "R1 current")
    expect(texts.filter(has_text=re.compile(r"^V$"))).to_have_count(1)
    expect(texts.filter(has_text=re.compile(r"^mA$"))).to_have_count(1)
    expect(texts.filter(has_text=re.compile(r"^τ = 15.0 ms$"))).to_have_count(1)
    expect(texts.filter(has_text=re.compile(r"^80 ms$"))).to_have_count(1)


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


def test_it_plays_at_the_pace_that_the_button_says_and_rests_in_the_end(sheet: SheetPage) -> None:
    sheet.page.clock.install()
    sheet.open(link_to(LANTERN))
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
    sheet.page.clock.install()
    sheet.open(link_to(LANTERN))
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
    assert head == ["time (s)", "R1 current (A)", "C1 voltage (V)"]
    for row in rows:
        time, current, voltage = map(float, row)
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
    expect(sheet.page.get_by_role("list", name="Stages")).to_be_visible()
    expect(line(sheet)).to_have_count(0)


def test_what_changes_after_the_switches_is_said(sheet: SheetPage) -> None:
    first, second = LANTERN["stages"]
    stages = [second, {**first, "set": {"C1": "20 µF"}}]
    sheet.open(link_to({**LANTERN, "stages": stages, "stage": 1}))
    moment(sheet).press("End")
    expect(moment(sheet)).to_have_attribute("aria-valuetext", "in the end, before C1 changes: C1 9.00 V")


def test_it_closes_and_opens(sheet: SheetPage) -> None:
    sheet.open(link_to(LANTERN))
    button(sheet, "Time").press("Enter")
    expect(button(sheet, "Time")).to_have_attribute("aria-expanded", "false")
    expect(moment(sheet)).to_have_count(0)
    button(sheet, "Time").press("Enter")
    moment(sheet).press("1")
    expect(readings(sheet)).to_have_text([f"C1{9 * (1 - LEFT):.2f} V"])


def test_a_touch_leads_to_a_moment(sheet: SheetPage) -> None:
    session = sheet.page.context.new_cdp_session(sheet.page)
    sheet.open(link_to(LANTERN))
    box = moment(sheet).bounding_box()
    assert box
    spot = {"x": box["x"] + box["width"] - 4, "y": box["y"] + 40}
    session.send("Input.dispatchTouchEvent", {"type": "touchStart", "touchPoints": [spot]})
    session.send("Input.dispatchTouchEvent", {"type": "touchEnd", "touchPoints": []})
    expect(moment(sheet)).to_have_attribute("aria-valuetext", "in the end: C1 9.00 V")


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
