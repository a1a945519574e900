"""Meshes as boxes: conductors as level bars, branches as upright lines between them, bridging parts level.

The bars and lines are a visibility representation (R. Tamassia and I. G. Tollis, "A unified approach to visibility
representations of planar graphs", Discrete & Computational Geometry 1 (1986) 321–341), with level lines besides.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, replace
from itertools import pairwise

from solver.layout.boxes import Box, hanging_box
from solver.layout.embedding import LEAD, ROOT, Embedding, embed
from solver.layout.levels import Levels, levels_of
from solver.layout.mesh_plan import BARE, Plan, Strand, rows_of
from solver.layout.pen import Pen
from solver.layout.room import LEVEL, UPRIGHT
from solver.layout.tree import Branch, Hanging, Leaf, Line, Mesh, Series

Boxing = Callable[[Branch, int], Box]


@dataclass(frozen=True, kw_only=True)
class MeshBox(Box):
    """A mesh laid out: `rows` of nodes, `columns` of lines, both from 0 on; stretched, its rows move apart evenly."""

    plan: Plan
    rows: Mapping[int, int]
    columns: Mapping[int, int]
    stem: int

    def place(self, pen: Pen, aside: int, start: int, end: int) -> None:
        """Draws bars, upright lines and level lines."""
        left, length, total = aside - self.stem, self.length, end - start

        def down(row: int) -> int:
            return start + row * total // length

        for line, (upright, upper, lower) in self.plan.uprights(self.rows).items():
            self._place_upright(
                pen, line, left + self.columns[line], down(upright.top), down(upright.bottom), upper, lower
            )
        for node, reach in self.plan.bars().items():
            asides = [left + self.columns[line] + beside for line, span in reach for beside in span]
            conductor = node
            if node in self.plan.embedding.crossings:
                conductor = self.plan.bar_of_crossing(node)
            elif node == self.plan.embedding.bottom:
                conductor = self.b
            if asides:
                pen.bar(conductor, down(self.rows[node]), min(asides), max(asides))
        for row in self.plan.levels.rows.values():
            for one, other in pairwise(row):
                self._place_level(pen, left, down(self.rows[one]), one, other)
        for conductor, along, span in ((self.a, start, self.first), (self.b, end, self.last)):
            assert span is not None
            pen.bar(conductor, along, aside + min(0, span[0]), aside + max(0, span[1]))

    def _place_upright(self, pen: Pen, line: int, aside: int, top: int, bottom: int, upper: int, lower: int) -> None:
        plan = self.plan
        strand = plan.strand_of(line)
        through = [node in plan.embedding.crossings and line in plan.through(node) for node in (upper, lower)]
        if not plan.carries_box(line):
            assert strand
            pen.line(strand.branch.b, aside, top, bottom)
            return
        box = plan.boxes[line]
        clear_top, clear_bottom = (BARE if each else 0 for each in through)
        turned = plan.is_turned(line, upper)
        ends = (box.b, box.a) if turned else (box.a, box.b)
        pen.line(ends[0], aside, top, top + clear_top)
        pen.line(ends[1], aside, bottom - clear_bottom, bottom)
        begin, until = top + clear_top, bottom - clear_bottom
        if not box.is_held:
            until = begin + box.length
        box.place(pen.turned(begin, until) if turned else pen, aside, begin, until)

    def _place_level(self, pen: Pen, left: int, along: int, one: int, other: int) -> None:
        plan = self.plan
        line = plan.level_between(one, other)
        low = left + max(self.columns[each] + span[1] for each, span in plan.reach(one))
        high = left + min(self.columns[each] + span[0] for each, span in plan.reach(other))
        box = plan.level_boxes[line]
        across = pen.across(low, along)
        row = pen.spot(low, along)[1] if pen.axis == UPRIGHT else pen.spot(low, along)[0]
        turned = box.a != one
        box.place(across.turned(0, high - low) if turned else across, row, 0, high - low)


def mesh_box(mesh: Mesh, boxing: Boxing) -> Box:
    """The box of a mesh; `boxing` makes the boxes of its branches."""
    branches = dict(enumerate(mesh.branches))
    embedding = embed({number: (branch.a, branch.b) for number, branch in branches.items()}, mesh.a, mesh.b)
    if _leans_left(embedding, branches):
        embedding = embedding.mirrored()
    lead = Line(mesh.b, mesh.b)
    strands = {number: Strand(branches.get(number, lead), pieces) for number, pieces in embedding.strands.items()}
    may_be_level = {
        number: branch for number, branch in branches.items() if _is_row(branch) and len(strands[number].pieces) == 1
    }
    # Without level lines there is always a solution; they are given up if they turn out to contradict the crossings.
    for candidates in (may_be_level, {}):
        box = _laid_out(mesh, embedding, strands, candidates, boxing)
        if box is not None:
            return box
    raise ValueError("a mesh has always a layout of bars and upright lines")


def _laid_out(
    mesh: Mesh, embedding: Embedding, strands: Mapping[int, Strand], may_be_level: Mapping[int, Branch], boxing: Boxing
) -> Box | None:
    levels = levels_of(embedding, may_be_level)
    boxes = {
        strand.pieces[0]: boxing(strand.branch, UPRIGHT)
        for number, strand in strands.items()
        if number not in levels.level and number != LEAD
    }
    level_boxes = {number: boxing(may_be_level[number], LEVEL) for number in levels.level}
    hung, potential = _with_hanging(embedding, levels, mesh.hanging, boxes, boxing)
    levels = Levels(
        potential,
        dict(levels.group) | {node: node for node in potential if node not in levels.group},
        levels.rows,
        levels.level,
    )
    plan = Plan(hung, levels, strands, boxes, level_boxes)
    rows = rows_of(plan)
    columns = plan.program(rows).solved()
    if columns is None:
        return None
    return _box(mesh, plan, rows, columns)


def _box(mesh: Mesh, plan: Plan, rows: Mapping[int, int], columns: Mapping[int, int]) -> MeshBox:
    uprights = plan.uprights(rows)
    spans = []
    for node in (plan.embedding.top, plan.embedding.bottom):
        asides = [columns[line] + beside for line, span in plan.reach(node) for beside in span]
        spans.append((min(asides), max(asides)))
    low, high = max(low for low, _ in spans), min(high for _, high in spans)
    stem = (low + high) // 2
    return MeshBox(
        a=mesh.a,
        b=mesh.b,
        before=stem - min(columns[line] - upright.before for line, (upright, _, _) in uprights.items()),
        after=max(columns[line] + upright.after for line, (upright, _, _) in uprights.items()) - stem,
        length=rows[plan.embedding.bottom],
        first=(spans[0][0] - stem, spans[0][1] - stem),
        last=(spans[1][0] - stem, spans[1][1] - stem),
        plan=plan,
        rows=rows,
        columns=columns,
        stem=stem,
    )


def _is_row(branch: Branch) -> bool:
    """Whether a branch is parts one after the other, which can be drawn level."""
    return isinstance(branch, Leaf) or (isinstance(branch, Series) and all(isinstance(m, Leaf) for m in branch.members))


def _with_hanging(
    embedding: Embedding,
    levels: Levels,
    hanging: Mapping[int, Sequence[Hanging]],
    boxes: dict[int, Box],
    boxing: Boxing,
) -> tuple[Embedding, dict[int, int]]:
    """The embedding with a line for everything that hangs, on the right of what else leads down from its node.

    What hangs ends below its node and above the next lower one, and so above all that it may meet. The potentials that
    come back are whole numbers in the order of those that there were, with room between any two for all that hangs.
    """
    around = {node: list(lines) for node, lines in embedding.around.items()}
    hung = replace(embedding, around=around, ends=dict(embedding.ends), undrawn=set(embedding.undrawn))
    rank = {value: place for place, value in enumerate(sorted(set(levels.potential.values())))}
    room = sum(map(len, hanging.values()))
    potential = {node: rank[value] << room for node, value in levels.potential.items()}
    for node, bunch in hanging.items():
        for each in sorted(bunch, key=lambda hanging: hanging.order()):
            line, end = hung.hang(node, _beside(hung, levels, potential, node), potential)
            boxes[line] = hanging_box(each, boxing(each.branch, UPRIGHT))
            onward = min(each for each in potential.values() if each > potential[node])
            potential[end] = (potential[node] + onward) // 2
    return hung, potential


def _beside(embedding: Embedding, levels: Levels, potential: Mapping[int, float], node: int) -> int:
    """The line at a node that comes, clockwise, first after what comes from above and from the right."""
    lines = embedding.around[node]
    ups = [line not in levels.level and potential[embedding.other(line, node)] < potential[node] for line in lines]
    downs = [line not in levels.level and potential[embedding.other(line, node)] > potential[node] for line in lines]
    for place, line in enumerate(lines):
        if downs[place] and not downs[place - 1]:
            return line
    # No line leads down: what hangs comes where those from above have ended, before the line on the left if any.
    for place, line in enumerate(lines):
        if ups[place - 1] and not ups[place]:
            return _past_right(embedding, levels, node, line)
    return next(line for place, line in enumerate(lines) if ups[place])


def _past_right(embedding: Embedding, levels: Levels, node: int, line: int) -> int:
    """From the first level line clockwise of those from above: the one after it where it leads to the right."""
    row = next(row for row in levels.rows.values() if node in row)
    lines = embedding.around[node]
    place = row.index(node)
    right = row[place + 1] if place + 1 < len(row) else None
    if right is not None and embedding.other(line, node) == right:
        return lines[(lines.index(line) + 1) % len(lines)]
    return line


def _leans_left(embedding: Embedding, branches: Mapping[int, Branch]) -> bool:
    """Whether the embedding has the branches in the opposite order of the sheet, as far as can be told."""
    levels = levels_of(embedding, ())
    face_of, faces = embedding.faces()
    outside = face_of[ROOT, embedding.bottom]
    branch_of = {
        piece: branches[number] for number, pieces in embedding.strands.items() if number != LEAD for piece in pieces
    }
    sides: list[tuple[list[Branch], list[Branch]]] = [([], []) for _ in faces]
    for line, branch in branch_of.items():
        upper = levels.above(embedding, line)
        sides[face_of[line, upper]][0].append(branch)
        sides[face_of[line, embedding.other(line, upper)]][1].append(branch)
    lean = 0
    for face, (lefts, rights) in enumerate(sides):
        if face == outside:
            continue
        for left in lefts:
            for right in rights:
                lean += (left.order() < right.order()) - (left.order() > right.order())
    return lean < 0
