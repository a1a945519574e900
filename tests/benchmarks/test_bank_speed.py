"""How long the bank planner takes to its first answers, and how long a slice of its search is.

The asked-for second for a box of twenty kinds is printed as the target; what is asserted are ratios within the run.
"""

from __future__ import annotations

from time import process_time

import pytest

from solver.bank import Place, Wish, plan
from solver.bank.box import bounds, table
from solver.bank.search import STEPS, look
from tests.benchmarks.conftest import Measured, timed
from tests.solver.banks import row, wish

TARGET = 1.0
VALUES = (100, 150, 220, 330, 470, 680, 1000, 1500, 2200, 3300)


def box(kinds: int) -> dict[str, object]:
    """So many kinds, each in two ratings, a hundred of each."""
    others = {"tolerance": "20 %", "leakage": "0.2 mA", "price": "0.4"}
    rows = [row(f"{VALUES[n % 10]} µF", f"{(16, 25)[n // 10]} V", 100, **others) for n in range(kinds)]
    return wish(
        *rows, voltage="60 V", capacitance="400 µF", derating="80 %", downTo="5 V", within="60 s", resistors="5 %"
    )


@pytest.mark.benchmark(timer=process_time)
def test_first_answers_over_twenty_kinds_take_no_longer_than_their_number(benchmark, report):
    few, many = box(5), box(20)
    assert len(plan(Wish.read(many))["banks"]) == 60
    beside, _ = timed(lambda: plan(Wish.read(few)), 7)
    benchmark.pedantic(lambda: plan(Wish.read(many)), rounds=7, warmup_rounds=1)
    seconds = benchmark.stats.stats.median
    report(Measured("bank planner, 20 kinds", "exact", seconds, TARGET, {"5 kinds": beside}))
    assert seconds < 20 * beside


@pytest.mark.benchmark(timer=process_time)
def test_a_slice_of_the_search_takes_as_long_as_its_steps(benchmark, report):
    primes = (101, 103, 107, 109, 113, 127, 131, 137, 139, 149, 151, 157, 163, 167, 173, 179)
    asked = Wish.read(wish(*(row(f"{number} µF", "30 V", 2) for number in primes), voltage="50 V", capacitance="1 mF"))
    begin = Place(next(count for count, most in enumerate(bounds(asked)) if most >= asked.capacitance))
    begin = look(asked, begin, None, 10 * STEPS).place or begin
    table(asked, begin.parts)
    beside, _ = timed(lambda: look(asked, begin, None, STEPS // 8), 5)
    benchmark.pedantic(lambda: look(asked, begin, None), rounds=5, warmup_rounds=1)
    seconds = benchmark.stats.stats.median
    report(Measured("bank search, one slice", "exact", seconds, 0.5, {"an eighth of it": beside}))
    assert seconds < 30 * beside
