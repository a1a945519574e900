"""The formulas that a plan's figures come from, each with where it comes from; sources: module docstrings of
solver.bank."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Final


@dataclass(frozen=True)
class Formula:
    """What it is for, the formula ("_" before an index), and its source."""

    what: str
    formula: str
    source: str

    def document(self) -> dict[str, str]:
        """The formula as the web interface sends it."""
        return {"what": self.what, "formula": self.formula, "source": self.source}


ENERGY: Final = Formula(
    "Energy given from V down to V_low",
    "E = ½·C·(V² − V_low²)",
    "from E = ½·C·V², the area under the line of charge and voltage",
)
WORST: Final = Formula(
    "Worst voltage on one of N equal parts in series, each within ±t",
    "V_max = V·(1 + t) / (N − (N − 2)·t)",
    "one part at its least, the others at their most, all with the same charge (derived here); right "
    "after switching on capacitance decides the shares (KEMET, manufacturer's guide, 2013)",
)
WORST_OF_UNEQUAL: Final = Formula(
    "Worst voltage on a part in series with others",
    "V_max = V / (1 + C_least·∑ 1/C_most)",
    "the part at its least, the sum over the others at their most, all with the same charge (derived here)",
)
BALANCING: Final = Formula(
    "Largest balancing resistor across each of N parts that leak up to I",
    "R ≤ (N·V_limit − V) / ((N − 1)·I)",
    "one part leaks nothing, the others I (derived here; notes that print it without N − 1 are right "
    "for two parts). With resistors within ±t: R ≤ (V_limit·(N − (N − 2)·t)/(1 + t) − V) / ((N − 1)·(1 − t)·I)",
)
BLEEDING: Final = Formula(
    "Bleeding down from V to V_end",
    "t = R·C·ln(V / V_end)",
    "exponential decay V·e^(−t/RC), R and C at their most; the US National Electrical Code (460.6) has "
    "power capacitors up to 600 V fall to 50 V within a minute",
)
HEAT: Final = Formula(
    "Heat in a resistor at voltage V", "P = V² / R", "Joule's law; common practice is a resistor rated for twice that"
)
FORMULAS: Final = (ENERGY, WORST, WORST_OF_UNEQUAL, BALANCING, BLEEDING, HEAT)
