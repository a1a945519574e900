"""Takes a say-it line apart into signs and the texts between them, each with its place in the line as typed."""

from __future__ import annotations

import re
from dataclasses import dataclass
from typing import Final

# The words alone are signs where something follows that they can join; else they belong to a repeat.
_SIGN: Final = re.compile(
    r"""
    (?P<series>\+|\b(?:in\s+)?series(?:\s+with\b|(?=\s*[\w(\[{])))
    | (?P<parallel>∥|‖|\|\|?|//|\b(?:in\s+)?parallel(?:\s+(?:with|to)\b|(?=\s*[\w(\[{])))
    | (?P<opening>[(\[{])
    | (?P<closing>[)\]}])
    | (?P<colon>:)
    """,
    re.VERBOSE | re.IGNORECASE,
)
QUOTED: Final = re.compile(r"[\"“”„«]([^\"“”„«»]*)[\"“”»]")
"""A text in which signs are none, such as a capacitor's build."""
# What looks like a sign and belongs to a number: 10^(-6), 10^+3, (2/3) V, 1e+6.
_OF_NUMBER: Final = re.compile(
    r"(?:\^|\*\*)\s*(?:\(\s*[-+−]?\d+\s*\)|\+(?=\d))|\(\s*\d+\s*[/∕⁄]\s*\d+\s*\)(?=\s*[^\W\d])|(?<=\d[eE])\+(?=\d)"
)


@dataclass(frozen=True, slots=True)
class Token:
    """A sign or a text. `sort` is "series", "parallel", "opening", "closing", "colon", "text" or, at the line's end,
    "end"; it stands at the characters from `start` up to `end`. `text` is without spaces round it."""

    sort: str
    text: str
    start: int
    end: int

    @property
    def span(self) -> tuple[int, int]:
        """Where it stands."""
        return self.start, self.end

    def portion(self, start: int, end: int) -> Token:
        """A text within this one, counted from its first character; without spaces round it."""
        piece = self.text[start:end]
        left = len(piece) - len(piece.lstrip())
        stripped = piece.strip()
        begin = self.start + start + left
        return Token(self.sort, stripped, begin, begin + len(stripped))


def closes(opening: Token, closing: Token) -> bool:
    """Whether two brackets are of one kind: round, square or curly."""
    return f"{opening.text}{closing.text}" in ("()", "[]", "{}")


def tokens(line: str) -> list[Token]:
    """The line's tokens in order; the last one is its end.

    >>> [token.text for token in tokens("9 V: C4 = 4u7 // 1e+6 Ω")]
    ['9 V', ':', 'C4 = 4u7', '//', '1e+6 Ω', '']
    """
    found: list[Token] = []
    place = begin = 0

    def text_until(end: int) -> None:
        piece = line[begin:end]
        if piece.strip():
            found.append(Token("text", piece, begin, end).portion(0, len(piece)))

    while place < len(line):
        if whole := QUOTED.match(line, place) or _OF_NUMBER.match(line, place):
            place = whole.end()
        elif sign := _SIGN.match(line, place):
            text_until(place)
            found.append(Token(str(sign.lastgroup), sign[0], place, sign.end()))
            place = begin = sign.end()
        else:
            place += 1
    text_until(place)
    end = len(line.rstrip())
    return [*found, Token("end", "", end, end)]
