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
from solver.stage_document import stage_document, stages_document
from solver.stages import solve_stages
from solver.transient import Transient
from tests.benchmarks.conftest import timed
from tests.benchmarks.networks import E12
from tests.browser.ready import link_to

STAGES = 20
POINTS = 400
SECTIONS = 14
DRAGGED = 60
TARGET = 0.1
FRAME = 0.016


def ladder(*, each_its_own: bool = False) -> dict[str, Any]:
    """30 parts: a battery, a switch, 14 resistors along and 14 capacitors across; in 20 stages the switch is thrown and
    the battery's emf changed, so that every stage takes its time. With `each_its_own` every resistor has another value
    in each stage too, so that no two stages have a time constant in common."""
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
    stages: list[dict[str, Any]] = []
    for number in range(STAGES):
        settings = {"E1": f"{9 + number} V"}
        if each_its_own:
            tens = number // 12
            settings |= {f"R{n}": f"{E12[(7 * n + number) % 12]}{tens} kΩ" for n in range(1, SECTIONS + 1)}
        stages.append({"closed": ["S1"], "set": settings})
    return {"title": "Thirty parts", "joints": joints, "parts": parts, "stages": stages, "stage": STAGES - 1}


Curves = dict[tuple[str, str], Any]
"""By part and reading, what it is at each of so many times."""


def points(constants: Any, names: list[tuple[str, str]], finals: list[float], amplitudes: list[Any]) -> Curves:
    """Every curve at so many times, as the page draws it: its end and what is left of its exponentials."""
    times = np.linspace(0, 6 * constants[0], POINTS)
    left = np.exp(-times / np.array(constants)[:, None])
    return dict(zip(names, np.array(finals)[:, None] + np.array(amplitudes) @ left, strict=True))


def points_of(found: Transient) -> Curves:
    curves = {
        (name, word): curve
        for name, own in found.parts.items()
        for word, curve in (("voltage", own.voltage), ("current", own.current), ("charge", own.charge))
        if curve is not None
    }
    finals = [float(curve.final) for curve in curves.values()]
    return points(
        [1 / rate for rate in found.decay.rates], [*curves], finals, [curve.amplitudes for curve in curves.values()]
    )


def points_in(course: Any) -> Curves:
    curves = {
        (name, word): curve for name, own in course["parts"].items() for word, curve in own.items() if word != "heat"
    }
    finals = [curve["final"]["value"] for curve in curves.values()]
    return points(course["timeConstants"], [*curves], finals, [curve["amplitudes"] for curve in curves.values()])


@pytest.mark.parametrize(
    ("name", "each_its_own"),
    [("one network, another emf in each stage", False), ("another network in each stage", True)],
)
def test_thirty_parts_in_twenty_stages(capsys: pytest.CaptureFixture[str], name: str, each_its_own: bool) -> None:
    sketch = Sketch.read(ladder(each_its_own=each_its_own))

    def solved() -> Any:
        return solve_stages(sketch)

    def numbers() -> list[Curves]:
        return [points_of(stage.thrown.over_time) for stage in solve_stages(sketch) if stage.thrown]

    def shown() -> Curves:
        return points_in(stages_document(solve_stages(sketch), STAGES - 1)[-1]["course"])

    def every() -> list[Curves]:
        return [points_in(stage_document(stage, with_course=True)["course"]) for stage in solve_stages(sketch)]

    rows = [
        ("20 stages solved", solved),
        (f"and {POINTS} points of every curve of every stage", numbers),
        ("what the page asks for: documents, one course", shown),
        ("documents with the course of every stage", every),
    ]
    told, answers = [f"30 parts, 20 stages: {name}"], []
    for text, act in rows:
        act()
        took, answer = timed(act, rounds=5)
        answers.append(answer)
        within = f" (within {TARGET * 1000:.0f})" if act is numbers else ""
        told.append(f"  {text:<50}{took * 1000:7.1f} ms{within}")
    with capsys.disabled():
        print("\n" + "\n".join(told))
    _, own, last, documents = answers
    for curves in (own[-1], last, documents[-1]):
        assert {key: pytest.approx(values, rel=1e-12, abs=1e-12) for key, values in curves.items()} == own[-1]
        # In the end every capacitor of the last stage is at 28 V; at the start at the 27 V of the stage before.
        for part in range(1, SECTIONS + 1):
            row = curves[f"C{part}", "voltage"]
            assert len(row) == POINTS
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
