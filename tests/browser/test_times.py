"""Questions of time, asked from the page: when a reading reaches a value, and what it is so long after the start."""

from __future__ import annotations

import re
from typing import Any

from playwright.sync_api import Locator, Route, expect

from tests.browser.ready import link_to
from tests.browser.sheet_page import SheetPage, at_rest
from tests.browser.test_access import violations
from tests.browser.test_timeline import LANTERN

# 1.5 kΩ × 10 µF = 15 ms; without stages.
FADING: dict[str, Any] = {
    "title": "Lantern on its capacitor",
    "joints": LANTERN["joints"],
    "parts": LANTERN["parts"],
}


def times(sheet: SheetPage) -> Locator:
    return sheet.page.get_by_role("region", name="Questions of time")


def ask(sheet: SheetPage, value: str, *, reading: str = "voltage of C1", number: int = 1) -> None:
    times(sheet).get_by_role("button", name=re.compile("^(When does|Ask another)")).click()
    times(sheet).get_by_label(f"Reading of question {number}").focus()
    times(sheet).get_by_label(f"Reading of question {number}").select_option(label=reading)
    times(sheet).get_by_label(f"Value of question {number}").fill(value)
    times(sheet).get_by_label(f"Value of question {number}").press("Enter")


def ask_without_answer(sheet: SheetPage) -> list[Route]:
    """Makes question 1 one of the current of R1, and holds its answer back until that goes on."""
    held: list[Route] = []
    sheet.page.route("**/api/solve*", lambda route: route.continue_() if held else held.append(route))
    times(sheet).get_by_label("Reading of question 1").select_option(label="current of R1")
    return held


def formulas(sheet: SheetPage) -> list[str]:
    return [re.sub(r"[\s\u2061\u2062]", "", text) for text in times(sheet).locator("math").all_text_contents()]


def test_when_a_reading_reaches_a_value_is_answered_with_its_logarithm(sheet: SheetPage) -> None:
    sheet.open(link_to(FADING))
    ask(sheet, "6 V")
    # 9 V less 6 V is a third of 9 V: t = 15 ms × ln 3 = 16.479 ms.
    expect(times(sheet)).to_contain_text("The voltage of C1 reaches 6.00 V after 16.5 ms.")
    assert formulas(sheet) == ["t=τln3=15.0ms×ln3=16.5ms"]
    ask(sheet, "80 %", number=2)
    expect(times(sheet)).to_contain_text("The voltage of C1 reaches 7.20 V after 24.1 ms.")
    assert formulas(sheet)[1] == "t=τln5=15.0ms×ln5=24.1ms"
    times(sheet).get_by_role("button", name="Remove question 1").click()
    expect(times(sheet)).not_to_contain_text("6.00 V")
    sheet.undo()
    expect(times(sheet)).to_contain_text("reaches 6.00 V")


def test_what_a_reading_is_after_a_time_is_answered(sheet: SheetPage) -> None:
    sheet.open(link_to(FADING))
    ask(sheet, "", reading="current of R1")
    expect(times(sheet)).to_contain_text("Type what it is to reach, such as 6 A, or a share such as 80 %.")
    times(sheet).get_by_label("What question 1 asks").focus()
    times(sheet).get_by_label("What question 1 asks").select_option(label="after")
    times(sheet).get_by_label("Time of question 1").fill("10 ms")
    times(sheet).get_by_label("Time of question 1").press("Enter")
    # 6 mA × e^(−2/3) = 3.0805 mA
    expect(times(sheet)).to_contain_text("After 10.0 ms the current of R1 is 3.08 mA.")
    assert formulas(sheet) == ["I=6.00mA×e−10.0ms/15.0ms=3.08mA"]


def test_a_question_may_be_changed_further_while_the_answer_is_awaited(sheet: SheetPage) -> None:
    sheet.open(link_to({**FADING, "questions": [{"reading": "C1.voltage", "reaches": "6 V"}]}))
    expect(times(sheet)).to_contain_text("reaches 6.00 V")
    held = ask_without_answer(sheet)
    times(sheet).get_by_label("Value of question 1").fill("3 mA")
    times(sheet).get_by_label("Value of question 1").press("Enter")
    held[0].continue_()
    # 6 mA falls to its half after 15 ms × ln 2 = 10.397 ms.
    expect(times(sheet)).to_contain_text("The current of R1 reaches 3.00 mA after 10.4 ms.")


def test_a_field_in_which_nothing_was_typed_keeps_the_focus_and_takes_what_the_answer_brings(sheet: SheetPage) -> None:
    sheet.open(link_to({**FADING, "questions": [{"reading": "C1.voltage", "reaches": ""}]}))
    expect(times(sheet)).to_contain_text("such as 6 V, or a share")
    held = ask_without_answer(sheet)
    times(sheet).get_by_label("Value of question 1").click()
    held[0].continue_()
    expect(times(sheet)).to_contain_text("such as 6 A, or a share")
    expect(times(sheet).get_by_label("Value of question 1")).to_be_focused()
    sheet.page.keyboard.type("3 mA\n")
    expect(times(sheet)).to_contain_text("The current of R1 reaches 3.00 mA after 10.4 ms.")


def test_a_value_may_be_left_for_another_question_at_once(sheet: SheetPage) -> None:
    sheet.open(link_to({**FADING, "questions": [{"reading": "C1.voltage", "reaches": ""}]}))
    times(sheet).get_by_label("Value of question 1").fill("6 V")
    times(sheet).get_by_role("button", name="Ask another").hover()
    # The answer to the value comes while the button is still held down.
    with sheet.page.expect_response("**/api/solve*"):
        sheet.page.mouse.down()
    at_rest(sheet.page)
    sheet.page.mouse.up()
    expect(times(sheet).get_by_label("Value of question 2")).to_be_focused()
    expect(times(sheet)).to_contain_text("The voltage of C1 reaches 6.00 V after 16.5 ms.")


def test_a_value_is_kept_when_another_question_is_removed_before_its_answer(sheet: SheetPage) -> None:
    questions = [{"reading": "C1.voltage", "reaches": ""}, {"reading": "C1.charge", "reaches": "30 µC"}]
    sheet.open(link_to({**FADING, "questions": questions}))
    times(sheet).get_by_label("Value of question 1").fill("6 V")
    times(sheet).get_by_role("button", name="Remove question 2").click()
    expect(times(sheet).get_by_label("Value of question 2")).to_have_count(0)
    expect(times(sheet)).to_contain_text("The voltage of C1 reaches 6.00 V after 16.5 ms.")


def test_what_never_comes_about_is_said_in_words(sheet: SheetPage) -> None:
    sheet.open(link_to(FADING))
    ask(sheet, "12 V")
    expect(times(sheet)).to_contain_text("The voltage of C1 never reaches 12.0 V: it goes from 0 V to 9.00 V.")
    box = times(sheet).get_by_label("Value of question 1")
    for value, told in [
        ("9 V", "The voltage of C1 comes nearer and nearer to 9.00 V, and never quite reaches it."),
        ("0 V", "The voltage of C1 is 0 V at the very start, and never again."),
        ("6 mA", "“6 mA” is not understood as a voltage: 6 mA is a current; a voltage in volts goes here."),
    ]:
        box.fill(value)
        box.press("Enter")
        expect(times(sheet)).to_contain_text(told)


def test_the_answers_follow_the_stage_that_is_shown(sheet: SheetPage) -> None:
    stages = [{"name": "Charge", "closed": ["S1"]}, {"name": "Let go", "closed": []}]
    questions = [{"reading": "C1.voltage", "reaches": "50 %"}]
    sheet.open(link_to({**FADING, "stages": stages, "stage": 0, "questions": questions}))
    expect(times(sheet)).to_contain_text("reaches 4.50 V after 10.4 ms")
    sheet.page.get_by_role("list", name="Stages").get_by_role("button", name="Let go").click()
    expect(times(sheet)).to_contain_text("The voltage of C1 is 9.00 V all the time")


def test_the_sheet_shows_the_moment_of_an_answer(sheet: SheetPage) -> None:
    stages = [{"name": "Charge", "closed": ["S1"]}]
    questions = [{"reading": "C1.voltage", "reaches": "6 V"}, {"reading": "R1.current", "at": "10 ms"}]
    sheet.open(link_to({**FADING, "stages": stages, "stage": 0, "questions": questions}))
    times(sheet).get_by_role("button", name="Show the sheet after 16.5 ms").click()
    expect(sheet.cell("C1", "Voltage")).to_have_text("6.00 V")
    times(sheet).get_by_role("button", name="Show the sheet after 10.0 ms").click()
    expect(sheet.cell("R1", "Current")).to_have_text("3.08 mA")


def test_answers_are_covered_with_the_readings(sheet: SheetPage) -> None:
    sheet.open(link_to({**FADING, "questions": [{"reading": "C1.voltage", "reaches": "6 V"}], "covered": ["*"]}))
    expect(times(sheet)).to_contain_text("The answers are covered as long as a reading is.")
    expect(times(sheet)).not_to_contain_text("16.5 ms")


def test_questions_are_asked_by_keyboard_alone_and_answers_are_spoken(sheet: SheetPage) -> None:
    sheet.open(link_to(FADING))
    opener = times(sheet).get_by_role("button", name="When does a reading reach …?")
    opener.focus()
    sheet.page.keyboard.press("Enter")
    expect(times(sheet).get_by_label("Value of question 1")).to_be_focused()
    sheet.page.keyboard.type("6 V")
    sheet.page.keyboard.press("Enter")
    expect(sheet.page.locator("#spoken")).to_have_text("The voltage of C1 reaches 6.00 V after 16.5 ms.")
    expect(times(sheet)).to_contain_text("reaches 6.00 V after 16.5 ms")
    expect(times(sheet).get_by_label("Value of question 1")).to_be_focused()
    assert violations(sheet.page) == []


def test_beside_a_course_in_time_the_questions_follow_the_ledger_and_the_time_line_leads_to_them(
    sheet: SheetPage,
) -> None:
    stages = [{"name": "Charge", "closed": ["S1"]}]
    sheet.open(link_to({**FADING, "stages": stages, "stage": 0}))
    line = sheet.page.get_by_role("region", name="Time line")
    expect(sheet.panel.locator("[aria-label=Ledger] + .times")).to_be_visible()
    sheet.click((17, 4))  # R1
    line.get_by_role("button", name="When does it reach …?").click()
    box = times(sheet).get_by_label("Value of question 1")
    expect(box).to_be_focused()
    expect(times(sheet).get_by_label("Reading of question 1")).to_have_value("R1.voltage")
    # What was begun is gone on with.
    line.get_by_role("button", name="When does it reach …?").click()
    expect(box).to_be_focused()
    expect(times(sheet).get_by_label("Value of question 2")).to_have_count(0)
    # The placeholder has room in the field, whose width is no whole number of pixels.
    assert box.evaluate("field => field.scrollWidth <= field.clientWidth + 1")
