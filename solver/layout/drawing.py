"""The pieces of a network side by side on one board, and the joints and wires that this makes."""

from __future__ import annotations

from collections.abc import Collection, Sequence
from dataclasses import dataclass
from typing import Final

from solver.layout.board import Board, Spot
from solver.layout.boxes import Box
from solver.layout.links import Link, Links
from solver.layout.pen import Pen
from solver.layout.pieces import piece_box

_BETWEEN: Final = 7
"""Steps between pieces."""
_HEIGHT: Final = 8
"""A piece is at least so high: two rails with one row of parts between them."""


@dataclass(frozen=True)
class Drawing:
    """Where the ends of each link lie, by its number; and the joints and wires of each conductor."""

    ends: dict[int, tuple[Spot, Spot]]
    joints: tuple[tuple[Spot, ...], ...]
    wires: tuple[tuple[tuple[Spot, Spot], ...], ...]


def drawing_of(network: Links, bare: Collection[int] = ()) -> Drawing:
    """The network laid out. Conductors without a part get a joint each, those in `bare` a wire."""
    board = Board()
    at = 0
    for box in _boxes(network):
        at += box.before
        box.place(Pen(board), at, 0, max(box.length, _HEIGHT))
        at += box.after + _BETWEEN
    reached = {end for link in network.links for end in (link.a, link.b)}
    for conductor in range(network.count):
        if conductor in reached:
            continue
        board.open_end(conductor, (at, 0))
        if conductor in bare:
            board.open_end(conductor, (at + _BETWEEN, 0))
            board.stretch(conductor, (at, 0), (at + _BETWEEN, 0))
            at += _BETWEEN
        at += _BETWEEN
    laid = [board.wires(conductor) for conductor in range(network.count)]
    return Drawing(board.ends, tuple(tuple(joints) for joints, _ in laid), tuple(tuple(wires) for _, wires in laid))


def _boxes(network: Links) -> list[Box]:
    """The boxes of the pieces, from left to right as on the sheet."""
    pieces: list[Sequence[Link]] = [piece for piece in network.pieces() if piece]

    def order(piece: Sequence[Link]) -> tuple[bool, float, int]:
        across = [link.place[0] for link in piece if link.place is not None]
        return not across, sum(across) / len(across) if across else 0.0, piece[0].number

    return [piece_box(piece, network) for piece in sorted(pieces, key=order)]
