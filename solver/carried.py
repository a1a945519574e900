"""Charge carried from one network to the next: what capacitors hold, and the same parts with that to begin with."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace

from solver.arithmetic import Scalar
from solver.network import Network
from solver.outcome import Outcome

Charges = Mapping[str, Scalar]
"""By each capacitor's name, the charge on the plate at its from end (coulombs)."""


def starting_charges(network: Network) -> Charges:
    """What the capacitors hold before anything is connected."""
    return {part.name: part.capacitance * part.initial for part in network.capacitors}


def voltages_held(outcome: Outcome) -> Mapping[str, Scalar]:
    """Each capacitor's voltage in the end (volts)."""
    parts = outcome.network.capacitors
    return dict(zip((part.name for part in parts), outcome.voltages(parts), strict=True))


def charges_held(outcome: Outcome) -> Charges:
    """What the capacitors hold in the end."""
    voltages = voltages_held(outcome)
    return {part.name: part.capacitance * voltages[part.name] for part in outcome.network.capacitors}


def holding(network: Network, charges: Charges) -> Network:
    """The network with these charges on its capacitors to begin with, whatever their capacitances are now."""
    parts = network.capacitors
    return replace(
        network, capacitors=tuple(part._replace(initial=charges[part.name] / part.capacitance) for part in parts)
    )
