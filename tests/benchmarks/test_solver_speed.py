"""How long `solve` takes from sketch to JSON, beside others on the same network in the same run.

The others are given less to do: a matrix that stands ready, and no readings, checks or text to make. Times are of the
processor, which on a quiet machine are those of the clock. Nothing here fails for a slow machine: what is asserted is
that answers agree, that they are exact, and ratios within one run.
"""

from __future__ import annotations

import json
import subprocess
import sys
from collections.abc import Callable
from fractions import Fraction
from pathlib import Path
from statistics import median
from time import process_time

import networkx
import numpy as np
import pytest
import sympy

from solver import solve
from tests.benchmarks.conftest import Measured
from tests.benchmarks.networks import EMF, Network, grid, ladder

CHECKOUT = Path(__file__).resolve().parents[2]
MEGABYTE = 10**6
# The slowest: its time goes up with the fourth power of the joints, and its fractions grow besides.
LARGEST_FOR_LUSOLVE = 84


def fraction(exact) -> Fraction:
    return Fraction(int(exact.p), int(exact.q))


class Beside:
    """Others that are timed in turn with `solve`, so that all meet the same machine; each at most `rounds` times."""

    def __init__(self, calls: dict[str, Callable[[], object]], rounds: dict[str, int]) -> None:
        self.calls = calls
        self.rounds = rounds
        self.times: dict[str, list[float]] = {name: [] for name in calls}

    def turn(self) -> None:
        for name, call in self.calls.items():
            if len(self.times[name]) < self.rounds.get(name, len(self.times[name]) + 1):
                start = process_time()
                call()
                self.times[name].append(process_time() - start)

    def medians(self) -> dict[str, float]:
        return {name: median(times) for name, times in self.times.items()}


def with_numpy(network: Network) -> tuple[Callable[[], np.ndarray], tuple[str, ...]]:
    matrix, side, joints = network.equations()
    numbers, right = np.array(matrix, dtype=float), np.array(side, dtype=float)
    return lambda: np.linalg.solve(numbers, right), joints


def with_networkx(network: Network) -> Callable[[], float]:
    graph = networkx.Graph()
    for a, b, value in network.capacitors:
        graph.add_edge(a, b, conductance=float(value))
    return lambda: networkx.resistance_distance(graph, network.plus, network.minus, "conductance", invert_weight=False)


def with_lusolve(network: Network) -> Callable[[], sympy.Matrix]:
    matrix, side, _ = network.equations()
    exact = sympy.Matrix([[sympy.Rational(entry.numerator, entry.denominator) for entry in row] for row in matrix])
    right = sympy.Matrix([sympy.Rational(entry.numerator, entry.denominator) for entry in side])
    return lambda: exact.LUsolve(right)


@pytest.mark.benchmark(timer=process_time)
@pytest.mark.parametrize(
    ("joints_a_side", "target", "rounds"),
    [
        pytest.param(3, 0.003, 50, id="12 capacitors"),
        pytest.param(7, None, 20, id="84 capacitors"),
        pytest.param(10, 0.015, 20, id="180 capacitors"),
        pytest.param(20, 0.250, 5, id="760 capacitors"),
    ],
)
def test_a_grid_is_solved_exactly(benchmark, report, joints_a_side, target, rounds):
    network = grid(joints_a_side)
    count = len(network.capacitors)
    sketch = network.sketch()
    solution = solve(sketch)
    assert solution.method == "exact"
    assert solution.residual is None

    numpy_solve, joints = with_numpy(network)
    potentials = [fraction(solution.joints[joint].potential.exact) for joint in joints]
    assert numpy_solve() == pytest.approx(np.array(potentials, dtype=float), rel=1e-9)
    distance = with_networkx(network)
    assert distance() * 1e6 * solution.parts["E1"].equivalent.value == pytest.approx(1, rel=1e-9)
    others: dict[str, Callable[[], object]] = {"numpy": numpy_solve, "networkx": distance}
    if count <= LARGEST_FOR_LUSOLVE:
        others["LUsolve"] = lusolve = with_lusolve(network)
        assert [Fraction(int(entry.p), int(entry.q)) for entry in lusolve()] == potentials

    beside = Beside(others, {"LUsolve": 3})
    benchmark.pedantic(lambda: solve(sketch).json(), setup=beside.turn, rounds=rounds, warmup_rounds=1)
    own, times = benchmark.stats.stats.median, beside.medians()
    benchmark.extra_info.update({name: time / own for name, time in times.items()})
    report(Measured(f"{joints_a_side}×{joints_a_side} grid, {count} C", solution.method, own, target, times))
    if count == LARGEST_FOR_LUSOLVE:
        # About 100 times is what it is to reach; other work on the machine sways the ratio by a third.
        assert times["LUsolve"] >= 50 * own


def test_a_ladder_of_ten_thousand_is_solved_in_little_memory(benchmark, report):
    """Solved in a process of its own, five times over, since the peak of memory is the process's."""
    command = [sys.executable, "-m", "tests.benchmarks.ladder_run"]
    told = benchmark.pedantic(lambda: subprocess.check_output(command, cwd=CHECKOUT), rounds=1)
    took = json.loads(told)
    network = ladder(10_000)
    # From the far end: the capacitors across and along, one section after another (in µF).
    total = 0.0
    for (_, _, along), (_, _, across) in zip(network.capacitors[-2::-2], network.capacitors[::-2], strict=True):
        beyond = total + float(across)
        total = 1 / (1 / float(along) + 1 / beyond)
    assert took["equivalent"] == pytest.approx(total / 1e6, rel=1e-9)
    remark = f"at most {took['peak'] / MEGABYTE:.0f} MB (target 400 MB), residual {took['residual']}"
    report(Measured("ladder, 10,000 C", took["method"], median(took["seconds"]), 1.5, {}, remark))
    assert took["peak"] <= 400 * MEGABYTE
    assert took["method"] == "exact" or took["residual"] <= 1e-9


def test_the_equations_given_to_the_others_are_those_of_the_sketch():
    """By hand for the 2×2 grid: the battery from the upper left joint g0_0 to the lower right one."""
    matrix, side, joints = grid(2).equations()
    assert joints == ("g1_0", "g0_1")
    top, bottom, left, right = Fraction("1.0"), Fraction("3.9"), Fraction("1.5"), Fraction("5.6")
    assert matrix == [[top + right, 0], [0, bottom + left]]
    assert side == [top * EMF, left * EMF]
