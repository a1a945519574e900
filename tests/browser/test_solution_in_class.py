"""The worked solution in front of a class: covered readings, predictions, ways, phones, fingers, large type, copies."""

from __future__ import annotations

import re
from collections.abc import Callable

import pytest
from playwright.sync_api import Browser, Page, Route, expect

from tests.browser.fingers import TouchedPage
from tests.browser.ready import link_to, ready
from tests.browser.sheet_page import SheetPage
from tests.browser.solution_page import SolutionPage
from tests.browser.test_access import violations
from tests.browser.test_covering import leaks

MIXED = ready("Three, mixed")
BRIDGE = ready("A bridge")
LONG = {
    **BRIDGE,
    "figures": 12,
    "parts": [
        {**part, "value": {"C1": "47.03 µF", "C2": "9.71 µF", "C3": "11.9 µF"}.get(part["name"], part["value"])}
        if "value" in part
        else part
        for part in BRIDGE["parts"]
    ],
}
"""Numbers with so many figures that few formulas fit into one row."""
SHARED = {
    "joints": {"a": [3, 2], "b": [14, 2], "c": [3, 12], "d": [14, 12]},
    "parts": [
        {"name": "C1", "kind": "capacitor", "value": "30 µF", "initial": "9 V", "from": "a", "to": "c"},
        {"name": "C2", "kind": "capacitor", "value": "60 µF", "from": "b", "to": "d"},
        {"name": "W1", "kind": "wire", "from": "a", "to": "b"},
        {"name": "W2", "kind": "wire", "from": "c", "to": "d"},
    ],
}
"""A charged capacitor on another one: nothing but the sum of the charges leads to the answer."""


@pytest.fixture
def covered(sheet: SheetPage) -> SolutionPage:
    """The worked solution of a sheet with its readings covered."""
    sheet.press(".")
    return SolutionPage(sheet).open()


def test_opening_it_uncovers_nothing_and_says_so(covered: SolutionPage) -> None:
    expect(covered.list).to_contain_text("Readings are covered.")
    expect(covered.panel.get_by_role("checkbox", name="Predict first")).to_be_checked()
    assert leaks(covered.sheet) == []


def test_with_readings_covered_a_step_asks_first_and_shows_at_the_next_key(covered: SolutionPage) -> None:
    covered.press("PageDown")
    assert covered.titles() == ["C2 and C3 in parallel"]
    assert covered.formulas() == []
    expect(covered.current.get_by_role("img")).to_have_count(0)
    assert leaks(covered.sheet) == []
    expect(covered.sheet.spoken).not_to_contain_text("15.0")
    covered.press("PageDown")
    assert covered.formulas() == ["C23=C2+C3=10.0µF+5.00µF=15.0µF"]
    expect(covered.sheet.spoken).to_contain_text("15.0 µF")
    covered.press("PageDown")
    assert covered.titles()[-1] == "C1 and C23 in series"
    assert covered.formulas() == []


@pytest.mark.parametrize("by", ["the step", "the bar"])
def test_a_step_is_shown_by_a_button_too(covered: SolutionPage, by: str) -> None:
    covered.button("Next").click()
    step = covered.panel.get_by_role("button", name="Show step 1: ")
    (step if by == "the step" else covered.button("Show it")).click()
    assert len(covered.formulas()) == 1


def test_what_a_step_has_worked_out_is_uncovered_on_the_sheet_as_long_as_the_panel_is_open(
    covered: SolutionPage,
) -> None:
    for _ in range(4):
        covered.press("PageDown", "PageDown")
    # The fourth step comes back to C1: 90 µC, 3 V, 135 µJ. C2 and C3 are still to come.
    assert covered.sheet.written("C1")[2:] == ["3.00 V", "90.0 µC", "135 µJ"]
    assert covered.sheet.written("C2")[2:] == ["?", "?", "?"]
    covered.press("PageUp")
    assert covered.sheet.written("C1")[2:] == ["?", "?", "?"]
    covered.press("End")
    assert covered.sheet.written("C2")[2:] == ["6.00 V", "60.0 µC", "180 µJ"]
    covered.press("Escape")
    assert leaks(covered.sheet) == []


def test_a_step_that_asks_names_the_quantity_to_predict(covered: SolutionPage) -> None:
    asked = covered.panel.get_by_role("button", name="Show step ")
    covered.press("PageDown")
    expect(asked).to_contain_text("What capacitance do C2 and C3 come to?")
    expect(covered.sheet.spoken).to_contain_text("What capacitance do C2 and C3 come to? Predict it first")
    covered.press("PageDown", "PageDown", "PageDown", "PageDown")
    expect(asked).to_contain_text("What are the voltage, charge and energy of C123?")


def test_after_the_last_step_nothing_is_covered_while_the_panel_is_open(covered: SolutionPage) -> None:
    covered.press("End")
    assert "?" not in covered.sheet.flags()
    # C1 has 3 V of the 9 V.
    assert "6.00 V" in covered.sheet.flags()
    covered.press("PageUp")
    assert set(covered.sheet.flags()) == {"?"}


def test_while_steps_are_worked_out_the_panel_does_not_say_that_the_server_is_away(sheet: SheetPage) -> None:
    held: list[Route] = []
    steps = re.compile(r"/api/solve\?.*steps")
    sheet.page.route(steps, lambda route: held.append(route))
    solution = SolutionPage(sheet)
    with sheet.page.expect_request(steps):
        solution.opener.click()
    expect(solution.list).to_contain_text("Working it out…")
    expect(solution.list).not_to_contain_text("away")
    expect(solution.button("Next")).to_be_hidden()
    for route in held:
        route.continue_()
    sheet.page.unroute(steps)
    expect(solution.button("Next")).to_be_visible()
    expect(solution.list).not_to_contain_text("Working it out…")


def test_while_the_server_is_away_the_panel_says_so(sheet: SheetPage) -> None:
    sheet.page.route(re.compile("/api/solve"), lambda route: route.abort())
    solution = SolutionPage(sheet)
    solution.opener.click()
    expect(solution.list).to_contain_text("The server is away: the steps cannot be worked out just now.")


def test_a_class_can_be_asked_first_without_covers_and_told_at_once_with_them(sheet: SheetPage) -> None:
    solution = SolutionPage(sheet).open()
    predict = solution.panel.get_by_role("checkbox", name="Predict first")
    expect(predict).not_to_be_checked()
    predict.check()
    expect(solution.panel).to_contain_text("The readings still stand on the sheet: “Cover readings” hides each")
    solution.press("PageDown")
    assert solution.formulas() == []
    predict.uncheck()
    assert len(solution.formulas()) == 1
    sheet.page.get_by_role("button", name=re.compile("Cover readings")).click()
    expect(predict).not_to_be_checked()


def test_the_way_can_be_chosen_and_stays_chosen(sheet: SheetPage) -> None:
    sheet.open_ready("A bridge")
    solution = SolutionPage(sheet).open()
    choice = solution.panel.get_by_role("combobox", name="Way to the solution")
    ways = choice.get_by_role("option").all_text_contents()
    assert len(ways) > 1
    assert "Delta and star" in ways
    choice.select_option("Delta and star")
    expect(solution.list).to_contain_text("star")
    solution.button("Next").click()
    expect(solution.current).to_contain_text("triangle")
    solution.sheet.click_value("C5")
    solution.sheet.answer("30 µF")
    expect(solution.current).to_contain_text("triangle")
    expect(choice).to_have_value("star")


def test_one_way_leaves_nothing_to_choose(sheet: SheetPage) -> None:
    sheet.open(link_to(SHARED))
    solution = SolutionPage(sheet).open()
    expect(solution.list).to_contain_text("charge on plates before anything was connected")
    expect(solution.panel.get_by_role("combobox")).to_have_count(0)


COPIED = {
    "This step as LaTeX": [
        "C_{23} = C_{2} + C_{3} = 10.0\\,\\mathrm{\\mu F}",
        "\\paragraph{1. $C_{2}$ and $C_{3}$ in parallel}",
    ],
    "This step as text": ["1. C2 and C3 in parallel\n", "C23 = C2 + C3 = 10.0 µF + 5.00 µF = 15.0 µF"],
    "All steps as LaTeX": ["\\subsection*{Storm lantern, three capacitors}", "C_{123}", "405"],
    "All steps as text": ["Storm lantern, three capacitors\n", "3 significant figures", "= 405 µJ"],
}


@pytest.mark.parametrize("clipboard", ["asked for", "as over plain http"])
@pytest.mark.parametrize("what", COPIED)
def test_a_step_and_the_whole_are_copied(sheet: SheetPage, what: str, clipboard: str) -> None:
    page = sheet.page
    page.context.grant_permissions(["clipboard-read", "clipboard-write"])
    if clipboard != "asked for":
        page.evaluate("() => { navigator.clipboard.writeText = () => Promise.reject(new Error('no')); }")
    solution = SolutionPage(sheet).open().press("ArrowRight")
    solution.copy(what)
    expect(solution.button("Copied")).to_be_focused()
    copied = page.evaluate("() => navigator.clipboard.readText()")
    assert [text for text in COPIED[what] if text not in copied] == []
    # One step is one step.
    assert ("C123" in copied or "C_{123}" in copied) is what.startswith("All")


def test_selected_words_of_the_solution_are_copied_and_not_the_selected_part(sheet: SheetPage) -> None:
    sheet.page.context.grant_permissions(["clipboard-read", "clipboard-write"])
    sheet.press("n")
    solution = SolutionPage(sheet).open().press("ArrowRight")
    solution.current.locator(".reason").select_text()
    solution.press("Control+c")
    assert sheet.page.evaluate("() => navigator.clipboard.readText()").startswith("C2 and C3 join")


PHONE = {"width": 390, "height": 844}


def test_on_a_phone_the_steps_go_under_the_drawing_which_stays_in_sight(sheet: SheetPage) -> None:
    sheet.page.set_viewport_size(PHONE)  # type: ignore[arg-type]
    solution = SolutionPage(sheet).open()
    for _ in range(4):
        solution.button("Next").click()
        expect(solution.current.locator("h3")).to_be_in_viewport(ratio=1)
        drawing, title = sheet.sheet.bounding_box(), solution.current.locator("h3").bounding_box()
        assert drawing
        assert title
        assert drawing["y"] == 0
        assert title["y"] >= drawing["height"]
        expect(solution.button("Next")).to_be_in_viewport(ratio=1)
    assert sheet.page.evaluate("() => document.documentElement.scrollWidth <= innerWidth")


def test_fingers_walk_through_it(browser: Browser, base_url: str) -> None:
    context = browser.new_context(base_url=base_url, viewport=PHONE, has_touch=True)  # type: ignore[arg-type]
    try:
        sheet = TouchedPage(context.new_page())
        sheet.open()
        solution = SolutionPage(sheet)
        solution.opener.tap()
        for step in (1, 2, 3):
            solution.button("Next").tap()
            expect(solution.steps).to_have_count(step)
        assert solution.lit() == ["C1", "C2", "C3", "E1"]
        solution.button("Back").tap()
        solution.button("Back").tap()
        assert solution.lit() == ["C2", "C3"]
        small = solution.panel.get_by_role("button").evaluate_all(
            "all => all.filter(each => each.getBoundingClientRect().height < 24).map(each => each.textContent)"
        )
        assert small == []
        solution.button("Close").tap()
        expect(solution.panel).to_be_hidden()
    finally:
        context.close()


CUT_OFF = """all => all.filter(each => each.scrollWidth > each.clientWidth + 1 && each.tabIndex < 0)
  .map(each => each.textContent)"""


@pytest.mark.parametrize(("width", "height"), [(1366, 768), (1920, 1080), (390, 844), (640, 400)])
def test_no_formula_is_cut_off(sheet: SheetPage, width: int, height: int) -> None:
    sheet.page.set_viewport_size({"width": width, "height": height})
    sheet.open(link_to(LONG))
    solution = SolutionPage(sheet).open()
    solution.button("All").click()
    formulas = solution.panel.locator(".formula")
    assert formulas.count() > 10
    assert formulas.evaluate_all(CUT_OFF) == []
    assert solution.panel.locator(".formula mtable").count() > 0


def test_a_formula_that_scrolls_is_read_with_the_arrows(sheet: SheetPage) -> None:
    sheet.page.set_viewport_size(PHONE)  # type: ignore[arg-type]
    sheet.open(link_to(LONG))
    solution = SolutionPage(sheet).open()
    solution.panel.get_by_role("combobox").select_option("Delta and star")
    solution.button("All").click()
    wide = solution.panel.get_by_role("group", name="Wide formula").first
    wide.focus()
    steps = solution.at()
    solution.press("ArrowLeft", "ArrowRight", "ArrowRight")
    assert solution.at() == steps

    sheet.page.wait_for_function("each => each.scrollLeft > 0", arg=wide.element_handle())


def test_formulas_settle_anew_when_the_window_or_the_type_changes(sheet: SheetPage) -> None:
    solution = SolutionPage(sheet).open().press("End")
    formula = solution.steps.nth(0).locator(".formula")
    reason = solution.steps.nth(0).locator(".reason")
    small = reason.evaluate("each => parseFloat(getComputedStyle(each).fontSize)")
    expect(formula.locator("mtable")).to_have_count(0)
    sheet.page.get_by_role("button", name="Look").click()
    sheet.page.get_by_role("checkbox", name=re.compile("Larger")).check()
    larger = "1.15 * small < parseFloat(getComputedStyle(document.querySelector('#solution .reason')).fontSize)"
    sheet.page.wait_for_function(f"small => {larger}", arg=small)
    sheet.page.set_viewport_size(PHONE)  # type: ignore[arg-type]
    expect(formula.locator("mtable")).to_have_count(1)
    assert solution.panel.locator(".formula").evaluate_all(CUT_OFF) == []


def test_writing_is_large_enough_for_the_back_row(sheet: SheetPage) -> None:
    sheet.page.set_viewport_size({"width": 1920, "height": 1080})
    solution = SolutionPage(sheet).open().press("ArrowRight")
    size = "each => parseFloat(getComputedStyle(each).fontSize)"
    assert solution.current.locator(".formula").evaluate(size) >= 22
    assert solution.current.locator(".reason").evaluate(size) >= 18


def faulty(solution: SolutionPage) -> None:
    solution.sheet.draw((4, 2), (4, 16))
    expect(solution.list).to_contain_text("cannot be worked out")


def away(solution: SolutionPage) -> None:
    solution.press("PageDown")
    solution.page.route("**/api/**", lambda route: route.abort())
    solution.sheet.press("n", "f")
    expect(solution.list).to_contain_text("out of date")


def asking(solution: SolutionPage) -> None:
    solution.panel.get_by_role("checkbox").check()
    solution.press("PageDown", "PageDown", "PageDown")


def copying(solution: SolutionPage) -> None:
    solution.button("Copy").click()
    expect(solution.panel.get_by_role("group", name="Copy")).to_be_visible()


STATES: dict[str, Callable[[SolutionPage], object]] = {
    "opening": lambda _: None,
    "step": lambda solution: solution.press("PageDown", "PageDown"),
    "all": lambda solution: solution.press("End"),
    "asking": asking,
    "copying": copying,
    "fault": faulty,
    "away": away,
}


@pytest.mark.parametrize("size", [(1366, 768), (390, 844)])
@pytest.mark.parametrize("state", STATES)
def test_axe_finds_nothing_amiss(sheet: SheetPage, state: str, size: tuple[int, int]) -> None:
    solution = SolutionPage(sheet).open()
    STATES[state](solution)
    sheet.page.set_viewport_size({"width": size[0], "height": size[1]})
    assert violations(sheet.page) == []


def test_axe_finds_nothing_amiss_in_wide_formulas(sheet: SheetPage) -> None:
    sheet.page.set_viewport_size(PHONE)  # type: ignore[arg-type]
    sheet.open(link_to(LONG))
    SolutionPage(sheet).open().press("End")
    assert violations(sheet.page) == []


def test_nothing_in_it_offends_the_security_policy_or_asks_another_host(page: Page, base_url: str) -> None:
    asked: set[str] = set()
    page.on("request", lambda request: asked.add(request.url.split("/")[2]))
    page.expose_function("offended", lambda what: asked.add(what))
    page.add_init_script("addEventListener('securitypolicyviolation', (event) => offended(event.violatedDirective));")
    SolutionPage(SheetPage(page).open()).open().press("End")
    assert asked - {""} == {base_url.rstrip("/").split("/")[2]}
