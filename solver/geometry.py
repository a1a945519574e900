"""Capacitors from their build: plates, spheres and cylinders with what fills the gap, each the network that it is.

A build is typed in words: shape, sizes, filling. Layers in the gap are capacitors in series ("plates 1 m² mica 0.2 mm
+ air 0.1 mm"), strips of the area are capacitors in parallel ("plates 1 m² 0.2 mm, mica 1/3, air 2/3").
"""

from __future__ import annotations

import re
from collections.abc import Callable
from dataclasses import dataclass
from enum import Enum
from functools import lru_cache
from typing import Final

import flint

from solver.dielectrics import DIELECTRICS, Dielectric
from solver.numerals import AbsurdExponent, clean, take_numeral

# CODATA 2018: 8.854 187 8128(13) × 10⁻¹² F/m.
VACUUM_PERMITTIVITY: Final = flint.fmpq(88541878128, 10**22)
_DIGITS: Final = 30
LENGTHS: Final = {"nm": -9, "µm": -6, "um": -6, "mm": -3, "cm": -2, "dm": -1, "m": 0, "km": 3}
SMALLEST: Final = flint.fmpq(1, 10**12)
LARGEST: Final = flint.fmpq(10**9)
"""What a size is at least and at most, in metres or square metres."""
ASKED: Final = "?"
"""Stands for the one size of a build that is to be found."""
_UNIT: Final = re.compile(rf"(?:{'|'.join(LENGTHS)})2?(?![a-zµ0-9])")
_MOST_LAYERS: Final = 8


class Shape(Enum):
    """What the two conductors are, by the word that begins a build."""

    PLATES = "plates"
    SPHERES = "spheres"
    CYLINDERS = "cylinders"
    SPHERE = "sphere"


class BuildFault(Exception):
    """A build that is not understood, or cannot be; the text is one short line for whoever is typing."""


@dataclass(frozen=True)
class Layer:
    """A part of the gap with one dielectric. `thickness` (metres) counts between plates; `share` is its share of the
    area. `written` is its thickness as typed, tidily, "" where it has none."""

    dielectric: Dielectric
    thickness: flint.fmpq
    share: flint.fmpq
    written: str = ""


@dataclass(frozen=True)
class Place:
    """One size of a build: that of `sizes`, or the thickness of that layer of the gap (of all strips)."""

    in_gap: bool
    index: int


@dataclass(frozen=True)
class Build:
    """A capacitor as built; lengths in metres, area in square metres.

    `sizes` are the area of plates, the inner and outer radius of spheres, those and the length of cylinders, the radius
    of a sphere; `written` has them as typed.
    `layers` lie one behind the other where `stacked`, else side by side. `asked` is the size written “?”, which is 1
    until it is found.
    """

    shape: Shape
    sizes: tuple[flint.fmpq, ...]
    layers: tuple[Layer, ...]
    stacked: bool
    written: tuple[str, ...] = ()
    asked: Place | None = None

    @property
    def capacitance(self) -> flint.fmpq:
        """In farads: ε₀κA/d between plates, 4πε₀κ/(1/a − 1/b) between spheres, 2πε₀κL/ln(b/a) between cylinders, 4πε₀κa
        for a lone sphere (OpenStax, University Physics Vol. 2, section 8.1). π and the logarithm to 30 figures.
        """
        constant = self.layers[0].dielectric.constant
        match self.shape:
            case Shape.PLATES if self.stacked:
                thick = sum((layer.thickness / layer.dielectric.constant for layer in self.layers), flint.fmpq(0))
                return VACUUM_PERMITTIVITY * self.sizes[0] / thick
            case Shape.PLATES:
                wide = sum(
                    (layer.share * layer.dielectric.constant / layer.thickness for layer in self.layers), flint.fmpq(0)
                )
                return VACUUM_PERMITTIVITY * self.sizes[0] * wide
            case Shape.SPHERES:
                inner, outer = self.sizes
                return 4 * pi() * VACUUM_PERMITTIVITY * constant / (1 / inner - 1 / outer)
            case Shape.CYLINDERS:
                inner, outer, length = self.sizes
                return 2 * pi() * VACUUM_PERMITTIVITY * constant * length / _logarithm(outer / inner)
            case Shape.SPHERE:
                return 4 * pi() * VACUUM_PERMITTIVITY * constant * self.sizes[0]

    def fields(self, voltage: flint.fmpq) -> tuple[flint.fmpq, ...]:
        """The largest electric field in each layer at a voltage (volts per metre), with the sign of the voltage.

        Layers one behind the other share the charge density: the smaller constant has the larger field. Between
        spheres and cylinders the field is largest at the inner one.
        """
        match self.shape:
            case Shape.PLATES if self.stacked:
                density = self.density(voltage)
                return tuple(density / (VACUUM_PERMITTIVITY * layer.dielectric.constant) for layer in self.layers)
            case Shape.PLATES:
                return tuple(voltage / layer.thickness for layer in self.layers)
            case _:
                return (self.density(voltage) / (VACUUM_PERMITTIVITY * self.layers[0].dielectric.constant),)

    def density(self, voltage: flint.fmpq) -> flint.fmpq:
        """The charge on the plate at a voltage over its area (coulombs per square metre), on the inner conductor."""
        return self.capacitance * voltage / self._area()

    def densities(self, voltage: flint.fmpq) -> tuple[flint.fmpq, ...]:
        """The charge density on the plate where it touches each layer (coulombs per square metre).

        Strips side by side have one field and each its own density; κε₀E at a plate (OpenStax, University Physics
        Vol. 2, sections 6.4 and 8.5).
        """
        if self.shape is Shape.PLATES and not self.stacked:
            return tuple(
                VACUUM_PERMITTIVITY * layer.dielectric.constant * field
                for layer, field in zip(self.layers, self.fields(voltage), strict=True)
            )
        return (self.density(voltage),) * len(self.layers)

    def breakdowns(self) -> tuple[flint.fmpq | None, ...]:
        """The voltage at which the field in each layer is at its strength (volts), None where no strength is listed."""
        return tuple(
            None if layer.dielectric.strength is None else layer.dielectric.strength / field
            for layer, field in zip(self.layers, self.fields(flint.fmpq(1)), strict=True)
        )

    def breakdown(self) -> flint.fmpq | None:
        """The voltage at which the first layer breaks down (volts); None where no strength is listed for any."""
        return min((voltage for voltage in self.breakdowns() if voltage is not None), default=None)

    def _area(self) -> flint.fmpq:
        match self.shape:
            case Shape.PLATES:
                return self.sizes[0]
            case Shape.CYLINDERS:
                return 2 * pi() * self.sizes[0] * self.sizes[2]
            case _:
                return 4 * pi() * self.sizes[0] * self.sizes[0]


_WORDS: Final = {shape.value: shape for shape in Shape}


def is_build(text: str) -> bool:
    """Whether a text begins like a build."""
    return _begins_build(text[:20])


@lru_cache(maxsize=1024)
def _begins_build(beginning: str) -> bool:
    return clean(beginning).lower().partition(" ")[0] in _WORDS


def asks_size(text: str) -> bool:
    """Whether a text is a build with one size to be found.

    >>> asks_size("plates 1 m² ? mica"), asks_size("plates 1 m² 1 mm"), asks_size("plates ? ?")
    (True, False, False)
    """
    try:
        return ASKED in text and is_build(text) and read_open_build(text).asked is not None
    except BuildFault:
        return False


def read_build(text: str) -> Build:
    """Reads a build whose sizes are all known. Raises BuildFault.

    >>> build = read_build("plates 1.00 m² 1.00 mm")
    >>> float(build.breakdown()), build.fields(flint.fmpq(9))
    (3000.0, (9000,))
    >>> layered = read_build("plates 10 cm² mica 0.2 mm + air 0.1 mm")
    >>> layered.shape, [layer.dielectric.name for layer in layered.layers]
    (<Shape.PLATES: 'plates'>, ['mica', 'air'])
    """
    build = read_open_build(text)
    if build.asked is not None:
        raise BuildFault("a size that is “?” can only be found on the sheet, from what a reading has to be")
    return build


@lru_cache(maxsize=1024)
def read_open_build(text: str) -> Build:
    """Reads a build of which one size may be “?”, with or without a unit behind it. Raises BuildFault.

    >>> read_open_build("plates 1 m² ? mica").asked
    Place(in_gap=True, index=0)
    """
    words = clean(text).lower().replace("m²", "m2").replace("m^2", "m2")
    name, _, rest = words.partition(" ")
    shape = _WORDS.get(name)
    if shape is None:
        raise BuildFault("begin with plates, spheres, cylinders or sphere")
    try:
        return _Reader(rest.strip()).plates() if shape is Shape.PLATES else _Reader(rest.strip()).round(shape)
    except AbsurdExponent:
        raise BuildFault("far outside anything that could be built") from None
    except ZeroDivisionError:
        raise BuildFault("nothing can be divided by zero") from None


class _Reader:
    """Takes a build apart from left to right."""

    def __init__(self, rest: str) -> None:
        self.rest = rest
        self.asked: Place | None = None

    def plates(self) -> Build:
        area, written = self._size("an area, such as 20 cm²", 2, Place(in_gap=False, index=0))
        if self._begins_with_number():
            strips = self._strips(*self._size("a gap, such as 0.1 mm", 1, Place(in_gap=True, index=0)))
            self._end()
            return Build(Shape.PLATES, (area,), strips, len(strips) == 1, (written,), self.asked)
        if not self.rest:
            raise BuildFault("a gap, such as 0.1 mm, goes here")
        layers = [self._layer(0)]
        while self.rest.startswith("+"):
            self.rest = self.rest[1:].lstrip()
            layers.append(self._layer(len(layers)))
            if len(layers) > _MOST_LAYERS:
                raise BuildFault(f"at most {_MOST_LAYERS} layers")
        self._end()
        return Build(Shape.PLATES, (area,), tuple(layers), True, (written,), self.asked)

    def round(self, shape: Shape) -> Build:
        count = {Shape.SPHERES: 2, Shape.CYLINDERS: 3, Shape.SPHERE: 1}[shape]
        asked = ["an inner radius, such as 38 mm", "an outer radius, such as 40 mm", "a length, such as 10 cm"]
        asked = ["a radius, such as 10 cm"] if shape is Shape.SPHERE else asked[:count]
        places = (Place(in_gap=False, index=index) for index in range(count))
        sizes, written = zip(
            *(self._size(what, 1, place) for what, place in zip(asked, places, strict=True)), strict=True
        )
        known = self.asked is None or self.asked.index > 1
        if count > 1 and known and sizes[0] >= sizes[1]:
            raise BuildFault("the outer radius has to be larger than the inner one")
        dielectric = self._dielectric() if self.rest else DIELECTRICS["air"]
        self._end()
        layers = (Layer(dielectric, flint.fmpq(1), flint.fmpq(1)),)
        return Build(shape, sizes, layers, True, written, self.asked)

    def _strips(self, gap: flint.fmpq, written: str) -> tuple[Layer, ...]:
        """What fills the gap: nothing said is air; several with their shares of the area after commas."""
        if not self.rest:
            return (Layer(DIELECTRICS["air"], gap, flint.fmpq(1), written),)
        if not self.rest.startswith(","):
            return (Layer(self._dielectric(), gap, flint.fmpq(1), written),)
        strips = []
        while self.rest.startswith(","):
            self.rest = self.rest[1:].lstrip()
            strips.append(Layer(self._dielectric(), gap, self._share(), written))
            if len(strips) > _MOST_LAYERS:
                raise BuildFault(f"at most {_MOST_LAYERS} strips")
        if sum((strip.share for strip in strips), flint.fmpq(0)) != 1:
            raise BuildFault("the shares of the area have to add up to 1")
        return tuple(strips)

    def _layer(self, index: int) -> Layer:
        dielectric = self._dielectric()
        what = f"the thickness of the {dielectric.name}, such as 0.1 mm"
        thickness, written = self._size(what, 1, Place(in_gap=True, index=index))
        return Layer(dielectric, thickness, flint.fmpq(1), written)

    def _dielectric(self) -> Dielectric:
        """A word of the table, or a constant of one's own: "κ 6", "κ 6 at 12 mv/m"."""
        self._require_known("a dielectric")
        if self.rest[:1] == "κ":
            self.rest = self.rest[1:].lstrip(" =")
            self._require_known("a dielectric constant")
            before = self.rest
            constant = self._number("a dielectric constant, such as κ 6")
            written = _taken(before, self.rest)
            if constant < 1:
                raise BuildFault("no dielectric constant is less than 1")
            strength, stands = self._strength()
            return Dielectric(f"κ = {written}", f"κ {written}{stands}", constant, strength)
        word = re.match(r"[a-zα-ω]+", self.rest)
        dielectric = DIELECTRICS.get(word[0]) if word else None
        if word is None or dielectric is None:
            told = f"“{word[0]}” is not in the table" if word else "a dielectric goes here"
            raise BuildFault(f"{told}: air, mica, paper …, or a constant of your own, κ 6")
        self.rest = self.rest[word.end() :].lstrip()
        return dielectric

    def _strength(self) -> tuple[flint.fmpq | None, str]:
        """In volts per metre, and how it is written."""
        if not self.rest.startswith("at "):
            return None, ""
        before = self.rest = self.rest[3:]
        self._require_known("a strength")
        strength = self._number("a strength, such as at 12 MV/m")
        if not self.rest.startswith("mv/m"):
            raise BuildFault("a strength is in MV/m")
        written = _taken(before, self.rest)
        self.rest = self.rest[4:].lstrip()
        if strength <= 0:
            raise BuildFault("a strength has to be more than zero")
        return strength * 10**6, f" at {written} MV/m"

    def _share(self) -> flint.fmpq:
        self._require_known("a share of the area")
        share = self._number("a share of the area, such as 1/2")
        if self.rest.startswith("%"):
            share, self.rest = share / 100, self.rest[1:].lstrip()
        if not 0 < share < 1:
            raise BuildFault("a share of the area lies between 0 and 1")
        return share

    def _require_known(self, what: str) -> None:
        if self.rest.startswith(ASKED):
            raise BuildFault(f"{what} cannot be “?”: only a size can")

    def _size(self, what: str, power: int, place: Place) -> tuple[flint.fmpq, str]:
        """A length, or where `power` is 2 an area, in metres or square metres; and how it is written."""
        before = self.rest
        if before.startswith(ASKED):
            if self.asked is not None:
                raise BuildFault("only one size of a build can be “?”")
            self.asked = place
            self.rest = before[1:].lstrip()
            if not _UNIT.match(self.rest):
                return flint.fmpq(1), ASKED
            number, numeral = flint.fmpq(1), ASKED
        else:
            number = self._number(what)
            numeral = _taken(before, self.rest)
        unit = re.match(r"[a-zµ]+", self.rest)
        ten = LENGTHS.get(unit[0]) if unit else None
        end = unit.end() if unit else 0
        square = self.rest[end : end + 1] == "2"
        if ten is None or square != (power == 2):
            raise BuildFault(f"{what} goes here, with its unit")
        written = f"{numeral} {'µm' if unit and unit[0] == 'um' else self.rest[:end]}{'²' * square}"
        self.rest = self.rest[end + square :].lstrip()
        if numeral == ASKED:
            return flint.fmpq(1), written
        size = number * flint.fmpq(10) ** (ten * power)
        if not SMALLEST <= size <= LARGEST:
            raise BuildFault(
                "a size has to be more than zero" if size <= 0 else "far outside anything that could be built"
            )
        return size, written

    def _number(self, what: str) -> flint.fmpq:
        numeral, rest = take_numeral(self.rest)
        if numeral.implied:
            raise BuildFault(f"{what} goes here")
        self.rest = rest
        return numeral.exact

    def _begins_with_number(self) -> bool:
        return bool(re.match(r"[-+0-9.,½⅓⅔¼¾⅕⅙⅛?]", self.rest))

    def _end(self) -> None:
        if self.rest.startswith(ASKED):
            raise BuildFault("“?” stands in place of one size of a build, and of nothing else")
        if self.rest:
            raise BuildFault(f"“{self.rest[:20]}” is too much")


def _taken(before: str, after: str) -> str:
    """What has been read between two moments, a numeral, with a decimal point."""
    return before[: len(before) - len(after)].strip().replace(",", ".")


def pi() -> flint.fmpq:
    """π to 30 figures."""
    return _to_digits(flint.arb.pi)


def _logarithm(ratio: flint.fmpq) -> flint.fmpq:
    return _to_digits(lambda: flint.arb(ratio).log())


def _to_digits(number: Callable[[], flint.arb]) -> flint.fmpq:
    with flint.ctx.workprec(int(_DIGITS * 3.33) + 40):
        scaled = number().mid().fmpq()
    return flint.fmpq((scaled * 10**_DIGITS).floor(), 10**_DIGITS) if abs(scaled) > 1 else scaled
