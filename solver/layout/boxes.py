"""Branches of a network as boxes: how much room each takes, and how it is drawn in the room that it gets.

A box lies along a line, its stem, from its conductor `a` to `b`. Series follow one another on one stem; branches side
by side have equal beginnings and ends, each held by a bar across.
"""

from __future__ import annotations

from abc import ABC, abstractmethod
from collections.abc import Sequence
from dataclasses import dataclass
from itertools import pairwise
from typing import Final

from solver.layout.pen import Pen
from solver.layout.room import UPRIGHT, room
from solver.layout.tree import Hanging, Lead, Leaf, Line

Span = tuple[int, int]

_LEAD: Final = 2
_CLEAR: Final = 2
"""Steps that what hangs keeps from what is below it."""
_SNAP: Final = 2
"""A stem that would come to lie so near to a branch's own is put on it, rather than beside it."""


@dataclass(frozen=True, kw_only=True)
class Box(ABC):
    """A branch with its room: `before` and `after` aside of its stem, and the least `length` along it, in steps.

    `first` and `last` say from where to where, aside of the stem, its lines meet its beginning and its end; None where
    they do not.
    """

    a: int
    b: int
    before: int
    after: int
    length: int
    first: Span | None = (0, 0)
    last: Span | None = (0, 0)

    @abstractmethod
    def place(self, pen: Pen, aside: int, start: int, end: int) -> None:
        """Draws it with its stem at `aside`, from `start` to `end`."""

    @property
    def is_held(self) -> bool:
        """Whether both its ends are held."""
        return self.first is not None and self.last is not None


@dataclass(frozen=True, kw_only=True)
class PartBox(Box):
    """One part."""

    leaf: Leaf

    def place(self, pen: Pen, aside: int, start: int, end: int) -> None:
        """Draws the part from end to end."""
        pen.part(self.leaf.link, self.a, aside, start, end)


@dataclass(frozen=True, kw_only=True)
class LineBox(Box):
    """A wire between two places of one conductor."""

    def place(self, pen: Pen, aside: int, start: int, end: int) -> None:
        """Draws the wire."""
        pen.line(self.a, aside, start, end)


@dataclass(frozen=True, kw_only=True)
class LeadBox(Box):
    """A short wire to an open end."""

    def place(self, pen: Pen, aside: int, start: int, end: int) -> None:
        """Draws the wire and its end."""
        pen.line(self.a, aside, start, end)
        pen.open_end(self.a, aside, end)


@dataclass(frozen=True, kw_only=True)
class SeriesBox(Box):
    """Boxes one after the other, each with whether it is turned round."""

    members: tuple[tuple[Box, bool], ...]

    def place(self, pen: Pen, aside: int, start: int, end: int) -> None:
        """Draws them one after the other; room to spare is shared out."""
        spare, growing = end - start - self.length, len(self.members)
        at, given = start, 0
        for place, (box, turned) in enumerate(self.members):
            more = spare * (place + 1) // growing
            until = at + box.length + more - given
            at, given, begin = until, more, at
            box.place(pen.turned(begin, until) if turned else pen, aside, begin, until)


@dataclass(frozen=True, kw_only=True)
class ParallelBox(Box):
    """Boxes side by side, each with whether it is turned round and how far aside of the stem its own stem is."""

    members: tuple[tuple[Box, bool, int], ...]

    def place(self, pen: Pen, aside: int, start: int, end: int) -> None:
        """Draws them between two bars; what hangs keeps its length."""
        for box, turned, beside in self.members:
            if box.is_held:
                box.place(pen.turned(start, end) if turned else pen, aside + beside, start, end)
            elif turned:
                box.place(pen.turned(end - box.length, end), aside + beside, end - box.length, end)
            else:
                box.place(pen, aside + beside, start, start + box.length)
        for conductor, along, span in ((self.a, start, self.first), (self.b, end, self.last)):
            if span is not None:
                pen.bar(conductor, along, aside + min(0, span[0]), aside + max(0, span[1]))


@dataclass(frozen=True, kw_only=True)
class HangingBox(Box):
    """A box held at its beginning only."""

    box: Box
    turned: bool

    def place(self, pen: Pen, aside: int, start: int, end: int) -> None:
        """Draws it from its beginning on, as long as it is."""
        until = start + self.box.length
        self.box.place(pen.turned(start, until) if self.turned else pen, aside, start, until)


@dataclass(frozen=True, kw_only=True)
class PaddedBox(Box):
    """A box with a lead at either end, so that nothing comes close to its sides."""

    box: Box
    lead: int

    def place(self, pen: Pen, aside: int, start: int, end: int) -> None:
        """Draws the leads and the box between."""
        self.box.place(pen, aside, start + self.lead, end - self.lead)
        pen.line(self.a, aside, start, start + self.lead)
        pen.line(self.b, aside, end - self.lead, end)


def box_of_end(branch: Leaf | Line | Lead, axis: int) -> Box:
    """The box of a branch that has no branches within."""
    match branch:
        case Leaf(a, b, link):
            takes = room(link, axis)
            return PartBox(a=a, b=b, before=takes.before, after=takes.after, length=takes.length, leaf=branch)
        case Line(a, b):
            return LineBox(a=a, b=b, before=1, after=1, length=_LEAD)
        case Lead(a, b):
            return LeadBox(a=a, b=b, before=1, after=1, length=_LEAD, last=None)


def series_box(boxes: Sequence[Box], stops: Sequence[int]) -> Box:
    """Boxes one after the other, by way of these conductors."""
    members = tuple((box, box.a != start) for box, start in zip(boxes, stops, strict=False))
    head, tail = _seen(*members[0]), _seen(*members[-1])
    return SeriesBox(
        a=stops[0],
        b=stops[-1],
        before=max(box.before for box in boxes),
        after=max(box.after for box in boxes),
        length=sum(box.length for box in boxes),
        first=head[0],
        last=tail[1],
        members=members,
    )


def with_leads(box: Box, top: int, ends: Sequence[int]) -> Box:
    """A box that begins at `top`, with a wire to an open end at those of its ends that are named."""
    turned = box.a != top
    bottom = box.a if turned else box.b
    members = [(box, turned)]
    if top in ends:
        members.insert(0, (box_of_end(Lead(top, top), UPRIGHT), True))
    if bottom in ends:
        members.append((box_of_end(Lead(bottom, bottom), UPRIGHT), False))
    if len(members) == 1:
        return box
    length = sum(each.length for each, _ in members)
    return SeriesBox(
        a=top,
        b=bottom,
        before=box.before,
        after=box.after,
        length=length,
        first=None,
        last=None,
        members=tuple(members),
    )


def _seen(box: Box, turned: bool) -> tuple[Span | None, Span | None]:
    """The spans at a box's beginning and end, as it comes to lie."""
    return (box.last, box.first) if turned else (box.first, box.last)


def parallel_box(a: int, b: int, boxes: Sequence[Box]) -> Box:
    """Boxes side by side between `a` and `b`, from left to right."""
    stems = [0]
    for left, right in pairwise(boxes):
        stems.append(stems[-1] + left.after + right.before)
    stem = _stem(boxes, stems)
    members = tuple((box, box.a != a, at - stem) for box, at in zip(boxes, stems, strict=True))
    spans: list[list[Span]] = [[], []]
    for box, turned, beside in members:
        for found, span in zip(spans, _seen(box, turned), strict=True):
            if span is not None:
                found.append((beside + span[0], beside + span[1]))
    first, last = ((min(low for low, _ in found), max(high for _, high in found)) if found else None for found in spans)
    return ParallelBox(
        a=a,
        b=b,
        before=stem - stems[0] + boxes[0].before,
        after=stems[-1] - stem + boxes[-1].after,
        length=max(box.length + (0 if box.is_held else _CLEAR) for box in boxes),
        first=first,
        last=last,
        members=members,
    )


def _stem(boxes: Sequence[Box], stems: Sequence[int]) -> int:
    """Where a bar is held: in the middle of what it holds, or on the branch next to that."""
    held = [at for box, at in zip(boxes, stems, strict=True) if box.is_held] or list(stems)
    middle = (held[0] + held[-1]) // 2
    nearest = min(held, key=lambda at: abs(at - middle))
    return nearest if abs(nearest - middle) < _SNAP else middle


def hanging_box(hanging: Hanging, box: Box) -> Box:
    """A box held at one end."""
    turned = box.a != hanging.a
    first = box.last if turned else box.first
    return HangingBox(
        a=hanging.a,
        b=hanging.a,
        before=box.before,
        after=box.after,
        length=box.length,
        first=first,
        last=None,
        box=box,
        turned=turned,
    )
