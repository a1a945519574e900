"""Large and tangled networks are laid out too, in so many looks and no more, whatever runs into what."""

from __future__ import annotations

import random
from heapq import heappop

import pytest

from solver import Sketch, battery, resistor, solve, two_way_switch
from solver.layout import levels, two_way
from solver.tidy import tidy
from tests.solver.drawn import mistakes, same_network
from tests.solver.test_two_way_switch import TO_TIDY


def tangle(seed: int, parts: int, joints: int, switches: int = 0) -> Sketch:
    """Resistors between any two joints, or with both ends at one, and two-way switches among them."""
    chance = random.Random(seed)

    def ends(count: int) -> list[str]:
        return [f"n{chance.randrange(joints)}" for _ in range(count)]

    return Sketch.of(
        *(resistor(f"R{number}", f"{number + 1} Ω", *ends(2)) for number in range(parts)),
        *(two_way_switch(f"S{number}", *ends(3)) for number in range(switches)),
    )


# Several parts hang at one node of a mesh, the next lower node of which is hardly lower.
@pytest.mark.parametrize(
    ("seed", "parts", "joints"),
    [(5, 40, 4), (9, 40, 4), (1, 60, 6), (9, 60, 6), (11, 100, 8), (7, 150, 12), (11, 150, 12), (0, 150, 20)],
)
def test_a_large_mesh_with_parts_that_hang_is_laid_out(seed: int, parts: int, joints: int):
    sketch = tangle(seed, parts, joints)
    tidied = tidy(sketch)
    assert same_network(sketch, tidied)
    assert mistakes(tidied) == []


def test_a_line_between_nodes_at_one_potential_still_leads_down(monkeypatch: pytest.MonkeyPatch):
    """Two parts side by side in the middle of a bridge cannot be level; with all lines alike no current is in them."""
    monkeypatch.setattr(levels, "_UNEVEN", 0)
    pairs = ["ab", "ac", "bd", "cd", "bc", "bc"]
    sketch = Sketch.of(
        battery("E1", "9 V", "a", "d"), *(resistor(f"R{n}", "1 Ω", *pair) for n, pair in enumerate(pairs))
    )
    tidied = tidy(sketch)
    assert same_network(sketch, tidied)
    assert mistakes(tidied) == []


@pytest.mark.parametrize("seed", range(2))
def test_lines_to_two_way_switches_are_not_sought_without_end(monkeypatch: pytest.MonkeyPatch, seed: int):
    looks = 0

    def counted(queue):
        nonlocal looks
        looks += 1
        assert looks < 300_000  # 200,000 in all, and then 16 times 1,000 for each switch
        return heappop(queue)

    monkeypatch.setattr(two_way, "heappop", counted)
    sketch = tangle(seed, 40, 30, switches=6)
    tidied = tidy(sketch)
    assert {part.name for part in sketch.parts} <= {part.name for part in tidied.parts}


@pytest.mark.parametrize("which", TO_TIDY)
def test_with_no_time_to_look_for_the_best_line_to_a_two_way_switch_another_one_is_drawn(
    monkeypatch: pytest.MonkeyPatch, which: str
):
    monkeypatch.setattr(two_way, "_LOOKS", 0)
    sketch = TO_TIDY[which]
    tidied = tidy(sketch)
    old, new = solve(sketch), solve(tidied)
    for part in sketch.parts:
        if part.kind != "wire":
            assert new.parts[part.name] == old.parts[part.name]
