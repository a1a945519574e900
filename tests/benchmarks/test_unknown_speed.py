"""How long a value “?” takes to be found in networks of 30 parts, beside solving the same network with the value in it.

The asked-for 20 ms are printed as the target; what is asserted is a ratio within the run.
"""

from __future__ import annotations

from dataclasses import replace
from time import process_time

import pytest

from solver import Sketch, battery, capacitor, resistor
from solver.sketch import Requirement
from solver.solving import solve
from solver.unknown import find
from tests.benchmarks.conftest import Measured, beside
from tests.benchmarks.networks import E12, grid, ladder

TARGET = 0.020
ROUNDS = 30


def marked(sketch: dict[str, object], name: str, of: str) -> Sketch:
    """The network with one value taken away, and the voltage of another part, to three figures, to find it from."""
    read = Sketch.read(sketch)
    reading, value = f"{of}.voltage", solve(read).parts[of].voltage.text.replace("−", "")
    parts = tuple(part._replace(value="?") if part.name == name else part for part in read.parts)
    return replace(read, parts=parts, required=(Requirement(reading, value),))


def divider(count: int) -> Sketch:
    """A row of resistors with one capacitor in the middle: four fifths of its end after 45 ms."""
    resistors = [
        resistor(f"R{number}", "?" if number == 3 else f"{E12[number % 12]} kΩ", f"j{number}", f"j{number + 1}")
        for number in range(count - 1)
    ]
    parts = [battery("E1", "12 V", "j0", f"j{count - 1}"), *resistors, capacitor("C1", "1 µF", f"j{count // 2}", "j0")]
    return Sketch.of(*parts, required=[Requirement("C1.voltage", "80 %", "45 ms")])


def sections(count: int) -> Sketch:
    """A ladder of as many resistors along as capacitors across, so of as many time constants."""
    parts = [battery("E1", "12 V", "j0", "0")]
    for n in range(count):
        resistance = "?" if n == 0 else f"{E12[7 * n % 12]} kΩ"
        parts.append(resistor(f"R{n}", resistance, f"j{n}", f"j{n + 1}"))
        parts.append(capacitor(f"C{n}", f"{E12[5 * n % 12]} µF", f"j{n + 1}", "0"))
    return Sketch.of(*parts, required=[Requirement(f"C{count - 1}.voltage", "50 %", "1 s")])


@pytest.mark.benchmark(timer=process_time)
@pytest.mark.parametrize(
    ("name", "sketch"),
    [
        pytest.param("ladder, 30 C", marked(ladder(30).sketch(), "C7", "C7"), id="ladder of 30"),
        pytest.param("4×4 grid, 24 C", marked(grid(4).sketch(), "C7", "C9"), id="grid of 24"),
        pytest.param("30 R and C, after 45 ms", divider(29), id="in time"),
    ],
)
def test_an_unknown_is_found_in_a_few_milliseconds(benchmark, report, name, sketch):
    answer = find(sketch).sketch
    own, solving = beside(benchmark, lambda: find(sketch), lambda: solve(answer).json(), ROUNDS)
    report(Measured(f"unknown: {name}", "exact", own, TARGET, {"solve": solving}))
    assert own < 40 * solving


@pytest.mark.benchmark(timer=process_time)
def test_with_several_time_constants_values_are_tried(benchmark, report):
    """No formula leads to the value, so nearly a hundred values are tried, each in a network solved by itself."""
    sketch = sections(14)
    answer = find(sketch).sketch
    own, solving = beside(benchmark, lambda: find(sketch), lambda: solve(answer).json(), rounds=3)
    remark = "no formula leads there: the network is worked out anew for each of nearly a hundred values"
    report(Measured("unknown: 28 R and C, after 1 s", "tried", own, None, {"solve": solving}, remark))
    assert own < 800 * solving
