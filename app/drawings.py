"""Drawings that a browser sends, as SVG text: read with suspicion, and written anew from what is known to be harmless.

Nothing of the text that came in goes out again unread. What the page's own drawings do not have is refused: other
elements and attributes, entities, processing instructions, addresses of any sort.
"""

from __future__ import annotations

import re
from typing import Final
from xml.parsers import expat
from xml.sax.saxutils import escape, quoteattr

SVG: Final = "http://www.w3.org/2000/svg"
LONGEST: Final = 1_000_000
"""Characters of one drawing; that of 1,500 labelled parts has about 900,000."""
MOST_ELEMENTS: Final = 20_000
DEEPEST: Final = 12
FARTHEST: Final = 1e7
"""The largest number in a drawing: further out lies nothing that could be seen."""

ELEMENTS: Final = frozenset({"svg", "g", "path", "rect", "circle", "text", "tspan"})

_NUMBER = r"-?\d{1,9}(?:\.\d{1,17})?(?:e-?\d{1,2})?"
_COLOUR = r"none|#[0-9a-fA-F]{3}|#[0-9a-fA-F]{6}|rgb\(\d{1,3} \d{1,3} \d{1,3}\)"
_LENGTH = rf"{_NUMBER}(?:mm)?"
_LIST = rf"{_NUMBER}(?:[ ,]{_NUMBER})*"
_PATTERNS: Final = {
    **dict.fromkeys(("x", "y", "cx", "cy", "r", "rx", "dx", "dy", "stroke-width", "font-size"), _NUMBER),
    **dict.fromkeys(("width", "height"), _LENGTH),
    **dict.fromkeys(("fill", "stroke"), _COLOUR),
    "viewBox": _LIST,
    "stroke-dasharray": rf"none|{_LIST}",
    "d": r"[MLHVQCAZmlhvqcaz0-9 ,.e-]+",
    "transform": rf"(?:(?:translate|rotate|scale)\({_LIST}\) ?)+",
    "stroke-linecap": "butt|round|square",
    "stroke-linejoin": "miter|round|bevel",
    "text-anchor": "start|middle|end",
    "font-style": "normal|italic",
    "font-weight": r"normal|bold|[1-9]00",
    "font-family": r"[A-Za-z0-9 ,\"-]{1,200}",
    "role": "img",
    "aria-label": r"[^\0-\x1f]{0,2000}",
}
ATTRIBUTES: Final = {name: re.compile(pattern) for name, pattern in _PATTERNS.items()}
_NUMBERS = re.compile(_NUMBER)


class DrawingRefused(ValueError):
    """A drawing that is none of ours; the message says what about it."""


def clean_drawing(text: str) -> str:
    """The drawing, written anew. Raises DrawingRefused.

    >>> clean_drawing('<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 9 9"><path d="M0 0H9"/></svg>')
    '<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 9 9"><path d="M0 0H9"></path></svg>'
    """
    if len(text) > LONGEST:
        raise DrawingRefused(f"it is longer than {LONGEST:,} characters")
    return _Cleaner().clean(text)


class _Cleaner:
    def __init__(self) -> None:
        self._written: list[str] = []
        self._open: list[str] = []
        self._count = 0

    def clean(self, text: str) -> str:
        parser = expat.ParserCreate(namespace_separator=" ")
        parser.StartElementHandler = self._start
        parser.EndElementHandler = self._end
        parser.CharacterDataHandler = self._characters
        parser.StartDoctypeDeclHandler = lambda *_: _refuse("it declares a document type")
        parser.EntityDeclHandler = lambda *_: _refuse("it declares an entity")
        parser.ProcessingInstructionHandler = lambda *_: _refuse("it has a processing instruction")
        parser.SkippedEntityHandler = lambda *_: _refuse("it has an entity")
        try:
            parser.Parse(text.encode(), True)
        except (expat.ExpatError, UnicodeEncodeError):
            raise DrawingRefused("it is not XML") from None
        return "".join(self._written)

    def _start(self, name: str, attributes: dict[str, str]) -> None:
        space, _, tag = name.rpartition(" ")
        self._count += 1
        if space != SVG or tag not in ELEMENTS or (tag == "svg") != (not self._open):
            _refuse(f"there is no place in it for “{tag[:40]}”")
        if len(self._open) >= DEEPEST or self._count > MOST_ELEMENTS:
            _refuse("it has too many elements, or nests too deep")
        self._open.append(tag)
        shown = [f' xmlns="{SVG}"'] if tag == "svg" else []
        shown += [f" {key}={quoteattr(_value(key, value))}" for key, value in attributes.items()]
        self._written.append(f"<{tag}{''.join(shown)}>")

    def _end(self, _: str) -> None:
        self._written.append(f"</{self._open.pop()}>")

    def _characters(self, text: str) -> None:
        if self._open[-1] in ("text", "tspan"):
            self._written.append(escape(text))
        elif text.strip():
            _refuse("it has words where none belong")


def _value(key: str, value: str) -> str:
    pattern = ATTRIBUTES.get(key)
    if pattern is None or not pattern.fullmatch(value):
        _refuse(f"there is no place in it for “{key.rpartition(' ')[2][:40]}” as it stands")
    if key != "aria-label" and any(abs(float(number)) > FARTHEST for number in _NUMBERS.findall(value)):
        _refuse("a number in it is too large")
    return value


def _refuse(reason: str) -> None:
    raise DrawingRefused(reason)
