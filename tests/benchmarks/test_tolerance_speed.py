"""How long the worst cases of all readings take: every corner of twelve parts, and a climb in a network of sixty.

Nothing here fails for a slow machine: what is asserted is how much less than solving every corner it takes in one run.
"""

from __future__ import annotations

from statistics import median
from time import process_time

import pytest

from solver import solve
from solver.tolerance import spreads_of
from tests.benchmarks.conftest import Measured
from tests.solver.test_tolerance import mesh, with_values


@pytest.mark.parametrize(("count", "joints", "target"), [(12, 7, 0.2), (60, 30, 2.0)])
def test_worst_cases_take_far_less_than_solving_every_corner(count, joints, target, report):
    sketch = mesh(count, joints, seed=1)
    nominal = with_values(sketch, {})
    spreads_of(mesh(4, 3, seed=1))  # loads what is loaded once
    times, single = [], []
    for _ in range(5):
        start = process_time()
        found = spreads_of(sketch)
        times.append(process_time() - start)
        start = process_time()
        solve(nominal)
        single.append(process_time() - start)
    report(Measured(f"{count} tolerances", "exact", median(times), target, {"one solve": median(single)}))
    assert found.proved == (count <= 12)
    assert median(times) < median(single) * min(2**count, 10_000) / 4
