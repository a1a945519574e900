"""The line of what is on the sheet: its text, or one sentence on why there is none."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, replace
from typing import Any

from solver.kinds import KINDS
from solver.say_it.describing import describe, item_of
from solver.say_it.description import Description, Item, all_items, with_items
from solver.say_it.misfits import Misfit
from solver.say_it.writing import text_of, without_needless_names
from solver.sketch import Part, Sketch
from solver.values import read_text


@dataclass(frozen=True)
class Line:
    """The say-it line of a sheet: `text` ("" for an empty sheet), or None with a sentence in `misfit`."""

    text: str | None
    misfit: str | None = None

    def document(self) -> dict[str, Any]:
        """The line as the web interface sends it."""
        return {"text": self.text, "misfit": self.misfit}


def write(sketch: Sketch) -> Line:
    """The network on a sheet as a line of text, where series and parallel suffice.

    >>> from solver import battery, capacitor
    >>> lantern = [capacitor("C1", "30 uF", "a", "b"), capacitor("C2", "10 µF", "b", "0")]
    >>> write(Sketch.of(battery("E1", "9 V", "a", "0"), *lantern, capacitor("C3", "5 µF", "b", "0"))).text
    '9 V : 30 µF + (10 µF ∥ 5 µF)'
    >>> write(Sketch.of(*lantern, capacitor("C3", "5 µF", "d", "e"))).misfit
    'C3 is not joined to the rest: a line describes one network.'
    """
    if not sketch.parts:
        return Line("")
    try:
        return Line(text_of(as_written(describe(sketch))))
    except Misfit as misfit:
        return Line(None, str(misfit))


def as_written(description: Description) -> Description:
    """What the line says of a description: names only where the order would give others, and which way round a part
    lies only where that is more than a matter of sign."""
    return without_needless_names(with_items(description, (_lying(item) for item in all_items(description))))


def known_parts(sketch: Sketch) -> Mapping[str, Item]:
    """What a bare name in a line stands for: the parts of the sheet whose texts are values, each as its line has it.

    >>> from solver import capacitor
    >>> known_parts(Sketch.of(capacitor("C1", "30 uF", "a", "b")))["C1"].value
    '30 µF'
    """
    try:
        items = list(all_items(describe(sketch)))
    except Misfit:
        items = [item for part in sketch.parts if (item := _alone(part))]
    # A word such as "switch" goes on meaning any of them.
    return {item.name: _lying(item) for item in items if item.name and not _is_word(item.name)}


def _alone(part: Part) -> Item | None:
    """The part as a line has it, wherever it lies; None where it is a wire or its texts are no values."""
    if part.kind in ("wire", "two-way switch"):
        return None
    try:
        return item_of(part)
    except Misfit:
        return None


def _is_word(name: str) -> bool:
    kind = read_text(name).kind
    return kind is not None and KINDS[kind].quantity is None


def _lying(item: Item) -> Item:
    """The part, turned only where that is more than a matter of sign."""
    matters = item.kind == "battery" or bool(item.initial or item.reverse)
    return replace(item, turned=item.turned and matters)
