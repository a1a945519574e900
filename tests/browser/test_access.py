"""The page can be used by everybody, asks no other host for anything, and is small."""

from __future__ import annotations

import re
from collections.abc import Callable
from urllib.parse import urlsplit

import pytest
from axe_playwright_python.sync_playwright import Axe
from playwright.sync_api import BrowserContext, Page, Response, expect

from tests.browser.ready import SAMPLES, TITLES, middle, ready
from tests.browser.share_dialog import open_share, stored_links
from tests.browser.sheet_page import SheetPage, at_rest

MIXED = ready("Three, mixed")
MOST_BYTES = 200_000
SIZES = {"desktop": (1366, 768), "phone": (390, 844)}


def violations(page: Page) -> list[str]:
    # Colours on their way from one to another have no contrast of their own.
    at_rest(page)
    found = Axe().run(page).response["violations"]
    return [f"{each['id']}: {node['target']} {node['failureSummary']}" for each in found for node in each["nodes"]]


def short_circuit(sheet: SheetPage) -> None:
    sheet.draw((8, 2), (8, 16))
    expect(sheet.panel.get_by_role("region", name="What is wrong")).to_be_visible()


def dialog(name: str) -> Callable[[SheetPage], None]:
    def open_it(sheet: SheetPage) -> None:
        sheet.page.get_by_role("button", name=re.compile(f"^{name}")).click()
        expect(sheet.page.get_by_role("dialog")).to_be_visible()

    return open_it


def stored_share(sheet: SheetPage) -> None:
    stored_links(sheet)
    expect(open_share(sheet).get_by_role("textbox", name="View link")).to_be_visible()


def look(sheet: SheetPage) -> None:
    sheet.page.get_by_role("button", name="Look").click()
    expect(sheet.page.get_by_role("checkbox").first).to_be_visible()


def larger(sheet: SheetPage) -> None:
    look(sheet)
    sheet.page.get_by_role("checkbox", name=re.compile("Larger")).check()


def embedded(sheet: SheetPage) -> None:
    view, _ = stored_links(sheet)
    sheet.open(f"{view}/embed")


def not_found(sheet: SheetPage) -> None:
    sheet.page.goto("/s/nosuchsketchatall0000")


def editing_a_cell(sheet: SheetPage) -> None:
    sheet.edit_cell(sheet.cell("C1", "Capacitance"), "nine")
    expect(sheet.panel.get_by_role("alert")).to_be_visible()


def typing(sheet: SheetPage) -> None:
    sheet.click_value("C1")
    sheet.field.fill("nine")
    expect(sheet.means).to_have_class(re.compile("wrong"))


def probing(sheet: SheetPage) -> None:
    sheet.click(tuple(MIXED["joints"]["c"]))
    sheet.click(tuple(MIXED["joints"]["0"]), shift=True)
    expect(sheet.panel.get_by_role("region", name="Between two joints")).to_be_visible()


def away(sheet: SheetPage) -> None:
    sheet.page.route("**/api/**", lambda route: route.abort())
    sheet.press("n", "n", "f")
    expect(sheet.panel.get_by_text("The server is away")).to_be_visible()


STATES: dict[str, Callable[[SheetPage], object]] = {
    **{sample["id"]: lambda sheet, title=sample["title"]: sheet.open_ready(title) for sample in SAMPLES},
    "empty": SheetPage.open_empty,
    "error": short_circuit,
    "selected": lambda sheet: sheet.click(middle(MIXED, "C1")),
    "covered": lambda sheet: sheet.press("."),
    "typing": typing,
    "cell": editing_a_cell,
    "probe": probing,
    "away": away,
    "share": dialog("Share link"),
    "share, stored": stored_share,
    "keys": dialog("Keys"),
    "open": dialog("Open"),
    "look": look,
    "larger": larger,
    "embed": embedded,
    "not found": not_found,
}


@pytest.mark.parametrize("size", SIZES)
@pytest.mark.parametrize("state", STATES)
def test_axe_finds_nothing_amiss(sheet: SheetPage, state: str, size: str) -> None:
    STATES[state](sheet)
    width, height = SIZES[size]
    sheet.page.set_viewport_size({"width": width, "height": height})
    assert violations(sheet.page) == []


def test_the_page_and_all_it_loads_are_small_and_come_from_one_host(page: Page, base_url: str) -> None:
    answers: list[Response] = []
    page.on("response", lambda answer: answers.append(answer))
    sheet = SheetPage(page).open()
    sheet.open_ready("A bridge")
    hosts = {urlsplit(answer.url).netloc for answer in answers if not answer.url.startswith("data:")}
    assert hosts == {urlsplit(base_url).netloc}
    loaded = [answer for answer in answers if "/api/" not in answer.url]
    # As sent over the network, where the scripts go compressed.
    sent = [answer.request.sizes()["responseBodySize"] for answer in loaded]
    assert all(size > 0 for size in sent)
    assert sum(sent) <= MOST_BYTES


def test_dialogs_and_drawing_ask_no_other_host_for_anything(page: Page, base_url: str) -> None:
    asked: set[str] = set()
    page.on("request", lambda request: asked.add(urlsplit(request.url).netloc))
    sheet = SheetPage(page).open()
    stored_share(sheet)
    sheet.page.get_by_role("dialog").get_by_role("button", name="PNG").click()
    expect(sheet.page.get_by_role("dialog")).to_contain_text("Saved as")
    assert asked - {""} == {urlsplit(base_url).netloc}


def test_nothing_on_the_page_offends_its_own_security_policy(context: BrowserContext, page: Page) -> None:
    offences: list[str] = []
    page.expose_function("offended", lambda what: offences.append(what))
    page.add_init_script(
        "addEventListener('securitypolicyviolation', (event) => offended(event.violatedDirective + event.blockedURI));"
    )
    sheet = SheetPage(page).open()
    for title in TITLES:
        sheet.open_ready(title)
    sheet.open_empty()
    sheet.draw((4, 3), (4, 9), "9 V")
    stored_share(sheet)
    sheet.page.get_by_role("dialog").get_by_role("button", name="PNG").click()
    expect(sheet.page.get_by_role("dialog")).to_contain_text("Saved as")
    assert offences == []


# Seconds that a change of each element takes to come about.
LASTING = """() => [...document.querySelectorAll("*")]
  .map((each) => parseFloat(getComputedStyle(each).transitionDuration) || 0)"""


@pytest.mark.parametrize(("wish", "eases"), [("no-preference", True), ("reduce", False)])
def test_nothing_moves_for_those_who_want_less_motion(page: Page, wish: str, eases: bool) -> None:
    page.emulate_media(reduced_motion=wish)  # type: ignore[arg-type]
    SheetPage(page).open()
    lasting = page.evaluate(LASTING)
    assert (max(lasting) > 0) is eases
    assert max(lasting) <= 0.12


FOCUSED = """() => {
  const at = document.activeElement;
  const style = getComputedStyle(at);
  const outlined = style.outlineStyle !== "none" && parseFloat(style.outlineWidth) >= 2;
  return [at === document.body ? "" : (at.getAttribute("aria-label") ?? at.textContent.trim()), outlined];
}"""


def walk(page: Page) -> list[tuple[str, bool]]:
    """Names of everything that Tab comes by, from the top of the page to its end, and whether the focus shows there."""
    name = ""
    while name != "Farandole":
        page.keyboard.press("Tab")
        name, seen = page.evaluate(FOCUSED)
    found = []
    while name and (name != "Farandole" or not found):
        found.append((name, seen))
        page.keyboard.press("Tab")
        name, seen = page.evaluate(FOCUSED)
    return found


def test_the_focus_goes_through_the_page_as_it_is_read(sheet: SheetPage) -> None:
    names = [name for name, _ in walk(sheet.page)]
    header = ["Farandole", "Title of the sheet", "Open", "Look", "Share link"]
    drawing = ["Drawing of the network", "Zoom in", "Fit the drawing to the window"]
    ledger = ["Significant figures of the readings", "Name C1", "value of C1: 30 µF", "3.00 V, voltage of C1: cover it"]
    footer = [next(name for name in names if name.startswith(start)) for start in ("Potential", "Energy", "Cover")]
    places = [names.index(name) for name in [*header, *drawing, *ledger, "Name E1", *footer]]
    assert places == sorted(places)


def test_the_focus_can_be_seen_wherever_it_is(sheet: SheetPage) -> None:
    assert [name for name, seen in walk(sheet.page) if not seen] == []


def test_the_focus_stays_on_a_reading_that_is_covered_and_uncovered(sheet: SheetPage) -> None:
    sheet.cell("C1", "Voltage").get_by_role("button").focus()
    for shown in ("?", "3.00 V"):
        sheet.page.keyboard.press("Enter")
        expect(sheet.cell("C1", "Voltage")).to_have_text(shown)
        expect(sheet.cell("C1", "Voltage").get_by_role("button")).to_be_focused()


def test_the_page_can_be_read_at_twice_the_size(sheet: SheetPage) -> None:
    # WCAG 2.2, 1.4.4 and 1.4.10: a window of 640 px is what 1280 px are at 200 %.
    sheet.page.set_viewport_size({"width": 640, "height": 400})
    assert sheet.page.evaluate("() => document.documentElement.scrollWidth <= window.innerWidth")
    sheet.cell("C3", "Energy").scroll_into_view_if_needed()
    expect(sheet.cell("C3", "Energy")).to_be_in_viewport()
