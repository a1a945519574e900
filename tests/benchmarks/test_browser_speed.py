"""How long it takes in the browser: from a keystroke to painted readings, and from an address to the first readings.

Measured inside the page, with a keyboard that presses as a person's does. Nothing here fails for a slow machine: what
is asserted is that the readings painted are right; the medians are printed beside what they should stay within.
"""

from __future__ import annotations

import base64
import json
import zlib
from collections.abc import Callable, Iterator
from statistics import median
from typing import Any

import pytest
from playwright.sync_api import Browser, Page, expect

from solver import solve
from tests.browser.sheet_page import SheetPage

PRESSES = 30
LOADS = 7
LOOK = 50  # ms
WINDOW = {"width": 1366, "height": 768}
# A key press is timed from the event's own time stamp to the task after the frame in which C1's voltage has changed.
WATCH = """() => {
  window.times = [];
  let pressed = null;
  let shown = null;
  const panel = document.getElementById("panel");
  const voltage = () => panel.querySelector("[data-focus='C1.voltage']")?.textContent;
  const after = new MessageChannel();
  after.port1.onmessage = () => {
    times.push(performance.now() - pressed);
    pressed = null;
  };
  addEventListener("keydown", (event) => ([pressed, shown] = [event.timeStamp, voltage()]), { capture: true });
  const look = () => {
    const text = voltage();
    if (pressed === null || text === undefined || text === shown || panel.getAttribute("aria-busy") === "true") return;
    shown = text;
    requestAnimationFrame(() => after.port2.postMessage(""));
  };
  new MutationObserver(look).observe(panel, { childList: true, subtree: true, attributes: true, characterData: true });
}"""
# The time of the first frame with readings in it, counted from the start of the navigation.
FIRST = """addEventListener("DOMContentLoaded", () => {
  const look = () => {
    if (!document.querySelector("[data-focus='C1.voltage']")) return;
    watch.disconnect();
    requestAnimationFrame(() => setTimeout(() => (window.first = performance.now())));
  };
  const watch = new MutationObserver(look);
  watch.observe(document.getElementById("panel"), { childList: true, subtree: true });
});"""


def ladder(parts: int) -> dict[str, Any]:
    """A battery and capacitors, `parts` in all: along and across in turn, as a class draws a ladder."""
    joints = {"a0": [4, 2], "z0": [4, 8]}
    drawn = [{"name": "E1", "kind": "battery", "value": "9 V", "from": "a0", "to": "z0"}]
    for number in range(1, parts):
        column = (number + 1) // 2
        along = number % 2 == 1
        top = f"a{column}"
        joints[top] = [4 + 6 * column, 2]
        ends = (f"a{column - 1}", top) if along else (top, "z0")
        drawn.append({"name": f"C{number}", "kind": "capacitor", "value": "1 µF", "from": ends[0], "to": ends[1]})
    return {"title": f"{parts} parts", "joints": joints, "parts": drawn, "zero": "z0", "figures": 6}


def mesh(rows: int, columns: int) -> dict[str, Any]:
    """A battery at two corners of a grid of capacitors."""
    joints = {f"j{x}_{y}": [4 + 6 * x, 2 + 6 * y] for x in range(columns) for y in range(rows)}
    pairs = [(f"j{x}_{y}", f"j{x + 1}_{y}") for x in range(columns - 1) for y in range(rows)]
    pairs += [(f"j{x}_{y}", f"j{x}_{y + 1}") for x in range(columns) for y in range(rows - 1)]
    capacitors = [
        {"name": f"C{number}", "kind": "capacitor", "value": f"{1 + number % 9} µF", "from": a, "to": b}
        for number, (a, b) in enumerate(pairs, start=1)
    ]
    battery = {"name": "E1", "kind": "battery", "value": "9 V", "from": "j0_0", "to": f"j{columns - 1}_{rows - 1}"}
    return {"title": "Mesh", "joints": joints, "parts": [battery, *capacitors], "figures": 6}


Say = Callable[[str, list[float], float], None]

NETWORKS = {"12 parts": (ladder(12), 0.05), "200 parts": (mesh(10, 11), 0.1)}


@pytest.fixture
def say(capsys: pytest.CaptureFixture[str]) -> Say:
    def told(what: str, times: list[float], target: float) -> None:
        ordered = sorted(times)
        middle = median(ordered)
        verdict = "" if middle <= target * 1000 else "   OVER"
        with capsys.disabled():
            print(
                f"\n{what:<46} median {middle:6.1f} ms  (of {len(times)}, {ordered[0]:.1f} to {ordered[-1]:.1f};"
                f" to stay within {target * 1000:.0f} ms){verdict}"
            )

    return told


@pytest.fixture
def window(browser: Browser, base_url: str) -> Iterator[Page]:
    context = browser.new_context(base_url=base_url, viewport=WINDOW)  # type: ignore[arg-type]
    yield context.new_page()
    context.close()


def link_to(sketch: dict[str, Any]) -> str:
    return "/p#" + base64.urlsafe_b64encode(zlib.compress(json.dumps(sketch).encode())).decode().rstrip("=")


@pytest.mark.parametrize("network", NETWORKS)
def test_from_keystroke_to_painted_readings(window: Page, say: Say, network: str) -> None:
    sketch, target = NETWORKS[network]
    sheet = SheetPage(window).open(link_to(sketch))
    sheet.press("n", "n")
    expect(sheet.actions.get_by_role("button", name="Value of C1")).to_be_visible()
    window.evaluate(WATCH)
    for press in range(PRESSES):
        sheet.page.keyboard.press("ArrowUp")
        # Looked at now and then: a look in every frame would make frames that the page has no need of.
        window.wait_for_function("(count) => times.length === count", arg=press + 1, polling=LOOK)
    say(f"Keystroke to painted readings, {network}", window.evaluate("() => times"), target)
    value = sheet.cell("C1", "Capacitance").inner_text()
    parts = [{**part, "value": value} if part["name"] == "C1" else part for part in sketch["parts"]]
    text = solve({**sketch, "parts": parts}).document()["parts"]["C1"]["voltage"]["text"]
    expect(sheet.cell("C1", "Voltage")).to_have_text(text)


def test_from_the_address_to_the_first_readings(browser: Browser, base_url: str, say: Say) -> None:
    times = []
    for _ in range(LOADS):
        context = browser.new_context(base_url=base_url, viewport=WINDOW)  # type: ignore[arg-type]
        page = context.new_page()
        page.add_init_script(FIRST)
        page.goto("/")
        page.wait_for_function("() => window.first !== undefined")
        times.append(page.evaluate("() => window.first"))
        expect(SheetPage(page).cell("C1", "Voltage")).to_have_text("3.00 V")
        context.close()
    say("Address to first readings, empty cache", times, 1.0)
