"""The numbers under the time line: written as the solver writes them, and curves that are their exponentials."""

from __future__ import annotations

import math
import random
from collections.abc import Callable
from typing import Any

import pytest

from solver.format import format_float
from tests.browser.module_page import shared

WRITE = "const { written } = await import('/static/stages/curves.js');"


@pytest.mark.parametrize("figures", [1, 2, 3, 4, 6])
def test_values_under_the_cursor_are_written_as_the_solver_writes_them(run: Callable[..., Any], figures: int) -> None:
    dice = random.Random(figures)
    values = [sign * dice.random() * 10.0 ** dice.randint(-20, 14) for sign in (1, -1) for _ in range(400)]
    # Halves that floats hold exactly, and nines that carry over into the next prefix.
    values += [
        0.0,
        0.125,
        0.0625,
        2.5,
        12.5,
        0.5,
        1.5,
        99.5,
        999.5,
        999.4,
        9.995e-7,
        9.9949e11,
        9.9951e11,
        1e-15,
        1e-16,
    ]
    given = {"values": values, "writing": {"figures": figures, "prefixes": shared("kinds")["prefixes"]}}
    texts = run(f"{WRITE} return given.values.map((value) => written(value, 'V', given.writing));", given)
    assert texts == [format_float(value, "V", figures) for value in values]


def test_a_curve_is_its_end_and_its_exponentials(run: Callable[..., Any]) -> None:
    curve = {"first": {"value": 1}, "final": {"value": 9}, "amplitudes": [-6.0, -2.0]}
    constants = [0.2, 0.003]
    times = [1e-6, 0.001, 0.003, 0.1, 0.5, 3.0]
    found = run(
        "const { decayed, valueOf } = await import('/static/stages/curves.js');"
        "return given.times.map((time) => valueOf(given.curve, decayed(given.constants, time)));",
        {"curve": curve, "constants": constants, "times": times},
    )
    assert found == pytest.approx([9 - 6 * math.exp(-t / 0.2) - 2 * math.exp(-t / 0.003) for t in times], rel=1e-12)


def test_terms_that_cancel_leave_no_trace(run: Callable[..., Any]) -> None:
    curve = {"first": {"value": 0}, "final": {"value": 0}, "amplitudes": [0.1 + 0.2, -0.3]}
    [found] = run(
        "const { decayed, valueOf } = await import('/static/stages/curves.js');"
        "return [valueOf(given.curve, decayed([1, 1], 0.5))];",
        {"curve": curve},
    )
    assert found == 0


@pytest.mark.parametrize(
    ("low", "high", "most", "texts", "unit"),
    [
        (0, 9, 4, ["0", "5", "10"], "V"),
        (0, 0.0061, 4, ["0", "2", "4", "6", "8"], "mV"),
        (-0.4, 1.3, 4, ["−0.5", "0", "0.5", "1.0", "1.5"], "V"),
        (-3e-7, 0, 3, ["−300", "−200", "−100", "0"], "nV"),
        (0, 3e-20, 3, ["0", "1", "2", "3"], "10⁻²⁰ V"),
        (0, 0, 5, ["0", "0.2", "0.4", "0.6", "0.8", "1.0"], "V"),
    ],
)
def test_axes_are_marked_at_round_numbers(
    run: Callable[..., Any], low: float, high: float, most: int, texts: list[str], unit: str
) -> None:
    given = {"writing": {"figures": 3, "prefixes": shared("kinds")["prefixes"]}, "range": [low, high, most]}
    scale = run(
        "const { scaleOf } = await import('/static/stages/curves.js');"
        "return scaleOf(...given.range, 'V', given.writing);",
        given,
    )
    assert [tick["text"] for tick in scale["ticks"]] == texts
    assert scale["unit"] == unit
    assert scale["low"] <= low
    assert scale["high"] >= high


@pytest.mark.parametrize("constant", [1e-9, 3e-6, 0.015, 0.14, 1.2, 33.0, 86400.0])
def test_five_time_constants_take_about_six_seconds(run: Callable[..., Any], constant: float) -> None:
    pace = run("const { paceFor } = await import('/static/stages/playing.js'); return paceFor(given);", constant)
    assert 4.8 <= 5 * constant * pace <= 7.5


@pytest.mark.parametrize("height", range(90, 330, 60))
@pytest.mark.parametrize(("volts", "amperes"), [(6.0, 0.12), (6.0, -0.12), (9.0, 0.006), (8.0, 0.4), (5.0, 5.0)])
def test_a_voltage_and_a_current_in_step_are_not_drawn_on_top_of_one_another(
    run: Callable[..., Any], height: int, volts: float, amperes: float
) -> None:
    """A capacitor fading through a lamp: both are the same exponential, each on an axis of its own."""
    lines = [
        {"name": name, "quantity": quantity, "unit": unit, "dash": 0, "curve": fading(first)}
        for name, quantity, unit, first in (("C1", "voltage", "V", volts), ("Lamp", "current", "A", amperes))
    ]
    what = {"lines": lines, "constants": [5.0], "timeTexts": ["5.00 s"], "longest": 0, "span": 30.0, "width": 700}
    what |= {"height": height, "size": 11, "writing": {"figures": 3, "prefixes": shared("kinds")["prefixes"]}}
    plot = run(
        "const { Plot } = await import('/static/stages/plot.js'); const plot = new Plot(given);"
        "return { dots: plot.cursor(0).dots.map(({ y }) => y), top: plot.top, bottom: plot.bottom };",
        what,
    )
    voltage, current = plot["dots"]
    assert abs(voltage - current) > 0.05 * (plot["bottom"] - plot["top"])
    assert all(plot["top"] - 1e-6 <= each <= plot["bottom"] + 1e-6 for each in plot["dots"])


def fading(first: float) -> dict[str, Any]:
    return {"first": {"value": first}, "final": {"value": 0}, "amplitudes": [first]}
