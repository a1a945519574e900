"""The sheet is kept in the browser: what was drawn is there again, and no tab writes over another's."""

from __future__ import annotations

import json
from typing import Any

import pytest
from playwright.sync_api import BrowserContext, Page

from tests.browser.module_page import sample_sketches, shared

LANTERN, SECOND, THIRD = sample_sketches()[:3]
STORED = {"id": "abc", "version": 3, "key": "secret"}
WITHOUT_LOCKS = "delete Navigator.prototype.locks;"


def open_stash(page: Page, address: str = "/") -> Any:
    """Does what the page does when it is loaded; returns what was found."""
    return page.evaluate(
        """async ([address, kinds]) => {
          const { Stash } = await import("/static/stash.js");
          window.outcomes = [];
          window.stash = await Stash.forPage(address, kinds);
          window.stash.onremoved = (outcome) => window.outcomes.push(outcome);
          return window.stash.found;
        }""",
        [address, shared("kinds")["kinds"]],
    )


def reopen(page: Page, address: str = "/") -> Any:
    page.reload()
    return open_stash(page, address)


def keep(page: Page, sketch: dict[str, Any], stored: dict[str, Any] | None = None) -> str:
    return str(page.evaluate("([sketch, stored]) => window.stash.keep({ sketch, stored })", [sketch, stored]))


def recent_titles(page: Page) -> list[str]:
    return list(page.evaluate("() => window.stash.recent().map(({ title }) => title)"))


def duplicate(page: Page) -> Page:
    """A second tab with a copy of the first one's session, as a browser's “duplicate” makes it."""
    with page.expect_popup() as opened:
        page.evaluate("() => { window.open(location.href); }")
    opened.value.wait_for_load_state()
    return opened.value


def put_entry(page: Page, sheet: str, text: str) -> None:
    page.evaluate("([sheet, text]) => localStorage.setItem(`farandole sheet ${sheet}`, text)", [sheet, text])


def entry(sketch: dict[str, Any], time: int) -> str:
    return json.dumps(
        {"title": sketch["title"], "time": time, "parts": len(sketch["parts"]), "stored": None, "sketch": sketch}
    )


SIZED = "const sized = ([title, size]) => ({ title, joints: {}, parts: [], covered: ['x'.repeat(size)] });"


def put_large_entry(page: Page, title: str, size: int, time: int) -> None:
    page.evaluate(
        f"""([title, size, time]) => {{
          {SIZED}
          localStorage.setItem(`farandole sheet ${{title}}`, JSON.stringify({{ time, sketch: sized([title, size]) }}));
        }}""",
        [title, size, time],
    )


def keep_large(page: Page, title: str, size: int) -> str:
    return str(
        page.evaluate(
            f"(given) => {{ {SIZED} return window.stash.keep({{ sketch: sized(given), stored: null }}); }}",
            [title, size],
        )
    )


def test_nothing_is_found_the_first_time(module_page: Page) -> None:
    assert open_stash(module_page) is None


def test_a_reload_finds_the_sheet_and_what_the_server_has_of_it(module_page: Page) -> None:
    open_stash(module_page)
    assert keep(module_page, SECOND) == "kept"
    assert keep(module_page, LANTERN, STORED) == "kept"
    assert reopen(module_page) == {"sketch": LANTERN, "stored": STORED}


def test_a_sheet_kept_after_a_reload_is_still_the_same_sheet(module_page: Page) -> None:
    open_stash(module_page)
    keep(module_page, LANTERN)
    reopen(module_page)
    keep(module_page, SECOND)
    assert reopen(module_page)["sketch"] == SECOND
    assert recent_titles(module_page) == []


def test_every_address_of_a_tab_has_a_sheet_of_its_own(module_page: Page) -> None:
    open_stash(module_page, "/s/one")
    keep(module_page, LANTERN)
    assert reopen(module_page, "/s/two") is None
    assert reopen(module_page, "/s/one")["sketch"] == LANTERN


def test_a_sheet_is_found_under_the_address_it_moved_to(module_page: Page) -> None:
    open_stash(module_page, "/")
    keep(module_page, LANTERN, STORED)
    module_page.evaluate("() => window.stash.moved('/s/abc')")
    assert reopen(module_page, "/s/abc") == {"sketch": LANTERN, "stored": STORED}


def test_another_tab_starts_on_its_own_and_sees_the_sheet_among_the_others(
    context: BrowserContext, module_page: Page
) -> None:
    open_stash(module_page)
    keep(module_page, LANTERN)
    other = context.new_page()
    other.goto(module_page.url)
    assert open_stash(other) is None
    assert recent_titles(other) == [LANTERN["title"]]


@pytest.mark.parametrize("missing", ["", WITHOUT_LOCKS], ids=["https", "plain http"])
def test_a_duplicated_tab_goes_on_with_a_copy(context: BrowserContext, module_page: Page, missing: str) -> None:
    context.add_init_script(missing)
    module_page.reload()
    open_stash(module_page)
    keep(module_page, LANTERN, STORED)
    copy = duplicate(module_page)
    assert open_stash(copy) == {"sketch": LANTERN, "stored": STORED}
    keep(copy, SECOND)
    assert reopen(module_page) == {"sketch": LANTERN, "stored": STORED}
    keep(module_page, THIRD)
    assert reopen(copy)["sketch"] == SECOND


@pytest.mark.parametrize("missing", ["", WITHOUT_LOCKS], ids=["https", "plain http"])
def test_a_reload_is_not_taken_for_a_second_tab(context: BrowserContext, module_page: Page, missing: str) -> None:
    context.add_init_script(missing)
    module_page.reload()
    open_stash(module_page)
    for _ in range(5):
        keep(module_page, LANTERN)
        assert reopen(module_page)["sketch"] == LANTERN
    assert recent_titles(module_page) == []


def test_a_tab_that_slept_while_its_sheet_was_taken_writes_nothing_over(
    context: BrowserContext, module_page: Page
) -> None:
    context.add_init_script(WITHOUT_LOCKS + "BroadcastChannel.prototype.postMessage = () => {};")
    module_page.reload()
    open_stash(module_page)
    keep(module_page, LANTERN)
    copy = duplicate(module_page)
    open_stash(copy)
    keep(copy, SECOND)
    assert keep(module_page, THIRD) == "kept"
    assert reopen(copy)["sketch"] == SECOND
    assert reopen(module_page)["sketch"] == THIRD


def test_a_new_sheet_leaves_the_one_before_among_the_others(module_page: Page) -> None:
    open_stash(module_page)
    keep(module_page, LANTERN)
    module_page.evaluate("() => window.stash.startNew()")
    assert recent_titles(module_page) == [LANTERN["title"]]
    keep(module_page, SECOND)
    assert reopen(module_page)["sketch"] == SECOND
    assert recent_titles(module_page) == [LANTERN["title"]]


def test_another_sheet_can_be_gone_on_with(module_page: Page) -> None:
    open_stash(module_page)
    keep(module_page, LANTERN)
    module_page.evaluate("() => window.stash.startNew()")
    keep(module_page, SECOND)
    taken = module_page.evaluate("() => window.stash.take(window.stash.recent()[0].id)")
    assert taken == {"sketch": LANTERN, "stored": None}
    keep(module_page, THIRD)
    assert recent_titles(module_page) == [SECOND["title"]]
    assert reopen(module_page)["sketch"] == THIRD


def test_a_sheet_that_another_tab_has_open_is_gone_on_with_as_a_copy(
    context: BrowserContext, module_page: Page
) -> None:
    open_stash(module_page)
    keep(module_page, LANTERN)
    other = context.new_page()
    other.goto(module_page.url)
    open_stash(other)
    assert other.evaluate("() => window.stash.take(window.stash.recent()[0].id)")["sketch"] == LANTERN
    keep(other, SECOND)
    assert reopen(module_page)["sketch"] == LANTERN


def test_the_others_are_listed_latest_first_and_no_more_than_twenty(module_page: Page) -> None:
    for number in range(25):
        put_entry(module_page, f"n{number}", entry({**LANTERN, "title": f"Sheet {number}"}, 1000 + number))
    open_stash(module_page)
    assert recent_titles(module_page) == [f"Sheet {number}" for number in range(24, 4, -1)]
    assert module_page.evaluate("() => window.stash.recent()[0]") == {
        "id": "n24",
        "title": "Sheet 24",
        "time": 1024,
        "parts": len(LANTERN["parts"]),
    }


def test_a_sheet_can_be_read_and_forgotten(module_page: Page) -> None:
    put_entry(module_page, "other", entry(LANTERN, 1))
    open_stash(module_page)
    assert module_page.evaluate("() => window.stash.read('other')") == {"sketch": LANTERN, "stored": None}
    module_page.evaluate("() => window.stash.forget('other')")
    assert module_page.evaluate("() => window.stash.read('other')") is None
    assert recent_titles(module_page) == []


def test_entries_that_are_no_sheets_are_passed_over(module_page: Page) -> None:
    lamp = {"title": "Lamp", "joints": {"a": [0, 0]}, "parts": [{"name": "L1", "kind": "lamp", "from": "a", "to": "a"}]}
    bad = [
        "",
        "{",
        "null",
        "[]",
        '"text"',
        '{"time": 5}',
        '{"time": "now", "sketch": {"joints": {}, "parts": []}}',
        entry(lamp, 5),
    ]
    for number, text in enumerate(bad):
        put_entry(module_page, f"bad{number}", text)
    put_entry(module_page, "good", entry(LANTERN, 1))
    open_stash(module_page)
    assert recent_titles(module_page) == [LANTERN["title"]]
    assert keep(module_page, SECOND) == "kept"


def test_an_entry_of_this_tab_that_is_no_sheet_is_left_alone(module_page: Page) -> None:
    put_entry(module_page, "mine", "{")
    module_page.evaluate("() => sessionStorage.setItem('farandole tab /', 'mine')")
    assert open_stash(module_page) is None
    keep(module_page, LANTERN)
    assert module_page.evaluate("() => localStorage.getItem('farandole sheet mine')") == "{"
    assert reopen(module_page)["sketch"] == LANTERN


def test_what_was_noted_about_the_server_is_dropped_where_it_is_not_whole(module_page: Page) -> None:
    put_entry(module_page, "other", entry(LANTERN, 1).replace('"stored": null', '"stored": {"id": 5}'))
    open_stash(module_page)
    assert module_page.evaluate("() => window.stash.read('other')") == {"sketch": LANTERN, "stored": None}


def test_where_the_browser_is_full_the_oldest_other_sheets_go_first(module_page: Page) -> None:
    for age, title in enumerate(["newest", "middle", "oldest"]):
        put_large_entry(module_page, title, 1_500_000, 1000 - age)
    open_stash(module_page)
    assert keep_large(module_page, "mine", 1_500_000) == "kept"
    assert recent_titles(module_page) == ["newest", "middle"]
    assert keep_large(module_page, "mine", 3_000_000) == "kept"
    assert recent_titles(module_page) == ["newest"]
    module_page.reload()
    assert module_page.evaluate("() => Object.keys(localStorage).length") == 2


def test_what_no_room_can_be_made_for_costs_no_other_sheet(module_page: Page) -> None:
    put_entry(module_page, "other", entry(LANTERN, 1))
    open_stash(module_page)
    keep(module_page, SECOND)
    assert keep_large(module_page, "huge", 8_000_000) == "full"
    assert recent_titles(module_page) == [LANTERN["title"]]
    assert reopen(module_page)["sketch"] == SECOND


def test_after_a_sheet_too_large_to_keep_the_next_is_kept_under_the_same_id(module_page: Page) -> None:
    open_stash(module_page)
    keep(module_page, SECOND)
    keep_large(module_page, "huge", 8_000_000)
    assert keep(module_page, THIRD) == "kept"
    assert recent_titles(module_page) == []


@pytest.mark.parametrize(
    "refusal",
    [
        "for (const name of ['localStorage', 'sessionStorage'])"
        " Object.defineProperty(window, name, { get() { throw new DOMException('no', 'SecurityError'); } });",
        "for (const name of ['localStorage', 'sessionStorage']) Object.defineProperty(window, name, { value: null });",
    ],
    ids=["forbidden", "missing"],
)
def test_without_storage_the_page_works_and_is_told(context: BrowserContext, module_page: Page, refusal: str) -> None:
    context.add_init_script(refusal)
    module_page.reload()
    assert open_stash(module_page) is None
    assert keep(module_page, LANTERN) == "none"
    assert recent_titles(module_page) == []
    module_page.evaluate("() => { window.stash.startNew(); window.stash.forget('other'); }")
    assert module_page.evaluate("() => window.stash.read('other')") is None


def test_a_sheet_that_another_tab_takes_away_is_put_back_while_it_is_open(
    context: BrowserContext, module_page: Page
) -> None:
    open_stash(module_page)
    keep(module_page, LANTERN)
    other = context.new_page()
    other.goto(module_page.url)
    open_stash(other)
    other.evaluate("() => window.stash.forget(window.stash.recent()[0].id)")
    module_page.wait_for_function("() => window.outcomes.length > 0")
    assert module_page.evaluate("() => window.outcomes") == ["kept"]
    assert reopen(module_page)["sketch"] == LANTERN


def test_clearing_the_whole_storage_in_another_tab_loses_no_open_sheet(
    context: BrowserContext, module_page: Page
) -> None:
    open_stash(module_page)
    keep(module_page, LANTERN)
    other = context.new_page()
    other.goto(module_page.url)
    other.evaluate("() => localStorage.clear()")
    module_page.wait_for_function("() => window.outcomes.length > 0")
    assert reopen(module_page)["sketch"] == LANTERN
