"""Symbols as they are written by hand: "2C_1/3" with its index lowered."""

from __future__ import annotations

import re
from typing import Final

_INDEX: Final = re.compile(r"_(\d+)")
_LOWERED: Final = str.maketrans("0123456789", "₀₁₂₃₄₅₆₇₈₉")


def with_subscripts(text: str) -> str:
    """The text with the digits after "_" lowered.

    >>> with_subscripts("2C_1/3")
    '2C₁/3'
    """
    return _INDEX.sub(lambda found: found[1].translate(_LOWERED), text)
