"""The solved network in numbers: the settled state together with what passed on the way to it."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, field
from typing import Self

from solver.arithmetic import Scalar
from solver.ideal import IdealGroups
from solver.network import Branch, Network
from solver.passed import Passed, passed
from solver.settled import Settled, settle
from solver.steady import Steady, steady


@dataclass(frozen=True)
class Outcome:
    """A solved network.

    `flows` are the pieces in which a steady current remains.
    """

    network: Network
    ideal: IdealGroups
    steady: Steady
    settled: Settled
    passed: Passed
    flows: frozenset[int] = field(init=False)

    def __post_init__(self) -> None:
        flowing = {
            self.network.piece_at[battery.a]
            for battery, current in zip(self.network.batteries, self.steady.battery_current, strict=True)
            if current
        }
        object.__setattr__(self, "flows", frozenset(flowing))

    @classmethod
    def of(cls, network: Network, ideal: IdealGroups, *, equivalents: bool) -> Self:
        """Solves a network; `equivalents` asks for what each battery sees, at one more column for each."""
        state = steady(network, ideal, resistances=equivalents)
        settled = settle(network, state, state.bridges if equivalents else frozenset())
        return cls(network, ideal, state, settled, passed(network, ideal, state, settled))

    @property
    def residual(self) -> float | None:
        """The largest residual of an equation, relative to its terms; None where everything is exact."""
        if self.network.arithmetic.exact:
            return None
        return max((*self.steady.residuals, *self.settled.residuals, *self.passed.residuals), default=0.0)

    def potential(self, conductor: int) -> Scalar:
        """The potential of a conductor above the zero of its piece (volts)."""
        sums, settled, piece = self.network.arithmetic, self.settled, self.network.piece_at[conductor]
        return sums.ratio(sums.denoised(settled.level[conductor], settled.largest[piece]), settled.denominator[piece])

    def voltages(self, parts: Sequence[Branch]) -> list[Scalar]:
        """The voltage of each part: the potential at its from end less that at its to end (volts)."""
        settled, piece_at = self.settled, self.network.piece_at
        level, denominator, largest = settled.level, settled.denominator, settled.largest
        return self.network.arithmetic.differences(
            (level[part.a], level[part.b], denominator[piece_at[part.a]], largest[piece_at[part.a]]) for part in parts
        )

    def voltage(self, a: int, b: int) -> Scalar | None:
        """The potential at a less that at b (volts); None where nothing ties the two to each other."""
        settled, piece = self.settled, self.network.piece_at[a]
        if piece != self.network.piece_at[b]:
            return None
        pair = settled.level[a], settled.level[b], settled.denominator[piece], settled.largest[piece]
        return self.network.arithmetic.differences([pair])[0]

    def is_undecided(self, battery: int) -> bool:
        """Whether the battery lies in a loop of ideal batteries, so that its share of the current is open."""
        return battery in self.ideal.in_loop

    def charge_of_battery(self, battery: int) -> Scalar | None:
        """What the battery delivered while all settled (coulombs); None where that is not determined."""
        if self.is_undecided(battery) or self.steady.battery_current[battery]:
            return None
        return self.passed.battery[battery]
