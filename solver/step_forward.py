"""The way in: group after group becomes one part that does the same, innermost first."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from typing import Final

from solver.faults import listing
from solver.formula import Formula, Fraction, Product, Sum, reciprocal
from solver.reduction import Reduction
from solver.step_changes import Change, Link, Parallel, Series, Star, Triangle, added, removed
from solver.step_drawing import Drawing
from solver.step_sorts import CAPACITORS, Sort
from solver.step_teller import Teller, chain, several
from solver.worked import Line, Step

KENNELLY: Final = (
    "A. E. Kennelly, “The equivalence of triangles and three-pointed stars in conducting networks”, "
    "Electrical World and Engineer 34 (1899) 413–414"
)


class Forward:
    """Tells the changes of one reduction, and keeps the drawing before each and after the last."""

    def __init__(self, teller: Teller, sort: Sort, reduction: Reduction, drawing: Drawing) -> None:
        self._teller: Final = teller
        self._sort: Final = sort
        self._reduction: Final = reduction
        self.drawings: Final = [drawing]
        self._source_told = False

    def steps(self) -> Iterator[Step]:
        """A step for each change."""
        for change in self._reduction.changes:
            drawing = self.drawings[-1].changed(
                change, self._sort.kind, lambda link: self._teller.value_text(link, self._sort.value)
            )
            self.drawings.append(drawing)
            yield self._step(change, drawing)

    def _step(self, change: Change, drawing: Drawing) -> Step:
        teller, gone = self._teller, removed(change)
        names = [link.name for link in gone]
        readings = {
            f"{link.name}.{self._sort.value.value}": teller.reading(link.value, self._sort.value)
            for link in added(change)
        }
        kind, title, nodes, reason, lines = self._told(change, names)
        return Step(
            kind=kind,
            title=title,
            parts=teller.parts(gone),
            conductors=teller.conductors(nodes),
            reason=reason,
            lines=lines,
            readings=readings,
            sketch=drawing.drawn,
        )

    def _told(self, change: Change, names: Sequence[str]) -> tuple[str, str, Sequence[int], str, tuple[Line, ...]]:
        """Kind, title, nodes, reason and formulas of a change."""
        sort, new, old = self._sort, added(change), removed(change)
        match change:
            case Series(between=between):
                reason = sort.series_reason(names, plain=self._teller.is_single(between))
                return "series", f"{listing(names)} in series", between, reason, self._group(change)
            case Parallel(whole=whole):
                title = f"{listing(names)} in parallel"
                return "parallel", title, (whole.a, whole.b), sort.parallel_reason(names), self._group(change)
            case Star(corners=corners):
                reason = (
                    f"No two of the {sort.plural} left are in series or in parallel. {listing(names)} form a triangle "
                    f"(a delta). Whatever is joined to its three corners cannot tell it from the star of "
                    f"{listing([arm.name for arm in new])}, because between any two corners, with the third left "
                    f"free, both have the same {sort.value.word}{self._source()}"
                )
                lines = self._multiplied(old, new) if sort is CAPACITORS else self._divided(old, new)
                return "delta-star", f"A star for the triangle of {listing(names)}", corners, reason, lines
            case Triangle(corners=corners, centre=centre):
                reason = (
                    f"No two of the {sort.plural} left are in series or in parallel. {listing(names)} form a star: "
                    "nothing else ends where they meet. Whatever is joined to its three tips cannot tell it from the "
                    f"triangle (delta) of {listing([side.name for side in new])}, because between any two tips, with "
                    f"the third left free, both have the same {sort.value.word}{self._source()}"
                )
                lines = self._divided(old, new) if sort is CAPACITORS else self._multiplied(old, new)
                return "delta-star", f"A triangle for the star of {listing(names)}", (*corners, centre), reason, lines

    def _source(self) -> str:
        """The end of the sentence, and where the formula comes from, the first time that it is used."""
        if self._source_told:
            return "."
        self._source_told = True
        return f". The formula is from {KENNELLY}."

    def _group(self, change: Series | Parallel) -> tuple[Line, ...]:
        whole, result = self._symbol(change.whole), self._amount(change.whole)
        symbols = [self._symbol(link) for link in change.members]
        amounts = [self._amount(link) for link in change.members]
        if isinstance(change, Parallel) == (self._sort is CAPACITORS):
            return (chain(whole, several(symbols), several(amounts), result),)
        law = reciprocal(whole), several([reciprocal(symbol) for symbol in symbols])
        if len(symbols) == 2:
            over_sum = Fraction(Product(*symbols), Sum(*symbols)), Fraction(Product(*amounts), Sum(*amounts))
            return chain(*law), chain(whole, *over_sum, result)
        return chain(*law, several([reciprocal(amount) for amount in amounts])), chain(whole, result)

    def _divided(self, old: Sequence[Link], new: Sequence[Link]) -> tuple[Line, ...]:
        """Each new value is the product of two old ones over the sum of all."""
        lines = []
        for place, link in enumerate(new):
            pair = old[(place + 1) % 3], old[(place + 2) % 3]
            lines.append(
                chain(
                    self._symbol(link),
                    Fraction(Product(*map(self._symbol, pair)), Sum(*map(self._symbol, old))),
                    Fraction(Product(*map(self._amount, pair)), Sum(*map(self._amount, old))),
                    self._amount(link),
                )
            )
        return tuple(lines)

    def _multiplied(self, old: Sequence[Link], new: Sequence[Link]) -> tuple[Line, ...]:
        """Each new value is the sum of the products in pairs over one old value."""
        lines = []
        for link, over in zip(new, old, strict=True):
            written = []
            for write in (self._symbol, self._amount):
                first, second, third = map(write, old)
                products = Sum(Product(first, second), Product(second, third), Product(third, first))
                written.append(Fraction(products, write(over)))
            lines.append(chain(self._symbol(link), *written, self._amount(link)))
        return tuple(lines)

    def _symbol(self, link: Link) -> Formula:
        return self._teller.symbols.value(link.name)

    def _amount(self, link: Link) -> Formula:
        return self._teller.amount(link.value, self._sort.value)
