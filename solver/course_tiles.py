"""The picture of rectangles at every moment: as curves, in one arrangement for the whole course.

The arrangement is that of numbers which change: each is what it is in the end together with its exact weights (see
transient), so a sum of them is right at every moment, and two that are equal are equal at all times.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from functools import cached_property
from math import exp
from operator import add, mul, neg, sub
from typing import Any, Final

import flint

from solver.arithmetic import Scalar
from solver.checks import conductor_name
from solver.network import Capacitor, Resistor, joins
from solver.solving import SolvedNetwork
from solver.tile_drawing import routes
from solver.tile_layout import Ground, Layout, Standing, Untiled, tiled
from solver.tiles import MOST_TILES
from solver.transient import Curve, Transient

_SAMPLES: Final = 12
"""Moments, a factor apart, at which it is looked for currents and charges that change their direction."""
_NOISE: Final = 1e-9
_ROW: Final = "They do not fill one rectangle all the while, so they stand side by side, at common scales."


@dataclass(frozen=True)
class _Scale:
    """What numbers that change are compared by: nearly their values at one moment."""

    deviations: tuple[flint.fmpq, ...]


@dataclass(frozen=True, eq=False)
class _Moving:
    """A number that changes: what it is in the end, and its weights."""

    entries: tuple[flint.fmpq, ...]
    scale: _Scale

    @cached_property
    def now(self) -> flint.fmpq:
        """What it is compared by."""
        final, *weights = self.entries
        return sum(map(mul, self.scale.deviations, weights), final)

    def __add__(self, other: _Moving) -> _Moving:
        return self._with(map(add, self.entries, other.entries))

    def __sub__(self, other: _Moving) -> _Moving:
        return self._with(map(sub, self.entries, other.entries))

    def __neg__(self) -> _Moving:
        return self._with(map(neg, self.entries))

    def __mul__(self, factor: Any) -> _Moving:
        return self._with(a * factor for a in self.entries)

    def __truediv__(self, other: Any) -> Any:
        return self.now / other.now if isinstance(other, _Moving) else self._with(a / other for a in self.entries)

    def __bool__(self) -> bool:
        return any(self.entries)

    def __lt__(self, other: Any) -> bool:
        return bool(self.now < (other.now if isinstance(other, _Moving) else other))

    def __gt__(self, other: Any) -> bool:
        return bool(self.now > (other.now if isinstance(other, _Moving) else other))

    def _with(self, entries: Any) -> _Moving:
        return _Moving(tuple(entries), self.scale)


def moving_tiles(solved: SolvedNetwork, found: Transient) -> list[dict[str, Any]]:
    """A picture for each network of capacitors, and of resistors, that has charge or current at any time.

    Left sides and widths are curves in SI units from the picture's left side, what they stand on and under conductors.
    """
    network = solved.outcome.network
    groups: tuple[tuple[str, Sequence[Capacitor | Resistor], Sequence[int]], ...] = (
        ("capacitor", network.capacitors, network.piece_at),
        ("resistor", network.resistors, network.body_of),
    )
    maker = _Maker(solved, found)
    return [
        maker.picture(kind, own, {conductor for conductor, at in enumerate(group_at) if at == group})
        for kind, parts, group_at in groups
        if len(parts) <= MOST_TILES
        for group in dict.fromkeys(group_at[part.a] for part in parts)
        if any(map(maker.flows, own := [part for part in parts if group_at[part.a] == group]))
    ]


class _Maker:
    """Makes the pictures of one course."""

    def __init__(self, solved: SolvedNetwork, found: Transient) -> None:
        self._solved: Final = solved
        self._network: Final = solved.outcome.network
        self._found: Final = found
        self._routes: Final = routes(solved.sketch)
        self._part: Final = {part.name: part for part in solved.sketch.parts}
        rates = found.decay.rates
        slow, fast = 1 / rates[0], 1 / rates[-1]
        ratio = (5 * slow / (fast / 50)) ** (1 / (_SAMPLES - 1))
        moments = [fast / 50 * ratio**step for step in range(_SAMPLES)]
        self._left: Final = [[exp(-rate * time) for rate in rates] for time in moments]
        middle = (slow * fast) ** 0.5
        self._scale: Final = _Scale(tuple(found.decay.at(middle)))

    def flows(self, part: Capacitor | Resistor) -> bool:
        """Whether the part has charge or current at any time."""
        curve = self._curve(part)
        return bool(curve.final) or any(curve.weights)

    def picture(self, kind: str, parts: Sequence[Capacitor | Resistor], inside: set[int]) -> dict[str, Any]:
        """The picture of parts between these conductors."""
        own = [part for part in parts if self.flows(part)]
        standing = [self._standing(part) for part in own]
        ends = self._network.conductor_of
        wires = tuple(part for part in self._solved.sketch.parts if joins(part) and ends[part.start] in inside)
        layout = None
        if all(each.flow.now for each in standing) and not any(map(self._turns, own)):
            found = tiled(standing, Ground(self._solved.sketch, self._routes, wires))
            layout = None if isinstance(found, Untiled) else found
        return {
            "kind": kind,
            "note": None if layout else _ROW,
            "tiles": [
                {
                    "part": each.part.name,
                    "from": conductor_name(ends[each.part.start]),
                    "to": conductor_name(ends[each.part.end]),
                    "left": self._document(layout.left[each.part.name]) if layout else None,
                }
                for each in sorted(standing, key=lambda each: each.drawn)
                if layout is None or each.part.name in layout.left
            ],
            "bars": self._bars(layout) if layout else None,
            "conductors": [conductor_name(conductor) for conductor in sorted(inside)],
        }

    def _curve(self, part: Capacitor | Resistor) -> Curve:
        curves = self._found.parts[part.name]
        curve = curves.charge if isinstance(part, Capacitor) else curves.current
        assert curve is not None
        return curve

    def _standing(self, part: Capacitor | Resistor) -> Standing:
        curve = self._curve(part)
        flow = _Moving((curve.final, *curve.weights), self._scale)
        turned = flow.now < 0
        high, low = (part.b, part.a) if turned else (part.a, part.b)
        across, down = self._routes[part.name].middle
        return Standing(self._part[part.name], high, low, -flow if turned else flow, bool(turned), across + down / 1000)

    def _turns(self, part: Capacitor | Resistor) -> bool:
        """Whether charge or current change their direction."""
        curve = self._curve(part)
        final = float(curve.final)
        values = [float(curve.first), final]
        if min(curve.amplitudes) < 0 < max(curve.amplitudes):
            # Else it goes one way only.
            values += [final + sum(map(mul, curve.amplitudes, left)) for left in self._left]
        slack = _NOISE * max(map(abs, values))
        return bool(min(values) < -slack and max(values) > slack)

    def _bars(self, layout: Layout) -> list[dict[str, Any]]:
        return [
            {
                "conductor": conductor_name(span.node),
                "left": self._document(span.left),
                "right": self._document(span.right),
            }
            for span in layout.spans
        ]

    def _document(self, moving: Scalar) -> dict[str, Any]:
        final, *weights = moving.entries
        [amplitudes] = self._found.decay.amplitudes([weights])
        return {"final": float(final), "amplitudes": list(amplitudes)}
