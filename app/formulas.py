"""Formulas for paper: from the tree that the solver writes to MathML, and from that to a drawing with ziamath.

The tree is as in `solver.worked`: ["math", child, …], a child such a list, a text, or attributes of a short list.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any, Final
from xml.sax.saxutils import escape, quoteattr

Math = list[Any]

ELEMENTS: Final = frozenset(
    {
        *("math", "mrow", "mi", "mn", "mo", "ms", "mtext", "mspace", "mfrac", "msqrt", "mroot"),
        *("msub", "msup", "msubsup", "munder", "mover", "munderover", "mtable", "mtr", "mtd"),
    }
)
ATTRIBUTES: Final = {
    "mathvariant": {"normal"},
    "form": {"infix", "prefix"},
    "stretchy": {"true", "false"},
    "displaystyle": {"true", "false"},
}
SIZE: Final = 14.5
"""Height of the type, in CSS pixels: a little above that of the words beside it."""
EQUALS: Final = frozenset({"=", "≈"})
ADDS: Final = frozenset({"+", "−"})
_INDENT: Final = 22


@dataclass(frozen=True)
class Drawn:
    """A formula as SVG, its width in CSS pixels, and how far it is moved to the right."""

    svg: str
    width: float
    indent: int = 0


def mathml(tree: Math) -> str:
    """The tree as MathML. Raises ValueError where an element or attribute is not on the list.

    >>> mathml(["math", ["mi", "V"], ["mo", "<"]])
    '<math><mi>V</mi><mo>&lt;</mo></math>'
    """
    name, *children = tree
    if name not in ELEMENTS:
        raise ValueError(f"no element of a formula: {name}")
    attributes = {key: value for child in children if isinstance(child, dict) for key, value in child.items()}
    if any(value not in ATTRIBUTES.get(key, ()) for key, value in attributes.items()):
        raise ValueError(f"no attributes of a formula: {attributes}")
    written = "".join(f" {key}={quoteattr(value)}" for key, value in attributes.items())
    content = (
        escape(child) if isinstance(child, str) else mathml(child) for child in children if not isinstance(child, dict)
    )
    return f"<{name}{written}>{''.join(content)}</{name}>"


def drawn_formula(tree: Math, room: float) -> list[Drawn]:
    """A formula in one line where that fits in `room` (CSS pixels), else in several, each with what fits into it.

    It is broken before its equals signs, and where that does not do between the terms of its sums.
    """
    whole = _drawn(tree)
    if whole.width <= room:
        return [whole]
    pieces = _pieces(_row(tree))
    widths = [_drawn(["math", *piece]).width for piece in pieces]
    lines: list[list[Math]] = []
    used = 0.0
    for piece, width in zip(pieces, widths, strict=True):
        if lines and used + width <= room:
            lines[-1] += piece
            used += width
        else:
            lines.append([*piece])
            used = width + (_INDENT if len(lines) > 1 else 0)
    return [_drawn(["math", *line], _INDENT if number else 0) for number, line in enumerate(lines)]


def _drawn(tree: Math, indent: int = 0) -> Drawn:
    from ziamath.config import config
    from ziamath.zmath import Math as Setting

    config.svg2 = False  # outlines without references, which would need names of their own in each formula
    made = Setting(mathml(tree), size=SIZE)
    return Drawn(made.svg(), float(made.getsize()[0]), indent)


def _row(tree: Math) -> list[Math]:
    children = tree[1:]
    if len(children) == 1 and children[0][0] == "mrow":
        children = children[0][1:]
    return [child for child in children if isinstance(child, list)]


def _pieces(row: list[Math]) -> list[list[Math]]:
    """A row cut before each equals sign and between the terms of its sums, as static/solution/math.js cuts it."""
    pieces: list[list[Math]] = [[]]
    for place, child in enumerate(row):
        sign = child[-1] if child[0] == "mo" else None
        # A minus that follows an equals sign is that of a negative number.
        after_equals = place > 0 and row[place - 1][0] == "mo" and row[place - 1][-1] in EQUALS
        if place and (sign in EQUALS or (sign in ADDS and not after_equals)):
            pieces.append([["mo", {"form": "infix"}, sign]])
        else:
            pieces[-1].append(child)
    return pieces
