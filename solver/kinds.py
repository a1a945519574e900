"""The kinds of part, as a table read from shared/kinds.json: what a value of each is, and what can be read of it.

The browser reads the same file; drawings and chips are its business and are not loaded here.
"""

from __future__ import annotations

import json
from collections.abc import Mapping
from dataclasses import dataclass
from pathlib import Path
from types import MappingProxyType
from typing import Any, Final

from solver.quantities import Quantity

SWITCHES: Final = ("switch", "two-way switch")
PLACE_WORDS: Final[Mapping[str, str]] = MappingProxyType(
    {
        "initial": "initial voltage",
        "rated": "rated voltage",
        "reverse": "reversed limit",
        "internal": "internal resistance",
    }
)
"""What the optional entries of parts are called in sentences."""
MORE_THAN_ZERO: Final = frozenset({"rated", "reverse"})
"""The optional entries that have to be more than zero."""
KINDS_FILE: Final = Path(__file__).resolve().parent.parent / "shared" / "kinds.json"


@dataclass(frozen=True)
class Kind:
    """One kind of part.

    `quantity` is what its value is (None for a switch or a wire, which have none), `letter` begins its names,
    `symbol_letters` begin the symbols that can stand for its value, `optional` maps the optional entries of a part to
    what they are, `readings` names what a solution tells of it, `example` is a value as a person would type it,
    `shapes` has the words that begin a build, each with what its sizes are called.

    >>> KINDS["capacitor"].quantity.word
    'capacitance'
    """

    name: str
    word: str
    letter: str
    quantity: Quantity | None
    symbol_letters: tuple[str, ...]
    optional: Mapping[str, Quantity]
    readings: tuple[str, ...]
    example: str
    shapes: Mapping[str, tuple[str, ...]]


def _kind(name: str, entry: Mapping[str, Any]) -> Kind:
    return Kind(
        name=name,
        word=entry["word"],
        letter=entry["letter"],
        quantity=Quantity(entry["quantity"]) if entry["quantity"] else None,
        symbol_letters=tuple(entry["symbolLetters"]),
        optional=MappingProxyType({place: Quantity(word) for place, word in entry["optional"].items()}),
        readings=tuple(entry["readings"]),
        example=entry["example"],
        shapes=MappingProxyType({word: tuple(sizes) for word, sizes in entry.get("shapes", {}).items()}),
    )


KINDS: Final[Mapping[str, Kind]] = MappingProxyType(
    {name: _kind(name, entry) for name, entry in json.loads(KINDS_FILE.read_text("utf-8"))["kinds"].items()}
)
