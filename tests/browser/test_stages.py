"""Before and after: stages are made by throwing switches and changing values, and each is read by itself."""

from __future__ import annotations

from typing import Any

import pytest
from playwright.sync_api import Locator, expect

from tests.browser.ready import link_to
from tests.browser.sheet_page import SheetPage

SHARING: dict[str, Any] = {
    "title": "Charge, then share",
    "joints": {"e": [2, 4], "a": [12, 4], "b": [22, 4], "z": [2, 14], "y": [12, 14], "x": [22, 14]},
    "parts": [
        {"name": "E1", "kind": "battery", "value": "9 V", "from": "e", "to": "z"},
        {"name": "S1", "kind": "switch", "closed": True, "from": "e", "to": "a"},
        {"name": "C1", "kind": "capacitor", "value": "30 µF", "from": "a", "to": "y"},
        {"name": "S2", "kind": "switch", "closed": False, "from": "a", "to": "b"},
        {"name": "C2", "kind": "capacitor", "value": "15 µF", "from": "b", "to": "x"},
        {"name": "W1", "kind": "wire", "from": "z", "to": "y"},
        {"name": "W2", "kind": "wire", "from": "y", "to": "x"},
    ],
}
STAGED = {
    **SHARING,
    "stages": [{"name": "Charge", "closed": ["S1"]}, {"name": "Battery away", "closed": []}, {"closed": ["S2"]}],
    "stage": 0,
}

MOST_STAGES = 50  # as the sketch's schema has it


def cards(sheet: SheetPage) -> Locator:
    return sheet.page.get_by_role("list", name="Stages").get_by_role("button")


def test_a_switch_that_is_thrown_makes_the_next_stage(sheet: SheetPage) -> None:
    sheet.open(link_to(SHARING))
    sheet.page.get_by_role("button", name="Before and after").click()
    expect(cards(sheet)).to_have_text(["1 Start"])
    expect(sheet.cell("C1", "Charge")).to_have_text("270 µC")
    sheet.panel.get_by_role("button", name="S1 is closed: open it").click()
    sheet.panel.get_by_role("button", name="S2 is open: close it").click()
    expect(cards(sheet)).to_have_text(["1 Start", "2 S1 opened", "3 S2 closed"])
    # 270 µC on 30 µF and 15 µF side by side: 180 µC and 90 µC at 6 V.
    expect(sheet.cell("C1", "Charge")).to_have_text("180 µC")
    expect(sheet.cell("C2", "Charge")).to_have_text("90.0 µC")
    stage = sheet.page.get_by_role("region", name="This stage")
    kept = stage.get_by_role("table", name="Charge at a, b").get_by_role("row")
    expect(kept).to_have_text(
        ["On the plate ofBrought alongNow", "C1270 µC180 µC", "C20 C90.0 µC", "Together270 µC270 µC"]
    )
    rows = stage.get_by_role("table", name="Energy of this stage").get_by_role("row")
    expect(rows).to_have_text(
        ["Stored before1.22 mJ", "Work of E10 J", "Stored after810 µJ", "Lost as heat and spark405 µJ"]
    )
    sheet.undo()
    expect(cards(sheet)).to_have_count(2)
    expect(sheet.cell("C1", "Charge")).to_have_text("270 µC")


def test_a_link_opens_at_the_stage_it_shows_and_keys_go_through_them(sheet: SheetPage) -> None:
    sheet.open(link_to({**STAGED, "stage": 2}))
    expect(sheet.cell("C2", "Voltage")).to_have_text("6.00 V")
    cards(sheet).nth(2).press("ArrowLeft")
    expect(cards(sheet).nth(1)).to_be_focused()
    expect(sheet.cell("C2", "Voltage")).to_have_text("0 V")
    cards(sheet).nth(1).press("PageUp")
    expect(sheet.cell("C1", "Charge")).to_have_text("270 µC")
    cards(sheet).nth(0).press("ArrowLeft")
    expect(cards(sheet).nth(0)).to_be_focused()


def test_a_value_changed_in_a_stage_holds_from_there_on(sheet: SheetPage) -> None:
    sheet.open(link_to({**STAGED, "stage": 1}))
    sheet.edit_cell(sheet.cell("C1", "Capacitance"), "60 µF")
    # The battery is away: 270 µC stay, at half the voltage, and half of 1.215 mJ has gone into the hand.
    expect(sheet.cell("C1", "Voltage")).to_have_text("4.50 V")
    stage = sheet.page.get_by_role("region", name="This stage")
    expect(stage.get_by_role("row", name="Work done by hand")).to_contain_text("−608 µJ")
    expect(stage).to_contain_text("they pull themselves along")
    cards(sheet).nth(2).click()
    expect(sheet.cell("C1", "Capacitance")).to_have_text("60 µF")
    cards(sheet).nth(0).click()
    expect(sheet.cell("C1", "Capacitance")).to_have_text("30 µF")


def test_stages_are_named_told_taken_away_and_ended(sheet: SheetPage) -> None:
    sheet.open(link_to({**STAGED, "stage": 1}))
    name = sheet.page.get_by_label("Name of stage 2")
    name.fill("Lantern unplugged")
    name.press("Enter")
    expect(cards(sheet).nth(1)).to_have_text("2 Lantern unplugged")
    told = sheet.page.get_by_label("What happens in stage 2")
    told.fill("The battery is taken away.")
    told.press("Enter")
    expect(sheet.page.get_by_role("region", name="This stage")).to_contain_text("The battery is taken away.")
    sheet.page.get_by_role("button", name="Remove this stage").click()
    expect(cards(sheet)).to_have_text(["1 Charge", "Stage 2"])
    sheet.page.get_by_role("button", name="End stages").click()
    expect(cards(sheet)).to_have_count(0)
    sheet.undo()
    expect(cards(sheet)).to_have_count(2)


@pytest.mark.parametrize("size", [(390, 844), (1366, 768), (1920, 1080)])
def test_the_whole_sentence_of_a_stage_is_seen_and_nothing_moves_from_one_to_the_next(
    sheet: SheetPage, size: tuple[int, int]
) -> None:
    sheet.page.set_viewport_size({"width": size[0], "height": size[1]})
    long = "The battery is taken away, and the charge that is on the plates has nowhere to go. " * 4
    stages = [
        {"name": "Charge", "closed": ["S1"], "text": long.strip()},
        {"name": "Battery away", "closed": [], "text": "It is away."},
    ]
    sheet.open(link_to({**SHARING, "stages": stages, "stage": 0}))
    told = sheet.page.get_by_label("What happens in stage 1")
    expect(told).to_have_value(long.strip())
    whole = """() => {
        const field = document.querySelector("textarea.stage-text");
        return field.scrollHeight <= field.clientHeight && field.scrollWidth <= field.clientWidth;
    }"""
    sheet.page.wait_for_function(whole)
    strip = sheet.page.locator(".stage-details")
    before = strip.bounding_box()
    cards(sheet).nth(1).click()
    told = sheet.page.get_by_label("What happens in stage 2")
    expect(told).to_have_value("It is away.")
    after = strip.bounding_box()
    assert before is not None
    assert after is not None
    assert before["height"] == after["height"]
    told.press("End")
    told.press_sequentially(f" {long[:160]}")
    sheet.page.wait_for_function(whole)
    told.press("Enter")
    expect(sheet.page.get_by_role("region", name="This stage")).to_contain_text("nowhere to go")


def test_a_stage_with_a_fault_says_so_and_the_others_are_still_read(sheet: SheetPage) -> None:
    parts = [*SHARING["parts"], {"name": "S3", "kind": "switch", "closed": False, "from": "e", "to": "z"}]
    stages = [{"closed": ["S1"]}, {"closed": ["S3"]}, {"closed": ["S2"]}]
    sheet.open(link_to({**SHARING, "parts": parts, "stages": stages, "stage": 0}))
    expect(cards(sheet).nth(1)).to_contain_text("S3 joins both terminals of battery E1")
    cards(sheet).nth(1).click()
    expect(sheet.page.get_by_role("region", name="What is wrong")).to_contain_text(
        "S3 joins both terminals of battery E1"
    )
    cards(sheet).nth(2).click()
    expect(sheet.cell("C2", "Voltage")).to_have_text("6.00 V")


@pytest.mark.parametrize("width", [390, 1366])
def test_the_strip_fits_the_window(sheet: SheetPage, width: int) -> None:
    sheet.page.set_viewport_size({"width": width, "height": 768})
    sheet.open(link_to(STAGED))
    expect(cards(sheet)).to_have_count(3)
    strip = sheet.page.get_by_role("group", name="Before and after").bounding_box()
    assert strip is not None
    assert strip["x"] >= 0
    assert strip["x"] + strip["width"] <= width


def test_readings_show_what_they_were_in_the_stage_before_at_choice(sheet: SheetPage) -> None:
    sheet.open(link_to({**STAGED, "stage": 2}))
    expect(sheet.cell("C1", "Charge")).to_have_text("180 µC")
    changes = sheet.page.get_by_role("button", name="Show changes")
    changes.click()
    expect(changes).to_have_attribute("aria-pressed", "true")
    expect(sheet.cell("C1", "Charge")).to_have_text("270 µC → 180 µC")
    expect(sheet.cell("C2", "Voltage")).to_have_text("0 V → 6.00 V")
    expect(sheet.label("C1")).to_contain_text("270 µC → 180 µC")
    said = sheet.cell("C1", "Charge").get_by_role("button")
    expect(said).to_have_attribute("aria-label", "from 270 µC to 180 µC, charge of C1: cover it")
    # Nothing changed when the battery was taken away, and before the first stage there was none.
    cards(sheet).nth(1).click()
    expect(sheet.cell("C1", "Charge")).to_have_text("270 µC")
    cards(sheet).nth(0).click()
    expect(changes).to_be_disabled()
    cards(sheet).nth(2).click()
    expect(sheet.cell("C1", "Charge")).to_have_text("270 µC → 180 µC")
    sheet.page.get_by_role("button", name="Show changes").click()
    expect(sheet.cell("C1", "Charge")).to_have_text("180 µC")


def test_a_covered_reading_does_not_give_away_what_it_was(sheet: SheetPage) -> None:
    sheet.open(link_to({**STAGED, "stage": 2, "covered": ["C1.charge"]}))
    sheet.page.get_by_role("button", name="Show changes").click()
    expect(sheet.cell("C2", "Charge")).to_have_text("0 C → 90.0 µC")
    expect(sheet.cell("C1", "Charge")).to_have_text("?")


def test_an_isolated_conductor_that_is_pointed_at_says_where_its_charge_came_from(sheet: SheetPage) -> None:
    sheet.open(link_to({**STAGED, "stage": 2}))
    expect(sheet.cell("C2", "Charge")).to_have_text("90.0 µC")
    sheet.point_at((22, 6))
    expect(sheet.sheet.locator(".marks")).to_contain_text("brought along: 270 µC by C1, 0 C by C2")


BAD = {
    "a part that is not there": (
        [],
        {"closed": ["S9"], "set": {"C9": "3 µF"}},
        "The stage names S9, which is not a switch on the sheet.",
    ),
    "a battery across a switch": (
        [{"name": "S3", "kind": "switch", "closed": False, "from": "e", "to": "z"}],
        {"closed": ["S3"]},
        "S3 joins both terminals of battery E1, and nothing limits its current: open S3 or put a part in the way.",
    ),
    "a value of zero": (
        [],
        {"closed": [], "set": {"C1": "0 µF"}},
        "The capacitance of C1 is 0 µF, and it has to be more than zero.",
    ),
    "a value below zero": (
        [],
        {"closed": [], "set": {"C2": "-3 µF"}},
        "The capacitance of C2 is −3 µF, and it has to be more than zero.",
    ),
    "contradictory batteries": (
        [
            {"name": "E2", "kind": "battery", "value": "6 V", "from": "m", "to": "z"},
            {"name": "S3", "kind": "switch", "closed": False, "from": "e", "to": "m"},
        ],
        {"closed": ["S3"]},
        "E1 and E2 form a loop of ideal batteries whose emfs do not add up to zero: "
        "change one, or give one an internal resistance.",
    ),
}


@pytest.mark.parametrize("shown", [0, 1, 2])
@pytest.mark.parametrize("bad", BAD)
def test_what_is_wrong_in_one_stage_is_told_on_it_and_the_others_are_read(
    sheet: SheetPage, bad: str, shown: int
) -> None:
    more, stage, text = BAD[bad]
    values = {"C1": "30 µF", "C2": "15 µF"} if "value" in bad else {}
    stages = [{"closed": ["S1"], **({"set": values} if values else {})}, stage, {"closed": ["S2"], "set": values}]
    sketch = {**SHARING, "joints": {**SHARING["joints"], "m": [-6, 4]}, "parts": [*SHARING["parts"], *more]}
    sheet.open(link_to({**sketch, "stages": stages, "stage": shown}))
    told = sheet.page.get_by_role("list", name="What is wrong in each stage")
    expect(told).to_contain_text(f"Stage 2 {text}")
    expect(cards(sheet).nth(1)).to_contain_text(text)
    wrong = sheet.page.get_by_role("region", name="What is wrong", exact=True)
    expect(wrong).to_have_count(int(shown == 1))
    # The cards of the others have pictures with potentials on them.
    expect(cards(sheet).nth(0).locator("svg .bands > *")).not_to_have_count(0)
    expect(cards(sheet).nth(1).locator("svg .bands > *")).to_have_count(0)
    cards(sheet).nth(0).click()
    expect(sheet.cell("C1", "Charge")).to_have_text("270 µC")
    cards(sheet).nth(2).click()
    # 270 µC on 45 µF.
    expect(sheet.cell("C2", "Voltage")).to_have_text("6.00 V")


def test_a_switch_thrown_on_the_page_that_shorts_a_battery_marks_the_stage_it_makes(sheet: SheetPage) -> None:
    parts = [*SHARING["parts"], {"name": "S3", "kind": "switch", "closed": False, "from": "e", "to": "z"}]
    sheet.open(link_to({**STAGED, "parts": parts, "stages": STAGED["stages"][:1]}))
    expect(sheet.cell("C1", "Charge")).to_have_text("270 µC")
    sheet.panel.get_by_role("button", name="S3 is open: close it").click()
    expect(cards(sheet).nth(1)).to_contain_text("S3 joins both terminals of battery E1")
    expect(cards(sheet).nth(0).locator("svg .bands > *")).not_to_have_count(0)
    sheet.panel.get_by_role("button", name="S3 is closed: open it").click()
    expect(cards(sheet)).to_have_count(3)
    expect(sheet.cell("C1", "Charge")).to_have_text("270 µC")


def test_a_charged_capacitor_across_a_closed_switch_gives_its_charge_away(sheet: SheetPage) -> None:
    parts = [*SHARING["parts"], {"name": "S3", "kind": "switch", "closed": False, "from": "a", "to": "y"}]
    stages = [{"closed": ["S1"]}, {"closed": []}, {"closed": ["S3"]}]
    sheet.open(link_to({**SHARING, "parts": parts, "stages": stages, "stage": 2}))
    expect(sheet.cell("C1", "Charge")).to_have_text("0 C")
    # ½ · 30 µF · (9 V)²
    lost = sheet.page.get_by_role("table", name="Energy of this stage").get_by_role(
        "row", name="Lost as heat and spark"
    )
    expect(lost).to_contain_text("1.22 mJ")
    expect(sheet.page.get_by_role("region", name="This stage")).to_contain_text("goes as a spark")


def test_a_stage_can_be_rid_of_what_is_not_there(sheet: SheetPage) -> None:
    stages = [{"closed": ["S1"]}, {"closed": ["S9"], "set": {"C9": "3 µF"}}]
    sheet.open(link_to({**SHARING, "stages": stages, "stage": 1}))
    expect(sheet.page.get_by_role("region", name="What is wrong")).to_contain_text("S9")
    sheet.page.get_by_role("button", name="Drop what is not there").click()
    expect(sheet.cell("C1", "Charge")).to_have_text("270 µC")


def test_switches_thrown_in_a_stage_begun_by_its_button_belong_to_it(sheet: SheetPage) -> None:
    sheet.open(link_to({**STAGED, "stages": STAGED["stages"][:1]}))
    sheet.page.get_by_role("button", name="Next stage").click()
    expect(cards(sheet)).to_have_text(["1 Charge", "Stage 2"])
    sheet.panel.get_by_role("button", name="S1 is closed: open it").click()
    expect(cards(sheet)).to_have_text(["1 Charge", "2 S1 opened"])
    sheet.panel.get_by_role("button", name="S2 is open: close it").click()
    expect(cards(sheet)).to_have_text(["1 Charge", "2 S1 opened, S2 closed"])
    # 270 µC on 45 µF.
    expect(sheet.cell("C2", "Voltage")).to_have_text("6.00 V")
    sheet.undo()
    expect(cards(sheet)).to_have_text(["1 Charge", "2 S1 opened"])
    # Once another stage has been looked at, a switch makes the next one again.
    cards(sheet).nth(0).click()
    cards(sheet).nth(1).click()
    sheet.panel.get_by_role("button", name="S2 is open: close it").click()
    expect(cards(sheet)).to_have_text(["1 Charge", "2 S1 opened", "3 S2 closed"])


def test_a_part_deleted_in_a_later_stage_is_said_to_be_gone_from_all(sheet: SheetPage) -> None:
    sheet.open(link_to({**STAGED, "stage": 1}))
    expect(sheet.page.locator("#hint")).to_have_text(
        "Click a switch twice to make the next stage; the drawing is shared by all stages."
    )
    sheet.click((22, 9))
    sheet.page.keyboard.press("Delete")
    expect(sheet.page.locator("#notice")).to_have_text(
        "That is now so in every stage: the drawing is shared. "
        "To disconnect a part from one stage on, make a wire a switch and open it."
    )


def test_turning_a_part_round_says_that_its_signs_change_alone(sheet: SheetPage) -> None:
    sheet.open(link_to(SHARING))
    sheet.click((22, 9))
    sheet.page.keyboard.press("f")
    expect(sheet.page.locator("#notice")).to_have_text(
        "C2 is counted the other way round now: its signs change, nothing else."
    )


def test_in_the_last_stage_that_there_may_be_a_switch_is_thrown_with_nothing_to_offer(sheet: SheetPage) -> None:
    stages = [{"closed": ["S1"] if number % 2 == 0 else []} for number in range(MOST_STAGES)]
    parts = [{**part, "closed": False} if part["name"] == "S1" else part for part in SHARING["parts"]]
    sheet.open(link_to({**SHARING, "parts": parts, "stages": stages, "stage": MOST_STAGES - 1}))
    expect(sheet.cell("C1", "Voltage")).to_have_text("9.00 V")
    sheet.cell("S1", "State").get_by_role("button").click()
    expect(sheet.cell("S1", "State")).to_have_text("closed")
    expect(cards(sheet)).to_have_count(MOST_STAGES)
    expect(sheet.notice).to_be_hidden()


def test_the_drawing_is_fitted_to_what_the_strip_leaves_of_the_window(sheet: SheetPage) -> None:
    sheet.open(link_to(SHARING))
    sheet.page.get_by_role("button", name="Before and after").click()
    expect(cards(sheet)).to_have_count(1)
    fitted = "() => { const view = document.querySelector('#sheet').getBoundingClientRect();"
    fitted += " const ink = document.querySelector('#sheet .ink').getBoundingClientRect();"
    fitted += " return ink.top >= view.top && ink.bottom <= view.bottom; }"
    sheet.page.wait_for_function(fitted)


def test_what_a_battery_sees_is_not_mixed_with_what_was_brought_along(sheet: SheetPage) -> None:
    sheet.open_ready("Charge, then share")
    expect(sheet.total("Across E1", "Charge")).to_have_text("270 µC")
    cards(sheet).nth(2).click()
    # C1 is charged again from 6 V: 90 µC more, which is not its charge; C2 is cut off with 90 µC at 6 V.
    stored = sheet.panel.get_by_role("row").filter(has=sheet.page.get_by_role("rowheader", name="Stored in all"))
    expect(stored).to_contain_text("1.49 mJ")
    expect(sheet.panel.get_by_role("rowheader", name="Across E1")).to_have_count(0)
    expect(sheet.cell("E1", "Equivalent")).to_have_text("30.0 µF")
    expect(sheet.cell("E1", "Charge")).to_have_text("90.0 µC")
