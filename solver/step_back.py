"""The way back: from what is known of the whole to each member of a group, down to the single parts of the sheet."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from typing import Final

from solver.arithmetic import Scalar
from solver.faults import listing
from solver.formula import Formula, Negative, Sum, Words
from solver.functions import Function
from solver.quantities import Quantity
from solver.readings import Reading
from solver.reduction import Reduction
from solver.step_changes import Change, Link, Parallel, Series, Star, Triangle, removed
from solver.step_drawing import Drawing
from solver.step_sorts import CAPACITORS, Sort
from solver.step_teller import Held, Teller, chain
from solver.worked import Line, Step

_EQUAL_SHOWN: Final = 8


class Back:
    """Takes the changes of one reduction back; `held` has what is known of each link, and grows."""

    def __init__(self, teller: Teller, sort: Sort, reduction: Reduction, drawings: Sequence[Drawing]) -> None:
        self._teller: Final = teller
        self._sort: Final = sort
        self._reduction: Final = reduction
        self._drawings: Final = drawings
        self._ends: Final = {link.name: link for change in reduction.changes for link in removed(change)}
        self._ends.update((link.name, link) for link in reduction.left)
        self.held: Final[dict[str, Held]] = {}

    def steps(self) -> Iterator[Step]:
        """A step for each change, the last one first; what is left has to be in `held` by then."""
        for place in range(len(self._reduction.changes) - 1, -1, -1):
            change = self._reduction.changes[place]
            yield self._step(change, self._drawings[place])

    def quantities(self, link: Link, held: Held) -> dict[str, Reading]:
        """The readings of a link; a part of the sheet is counted as there, from its from end to its to end."""
        sort = self._sort
        own = held if link.name in self._teller.parts_in else held.from_(link.a)
        reading = self._teller.reading
        return {
            f"{link.name}.voltage": reading(own.voltage, sort.voltage),
            f"{link.name}.{sort.through.value}": reading(own.through, sort.through),
            f"{link.name}.{sort.taken.value}": reading(sort.taken_of(own.through, own.voltage), sort.taken),
        }

    def taken_line(self, link: Link, held: Held) -> Line:
        """The energy or power of a link: in symbols, in numbers, and what it comes to."""
        sort, teller, symbols, name = self._sort, self._teller, self._teller.symbols, link.name
        return chain(
            sort.taken_symbol(symbols, name),
            sort.taken_formula(symbols.value(name), sort.through_symbol(symbols, name), symbols.voltage(name)),
            sort.taken_formula(
                teller.amount(link.value, sort.value),
                teller.amount(held.through, sort.through),
                teller.amount(held.voltage, sort.voltage),
            ),
            teller.amount(sort.taken_of(held.through, held.voltage), sort.taken),
        )

    def through_line(self, link: Link, held: Held) -> Line:
        """The charge or current at a known voltage."""
        sort, teller, symbols = self._sort, self._teller, self._teller.symbols
        return chain(
            sort.through_symbol(symbols, link.name),
            sort.through_formula(symbols.value(link.name), symbols.voltage(link.name)),
            sort.through_formula(teller.amount(link.value, sort.value), teller.amount(held.voltage, sort.voltage)),
            teller.amount(held.through, sort.through),
        )

    def voltage_line(self, link: Link, held: Held) -> Line:
        """The voltage at a known charge or current."""
        sort, teller, symbols = self._sort, self._teller, self._teller.symbols
        return chain(
            symbols.voltage(link.name),
            sort.voltage_formula(symbols.value(link.name), sort.through_symbol(symbols, link.name)),
            sort.voltage_formula(teller.amount(link.value, sort.value), teller.amount(held.through, sort.through)),
            teller.amount(held.voltage, sort.voltage),
        )

    def turned(self, links: Sequence[Link], held: Sequence[Held]) -> str:
        """A sentence on the parts that the sheet counts the other way, or nothing."""
        names = [
            link.name
            for link, own in zip(links, held, strict=True)
            if link.name not in self._teller.parts_in and own.start != link.a and own.voltage
        ]
        if not names:
            return ""
        runs, its = ("runs", "its") if len(names) == 1 else ("run", "their")
        through = self._sort.through.word
        return (
            f" On the sheet {listing(names)} {runs} the other way, so {its} voltage and {through} have the opposite "
            "sign there."
        )

    def _step(self, change: Change, drawing: Drawing) -> Step:
        match change:
            case Series():
                return self._series(change, drawing)
            case Parallel():
                return self._parallel(change, drawing)
            case Star():
                return self._star(change, drawing)
            case Triangle():
                return self._triangle(change, drawing)

    def _series(self, change: Series, drawing: Drawing) -> Step:
        sort, teller, symbols = self._sort, self._teller, self._teller.symbols
        whole = self.held[change.whole.name]
        forward = whole.start == change.whole.a
        nodes = (change.whole.a, *change.between, change.whole.b)
        known = []
        for place, link in enumerate(change.members):
            start = nodes[place] if forward else nodes[place + 1]
            known.append(Held(start, sort.voltage_of(link.value, whole.through), whole.through))
        names = [link.name for link in change.members]
        through = teller.amount(whole.through, sort.through)
        same = [sort.through_symbol(symbols, name) for name in (*names, change.whole.name)]
        lines = [
            chain(*_shortened(same), through),
            *(self.voltage_line(link, own) for link, own in zip(change.members, known, strict=True)),
        ]
        reason = sort.back_in_series(names, change.whole.name, through.text(), plain=teller.is_single(change.between))
        title = f"Back to {listing(names)}: the same {sort.through.word}"
        return self._told(change, known, drawing, title, reason, lines, teller.conductors(change.between))

    def _parallel(self, change: Parallel, drawing: Drawing) -> Step:
        sort, teller, symbols = self._sort, self._teller, self._teller.symbols
        whole = self.held[change.whole.name]
        known = [
            Held(whole.start, whole.voltage, sort.through_of(link.value, whole.voltage)) for link in change.members
        ]
        names = [link.name for link in change.members]
        voltage = teller.amount(whole.voltage, sort.voltage)
        same = [symbols.voltage(name) for name in (*names, change.whole.name)]
        lines = [
            chain(*_shortened(same), voltage),
            *(self.through_line(link, own) for link, own in zip(change.members, known, strict=True)),
        ]
        reason = sort.back_in_parallel(names, change.whole.name, voltage.text())
        title = f"Back to {listing(names)}: the same voltage"
        ends = teller.conductors((change.whole.a, change.whole.b))
        return self._told(change, known, drawing, title, reason, lines, ends)

    def _star(self, change: Star, drawing: Drawing) -> Step:
        """The sides of a triangle, from the arms that stood for it."""
        sort, teller = self._sort, self._teller
        arms = dict(zip(change.corners, change.arms, strict=True))
        known, lines = [], []
        for side in change.sides:
            voltage = self._from(arms[side.a], side.a).voltage - self._from(arms[side.b], side.b).voltage
            # Counted so that it comes out positive, as far as that can be told.
            start, end = (side.b, side.a) if _is_negative(voltage) else (side.a, side.b)
            voltage = -voltage if start != side.a else voltage
            known.append(Held(start, voltage, sort.through_of(side.value, voltage)))
            terms = [(arms[start], self.held[arms[start].name].start == start)]
            terms.append((arms[end], self.held[arms[end].name].start != end))
            lines.append(self._summed(side, terms, sort.voltage, voltage))
            lines.append(self.through_line(side, known[-1]))
        names = [side.name for side in change.sides]
        reason = (
            "The three corners have the same potentials as with the star. "
            f"So the voltage across each of "
            f"{listing(names)} is what two arms make up together, and its {sort.through.word} follows from it."
        )
        title = f"Back to the triangle of {listing(names)}"
        return self._told(change, known, drawing, title, reason, lines, teller.conductors(change.corners))

    def _summed(self, link: Link, terms: Sequence[tuple[Link, bool]], quantity: Quantity, total: Scalar) -> Line:
        """The voltage, charge or current of a link as the sum of those of others, or less those, as they were told."""
        write = self._teller.symbols.voltage if quantity is self._sort.voltage else self._through_symbol
        symbols, amounts = [], []
        for other, plus in sorted(terms, key=lambda term: not term[1]):
            own = self.held[other.name]
            scalar = own.voltage if quantity is self._sort.voltage else own.through
            symbol, amount = write(other.name), self._teller.amount(scalar, quantity)
            symbols.append(symbol if plus else Negative(symbol))
            amounts.append(amount if plus else Negative(amount))
        return chain(write(link.name), Sum(*symbols), Sum(*amounts), self._teller.amount(total, quantity))

    def _through_symbol(self, name: str) -> Formula:
        return self._sort.through_symbol(self._teller.symbols, name)

    def _from(self, link: Link, node: int) -> Held:
        """What is known of a link, counted from this end."""
        return self.held[link.name].from_(node)

    def _triangle(self, change: Triangle, drawing: Drawing) -> Step:
        """The arms of a star, from the sides of the triangle that stood for it."""
        sort, teller = self._sort, self._teller
        known, lines = [], []
        for corner, arm in zip(change.corners, change.arms, strict=True):
            sides = [side for side in change.sides if corner in (side.a, side.b)]
            through = self._from(sides[0], corner).through + self._from(sides[1], corner).through
            start = change.centre if _is_negative(through) else corner
            through = -through if start != corner else through
            known.append(Held(start, sort.voltage_of(arm.value, through), through))
            terms = [(side, (self.held[side.name].start == corner) == (start == corner)) for side in sides]
            lines.append(self._summed(arm, terms, sort.through, through))
            lines.append(self.voltage_line(arm, known[-1]))
        names = [arm.name for arm in change.arms]
        what = "charge on" if sort is CAPACITORS else "current into"
        reason = (
            f"The {what} each tip is the same as with the triangle, and there two of the sides make it up together."
        )
        title = f"Back to the star of {listing(names)}"
        return self._told(change, known, drawing, title, reason, lines, teller.conductors(change.corners))

    def _told(
        self,
        change: Change,
        known: Sequence[Held],
        drawing: Drawing,
        title: str,
        reason: str,
        lines: Sequence[Line],
        conductors: tuple[str, ...],
    ) -> Step:
        members = removed(change)
        readings: dict[str, Reading] = {}
        for link, own in zip(members, known, strict=True):
            self.held[link.name] = own
            readings.update(self.quantities(link, own))
        return Step(
            kind="back",
            title=title,
            parts=self._teller.parts(members),
            conductors=conductors,
            reason=reason + self.turned(members, known),
            lines=(*lines, *(self.taken_line(link, own) for link, own in zip(members, known, strict=True))),
            readings=readings,
            sketch=drawing.drawn,
        )


def _shortened(equal: Sequence[Formula]) -> list[Formula]:
    """Symbols that are equal; of many the middle is left out."""
    return list(equal) if len(equal) <= _EQUAL_SHOWN else [*equal[:3], Words("…"), *equal[-2:]]


def _is_negative(scalar: Scalar) -> bool:
    """Whether it is below zero; of a formula that is not known."""
    return not isinstance(scalar, Function) and bool(scalar < 0)
