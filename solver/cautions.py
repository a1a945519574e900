"""Cautions for a handout, from the voltages and energies on the page: what whoever builds the network has to know.

They defer to the school's rules and to trained people, and never say that anything is safe. Thresholds:

- 40 V d.c.: CLEAPSS Student Safety Sheet 10 (UK schools), hazard above it where more than 5 mA can flow.
- 10 J at 100 V: LBNL Electrical Safety Manual, table 2.2.13, shock hazard of stored energy. Sources disagree, down to
  0.25 J at 400 V and 1 J at 100 V (NFPA 70E-2021 §360.3, from memory); the lower ones are taken here.
- 100 J below 100 V: LBNL, table 2.3.5, burns.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any, Final

from solver.outcome import Outcome
from solver.quantities import Quantity
from solver.readings import Reading, Writing
from solver.solution import Solution

CHARGED: Final = (
    "Caution: capacitors stay charged when the battery is gone. Whoever builds this follows the school's rules and is "
    "watched over by a trained person; before anything is touched, each capacitor is discharged through a resistor and "
    "checked with a meter."
)
LIVE: Final = (
    "Caution: whoever builds this follows the school's rules and is watched over by a trained person. A battery that "
    "is shorted gets hot enough to burn."
)
VOLTAGE: Final = (
    "There is up to {voltage} here. Above 40 V d.c. school guidance speaks of a hazard where more than 5 mA can flow "
    "(CLEAPSS Student Safety Sheet 10): only trained people may build it."
)
SHOCK: Final = (
    "It stores up to {energy} at up to {voltage}: a shock from so much can be dangerous, and from 10 J at 100 V on can "
    "kill (LBNL Electrical Safety Manual, table 2.2.13). On paper only."
)
BURN: Final = (
    "It stores up to {energy}: more than 100 J burns and melts metal at any voltage (LBNL Electrical Safety Manual, "
    "table 2.3.5). On paper only."
)
_SHOCKS: Final = ((400.0, 0.25), (100.0, 1.0))
"""From which voltage and energy together a shock is spoken of (volts, joules)."""
_HAZARDOUS_VOLTS: Final = 40.0
_BURNING_JOULES: Final = 100.0


@dataclass(frozen=True)
class _Most:
    """The largest voltage between two conductors that are tied to each other, and all the energy that is stored."""

    voltage: Reading | None
    energy: Reading | None


def cautions_of(outcome: Outcome, solution: Solution, writing: Writing) -> tuple[str, ...]:
    """Sentences, the general one first; none for a network where nothing is charged and nothing drives a current.

    With symbols for values only the general one can be given.
    """
    network = outcome.network
    if not network.batteries and not any(part.initial for part in network.capacitors):
        return ()
    most = _most(outcome, solution, writing)
    sentences = [CHARGED if network.capacitors else LIVE]
    volts = (most.voltage.value if most.voltage else None) or 0.0
    joules = (most.energy.value if most.energy else None) or 0.0
    if most.voltage and volts > _HAZARDOUS_VOLTS:
        sentences.append(VOLTAGE.format(voltage=most.voltage.text))
    if most.voltage and most.energy and any(volts >= least and joules >= stored for least, stored in _SHOCKS):
        sentences.append(SHOCK.format(energy=most.energy.text, voltage=most.voltage.text))
    elif most.energy and joules > _BURNING_JOULES:
        sentences.append(BURN.format(energy=most.energy.text))
    return tuple(sentences)


def _most(outcome: Outcome, solution: Solution, writing: Writing) -> _Most:
    if writing.symbols:
        return _Most(None, None)
    network = outcome.network
    highest: Any = network.arithmetic.zero
    levels: dict[int, list[Any]] = {}
    for number, piece in enumerate(network.piece_at):
        levels.setdefault(piece, []).append(outcome.potential(number))
    for tied in levels.values():
        highest = max(highest, max(tied) - min(tied))
    # What a capacitor had at the start, and a battery alone, count too: they were on the bench before all was settled.
    highest = max(
        [highest, *(abs(part.initial) for part in network.capacitors), *(abs(part.emf) for part in network.batteries)]
    )
    return _Most(Reading(highest, Quantity.VOLTAGE, writing), solution.totals.energy)
