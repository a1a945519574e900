"""How long the steps take beside solving the same network, and steps and tiles together: from the solved network to the
document.

The 30 ms asked for steps and tiles of 30 parts are printed as the target, of which the steps may take two thirds; what
is asserted is a ratio within the run.
"""

from __future__ import annotations

from time import process_time

import pytest

from solver import Sketch, battery, capacitor, resistor
from solver.sketch import Part
from solver.solving import solution_of, solve_network
from solver.steps import steps_of
from solver.tiles import tiles_of
from tests.benchmarks.conftest import Measured, beside
from tests.benchmarks.networks import E12, grid, ladder

TOGETHER = 0.030
TARGET = 0.020
ROUNDS = 30


def letters(count: int) -> list[Part]:
    """A ladder in one symbol: capacitors of C, 2C and 3C."""
    parts = [battery("E1", "V_0", "a0", "0")]
    for section in range(count // 2):
        parts.append(capacitor(f"C{2 * section + 1}", ("C", "2C", "3C")[section % 3], f"a{section}", f"a{section + 1}"))
        parts.append(capacitor(f"C{2 * section + 2}", "C", f"a{section + 1}", "0"))
    return parts


def divided(count: int) -> list[Part]:
    """A chain of resistors, with two capacitors in series beside every second one."""
    parts = [battery("E1", "12 V", "a0", "0", internal="1 Ω")]
    for place in range(count // 2):
        end = "0" if place == count // 2 - 1 else f"a{place + 1}"
        parts.append(resistor(f"R{place + 1}", f"{E12[place % 12]} Ω", f"a{place}", end))
        if place % 2:
            parts.append(capacitor(f"C{place}", "1 µF", f"a{place}", f"m{place}"))
            parts.append(capacitor(f"C{place + 100}", "2 µF", f"m{place}", end))
    return parts


@pytest.mark.benchmark(timer=process_time)
@pytest.mark.parametrize(
    ("name", "sketch", "way"),
    [
        pytest.param("ladder, 30 C", Sketch.read(ladder(30).sketch()), "rules", id="ladder of 30"),
        pytest.param("ladder, 30 C in letters", Sketch.of(*letters(30)), "rules", id="ladder of 30 in letters"),
        pytest.param("divider, 30 R and C", Sketch.of(*divided(30)), "rules", id="30 of both sorts"),
        pytest.param("4×4 grid, 24 C, star", Sketch.read(grid(4).sketch()), "star", id="24 by delta and star"),
        pytest.param("4×4 grid, 24 C", Sketch.read(grid(4).sketch()), None, id="24 by the first way"),
    ],
)
def test_steps_are_told_in_a_few_milliseconds(benchmark, report, name, sketch, way):
    solved = solve_network(sketch)
    solution = solution_of(solved)
    worked = steps_of(solved, solution, way)
    assert worked.steps
    assert way in (None, worked.way)
    own, solving = beside(
        benchmark,
        lambda: steps_of(solved, solution, way).document(),
        lambda: solution_of(solve_network(sketch)).json(),
        ROUNDS,
    )
    report(Measured(f"steps: {name}", "exact", own, TARGET, {"solve": solving}))
    assert own < 30 * solving


@pytest.mark.benchmark(timer=process_time)
@pytest.mark.parametrize(
    ("name", "sketch"),
    [
        pytest.param("ladder, 30 C", Sketch.read(ladder(30).sketch()), id="ladder of 30"),
        pytest.param("4×4 grid, 24 C", Sketch.read(grid(4).sketch()), id="24 in a grid"),
        pytest.param("divider, 30 R and C", Sketch.of(*divided(30)), id="30 of both sorts"),
    ],
)
def test_steps_and_tiles_together_stay_within_what_a_dragged_value_allows(benchmark, report, name, sketch):
    solved = solve_network(sketch)
    solution = solution_of(solved)
    own, solving = beside(
        benchmark,
        lambda: (steps_of(solved, solution).document(), tiles_of(solved, solution).document()),
        lambda: solution_of(solve_network(sketch)).json(),
        ROUNDS,
    )
    report(Measured(f"steps and tiles: {name}", "exact", own, TOGETHER, {"solve": solving}))
    assert own < 30 * solving
