"""The worked solution of a stage and of a course over time, walked through as in class."""

from __future__ import annotations

from typing import Any

from playwright.sync_api import expect

from tests.browser.ready import link_to
from tests.browser.sheet_page import SheetPage
from tests.browser.solution_page import SolutionPage
from tests.browser.test_access import violations
from tests.browser.test_times import FADING

SHARING: dict[str, Any] = {
    "title": "Charge, then share",
    "joints": {"e": [2, 4], "a": [10, 4], "b": [20, 4], "z": [2, 14], "y": [10, 14], "x": [20, 14]},
    "parts": [
        {"name": "E1", "kind": "battery", "value": "9 V", "from": "e", "to": "z"},
        {"name": "S1", "kind": "switch", "closed": False, "from": "e", "to": "a"},
        {"name": "C1", "kind": "capacitor", "value": "10 µF", "from": "a", "to": "y"},
        {"name": "S2", "kind": "switch", "closed": True, "from": "a", "to": "b"},
        {"name": "C2", "kind": "capacitor", "value": "5 µF", "from": "b", "to": "x"},
        {"name": "W1", "kind": "wire", "from": "z", "to": "y"},
        {"name": "W2", "kind": "wire", "from": "y", "to": "x"},
    ],
    "stages": [{"name": "Charge", "closed": ["S1"]}, {"name": "Share", "closed": ["S2"]}],
    "stage": 1,
}


def test_a_stage_is_worked_out_from_the_charge_that_is_kept(sheet: SheetPage) -> None:
    sheet.open(link_to(SHARING))
    solution = SolutionPage(sheet).open()
    expect(solution.panel.get_by_label("Way to the solution")).to_have_value("stage")
    solution.list.focus()
    solution.press("ArrowRight")
    assert solution.formulas() == ["Q1,0=C1V1,0=10.0µF×9.00V=90.0µC", "Q2,0=0C"]
    solution.button("All").click()
    titles = solution.titles()
    assert titles[0] == "What the stage begins with"
    assert titles[-2:] == ["The energy, and what is lost", "Check: against the solver"]
    # 90 µC on 15 µF: 6 V. ½·90 µC·9 V = 405 µJ, ½·90 µC·6 V = 270 µJ.
    assert "Ulost" not in solution.formulas()
    lost = solution.steps.nth(len(titles) - 2)
    assert solution.formulas(lost)[-1] == "Wlost=Ubefore−Uafter=405µJ−270µJ=135µJ"
    expect(solution.steps.last).to_contain_text("4 voltages and charges to compare, and each agrees exactly.")
    assert violations(sheet.page) == []


def test_a_course_over_time_is_worked_out_to_the_logarithm(sheet: SheetPage) -> None:
    sheet.open(link_to({**FADING, "questions": [{"reading": "C1.voltage", "reaches": "80 %"}]}))
    solution = SolutionPage(sheet).open()
    expect(solution.panel.get_by_label("Way to the solution")).to_have_value("course")
    solution.button("All").click()
    titles = solution.titles()
    assert titles == [
        "Just after the start",
        "In the end",
        "The time constant",
        "The way between",
        "When the voltage of C1 is 7.20 V",
        "Heat over the whole time",
    ]
    assert solution.formulas(solution.steps.nth(2)) == ["τ=R1C1=1.50kΩ×10.0µF=15.0ms"]
    asked = [text.replace("\u2061", "").replace("\u202f", "") for text in solution.formulas(solution.steps.nth(4))]
    assert asked == ["e−t/τ=7.20V−9.00V0V−9.00V=15", "t=τln5=15.0ms×ln5=24.1ms"]
    solution.list.focus()
    solution.press("ArrowLeft")
    expect(solution.panel.get_by_text("Step 5 of 6")).to_be_visible()
    assert violations(sheet.page) == []
