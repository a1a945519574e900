"""What is to be drawn of a mesh: which lines are upright, which level, how long each is at least, what keeps apart."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from itertools import pairwise
from typing import Final

from solver.layout.boxes import Box, Span
from solver.layout.columns import Bar, Program, Upright
from solver.layout.embedding import ROOT, Embedding
from solver.layout.levels import Levels
from solver.layout.tree import Branch

BARE: Final = 2
"""Length of a piece of line without a part, and what a part keeps clear of a crossing."""
_BESIDE_LEVEL: Final = (0, 9, 10)
"""Length of lines of which no end, one or both are where level lines end: the labels of these have to have room."""
_LEVEL: Final = 12
"""Least length of a level line."""


@dataclass(frozen=True)
class Strand:
    """A branch and the pieces of line it was cut into by crossings, from its `a` to its `b`.

    Its box is in the first piece, so the others belong to conductor `b`.
    """

    branch: Branch
    pieces: Sequence[int]


@dataclass
class Plan:
    """What is to be drawn of a mesh, before rows and columns are known."""

    embedding: Embedding
    levels: Levels
    strands: Mapping[int, Strand]
    boxes: dict[int, Box]
    level_boxes: Mapping[int, Box]

    def __post_init__(self) -> None:
        self._strand_of = {piece: strand for strand in self.strands.values() for piece in strand.pieces}

    def strand_of(self, line: int) -> Strand | None:
        """The strand that a line is a piece of; None for what hangs."""
        return self._strand_of.get(line)

    def carries_box(self, line: int) -> bool:
        """Whether the line is more than bare wire."""
        return line in self.boxes

    def is_turned(self, line: int, upper: int) -> bool:
        """Whether a line's box begins below."""
        strand = self._strand_of.get(line)
        return strand is not None and self.embedding.ends[line][0] != upper

    def drawn(self) -> list[int]:
        """The upright lines."""
        return [line for line in self.embedding.ends if self._is_upright(line)]

    def lines_at(self, node: int) -> list[int]:
        """The upright lines that end at a node."""
        return [line for line in self.embedding.around[node] if self._is_upright(line)]

    def _is_upright(self, line: int) -> bool:
        return line not in self.embedding.undrawn and line not in self.levels.level

    def through(self, crossing: int) -> tuple[int, int]:
        """The two pieces that lead straight down through a crossing."""
        lines = self.lines_at(crossing)
        for one, other in ((lines[0], lines[2]), (lines[1], lines[3])):
            if (self.levels.above(self.embedding, one) == crossing) != (
                self.levels.above(self.embedding, other) == crossing
            ):
                return one, other
        raise ValueError("a crossing has lines on both sides")

    def bar_of_crossing(self, crossing: int) -> int:
        """The conductor that leads level through a crossing."""
        line = next(line for line in self.lines_at(crossing) if line not in self.through(crossing))
        return self._strand_of[line].branch.b

    def bars(self) -> dict[int, list[tuple[int, Span]]]:
        """The lines that each bar reaches over, and from where to where aside of these."""
        found = {}
        for node in self.embedding.around:
            reach = self.reach(node)
            if node in self.embedding.crossings:
                reach = [each for each in reach if each[0] not in self.through(node)]
            found[node] = reach
        return found

    def reach(self, node: int) -> list[tuple[int, Span]]:
        """The upright lines at a node, and from where to where aside of each its box meets the node."""
        found = []
        for line in self.lines_at(node):
            span: Span | None = (0, 0)
            if line in self.boxes and node not in self.embedding.crossings:
                box = self.boxes[line]
                span = box.first if node == box.a else box.last if node == box.b else None
            if span is not None:
                found.append((line, span))
        return found

    def level_between(self, one: int, other: int) -> int:
        """The level line between two nodes next to each other in a row."""
        return next(line for line in self.levels.level if set(self.embedding.ends[line]) == {one, other})

    def length(self, line: int) -> int:
        """The least length of an upright line."""
        box = self.boxes.get(line)
        if box is None:
            return BARE
        length = box.length
        in_rows = {node for row in self.levels.rows.values() for node in row}
        ends = self.embedding.ends[line]
        beside = sum(node in in_rows for node in ends)
        return max(length, _BESIDE_LEVEL[beside]) + BARE * sum(node in self.embedding.crossings for node in ends)

    def uprights(self, rows: Mapping[int, int]) -> dict[int, tuple[Upright, int, int]]:
        """Every upright line in its rows, with its upper and its lower node."""
        found = {}
        for line in self.drawn():
            upper = self.levels.above(self.embedding, line)
            lower = self.embedding.other(line, upper)
            box = self.boxes.get(line)
            before, after = (box.before, box.after) if box else (1, 1)
            found[line] = Upright(rows[upper], rows[lower], before, after), upper, lower
        return found

    def program(self, rows: Mapping[int, int]) -> Program:
        """The conditions on the columns."""
        embedding = self.embedding
        face_of, faces = embedding.faces()
        outside = face_of[ROOT, embedding.bottom]
        uprights = self.uprights(rows)
        left_of: list[list[int]] = [[] for _ in faces]
        right_of: list[list[int]] = [[] for _ in faces]
        for line, (_, upper, lower) in uprights.items():
            # Walked downwards, what is on the left hand is on the right of the sheet.
            left_of[face_of[line, upper]].append(line)
            right_of[face_of[line, lower]].append(line)
        apart: dict[tuple[int, int], int] = {}
        for face in range(len(faces)):
            if face == outside:
                continue
            for left in left_of[face]:
                for right in right_of[face]:
                    one, other = uprights[left][0], uprights[right][0]
                    if left != right and one.beside(other):
                        apart[left, right] = one.after + other.before
        levels = [
            (one, other, max(_LEVEL, self.level_boxes[self.level_between(one, other)].length))
            for row in self.levels.rows.values()
            for one, other in pairwise(row)
        ]
        equal = [self.through(node) for node in sorted(embedding.crossings)]
        bars = {
            node: Bar(tuple(reach), node in (embedding.top, embedding.bottom))
            for node, reach in self.bars().items()
            if reach
        }
        return Program(list(uprights), apart, equal, bars, levels)


def rows_of(plan: Plan) -> dict[int, int]:
    """How far down each node lies: as near to the middle between earliest and latest as the lines allow."""
    levels, embedding = plan.levels, plan.embedding
    below: dict[int, list[tuple[int, int]]] = {}
    above: dict[int, list[tuple[int, int]]] = {}

    def order(upper: int, lower: int, length: int) -> None:
        one, other = levels.group[upper], levels.group[lower]
        below.setdefault(one, []).append((other, length))
        above.setdefault(other, []).append((one, length))

    for line in embedding.ends:
        if line == ROOT or line in levels.level:
            continue
        upper = levels.above(embedding, line)
        order(upper, embedding.other(line, upper), plan.length(line))
    nodes = sorted(dict.fromkeys(levels.group.values()), key=lambda node: levels.potential[node])
    first = _longest(nodes, above)
    total = first[levels.group[embedding.bottom]]
    last = {node: total - far for node, far in _longest(nodes[::-1], below).items()}
    found: dict[int, int] = {}
    for node in nodes:
        least = max((found[upper] + length for upper, length in above.get(node, ())), default=0)
        found[node] = max(least, (first[node] + last[node]) // 2)
    return {node: found[group] for node, group in levels.group.items()}


def _longest(nodes: Sequence[int], before: Mapping[int, Sequence[tuple[int, int]]]) -> dict[int, int]:
    """The longest way to each node; nodes come after those before them."""
    found: dict[int, int] = {}
    for node in nodes:
        found[node] = max((found[other] + length for other, length in before.get(node, ())), default=0)
    return found
