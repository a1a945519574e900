"""The notes on a solved network: what floats, what is shorted, and why a quantity is absent."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Final

from solver.checks import Checks
from solver.faults import Note, note
from solver.outcome import Outcome

_FLOATING_LISTED: Final = 20


def remarks(outcome: Outcome, checks: Checks, *, equivalents_left_out: bool) -> Iterator[Note]:
    """The notes on the whole sheet; those on probes come with the probes."""
    if outcome.residual is not None:
        yield note("float-method", residual=f"{outcome.residual:.1e}")
    yield from _floating(outcome)
    network = outcome.network
    if shorted := [part.name for part in network.branches if part.a == part.b]:
        yield note("shorted-part", parts=shorted)
    flowing = [
        battery.name
        for index, battery in enumerate(network.batteries)
        if not outcome.is_undecided(index) and outcome.steady.battery_current[index]
    ]
    if flowing:
        yield note("steady-current", parts=flowing)
    for loop in outcome.ideal.loops:
        yield note("split-open", parts=[network.batteries[index].name for index in loop])
    if equivalents_left_out:
        yield note("equivalents-left-out")
    if (shown := checks.number_shown()) < (total := len(checks)):
        yield note("checks-left-out", shown=str(shown), total=str(total))


def _floating(outcome: Outcome) -> Iterator[Note]:
    """Pieces other than the one with the joint at zero; joints with no part but wires and open switches together."""
    network = outcome.network
    main = network.piece_at[network.zero] if network.pieces else 0
    loose: list[str] = []
    listed = left_out = 0
    for piece, bodies in enumerate(network.pieces):
        conductors = [conductor for body in bodies for conductor in network.bodies[body]]
        if piece == main:
            continue
        if len(conductors) == 1:
            loose.extend(network.conductors[conductors[0]])
        elif listed < _FLOATING_LISTED:
            listed += 1
            joints = [joint for conductor in sorted(conductors) for joint in network.conductors[conductor]]
            yield note("floating", joints=joints, joint=network.conductors[network.zeros[piece]][0])
        else:
            left_out += 1
    if left_out:
        yield note("more-floating", count=str(left_out))
    if loose:
        yield note("loose-joints", joints=loose)
