"""The handout from the page: chosen, looked at, printed by the browser, saved as PDF; what it keeps covered."""

from __future__ import annotations

import re
from urllib.parse import urlsplit

import pytest
from playwright.sync_api import Page, Route, expect

from tests.browser.handout_page import HandoutPage, row, words_of
from tests.browser.ready import link_to, ready
from tests.browser.sheet_page import SheetPage
from tests.browser.test_access import SIZES, violations

MIXED = ready("Three, mixed")
SECRETS = ("3.00 V", "6.00 V", "90.0 µC", "60.0 µC", "30.0 µC", "135 µJ", "180 µJ", "405 µJ")


@pytest.fixture
def handout(page: Page, complaints: list[str]) -> HandoutPage:
    return HandoutPage(page).open(MIXED)


def test_the_button_on_the_sheet_opens_its_handout_and_the_way_leads_back(sheet: SheetPage) -> None:
    sheet.edit_cell(sheet.cell("C1", "Capacitance"), "60 µF")
    sheet.settled()
    sheet.page.get_by_role("button", name="Handout").click()
    handout = HandoutPage(sheet.page).settled()
    assert row(handout.question, "C1") == ["60 µF", "", "", ""]
    sheet.page.get_by_role("link", name="Back to the sheet").click()
    expect(sheet.settled().cell("C1", "Capacitance")).to_have_text("60 µF")


def test_until_it_is_there_the_handout_says_that_it_is_being_worked_out(page: Page, complaints: list[str]) -> None:
    held: list[Route] = []
    solve = re.compile("/api/solve")
    page.route(solve, lambda route: held.append(route))
    with page.expect_request(solve):
        page.goto(link_to(MIXED).replace("/p#", "/handout#"))
    expect(page.locator("#pages")).to_have_text("Working it out…")
    expect(page.get_by_label("Task", exact=True)).to_have_attribute("placeholder", "Working it out…")
    expect(page.get_by_label("Title", exact=True)).to_have_value("Storm lantern, three capacitors")
    for route in held:
        route.continue_()
    page.unroute(solve)
    handout = HandoutPage(page).settled()
    expect(handout.task).not_to_have_value("")
    expect(page.get_by_text("Working it out…")).to_have_count(0)


def test_an_empty_sheet_has_no_handout(empty: SheetPage) -> None:
    empty.page.get_by_role("button", name="Handout").click()
    expect(empty.notice).to_contain_text("There is nothing to hand out yet")


def test_the_question_sheet_asks_and_the_answer_key_answers(handout: HandoutPage) -> None:
    expect(handout.question.get_by_role("heading", name="Storm lantern, three capacitors")).to_be_visible()
    for word in ("Name", "Class", "Date", "Working"):
        expect(handout.question.get_by_text(word, exact=True)).to_be_visible()
    expect(handout.question).to_contain_text("Find the voltage across each capacitor, its charge and its energy")
    assert row(handout.question, "C2") == ["10 µF", "", "", ""]
    assert row(handout.key, "C2") == ["10 µF", "6.00 V", "60.0 µC", "180 µJ"]
    assert row(handout.key, "Across E1") == ["10.0 µF", "9.00 V", "90.0 µC", "405 µJ"]
    expect(handout.key.get_by_role("img", name="Tiles: charge across, voltage up")).to_be_visible()
    steps = handout.key.get_by_role("list").get_by_role("listitem")
    expect(steps.first).to_contain_text("C2 and C3 in parallel")
    assert steps.first.locator("math").count() > 0
    expect(steps.first.get_by_role("img", name="The network now")).to_be_visible()


def test_the_question_sheet_gives_nothing_away(handout: HandoutPage) -> None:
    text = handout.question.evaluate("(sheet) => sheet.textContent")
    assert [secret for secret in SECRETS if secret in text] == []
    drawing = handout.question.get_by_role("img", name="Drawing of the network").evaluate(
        "(drawing) => drawing.outerHTML"
    )
    assert [secret for secret in SECRETS if secret in drawing] == []
    assert {"30 µF", "10 µF", "5 µF", "9 V"} <= set(re.findall(r">([^<>]+)</text>", drawing))


def test_covered_readings_decide_what_is_asked(page: Page, complaints: list[str]) -> None:
    handout = HandoutPage(page).open(MIXED | {"covered": ["C1.charge", "C2.charge", "joint b.potential"]})
    expect(handout.task).to_have_value(
        re.compile("^Find the charge on C1 and C2, and the potentials marked with a question mark")
    )
    assert row(handout.question, "C1") == ["30 µF", "3.00 V", "", "135 µJ"]
    assert row(handout.question, "C3") == ["5 µF", "6.00 V", "30.0 µC", "90.0 µJ"]
    flags = handout.question.get_by_role("img").first.evaluate(
        "(drawing) => [...drawing.querySelectorAll('text')].map((text) => text.textContent)"
    )
    assert "?" in flags
    assert row(handout.key, "C1") == ["30 µF", "3.00 V", "90.0 µC", "135 µJ"]


def test_the_task_is_the_teachers_to_word(handout: HandoutPage) -> None:
    handout.task.fill("a) Which carries more charge, C2 or C3?\n\nb) <b>Why?</b>")
    paragraphs = handout.question.locator(".task p")
    assert paragraphs.all_inner_texts() == ["a) Which carries more charge, C2 or C3?", "b) <b>Why?</b>"]
    assert handout.question.locator(".task i").count() == 2  # the names, in the trade's manner
    assert handout.key.locator(".task p").count() == 2
    handout.button("Word the task anew").click()
    expect(handout.task).to_have_value(re.compile("^Find the voltage"))
    handout.page.get_by_label("Title", exact=True).fill("Test 4 & <more>")
    expect(handout.question.get_by_role("heading", level=2)).to_have_text("Test 4 & <more>")


def test_what_is_chosen_is_what_there_is(handout: HandoutPage) -> None:
    handout.page.get_by_label("Tiles", exact=True).uncheck()
    expect(handout.key.get_by_role("img", name="Tiles: charge across, voltage up")).to_have_count(0)
    handout.page.get_by_label("Worked solution", exact=True).uncheck()
    expect(handout.key.get_by_role("heading", name="Worked solution")).to_have_count(0)
    handout.choose("Room to write", "none")
    expect(handout.question.get_by_text("Working", exact=True)).to_have_count(0)
    handout.choose("Sheets", "Answer key")
    expect(handout.question).to_have_count(0)
    expect(handout.key).to_contain_text("capacitors stay charged")
    handout.choose("Sheets", "Question sheet")
    expect(handout.key).to_have_count(0)
    expect(handout.question).to_contain_text("capacitors stay charged")


def test_another_way_of_the_worked_solution_can_be_taken(page: Page, complaints: list[str]) -> None:
    handout = HandoutPage(page).open(ready("A bridge"))
    way = page.get_by_label("Way", exact=True)
    titles = way.locator("option").all_inner_texts()
    assert len(titles) > 1
    first = handout.key.get_by_role("listitem").first.inner_text()
    way.select_option(label=titles[1])
    expect(handout.key.get_by_role("listitem").first).not_to_have_text(first)
    handout.settled()
    assert way.evaluate("(list) => list.selectedOptions[0].textContent") == titles[1]


def test_on_paper_everything_is_black_on_white(handout: HandoutPage) -> None:
    handout.page.emulate_media(media="print")
    colours = handout.page.evaluate(
        """() => {
          const found = new Set();
          for (const element of document.querySelectorAll(".paper *")) {
            const style = getComputedStyle(element);
            const isShape = element instanceof SVGElement && element.ownerSVGElement;
            for (const name of isShape ? ["fill", "stroke"] : ["color", "backgroundColor"]) found.add(style[name]);
            if (isShape && (style.opacity !== "1" || style.fillOpacity !== "1")) found.add("see-through");
          }
          return [...found];
        }"""
    )
    assert set(colours) <= {"rgb(0, 0, 0)", "rgb(255, 255, 255)", "none", "rgba(0, 0, 0, 0)"}
    expect(handout.page.get_by_role("banner")).to_be_hidden()
    expect(handout.page.get_by_role("form", name="Choices")).to_be_hidden()


def test_the_pdf_has_what_the_page_shows(handout: HandoutPage) -> None:
    handout.task.fill("Find everything about C2.")
    handout.choose("Paper", "A4")
    saved = handout.saved("Save as PDF")
    assert saved.suggested_filename == "Storm lantern, three capacitors.pdf"
    expect(handout.status).to_have_text("Saved as “Storm lantern, three capacitors.pdf”.")
    question, *key = words_of(saved)
    assert "Find everything about C2." in question
    assert [secret for secret in SECRETS if secret in question] == []
    # What the browser has drawn is on the pages: values on the first, readings on the next.
    assert "10 µF" in question
    assert "3.00 V 90.0 µC 135 µJ" in key[0]
    assert "C2 and C3 in parallel" in " ".join(key)
    assert len([question, *key]) == len(handout.printed())


def test_where_the_server_makes_no_pdfs_the_page_says_so_and_prints(page: Page, complaints: list[str]) -> None:
    reason = "This server cannot make PDFs, because WeasyPrint or the Pango libraries that it needs are missing."
    page.route("**/api/paper", lambda route: route.fulfill(json={"pdf": False, "reason": reason}))
    handout = HandoutPage(page).open(MIXED)
    expect(page.get_by_text(reason)).to_be_visible()
    expect(handout.button("Save as PDF")).to_be_disabled()
    expect(handout.button("Print")).to_be_enabled()
    assert "Name Class Date" in handout.printed()[0]


def test_print_is_the_browsers_own(handout: HandoutPage) -> None:
    handout.page.evaluate("() => { window.asked = 0; window.print = () => { window.asked += 1; }; }")
    handout.button("Print").click()
    assert handout.page.evaluate("() => window.asked") == 1


def test_a_pdf_that_is_refused_is_told_in_words(handout: HandoutPage) -> None:
    problem = {"detail": "This handout takes longer to set than the 20 seconds allowed for it.", "errors": []}
    handout.page.route("**/api/handout.pdf", lambda route: route.fulfill(status=422, json=problem))
    handout.button("Save as PDF").click()
    expect(handout.status).to_have_text(problem["detail"])
    expect(handout.button("Save as PDF")).to_be_enabled()


def test_what_is_wrong_with_the_network_stands_in_the_handouts_place(page: Page) -> None:
    HandoutPage(page).open(
        MIXED | {"parts": [*MIXED["parts"], {"name": "C9", "kind": "capacitor", "from": "a", "to": "0"}]}
    )
    expect(page.get_by_role("region", name="What is wrong")).to_contain_text("C9")
    for name in ("Print", "Save as PDF", "Ledger (CSV)"):
        expect(page.get_by_role("button", name=name)).to_be_disabled()


def test_a_damaged_link_is_told_as_such(page: Page) -> None:
    page.goto("/handout#damaged*")
    expect(page.get_by_role("region", name="What is wrong")).to_contain_text("This link is damaged")


@pytest.mark.parametrize("size", SIZES.values(), ids=list(SIZES))
def test_axe_finds_nothing_wrong_with_the_page(page: Page, complaints: list[str], size: tuple[int, int]) -> None:
    page.set_viewport_size({"width": size[0], "height": size[1]})
    HandoutPage(page).open(MIXED)
    assert violations(page) == []


def test_the_page_asks_no_other_host_for_anything(page: Page, base_url: str) -> None:
    asked: set[str] = set()
    page.on("request", lambda request: asked.add(urlsplit(request.url).netloc))
    handout = HandoutPage(page).open(MIXED)
    handout.saved("Save as PDF")
    assert asked - {""} == {urlsplit(base_url).netloc}


def test_another_link_in_the_same_tab_is_another_handout(handout: HandoutPage) -> None:
    fragment = link_to(ready("Two in series")).partition("#")[2]
    handout.page.evaluate("(fragment) => { location.hash = fragment; }", fragment)
    expect(handout.question.get_by_role("heading", level=2)).not_to_have_text("Storm lantern, three capacitors")


FAILS = ready("Which part fails first")


def test_shares_of_ratings_are_on_the_key_and_not_on_the_question_sheet(page: Page, complaints: list[str]) -> None:
    pushed = {**FAILS, "parts": [_pushed(part) for part in FAILS["parts"]], "covered": ["C1.voltage", "C3.charge"]}
    handout = HandoutPage(page).open(pushed)
    question, key = (
        sheet.get_by_role("table", name="Ratings").get_by_role("row") for sheet in (handout.question, handout.key)
    )
    # 6, 3 and 2 µF on 100 V: 16.7 V of 20 V, 33.3 V of 10 V, 50 V of 12 V.
    expect(question.nth(1)).to_have_text("C120 Vto be found")
    expect(question.nth(2)).to_have_text("C210 V333 % of 10 V, (!) past its limit")
    expect(key.nth(1)).to_have_text("C120 V83 % of 20 V")
    expect(handout.key.locator("figure.drawing")).to_contain_text("333 % of 10 V")
    handout.page.goto("about:blank")
    handout.open({**pushed, "covered": []})
    expect(handout.task).to_have_value(re.compile("Find what share of its rating each capacitor comes to"))
    expect(handout.question.get_by_role("table", name="Ratings")).to_have_count(0)
    expect(handout.question.get_by_text("past its limit")).to_have_count(0)
    expect(handout.question.locator("figure.drawing")).not_to_contain_text(" %")
    on_paper = words_of(handout.saved("Save as PDF"))
    assert "past its limit" not in on_paper[0]
    assert "past its limit" in " ".join(on_paper[1:])


def _pushed(part: dict[str, str]) -> dict[str, str]:
    """A battery at a hundred volts."""
    return {**part, "value": "100 V"} if part["kind"] == "battery" else part
