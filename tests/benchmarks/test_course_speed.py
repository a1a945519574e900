"""How long a course in time takes: 30 parts and 20 stages in the solver, and a moment dragged along on the page.

Times are of the processor. Nothing here fails for a slow machine: what is asserted is that answers are right; medians
are printed beside what they should stay within.
"""

from __future__ import annotations

import glob
import json
from collections.abc import Iterator
from math import exp
from pathlib import Path
from typing import Any

import numpy as np
import pytest
from playwright.sync_api import Browser, Page, expect

from solver import Sketch
from solver.stage_document import stages_document
from solver.stages import solve_stages
from tests.benchmarks.conftest import timed
from tests.benchmarks.networks import E12
from tests.browser.ready import link_to

STAGES = 20
POINTS = 400
SECTIONS = 14
DRAGGED = 60
TARGET = 0.1
FRAME = 0.016


def ladder() -> dict[str, Any]:
    """30 parts: a battery, a switch, 14 resistors along and 14 capacitors across; in 20 stages the switch is thrown and
    the battery's emf changed, so that every stage takes its time."""
    joints: dict[str, Any] = {"e": [2, 4], "j0": [6, 4], "z0": [2, 14]}
    parts: list[dict[str, Any]] = [
        {"name": "E1", "kind": "battery", "value": "9 V", "from": "e", "to": "z0"},
        {"name": "S1", "kind": "switch", "closed": True, "from": "e", "to": "j0"},
    ]
    for n in range(1, SECTIONS + 1):
        joints[f"j{n}"] = [6 + 5 * n, 4]
        value = E12[7 * n % 12], E12[5 * n % 12]
        ends = {"from": f"j{n - 1}", "to": f"j{n}"}
        parts.append({"name": f"R{n}", "kind": "resistor", "value": f"{value[0]} kΩ", **ends})
        parts.append({"name": f"C{n}", "kind": "capacitor", "value": f"{value[1]} µF", "from": f"j{n}", "to": "z0"})
    stages = [{"closed": ["S1"], "set": {"E1": f"{9 + number} V"}} for number in range(STAGES)]
    return {"title": "Thirty parts", "joints": joints, "parts": parts, "stages": stages, "stage": STAGES - 1}


def points(course: Any) -> Any:
    """Every curve of a course at so many times: one row for each curve."""
    times = np.linspace(0, 6 * course["timeConstants"][0], POINTS)
    left = np.exp(-times / np.array(course["timeConstants"])[:, None])
    curves = [curve for own in course["parts"].values() for word, curve in own.items() if word != "heat"]
    finals = np.array([curve["final"]["value"] for curve in curves])
    return finals[:, None] + np.array([curve["amplitudes"] for curve in curves]) @ left


def test_thirty_parts_in_twenty_stages_with_the_course_of_the_one_shown(capsys: pytest.CaptureFixture[str]) -> None:
    sketch = Sketch.read(ladder())

    def shown() -> tuple[Any, Any]:
        course = stages_document(solve_stages(sketch), STAGES - 1)[-1]["course"]
        return course, points(course)

    def every() -> list[Any]:
        solved = solve_stages(sketch)
        return [points(stages_document([stage], 0)[0]["course"]) for stage in solved]

    shown()
    one, (course, values) = timed(shown, rounds=9)
    whole, all_values = timed(every, rounds=3)
    with capsys.disabled():
        print(
            f"\n30 parts, 20 stages, {POINTS} points of the shown one {one * 1000:7.1f} ms (within {TARGET * 1000:.0f})"
        )
        print(f"the same with the course of every stage            {whole * 1000:7.1f} ms")
    assert np.allclose(values, all_values[-1])
    # In the end every capacitor of the last stage is at 28 V; at the start at the 27 V of the stage before.
    names = [name for name, own in course["parts"].items() for word in own if word != "heat"]
    words = [word for own in course["parts"].values() for word in own if word != "heat"]
    for name, word, row in zip(names, words, values, strict=True):
        if name.startswith("C") and word == "voltage":
            assert row[0] == pytest.approx(27)
            assert row[-1] == pytest.approx(28, abs=2 * exp(-6))


# On the page

DRAG = """async ([from, count]) => {
    const plot = document.querySelector("[role=slider]");
    const box = plot.getBoundingClientRect();
    const at = (type, x) => plot.dispatchEvent(
        new PointerEvent(type, { pointerId: 1, clientX: x, clientY: box.top + 40, bubbles: true }),
    );
    plot.setPointerCapture = () => {};
    plot.hasPointerCapture = () => true;
    at("pointerdown", box.left + from);
    for (let step = 0; step < count; step += 1) {
        at("pointermove", box.left + from + 3 * step);
        // Styles and layout of all that changed.
        document.body.offsetHeight;
    }
}"""


@pytest.fixture
def window(browser: Browser, base_url: str) -> Iterator[Page]:
    context = browser.new_context(base_url=base_url, viewport={"width": 1366, "height": 768})
    yield context.new_page()
    context.close()


def of_renderers() -> dict[str, int]:
    """The processor time (clock ticks of 10 ms) of the main thread of every process that shows a page."""
    found = {}
    for process in glob.glob("/proc/[0-9]*"):
        try:
            if "--type=renderer" in Path(process, "cmdline").read_text():
                fields = (
                    Path(process, "task", process.rpartition("/")[2], "stat").read_text().rpartition(")")[2].split()
                )
                found[process] = int(fields[11]) + int(fields[12])
        except OSError:
            continue
    return found


def test_a_moment_dragged_along_at_thirty_parts(window: Page, capsys: pytest.CaptureFixture[str]) -> None:
    window.goto(link_to(ladder()))
    moment = window.get_by_role("slider", name="Moment")
    moment.press("1")
    expect(window.locator("#moment")).to_be_visible()
    window.evaluate(DRAG, [60, DRAGGED])
    start = window.evaluate("() => performance.now()")
    before = of_renderers()
    window.evaluate(DRAG, [60, DRAGGED])
    busy = max(ticks - before.get(process, ticks) for process, ticks in of_renderers().items()) / 100
    clock = (window.evaluate("() => performance.now()") - start) / 1000
    with capsys.disabled():
        print(
            f"\nA moment at 30 parts, styles and layout included: {1000 * busy / DRAGGED:.1f} ms of the processor,"
            f" {1000 * clock / DRAGGED:.1f} ms of the clock (within {FRAME * 1000:.0f})"
        )
    told = json.loads(window.evaluate("() => JSON.stringify(document.querySelector('#moment b').textContent)"))
    assert told.startswith("at ")
