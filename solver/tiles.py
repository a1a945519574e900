"""The picture of rectangles: every capacitor as wide as its charge and as high as its voltage, so that half the area is
its energy; every resistor as wide as its current, so that the area is its power.
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from typing import Any, Final

import flint

from solver.arithmetic import Scalar
from solver.checks import conductor_name
from solver.faults import listing
from solver.network import Capacitor, Resistor, joins
from solver.quantities import Quantity
from solver.readings import CapacitorReadings, Reading, ResistorReadings
from solver.sketch import Part
from solver.solution import Solution
from solver.solving import SolvedNetwork
from solver.tile_drawing import Route, routes
from solver.tile_layout import Ground, Layout, Standing, Untiled, laid_out, merged
from solver.tile_scale import Tick, as_fraction, ticks

MOST_TILES: Final = 150
"""Parts of a kind beyond which no rectangle would be wide enough to be seen."""
_TICKS_ACROSS: Final = 5
_TICKS_UP: Final = 6
_ACROSS: Final = {"capacitor": "charge", "resistor": "current"}


@dataclass(frozen=True, slots=True)
class Tile:
    """A part as a rectangle.

    Left and right in coulombs or amperes from the picture's left side, bottom and top in volts. `voltage`, `across` and
    `area` (the energy, or the power) are its size without a sign; `turned` says that its from end is the lower one.
    """

    part: str
    left: Scalar
    right: Scalar
    bottom: Scalar
    top: Scalar
    turned: bool
    voltage: Reading
    across: Reading
    area: Reading

    def document(self) -> dict[str, Any]:
        """The rectangle as the web interface sends it."""
        places = {name: _number(getattr(self, name)) for name in ("left", "right", "bottom", "top")}
        readings = {name: getattr(self, name).document() for name in ("voltage", "across", "area")}
        return {"part": self.part, **places, "turned": self.turned, **readings}


@dataclass(frozen=True, slots=True)
class Bar:
    """A stretch of conductor as a horizontal line at the height of its potential; several conductors at one potential
    where parts without voltage join them."""

    conductors: tuple[str, ...]
    potential: Reading
    level: Scalar
    left: Scalar
    right: Scalar

    def document(self) -> dict[str, Any]:
        """The line as the web interface sends it."""
        places = {name: _number(getattr(self, name)) for name in ("level", "left", "right")}
        potential = self.potential.document()
        return {"conductor": self.conductors[0], "conductors": list(self.conductors), "potential": potential, **places}


@dataclass(frozen=True, slots=True)
class Picture:
    """The rectangles of one network, with ticks for both scales.

    `across` is "charge" or "current"; `width` and `height` are those of all together, `area` the sum of their areas.
    Where they are not `tiled`, they stand side by side and `note` says why.
    """

    kind: str
    across: str
    width: Reading
    height: Reading
    area: Reading
    note: str | None
    tiles: tuple[Tile, ...]
    bars: tuple[Bar, ...]
    ticks_across: tuple[Tick, ...]
    ticks_up: tuple[Tick, ...]

    @property
    def tiled(self) -> bool:
        """Whether the rectangles fill one rectangle."""
        return self.note is None

    def document(self) -> dict[str, Any]:
        """The picture as the web interface sends it."""
        return {
            "kind": self.kind,
            "across": self.across,
            "width": self.width.document(),
            "height": self.height.document(),
            "area": self.area.document(),
            "tiled": self.tiled,
            "note": self.note,
            "tiles": [tile.document() for tile in self.tiles],
            "bars": [bar.document() for bar in self.bars],
            "ticks": {
                "across": [tick.document() for tick in self.ticks_across],
                "up": [tick.document() for tick in self.ticks_up],
            },
        }


@dataclass(frozen=True, slots=True)
class Tiles:
    """All pictures of a sheet, capacitors first, and in sentences what has none."""

    pictures: tuple[Picture, ...]
    notes: tuple[str, ...]

    def document(self) -> dict[str, Any]:
        """The tiles as the web interface sends them."""
        return {"pictures": [picture.document() for picture in self.pictures], "notes": list(self.notes)}


def tiles_of(solved: SolvedNetwork, solution: Solution) -> Tiles:
    """The pictures of a solved network.

    Where all charge or current goes from one conductor to another and a plane holds the network, the rectangles fill
    one rectangle exactly (see tile_embedding), in the drawing's own order where its lines do not cross.

    >>> from solver import Sketch, battery, capacitor
    >>> from solver.solving import solution_of, solve_network
    >>> solved = solve_network(Sketch.of(
    ...     battery("E1", "9 V", "a", "0"), capacitor("C1", "30 µF", "a", "b"),
    ...     capacitor("C2", "10 µF", "b", "0"), capacitor("C3", "5 µF", "b", "0"),
    ... ))
    >>> [picture] = tiles_of(solved, solution_of(solved)).pictures
    >>> [(tile.part, tile.across.text, tile.voltage.text) for tile in picture.tiles]
    [('C1', '90.0 µC', '3.00 V'), ('C2', '60.0 µC', '6.00 V'), ('C3', '30.0 µC', '6.00 V')]
    >>> [(bar.potential.text, bar.right) for bar in picture.bars]
    [('9.00 V', 9/100000), ('6.00 V', 9/100000), ('0 V', 9/100000)]
    """
    network = solved.outcome.network
    maker = _Maker(solved.at_rest, solution)
    pictures: list[Picture] = []
    notes: list[str] = []
    for kind, parts, group_at in (
        ("capacitor", network.capacitors, network.piece_at),
        ("resistor", network.resistors, network.body_of),
    ):
        if len(parts) > MOST_TILES:
            notes.append(f"Rectangles are drawn for up to {MOST_TILES} {kind}s; there are {len(parts)} here.")
        elif parts:
            made, told = maker.pictures(kind, parts, group_at)
            pictures += made
            notes += told
    return Tiles(tuple(pictures), tuple(notes))


class _Maker:
    """Makes the pictures of one solved network."""

    def __init__(self, solved: SolvedNetwork, solution: Solution) -> None:
        self._solved: Final = solved
        self._solution: Final = solution
        self._network: Final = solved.outcome.network
        self._routes: Final[Mapping[str, Route]] = routes(solved.sketch)
        self._part: Final = {part.name: part for part in solved.sketch.parts}

    def pictures(
        self, kind: str, parts: Sequence[Capacitor | Resistor], group_at: Sequence[int]
    ) -> tuple[list[Picture], list[str]]:
        """A picture for each network of these parts, and what is to be said of those without."""
        members: dict[int, list[Capacitor | Resistor]] = defaultdict(list)
        for part in parts:
            members[group_at[part.a]].append(part)
        made: list[Picture] = []
        idle: list[str] = []
        notes: list[str] = []
        for group, own in members.items():
            numbers = [self._flow(part) for part in own]
            if any(number is None for number in numbers):
                notes = ["The rectangles can be drawn once the symbols have numbers."]
            elif not any(numbers):
                idle += [part.name for part in own]
            else:
                inside = [conductor for conductor, at in enumerate(group_at) if at == group]
                picture, left_out = self._picture(kind, own, inside)
                made.append(picture)
                idle += left_out
        if idle:
            notes.append(_idle(kind, idle if made or notes else []))
        return made, notes

    def _readings(self, name: str) -> tuple[Reading, Reading, Reading]:
        """Voltage, charge or current, energy or power."""
        readings = self._solution.parts[name]
        if isinstance(readings, CapacitorReadings):
            return readings.voltage, readings.charge, readings.energy
        assert isinstance(readings, ResistorReadings)
        return readings.voltage, readings.current, readings.power

    def _flow(self, part: Capacitor | Resistor) -> Scalar:
        """Charge or current, from → to; None where symbols remain in it or in the potentials."""
        readings = [*self._readings(part.name)[:2], *(self._potential(conductor) for conductor in (part.a, part.b))]
        numbers = [_plain(reading) for reading in readings]
        return None if any(number is None for number in numbers) else numbers[1]

    def _potential(self, conductor: int) -> Reading:
        return self._solution.conductors[conductor_name(conductor)].potential

    def _picture(
        self, kind: str, parts: Sequence[Capacitor | Resistor], inside: Sequence[int]
    ) -> tuple[Picture, list[str]]:
        links = list(self._links(kind, set(inside)))
        ends = self._network.conductor_of
        node_of = merged(len(self._network.conductors), [(ends[part.start], ends[part.end]) for part in links])
        within = set(inside)
        wires = tuple(part for part in self._solved.sketch.parts if joins(part) and ends[part.start] in within)
        standing = [self._standing(part, node_of) for part in parts]
        layout = laid_out(standing, Ground(self._solved.sketch, self._routes, (*wires, *links)))
        names: dict[int, list[int]] = defaultdict(list)
        for conductor in inside:
            names[node_of[conductor]].append(conductor)
        tiles = tuple(self._tile(each, layout, names) for each in standing if each.part.name in layout.left)
        bars = [
            Bar(
                tuple(conductor_name(conductor) for conductor in names[span.node]),
                self._potential(names[span.node][0]),
                _plain(self._potential(names[span.node][0])),
                span.left,
                span.right,
            )
            for span in layout.spans
        ]
        bars.sort(key=lambda bar: (-as_fraction(bar.level), as_fraction(bar.left)))
        low, high = min(tile.bottom for tile in tiles), max(tile.top for tile in tiles)
        sizes = Quantity.CHARGE if kind == "capacitor" else Quantity.CURRENT, Quantity.VOLTAGE
        areas = [_plain(tile.area) for tile in tiles]
        writing = self._solved.writing
        picture = Picture(
            kind=kind,
            across=_ACROSS[kind],
            width=Reading(layout.width, sizes[0], writing),
            height=Reading(high - low, sizes[1], writing),
            area=Reading(sum(areas[1:], areas[0]), tiles[0].area.quantity, writing),
            note=self._why(kind, layout.untiled, inside) if layout.untiled else None,
            tiles=tiles,
            bars=tuple(bars),
            ticks_across=ticks(layout.width - layout.width, layout.width, sizes[0].unit, _TICKS_ACROSS),
            ticks_up=ticks(low, high, sizes[1].unit, _TICKS_UP),
        )
        return picture, [each.part.name for each in standing if each.part.name not in layout.left]

    def _links(self, kind: str, inside: set[int]) -> Iterator[Part]:
        """What joins conductors without a voltage: a battery of 0 V, a resistor that no current flows through."""
        network = self._network
        for battery in network.batteries:
            if not battery.emf and battery.internal is None and battery.a in inside:
                yield self._part[battery.name]
        if kind == "capacitor":
            for resistor in network.resistors:
                if resistor.a in inside and resistor.a != resistor.b and not _plain(self._readings(resistor.name)[0]):
                    yield self._part[resistor.name]

    def _standing(self, part: Capacitor | Resistor, node_of: Sequence[int]) -> Standing:
        flow = self._flow(part)
        turned = flow < 0
        high, low = (part.b, part.a) if turned else (part.a, part.b)
        across, down = self._routes[part.name].middle
        # Where two lie one above the other, the upper one counts as a little farther left.
        drawn = across + down / 1000
        return Standing(self._part[part.name], node_of[high], node_of[low], -flow if turned else flow, turned, drawn)

    def _tile(self, standing: Standing, layout: Layout, names: Mapping[int, Sequence[int]]) -> Tile:
        voltage, across, area = self._readings(standing.part.name)
        left = layout.left[standing.part.name]
        return Tile(
            part=standing.part.name,
            left=left,
            right=left + standing.flow,
            bottom=_plain(self._potential(names[standing.low][0])),
            top=_plain(self._potential(names[standing.high][0])),
            turned=standing.turned,
            voltage=-voltage if standing.turned else voltage,
            across=-across if standing.turned else across,
            area=area,
        )

    def _why(self, kind: str, untiled: Untiled, inside: Sequence[int]) -> str:
        stand = "so the rectangles do not fill one: they stand side by side, at common scales."
        if untiled is Untiled.PLANE:
            return f"No drawing of this network is without crossings, {stand}"
        network, outcome, within = self._network, self._solved.outcome, set(inside)
        batteries = [battery.name for battery in network.batteries if battery.a in within and battery.emf]
        if len(batteries) > 1:
            return f"{listing(batteries)} do not share both their conductors, {stand}"
        if kind == "capacitor" and any(network.piece_at[conductor] in outcome.flows for conductor in inside):
            return f"Resistors that carry a current set potentials between the capacitors, {stand}"
        return f"Conductors keep a charge that they started with, {stand}"


def _idle(kind: str, names: Sequence[str]) -> str:
    if kind == "capacitor":
        if not names:
            return "No capacitor holds any charge, so there is no rectangle to draw."
        return f"{listing(names)} {'hold' if len(names) > 1 else 'holds'} no charge, and so no rectangle of any size."
    if not names:
        return "No current flows in the end, so no resistor has a rectangle."
    return f"No current flows in {listing(names)} in the end, and so no rectangle is there."


def _plain(reading: Reading) -> Scalar:
    """The number of a reading, exact where it is known exactly; None where symbols remain."""
    exact = reading.exact
    if exact is None:
        return reading.value
    return exact if isinstance(exact, flint.fmpq) else None


def _number(scalar: Scalar) -> float:
    """For drawing."""
    return scalar if isinstance(scalar, float) else int(scalar.p) / int(scalar.q)
