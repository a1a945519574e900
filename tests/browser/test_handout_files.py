"""What of a sheet can be taken along: pictures of drawing and tiles, the ledger, the steps; covers stay on."""

from __future__ import annotations

import csv
import io
import re
import struct
from collections.abc import Callable
from pathlib import Path
from typing import Any
from xml.etree import ElementTree

import pytest
from playwright.sync_api import Locator, expect

from tests.browser.share_dialog import open_share
from tests.browser.sheet_page import SheetPage

SVG = "{http://www.w3.org/2000/svg}"


def saved(dialog: Locator, name: str) -> bytes:
    with dialog.page.expect_download() as started:
        dialog.get_by_role("button", name=name, exact=True).click()
    return Path(started.value.path()).read_bytes()


def written(document: bytes) -> list[str]:
    return ["".join(text.itertext()) for text in ElementTree.fromstring(document.decode()).iter(f"{SVG}text")]


def test_the_tiles_are_a_picture_of_their_own_or_stand_beside_the_drawing(sheet: SheetPage) -> None:
    dialog = open_share(sheet)
    drawing = saved(dialog, "SVG")
    dialog.get_by_label("Tiles", exact=True).check()
    tiles = saved(dialog, "SVG")
    dialog.get_by_label("Drawing and tiles").check()
    both = saved(dialog, "SVG")
    assert "Charge across, voltage up: area ÷ 2 = energy" in written(tiles)
    assert {"135 µJ", "180 µJ", "90.0 µJ", "9.00 V"} <= set(written(tiles))
    assert "30 µF" not in written(tiles)
    assert sorted(written(both)) == sorted([*written(drawing), *written(tiles)])
    widths = [float(ElementTree.fromstring(each).attrib["width"]) for each in (drawing, tiles, both)]
    assert widths[2] == widths[0] + widths[1]


def test_the_picture_of_both_is_a_png_twice_as_large(sheet: SheetPage) -> None:
    dialog = open_share(sheet)
    dialog.get_by_label("Drawing and tiles").check()
    root = ElementTree.fromstring(saved(dialog, "SVG"))
    png = saved(dialog, "PNG")
    assert png.startswith(b"\x89PNG")
    assert struct.unpack(">II", png[16:24]) == (2 * int(root.attrib["width"]), 2 * int(root.attrib["height"]))


def test_tiles_that_would_give_away_what_is_covered_are_not_saved(sheet: SheetPage) -> None:
    sheet.page.get_by_role("button", name=re.compile("^Cover readings")).click()
    dialog = open_share(sheet)
    dialog.get_by_label("Tiles", exact=True).check()
    dialog.get_by_role("button", name="SVG", exact=True).click()
    expect(dialog).to_contain_text("Covered: the tiles are drawn once the readings are uncovered.")


def test_a_sheet_without_tiles_says_why(empty: SheetPage) -> None:
    empty.draw((4, 4), (10, 4), "9 V")
    dialog = open_share(empty)
    dialog.get_by_label("Tiles", exact=True).check()
    dialog.get_by_role("button", name="SVG", exact=True).click()
    expect(dialog.locator(".share-status.wrong")).not_to_be_empty()


def test_the_ledger_is_a_table_for_spreadsheets(sheet: SheetPage) -> None:
    content = saved(open_share(sheet), "Ledger (CSV)")
    assert content.startswith(b"\xef\xbb\xbf")
    rows = {row["Part"]: row for row in csv.DictReader(io.StringIO(content.decode("utf-8-sig")))}
    assert rows["C2"]["Charge"] == "60.0 µC"
    assert rows["C2"]["Charge, exact"] == "3/50000 C"


def test_what_is_covered_stays_covered_in_the_ledger(sheet: SheetPage) -> None:
    sheet.row("C2").get_by_role("button", name=re.compile("^60.0 µC")).click()
    content = saved(open_share(sheet), "Ledger (CSV)").decode("utf-8-sig")
    rows = {row["Part"]: row for row in csv.DictReader(io.StringIO(content))}
    assert (rows["C2"]["Charge"], rows["C2"]["Charge, exact"]) == ("?", "")


def test_the_worked_solution_is_a_latex_document(sheet: SheetPage) -> None:
    text = saved(open_share(sheet), "Worked solution (LaTeX)").decode()
    assert text.startswith("\\documentclass[11pt,")
    assert text.endswith("\\end{document}\n")
    assert "\\subsection*{Storm lantern, three capacitors}" in text
    assert "C_{23}" in text


def test_what_cannot_be_solved_has_no_files_and_says_why(sheet: SheetPage) -> None:
    sheet.draw((8, 2), (8, 16))
    dialog = open_share(sheet)
    dialog.get_by_role("button", name="Ledger (CSV)").click()
    expect(dialog.locator(".share-status.wrong")).to_contain_text("E1")


def latex(run: Callable[..., Any], body: str, paper: str = "a4") -> str:
    script = (
        "const { latexDocument } = await import('/static/latex.js'); return latexDocument(given.body, given.paper);"
    )
    return str(run(script, {"body": body, "paper": paper}))


def test_every_sign_that_latex_lacks_is_declared(run: Callable[..., Any]) -> None:
    document = latex(run, "é ő “q” α λ Ω ₂ ≤ 漢 😀")
    preamble, _, body = document.partition("\\begin{document}")
    declared = {chr(int(code, 16)) for code in re.findall(r"\\DeclareUnicodeCharacter\{([0-9A-F]+)\}", preamble)}
    # T1 fonts have the accented letters and the quotation marks.
    assert {sign for sign in body if ord(sign) > 127} - declared == set("éő“”")
    assert "\\DeclareUnicodeCharacter{03BB}{\\ensuremath{\\lambda}}" in preamble
    assert "\\DeclareUnicodeCharacter{2082}{\\ensuremath{{}_{2}}}" in preamble
    assert "\\DeclareUnicodeCharacter{6F22}{\\fbox{?}}" in preamble


@pytest.mark.parametrize(("paper", "option"), [("a4", "a4paper"), ("letter", "letterpaper"), ("other", "a4paper")])
def test_the_document_is_for_the_paper(run: Callable[..., Any], paper: str, option: str) -> None:
    assert f"[11pt,{option}]" in latex(run, "words", paper)


def test_signs_that_are_none_do_not_reach_the_document(run: Callable[..., Any]) -> None:
    assert not re.search(r"[\0-\x08\x0b-\x1f]", latex(run, "a\0b\x07c\x1bd"))


def test_greek_names_are_mathematics_in_the_document(run: Callable[..., Any]) -> None:
    script = """
      const { stepAsLatex } = await import("/static/solution/copies.js");
      return stepAsLatex({ title: "Ω2 and λ_eq", reason: "", lines: [] }, 1, ["Ω2", "λ_eq"]);
    """
    assert run(script) == "\\paragraph{1. $\\Omega_{2}$ and $\\lambda_{\\mathrm{eq}}$} "
