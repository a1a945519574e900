"""The ledger and the drawing show what the solver says, and what cannot be solved is said in words in their place."""

from __future__ import annotations

import re
from typing import Any

import pytest
from playwright.sync_api import expect

from solver import solve
from tests.browser.ready import SETTLED, link_to, middle, ready
from tests.browser.sheet_page import SheetPage

MIXED = ready("Three, mixed")
COLUMNS = {
    "capacitor": {"Voltage": "voltage", "Charge": "charge", "Energy": "energy"},
    "resistor": {"Voltage": "voltage", "Current": "current", "Power": "power"},
}


@pytest.mark.parametrize("sample", SETTLED, ids=[sample["id"] for sample in SETTLED])
def test_the_ledger_of_a_ready_sketch_is_what_the_solver_says(sheet: SheetPage, sample: dict[str, Any]) -> None:
    solution = solve(sample["sketch"]).document()
    sheet.open_ready(sample["title"])
    for part in sample["sketch"]["parts"]:
        for column, reading in COLUMNS.get(part["kind"], {}).items():
            expect(sheet.cell(part["name"], column)).to_have_text(solution["parts"][part["name"]][reading]["text"])
    kind = "resistor" if sample["id"] == "resistors" else "capacitor"
    total = {
        "capacitor": {"Capacitance": "equivalent", "Charge": "charge"},
        "resistor": {"Resistance": "equivalent", "Current": "current"},
    }[kind]
    for column, reading in total.items():
        expect(sheet.total("Across E1", column)).to_have_text(solution["parts"]["E1"][reading]["text"])
    assert sorted(sheet.flags()) == sorted(each["potential"]["text"] for each in solution["conductors"].values())


@pytest.mark.parametrize("sample", SETTLED, ids=[sample["id"] for sample in SETTLED])
def test_what_is_written_beside_a_part_is_what_the_ledger_says(sheet: SheetPage, sample: dict[str, Any]) -> None:
    sheet.open_ready(sample["title"])
    for part in sample["sketch"]["parts"]:
        if part["kind"] in COLUMNS:
            # Of a build the ledger has the words under the capacitance.
            cells = [text.splitlines() for text in sheet.row(part["name"]).get_by_role("cell").all_inner_texts()]
            row = [lines[0] for lines in cells]
            if rated := part.get("rated"):
                assert cells[0][1].startswith(f"rated {rated}")
                row[0] += f", rated {rated}"
                # On the sheet a share is written only where it is too much.
                if past := re.search(r"(\d+ %)\s*, past its limit", " ".join(cells[0])):
                    row.append(f"{past[1]} of {rated}")
            assert sheet.written(part["name"]) == [part["name"], *row]


def test_every_loop_and_every_isolated_conductor_is_checked_with_its_terms(sheet: SheetPage) -> None:
    lines = sheet.check_lines()
    assert "Loop E1 C1 C2: 9.00 V − 3.00 V − 6.00 V = 0 V" in lines
    assert "Loop C2 C3: 6.00 V − 6.00 V = 0 V" in lines
    charges = next(line for line in lines if "µC" in line)
    assert charges.endswith("C1 C2 C3: −90.0 µC + 60.0 µC + 30.0 µC = 0 C")
    energies = next(line for line in lines if "µJ" in line)
    assert re.findall(r"[\d.]+ µJ", energies) == ["810 µJ", "405 µJ", "405 µJ"]


def pairs_of_signs(sheet: SheetPage) -> list[float]:
    """For every capacitor how many plus signs it carries, and as many minus signs across from them."""
    paths = sheet.sheet.locator(".signs path").evaluate_all("all => all.map(each => each.getAttribute('d'))")
    # A plus is two strokes, a minus is one.
    return [len(re.findall("M", path)) / 3 for path in paths]


def test_the_number_of_signs_is_in_proportion_to_the_charge(sheet: SheetPage) -> None:
    first, second, third = pairs_of_signs(sheet)  # 90, 60 and 30 µC
    assert (first / third, second / third) == (3, 2)


def discs(sheet: SheetPage) -> list[float]:
    """Area of every energy disc, in no particular unit."""
    radii = sheet.sheet.locator(".discs circle").evaluate_all("all => all.map(each => Number(each.getAttribute('r')))")
    return [radius**2 for radius in radii]


def test_the_area_of_an_energy_disc_is_in_proportion_to_the_energy(sheet: SheetPage) -> None:
    first, second, third = discs(sheet)
    assert first / third == pytest.approx(135 / 90)
    assert second / third == pytest.approx(180 / 90)


def test_bands_grow_darker_with_the_potential(sheet: SheetPage) -> None:
    fills = sheet.sheet.locator(".flags > g").evaluate_all(
        "all => all.map(each => [each.textContent, getComputedStyle(each.querySelector('rect')).fill])"
    )
    colours = {text: sum(int(channel) for channel in re.findall(r"\d+", fill)[:3]) for text, fill in fills}
    assert colours["9.00 V"] < colours["6.00 V"] < colours["0 V"]


@pytest.mark.parametrize(
    ("key", "name", "layers", "reading"),
    [
        ("v", "Potential", (".bands path", ".flags g"), "3.00 V"),
        ("q", "Charge", (".signs path",), "90.0 µC"),
        ("u", "Energy", (".discs circle",), "135 µJ"),
    ],
)
def test_overlays_are_put_away_and_brought_back_by_key_and_by_button(
    sheet: SheetPage, key: str, name: str, layers: tuple[str, ...], reading: str
) -> None:
    button = sheet.page.get_by_role("button", name=re.compile(f"^{name}"))
    for change in (lambda: sheet.press(key), button.click):
        expect(button).to_have_attribute("aria-pressed", "true")
        assert reading in sheet.written("C1")
        change()
        expect(button).to_have_attribute("aria-pressed", "false")
        for layer in layers:
            expect(sheet.sheet.locator(layer)).to_have_count(0)
        assert reading not in sheet.written("C1")
        expect(sheet.panel.get_by_text(reading, exact=True).first).to_be_visible()
        button.click()
        for layer in layers:
            assert sheet.sheet.locator(layer).count() > 0


def test_an_isolated_conductor_tells_its_charge_sum_when_pointed_at(sheet: SheetPage) -> None:
    callout = sheet.sheet.locator(".marks")
    sheet.point_at((12, 8))
    expect(callout).to_contain_text("isolated conductor: net charge 0 C")
    expect(callout).to_contain_text(re.compile(r"90\.0 µC.*= 0 C"))
    sheet.point_at((4, 16))
    expect(callout).not_to_contain_text("isolated")


def test_a_conductor_joined_to_the_battery_is_not_isolated(sheet: SheetPage) -> None:
    sheet.point_at((9, 2))
    expect(sheet.sheet.locator(".marks")).not_to_contain_text("isolated")


def test_two_joints_picked_together_read_what_lies_between_them(sheet: SheetPage) -> None:
    sheet.click(tuple(MIXED["joints"]["c"]))
    sheet.click(tuple(MIXED["joints"]["0"]), shift=True)
    between = sheet.panel.get_by_role("region", name="Between two joints")
    # The battery is a wire then: 30 µF beside 10 µF and 5 µF.
    expect(between).to_contain_text("6.00 V")
    expect(between).to_contain_text("45.0 µF")
    sheet.page.keyboard.press("Escape")
    expect(between).to_have_count(0)


def test_a_reading_between_joints_is_kept_on_the_sheet_and_dropped(sheet: SheetPage) -> None:
    sheet.click(tuple(MIXED["joints"]["c"]))
    sheet.act(re.compile("Measure to another joint"))
    sheet.click(tuple(MIXED["joints"]["0"]))
    between = sheet.panel.get_by_role("region", name="Between two joints")
    between.get_by_role("button", name=re.compile("^Keep")).click()
    sheet.page.keyboard.press("Escape")
    sheet.press("Escape")
    expect(between).to_contain_text("45.0 µF")
    expect(sheet.sheet.locator(".probes")).to_contain_text("6.00 V")
    between.get_by_role("button", name=re.compile("^Drop")).click()
    expect(between).to_have_count(0)
    expect(sheet.sheet.locator(".probes")).not_to_contain_text("V")


def test_joints_of_one_conductor_have_nothing_between_them_and_that_is_said(sheet: SheetPage) -> None:
    sheet.click(tuple(MIXED["joints"]["c"]))
    sheet.click(tuple(MIXED["joints"]["d"]), shift=True)
    expect(sheet.panel).to_contain_text("are one conductor")


def test_larger_scales_what_is_written(sheet: SheetPage) -> None:
    before = sheet.label("C1").bounding_box()
    row = sheet.row("C1").bounding_box()
    sheet.page.get_by_role("button", name="Look").click()
    sheet.page.get_by_role("checkbox", name=re.compile("Larger")).check()
    sheet.page.get_by_role("button", name="Fit").click()
    after = sheet.label("C1").bounding_box()
    assert before
    assert row
    assert after
    assert after["height"] > before["height"]
    assert (sheet.row("C1").bounding_box() or row)["height"] > row["height"]


def test_resistors_are_drawn_as_zigzags_for_those_who_want_them(sheet: SheetPage) -> None:
    sheet.open_ready("The bridge with resistors")
    outline = sheet.sheet.locator(".ink > g > g path")
    paths = "all => all.map(each => each.getAttribute('d'))"
    before = outline.evaluate_all(paths)
    sheet.page.get_by_role("button", name="Look").click()
    sheet.page.get_by_role("checkbox", name=re.compile("zigzag")).check()
    after = outline.evaluate_all(paths)
    assert before != after
    sheet.page.reload()
    sheet.settled()
    assert outline.evaluate_all(paths) == after


def test_symbols_give_readings_in_symbols(empty: SheetPage) -> None:
    empty.draw((4, 3), (4, 15), "V_0")
    empty.draw((4, 3), (12, 3))
    empty.draw((12, 3), (12, 9), "C")
    empty.draw((12, 9), (12, 15), "2C")
    empty.draw((12, 15), (4, 15))
    # In series the charge is the same, so the voltages are as 2 to 1.
    expect(empty.cell("C1", "Voltage")).to_have_text("2V₀/3")
    expect(empty.cell("C2", "Voltage")).to_have_text("V₀/3")
    expect(empty.total("Across E1", "Capacitance")).to_have_text("2C/3")


def test_a_part_clicked_is_spoken_with_its_readings(sheet: SheetPage) -> None:
    sheet.click(middle(MIXED, "C1"))
    expect(sheet.spoken).to_have_text(re.compile(r"^C1, 30 microfarads, 3\.00 volts, 90\.0 microcoulombs"))


def test_a_long_ledger_is_cut_short_until_all_of_it_is_asked_for(sheet: SheetPage) -> None:
    capacitors = [
        {"name": f"C{number}", "kind": "capacitor", "value": "1 µF", "from": "a", "to": "0"} for number in range(1, 71)
    ]
    battery = {"name": "E1", "kind": "battery", "value": "9 V", "from": "a", "to": "0"}
    sheet.open(link_to({"joints": {"a": [0, 0], "0": [0, 6]}, "parts": [*capacitors, battery]}))
    assert len(sheet.parts()) == 40
    expect(sheet.total("Across E1", "Capacitance")).to_have_text("70.0 µF")
    sheet.page.get_by_role("button", name="Write out all 71 parts").click()
    assert len(sheet.parts()) == 71


def test_in_a_crowded_drawing_readings_without_room_wait_until_their_part_is_chosen(sheet: SheetPage) -> None:
    joints = {f"j{x}_{y}": [4 + 4 * x, 2 + 4 * y] for x in range(8) for y in range(8)}
    pairs = [(f"j{x}_{y}", f"j{x + 1}_{y}") for x in range(7) for y in range(8)]
    pairs += [(f"j{x}_{y}", f"j{x}_{y + 1}") for x in range(8) for y in range(7)]
    parts = [
        {"name": f"C{number}", "kind": "capacitor", "value": "1 µF", "from": a, "to": b}
        for number, (a, b) in enumerate(pairs, start=1)
    ]
    battery = {"name": "E1", "kind": "battery", "value": "9 V", "from": "j0_0", "to": "j7_7"}
    sheet.open(link_to({"joints": joints, "parts": [battery, *parts]}))
    expect(sheet.page.locator("#hint")).to_contain_text("Readings that find no room on the sheet stand in the ledger.")
    assert sheet.written("C20") == ["C20", "1 µF"]
    sheet.row("C20").get_by_role("rowheader").click(position={"x": 60, "y": 8})
    expect(sheet.label("C20").locator("> text")).to_have_count(5)
    assert sheet.cell("C20", "Voltage").inner_text() in sheet.written("C20")
