"""On a phone everything can be done with fingers, and nothing has to be scrolled sideways."""

from __future__ import annotations

import re
from typing import Any

import pytest
from playwright.sync_api import Page, expect

from tests.browser.fingers import TouchedPage
from tests.browser.ready import TITLES, middle, ready
from tests.browser.sheet_page import assert_mixed, draw_mixed

MIXED = ready("Three, mixed")
PHONE = {"width": 390, "height": 844}


@pytest.fixture(scope="session")
def browser_context_args(browser_context_args: dict[str, Any]) -> dict[str, Any]:
    return {**browser_context_args, "viewport": PHONE, "has_touch": True, "is_mobile": True, "device_scale_factor": 2}


@pytest.fixture
def phone(page: Page, complaints: list[str]) -> TouchedPage:
    touched = TouchedPage(page)
    touched.open()
    return touched


@pytest.fixture
def blank(phone: TouchedPage) -> TouchedPage:
    phone.open_empty()
    return phone


def nothing_sticks_out(phone: TouchedPage) -> bool:
    return bool(phone.page.evaluate("() => document.documentElement.scrollWidth <= window.innerWidth"))


def test_the_mixed_network_is_drawn_by_touch(blank: TouchedPage) -> None:
    draw_mixed(blank, across=(2, 7, 13), down=(3, 8, 14))
    assert_mixed(blank)


def test_chips_type_the_units_and_kinds_for_a_finger(blank: TouchedPage) -> None:
    blank.line((4, 3), (4, 9))
    blank.field.press_sequentially("22")
    blank.page.get_by_role("button", name="µF", exact=True).tap()
    expect(blank.means).to_contain_text("capacitor")
    blank.page.get_by_role("button", name="Enter", exact=True).tap()
    expect(blank.cell("C1", "Capacitance")).to_have_text("22 µF")
    blank.line((4, 9), (10, 9))
    blank.page.get_by_role("button", name="switch", exact=True).tap()
    expect(blank.cell("S1", "State")).to_have_text("open")


def test_chips_and_actions_are_large_enough_for_a_finger(blank: TouchedPage) -> None:
    # WCAG 2.2, 2.5.8 asks for 24 px; 40 px is our own wish for what is tapped all the time.
    blank.line((4, 3), (4, 9))
    for button in blank.page.locator(".typing").get_by_role("button").all():
        assert (button.bounding_box() or {"height": 0})["height"] >= 40
    blank.answer("22 uF")
    blank.settled()
    expect(blank.actions.get_by_role("button", name="Delete")).to_be_visible()
    # All in one look, once it stands: the bar is made anew whenever there is news of the readings.
    blank.page.wait_for_function(
        """() => {
          const boxes = [...document.querySelectorAll("#actions button")].map((each) => each.getBoundingClientRect());
          return boxes.length > 4 && boxes.every(({ width, height }) => Math.min(width, height) >= 40);
        }"""
    )


def test_the_field_stands_inside_the_window(blank: TouchedPage) -> None:
    for start, end in (((1, 2), (1, 6)), ((13, 12), (13, 18))):
        blank.line(start, end)
        box = blank.page.locator(".typing").bounding_box()
        assert box
        assert box["x"] >= 0
        assert box["x"] + box["width"] <= PHONE["width"]
        assert box["y"] + box["height"] <= PHONE["height"]
        blank.field.press("Escape")


def test_a_tap_selects_and_the_bar_offers_what_can_be_done(phone: TouchedPage) -> None:
    phone.click(middle(MIXED, "C1"))
    phone.actions.get_by_role("button", name=re.compile("In series")).tap()
    expect(phone.row("C4")).to_be_visible()
    phone.actions.get_by_role("button", name=re.compile("Delete")).tap()
    expect(phone.row("C4")).to_have_count(0)


def test_a_part_is_dragged_with_a_finger(phone: TouchedPage) -> None:
    before = phone.label("C3").bounding_box()
    x, y = middle(MIXED, "C3")
    phone.drag((x, y), (x, y - 1))
    phone.settled()
    after = phone.label("C3").bounding_box()
    assert before
    assert after
    assert after["y"] < before["y"]
    expect(phone.cell("C3", "Voltage")).to_have_text("6.00 V")


def test_two_fingers_spread_zoom_in_and_what_is_under_them_stays(phone: TouchedPage) -> None:
    before = phone.view()
    x, y = phone.pixels((12, 8))
    phone.two_fingers(((x - 30, y), (x + 30, y)), ((x - 60, y), (x + 60, y)))
    after = phone.view()
    assert after.scale == pytest.approx(2 * before.scale, rel=0.05)
    assert phone.pixels((12, 8)) == pytest.approx((x, y), abs=3)
    expect(phone.field).to_have_count(0)


def test_two_fingers_moved_together_pan(phone: TouchedPage) -> None:
    before = phone.view()
    x, y = phone.pixels((12, 8))
    phone.two_fingers(((x - 30, y), (x + 30, y)), ((x - 10, y + 50), (x + 50, y + 50)))
    after = phone.view()
    assert after.scale == pytest.approx(before.scale, rel=0.02)
    assert (after.left - before.left, after.top - before.top) == pytest.approx((20, 50), abs=3)


def test_two_joints_are_read_between_without_a_shift_key(phone: TouchedPage) -> None:
    phone.click(tuple(MIXED["joints"]["c"]))
    phone.actions.get_by_role("button", name=re.compile("Measure to another joint")).tap()
    phone.click(tuple(MIXED["joints"]["0"]))
    expect(phone.panel.get_by_role("region", name="Between two joints")).to_contain_text("45.0 µF")


def test_the_ledger_stands_under_the_sheet_and_is_scrolled_to(phone: TouchedPage) -> None:
    drawing = phone.sheet.bounding_box()
    ledger = phone.panel.bounding_box()
    assert drawing
    assert ledger
    assert ledger["y"] >= drawing["y"] + drawing["height"]
    phone.cell("C3", "Energy").scroll_into_view_if_needed()
    expect(phone.cell("C3", "Energy")).to_be_in_viewport()


@pytest.mark.parametrize("title", [*TITLES, "Empty sheet"])
def test_nothing_has_to_be_scrolled_sideways(phone: TouchedPage, title: str) -> None:
    phone.open_ready(title)
    assert nothing_sticks_out(phone)
    if title in TITLES:
        part = next(each["name"] for each in ready(title)["parts"] if each["kind"] in ("capacitor", "resistor"))
        phone.click(middle(ready(title), part))
        expect(phone.actions.get_by_role("button", name=re.compile("Delete"))).to_be_visible()
        assert nothing_sticks_out(phone)


@pytest.mark.parametrize("opener", ["Open", "Share link", "Keys"])
def test_dialogs_fit_the_window(phone: TouchedPage, opener: str) -> None:
    phone.page.get_by_role("button", name=re.compile(f"^{opener}")).tap()
    box = phone.page.get_by_role("dialog").bounding_box()
    assert box
    assert box["x"] >= 0
    assert box["x"] + box["width"] <= PHONE["width"]
    assert nothing_sticks_out(phone)


def test_ratings_are_read_and_what_fails_after_what_is_stepped_through_by_touch(phone: TouchedPage) -> None:
    phone.open_ready("Which part fails first")
    section = phone.page.get_by_role("region", name="Will it hold")
    # 12 V on 2 µF are 24 µC, so 24 µC / 1 µF = 24 V on all three.
    expect(section).to_contain_text("Holds up to 24.0 V; C3 limits it.")
    section.get_by_role("button", name="What happens past it").tap()
    dialog = phone.page.get_by_role("dialog", name="What happens past it")
    dialog.get_by_role("button", name="Next").tap()
    expect(dialog.get_by_role("heading", level=3)).to_have_text("C3 goes first")
    dialog.get_by_role("button", name="Close").tap()
    expect(dialog).to_have_count(0)
    assert nothing_sticks_out(phone)
