"""Holds the steps of a worked solution against the nodal solution of the same sketch, exactly, at every step."""

from __future__ import annotations

from collections.abc import Iterator

from solver import Sketch, Solution
from solver.readings import Reading
from solver.schema import require_sketch
from solver.solving import SolvedNetwork, solution_of, solve, solve_network
from solver.steps import steps_of
from solver.worked import Step, WorkedSolution


def worked(sketch: Sketch, way: str | None = None) -> tuple[Solution, WorkedSolution]:
    """A sketch's solution and its worked solution."""
    solved = solve_network(sketch)
    solution = solution_of(solved)
    return solution, steps_of(solved, solution, way)


def every_way(sketch: Sketch) -> Iterator[tuple[Solution, WorkedSolution]]:
    """The worked solution by each way that is offered."""
    solved: SolvedNetwork = solve_network(sketch)
    solution = solution_of(solved)
    first = steps_of(solved, solution)
    yield solution, first
    for way in first.ways[1:]:
        yield solution, steps_of(solved, solution, way.way)


def told(solution: Solution, key: str) -> Reading | None:
    """What the solution reads under a step's key; None for what is no part of the sheet."""
    name, _, quantity = key.rpartition(".")
    if name == "total":
        return getattr(solution.totals, quantity)
    if name.startswith("joint "):
        return solution.joints[name.removeprefix("joint ")].potential
    if name in solution.parts:
        readings = solution.parts[name]
        return getattr(readings, quantity) if quantity not in ("capacitance", "resistance") else None
    return None


def assert_agrees(sketch: Sketch, solution: Solution, steps: tuple[Step, ...]) -> dict[str, Reading]:
    """Every reading of a step that the sheet has as well is the same there; gives all of them back."""
    found: dict[str, Reading] = {}
    for step in steps:
        for key, reading in step.readings.items():
            own = told(solution, key)
            if own is not None:
                assert reading == own, f"{step.title}: {key} is {reading.text}, on the sheet {own.text}"
            found[key] = reading
        assert_told_well(sketch, step)
    return found


def assert_told_well(sketch: Sketch, step: Step) -> None:
    """A step has its sentences, names only what is on the sheet, and its drawing is a sketch on the sheet's joints."""
    names = {part.name for part in sketch.parts}
    assert step.title
    assert step.reason.endswith(".")
    assert "  " not in step.reason
    assert set(step.parts) <= names
    if step.sketch is not None:
        require_sketch(step.sketch.document())
        for joint, place in step.sketch.joints.items():
            if joint in sketch.joints:
                assert place == sketch.joints[joint]
        own = {part.name: part for part in sketch.parts}
        for part in step.sketch.parts:
            if part.name in own:
                assert part == own[part.name]


def assert_equivalents_agree(sketch: Sketch, steps: tuple[Step, ...]) -> None:
    """What each group became is what the nodal equations find between its ends for the parts in it."""
    parts = {part.name: part for part in sketch.parts}
    for step in steps:
        if step.kind not in ("series", "parallel"):
            continue
        [(key, reading)] = step.readings.items()
        name, _, quantity = key.partition(".")
        ends = next((part.start, part.end) for part in step.sketch.parts if part.name == name)
        joining = [part for part in sketch.parts if part.kind == "wire" or part.closed]
        alone = Sketch.of(*(parts[own] for own in step.parts), *joining, probes=[ends])
        # As text, because functions of different sets of symbols do not compare.
        assert getattr(solve(alone).probes[0], quantity).told()[0] == reading.told()[0]
