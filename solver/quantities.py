"""The physical quantities the solver speaks of, each with its word, its usual symbol and its SI unit.

What they are called stands once, in shared/kinds.json, which the browser reads as well.
"""

from __future__ import annotations

import enum
import json
from pathlib import Path
from typing import Final

_TABLE: Final[dict[str, dict[str, str]]] = json.loads(
    (Path(__file__).resolve().parent.parent / "shared" / "kinds.json").read_text("utf-8")
)["quantities"]


class Quantity(enum.Enum):
    """A physical quantity; its value is its key in shared/kinds.json.

    >>> Quantity.CAPACITANCE.unit, Quantity.EMF.word
    ('F', 'emf')
    """

    CAPACITANCE = "capacitance"
    RESISTANCE = "resistance"
    EMF = "emf"
    POTENTIAL = "potential"
    VOLTAGE = "voltage"
    CHARGE = "charge"
    ENERGY = "energy"
    WORK = "work"
    CURRENT = "current"
    POWER = "power"
    FIELD = "field"
    DENSITY = "density"
    TIME = "time"

    def __init__(self, key: str) -> None:
        self.word: Final[str] = _TABLE[key]["word"]
        self.symbol: Final[str] = _TABLE[key]["symbol"]
        self.unit: Final[str] = _TABLE[key]["unit"]
        self.unit_word: Final[str] = _TABLE[key]["unitWord"]
