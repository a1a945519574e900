"""Where the energy went, piece by piece: the batteries' work, the rise of the stored energy, and what was lost.

Sums over capacitors become sums over conductors, since a capacitor's charge counts at both its ends: the energy stored,
∑ ½CV², is ½ ∑ potential × charge, where isolated conductors that started neutral add nothing. Lost is
∑ ½C·(V − V₀)²: with no resistance left with a voltage, the charges that passed times the final voltages make up the
work (B. D. H. Tellegen, Philips Res. Rep. 7 (1952) 259–269), and C·(V − V₀)·V − ½C·(V² − V₀²) = ½C·(V − V₀)².
The work itself comes from the charges that passed, so the three together are a check.
"""

from __future__ import annotations

from dataclasses import dataclass

from solver.arithmetic import Scalar
from solver.outcome import Outcome


@dataclass(frozen=True, slots=True)
class EnergyAccount:
    """Of one piece, in joules; `work` and `lost` mean nothing where a steady current remains."""

    stored: Scalar
    rise: Scalar
    work: Scalar
    lost: Scalar


def accounts(outcome: Outcome) -> list[EnergyAccount]:
    """The account of every piece."""
    network = outcome.network
    sums = network.arithmetic
    zero, pieces = sums.zero, range(len(network.pieces))
    held = [zero for _ in pieces]
    began = [zero for _ in pieces]
    crossed = [zero for _ in pieces]
    work = [zero for _ in pieces]
    for conductor, charge in outcome.settled.charges.items():
        piece = network.piece_at[conductor]
        if charge.held:
            held[piece] += outcome.potential(conductor) * charge.held
        if charge.began:
            crossed[piece] += outcome.potential(conductor) * charge.began
    for part in network.capacitors:
        if part.initial:
            began[network.piece_at[part.a]] += part.capacitance * part.initial * part.initial
    for index, battery in enumerate(network.batteries):
        work[network.piece_at[battery.a]] += battery.emf * outcome.passed.battery[index]
    return [
        EnergyAccount(
            stored=held[piece] / 2,
            rise=(held[piece] - began[piece]) / 2,
            work=work[piece],
            lost=(held[piece] + began[piece]) / 2 - crossed[piece],
        )
        for piece in pieces
    ]
