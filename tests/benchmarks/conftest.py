"""Gathers what the benchmarks measured, and prints it side by side at the end of the run."""

from __future__ import annotations

import os
from collections.abc import Callable
from dataclasses import dataclass, field
from statistics import median
from time import process_time
from typing import Any

import pytest

# `solve` works in one thread, so the others do too. Read when numpy is first imported, which is after this.
for library in ("OMP", "OPENBLAS", "MKL"):
    os.environ[f"{library}_NUM_THREADS"] = "1"


@dataclass(frozen=True)
class Measured:
    """One network: the median processor time of `solve` from sketch to JSON, and what it was to stay within.

    `others` has the times of what was measured beside it, by name; all are in seconds. `remark` goes under the table.
    """

    network: str
    method: str
    seconds: float
    target: float | None
    others: dict[str, float] = field(default_factory=dict)
    remark: str | None = None


def timed(act: Callable[[], Any], rounds: int) -> tuple[float, Any]:
    """The median of the processor time that something takes, in seconds, and what it gave the last time."""
    took, answer = [], None
    for _ in range(rounds):
        start = process_time()
        answer = act()
        took.append(process_time() - start)
    return median(took), answer


def beside(benchmark: Any, act: Callable[[], Any], solve: Callable[[], Any], rounds: int) -> tuple[float, float]:
    """The medians, in seconds, of something and of solving the same network, which is done once before each round."""
    solving: list[float] = []
    benchmark.pedantic(act, setup=lambda: solving.append(timed(solve, 1)[0]), rounds=rounds, warmup_rounds=1)
    return benchmark.stats.stats.median, median(solving)


MEASURED = pytest.StashKey[list[Measured]]()


@pytest.fixture
def report(pytestconfig):
    """Takes what was measured."""
    return pytestconfig.stash.setdefault(MEASURED, []).append


def pytest_terminal_summary(terminalreporter, config):
    measured = config.stash.get(MEASURED, [])
    if not measured:
        return
    others = list(dict.fromkeys(name for row in measured for name in row.others))
    terminalreporter.section("solve, from sketch to JSON (medians of processor time)")
    terminalreporter.write_line(
        f"{'network':<38}{'method':<8}{'target':>9}{'solve':>10}" + "".join(f"{name:>22}" for name in others)
    )
    for row in measured:
        target = "" if row.target is None else _time(row.target)
        line = f"{row.network:<38}{row.method:<8}{target:>9}{_time(row.seconds):>10}"
        for name in others:
            line += f"{_beside(row.seconds, row.others[name]):>22}" if name in row.others else " " * 22
        terminalreporter.write_line(line.rstrip())
    terminalreporter.write_line("In brackets: how many times as long as `solve` it takes.")
    for row in measured:
        if row.remark:
            terminalreporter.write_line(f"{row.network}: {row.remark}")


def _time(seconds: float) -> str:
    return f"{seconds * 1000:.3g} ms" if seconds < 1 else f"{seconds:.3g} s"


def _beside(own: float, other: float) -> str:
    ratio = other / own
    return f"{_time(other)} ({ratio:.3g})" if ratio >= 1 else f"{_time(other)} (1/{1 / ratio:.3g})"
