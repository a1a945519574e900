"""From a tree of branches to boxes: which way each branch is drawn."""

from __future__ import annotations

from solver.layout.boxes import Box, box_of_end, hanging_box, parallel_box, series_box
from solver.layout.ladders import LadderBox, ladder_box, padded, sections_of
from solver.layout.meshes import mesh_box
from solver.layout.room import UPRIGHT
from solver.layout.tree import Branch, Hanging, Mesh, Parallel, Series


def box_of(branch: Branch, axis: int = UPRIGHT) -> Box:
    """The box of a branch that is drawn along an axis. Meshes and what hangs are for upright ones only."""
    match branch:
        case Series(members=members, stops=stops):
            return series_box([box_of(member, axis) for member in members], stops)
        case Parallel():
            box = side_by_side(branch, axis)
            return padded(box) if isinstance(box, LadderBox) else box
        case Mesh():
            return mesh_box(branch, box_of)
        case Hanging(branch=held):
            return hanging_box(branch, box_of(held, axis))
        case _:
            return box_of_end(branch, axis)


def side_by_side(parallel: Parallel, axis: int = UPRIGHT) -> Box:
    """The box of branches side by side, as a ladder where they make one."""
    sections = sections_of(parallel) if axis == UPRIGHT else None
    if sections:
        return ladder_box(sections, box_of)
    return parallel_box(parallel.a, parallel.b, [box_of(member, axis) for member in parallel.in_order(axis)])
