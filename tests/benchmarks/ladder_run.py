"""Solves a ladder of 10,000 capacitors in a process of its own, and prints what it took as JSON."""

from __future__ import annotations

import json
import resource
import sys
from time import process_time

from solver import solve
from tests.benchmarks.networks import grid, ladder

CAPACITORS = 10_000


def main() -> None:
    solve(grid(2).sketch())  # what a server has loaded already
    sketch = ladder(CAPACITORS).sketch()
    seconds = []
    for _ in range(5):
        start = process_time()
        solution = solve(sketch)
        length = len(solution.json())
        seconds.append(process_time() - start)
    peak = resource.getrusage(resource.RUSAGE_SELF).ru_maxrss * (1 if sys.platform == "darwin" else 1024)
    print(
        json.dumps(
            {
                "seconds": seconds,
                "peak": peak,
                "length": length,
                "method": solution.method,
                "residual": solution.residual,
                "equivalent": solution.parts["E1"].equivalent.value,
            }
        )
    )


if __name__ == "__main__":
    main()
