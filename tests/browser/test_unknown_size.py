"""A size of a capacitor's build marked “?” is found from what a reading has to be, shown, and put in when asked."""

from __future__ import annotations

import re
from typing import Any

from playwright.sync_api import Locator, Page, expect

from tests.browser.ready import link_to
from tests.browser.sheet_page import SheetPage
from tests.browser.solution_page import SolutionPage
from tests.browser.test_unknown import PAIR, ask, must

MIDDLE_OF_C1 = (4, 5)


def pair(build: str, **more: Any) -> str:
    parts = [{**part, "value": build} if part["name"] == "C1" else part for part in PAIR["parts"]]
    parts = [{**part, "value": "10 nF"} if part["name"] == "C2" else part for part in parts]
    return link_to({**PAIR, "parts": parts, **more})


def build_of(sheet: SheetPage) -> Locator:
    return sheet.page.get_by_role("region", name="How C1 is built")


def test_a_gap_is_found_and_put_in(sheet: SheetPage) -> None:
    sheet.open(pair("30 nF"))
    sheet.edit_cell(sheet.cell("C1", "Capacitance"), "plates 1.0 m² ? mica")
    sheet.click(MIDDLE_OF_C1)
    expect(must(sheet)).to_contain_text("Now say which reading you want: the gap of C1 follows from it.")
    expect(build_of(sheet)).to_contain_text("the gap is not known yet, so it is drawn at some size.")
    ask(sheet, "voltage of C1", "4 V")
    # 50 nC on 10 nF at 5 V leave 4 V for 12.5 nF: 6 · 8.854 pF/m · 1 m² / 12.5 nF = 4.25 mm.
    expect(must(sheet)).to_contain_text(
        "The gap of C1 must be 4.25 mm (exactly 4.250010150144 mm), which makes it 12.5 nF"
    )
    expect(must(sheet).get_by_role("table")).to_have_count(0)
    expect(sheet.cell("C1", "Voltage")).to_have_text("4.00 V")
    assert "gap ? = 4.25 mm" in sheet.written("C1")
    expect(sheet.cell("C1", "Capacitance")).to_have_text(re.compile(r"12.5 nFplates 1.0\sm² \? = 4.25\smm mica"))
    expect(sheet.page.locator("#line")).to_have_value("9 V : “plates 1.0 m² ? mica” + 10 nF")
    expect(build_of(sheet).locator("svg")).to_contain_text("4.25 mm")
    must(sheet).get_by_role("button", name="Put 4.250010150144 mm in as the gap of C1").click()
    expect(must(sheet)).to_have_count(0)
    expect(sheet.cell("C1", "Capacitance")).to_have_text(re.compile(r"12.5 nFplates 1.0\sm² 4.250010150144\smm mica"))
    expect(sheet.cell("C1", "Voltage")).to_have_text("4.00 V")
    sheet.undo()
    expect(must(sheet)).to_contain_text("The gap of C1 must be 4.25 mm")


def test_the_derivation_ends_with_the_size(sheet: SheetPage) -> None:
    sheet.open(pair("plates 1.0 m² ? mica", required=[{"reading": "C1.voltage", "value": "4 V"}]))
    expect(sheet.cell("C1", "Voltage")).to_have_text("4.00 V")
    solution = SolutionPage(sheet).open()
    expect(solution.panel.get_by_label("Way to the solution")).to_have_value("unknown")
    solution.list.focus()
    solution.press("ArrowRight", "ArrowRight", "ArrowRight")
    assert solution.titles()[-1] == "The gap that gives C1 its 12.5 nF"
    assert solution.formulas() == ["d=κε0AC1=6×8.85pF/m×1.0m²12.5nF=4.25mm"]


def test_a_new_capacitor_may_be_typed_with_a_size_that_is_asked_for(sheet: SheetPage) -> None:
    sheet.open_empty()
    sheet.line((4, 4), (4, 10))
    sheet.page.locator("#typed").fill("plates ? 1 mm")
    expect(sheet.means).to_have_text("a capacitor; the area is to be found, from what a reading has to be")
    sheet.page.locator("#typed").fill("plates ? ?")
    expect(sheet.means).to_have_text("only one size of a build can be “?”")
    sheet.page.locator("#typed").fill("plates ? 1 mm")
    sheet.page.locator("#typed").press("Enter")
    # Nothing else is on the sheet to want a reading of.
    expect(must(sheet).get_by_label("Reading 1 that is required")).to_have_value("C1.capacitance")
    must(sheet).get_by_label("What it has to be, 1").fill("100 pF")
    must(sheet).get_by_label("What it has to be, 1").press("Enter")
    # 100 pF · 1 mm / (1.00059 · 8.854 pF/m) = 112.87 cm².
    expect(must(sheet)).to_contain_text("The area of C1 must be 113 cm², which makes it 100 pF")


def test_the_form_asks_for_one_size_at_a_time(sheet: SheetPage) -> None:
    sheet.open(pair("spheres 3 cm 4 cm mica"))
    sheet.click(MIDDLE_OF_C1)
    build_of(sheet).get_by_role("button", name="Change it").click()
    form = sheet.page.get_by_role("dialog", name="How is it built?")
    form.get_by_role("button", name="? asks what the inner radius must be").click()
    expect(form.get_by_role("textbox", name="inner radius")).to_have_value("?")
    form.get_by_role("button", name="? asks what the outer radius must be").click()
    expect(form.get_by_role("textbox", name="inner radius")).to_have_value("3")
    expect(form.get_by_role("textbox", name="outer radius")).to_have_value("?")
    expect(form).to_contain_text("the outer radius is to be found")
    form.get_by_role("button", name="Use it").click()
    expect(must(sheet)).to_contain_text("the outer radius of C1 follows from it")
    # 1/(1/3 cm − 4π · 6 · 8.854 pF/m / 50 pF): the inner sphere alone would have 20.0 pF.
    ask(sheet, "capacitance of C1", "50 pF")
    expect(must(sheet)).to_contain_text("The outer radius of C1 must be 5.00 cm")
    ask(sheet, "capacitance of C1", "20 pF")
    expect(sheet.page.get_by_role("region", name="What is wrong")).to_contain_text(
        "No outer radius can do this: the inner sphere has 20.0 pF even by itself"
    )


def test_one_size_is_put_in_through_all_stages(sheet: SheetPage) -> None:
    air, mica = "plates ? 1 mm vacuum", "plates ? 1 mm mica"
    stages = [{"closed": [], "set": {"C1": air}}, {"name": "Slab in", "closed": [], "set": {"C1": mica}}]
    required = [{"reading": "C1.voltage", "value": "4 V"}]
    sheet.open(pair(mica, stages=stages, stage=1, required=required))
    # 12.5 nF with the mica: 12.5 nF · 1 mm / (6 · 8.854 pF/m) = 0.23529 m².
    expect(must(sheet)).to_contain_text("The area of C1 must be 0.235 m²")
    must(sheet).get_by_role("button", name=re.compile("Put 0.2352.* m² in as the area of C1")).click()
    expect(must(sheet)).to_have_count(0)
    expect(sheet.cell("C1", "Voltage")).to_have_text("4.00 V")
    sheet.page.get_by_role("button", name=re.compile("Stage 1")).click()
    expect(sheet.cell("C1", "Capacitance")).to_contain_text(re.compile(r"plates 0\.2352\d*\sm² 1\smm vacuum"))


def test_a_built_capacitor_is_asked_for_by_its_gap_and_labelled_in_short(sheet: SheetPage) -> None:
    sheet.open(pair("plates 1.0 m² 2 mm, mica 1/3, air 2/3"))
    sheet.click(MIDDLE_OF_C1)
    sheet.panel.get_by_role("button", name="Type ? as its gap").click()
    expect(must(sheet)).to_contain_text("the gap of C1 follows from it")
    expect(sheet.cell("C1", "Capacitance")).to_have_text(re.compile(r"plates 1.0\sm² \? mm, mica 1/3, air 2/3"))
    expect(sheet.label("C1")).to_contain_text("gap ?")


def test_the_size_that_is_asked_for_has_a_word(module_page: Page) -> None:
    asked = {
        "plates ? 1 mm mica": "area",
        "plates 1e-3 m² ? mm": "gap",
        "plates 1 m² mica 1 mm + air ?": "thickness",
        "Spheres 3 cm ?": "outer radius",
        "cylinders ? 3 cm 1 m": "inner radius",
        "cylinders 1 mm 3 cm ? m": "length",
        "sphere ? mica": "radius",
    }
    words = module_page.evaluate(
        """async (texts) => {
          const { sizeAsked } = await import("/static/builds/words.js");
          const { kinds } = await (await fetch("/shared/kinds.json")).json();
          return texts.map((text) => sizeAsked(text, kinds.capacitor.shapes));
        }""",
        list(asked),
    )
    assert words == list(asked.values())


def test_what_was_found_is_covered_with_the_readings_and_shown_by_itself(sheet: SheetPage) -> None:
    sheet.open(pair("plates 1.0 m² ? mica", required=[{"reading": "C1.voltage", "value": "4 V"}]))
    sheet.click(MIDDLE_OF_C1)
    expect(must(sheet)).to_contain_text("4.25 mm")
    sheet.press(".")
    expect(must(sheet)).to_contain_text("The gap of C1 must be ?")
    expect(build_of(sheet)).to_contain_text("the gap is not known yet")
    expect(sheet.page.locator("body")).not_to_contain_text("4.25")
    must(sheet).get_by_role("button", name="what C1 must be, covered: show it").click()
    expect(must(sheet)).to_contain_text("The gap of C1 must be 4.25 mm")
    expect(sheet.label("C1")).to_contain_text("gap ? = 4.25 mm")
    expect(sheet.cell("C1", "Charge")).to_have_text("?")
    sheet.press(".")
    expect(sheet.cell("C1", "Charge")).to_have_text("50.0 nC")
