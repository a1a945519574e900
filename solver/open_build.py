"""A build with one size “?”: how its capacitance goes with that size, and the size that a capacitance asks for.

In one size x every build is of one of four kinds: C = s·x (an area, a length, the radius of a lone sphere),
C = s/(x + o) (a gap, a layer beside others), C = s/|1/x − 1/o| (a radius of two spheres) and C = s/|ln(x/o)| (a radius
of two cylinders). These are the formulas of geometry.py, turned round.
"""

from __future__ import annotations

import re
from dataclasses import dataclass, replace
from enum import Enum
from functools import lru_cache
from typing import Final

import flint

from solver.build_words import build_words
from solver.format import format_number
from solver.geometry import (
    ASKED,
    LARGEST,
    LENGTHS,
    SMALLEST,
    VACUUM_PERMITTIVITY,
    Build,
    BuildFault,
    Shape,
    pi,
    read_build,
    read_open_build,
)
from solver.kinds import KINDS
from solver.numerals import decimal_text
from solver.rounding import round_ratio, rounded_text

_FIGURES: Final = 15
_MORE: Final = 5
_MOST_LOST: Final = 12
_STEEPEST: Final = 60
_PRECISION: Final = 256


class Law(Enum):
    """How a capacitance goes with the size that is asked for."""

    PROPORTIONAL = "C = s·x"
    GAP = "C = s/(x + o)"
    SPHERES = "C = s/|1/x − 1/o|"
    CYLINDERS = "C = s/|ln(x/o)|"


_RADII: Final = (Law.SPHERES, Law.CYLINDERS)


class NoSize(Exception):
    """No size gives the capacitance that a `part` needs; `word` says which size, the text why, without a full stop."""

    def __init__(self, part: str, word: str, why: str) -> None:
        super().__init__(why)
        self.part = part
        self.word = word


@dataclass(frozen=True)
class OpenBuild:
    """A build with one size to be found: `law`, `scale` (s) and `other` (o) say how its capacitance goes with it, in
    SI units. `word` is what the size is called, `power` 2 of an area, else 1."""

    build: Build
    word: str
    power: int
    law: Law
    scale: flint.fmpq
    other: flint.fmpq

    def goes_with(self, another: OpenBuild) -> bool:
        """Whether the two capacitances have one ratio, that of their scales, whatever the size is."""
        own, theirs = ((each.law, each.other, each.build.shape, each.build.asked) for each in (self, another))
        return own == theirs

    def size_for(self, capacitance: flint.fmpq, part: str) -> flint.fmpq:
        """The size that gives a capacitance of more than zero (farads), in metres or square metres; exact between
        plates, else to as many digits as π and logarithms have. Raises NoSize with a sentence on `part`.

        >>> build = open_build("plates 1 m² ? vacuum")
        >>> build.size_for(flint.fmpq(88541878128, 10**19), "C1")
        1/1000
        """
        size = self._size_for(capacitance, part)
        if not SMALLEST <= size <= LARGEST:
            raise NoSize(
                part,
                self.word,
                f"{part} would need one of {self._about(size)}, far outside anything that could be built",
            )
        if self.law in _RADII and abs(size - self.other) < max(SMALLEST, size / 10**_MOST_LOST):
            raise NoSize(part, self.word, f"the two radii of {part} would have to be all but equal")
        return size

    def _size_for(self, capacitance: flint.fmpq, part: str) -> flint.fmpq:
        needed = format_number(capacitance, "F", 3)
        match self.law:
            case Law.PROPORTIONAL:
                return capacitance / self.scale
            case Law.GAP:
                thick = self.scale / capacitance - self.other
                if thick <= 0:
                    most = format_number(self.scale / self.other, "F", 3)
                    why = f"the other layers alone come to {most}, and one more makes that less"
                    raise NoSize(part, self.word, f"{why}; {part} would need {needed}")
                return thick
            case Law.SPHERES if self._is_inner:
                return 1 / (self.scale / capacitance + 1 / self.other)
            case Law.SPHERES:
                least = self.scale * self.other
                if capacitance <= least:
                    alone = format_number(least, "F", 3)
                    why = f"the inner sphere has {alone} even by itself, and one round it only adds to that"
                    raise NoSize(part, self.word, f"{why}; {part} would need {needed}")
                return 1 / (1 / self.other - self.scale / capacitance)
            case Law.CYLINDERS:
                return self._radius(self.scale / capacitance, part)

    def _radius(self, logarithm: flint.fmpq, part: str) -> flint.fmpq:
        """The other radius times or divided by e to the logarithm of the ratio of the two."""
        if logarithm > _STEEPEST:
            raise NoSize(part, self.word, f"one radius of {part} would have to be more than 10²⁶ times the other")
        with flint.ctx.workprec(_PRECISION):
            ratio = flint.arb(-logarithm if self._is_inner else logarithm).exp().mid().fmpq()
        return self.other * ratio

    @property
    def _is_inner(self) -> bool:
        return self.build.asked is not None and self.build.asked.index == 0

    def _about(self, size: flint.fmpq) -> str:
        if self.power == 1:
            return format_number(size, "m", 3)
        return f"{rounded_text(int(size.p), int(size.q), '', 3)} m²"

    # The size as text

    def text(self, size: flint.fmpq, figures: int) -> str:
        """The size as it is put in: in full where that takes at most fifteen figures, else to five more figures than
        readings are shown with, so that they are what they have to be.

        >>> open_build("plates ? cm² 1 mm").text(flint.fmpq(1, 3000), 3)
        '3.3333333 cm²'
        """
        number, unit = self._in_unit(size)
        text = _rounded(number, _FIGURES)
        if flint.fmpq(int(text.replace(".", ""))) != number * 10 ** len(text.partition(".")[2]):
            text = _rounded(number, self._figures(size, figures + _MORE))
        return f"{text.rstrip('0').rstrip('.') if '.' in text else text} {unit}"

    def shown(self, size: flint.fmpq, figures: int) -> str:
        """The size to so many figures, as it is read.

        >>> open_build("plates ? 1 mm").shown(flint.fmpq(1, 3000), 3)
        '3.33 cm²'
        """
        number, unit = self._in_unit(size)
        return f"{_rounded(number, self._figures(size, figures))} {unit}"

    def _figures(self, size: flint.fmpq, figures: int) -> int:
        """As many figures of a radius as leave so many of how far the two are apart."""
        if self.law not in _RADII:
            return figures
        apart = abs(size - self.other) / max(size, self.other)
        lost = 0
        while apart * 10 ** (lost + 1) < 1 and lost < _MOST_LOST:
            lost += 1
        return figures + lost

    def _in_unit(self, size: flint.fmpq) -> tuple[flint.fmpq, str]:
        """The size in the unit typed behind its “?”, else in that of the other lengths where it suits, else in one that
        does."""
        unit = next(
            (found for found in self._units() if found and self._suits(size, found, found == self._own())), None
        )
        unit = unit or self._usual_unit(size)
        return size / _metres(unit) ** self.power, unit + "²" * (self.power - 1)

    def _units(self) -> list[str]:
        written = (*self.build.written, *(layer.written for layer in self.build.layers))
        others = [] if self.power == 2 else [_unit(text) for text in written if "²" not in text and ASKED not in text]
        return [self._own(), *others]

    def _own(self) -> str:
        return _unit(self._written)

    def _suits(self, size: flint.fmpq, unit: str, own: bool) -> bool:
        number = size / _metres(unit) ** self.power
        return own or flint.fmpq(1, 10) <= number < 1000

    def _usual_unit(self, size: flint.fmpq) -> str:
        # Of areas "0.235 m²" reads better than "2350 cm²".
        least = flint.fmpq(1, 10) if self.power == 2 else flint.fmpq(1)
        units = ("km", "m", "cm", "mm", "µm", "nm")
        return next((unit for unit in units if size >= least * _metres(unit) ** self.power), "nm")

    @property
    def _written(self) -> str:
        place = self.build.asked
        assert place is not None
        return self.build.layers[place.index].written if place.in_gap else self.build.written[place.index]

    # The build with the size in it

    def closed(self, size: str) -> str:
        """The words of the build with a size in place of its “?”.

        >>> open_build("plates 20 cm² ? mica").closed("0.1 mm")
        'plates 20 cm² 0.1 mm mica'
        """
        return build_words(self._with(size))

    def told(self, size: str) -> str:
        """The same with the “?” before it: "plates 20 cm² ? = 0.1 mm mica"."""
        return build_words(self._with(f"{ASKED} = {size}"))

    def as_found(self, size: str) -> Build:
        """The build with a size in it."""
        return read_build(self.closed(size))

    def _with(self, written: str) -> Build:
        place = self.build.asked
        assert place is not None
        if place.in_gap:
            every = not self.build.stacked
            layers = tuple(
                replace(layer, written=written) if every or index == place.index else layer
                for index, layer in enumerate(self.build.layers)
            )
            return replace(self.build, layers=layers)
        texts = list(self.build.written)
        texts[place.index] = written
        return replace(self.build, written=tuple(texts))


@lru_cache(maxsize=256)
def open_build(text: str) -> OpenBuild:
    """Reads a build with one size to be found. Raises BuildFault.

    >>> build = open_build("plates 1 m² mica 1 mm + air ?")
    >>> build.word, build.law
    ('thickness of the air', <Law.GAP: 'C = s/(x + o)'>)
    """
    build = read_open_build(text)
    if build.asked is None:
        raise BuildFault("no size of it is “?”")
    # The size stands as 1 in it.
    if build.shape is Shape.PLATES:
        return _plates(build)
    word = KINDS["capacitor"].shapes[build.shape.value][build.asked.index]
    if word in ("length", "radius"):
        return OpenBuild(build, word, 1, Law.PROPORTIONAL, build.capacitance, flint.fmpq(0))
    other = build.sizes[1 - build.asked.index]
    if build.shape is Shape.SPHERES:
        one = replace(build, shape=Shape.SPHERE, sizes=(flint.fmpq(1),))
        return OpenBuild(build, word, 1, Law.SPHERES, one.capacitance, other)
    constant = build.layers[0].dielectric.constant
    scale = 2 * pi() * constant * VACUUM_PERMITTIVITY * build.sizes[2]
    return OpenBuild(build, word, 1, Law.CYLINDERS, scale, other)


def _plates(build: Build) -> OpenBuild:
    place = build.asked
    assert place is not None
    if not place.in_gap:
        return OpenBuild(build, "area", 2, Law.PROPORTIONAL, build.capacitance, flint.fmpq(0))
    if not build.stacked or len(build.layers) == 1:
        return OpenBuild(build, "gap", 1, Law.GAP, build.capacitance, flint.fmpq(0))
    layer = build.layers[place.index]
    own = layer.dielectric
    others = [each for index, each in enumerate(build.layers) if index != place.index]
    thick = sum((each.thickness / each.dielectric.constant for each in others), flint.fmpq(0))
    scale = VACUUM_PERMITTIVITY * build.sizes[0] * own.constant
    words = f"layer with {own.name}" if own.name.startswith("κ") else own.name
    return OpenBuild(build, f"thickness of the {words}", 1, Law.GAP, scale, thick * own.constant)


def _rounded(number: flint.fmpq, figures: int) -> str:
    digits, power = round_ratio(int(number.p), int(number.q), figures)
    return decimal_text(str(digits), power - figures + 1)


def _unit(written: str) -> str:
    found = re.search(r"([a-zµ]+)²?$", written)
    return found[1] if found else ""


def _metres(unit: str) -> flint.fmpq:
    return flint.fmpq(10) ** LENGTHS[unit]
