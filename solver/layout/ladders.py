"""Ladders as boxes: level rails above and below, and rungs between them, rather than a staircase.

A ladder is branches side by side (rungs), of which one (the tail) leads by parts in series, which become the rails, to
further branches side by side, and so on. Its parts are in the same rail all the way, or in both: a chain that goes on
otherwise is a branch in a column of its own.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass, replace
from itertools import pairwise
from typing import Final

from solver.layout.boxes import Box, PaddedBox, Span
from solver.layout.pen import Pen
from solver.layout.room import LEVEL, UPRIGHT
from solver.layout.tree import Branch, Leaf, Parallel, Series, from_end

_SECTIONS: Final = 3
"""From so many rows of rungs on, a network is drawn as a ladder."""
_DEEP: Final = 30
"""Branches within branches from which on rails may have branches of their own."""
_BESIDE: Final = 2
"""Steps that rails keep from rungs where they are more than one line."""
_BELOW_RAIL: Final = 10
"""Length of rungs above a rail with parts, whose labels want room."""

Boxing = Callable[[Branch, int], Box]


@dataclass(frozen=True)
class Section:
    """Rungs between the conductors `top` and `bottom`, and the rails that lead on from there to the next section."""

    top: int
    bottom: int
    rungs: Sequence[Branch]
    upper: Branch | None = None
    lower: Branch | None = None


@dataclass(frozen=True)
class Placed:
    """A section with its boxes: the place of each rung aside of the first rung of all, and the rails' boxes."""

    section: Section
    rungs: Sequence[tuple[Box, int]]
    upper: Box | None
    lower: Box | None

    def reach(self, conductor: int) -> Span:
        """From where to where, aside of the first rung of all, the rungs meet one of the section's conductors."""
        spans = [(0, 0)] if not self.rungs else []
        for box, beside in self.rungs:
            for end, span in ((box.a, box.first), (box.b, box.last)):
                if end == conductor and span is not None:
                    spans.append((beside + span[0], beside + span[1]))
        if not spans:
            return self.rungs[0][1], self.rungs[-1][1]
        return min(low for low, _ in spans), max(high for _, high in spans)


@dataclass(frozen=True, kw_only=True)
class LadderBox(Box):
    """A ladder from its first rung on. Its rails need room beyond its beginning and its end: `beyond` steps."""

    sections: Sequence[Placed]
    beyond: int

    def place(self, pen: Pen, aside: int, start: int, end: int) -> None:
        """Draws rungs, bars over the rungs of each section, and rails between the sections."""
        for place, placed in enumerate(self.sections):
            section = placed.section
            for conductor, along in ((section.top, start), (section.bottom, end)):
                low, high = placed.reach(conductor)
                # The ladder is held at its stem, whether its first rung reaches that end or hangs from the other.
                pen.bar(conductor, along, aside + (low if place else min(0, low)), aside + high)
            for box, beside in placed.rungs:
                turned = box.a != section.top
                begin, until = start, end
                if not box.is_held:
                    begin, until = (end - box.length, end) if turned else (start, start + box.length)
                box.place(pen.turned(begin, until) if turned else pen, aside + beside, begin, until)
        for placed, following in pairwise(self.sections):
            for rail, conductor, onward, along in (
                (placed.upper, placed.section.top, following.section.top, start),
                (placed.lower, placed.section.bottom, following.section.bottom, end),
            ):
                left, right = aside + placed.reach(conductor)[1], aside + following.reach(onward)[0]
                if rail is None:
                    pen.bar(conductor, along, left, right)
                else:
                    self._place_rail(pen, rail, conductor, along, left, right)

    def _place_rail(self, pen: Pen, rail: Box, conductor: int, along: int, left: int, right: int) -> None:
        across = pen.across(left, along)
        row = pen.spot(left, along)[1]
        rail.place(across.turned(0, right - left) if rail.a != conductor else across, row, 0, right - left)


def sections_of(parallel: Parallel) -> list[Section] | None:
    """The sections of a ladder that begins with these branches, its last one without rails; None where it is none."""
    sections: list[Section] = []
    here, top, bottom = parallel, parallel.a, parallel.b
    while True:
        led = _led_on(here, top, bottom)
        if led is None or (sections and not _goes_on_alike(sections[-1], led)):
            sections.append(Section(top, bottom, here.in_order()))
            return _to_its_end(sections) if len(sections) >= _SECTIONS else None
        sections.append(led.section)
        here, top, bottom = led.inner, led.top, led.bottom


@dataclass(frozen=True)
class _Led:
    """A section with rails, and the branches side by side, between `top` and `bottom`, that these lead to."""

    section: Section
    inner: Parallel
    top: int
    bottom: int


def _led_on(here: Parallel, top: int, bottom: int) -> _Led | None:
    members = here.in_order()
    tail = _tail([member for member in members if member is not here.left])
    if tail is None:
        return None
    branch, place = tail
    way, stops = from_end(branch, top)
    if branch.a != top:
        place = len(way) - 1 - place
    rungs = [member for member in members if member is not branch]
    upper = _rail(way[:place], stops[: place + 1])
    lower = _rail(way[place + 1 :][::-1], stops[place + 1 :][::-1])
    inner = way[place]
    assert isinstance(inner, Parallel)
    return _Led(Section(top, bottom, rungs, upper, lower), inner, stops[place], stops[place + 1])


def _goes_on_alike(before: Section, led: _Led) -> bool:
    """Whether parts are in the same rails as before; where branches lie very deep in each other, any rails do."""
    alike = [(each.upper is None, each.lower is None) for each in (before, led.section)]
    return alike[0] == alike[1] or led.inner.inside.depth > _DEEP


def _to_its_end(sections: list[Section]) -> list[Section]:
    """The sections, a last chain of parts led round like those before: along the rails, with one part as a rung.

    Of several such chains it is the one farthest right, which then stays there.
    """
    *before, last = sections
    upper, lower = (_count(rail) for rail in (before[-1].upper, before[-1].lower))
    for branch in reversed(last.rungs):
        if isinstance(branch, Series) and len(branch.members) == upper + 1 + lower > 1:
            way, stops = from_end(branch, last.top)
            if not all(isinstance(member, Leaf) for member in way):
                continue
            rungs = [rung for rung in last.rungs if rung is not branch]
            rails = (
                _rail(way[:upper], stops[: upper + 1]),
                _rail(way[upper + 1 :][::-1], stops[upper + 1 :][::-1]),
            )
            end = Section(stops[upper], stops[upper + 1], [way[upper]])
            return [*before, Section(last.top, last.bottom, rungs, *rails), end]
    return sections


def _count(rail: Branch | None) -> int:
    return 0 if rail is None else len(rail.members) if isinstance(rail, Series) else 1


def _rail(members: Sequence[Branch], stops: Sequence[int]) -> Branch | None:
    if not members:
        return None
    return members[0] if len(members) == 1 else Series(stops[0], stops[-1], tuple(members), tuple(stops))


def _tail(members: Sequence[Branch]) -> tuple[Series, int] | None:
    """The branch that leads on by rails, and the place in it of the branches side by side that it leads to."""
    best: tuple[int, int] | None = None
    found: tuple[Series, int] | None = None
    for member in members:
        if not isinstance(member, Series):
            continue
        for place, inner in enumerate(member.members):
            if not isinstance(inner, Parallel) or inner.a == inner.b:
                continue
            rails = [other for other in member.members if other is not inner]
            rank = inner.inside.depth, -inner.inside.first
            if all(_can_be_rail(rail, inner.inside.depth) for rail in rails) and (best is None or rank > best):
                best, found = rank, (member, place)
    return found


def _can_be_rail(branch: Branch, depth: int) -> bool:
    """A rail has one part after the other, unless the branches lie so deep in each other that a staircase of them would
    fit on no sheet."""
    return isinstance(branch, Leaf) or (depth > _DEEP and branch.inside.plain)


def ladder_box(sections: Sequence[Section], boxing: Boxing) -> LadderBox:
    """The box of a ladder, its stem on its first rung."""
    placed: list[Placed] = []
    length = 0
    for section in sections:
        boxes = [boxing(rung, UPRIGHT) for rung in section.rungs]
        rungs = [(boxes[0], 0)]
        for box in boxes[1:]:
            before, stem = rungs[-1]
            rungs.append((box, stem + before.after + box.before))
        upper, lower = (_rail_box(rail, boxing) if rail else None for rail in (section.upper, section.lower))
        here = Placed(section, rungs, upper, lower)
        if placed:
            at = _next(placed[-1], here)
            here = replace(here, rungs=[(box, at + beside) for box, beside in rungs])
        placed.append(here)
        length = max(length, *(box.length + (0 if box.is_held else _BESIDE) for box in boxes))
        inwards = (upper.after if upper else 0) + (lower.before if lower else 0)
        length = max(length, inwards + _BESIDE, _BELOW_RAIL if lower else 0)
    first, (last, stem) = placed[0].rungs, placed[-1].rungs[-1]
    return LadderBox(
        a=sections[0].top,
        b=sections[0].bottom,
        before=first[0][0].before,
        after=stem + last.after,
        length=length,
        first=placed[0].reach(sections[0].top),
        last=placed[0].reach(sections[0].bottom),
        sections=placed,
        beyond=max(
            (
                beside
                for each in placed
                for beside in (each.upper.before if each.upper else 0, each.lower.after if each.lower else 0)
            ),
            default=0,
        ),
    )


def _next(before: Placed, section: Placed) -> int:
    """How far right a section comes to stand after another, rails and rungs having their room."""
    last, stem = before.rungs[-1]
    room = [stem + last.after + section.rungs[0][0].before]
    for rail, conductor, onward in (
        (before.upper, before.section.top, section.section.top),
        (before.lower, before.section.bottom, section.section.bottom),
    ):
        room.append(before.reach(conductor)[1] + (rail.length if rail else 0) - section.reach(onward)[0])
    return max(room)


def _rail_box(rail: Branch, boxing: Boxing) -> Box:
    box = boxing(rail, LEVEL)
    if all(isinstance(member, Leaf) for member in (rail.members if isinstance(rail, Series) else (rail,))):
        return box
    return PaddedBox(
        a=box.a, b=box.b, before=box.before, after=box.after, length=box.length + 2 * _BESIDE, box=box, lead=_BESIDE
    )


def padded(box: LadderBox) -> Box:
    """A ladder kept clear of what is drawn beside its beginning and its end."""
    lead = box.beyond + _BESIDE
    return PaddedBox(
        a=box.a, b=box.b, before=box.before, after=box.after, length=box.length + 2 * lead, box=box, lead=lead
    )
