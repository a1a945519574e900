"""Why a network on the sheet has no say-it line; all the sentences for that are here."""

from __future__ import annotations

from collections.abc import Sequence

from solver.faults import listing


class Misfit(Exception):
    """The sheet holds something that series and parallel do not describe; the text is one sentence about it."""


def _said(parts: Sequence[str], one: str, several: str) -> Misfit:
    return Misfit(f"{listing(parts)} {one if len(parts) == 1 else several}")


def only_wires() -> Misfit:
    return Misfit("Only wires are on the sheet.")


def too_large(count: int, most: int) -> Misfit:
    return Misfit(f"{count} parts are more than a line holds, which is {most}.")


def two_way(switches: Sequence[str]) -> Misfit:
    return _said(
        switches,
        "is a two-way switch: a line has no place for three ends.",
        "are two-way switches: a line has no place for three ends.",
    )


def value_missing(part: str, what: str) -> Misfit:
    return Misfit(f"{part} has no {what} yet.")


def value_not_understood(part: str, text: str) -> Misfit:
    return Misfit(f"“{text}” on {part} is not understood.")


def unknown_kind(part: str) -> Misfit:
    return Misfit(f"The value of {part} is to be found, and its name does not say what {part} is.")


def apart(parts: Sequence[str]) -> Misfit:
    return _said(
        parts,
        "is not joined to the rest: a line describes one network.",
        "are not joined to the rest: a line describes one network.",
    )


def batteries_apart(batteries: Sequence[str]) -> Misfit:
    return Misfit(f"{listing(batteries)} do not follow one another: a line begins with its batteries in one chain.")


def shorted(battery: str) -> Misfit:
    return Misfit(f"Both terminals of {battery} are joined by wire.")


def not_closed(parts: Sequence[str], terminal: str, battery: str) -> Misfit:
    return Misfit(
        f"The circuit is not closed yet: nothing leads from {listing(parts)} to the {terminal} terminal of {battery}."
    )


def ends_apart(parts: Sequence[str]) -> Misfit:
    return Misfit(f"The circuit is not closed yet: nothing joins the free ends of {listing(parts)}.")


def hangs(parts: Sequence[str]) -> Misfit:
    return _said(
        parts,
        "is joined at one end only: nothing leads on from its other end yet.",
        "are joined at one end only: nothing leads on from their other end yet.",
    )


def bridge(parts: Sequence[str]) -> Misfit:
    return _said(
        parts,
        "crosses over as a bridge: neither series nor parallel joins it.",
        "cross over as a bridge: neither series nor parallel joins them.",
    )


def no_ends() -> Misfit:
    return Misfit("There is no battery, and no two open ends: keep a reading between the two joints that are meant.")
