"""Describes the network on a sheet as a line does: its batteries in one chain, the rest in series and in parallel."""

from __future__ import annotations

from collections import Counter
from collections.abc import Sequence
from typing import Any

from solver.geometry import asks_size
from solver.kinds import KINDS, PLACE_WORDS
from solver.network import groups
from solver.quantities import Quantity
from solver.say_it import misfits
from solver.say_it.description import Branch, Description, Item, Series, items
from solver.say_it.faults import MOST
from solver.say_it.item_text import kind_by_letter
from solver.say_it.reduction import Link, ordered, reduce, reverse
from solver.sketch import Part, Sketch
from solver.tolerance_text import read_tolerance
from solver.value_faults import ValueFault
from solver.values import UNKNOWN, read_value, tidy


def describe(sketch: Sketch) -> Description:
    """The network on the sheet, every part with its name; `turned` says how it lies, whether or not that matters.

    Its first end is the + terminal of its batteries. Branches side by side, and the ends of a network without a
    battery, are in the order of the sketch's parts. Raises Misfit with a sentence where no line describes it.
    """
    parts = [part for part in sketch.parts if part.kind != "wire"]
    if not parts:
        raise misfits.only_wires()
    if two_way := [part.name for part in parts if part.kind == "two-way switch"]:
        raise misfits.two_way(two_way)
    if len(parts) > MOST:
        raise misfits.too_large(len(parts), MOST)
    return _Sheet(sketch, parts).description()


class _Sheet:
    """The parts between conductors. Unlike for the solver, a closed switch is a part and joins no conductors."""

    def __init__(self, sketch: Sketch, parts: Sequence[Part]) -> None:
        self.sketch = sketch
        place = {joint: index for index, joint in enumerate(sketch.joints)}
        wires = ((place[part.start], place[part.end]) for part in sketch.parts if part.kind == "wire")
        number, _ = groups(len(place), wires)
        self.conductor = {joint: number[index] for joint, index in place.items()}
        self.order = {part.name: index for index, part in enumerate(sketch.parts)}
        links = [Link(self.conductor[part.start], self.conductor[part.end], item_of(part)) for part in parts]
        self.batteries = [link for link, part in zip(links, parts, strict=True) if part.kind == "battery"]
        self.others = [link for link, part in zip(links, parts, strict=True) if part.kind != "battery"]

    def description(self) -> Description:
        self._require_one_piece()
        if not self.batteries:
            return self._without_battery()
        source, start, end = self._chain()
        if not self.others and start != end:
            return Description(source, None)
        if start == end:
            if self.others or len(source) > 1:
                raise misfits.shorted(str(source[0].name))
            return Description(source, Item("wire"))
        self._require_closed(source, start, end)
        return Description(source, self._between(start, end))

    def _require_closed(self, source: Sequence[Item], start: int, end: int) -> None:
        """Misfit where no way leads from one terminal of the batteries to the other."""
        piece, _ = groups(len(self.conductor), ((link.a, link.b) for link in self.others))
        if piece[start] == piece[end]:
            return
        touched = {node for link in self.others for node in (link.a, link.b)}
        names = self._names(self.others)
        if end not in touched:
            raise misfits.not_closed(names, "+" if source[-1].turned else "−", str(source[-1].name))
        if start not in touched:
            raise misfits.not_closed(names, "−" if source[0].turned else "+", str(source[0].name))
        raise misfits.ends_apart(names)

    def _require_one_piece(self) -> None:
        links = [*self.batteries, *self.others]
        piece, _ = groups(len(self.conductor), ((link.a, link.b) for link in links))
        sizes = Counter(piece[link.a] for link in links)
        # The piece with the battery is the one meant, else the largest one.
        main = piece[self.batteries[0].a] if self.batteries else sizes.most_common(1)[0][0]
        if len(sizes) > 1:
            raise misfits.apart(self._names([link for link in links if piece[link.a] != main]))

    def _chain(self) -> tuple[tuple[Item, ...], int, int]:
        """The batteries from + to −, and the conductors at the two ends of their chain."""
        if len(self.batteries) == 1:
            link = self.batteries[0]
            return tuple(items(link.branch)), link.a, link.b
        ends = Counter(end for link in self.batteries for end in (link.a, link.b))
        meeting = Counter(end for link in self.others for end in (link.a, link.b))
        outer = [conductor for conductor, count in ends.items() if count == 1]
        if len(outer) == 2 and all(count <= 2 and (count == 1 or not meeting[end]) for end, count in ends.items()):
            left = reduce(self.batteries, (outer[0], outer[1]))
            if len(left) == 1 and left[0].a != left[0].b:
                link = self._first_up(left[0])
                return tuple(items(link.branch)), link.a, link.b
        raise misfits.batteries_apart(self._names(self.batteries))

    def _first_up(self, link: Link) -> Link:
        """The chain of batteries from the end at which fewer of them are turned, else the earlier one comes first."""
        other = link.away_from(link.b)

        def rank(each: Link) -> tuple[int, int]:
            batteries = list(items(each.branch))
            return sum(item.turned for item in batteries), self.order[str(batteries[0].name)]

        return min(link, other, key=rank)

    def _without_battery(self) -> Description:
        start, end = self._open_ends()
        branch = self._between(start, end)
        return Description((), min(branch, reverse(branch), key=self._beginning))

    def _beginning(self, branch: Branch) -> tuple[int, bool]:
        """Sorts the two ways of reading a branch: from its earlier part, and with its first part not turned."""
        first = branch.members[0] if isinstance(branch, Series) else branch
        inside = [item for item in items(first) if item.name] or [item for item in items(branch) if item.name]
        earliest = min(inside, key=lambda item: self.order[str(item.name)])
        return self.order[str(earliest.name)], earliest.turned

    def _open_ends(self) -> tuple[int, int]:
        """The two conductors that a network without a battery lies between."""
        count = Counter(joint for part in self.sketch.parts for joint in (part.start, part.end))
        loose = list(dict.fromkeys(self.conductor[joint] for joint, parts in count.items() if parts == 1))
        if len(loose) == 2:
            return loose[0], loose[1]
        used = list(dict.fromkeys(end for link in self.others for end in (link.a, link.b)))
        if len(used) == 2:
            return used[0], used[1]
        probes = {tuple(sorted(self.conductor[joint] for joint in pair)) for pair in self.sketch.probes}
        probed = [pair for pair in probes if len(set(pair)) == 2 and set(pair) <= set(used)]
        if len(probed) == 1:
            return probed[0][0], probed[0][1]
        raise misfits.no_ends()

    def _between(self, start: int, end: int) -> Branch:
        left = reduce(self.others, (start, end))
        if len(left) == 1 and {left[0].a, left[0].b} == {start, end}:
            return ordered(left[0].branch, self.order)
        degrees = Counter(node for link in left for node in {link.a, link.b})
        hanging = [
            link for link in left if any(degrees[node] == 1 and node not in (start, end) for node in (link.a, link.b))
        ]
        if hanging:
            raise misfits.hangs(self._names(hanging))
        crossing = [link for link in left if not {link.a, link.b} & {start, end}]
        raise misfits.bridge(self._names(crossing or left))

    def _names(self, links: Sequence[Link]) -> list[str]:
        named = [item.name for link in links for item in items(link.branch) if item.name]
        return sorted(named, key=self.order.__getitem__)


def item_of(part: Part) -> Item:
    """The part as an item, seen from its `from` end. Raises Misfit where one of its texts is no value."""
    kind = KINDS[part.kind]
    value = _tidy(part, part.value or "", kind.quantity, kind.quantity.word) if kind.quantity else None
    extras: dict[str, Any] = {
        place: _tidy(part, text, quantity, PLACE_WORDS[place])
        for place, quantity in kind.optional.items()
        if (text := getattr(part, place)) is not None
    }
    if part.tolerance is not None:
        try:
            extras["tolerance"] = read_tolerance(part.tolerance).text
        except ValueFault:
            raise misfits.value_not_understood(part.name, part.tolerance) from None
    return Item(part.kind, value, part.name, bool(part.closed) if part.kind == "switch" else None, **extras)


def _tidy(part: Part, text: str, quantity: Quantity, what: str) -> str | None:
    """The value's tidy text; None for a starting voltage or an internal resistance of zero, which say nothing."""
    if not text.strip():
        raise misfits.value_missing(part.name, what)
    if text == part.value and text.strip() == UNKNOWN:
        if kind_by_letter(part.name) != part.kind and part.kind != "battery":
            raise misfits.unknown_kind(part.name)
        return UNKNOWN
    if text == part.value and asks_size(text):
        return text.strip()
    try:
        value = read_value(text, quantity)
    except ValueFault:
        raise misfits.value_not_understood(part.name, text) from None
    if value.factor == 0 and text in (part.initial, part.internal):
        return None
    return tidy(value)
