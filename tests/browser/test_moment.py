"""The whole sheet at a moment: readings, overlays, ledger and tiles follow the time line, by mouse, touch and keys."""

from __future__ import annotations

import math
import re
from datetime import UTC, datetime, timedelta
from typing import Any

import pytest
from playwright.sync_api import Browser, Locator, Page, expect

from solver.format import format_float
from tests.browser.fingers import TouchedPage
from tests.browser.ready import link_to
from tests.browser.sheet_page import SheetPage
from tests.browser.test_access import SIZES, violations
from tests.browser.test_timeline import LANTERN, button, line, moment

# The lantern's capacitor, 10 µF at 9 V, empties through 1.5 kΩ: τ = 15 ms.
FADING: dict[str, Any] = {
    **LANTERN,
    "joints": {**LANTERN["joints"], "l": [32, 4], "y": [32, 14]},
    "parts": [
        *LANTERN["parts"],
        {"name": "S2", "kind": "switch", "closed": False, "from": "b", "to": "l"},
        {"name": "R2", "kind": "resistor", "value": "1.5 kΩ", "from": "l", "to": "y"},
        {"name": "W2", "kind": "wire", "from": "x", "to": "y"},
    ],
    "stages": [{"name": "Charge", "closed": ["S1"]}, {"name": "Fade", "closed": ["S2"]}],
    "stage": 1,
}
LEFT = math.exp(-1)


def text(value: float, unit: str) -> str:
    return format_float(value, unit, 3)


def banner(sheet: SheetPage) -> Locator:
    return sheet.page.locator("#moment")


def assert_faded(sheet: SheetPage, left: float, when: str) -> None:
    """All readings of the fading lantern with this share of the voltage left."""
    volts = 9 * left
    expect(banner(sheet).locator("b")).to_have_text(when)
    expect(sheet.cell("C1", "Voltage")).to_have_text(text(volts, "V"))
    expect(sheet.cell("C1", "Charge")).to_have_text(text(volts * 1e-5, "C"))
    expect(sheet.cell("C1", "Current")).to_have_text(text(-volts / 1500, "A"))
    expect(sheet.cell("C1", "Energy")).to_have_text(text(5e-6 * volts**2, "J"))
    expect(sheet.cell("R2", "Current")).to_have_text(text(volts / 1500, "A"))
    expect(sheet.cell("R2", "Power")).to_have_text(text(volts**2 / 1500, "W"))
    assert sheet.written("C1")[2:] == [text(volts, "V"), text(volts * 1e-5, "C"), text(5e-6 * volts**2, "J")]
    assert sheet.written("R2")[2:] == [text(volts, "V"), text(volts / 1500, "A"), text(volts**2 / 1500, "W")]
    assert text(volts, "V") in sheet.flags()
    expect(sheet.page.get_by_role("region", name="Charge across, voltage up")).to_contain_text(
        f"In all {text(volts, 'V')} × {text(volts * 1e-5, 'C')} ÷ 2 = {text(5e-6 * volts**2, 'J')}"
    )


def test_the_sheet_the_ledger_and_the_tiles_show_the_moment(sheet: SheetPage) -> None:
    sheet.open(link_to(FADING))
    expect(banner(sheet)).to_be_hidden()
    moment(sheet).press("1")
    assert_faded(sheet, LEFT, "at 15.0 ms")
    expect(sheet.panel.get_by_role("heading", name="Ledger, at 15.0 ms")).to_be_visible()
    banner(sheet).get_by_role("button", name="Back to the end").click()
    expect(banner(sheet)).to_be_hidden()
    expect(sheet.cell("C1", "Voltage")).to_have_text("0 V")
    expect(sheet.panel.get_by_role("heading", name="Ledger, ")).to_have_count(0)


def test_discs_and_bands_fade_on_one_scale(sheet: SheetPage) -> None:
    """The disc's area is the energy: after one time constant e⁻² of it is left, so the radius goes with e⁻¹."""
    sheet.open(link_to(FADING))
    sheet.page.emulate_media(reduced_motion="reduce")
    disc = sheet.sheet.locator(".discs circle")
    moment(sheet).press("0")
    full = float(disc.get_attribute("r") or "")
    band = sheet.sheet.locator(".flags rect")
    dark = {band.nth(place).get_attribute("fill") for place in range(band.count())}
    moment(sheet).press("1")
    assert float(disc.get_attribute("r") or "") == pytest.approx(full * LEFT, rel=1e-6)
    assert dark != {band.nth(place).get_attribute("fill") for place in range(band.count())}


def test_arrows_show_where_the_current_goes_and_fade_with_it(sheet: SheetPage) -> None:
    """Out of the capacitor's upper plate, into the lamp from above; areas go with the current."""
    sheet.open(link_to(FADING))
    arrows = sheet.sheet.locator(".signs > path")
    expect(arrows).to_have_count(0)
    areas = []
    for key in ("0", "1"):
        moment(sheet).press(key)
        expect(arrows).to_have_count(2)
        tips = [re.findall(r"-?[\d.]+", arrows.nth(place).get_attribute("d") or "") for place in (0, 1)]
        (_, c_tip, _, c_back, *_), (_, r_tip, _, r_back, *_) = [list(map(float, tip)) for tip in tips]
        assert c_tip < c_back
        assert r_tip > r_back
        areas.append((c_back - c_tip) ** 2)
    assert areas[1] == pytest.approx(areas[0] * LEFT, rel=0.01)
    sheet.open(link_to({**FADING, "moment": 0.015, "covered": ["R2.current"]}))
    expect(arrows).to_have_count(1)


def test_currents_at_once_are_those_of_the_full_capacitor(sheet: SheetPage) -> None:
    sheet.open(link_to(FADING))
    button(sheet, "0⁺: just after the start").click()
    assert_faded(sheet, 1, "just after the start")


def test_keys_on_the_sheet_lead_to_the_moments(sheet: SheetPage) -> None:
    sheet.open(link_to(FADING))
    expect(moment(sheet)).to_be_visible()
    for key, left, when in [
        ("Home", 1.0, "just after the start"),
        ("k", LEFT, "at 15.0 ms"),
        ("Shift+K", LEFT**5, "at 75.0 ms"),
    ]:
        sheet.press(key)
        assert_faded(sheet, left, when)
    sheet.press("End")
    expect(banner(sheet)).to_be_hidden()
    sheet.press("?")
    keys = sheet.page.get_by_role("dialog")
    expect(keys).to_contain_text("Home, K, Shift K, End")
    expect(keys).to_contain_text("Keys of the time line")


def test_what_is_covered_stays_covered_at_every_moment(sheet: SheetPage) -> None:
    sheet.open(link_to({**FADING, "covered": ["C1.charge"]}))
    for key in ("0", "1", "5"):
        moment(sheet).press(key)
        expect(sheet.cell("C1", "Charge")).to_have_text("?")
        assert sheet.written("C1")[3] == "?"
        expect(sheet.sheet.locator(".signs > g")).to_have_count(0)
        expect(sheet.page.get_by_role("region", name="Charge across, voltage up")).to_contain_text("the charge of C1")
    sheet.cell("C1", "Charge").get_by_role("button").click()
    expect(sheet.cell("C1", "Charge")).to_have_text(text(9e-5 * LEFT**5, "C"))


def test_a_link_opens_at_the_moment_that_it_was_made_at(sheet: SheetPage) -> None:
    sheet.open(link_to({**FADING, "moment": 0.03}))
    assert_faded(sheet, LEFT**2, "at 30.0 ms")
    sheet.page.get_by_role("list", name="Stages").get_by_role("button").first.click()
    expect(banner(sheet)).to_be_hidden()


def test_a_value_changed_at_a_moment_is_read_at_that_moment(sheet: SheetPage) -> None:
    sheet.open(link_to({**FADING, "moment": 0.03}))
    sheet.edit_cell(sheet.cell("R2", "Resistance"), "3 kΩ")
    expect(sheet.cell("C1", "Voltage")).to_have_text(text(9 * LEFT, "V"))
    expect(banner(sheet).locator("b")).to_have_text("at 30.0 ms")
    sheet.undo()
    expect(sheet.cell("C1", "Voltage")).to_have_text(text(9 * LEFT**2, "V"))


def test_the_loop_rule_holds_at_every_moment(sheet: SheetPage) -> None:
    sheet.open(link_to({**FADING, "moment": 0.015}))
    expect(banner(sheet)).to_be_visible()
    volts = text(9 * LEFT, "V")
    assert f"Loop C1 R2: {volts} − {volts} = 0 V" in [line.replace("\xa0", " ") for line in sheet.check_lines()]


def test_a_capacitor_that_changes_later_has_its_old_value(sheet: SheetPage) -> None:
    first, second = FADING["stages"]
    stages = [{**first, "set": {"C1": "10 µF"}}, {**second, "set": {"C1": "20 µF"}}]
    sheet.open(link_to({**FADING, "stages": stages, "moment": 0.015}))
    expect(banner(sheet).locator("b")).to_have_text("at 15.0 ms, before C1 changes")
    assert sheet.written("C1")[:2] == ["C1", "10 µF"]
    expect(sheet.cell("C1", "Voltage")).to_have_text(text(9 * LEFT, "V"))
    button(sheet, "end: when all has settled").click()
    expect(sheet.label("C1")).to_contain_text("20 µF")


def test_the_account_tells_where_the_energy_was_lost(sheet: SheetPage) -> None:
    """270 µC of a 30 µF capacitor at 9 V, shared with 15 µF by wire: 405 µJ as a spark; the rest, 810 µJ, in R1."""
    parts = [
        {"name": "C1", "kind": "capacitor", "value": "30 µF", "initial": "9 V", "from": "a", "to": "0"},
        {"name": "S1", "kind": "switch", "closed": True, "from": "a", "to": "b"},
        {"name": "C2", "kind": "capacitor", "value": "15 µF", "from": "b", "to": "0"},
        {"name": "R1", "kind": "resistor", "value": "2 kΩ", "from": "b", "to": "0"},
    ]
    joints = {"a": [2, 4], "b": [12, 4], "0": [2, 14]}
    sheet.open(link_to({"joints": joints, "parts": parts, "stages": [{"closed": ["S1"]}], "stage": 0}))
    rows = sheet.page.get_by_role("table", name="Energy of this stage").get_by_role("row")
    expect(rows).to_have_text(
        [
            "Stored before1.22 mJ",
            "Stored after0 J",
            "Lost as heat and spark1.22 mJ",
            "in R1810 µJ",
            "at once, as a spark405 µJ",
        ]
    )


def test_dragging_changes_what_is_there_and_builds_nothing_anew(sheet: SheetPage) -> None:
    sheet.open(link_to(FADING))
    moment(sheet).press("1")
    added = moment(sheet).evaluate("""async (plot) => {
        const box = plot.getBoundingClientRect();
        const at = (type, x) => plot.dispatchEvent(
            new PointerEvent(type, { pointerId: 1, clientX: x, clientY: box.top + 40, bubbles: true }),
        );
        // No finger is there to be held.
        plot.setPointerCapture = () => {};
        plot.hasPointerCapture = () => true;
        at("pointerdown", box.left + 150);
        const added = new Set();
        const watch = new MutationObserver((list) => {
            for (const { target, addedNodes } of list)
                for (const node of addedNodes) if (node.nodeType === Node.ELEMENT_NODE) added.add(target.tagName);
        });
        for (const place of document.querySelectorAll("#sheet, #tiles, #panel table"))
            watch.observe(place, { subtree: true, childList: true });
        for (let step = 0; step < 50; step += 1) at("pointermove", box.left + 150 + step);
        await Promise.resolve();
        return [...added];
    }""")
    assert added == []
    expect(banner(sheet).locator("b")).not_to_have_text("at 15.0 ms")


def test_a_finger_leads_the_sheet_along(browser: Browser, base_url: str) -> None:
    context = browser.new_context(
        base_url=base_url, has_touch=True, is_mobile=True, viewport={"width": 390, "height": 844}
    )
    page: Page = context.new_page()
    sheet = TouchedPage(page)
    sheet.open(link_to(FADING))
    button(sheet, "τ: after one time constant").tap()
    assert_faded(sheet, LEFT, "at 15.0 ms")
    moment(sheet).scroll_into_view_if_needed()
    box = moment(sheet).bounding_box()
    assert box
    sheet.swipe((box["x"] + 150, box["y"] + 60), (box["x"] + 20, box["y"] + 62))
    assert_faded(sheet, 1, "just after the start")
    banner(sheet).get_by_role("button", name="Back to the end").tap()
    expect(banner(sheet)).to_be_hidden()
    context.close()


def test_the_ready_sketch_opens_at_a_moment_with_all_of_it_in_sight(sheet: SheetPage) -> None:
    """100 mF at 6 V through 50 Ω: after τ = 5 s, e⁻¹ of the voltage and of the current are left."""
    sheet.open_ready("The lantern fades")
    expect(banner(sheet).locator("b")).to_have_text("at 5.00 s")
    expect(sheet.cell("C1", "Voltage")).to_have_text(text(6 * LEFT, "V"))
    expect(sheet.cell("Lamp", "Current")).to_have_text(text(0.12 * LEFT, "A"))
    expect(line(sheet).get_by_role("list", name="Readings at the moment").get_by_role("listitem")).to_have_count(2)
    told, window = banner(sheet).bounding_box(), sheet.sheet.bounding_box()
    assert told
    assert window
    for place in sheet.sheet.locator(".flags rect").all():
        box = place.bounding_box()
        assert box
        assert box["y"] >= told["y"] + told["height"] or box["x"] >= told["x"] + told["width"]
        assert box["y"] + box["height"] <= window["y"] + window["height"]


@pytest.mark.parametrize("size", SIZES)
def test_everybody_can_use_a_moment(sheet: SheetPage, size: str) -> None:
    width, height = SIZES[size]
    sheet.page.set_viewport_size({"width": width, "height": height})
    sheet.open(link_to({**FADING, "moment": 0.015}))
    expect(banner(sheet)).to_be_visible()
    assert violations(sheet.page) == []
    box = banner(sheet).bounding_box()
    assert box
    assert box["x"] + box["width"] <= width
    expect(line(sheet)).to_be_visible()


def test_play_begins_at_the_start_where_nobody_has_moved_the_moment_since_opening(sheet: SheetPage) -> None:
    sheet.page.clock.install()
    sheet.open(link_to({**FADING, "moment": 0.03}))
    expect(banner(sheet).locator("b")).to_have_text("at 30.0 ms")
    sheet.page.clock.pause_at(datetime.now(UTC) + timedelta(hours=1))
    button(sheet, re.compile("^Play .* slower$")).click()
    sheet.page.clock.run_for(200)
    # 200 ms for the eye are 2.5 ms of the network's.
    expect(line(sheet).locator(".time-now")).to_have_text(re.compile(r"^t = [12]\.\d+ ms$"))


def test_the_columns_of_the_ledger_stay_where_they_are_at_all_moments(sheet: SheetPage) -> None:
    sheet.open(link_to({**FADING, "figures": 4}))
    edges = (
        "() => [...document.querySelectorAll('#panel .ledger thead th')].map((each) => each.getBoundingClientRect().x)"
    )
    moment(sheet).press("Home")
    expect(sheet.cell("C1", "Voltage")).to_have_text("9.000 V")
    at_start = sheet.page.evaluate(edges)
    for _ in range(4):
        moment(sheet).press("PageUp")
        assert sheet.page.evaluate(edges) == at_start
