"""A capacitor given by its build: its row, its side view when it is selected, and the mark past breakdown."""

from __future__ import annotations

from typing import Any

import pytest
from playwright.sync_api import Locator, expect

from tests.browser.ready import link_to
from tests.browser.sheet_page import SheetPage
from tests.browser.test_access import violations

LAYERED = "plates 20 cm² mica 0.2 mm + air 0.1 mm"


def built(build: str, emf: str = "9 V", **more: Any) -> dict[str, Any]:
    return {
        "title": "Storm lantern, one build",
        "joints": {"a": [4, 2], "b": [14, 2], "c": [14, 10], "0": [4, 10]},
        "parts": [
            {"name": "E1", "kind": "battery", "value": emf, "from": "a", "to": "0"},
            {"name": "W1", "kind": "wire", "from": "a", "to": "b"},
            {"name": "C1", "kind": "capacitor", "value": build, "from": "b", "to": "c"},
            {"name": "W2", "kind": "wire", "from": "c", "to": "0"},
        ],
        **more,
    }


def section(sheet: SheetPage) -> Locator:
    return sheet.page.get_by_role("region", name="How C1 is built")


def pick(sheet: SheetPage) -> Locator:
    """Click the symbol on the sheet."""
    sheet.click((14, 6))
    expect(section(sheet)).to_be_visible()
    return section(sheet)


def readings(sheet: SheetPage) -> list[str]:
    return section(sheet).get_by_role("table", name="Field and charge of C1").get_by_role("row").all_inner_texts()


def said(texts: list[str]) -> list[str]:
    return [" ".join(text.split()) for text in texts]


def test_the_row_and_the_sheet_have_the_capacitance_and_the_row_the_words(sheet: SheetPage) -> None:
    """ε₀ · 20 cm² / (0.2 mm/6 + 0.1 mm/1.00059) = 133 pF."""
    sheet.open(link_to(built(LAYERED)))
    expect(sheet.cell("C1", "Capacitance")).to_contain_text("133 pF")
    expect(sheet.cell("C1", "Capacitance")).to_contain_text("mica")
    assert sheet.written("C1")[:2] == ["C1", "133 pF"]
    expect(section(sheet)).to_have_count(0)


def test_the_selected_build_is_drawn_and_read(sheet: SheetPage) -> None:
    sheet.open(link_to(built(LAYERED)))
    expect(pick(sheet).get_by_role("img", name=f"C1: {LAYERED}")).to_be_visible()
    assert said(readings(sheet)) == [
        "Capacitance 133 pF",
        "Largest field 67.5 kV/m",
        "Charge density 598 nC/m²",
        "Breaks down at 400 V",
    ]
    layers = section(sheet).get_by_role("table", name="Layers from the upper plate down").get_by_role("row")
    # 9 V is shared so that κE is one: 67.5 kV/m in the air, 67.5 · 1.00059/6 in the mica.
    assert said(layers.all_inner_texts())[1:] == ["mica 0.2 mm 11.3 kV/m 118 MV/m", "air 0.1 mm 67.5 kV/m 3.00 MV/m"]
    expect(section(sheet)).to_contain_text("in their scale the gap would be 50 times narrower")
    expect(sheet.spoken).to_contain_text("largest field 67.5 kilovolts per metre")
    expect(sheet.spoken).to_contain_text("charge density 598 nanocoulombs per square metre, breaks down at 400 volts")
    sheet.page.keyboard.press("Escape")
    expect(section(sheet)).to_have_count(0)


def test_past_breakdown_is_marked_in_the_row_at_the_reading_and_in_words(sheet: SheetPage) -> None:
    sheet.open(link_to(built(LAYERED, "400 V")))
    expect(sheet.page.get_by_text("past breakdown")).to_have_count(0)
    sheet.edit_cell(sheet.cell("E1", "Emf"), "500 V")
    expect(sheet.sheet.locator(".crack")).to_be_visible()
    assert sheet.written("C1")[-1] == "past breakdown"
    expect(sheet.cell("C1", "Capacitance").get_by_text("past breakdown")).to_be_visible()
    expect(sheet.page.get_by_role("region", name="Notes")).to_contain_text(
        "the field in the air is past what air withstands"
    )
    pick(sheet)
    expect(section(sheet).get_by_role("row", name="air").get_by_text("past breakdown")).to_be_visible()
    expect(sheet.spoken).to_contain_text("breaks down at 400 volts, past breakdown")
    expect(section(sheet).get_by_role("row", name="mica").get_by_text("past breakdown")).to_have_count(0)


def test_readings_of_a_build_can_be_covered(sheet: SheetPage) -> None:
    sheet.open(link_to(built(LAYERED, "500 V")))
    pick(sheet)
    section(sheet).get_by_role("button", name="400 V, breakdown of C1: cover it").click()
    expect(section(sheet).get_by_role("button", name="Uncover breakdown of C1")).to_have_text("?")
    expect(sheet.cell("C1", "Capacitance").get_by_text("past breakdown")).to_have_count(0)
    expect(sheet.sheet.locator(".crack")).to_have_count(0)
    sheet.page.keyboard.press("Escape")
    sheet.page.keyboard.press(".")
    sheet.page.keyboard.press(".")
    pick(sheet)
    section(sheet).get_by_role("button", name="133 pF, capacitance of C1: cover it").click()
    # What is to be found from the build's words is not beside the symbol either.
    expect(sheet.value_on_sheet("C1")).to_have_text(LAYERED)


@pytest.mark.parametrize(
    ("build", "told"),
    [
        ("plates 20 cm² 1.2 cm, mica 1/3, air 2/3", "plates and gap in one scale"),
        ("plates 1 m² 1 mm", "00 times narrower"),
        ("spheres 3 cm 4 cm", "both in one scale"),
        ("spheres 6370 km 6440 km vacuum", "the gap would be 20 times narrower"),
        ("cylinders 0.5 mm 1.75 mm 2 m polyethylene", "They are 2 m long."),
        ("sphere 15 cm", "the other plate is all that is far away"),
    ],
)
@pytest.mark.parametrize("width", [390, 1366])
def test_every_shape_is_drawn_within_the_column_in_a_stated_scale(
    sheet: SheetPage, build: str, told: str, width: int
) -> None:
    sheet.page.set_viewport_size({"width": width, "height": 800})
    sheet.open(link_to(built(build)))
    expect(pick(sheet)).to_contain_text(told)
    picture = section(sheet).get_by_role("img").bounding_box()
    column = section(sheet).bounding_box()
    assert picture
    assert column
    assert picture["x"] >= column["x"]
    assert picture["x"] + picture["width"] <= column["x"] + column["width"] + 1
    written = section(sheet).get_by_role("img").locator("text")
    for text in written.all():
        box = text.bounding_box()
        assert box
        assert box["x"] >= column["x"] - 1
        assert box["x"] + box["width"] <= column["x"] + column["width"] + 1


def test_dragging_the_value_pulls_the_plates_apart(sheet: SheetPage) -> None:
    """0.1 mm of air steps through preferred numbers: the field and the capacitance fall, the build stays one."""
    sheet.open(link_to(built("plates 20 cm² 0.1 mm air")))
    pick(sheet)
    sheet.drag_value("C1", 28)
    expect(sheet.cell("C1", "Capacitance")).to_contain_text("0.15\u00a0mm")
    expect(section(sheet)).to_contain_text("60.0 kV/m")
    sheet.undo()
    expect(section(sheet)).to_contain_text("90.0 kV/m")


def test_no_voltage_no_charge_and_no_field_in_the_picture(sheet: SheetPage) -> None:
    sheet.open(link_to(built("plates 20 cm² 0.1 mm mica", "0 V")))
    marks = pick(sheet).get_by_role("img").locator("path")
    without = marks.count()
    sheet.edit_cell(sheet.cell("E1", "Emf"), "9 V")
    expect(section(sheet)).to_contain_text("90.0 kV/m")
    assert marks.count() > without


@pytest.mark.parametrize("width", [390, 1366])
def test_axe_finds_nothing_amiss_in_side_view_form_and_plates_laid_together(sheet: SheetPage, width: int) -> None:
    sheet.page.set_viewport_size({"width": width, "height": 844})
    sheet.open(link_to(built(LAYERED, "500 V")))
    pick(sheet)
    assert violations(sheet.page) == []
    section(sheet).get_by_role("button", name="Change it").click()
    expect(sheet.page.get_by_role("dialog").get_by_role("img")).to_be_visible()
    assert violations(sheet.page) == []
    sheet.page.keyboard.press("Escape")
    sheet.open_ready("Two in series")
    sheet.click((14, 5))
    sheet.page.get_by_role("button", name="Why C1 and C2 in series make one wider gap").click()
    sheet.page.get_by_role("button", name="Lay them together").click()
    assert violations(sheet.page) == []


@pytest.mark.parametrize(
    ("build", "fills"),
    [
        ("plates 20 cm² 0.1 mm", None),
        ("plates 20 cm² 0.1 mm vacuum", None),
        ("plates 20 cm² 0.1 mm mica", ("10", "50")),
        ("plates 20 cm² 50 µm κ 6 at 12 MV/m", ("10", "50")),
        ("plates 20 cm² mica 0.1 mm + air 0.2 mm", ("5", "50")),
        ("plates 20 cm² 0.1 mm, mica 1/3, air 2/3", ("10", "25")),
        ("10 nF", None),
    ],
)
def test_a_dielectric_is_seen_between_the_plates_of_the_symbol(sheet: SheetPage, build: str, fills: Any) -> None:
    sheet.open(link_to(built(build)))
    slabs = sheet.sheet.locator(".ink rect[stroke=none]")
    found = [(slab.get_attribute("width"), slab.get_attribute("height")) for slab in slabs.all()]
    assert found == ([fills] if fills else [])
