"""Will it hold: ratings typed, polarity drawn, what is past its rating marked, and how far the battery may go."""

from __future__ import annotations

from typing import Any

import pytest
from playwright.sync_api import Locator, expect

from tests.browser.ready import link_to
from tests.browser.sheet_page import SheetPage
from tests.browser.test_access import violations

# 30 µF and 15 µF in series on 9 V take 3 V and 6 V.
PAIR: dict[str, Any] = {
    "title": "Two with ratings",
    "joints": {"a": [4, 3], "b": [14, 3], "c": [14, 9], "d": [14, 15], "0": [4, 15]},
    "parts": [
        {"name": "E1", "kind": "battery", "value": "9 V", "from": "a", "to": "0"},
        {"name": "W1", "kind": "wire", "from": "a", "to": "b"},
        {"name": "C1", "kind": "capacitor", "value": "30 µF", "rated": "10 V", "from": "b", "to": "c"},
        {"name": "C2", "kind": "capacitor", "value": "15 µF", "rated": "5 V", "from": "c", "to": "d"},
        {"name": "W2", "kind": "wire", "from": "d", "to": "0"},
    ],
}


def with_part(name: str, **entries: Any) -> dict[str, Any]:
    parts = [{**part, **entries} if part["name"] == name else part for part in PAIR["parts"]]
    return {**PAIR, "parts": [{key: entry for key, entry in part.items() if entry is not None} for part in parts]}


def test_a_rated_voltage_is_typed_behind_the_value(empty: SheetPage) -> None:
    empty.line((6, 4), (6, 10))
    empty.field.fill("10uF 16v")
    expect(empty.means).to_have_text("10 µF, rated 16 V: a capacitor")
    empty.field.press("Enter")
    expect(empty.value_on_sheet("C1")).to_have_text("10 µF, rated 16 V")
    empty.click_value("C1")
    empty.field.fill("22 µF 0 V")
    expect(empty.means).to_have_text("a rated voltage has to be more than zero")
    empty.field.fill("22 µF 25 V")
    empty.field.press("Enter")
    expect(empty.value_on_sheet("C1")).to_have_text("22 µF, rated 25 V")
    empty.undo()
    expect(empty.value_on_sheet("C1")).to_have_text("10 µF, rated 16 V")


def section(sheet: SheetPage) -> Locator:
    return sheet.page.get_by_role("region", name="Will it hold")


def test_the_highest_voltage_stands_there_as_soon_as_ratings_are_given(empty: SheetPage) -> None:
    """What a newcomer does: draws, presses the button that offers ratings, types them."""
    empty.draw((4, 3), (4, 13), "9 V")
    empty.draw((4, 3), (14, 3))
    empty.draw((14, 3), (14, 8), "30 uF")
    empty.draw((14, 8), (14, 13), "15 uF")
    empty.draw((4, 13), (14, 13))
    section(empty).get_by_role("button", name="Give ratings").click()
    for part, rated in (("C1", "10"), ("C2", "5")):
        empty.page.get_by_role("button", name=f"rated voltage of {part}: none").click()
        typed = empty.panel.get_by_role("textbox", name=f"rated voltage of {part}: none")
        typed.fill(rated)
        typed.press("Enter")
        empty.settled()
    # 5 V on 15 µF are 75 µC, so 2.5 V on 30 µF: 7.5 V in all; ½ · 75 µC · 7.5 V = 281 µJ.
    expect(section(empty)).to_contain_text("Holds up to 7.50 V; C2 limits it.")
    expect(section(empty)).to_contain_text("E1 has then delivered 75.0 µC and 281 µJ are stored.")
    expect(section(empty).get_by_role("list", name="Past a limit")).to_have_text(
        "C2 is past its limit: 6.00 V, 120 % of its 5 V."
    )


def test_what_is_past_its_rating_is_marked_on_the_sheet_in_the_ledger_and_in_the_tiles(sheet: SheetPage) -> None:
    sheet.open(link_to(PAIR))
    assert sheet.written("C2") == ["C2", "15 µF, rated 5 V", "6.00 V", "90.0 µC", "270 µJ", "120 % of 5 V"]
    # The mark is a drawn shape, so that it takes no colour to see it.
    expect(sheet.label("C2").locator("path")).to_have_count(1)
    expect(sheet.label("C1").locator("path")).to_have_count(0)
    expect(sheet.cell("C1", "Capacitance")).to_contain_text("30 %")
    expect(sheet.cell("C2", "Capacitance")).to_contain_text("120 %, past its limit")
    expect(sheet.page.locator("#tiles").get_by_text("5 V rated")).to_be_visible()
    assert violations(sheet.page) == []
    sheet.edit_cell(sheet.cell("E1", "Emf"), "7.5 V")
    expect(sheet.cell("C2", "Capacitance")).to_contain_text("100 %")
    expect(sheet.label("C2").locator("path")).to_have_count(0)
    assert "120 % of 5 V" not in sheet.written("C2")


def test_covered_voltages_are_not_given_away_by_shares(sheet: SheetPage) -> None:
    sheet.open(link_to({**PAIR, "covered": ["C2.voltage"]}))
    expect(sheet.cell("C2", "Capacitance")).to_contain_text("rated 5 V ?")
    expect(sheet.label("C2").locator("path")).to_have_count(0)
    expect(section(sheet)).to_contain_text("Shown once the readings are uncovered.")


def test_a_share_of_every_rating_may_be_kept_back(sheet: SheetPage) -> None:
    sheet.open(link_to(PAIR))
    section(sheet).get_by_label("Share of each rated voltage to use at the most").select_option("80")
    expect(section(sheet)).to_contain_text("Holds up to 6.00 V; C2 limits it.")
    # 6 V are 150 % of the 4 V that may be used of 5 V.
    expect(sheet.cell("C2", "Capacitance")).to_contain_text("150 % of 4 V usable")
    assert sheet.written("C2")[-1] == "150 % of 4 V usable"
    expect(sheet.page.locator("#tiles").get_by_text("4 V usable")).to_be_visible()
    sheet.click((14, 12))
    expect(sheet.spoken).to_contain_text("rated 5 volts, 150 percent of 4 volts usable, past its limit")
    sheet.undo()
    expect(section(sheet)).to_contain_text("Holds up to 7.50 V; C2 limits it.")


def test_a_rating_of_zero_is_refused_where_it_is_typed(sheet: SheetPage) -> None:
    sheet.open(link_to(PAIR))
    sheet.panel.get_by_role("button", name="rated voltage of C1: 10 V").click()
    typed = sheet.panel.get_by_role("textbox")
    typed.fill("0 V")
    typed.press("Enter")
    expect(sheet.panel.get_by_role("alert")).to_have_text("a rated voltage has to be more than zero")
    typed.fill("16")
    typed.press("Enter")
    expect(sheet.panel.get_by_role("button", name="rated voltage of C1: 16 V")).to_be_visible()
    sheet.settled()
    assert sheet.written("C1")[1] == "30 µF, rated 16 V"


def test_a_polarised_capacitor_is_made_turned_and_marked_when_reversed(sheet: SheetPage) -> None:
    sheet.open(link_to(PAIR))
    strokes = sheet.sheet.locator(".ink > g").nth(2).locator("g path")
    expect(strokes).to_have_count(2)
    sheet.click((14, 6))
    sheet.act("Make C1 polarised")
    sheet.settled()
    expect(strokes).to_have_count(3)  # the sign of the + plate
    expect(sheet.spoken).to_contain_text("polarised, plus at b")
    sheet.press("f")
    sheet.settled()
    assert sheet.written("C1")[-1] == "reversed, 300 % of 1 V"
    expect(section(sheet)).to_contain_text("C1 has 3.00 V the wrong way round and stands 1 V reversed: too much.")
    sheet.act("Reversed at most 1 V")
    sheet.field.fill("")
    sheet.field.press("Enter")
    sheet.settled()
    expect(strokes).to_have_count(2)


def failing(sheet: SheetPage) -> Locator:
    section(sheet).get_by_role("button", name="What happens past it").click()
    return sheet.page.get_by_role("dialog", name="What happens past it")


def test_one_steps_through_what_fails_after_what_and_the_sheet_stays_as_it_is(sheet: SheetPage) -> None:
    """6, 3 and 2 µF on 33 V: 5.5, 11 and 16.5 V; 2 µF goes first, then 3 µF with 22 V, then 6 µF with 33 V."""
    sheet.open_ready("Which part fails first")
    before = sheet.written("C3")
    dialog = failing(sheet)
    expect(dialog).to_contain_text("This is for teaching.")
    expect(dialog.get_by_role("heading", level=3)).to_have_text("As it is")
    expect(dialog).to_contain_text("16.5 V, 138 % of its 12 V")
    dialog.get_by_role("button", name="Next").click()
    expect(dialog.get_by_role("heading", level=3)).to_have_text("C3 goes first")
    expect(dialog).to_contain_text("22.0 V, 220 % of its 10 V")
    assert violations(sheet.page) == []
    sheet.page.keyboard.press("ArrowRight")
    sheet.page.keyboard.press("ArrowRight")
    expect(dialog.get_by_role("heading", level=3)).to_have_text("C1 goes next")
    expect(dialog).to_contain_text("Nothing limits the current of E1 any more")
    expect(dialog).to_contain_text("4 of 4")
    sheet.page.keyboard.press("PageUp")
    expect(dialog).to_contain_text("3 of 4")
    sheet.page.keyboard.press("Escape")
    expect(dialog).to_have_count(0)
    assert sheet.written("C3") == before
    expect(sheet.page.get_by_role("button", name="Undo")).to_be_disabled()


def test_all_steps_are_drawn_in_one_place_with_room_for_every_word(sheet: SheetPage) -> None:
    sheet.open_ready("Which part fails first")
    dialog = failing(sheet)
    figure = dialog.locator("figure svg")
    places = set()
    for number in range(1, 5):
        expect(dialog).to_contain_text(f"{number} of 4")
        places.add(figure.get_attribute("viewBox"))
        frame, *words = figure.evaluate(
            "svg => [svg, ...svg.querySelectorAll('text')].map(each => each.getBoundingClientRect().toJSON())"
        )
        assert len(words) > number
        for box in words:
            assert frame["left"] <= box["left"] < box["right"] <= frame["right"]
            assert frame["top"] <= box["top"] < box["bottom"] <= frame["bottom"]
        for number_of_one, one in enumerate(words):
            for other in words[number_of_one + 1 :]:
                apart = one["right"] <= other["left"] or other["right"] <= one["left"]
                # Boxes of lines of text reach a little over their letters.
                assert apart or one["bottom"] - 6 <= other["top"] or other["bottom"] - 6 <= one["top"]
        sheet.page.keyboard.press("ArrowRight")
    assert len(places) == 1


def test_a_battery_taken_just_past_what_holds_has_a_decimal(sheet: SheetPage) -> None:
    """24 V hold, of which 12 V on 2 µF; the next voltage of three figures is 24.1 V."""
    sheet.open_ready("Which part fails first")
    sheet.edit_cell(sheet.cell("E1", "Emf"), "9 V")
    dialog = failing(sheet)
    expect(dialog.locator("figure").get_by_text("24.1 V")).to_be_visible()


def test_how_far_the_battery_may_go_is_in_sight_beside_three_capacitors(sheet: SheetPage) -> None:
    sheet.page.set_viewport_size({"width": 1366, "height": 768})
    sheet.open_ready("Which part fails first")
    answer = section(sheet).get_by_text("Holds up to 24.0 V;")
    expect(answer).to_be_in_viewport(ratio=1)
    expect(answer.locator(".part-name sub")).to_have_text("3")
    expect(section(sheet).get_by_role("list", name="Past a limit").locator(".part-name sub")).to_have_text(["2", "3"])
    expect(sheet.cell("C1", "Capacitance")).to_be_in_viewport()


def test_what_happens_past_it_is_offered_only_where_a_battery_can_bring_it_about(sheet: SheetPage) -> None:
    """Alone a capacitor of 3 V at the start keeps them."""
    sheet.open(link_to(PAIR))
    offer = section(sheet).get_by_role("button", name="What happens past it")
    expect(offer).to_be_visible()
    alone = {
        "name": "C3",
        "kind": "capacitor",
        "value": "1 µF",
        "initial": "3 V",
        "rated": "5 V",
        "from": "e",
        "to": "f",
    }
    unrated = [{key: entry for key, entry in part.items() if key != "rated"} for part in PAIR["parts"]]
    sheet.open(link_to({**PAIR, "joints": {**PAIR["joints"], "e": [20, 3], "f": [20, 9]}, "parts": [*unrated, alone]}))
    expect(section(sheet)).to_contain_text("does not depend on the voltage of a battery")
    expect(offer).to_have_count(0)


@pytest.mark.parametrize("width", [390, 1366])
def test_the_view_of_failures_fits_the_window(sheet: SheetPage, width: int) -> None:
    sheet.page.set_viewport_size({"width": width, "height": 768})
    sheet.open(link_to(PAIR))
    dialog = failing(sheet)
    box = dialog.bounding_box()
    assert box is not None
    assert box["x"] >= 0
    assert box["x"] + box["width"] <= width
    walk = dialog.get_by_role("button", name="Next")
    walk.scroll_into_view_if_needed()
    expect(walk).to_be_in_viewport()
    assert sheet.page.evaluate("() => document.documentElement.scrollWidth <= window.innerWidth")
