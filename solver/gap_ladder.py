"""The builds next to one, with a wider and a narrower gap: what a capacitor's build steps through."""

from __future__ import annotations

import re
from dataclasses import replace
from typing import Final

import flint

from solver.build_words import build_words
from solver.geometry import LENGTHS, Build, Shape
from solver.numerals import decimal_text
from solver.preferred import Ladder, nearest_preferred, step

_SERIES: Final = "E12"
_EACH_WAY: Final = 24
_SMALLEST: Final = flint.fmpq(1, 10**9)
_LARGEST: Final = flint.fmpq(10**7)
_PLACES: Final = 15
"""Decimals that suffice for two figures of the smallest length in the largest unit."""


def gap_ladder(build: Build) -> Ladder:
    """The builds next to this one, the narrowest gap first; the gap steps through preferred numbers (IEC 60063).

    Of layers the last one steps; of spheres and cylinders the outer radius, which stays the larger one; of a lone
    sphere its radius.

    >>> from solver.geometry import read_build
    >>> ladder = gap_ladder(read_build("plates 20 cm² 0.1 mm mica"))
    >>> ladder.texts[ladder.position - 1 : ladder.position + 2]
    ('plates 20 cm² 0.082 mm mica', 'plates 20 cm² 0.1 mm mica', 'plates 20 cm² 0.12 mm mica')
    """
    now, written, least = _stepping(build)
    below = [rung for count in range(_EACH_WAY, 0, -1) if least < (rung := step(now, _SERIES, -count))]
    above = [rung for count in range(1, _EACH_WAY + 1) if (rung := step(now, _SERIES, count)) < _LARGEST]
    texts = [build_words(_stepped(build, _spelt(rung, written), rung)) for rung in (*below, *above)]
    texts.insert(len(below), build_words(build))
    return Ladder(tuple(texts), len(below), preferred=nearest_preferred(now, _SERIES) == now)


def _stepping(build: Build) -> tuple[flint.fmpq, str, flint.fmpq]:
    """The length that steps (metres), how it is written, and what it has to be larger than."""
    if build.shape is Shape.PLATES:
        return build.layers[-1].thickness, build.layers[-1].written, _SMALLEST
    place = 0 if build.shape is Shape.SPHERE else 1
    return build.sizes[place], build.written[place], build.sizes[0] if place else _SMALLEST


def _stepped(build: Build, written: str, length: flint.fmpq) -> Build:
    if build.shape is Shape.PLATES:
        last = len(build.layers) - 1
        layers = (
            replace(layer, thickness=length, written=written) if place == last or not build.stacked else layer
            for place, layer in enumerate(build.layers)
        )
        return replace(build, layers=tuple(layers))
    place = 0 if build.shape is Shape.SPHERE else 1
    sizes, texts = list(build.sizes), list(build.written)
    sizes[place], texts[place] = length, written
    return replace(build, sizes=tuple(sizes), written=tuple(texts))


def _spelt(length: flint.fmpq, like: str) -> str:
    """A length that is a decimal, in the unit of another."""
    found = re.search(r"[a-zµ]+$", like)
    unit = found[0] if found else "m"
    whole = length * flint.fmpq(10) ** (_PLACES - LENGTHS[unit])
    return f"{decimal_text(str(whole.p // whole.q), -_PLACES).rstrip('0').rstrip('.')} {unit}"
