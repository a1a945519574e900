"""The dielectrics of shared/dielectrics.json, each with its constant and strength, and the source of the two."""

from __future__ import annotations

import json
from collections.abc import Mapping
from dataclasses import dataclass
from pathlib import Path
from types import MappingProxyType
from typing import Any, Final

import flint

from solver.numerals import take_numeral

_FILE: Final = Path(__file__).resolve().parent.parent / "shared" / "dielectrics.json"
_TABLE: Final = json.loads(_FILE.read_text("utf-8"))
_MEGAVOLT: Final = flint.fmpq(10**6)


@dataclass(frozen=True)
class Dielectric:
    """What fills a gap: `constant` is a pure number, `strength` in volts per metre, None where none is listed.

    `words` is how a value names it: "mica", "κ 6 at 12 MV/m".
    """

    name: str
    words: str
    constant: flint.fmpq
    strength: flint.fmpq | None
    source: str | None = None


def _dielectric(entry: Mapping[str, Any]) -> Dielectric:
    strength = _number(entry["strength"]) * _MEGAVOLT if entry["strength"] else None
    source = _TABLE["sources"][entry["source"]]
    return Dielectric(entry["name"], entry["words"][0], _number(entry["constant"]), strength, source)


def _number(text: str) -> flint.fmpq:
    return take_numeral(text)[0].exact


DIELECTRICS: Final[Mapping[str, Dielectric]] = MappingProxyType(
    {word: _dielectric(entry) for entry in _TABLE["dielectrics"] for word in entry["words"]}
)
"""By each word for it, in small letters."""
