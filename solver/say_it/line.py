"""The line of what is on the sheet: its text, or one sentence on why there is none."""

from __future__ import annotations

from dataclasses import dataclass, replace
from typing import Any

from solver.say_it.describing import describe
from solver.say_it.description import Description, all_items, with_items
from solver.say_it.misfits import Misfit
from solver.say_it.writing import text_of, without_needless_names
from solver.sketch import Sketch


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
    turned = (
        replace(item, turned=item.turned and (item.kind == "battery" or bool(item.initial or item.reverse)))
        for item in all_items(description)
    )
    return without_needless_names(with_items(description, turned))
