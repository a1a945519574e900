"""The networks whose solving is measured: grids and a ladder of capacitors on a 12 V battery, values from E12."""

from __future__ import annotations

from dataclasses import dataclass
from fractions import Fraction
from itertools import pairwise
from typing import Any

E12 = ("1.0", "1.2", "1.5", "1.8", "2.2", "2.7", "3.3", "3.9", "4.7", "5.6", "6.8", "8.2")
EMF = 12


@dataclass(frozen=True)
class Network:
    """Capacitors (joint, joint, value in µF), and the two joints of the battery; no sketch yet."""

    capacitors: tuple[tuple[str, str, str], ...]
    plus: str
    minus: str

    @property
    def joints(self) -> tuple[str, ...]:
        return tuple(dict.fromkeys(joint for a, b, _ in self.capacitors for joint in (a, b)))

    def sketch(self) -> dict[str, Any]:
        """The sketch document; positions do not matter."""
        battery = {"name": "E1", "kind": "battery", "value": f"{EMF} V", "from": self.plus, "to": self.minus}
        return {
            "joints": {joint: [2 * (place % 200), 2 * (place // 200)] for place, joint in enumerate(self.joints)},
            "parts": [
                battery,
                *(
                    {"name": f"C{number}", "kind": "capacitor", "value": f"{value} µF", "from": a, "to": b}
                    for number, (a, b, value) in enumerate(self.capacitors, 1)
                ),
            ],
        }

    def equations(self) -> tuple[list[list[Fraction]], list[Fraction], tuple[str, ...]]:
        """Charge balance at every joint but the battery's two: matrix (µF), right-hand side (µC), the joints."""
        unknown = tuple(joint for joint in self.joints if joint not in (self.plus, self.minus))
        row = {joint: place for place, joint in enumerate(unknown)}
        matrix = [[Fraction(0)] * len(unknown) for _ in unknown]
        side = [Fraction(0)] * len(unknown)
        for start, end, value in self.capacitors:
            for here, there in ((start, end), (end, start)):
                if here not in row:
                    continue
                matrix[row[here]][row[here]] += Fraction(value)
                if there in row:
                    matrix[row[here]][row[there]] -= Fraction(value)
                elif there == self.plus:
                    side[row[here]] += Fraction(value) * EMF
        return matrix, side, unknown


def _value(place: int) -> str:
    return E12[7 * place % 12]


def grid(size: int) -> Network:
    """A square grid of `size` × `size` joints, the battery between opposite corners: 2·size·(size − 1) capacitors."""
    lines = [[f"g{across}_{down}" for across in range(size)] for down in range(size)]
    pairs = [pair for line in (*lines, *zip(*lines, strict=True)) for pair in pairwise(line)]
    capacitors = tuple((a, b, _value(place)) for place, (a, b) in enumerate(pairs))
    return Network(capacitors, lines[0][0], lines[-1][-1])


def ladder(capacitors: int) -> Network:
    """Sections of one capacitor along and one across, the battery at the near end."""
    sections = range(capacitors // 2)
    pairs = [pair for section in sections for pair in ((f"a{section}", f"a{section + 1}"), (f"a{section + 1}", "0"))]
    return Network(tuple((a, b, _value(place)) for place, (a, b) in enumerate(pairs)), "a0", "0")
