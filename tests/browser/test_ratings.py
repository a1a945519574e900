"""Will it hold: ratings typed, polarity drawn, what is past its rating marked, and how far the battery may go."""

from __future__ import annotations

from typing import Any

from playwright.sync_api import expect

from tests.browser.sheet_page import SheetPage

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
    empty.settled()
    assert empty.written("C1")[1] == "10 µF 16 V"
    empty.click_value("C1")
    empty.field.fill("22 µF 0 V")
    expect(empty.means).to_have_text("a rated voltage has to be more than zero")
    empty.field.fill("22 µF 25 V")
    empty.field.press("Enter")
    empty.settled()
    assert empty.written("C1")[1] == "22 µF 25 V"
    empty.undo()
    assert empty.written("C1")[1] == "10 µF 16 V"
