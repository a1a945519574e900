"""The worked solution beside the sheet: a step at a time, in words, formulas and a drawing, lit on the sheet."""

from __future__ import annotations

import re
from typing import Any

import pytest
from playwright.sync_api import expect

from tests.browser.ready import link_to, middle, ready
from tests.browser.sheet_page import SheetPage
from tests.browser.solution_page import SolutionPage

MIXED = ready("Three, mixed")


@pytest.fixture
def solution(sheet: SheetPage) -> SolutionPage:
    """Three capacitors, one in series with two in parallel; their worked solution is open, at its opening."""
    return SolutionPage(sheet).open()


def test_the_panel_takes_the_place_of_the_ledger_and_gives_it_back(solution: SolutionPage) -> None:
    ledger = solution.page.get_by_role("complementary", name="Readings")
    expect(solution.panel).to_be_visible()
    expect(ledger).to_be_hidden()
    expect(solution.opener).to_have_attribute("aria-expanded", "true")
    expect(solution.list).to_be_focused()
    solution.press("Escape")
    expect(solution.panel).to_be_hidden()
    expect(ledger).to_be_visible()
    expect(solution.opener).to_have_attribute("aria-expanded", "false")
    expect(solution.opener).to_be_focused()


@pytest.mark.parametrize("by", ["button in the header", "button in the panel", "key"])
def test_it_opens_and_closes_in_every_way(sheet: SheetPage, by: str) -> None:
    solution = SolutionPage(sheet)
    if by == "key":
        sheet.press("w")
        expect(solution.panel).to_be_visible()
        sheet.press("w")
    else:
        solution.open()
        (solution.opener if by == "button in the header" else solution.button("Close")).click()
    expect(solution.panel).to_be_hidden()


def test_the_opening_stands_alone_until_the_first_step_is_asked_for(solution: SolutionPage) -> None:
    expect(solution.list).to_contain_text("series or in parallel")
    assert solution.at() == 0
    solution.button("Next").click()
    assert solution.titles() == ["C2 and C3 in parallel"]


def test_each_step_says_why_and_works_it_out_in_symbols_and_in_numbers(solution: SolutionPage) -> None:
    solution.press("ArrowRight")
    expect(solution.current).to_contain_text("join the same two conductors, so both have the same voltage")
    assert solution.formulas() == ["C23=C2+C3=10.0µF+5.00µF=15.0µF"]
    solution.press("ArrowRight")
    # 30·15/(30 + 15) = 10
    assert solution.formulas()[-1] == "C123=C1C23C1+C23=30.0µF×15.0µF30.0µF+15.0µF=10.0µF"
    expect(solution.current).to_contain_text("what arrives on one plate has left the other")


def test_the_whole_solution_arrives_at_the_readings_of_the_sheet(solution: SolutionPage) -> None:
    solution.button("All").click()
    shown = solution.panel.locator(".formula math").all_text_contents()
    results = {re.sub(r"\s", "", text).rpartition("=")[2] for text in shown}
    # 90 µC through C1 and the pair: 3 V and 6 V; 60 and 30 µC on the pair; half of charge times voltage.
    assert {"15.0µF", "10.0µF", "90.0µC", "3.00V", "6.00V", "60.0µC", "30.0µC", "135µJ", "180µJ", "90.0µJ"} <= results


def test_arrows_home_and_end_walk_through_the_steps(solution: SolutionPage) -> None:
    solution.press("ArrowRight", "ArrowRight", "ArrowRight")
    assert solution.at() == 3
    solution.press("ArrowLeft")
    assert solution.at() == 2
    expect(solution.panel).to_contain_text("Step 2 of ")
    solution.press("End")
    expect(solution.button("Next")).to_have_attribute("aria-disabled", "true")
    last = solution.at()
    solution.press("ArrowRight")
    assert solution.at() == last
    solution.press("Home")
    assert solution.at() == 0
    expect(solution.button("Back")).to_have_attribute("aria-disabled", "true")


def test_down_reads_on_and_steps_at_the_end_of_what_is_shown(solution: SolutionPage) -> None:
    solution.press("ArrowDown", "ArrowDown", "ArrowDown")
    assert solution.at() > 0
    solution.press("End")
    at = solution.at()
    solution.press("ArrowUp")
    assert solution.at() == at


def test_a_remote_steps_wherever_the_focus_is_but_arrows_stay_with_the_sheet(solution: SolutionPage) -> None:
    solution.sheet.press("PageDown", "PageDown")
    assert solution.at() == 2
    solution.sheet.press("PageUp")
    assert solution.at() == 1
    solution.sheet.press("ArrowRight")
    assert solution.at() == 1
    solution.page.locator("#title").focus()
    solution.press("PageDown", "End")
    assert solution.at() == 1


def test_a_remote_does_nothing_while_the_solution_is_closed(solution: SolutionPage) -> None:
    solution.press("Escape", "PageDown")
    expect(solution.panel).to_be_hidden()
    solution.open()
    assert solution.at() == 0


def test_the_current_step_is_in_sight(solution: SolutionPage) -> None:
    for _ in range(5):
        solution.press("PageDown")
        expect(solution.current.locator("h3")).to_be_in_viewport(ratio=1)
        expect(solution.current.locator(".formula").first).to_be_in_viewport(ratio=1)


def test_the_parts_of_a_step_are_lit_on_the_sheet_and_all_else_is_faded(solution: SolutionPage) -> None:
    assert solution.lit() == ["C1", "C2", "C3", "E1"]
    solution.press("ArrowRight")
    assert solution.lit() == ["C2", "C3"]
    frames = solution.sheet.sheet.locator(".marks rect")
    expect(frames).to_have_count(2)
    # Both end on the conductor at 6 V and the one at 0 V, not on the one at 9 V.
    assert solution.opacity("flags", "6.00 V") is None
    assert solution.opacity("flags", "9.00 V") is not None
    solution.press("Escape")
    assert solution.lit() == ["C1", "C2", "C3", "E1"]
    expect(frames).to_have_count(0)


def test_pointing_at_an_earlier_step_lights_what_it_speaks_of(solution: SolutionPage) -> None:
    solution.press("ArrowRight", "ArrowRight", "ArrowRight")
    assert solution.lit() == ["C1", "C2", "C3", "E1"]
    solution.steps.nth(0).hover()
    assert solution.lit() == ["C2", "C3"]
    solution.button("Close").hover()
    assert solution.lit() == ["C1", "C2", "C3", "E1"]


def test_the_reduced_network_is_drawn_beside_each_step(solution: SolutionPage) -> None:
    solution.press("ArrowRight")
    assert set(solution.drawn()) == {"E1", "9 V", "C1", "30 µF", "C23", "15.0 µF"}
    solution.press("ArrowRight")
    assert set(solution.drawn()) == {"E1", "9 V", "C123", "10.0 µF"}
    solution.press("ArrowRight", "ArrowRight")
    assert {"C1", "C23"} <= set(solution.drawn())


def test_a_step_is_told_to_screen_readers(solution: SolutionPage) -> None:
    solution.press("ArrowRight")
    expect(solution.sheet.spoken).to_contain_text("Step 1 of 6: C2 and C3 in parallel.")
    expect(solution.sheet.spoken).to_contain_text("so both have the same voltage")
    expect(solution.sheet.spoken).to_contain_text("C23 = C2 + C3 = 10.0 µF + 5.00 µF = 15.0 µF.")


def test_names_are_written_in_italics_with_their_index(solution: SolutionPage) -> None:
    solution.press("ArrowRight")
    name = solution.current.locator("h3 .part-name").first
    assert (name.locator("i").text_content(), name.locator("sub").text_content()) == ("C", "2")
    style = "each => [getComputedStyle(each).fontStyle, getComputedStyle(each).fontFamily]"
    slant, family = name.locator("i").evaluate(style)
    assert slant == "italic"
    assert "serif" in family


def test_formulas_are_mathml(solution: SolutionPage) -> None:
    solution.press("ArrowRight")
    tags = solution.current.locator(".formula").first.evaluate(
        "each => [...new Set([...each.querySelectorAll('*')].map(one => `${one.namespaceURI} ${one.localName}`))]"
    )
    assert {tag.partition(" ")[0] for tag in tags} == {"http://www.w3.org/1998/Math/MathML"}
    assert {"math", "mi", "mn", "mo", "msub"} <= {tag.partition(" ")[2] for tag in tags}


def test_a_changed_value_changes_the_steps_in_place(solution: SolutionPage) -> None:
    solution.press("ArrowRight", "ArrowRight")
    solution.sheet.click_value("C3")
    solution.sheet.answer("20 µF")
    # 10 + 20 = 30 µF; two of 30 µF in series make 15 µF.
    expect(solution.current).to_contain_text("15.0")
    assert solution.at() == 2
    assert solution.formulas(solution.steps.nth(0)) == ["C23=C2+C3=10.0µF+20.0µF=30.0µF"]
    assert solution.formulas()[-1].endswith("=15.0µF")


def test_the_number_of_figures_follows_the_sketch(sheet: SheetPage) -> None:
    sheet.panel.get_by_label("Significant figures of the readings").select_option("5")
    sheet.settled()
    solution = SolutionPage(sheet).open().press("ArrowRight")
    assert solution.formulas() == ["C23=C2+C3=10.000µF+5.0000µF=15.000µF"]
    expect(solution.list).to_contain_text("5 significant figures")


def test_undoing_follows_too_and_a_shorter_solution_ends_where_it_ends(solution: SolutionPage) -> None:
    solution.press("End")
    longest = solution.at()
    solution.sheet.click(middle(MIXED, "C3"))
    solution.sheet.press("Delete")
    expect(solution.steps).not_to_have_count(longest)
    assert 0 < solution.at() < longest
    solution.sheet.undo()
    expect(solution.panel).to_contain_text(f"of {longest}")


def test_a_fault_takes_the_place_of_the_steps_and_leads_to_its_part(solution: SolutionPage) -> None:
    solution.press("ArrowRight", "ArrowRight")
    solution.sheet.draw((4, 2), (4, 16))
    expect(solution.list).to_contain_text("cannot be worked out as it stands")
    expect(solution.steps).to_have_count(0)
    solution.list.get_by_role("button", name=re.compile("E1")).click()
    expect(solution.sheet.actions).to_contain_text("E1")
    solution.sheet.undo()
    expect(solution.steps).to_have_count(2)


def test_steps_are_marked_as_out_of_date_while_the_server_is_away(solution: SolutionPage) -> None:
    solution.press("ArrowRight")
    solution.page.route("**/api/**", lambda route: route.abort())
    solution.sheet.press("n", "n", "f")
    expect(solution.list).to_contain_text("The server is away: these steps are out of date.")
    expect(solution.panel).to_have_class(re.compile("stale"))
    expect(solution.steps).to_have_count(1)
    solution.page.unroute("**/api/**")
    solution.page.evaluate("() => dispatchEvent(new Event('online'))")
    expect(solution.list).not_to_contain_text("out of date")


def test_another_sheet_begins_with_its_opening(solution: SolutionPage) -> None:
    solution.press("ArrowRight", "ArrowRight")
    solution.sheet.open_ready("Two in series")
    expect(solution.panel).to_be_visible()
    expect(solution.panel.get_by_text("4 steps", exact=True)).to_be_visible()
    expect(solution.steps).to_have_count(0)


def test_an_empty_sheet_says_that_there_is_nothing_to_work_out(empty: SheetPage) -> None:
    solution = SolutionPage(empty)
    solution.opener.click()
    empty.settled()
    expect(solution.list).to_contain_text(re.compile("no |nothing", re.IGNORECASE))
    solution.press("PageDown")
    assert solution.at() == 0


def test_what_is_framed_in_a_course_page_has_no_worked_solution(sheet: SheetPage) -> None:
    # The frame shows a sheet to look at; the whole page is one press away.
    page = sheet.page
    stored = page.request.post("/api/sketches", data=MIXED).json()
    SheetPage(page).open(f"{stored['links']['view']}/embed")
    expect(page.get_by_role("button", name="Worked solution")).to_have_count(0)
    sheet.press("w", "PageDown")
    expect(page.locator("#solution")).to_have_count(0)


def symbols() -> dict[str, Any]:
    values = {"C1": "2C", "C2": "C", "C3": "C"}
    return {
        **MIXED,
        "parts": [
            {**part, "value": values[part["name"]]} if part["name"] in values else part for part in MIXED["parts"]
        ],
    }


def test_symbols_are_worked_out_in_symbols(sheet: SheetPage) -> None:
    sheet.open(link_to(symbols()))
    solution = SolutionPage(sheet).open().press("ArrowRight")
    assert solution.formulas() == ["C23=C2+C3=C+C=2C"]
    solution.press("ArrowRight")
    assert solution.formulas()[-1].endswith("=C")


def test_conductors_that_a_step_names_are_named_on_the_sheet(sheet: SheetPage) -> None:
    sheet.open_ready("A bridge")
    solution = SolutionPage(sheet).open().press("ArrowRight", "ArrowRight")
    # The charge sum of one isolated conductor has its potential and those of the conductors round it.
    named = set(re.findall(r"k\d+", " ".join(solution.current.locator(".formula").all_text_contents())))
    assert len(named) == 4
    tags = solution.sheet.sheet.locator(".marks text")
    assert set(tags.all_text_contents()) == named
    solution.press("Home")
    expect(tags).to_have_count(0)
