"""Capacitors that are together like one: parallel ones as one larger area, series ones as one larger gap.

Where all are plates of one gap (parallel) or one area (series), the sizes are theirs. Else they are drawn as if: one
common gap, so that area goes with capacitance, or one common area, so that the gap goes with 1/C.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from typing import Any, Final

import flint

from solver.arithmetic import Scalar
from solver.built import Built
from solver.faults import every
from solver.format import format_number
from solver.functions import number_of
from solver.geometry import Build, Shape
from solver.network import Capacitor
from solver.numerals import take_numeral
from solver.quantities import Quantity
from solver.readings import Reading
from solver.solving import SolvedNetwork

_MOST_PARTS: Final = 400
"""Capacitors up to which merging ones are looked for."""


@dataclass(frozen=True)
class Piece:
    """One of the capacitors: `size` is its share of the whole area or gap, `text` that area or gap, or its value.

    `layers` are the names of what fills it, each with its share of the gap; none where it has no build.
    """

    part: str
    size: float
    text: str
    layers: tuple[tuple[str, float], ...]


@dataclass(frozen=True)
class Merge:
    """Capacitors in parallel or, in their order, in series. `common` is the gap or area that all have, None where they
    are drawn as if they had one; `whole` the area or gap they have together, None likewise."""

    kind: str
    pieces: tuple[Piece, ...]
    common: str | None
    whole: str | None
    capacitance: Reading

    def document(self) -> dict[str, Any]:
        """As the web interface sends it, with one sentence on why the rule holds."""
        return {
            "kind": self.kind,
            "pieces": [
                {"part": piece.part, "size": piece.size, "text": piece.text, "layers": list(map(list, piece.layers))}
                for piece in self.pieces
            ],
            "common": self.common,
            "whole": self.whole,
            "capacitance": self.capacitance.text,
            "sentence": self.sentence(),
        }

    def sentence(self) -> str:
        """Why they add, with the numbers."""
        sizes = " + ".join(piece.text for piece in self.pieces)
        names = every([piece.part for piece in self.pieces])
        if self.kind == "parallel":
            why = f"{names} have the same voltage across their plates, so side by side they are one pair of plates"
            if self.whole is None:
                return f"{why} with all the area: the capacitances add up to {self.capacitance}."
            return f"{why} of {sizes} = {self.whole}, {self.common} apart: {self.capacitance}."
        middle = "The plates in the middle carry −Q and +Q, which cancel when one is laid on the other"
        if self.whole is None:
            return f"{middle}; what is left of {names} is one wider gap: 1/C adds up, together {self.capacitance}."
        return f"{middle}; what is left is one gap of {sizes} = {self.whole}, {self.common} wide: {self.capacitance}."


def merges_of(solved: SolvedNetwork, built: Mapping[str, Built]) -> tuple[Merge, ...]:
    """The groups of capacitors in parallel, then those in series with nothing on the conductors between them.

    Values that are symbols are left out unless the sizes are numbers all the same, as for C and 2C.
    """
    capacitors = [part for part in solved.outcome.network.capacitors if part.a != part.b]
    if not 1 < len(capacitors) <= _MOST_PARTS:
        return ()
    maker = _Maker(solved, built)
    groups = [("parallel", group) for group in _parallel(capacitors)]
    groups += [("series", group) for group in _series(solved, capacitors)]
    made = (maker.merge(kind, group) for kind, group in groups)
    return tuple(merge for merge in made if merge is not None)


def _parallel(capacitors: Sequence[Capacitor]) -> Iterator[list[Capacitor]]:
    between: dict[frozenset[int], list[Capacitor]] = {}
    for part in capacitors:
        between.setdefault(frozenset((part.a, part.b)), []).append(part)
    return (group for group in between.values() if len(group) > 1)


def _series(solved: SolvedNetwork, capacitors: Sequence[Capacitor]) -> Iterator[list[Capacitor]]:
    """Chains over conductors on which two plates end, nothing else, and no charge is."""
    network, charges = solved.outcome.network, solved.outcome.settled.charges
    ends: dict[int, list[Capacitor]] = {}
    for part in capacitors:
        for conductor in (part.a, part.b):
            ends.setdefault(conductor, []).append(part)
    alone = {body[0] for body in network.bodies if len(body) == 1}
    links = {
        conductor
        for conductor, parts in ends.items()
        if conductor in alone and len(parts) == 2 and conductor in charges and not charges[conductor].held
    }
    seen: set[str] = set()
    for first in capacitors:
        outer = [conductor for conductor in (first.a, first.b) if conductor not in links]
        # Only what has an end that is no link begins a chain; a ring of links alone has none and is left out.
        if first.name in seen or len(outer) != 1:
            continue
        chain, at = [first], outer[0]
        while (at := chain[-1].a + chain[-1].b - at) in links:
            chain.append(next(part for part in ends[at] if part is not chain[-1]))
        seen |= {part.name for part in chain}
        yield chain


class _Maker:
    def __init__(self, solved: SolvedNetwork, built: Mapping[str, Built]) -> None:
        self._writing = solved.writing
        self._values = {part.name: (part.value or "").strip() for part in solved.sketch.parts}
        self._built = built

    def merge(self, kind: str, group: Sequence[Capacitor]) -> Merge | None:
        amounts = [part.capacitance if kind == "parallel" else 1 / part.capacitance for part in group]
        total = sum(amounts[1:], amounts[0])
        shares = [_number(amount / total) for amount in amounts]
        sizes = self._areas(group) if kind == "parallel" else self._gaps(group)
        whole: Scalar = total if kind == "parallel" else 1 / total
        capacitance = Reading(whole, Quantity.CAPACITANCE, self._writing)
        if sizes is not None:
            return Merge(kind, *sizes, capacitance)
        if any(share is None for share in shares):
            return None
        pieces = (
            Piece(part.name, share, self._text(part), ())
            for part, share in zip(group, shares, strict=True)
            if share is not None
        )
        return Merge(kind, tuple(pieces), None, None, capacitance)

    def _text(self, part: Capacitor) -> str:
        if part.name in self._built:
            return Reading(part.capacitance, Quantity.CAPACITANCE, self._writing).text
        return self._values[part.name]

    def _plates(self, group: Sequence[Capacitor]) -> list[Build] | None:
        """The builds of a group that is all plates."""
        builds = [self._built[part.name].build for part in group if part.name in self._built]
        whole = len(builds) == len(group) and all(build.shape is Shape.PLATES for build in builds)
        return builds if whole else None

    def _areas(self, group: Sequence[Capacitor]) -> tuple[tuple[Piece, ...], str, str] | None:
        """Plates with one filling and one gap throughout: their areas."""
        builds = self._plates(group)
        if builds is None or len({build.layers[0].thickness for build in builds}) > 1:
            return None
        if any(len(build.layers) > 1 for build in builds):
            return None
        areas = [build.sizes[0] for build in builds]
        whole = sum(areas, flint.fmpq(0))
        pieces = tuple(
            Piece(part.name, float(build.sizes[0] / whole), build.written[0], ((build.layers[0].dielectric.name, 1.0),))
            for part, build in zip(group, builds, strict=True)
        )
        return pieces, builds[0].layers[0].written, self._like(whole / areas[0], builds[0].written[0])

    def _gaps(self, group: Sequence[Capacitor]) -> tuple[tuple[Piece, ...], str, str] | None:
        """Plates of one area, filled in layers or by one dielectric: their gaps."""
        builds = self._plates(group)
        if builds is None or len({build.sizes[0] for build in builds}) > 1:
            return None
        if not all(build.stacked for build in builds):
            return None
        gaps = [sum((layer.thickness for layer in build.layers), flint.fmpq(0)) for build in builds]
        whole = sum(gaps, flint.fmpq(0))
        pieces = tuple(
            Piece(
                part.name,
                float(gap / whole),
                " + ".join(layer.written for layer in build.layers),
                tuple((layer.dielectric.name, float(layer.thickness / gap)) for layer in build.layers),
            )
            for part, build, gap in zip(group, builds, gaps, strict=True)
        )
        first = builds[0].layers[0]
        return pieces, builds[0].written[0], self._like(whole / first.thickness, first.written)

    def _like(self, times: flint.fmpq, written: str) -> str:
        """So many times a size as typed, in its unit."""
        unit = written.rpartition(" ")[2]
        number = take_numeral(written)[0].exact
        return f"{format_number(times * number, '', self._writing.figures)} {unit}"


def _number(scalar: Scalar) -> float | None:
    """The scalar as a float, None where symbols remain."""
    number = number_of(scalar)
    return None if number is None else float(number)
