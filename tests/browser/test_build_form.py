"""The form for a capacitor's build: from the value field and from the side view, by mouse, by touch and by keys."""

from __future__ import annotations

from collections.abc import Iterator

import pytest
from playwright.sync_api import Browser, Locator, expect

from tests.browser.fingers import TouchedPage
from tests.browser.ready import link_to
from tests.browser.sheet_page import SheetPage
from tests.browser.test_builds import LAYERED, built, pick


def form(sheet: SheetPage) -> Locator:
    return sheet.page.get_by_role("dialog", name="How is it built?")


def use(sheet: SheetPage) -> None:
    form(sheet).get_by_role("button", name="Use it").click()
    expect(form(sheet)).to_have_count(0)
    sheet.settled()


def test_a_plain_capacitor_is_given_a_build_from_its_value_field(sheet: SheetPage) -> None:
    """ε₀ · 6 · 50 cm² / 0.2 mm = 1.33 nF."""
    sheet.open(link_to(built("10 nF")))
    sheet.click_value("C1")
    sheet.page.get_by_role("button", name="Build…").click()
    form(sheet).get_by_label("area", exact=True).fill("50")
    form(sheet).get_by_label("gap", exact=True).fill("0.2")
    form(sheet).get_by_label("Dielectric", exact=True).select_option(label="mica, κ 6.0, 118 MV/m")
    expect(form(sheet)).to_contain_text("1.33 nF plates 50 cm² 0.2 mm mica")
    expect(form(sheet).get_by_role("img", name="Side view: plates 50 cm² 0.2 mm mica")).to_be_visible()
    use(sheet)
    expect(sheet.cell("C1", "Capacitance")).to_contain_text("1.33 nF")
    sheet.undo()
    expect(sheet.cell("C1", "Capacitance")).to_have_text("10 nF")


def test_the_form_opens_on_the_build_as_it_stands_and_changes_its_layers(sheet: SheetPage) -> None:
    sheet.open(link_to(built(LAYERED)))
    pick(sheet).get_by_role("button", name="Change it").click()
    expect(form(sheet).get_by_label("Filled by")).to_have_value("layers")
    expect(form(sheet).get_by_label("thickness 1", exact=True)).to_have_value("0.2")
    form(sheet).get_by_role("button", name="Add a layer").click()
    expect(form(sheet).get_by_label("Dielectric 3", exact=True)).to_be_focused()
    form(sheet).get_by_label("Dielectric 3", exact=True).select_option(label="of your own…")
    form(sheet).get_by_label("κ of dielectric 3").fill("2.5")
    form(sheet).get_by_label("Strength of dielectric 3").fill("12")
    expect(form(sheet)).to_contain_text("plates 20 cm² mica 0.2 mm + air 0.1 mm + κ 2.5 at 12 MV/m 0.1 mm")
    form(sheet).get_by_role("button", name="Drop dielectric 2").click()
    expect(form(sheet)).to_contain_text("plates 20 cm² mica 0.2 mm + κ 2.5 at 12 MV/m 0.1 mm")
    use(sheet)
    layers = sheet.page.get_by_role("table", name="Layers from the upper plate down")
    expect(layers.get_by_role("row", name="κ = 2.5")).to_contain_text("12.0 MV/m")


def test_what_cannot_be_built_is_said_and_cannot_be_used(sheet: SheetPage) -> None:
    sheet.open(link_to(built("spheres 3 cm 4 cm")))
    pick(sheet).get_by_role("button", name="Change it").click()
    form(sheet).get_by_label("inner radius", exact=True).fill("5")
    expect(form(sheet)).to_contain_text("the outer radius has to be larger than the inner one")
    expect(form(sheet).get_by_role("button", name="Use it")).to_be_disabled()
    form(sheet).get_by_label("Shape").select_option("sphere")
    expect(form(sheet)).to_contain_text("16.7 pF sphere 15 cm air")
    form(sheet).get_by_role("button", name="Close").click()
    expect(sheet.cell("C1", "Capacitance")).to_contain_text("13.4 pF")


def test_strips_share_the_area(sheet: SheetPage) -> None:
    sheet.open(link_to(built("plates 20 cm² 0.1 mm mica")))
    pick(sheet).get_by_role("button", name="Change it").click()
    form(sheet).get_by_label("Filled by").select_option("strips")
    form(sheet).get_by_label("Share 1").fill("1/3")
    expect(form(sheet)).to_contain_text("the shares of the area have to add up to 1")
    form(sheet).get_by_label("Share 2").fill("2/3")
    use(sheet)
    expect(sheet.cell("C1", "Capacitance")).to_contain_text("mica 1/3, air 2/3")


def test_by_keys_alone(sheet: SheetPage) -> None:
    sheet.open(link_to(built("10 nF")))
    sheet.click((14, 6))
    keyboard = sheet.page.keyboard
    keyboard.press("Enter")
    expect(sheet.field).to_be_focused()
    sheet.page.get_by_role("button", name="Build…").focus()
    keyboard.press("Enter")
    form(sheet).get_by_label("gap", exact=True).focus()
    keyboard.press("Control+a")
    keyboard.type("0.5")
    expect(form(sheet)).to_contain_text("35.4 pF")
    keyboard.press("Enter")
    expect(form(sheet)).to_have_count(0)
    expect(sheet.cell("C1", "Capacitance")).to_contain_text("35.4 pF")
    expect(sheet.sheet).to_be_focused()


def test_a_new_line_can_become_a_build_and_escape_leaves_nothing(empty: SheetPage) -> None:
    empty.line((6, 4), (6, 10))
    empty.page.get_by_role("button", name="Build…").click()
    expect(form(empty)).to_contain_text("177 pF")
    empty.page.keyboard.press("Escape")
    expect(form(empty)).to_have_count(0)
    expect(empty.page.get_by_text("Nothing is on the sheet yet.")).to_be_visible()
    empty.line((6, 4), (6, 10))
    empty.page.get_by_role("button", name="Build…").click()
    expect(form(empty)).to_contain_text("177 pF")
    use(empty)
    expect(empty.cell("C1", "Capacitance")).to_contain_text("177 pF")


@pytest.fixture
def touched(browser: Browser, base_url: str) -> Iterator[TouchedPage]:
    context = browser.new_context(
        viewport={"width": 390, "height": 844}, has_touch=True, is_mobile=True, base_url=base_url
    )
    yield TouchedPage(context.new_page())
    context.close()


def test_by_touch_on_a_phone(touched: TouchedPage) -> None:
    touched.open(link_to(built("10 nF")))
    touched.click((14, 6))
    touched.page.get_by_role("button", name="Value of C1", exact=True).tap()
    touched.page.get_by_role("button", name="Build…").tap()
    form(touched).get_by_label("Filled by").select_option("layers")
    form(touched).get_by_label("thickness 1", exact=True).fill("0.3")
    dialog = form(touched).bounding_box()
    assert dialog
    for field in form(touched).locator("input, select, button").all():
        box = field.bounding_box()
        assert box
        assert box["x"] >= dialog["x"]
        assert box["x"] + box["width"] <= dialog["x"] + dialog["width"]
    form(touched).get_by_role("button", name="Use it").tap()
    expect(form(touched)).to_have_count(0)
    # ε₀ · 20 cm² / (0.3 mm/1.00059 + 0.1 mm/6) = 55.95 pF
    expect(touched.cell("C1", "Capacitance")).to_contain_text("56.0 pF")
