"""The handout in print: the pages that the browser's own print makes, their size, and where they end."""

from __future__ import annotations

import re
from typing import Any

import pytest
from playwright.sync_api import Page, expect

from tests.browser.handout_page import HandoutPage, row, words_of
from tests.browser.ready import SAMPLES, ready

MIXED = ready("Three, mixed")


@pytest.fixture
def handout(page: Page, complaints: list[str]) -> HandoutPage:
    return HandoutPage(page).open(MIXED)


@pytest.mark.parametrize(("paper", "size"), [("A4", (210, 297)), ("Letter", (216, 279))])
def test_the_browser_prints_the_sheets_and_nothing_else(
    handout: HandoutPage, paper: str, size: tuple[int, int]
) -> None:
    handout.choose("Paper", paper)
    assert handout.size_printed() == size
    question, key, *more = handout.printed()
    assert question.startswith("Name Class Date Storm lantern, three capacitors Find the voltage")
    assert "Working" in question
    assert "capacitors stay charged" in question
    assert key.startswith("Answer key")
    assert "Storm lantern, three capacitors" in key
    assert "Worked solution" in " ".join([key, *more])
    whole = " ".join([question, key, *more])
    for words in ("Farandole", "Save as PDF", "Room to write", "Back to the sheet"):
        assert words not in whole


@pytest.mark.parametrize("sample", [sample["title"] for sample in SAMPLES])
def test_every_ready_sketch_has_a_question_sheet_of_one_page(page: Page, complaints: list[str], sample: str) -> None:
    handout = HandoutPage(page).open(ready(sample))
    handout.choose("Sheets", "Question sheet")
    for paper in ("A4", "Letter"):
        handout.choose("Paper", paper)
        assert len(handout.printed()) == 1
        assert len(words_of(handout.saved("Save as PDF"))) == 1


def test_where_the_first_page_is_full_there_is_another_one_to_write_on(page: Page, complaints: list[str]) -> None:
    joints: dict[str, Any] = {"a": [4, 2], "0": [4, 8]}
    many = [{"name": f"C{n}", "kind": "capacitor", "value": f"{n} µF", "from": "a", "to": "0"} for n in range(1, 23)]
    battery = {"name": "E1", "kind": "battery", "value": "9 V", "from": "a", "to": "0"}
    handout = HandoutPage(page).open({"title": "Many", "joints": joints, "parts": [battery, *many]})
    handout.choose("Sheets", "Question sheet")
    for first, second in (handout.printed(), words_of(handout.saved("Save as PDF"))):
        assert "C22 22 µF" in first
        assert "Working" not in first
        assert "Working" in second


def test_symbols_stay_symbols_on_paper(page: Page, complaints: list[str]) -> None:
    values = {"E1": "V", "C1": "C", "C2": "2C", "C3": "C"}
    parts = [part | {"value": values[part["name"]]} if part["name"] in values else part for part in MIXED["parts"]]
    handout = HandoutPage(page).open(MIXED | {"parts": parts})
    expect(handout.task).to_have_value(re.compile("^Find, in terms of C and V, the voltage across each capacitor"))
    # C in series with 2C + C = 3C, so three quarters of V are across C1.
    assert row(handout.key, "C1")[:2] == ["C", "3·V/4"]
    assert "3·V/4" in " ".join(words_of(handout.saved("Save as PDF")))


def test_a_value_that_is_to_be_found_is_blank_and_the_key_has_it(page: Page, complaints: list[str]) -> None:
    # 30 µF at 3 V carries 90 µC; at the 6 V that are left, C3 carries 90 less the 60 µC of C2: 5 µF.
    parts = [part | {"value": "?"} if part["name"] == "C3" else part for part in MIXED["parts"]]
    required = [{"reading": "C1.voltage", "value": "3 V"}]
    handout = HandoutPage(page).open(MIXED | {"parts": parts, "required": required})
    expect(handout.task).to_have_value(re.compile("^Find what C3 must be for the voltage across C1 to be 3 V"))
    assert row(handout.question, "C3")[0] == ""
    assert row(handout.question, "C1")[:2] == ["30 µF", "3.00 V"]
    assert row(handout.key, "C3")[:2] == ["5 µF", "6.00 V"]
    words = handout.key.locator(".drawing text").all_text_contents()
    assert "5 µF" in words
    assert "?" not in words


def ladder(sections: int) -> dict[str, Any]:
    """Sections of one capacitor along and one across, drawn as a class draws it: as wide as it is long."""
    joints: dict[str, Any] = {"a0": [4, 2], "z0": [4, 10]}
    parts: list[dict[str, Any]] = [{"name": "E1", "kind": "battery", "value": "9 V", "from": "a0", "to": "z0"}]
    for n in range(1, sections + 1):
        joints |= {f"a{n}": [4 + 8 * n, 2], f"z{n}": [4 + 8 * n, 10]}
        parts += [
            {"name": f"C{2 * n - 1}", "kind": "capacitor", "value": "10 µF", "from": f"a{n - 1}", "to": f"a{n}"},
            {"name": f"C{2 * n}", "kind": "capacitor", "value": "20 µF", "from": f"a{n}", "to": f"z{n}"},
            {"name": f"W{n}", "kind": "wire", "from": f"z{n - 1}", "to": f"z{n}"},
        ]
    return {"title": "Ladder", "joints": joints, "parts": parts, "zero": "z0"}


def heights_of_writing(page: Page, drawings: str) -> list[float]:
    """The height of every value in some drawings, in millimetres on paper."""
    pixels: list[float] = page.evaluate(
        """(drawings) => [...document.querySelectorAll(`${drawings} text[font-family*=sans]`)].map(
          (text) => parseFloat(text.getAttribute("font-size")) * text.ownerSVGElement.getScreenCTM().a,
        )""",
        drawings,
    )
    return [each / 96 * 25.4 for each in pixels]


def test_drawings_of_a_wide_network_can_be_read_on_paper(page: Page, complaints: list[str]) -> None:
    HandoutPage(page).open(ladder(6))
    # 6 points are 2.1 mm.
    for drawings in (".key .drawing", ".question .drawing", ".key .now"):
        heights = heights_of_writing(page, drawings)
        assert heights
        assert min(heights) >= 2.1, drawings
    wide = page.locator(".key .now.wide svg")
    assert wide.count() > 0
    assert page.locator(".key .now:not(.wide) svg").count() > 0
    box = wide.first.bounding_box()
    assert box
    assert box["width"] > 62 / 25.4 * 96


# What lies under writing, from the bottom up to it: a dotted line must not come after the last white rectangle.
CROSSED = """() => {
  const svg = document.querySelector(".key .drawing svg");
  const holds = (rect, x, y) => x > rect.left && x < rect.right && y > rect.top && y < rect.bottom;
  const points = (line) => Array.from({ length: 400 }, (_, step) => {
    const { x, y } = line.getPointAtLength((line.getTotalLength() * step) / 399).matrixTransform(line.getScreenCTM());
    return [x, y];
  });
  const shapes = [...svg.querySelectorAll("path[stroke-dasharray='1 5'], rect")];
  return [...svg.querySelectorAll("text")].map((text) => {
    const box = text.getBoundingClientRect();
    const under = shapes.filter((shape) =>
      shape.tagName === "path"
        ? points(shape).some(([x, y]) => holds(box, x, y))
        : holds(shape.getBoundingClientRect(), (box.left + box.right) / 2, (box.top + box.bottom) / 2),
    );
    return { text: text.textContent, under: under.map(({ tagName }) => tagName) };
  });
}"""


def test_writing_is_clear_of_the_dotted_lines_between_joints(page: Page, complaints: list[str]) -> None:
    HandoutPage(page).open(ready("A bridge") | {"probes": [["p", "q"], ["a", "q"], ["p", "0"]]})
    crossed = [each for each in page.evaluate(CROSSED) if "path" in each["under"]]
    assert crossed, "no line passes any writing: the test needs another drawing"
    assert [each["text"] for each in crossed if each["under"][-1] == "path"] == []
