"""Banks of equal strings, each of one kind of part: for every length of string that holds, the fewest strings."""

from __future__ import annotations

from collections.abc import Iterator

import flint

from solver.bank.arrangement import Arrangement
from solver.bank.strings import String
from solver.bank.wish import Kind, Wish

MOST_LISTED = 60


def equal_banks(wish: Wish) -> tuple[list[Arrangement], int]:
    """The best of all such banks, best first, and how many there are.

    A bank with more strings than needed does it too, and is not listed.
    """
    found = [bank for place in range(len(wish.kinds)) for bank in _of_kind(wish, place)]
    # The fewest parts decide first; the rest of a rank takes longer to work out, so it is left to those that may show.
    found.sort(key=lambda bank: bank.parts)
    last = found[MOST_LISTED - 1].parts if len(found) > MOST_LISTED else None
    near = [bank for bank in found if last is None or bank.parts <= last]
    near.sort(key=lambda bank: bank.rank)
    return near[:MOST_LISTED], len(found)


def shortest(voltage: flint.fmpq, kind: Kind, most: int) -> int | None:
    """The fewest equal parts in series that hold a voltage, whatever their tolerances; None where `most` do not.

    The worst voltage falls as the string gets longer, so the length is found by halving.
    """
    if _worst(voltage, kind, most) > kind.limit:
        return None
    low, high = 1, most
    while low < high:
        middle = (low + high) // 2
        if _worst(voltage, kind, middle) <= kind.limit:
            high = middle
        else:
            low = middle + 1
    return low


def _worst(voltage: flint.fmpq, kind: Kind, length: int) -> flint.fmpq:
    low, own = kind.elastances
    return voltage * own / (own + (length - 1) * low)


def _of_kind(wish: Wish, place: int) -> Iterator[Arrangement]:
    kind = wish.kinds[place]
    fewest = shortest(wish.voltage, kind, kind.count)
    if fewest is None:
        return
    for length in range(fewest, kind.count + 1):
        times = -int((-wish.capacitance * length / wish.counted(kind)).floor())
        if times * length > kind.count:
            return
        yield Arrangement(wish, ((String(wish, (place,) * length), times),))
