"""Cautions, from the voltages and energies that there are: the figures, the hazards, what is usual, and who decides.

They defer to local codes, the school's rules and trained people, and never say that anything is safe. The thresholds
and their sources are data, in shared/cautions.json. What is usual is common practice; that voltage comes back is
measured as in MIL-C-19978, the figure for electrolytic capacitors from an encyclopedia's account.
"""

from __future__ import annotations

import json
from collections.abc import Collection, Iterable, Mapping, Sequence
from dataclasses import dataclass
from pathlib import Path
from typing import Any, Final

import jsonschema_rs

from solver.energy import accounts
from solver.outcome import Outcome
from solver.quantities import Quantity
from solver.readings import Reading, Writing
from solver.solving import SolvedNetwork

_SHARED: Final = Path(__file__).resolve().parent.parent / "shared"

CHARGED: Final = (
    "Caution: capacitors stay charged when the battery is gone. Whoever builds this follows the school's rules and is "
    "watched over by a trained person; before anything is touched, each capacitor is discharged through a resistor and "
    "checked with a meter."
)
LIVE: Final = (
    "Caution: whoever builds this follows the school's rules and is watched over by a trained person. A battery that "
    "is shorted gets hot enough to burn."
)
_HAZARDS: Final = {
    "touch": "Above {volts:g} V d.c. school guidance speaks of a hazard where more than 5 mA can flow ({source}).",
    "shock": "A shock from a capacitor that holds {joules} or more at {volts:g} V or more is dangerous ({source}).",
    "deadly": "From {joules} at {volts:g} V on a shock can kill ({source}).",
    "burn": "More than {joules} burns and melts metal, whatever the voltage ({source}).",
    "arc": "From {joules} at {volts:g} V on an arc flashes and throws metal ({source}).",
}
VENTING: Final = (
    "An electrolytic capacitor past its rating or joined the wrong way round heats up, can vent hot electrolyte, and "
    "can burst."
)
DISCHARGING: Final = (
    "Capacitors stay charged when the battery is gone. What is usual: guard what is live; discharge each capacitor "
    "through a resistor, never with bare metal, which arcs; wait; measure; then short its terminals and keep them "
    "shorted; never work alone."
)
SWITCHING_OFF: Final = (
    "What is usual: switch off and measure before anything is touched, guard what is live, never work alone. A battery "
    "that is shorted gets hot enough to burn."
)
COMING_BACK: Final = (
    "Some of the voltage comes back by itself after a discharge (dielectric absorption), in an aluminium electrolytic "
    "capacitor up to some 10 to 15 %: so keep it shorted, and measure again."
)
DECIDING: Final = (
    "Local codes, the school's rules and a trained or licensed person decide what may be built and touched, not this "
    "page."
)


@dataclass(frozen=True)
class Threshold:
    """From which voltage and energy on a hazard is spoken of; `past` tells whether a bound has to be passed or only
    reached, and a bound that is None does not matter. Volts and joules."""

    hazard: str
    volts: float | None
    joules: float | None
    past: frozenset[str]
    source: str

    def is_met(self, volts: float, joules: float) -> bool:
        """Whether so much is past this threshold."""
        found = {"volts": (volts, self.volts), "joules": (joules, self.joules)}
        return all(
            bound is None or there > bound or (there == bound and name not in self.past)
            for name, (there, bound) in found.items()
        )

    def sentence(self) -> str:
        """The hazard, the bounds and who says so."""
        return _HAZARDS[self.hazard].format(volts=self.volts, joules=_amount(self.joules or 0), source=self.source)


def _amount(joules: float) -> str:
    return f"{joules:g} J" if joules < 1000 else f"{joules / 1000:g} kJ"


def _threshold(entry: Mapping[str, Any]) -> Threshold:
    bounds = {name: next(iter(entry[name].items())) for name in ("volts", "joules") if name in entry}
    past = frozenset(name for name, (sort, _) in bounds.items() if sort == "above")
    source = entry["source"] if entry["sure"] == "read" else f"{entry['source']}, {entry['sure']}"
    numbers = {name: float(number) for name, (_, number) in bounds.items()}
    return Threshold(entry["hazard"], numbers.get("volts"), numbers.get("joules"), past, source)


def thresholds_of(document: Any) -> tuple[Threshold, ...]:
    """The thresholds of a document such as shared/cautions.json. Raises jsonschema_rs.ValidationError."""
    schema = json.loads((_SHARED / "cautions.schema.json").read_text("utf-8"))
    jsonschema_rs.Draft202012Validator(schema).validate(document)
    return tuple(map(_threshold, document["thresholds"]))


THRESHOLDS: Final = thresholds_of(json.loads((_SHARED / "cautions.json").read_text("utf-8")))


@dataclass(frozen=True)
class Caution:
    """`figures` is how much there is, in one line; `sentences` say what it can do, what is usual, and who decides."""

    figures: str
    sentences: tuple[str, ...]

    def document(self) -> dict[str, Any]:
        """The caution as the web interface sends it."""
        return {"figures": self.figures, "sentences": list(self.sentences)}


def for_figures(
    voltage: Reading | None, energy: Reading | None, kinds: Collection[str] = ("capacitor",)
) -> Caution | None:
    """The caution for so much voltage and stored energy; None below every threshold, and where symbols remain.

    `kinds` says what there is, "capacitor" above all.

    >>> from flint import fmpq
    >>> made = for_figures(Reading(fmpq(400), Quantity.VOLTAGE), Reading(fmpq(8, 25), Quantity.ENERGY))
    >>> made.figures
    'Caution: up to 400 V and up to 320 mJ'
    """
    volts, joules = ((reading.value if reading else None) or 0.0 for reading in (voltage, energy))
    met = [threshold for threshold in THRESHOLDS if threshold.is_met(volts, joules)]
    if not met:
        return None
    # Of two thresholds for one hazard the higher one says it all.
    hazards = {threshold.hazard: threshold.sentence() for threshold in met}
    if "deadly" in hazards:
        del hazards["shock"]
    figures = " and ".join(f"up to {reading.text}" for reading in (voltage, energy) if reading and reading.value)
    usual = [VENTING, DISCHARGING, COMING_BACK] if "capacitor" in kinds else [SWITCHING_OFF]
    return Caution(f"Caution: {figures}", (*hazards.values(), *usual, DECIDING))


def caution_of(networks: Sequence[SolvedNetwork]) -> Caution | None:
    """The caution for a network, or for all the stages of one: the most that there is at any time."""
    if not networks or networks[0].writing.symbols:
        return None
    voltage, energy = _most(networks)
    return for_figures(voltage, energy, _kinds(networks))


def cautions_of(networks: Sequence[SolvedNetwork]) -> tuple[str, ...]:
    """Sentences for paper: the caution in full, or below every threshold a general one; none for a network where
    nothing is charged and nothing drives a current."""
    if not any(
        network.batteries or any(part.initial for part in network.capacitors)
        for network in (each.outcome.network for each in networks)
    ):
        return ()
    caution = caution_of(networks)
    if caution is not None:
        return (f"{caution.figures}.", *caution.sentences)
    return (CHARGED if "capacitor" in _kinds(networks) else LIVE,)


def _kinds(networks: Iterable[SolvedNetwork]) -> set[str]:
    return {part.kind for solved in networks for part in solved.sketch.parts}


def _most(networks: Sequence[SolvedNetwork]) -> tuple[Reading, Reading]:
    voltages, energies = zip(*(_most_of(solved.outcome) for solved in networks), strict=True)
    writing: Writing = networks[0].writing
    return Reading(max(voltages), Quantity.VOLTAGE, writing), Reading(max(energies), Quantity.ENERGY, writing)


def _most_of(outcome: Outcome) -> tuple[Any, Any]:
    """The largest voltage between two conductors that are tied to each other, and the most that is stored."""
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
    stored = accounts(outcome)
    after = sum((account.stored for account in stored), network.arithmetic.zero)
    return highest, max(after, after - sum((account.rise for account in stored), network.arithmetic.zero))
