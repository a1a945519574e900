"""Draws on a board along one axis, in either direction, so that a box need not know how it is turned."""

from __future__ import annotations

from dataclasses import dataclass, replace

from solver.layout.board import Board, Spot
from solver.layout.links import Link
from solver.layout.room import UPRIGHT


@dataclass(frozen=True, slots=True)
class Pen:
    """Draws along an axis (room.UPRIGHT: down, room.LEVEL: to the right), or against it where `sign` is −1.

    Places along the line count from `origin`; places aside are rows or columns of the board.
    """

    board: Board
    axis: int = UPRIGHT
    origin: int = 0
    sign: int = 1

    def turned(self, start: int, end: int) -> Pen:
        """The pen with which what lies between two places is drawn the other way round, in the same room."""
        return replace(self, origin=self.origin + self.sign * (start + end), sign=-self.sign)

    def across(self, aside: int, along: int) -> Pen:
        """The pen along the other axis, with a spot of this one as its zero; its asides are rows or columns again."""
        x, y = self.spot(aside, along)
        return Pen(self.board, 1 - self.axis, x if self.axis == UPRIGHT else y)

    def spot(self, aside: int, along: int) -> Spot:
        """The spot at a place."""
        place = self.origin + self.sign * along
        return (aside, place) if self.axis == UPRIGHT else (place, aside)

    def part(self, link: Link, first: int, aside: int, start: int, end: int) -> None:
        """A part along the line, its end at conductor `first` where the line starts."""
        near, far = self.spot(aside, start), self.spot(aside, end)
        # With both ends on one conductor it begins where it begins.
        turned = link.a != first
        self.board.part(link, *((far, near) if turned else (near, far)))

    def line(self, conductor: int, aside: int, start: int, end: int) -> None:
        """A conductor along the line."""
        self.board.stretch(conductor, self.spot(aside, start), self.spot(aside, end))

    def bar(self, conductor: int, along: int, low: int, high: int) -> None:
        """A conductor across the line, from one aside to another."""
        self.board.stretch(conductor, self.spot(low, along), self.spot(high, along))

    def open_end(self, conductor: int, aside: int, along: int) -> None:
        """An open end."""
        self.board.open_end(conductor, self.spot(aside, along))
