"""A capacitor's value with its rated voltage behind it, as it is printed on the part: "10 µF 16 V", "4u7 63V"."""

from __future__ import annotations

import re
from typing import Final

_RATED: Final = re.compile(
    r"(?P<value>.*?[^\s,;/])(?:\s*[,;/]\s*|\s+)(?:rated\s+(?:at\s+|for\s+)?)?"
    r"(?P<rated>[−-]?[0-9][0-9.,]*\s*[kmuµμ]?(?:V|volts?))",
    re.IGNORECASE | re.DOTALL,
)


def split_rating(text: str) -> tuple[str, str] | None:
    """The text of the value and that of the rated voltage; None where no voltage stands behind something else.

    >>> split_rating("10 µF 16 V"), split_rating("4u7/63V"), split_rating("16 V")
    (('10 µF', '16 V'), ('4u7', '63V'), None)
    """
    match = _RATED.fullmatch(text.strip())
    return (match["value"], match["rated"]) if match else None
