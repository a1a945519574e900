"""The bank planner: a form that loses nothing, banks that follow it, a search that can be stopped, and paper."""

from __future__ import annotations

import io
import re
from typing import Any

import pytest
from playwright.sync_api import Browser, Locator, Page, expect
from pypdf import PdfReader

from tests.browser.module_page import shared
from tests.browser.ready import link_to
from tests.browser.sheet_page import SheetPage
from tests.browser.test_access import SIZES, violations

SAMPLE: dict[str, Any] = shared("samples")["bank"]["wish"]
EMPTY = {"value": "", "rated": "", "tolerance": "", "leakage": "", "count": "", "price": ""}
# Pairs of sixteen kinds: too many banks to look at in a moment.
PRIMES = [101, 103, 107, 109, 113, 127, 131, 137, 139, 149, 151, 157, 163, 167, 173, 179]
LONG = {
    **SAMPLE,
    "voltage": "50 V",
    "goal": "capacitance",
    "capacitance": "1000 µF",
    "derating": "100 %",
    "kinds": [{**EMPTY, "value": f"{number} µF", "rated": "30 V", "count": "2"} for number in PRIMES],
}


class BankPage:
    """One tab with the planner in it."""

    def __init__(self, page: Page) -> None:
        self.page = page
        self.banks = page.locator("#equal article")
        self.mixed = page.locator("#mixed article")
        self.status = page.locator("#status")
        self.faults = page.locator("#faults li")

    def open(self, wish: dict[str, Any] | None = None) -> BankPage:
        self.page.goto(link_to(wish).replace("/p#", "/bank#") if wish else "/bank")
        return self.settled()

    def settled(self) -> BankPage:
        expect(self.page.locator("#answer")).to_have_attribute("aria-busy", "false")
        return self

    def field(self, name: str) -> Locator:
        return self.page.get_by_role("textbox", name=name, exact=True)

    def button(self, name: str) -> Locator:
        return self.page.get_by_role("button", name=name, exact=True)

    def card(self, words: str) -> Locator:
        return self.page.get_by_role("article").filter(has=self.page.get_by_role("heading", name=words, exact=True))

    def rows(self) -> int:
        return self.page.get_by_role("textbox", name=re.compile("^Value, row")).count()


@pytest.fixture
def bank(page: Page, complaints: list[str]) -> BankPage:
    """A tab for the planner; errors of its scripts fail the test."""
    return BankPage(page)


def test_the_planner_opens_from_the_sheet_and_leads_back_to_it(sheet: SheetPage) -> None:
    sheet.open_ready("Two in series")
    sheet.page.get_by_role("button", name="Bank", exact=True).click()
    bank = BankPage(sheet.page).settled()
    expect(bank.banks.first).to_contain_text("6 × 220 µF 63 V")
    sheet.page.get_by_role("link", name="Back to the sheet").click()
    expect(sheet.settled().page.locator("#title")).to_have_value("Storm lantern, two in series")


def test_the_sample_is_among_the_sheets_to_open(sheet: SheetPage) -> None:
    sheet.page.get_by_role("button", name="Open", exact=True).click()
    sheet.page.get_by_role("button", name=re.compile("^A bank for the lantern")).click()
    bank = BankPage(sheet.page).settled()
    expect(bank.field("Working voltage")).to_have_value("45 V")
    expect(bank.card("8 strings of 3 × 470 µF 25 V")).to_contain_text("24 parts for 8.40")


def test_banks_come_with_their_figures_and_follow_the_form(bank: BankPage) -> None:
    bank.open()
    card = bank.card("3 strings of 2 × 1000 µF 35 V")
    # 45·1.2/2 = 27 V of 0.8·35 V; ½·1.5 mF·(45² − 15²) = 1.35 J.
    for words in (
        "1.50 mF (1.20 mF to 1.80 mF by tolerance)",
        "1.35 J of 1.52 J stored",
        "77 % of its rating (96 % of the 28.0 V that derating allows)",
    ):
        expect(card).to_contain_text(words)
    bank.field("Energy").fill("1.5 J")
    # 1.67 mF: eight of 220 µF; of the others there are not enough.
    expect(bank.status).to_have_text("One bank of equal strings does it. At least 1.67 mF is needed.")
    expect(bank.banks).to_have_count(1)
    bank.page.get_by_label("Capacitance counts").select_option(label="at its least, by tolerance")
    # Ten of 176 µF each are 1.76 mF, nine are 1.58 mF.
    expect(bank.card("10 × 220 µF 63 V")).to_be_visible()


def test_resistors_stand_under_each_bank(bank: BankPage) -> None:
    card = bank.open().card("3 strings of 2 × 1000 µF 35 V")
    card.get_by_text("Resistors").click()
    # R ≤ (28·2/1.05 − 45)/(0.95·350 µA) = 25.06 kΩ.
    expect(card).to_contain_text("Balancing: 24.0 kΩ (at most 25.1 kΩ) across each 1000 µF 35 V")
    expect(card).to_contain_text(re.compile(r"Bleeding: 13\.0\skΩ .* within 54\.0\ss, which is 24\.6\ss × ln\(9\)"))


def test_a_reload_a_link_and_the_way_back_lose_nothing_of_the_form(
    bank: BankPage, browser: Browser, base_url: str
) -> None:
    bank.open()
    bank.field("Energy").fill("1.5 J")
    bank.button("Another kind").click()
    expect(bank.field("Value, row 4")).to_be_focused()
    bank.page.keyboard.type("330 uF")
    bank.page.keyboard.press("Tab")
    bank.page.keyboard.type("5 V")
    expect(bank.faults).to_have_count(1)
    expect(bank.faults.first).to_contain_text("How many there are in row 4 is missing")
    bank.page.reload()
    bank.settled()
    expect(bank.field("Value, row 4")).to_have_value("330 uF")
    expect(bank.field("Energy")).to_have_value("1.5 J")
    address = bank.page.url
    bank.button("Empty form").click()
    expect(bank.field("Energy")).to_have_value("")
    bank.page.go_back()
    expect(bank.field("Energy")).to_have_value("1.5 J")
    other = browser.new_page()
    other.goto(address)
    expect(BankPage(other).field("Value, row 4")).to_have_value("330 uF")
    other.close()
    bank.page.goto("/bank")
    expect(bank.field("Energy")).to_have_value("1.5 J")


def test_everything_that_is_wrong_is_told_at_once_beside_what_was_there(bank: BankPage) -> None:
    bank.open()
    bank.field("Rated, row 1").fill("0 V")
    bank.field("Tolerance, row 2").fill("100 %")
    bank.field("Working voltage").fill("a lot")
    expect(bank.faults).to_have_count(3)
    expect(bank.faults.nth(1)).to_contain_text("The rated voltage in row 1 is 0 V")
    wrong = bank.page.locator("[aria-invalid]")
    assert [field.get_attribute("aria-label") for field in wrong.all()] == [
        "Working voltage",
        "Rated, row 1",
        "Tolerance, row 2",
    ]
    expect(bank.banks).to_have_count(3)
    expect(bank.page.locator("#faults")).to_contain_text("What is listed belongs to what was asked before.")
    for name, text in (("Working voltage", "45 V"), ("Rated, row 1", "25 V"), ("Tolerance, row 2", "20 %")):
        bank.field(name).fill(text)
    expect(bank.faults).to_have_count(0)
    expect(wrong).to_have_count(0)


def test_mixed_parts_are_looked_for_when_asked_and_ranked(bank: BankPage) -> None:
    bank.open()
    bank.button("Look for mixed parts").click()
    expect(bank.page.locator("#mixed")).to_contain_text(
        "2 banks take 5 parts, the fewest that mixed parts can do with; equal strings take 6."
    )
    assert bank.mixed.get_by_role("heading").all_inner_texts() == [
        "A string of 2 × 1000 µF 35 V in parallel with 3 × 220 µF 63 V",
        "2 strings of 2 × 1000 µF 35 V in parallel with 220 µF 63 V",
    ]


def test_mixed_parts_that_take_as_many_are_said_to_take_no_fewer(bank: BankPage) -> None:
    kinds = [{**EMPTY, "value": value, "rated": "50 V", "count": "2"} for value in ("100 µF", "150 µF")]
    asked = {"voltage": "40 V", "goal": "capacitance", "capacitance": "190 µF", "derating": "100 %"}
    bank.open({**SAMPLE, **asked, "kinds": kinds})
    bank.button("Look for mixed parts").click()
    # 100 and 150 are 250; 100 and 100 are 200 already.
    expect(bank.page.locator("#mixed")).to_contain_text(
        "One bank takes 2 parts, the fewest that mixed parts can do with, and no fewer than equal strings take."
    )


def test_a_voltage_without_a_tolerance_is_never_called_the_worst(bank: BankPage) -> None:
    kind = {**EMPTY, "value": "1000 µF", "rated": "35 V", "count": "6"}
    card = bank.open({**SAMPLE, "kinds": [kind]}).card("3 strings of 2 × 1000 µF 35 V")
    # 45/2 = 22.5 V; of 35 V that is 64 %, of 28 V 80 %.
    expect(card).to_contain_text(
        "With no tolerance given: 22.5 V on each 1000 µF 35 V if all are exactly alike, 64 % of its rating "
        "(80 % of the 28.0 V that derating allows)"
    )
    expect(card).not_to_contain_text("At worst")


def test_resistors_that_cannot_be_drawn_are_not_offered_and_what_is_missing_is_said(bank: BankPage) -> None:
    kinds = [{**row, "leakage": ""} for row in SAMPLE["kinds"]]
    bank.open({**SAMPLE, "kinds": kinds, "downTo": "", "within": ""})
    balancing = bank.page.get_by_role("checkbox", name="balancing resistors")
    bleed = bank.page.get_by_role("checkbox", name="a bleed resistor")
    for box, missing in ((balancing, "leakage"), (bleed, "a safe voltage and a time")):
        expect(box).to_be_disabled()
        expect(box).not_to_be_checked()
        expect(box).to_have_accessible_description(re.compile(missing))
    bank.field("Leakage, row 2").fill("350 µA")
    expect(balancing).to_be_checked()
    expect(balancing).to_have_accessible_description("")
    expect(bleed).to_be_disabled()


def test_a_number_alone_is_taken_in_the_unit_of_its_field_and_shown_with_it(bank: BankPage) -> None:
    bank.open()
    for name, text in (
        ("Working voltage", "45"),
        ("Rated, row 2", "35"),
        ("Tolerance, row 2", "20"),
        ("Energy", "1,5"),
    ):
        bank.field(name).fill(text)
        bank.page.keyboard.press("Tab")
    for name, text in (
        ("Working voltage", "45 V"),
        ("Rated, row 2", "35 V"),
        ("Tolerance, row 2", "20 %"),
        ("Energy", "1,5 J"),
    ):
        expect(bank.field(name)).to_have_value(text)
    expect(bank.status).to_contain_text("At least 1.67 mF is needed")
    bank.field("Value, row 1").fill("1000")
    bank.page.keyboard.press("Tab")
    expect(bank.field("Value, row 1")).to_have_value("1000")
    expect(bank.faults).to_have_count(1)
    assert "1000\u00a0µF" in (bank.faults.text_content() or "")


def test_the_example_says_that_it_is_one_and_is_emptied_at_once(bank: BankPage) -> None:
    bank.open()
    told = bank.page.locator("#sampled")
    expect(told).to_contain_text("An example: the lantern's bank. Put your own numbers in.")
    bank.field("Working voltage").fill("40 V")
    expect(told).to_contain_text("what you have not changed is still the lantern's")
    bank.button("Empty the form").click()
    expect(told).to_be_hidden()
    expect(bank.field("Working voltage")).to_be_focused()
    expect(bank.field("Working voltage")).to_have_value("")
    bank.page.keyboard.type("x")
    expect(bank.faults.first).to_be_visible()
    expect(bank.page.locator("#faults")).not_to_contain_text("What is listed")


def test_a_long_search_shows_how_far_it_is_and_stops_when_told(bank: BankPage) -> None:
    bank.open(LONG)
    expect(bank.page.locator("#equal")).to_contain_text("No bank of equal strings does this")
    bank.button("Look for mixed parts").click()
    bar = bank.page.get_by_role("progressbar")
    expect(bar).to_be_visible()
    expect(bank.page.locator("#mixed [role=status]")).to_contain_text(re.compile(r"Looking at banks of \d+ parts"))
    bank.page.wait_for_function("() => document.querySelector('progress').value > 0")
    bank.page.keyboard.press("Enter")  # the focus is on Stop
    expect(bar).to_have_count(0)
    expect(bank.page.locator("#mixed [role=status]")).to_contain_text("Stopped")
    expect(bank.button("Look again")).to_be_focused()
    bank.page.keyboard.press("Enter")
    expect(bar).to_be_visible()
    bank.field("Capacitance").fill("1 F")
    expect(bank.page.locator("#equal")).to_contain_text("No bank of these parts does this: even all 32")
    expect(bar).to_have_count(0)


def test_a_bank_is_drawn_on_the_sheet_with_the_keyboard_and_works_there(bank: BankPage) -> None:
    bank.open()
    bank.button("Draw on the sheet: 3 strings of 2 × 1000 µF 35 V").focus()
    bank.page.keyboard.press("Enter")
    bank.page.wait_for_url("**/p#*")
    sheet = SheetPage(bank.page).settled()
    expect(sheet.page.locator("#title")).to_have_value("Bank: 3 strings of 2 × 1000 µF 35 V")
    expect(sheet.cell("C6", "Voltage")).to_contain_text("22.5 V")
    expect(sheet.page.locator("#sheet")).to_contain_text("24 kΩ")
    sheet.page.go_back()
    expect(bank.settled().field("Working voltage")).to_have_value("45 V")


def test_resistors_are_drawn_only_where_wanted(bank: BankPage) -> None:
    bank.open()
    bank.page.get_by_role("checkbox", name="balancing resistors").uncheck()
    bank.page.get_by_role("checkbox", name="a bleed resistor").uncheck()
    bank.button("Draw on the sheet: 3 strings of 2 × 1000 µF 35 V").click()
    bank.page.wait_for_url("**/p#*")
    sheet = SheetPage(bank.page).settled()
    expect(sheet.cell("C6", "Voltage")).to_contain_text("22.5 V")
    # The worst voltage of the plan, 27 V, is the sheet's own over these tolerances.
    expect(sheet.cell("C6", "Voltage")).to_contain_text("27.0 V")
    expect(sheet.page.locator("#sheet")).not_to_contain_text("Ω")


def test_a_handout_is_one_page_with_the_parts_list_and_the_caution(bank: BankPage) -> None:
    bank.open()
    bank.page.evaluate("() => { window.print = () => (document.body.dataset.printed = 'yes'); }")
    bank.page.locator("#caution summary").click()
    bank.button("Print a handout: 8 strings of 3 × 470 µF 25 V").click()
    expect(bank.page.locator("body")).to_have_attribute("data-printed", "yes")
    pages = PdfReader(io.BytesIO(bank.page.pdf(prefer_css_page_size=True))).pages
    assert len(pages) == 1
    words = " ".join(pages[0].extract_text().split())
    for piece in (
        "24 capacitor 470 µF 25 V, ±20 % 0.35",
        "24 resistor 47.0 kΩ ±5 %",
        "One string of each sort is drawn; in parallel stand 8 strings of 3 × 470 µF 25 V, and across all",
        "Caution: up to 45.0 V",
        "= V·(1 + t) / (N − (N − 2)·t)",
        "KEMET, manufacturer's guide",
        "first estimates",
    ):
        assert piece in words.replace("ﬁ", "fi")
    assert "Parts at hand" not in words


def test_a_handout_is_saved_as_a_pdf_of_one_page(bank: BankPage) -> None:
    bank.open()
    with bank.page.expect_download() as download:
        bank.button("Save as PDF: 3 strings of 2 × 1000 µF 35 V").press("Enter")
    assert download.value.suggested_filename == "Plan, bank of 6 parts, 1.50 mF.pdf"
    [page] = PdfReader(str(download.value.path())).pages
    words = " ".join(page.extract_text().replace("ﬁ", "fi").split())
    for piece in ("E1", "C6", "6 capacitor 1000 µF 35 V, ±20 % 0.80", "6 resistor 24.0 kΩ", "first estimates"):
        assert piece in words
    card = bank.card("3 strings of 2 × 1000 µF 35 V")
    expect(card.get_by_role("status")).to_have_text("Saved as “Plan, bank of 6 parts, 1.50 mF.pdf”.")


def test_where_no_pdf_can_be_made_the_card_says_so(bank: BankPage) -> None:
    bank.open()
    detail = {"detail": "No PDF can be made here. Printing works all the same."}
    bank.page.route("**/api/bank/handout.pdf", lambda route: route.fulfill(status=503, json=detail))
    bank.button("Save as PDF: 6 × 220 µF 63 V").click()
    expect(bank.card("6 × 220 µF 63 V").get_by_role("status")).to_have_text(detail["detail"])


def test_an_empty_form_asks_for_nothing_and_complains_of_nothing(bank: BankPage) -> None:
    bank.open()
    bank.button("Empty form").click()
    expect(bank.status).to_have_text("Type what the bank has to do, and which parts there are.")
    expect(bank.faults).to_have_count(0)
    expect(bank.banks.first).to_be_hidden()
    bank.button("Worked example").click()
    expect(bank.banks.first).to_be_visible()


def test_a_damaged_link_leads_to_the_worked_example_and_says_so(bank: BankPage) -> None:
    bank.page.goto("/bank#eJyrVspJTVOyUl")
    bank.settled()
    expect(bank.field("Working voltage")).to_have_value("45 V")
    expect(bank.banks).to_have_count(3)


def test_rows_come_and_go_under_a_finger(browser: Browser, base_url: str) -> None:
    context = browser.new_context(viewport={"width": 390, "height": 844}, has_touch=True, base_url=base_url)
    bank = BankPage(context.new_page()).open()
    bank.button("Take row 1 away").tap()
    expect(bank.field("Value, row 1")).to_have_value("1000 µF")
    expect(bank.card("8 strings of 3 × 470 µF 25 V")).to_have_count(0)
    bank.button("Another kind").tap()
    assert bank.rows() == 3
    bank.field("Value, row 3").tap()
    bank.page.keyboard.type("4700 µF")
    bank.field("Rated, row 3").tap()
    bank.page.keyboard.type("63 V")
    bank.field("Number, row 3").tap()
    bank.page.keyboard.type("1")
    expect(bank.card("4700 µF 63 V")).to_be_visible()
    width = bank.page.evaluate("() => document.documentElement.scrollWidth")
    assert width == 390
    context.close()


@pytest.mark.parametrize("size", SIZES)
@pytest.mark.parametrize("state", ["sample", "mixed", "faults"])
def test_axe_finds_nothing(bank: BankPage, size: str, state: str) -> None:
    width, height = SIZES[size]
    bank.page.set_viewport_size({"width": width, "height": height})
    bank.open()
    if state == "mixed":
        bank.button("Look for mixed parts").click()
        expect(bank.mixed).to_have_count(2)
        for summary in bank.page.locator("summary").all()[1:]:
            summary.click()
    elif state == "faults":
        bank.field("Working voltage").fill("x")
        expect(bank.faults).to_have_count(1)
    assert violations(bank.page) == []


def test_what_is_typed_never_becomes_markup(bank: BankPage) -> None:
    kinds = [{**EMPTY, "value": "<img src=x onerror=alert(1)>", "rated": "1 V", "count": "1"}]
    bank.open({**SAMPLE, "kinds": kinds})
    expect(bank.faults.first).to_contain_text("<img src=x")
    assert bank.page.locator("#faults img").count() == 0
