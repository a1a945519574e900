"""Ratings on paper and in files: what share of its limit each capacitor comes to, and what is past it, in words."""

from __future__ import annotations

from collections.abc import Sequence

from solver.format import format_exact
from solver.ledger import Cell, Row, Table
from solver.ratings import moment_words, percent
from solver.sketch import Sketch
from solver.strains import Strain

PAST = "(!) past its limit"
"""A mark that needs no colour, and that every printer has."""
TASK = "Find what share of its rating each capacitor comes to, and which are past it."


def rating_table(sketch: Sketch, strains: Sequence[Strain]) -> Table | None:
    """The table of all capacitors with a limit; None where there are none. A share is covered with its voltage."""
    if not strains:
        return None
    parts = {part.name: part for part in sketch.parts}
    rows = []
    for strain in strains:
        part = parts[strain.part]
        reversed_ = f"reversed {part.reverse}" if part.reverse is not None else None
        rated = ", ".join(filter(None, (part.rated, reversed_)))
        rows.append(Row("", part.name, (Cell(rated), Cell(_share(sketch, strain), f"{part.name}.voltage"))))
    return Table("Ratings", ("Part", "Rated for", "Comes to"), tuple(rows))


def _share(sketch: Sketch, strain: Strain) -> str:
    limit = strain.limit.down if strain.is_reversed else strain.limit.up
    of = "" if limit is None else f" of {format_exact(limit, 'V')}"
    usable = " usable" if limit is not None and sketch.usable != 100 and not strain.is_reversed else ""
    how = "reversed, " if strain.is_reversed else ""
    past = f", {PAST}" if strain.is_past else ""
    return f"{how}{percent(strain.share)}{of}{usable}{moment_words(strain.time)}{past}"
