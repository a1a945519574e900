"""The time constant in steps: resistors put together to one, capacitors to one, and the product of the two.

Where series and parallel do not lead that far, what flows at the start tells it: at that pace the rest of the way would
take just one time constant.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator, Sequence
from typing import Final

from solver.arithmetic import Scalar
from solver.course import OverTime
from solver.faults import listing
from solver.formula import Formula, Fraction, Negative, Product, Sum, Symbol, reciprocal
from solver.network import Capacitor
from solver.outcome import Outcome
from solver.quantities import Quantity
from solver.reduction import reduced
from solver.step_changes import Change, Law, Link, Parallel, Series
from solver.step_names import Names, symbols_of, taken_names
from solver.step_symbols import Symbols
from solver.step_teller import Teller, chain, several
from solver.worked import Line, Step

TAU: Final = Symbol("τ")


def constant_steps(
    teller: Teller, outcome: Outcome, constant: Scalar, capacitors: Sequence[tuple[Capacitor, OverTime]]
) -> Iterator[Step]:
    """The steps to the time constant (seconds); `capacitors` are those whose voltage changes."""
    pair = _Pair(teller, outcome, [part for part, _ in capacitors])
    if pair.constant is not None and pair.constant == constant:
        yield from pair.steps()
    else:
        yield _from_the_start(teller, constant, *capacitors[0])


class _Pair:
    """One resistance and one capacitance that stand for all, where series and parallel lead to that."""

    def __init__(self, teller: Teller, outcome: Outcome, capacitors: Sequence[Capacitor]) -> None:
        network, node = outcome.network, outcome.ideal.group_of
        self._teller: Final = teller
        self._batteries: Final = [battery.name for battery in network.batteries if battery.a != battery.b]
        self._internal: Final = {battery.name for battery in network.batteries if battery.internal is not None}
        resistances = [Link(part.name, node[part.a], node[part.b], part.resistance) for part in network.resistors]
        resistances += [
            Link(part.name, node[part.a], node[part.b], part.internal)
            for part in network.batteries
            if part.internal is not None
        ]
        stores = [Link(part.name, node[part.a], node[part.b], part.capacitance) for part in capacitors]
        self._stores: Final = stores
        resistances = _useful([link for link in resistances if link.a != link.b], stores)
        self._resistances: Final = resistances
        taken = taken_names(network, teller.writing.symbols, (part.name for part in network.branches))
        one = network.arithmetic.one
        names = Names("R", "resistor", taken), Names("C", "capacitor", taken)
        laws = Law(Series, one), Law(Parallel, one)
        if _is_loop([*resistances, *stores]):
            made = [
                _in_a_row(links, law, name) for links, law, name in zip((resistances, stores), laws, names, strict=True)
            ]
            self._changes: list[Change] = [change for _, change in made if change is not None]
            left = [[link] for link, _ in made]
            joined = True
        else:
            ends = {end for link in stores for end in (link.a, link.b)}
            rest = reduced(resistances, ends, laws[0], names[0])
            other = reduced(stores, {end for link in rest.left for end in (link.a, link.b)}, laws[1], names[1])
            self._changes = [*rest.changes, *other.changes]
            left = [list(rest.left), list(other.left)]
            joined = all(len(links) == 1 for links in left) and {left[0][0].a, left[0][0].b} == {
                left[1][0].a,
                left[1][0].b,
            }
        self._left: Final = (left[0][0], left[1][0]) if joined else None
        self._symbols: Final[Symbols] = (
            symbols_of(network, self._changes)
            if not any(self._is_internal(c) for c in self._changes)
            else teller.symbols
        )
        self.constant: Final = self._left[0].value * self._left[1].value if self._left and self._can_be_told else None

    @property
    def _can_be_told(self) -> bool:
        return not any(self._is_internal(change) for change in self._changes)

    def _is_internal(self, change: Change) -> bool:
        members = change.members if isinstance(change, Series | Parallel) else ()
        return any(link.name in self._internal for link in members)

    def steps(self) -> Iterator[Step]:
        """Each group that is put together, then the product."""
        for change in self._changes:
            assert isinstance(change, Series | Parallel)
            yield self._group(change)
        assert self._left is not None
        resistance, capacitance = self._left
        teller = self._teller
        seen = " Batteries count as wires here: they fix where things end, not how fast." if self._batteries else ""
        line = chain(
            TAU,
            Product(self._value(resistance), self._value(capacitance)),
            Product(
                teller.amount(resistance.value, Quantity.RESISTANCE),
                teller.amount(capacitance.value, Quantity.CAPACITANCE),
            ),
            teller.amount(resistance.value * capacitance.value, Quantity.TIME),
        )
        reason = (
            f"Charge comes to {capacitance.name} and leaves it only through {self._named(resistance)}: the larger "
            "either is, the longer that takes. The time constant is their product; an ohm times a farad is a "
            f"second.{seen}"
        )
        parts = tuple(link.name for link in [*self._resistances, *self._stores])
        yield Step("constant", "The time constant", parts, (), reason, (line,))

    def _named(self, link: Link) -> str:
        return f"the internal resistance of {link.name}" if link.name in self._internal else link.name

    def _value(self, link: Link) -> Formula:
        if link.name in self._internal:
            return self._symbols.internal(link.name)
        return self._symbols.value(link.name)

    def _group(self, change: Series | Parallel) -> Step:
        teller = self._teller
        is_resistance = change.whole.name.startswith("R")
        quantity = Quantity.RESISTANCE if is_resistance else Quantity.CAPACITANCE
        names = [link.name for link in change.members]
        symbols = [self._value(link) for link in change.members]
        amounts: list[Formula] = [teller.amount(link.value, quantity) for link in change.members]
        whole, result = self._value(change.whole), teller.amount(change.whole.value, quantity)
        adds = isinstance(change, Series) == is_resistance
        lines: tuple[Line, ...]
        if adds:
            lines = (chain(whole, several(symbols), several(amounts), result),)
        elif len(symbols) == 2:
            over_sum = Fraction(Product(*symbols), Sum(*symbols)), Fraction(Product(*amounts), Sum(*amounts))
            lines = (chain(whole, *over_sum, result),)
        else:
            shares = several([reciprocal(each) for each in symbols]), several([reciprocal(each) for each in amounts])
            lines = (chain(reciprocal(whole), *shares), chain(whole, result))
        in_series = isinstance(change, Series)
        how = "in series" if in_series else "in parallel"
        seen = "what the charge has to pass" if is_resistance else "what holds the charge"
        reason = (
            f"Seen as {seen}, with batteries as wires, {listing(names)} are {how}"
            f"{': one current goes through them' if in_series else ': both ends are common'}, and one "
            f"{'resistance' if is_resistance else 'capacitance'} does the same."
        )
        return Step(
            "series" if in_series else "parallel", f"{listing(names)} {how}", self._parts(names), (), reason, lines
        )

    def _parts(self, names: Sequence[str]) -> tuple[str, ...]:
        own = {part.name for part in self._teller.network.branches}
        return tuple(name for name in names if name in own)


def _useful(resistances: list[Link], stores: Sequence[Link]) -> list[Link]:
    """Without links that lead nowhere: their far end is no capacitor's, and nothing else ends there."""
    ends = {end for link in stores for end in (link.a, link.b)}
    while True:
        count = Counter(end for link in resistances for end in (link.a, link.b))
        kept = [link for link in resistances if all(count[end] > 1 or end in ends for end in (link.a, link.b))]
        if len(kept) == len(resistances):
            return kept
        resistances = kept


def _is_loop(links: Sequence[Link]) -> bool:
    """Whether all links form one closed loop."""
    count = Counter(end for link in links for end in (link.a, link.b))
    if len(links) < 2 or any(number != 2 for number in count.values()) or len(count) != len(links):
        return False
    here, way = links[0].b, [links[0]]
    while here != links[0].a:
        follow = next(link for link in links if here in (link.a, link.b) and link is not way[-1])
        way.append(follow)
        here = follow.other(here)
    return len(way) == len(links)


def _in_a_row(links: Sequence[Link], law: Law, namer: Names) -> tuple[Link, Series | None]:
    """All links of a loop as one, in series wherever in the loop they lie."""
    if len(links) == 1:
        return links[0], None
    value = law.combined(Series, [link.value for link in links])
    whole = Link(namer([link.name for link in links]), links[0].a, links[-1].b, value)
    return whole, Series(whole, tuple(links), ())


def _from_the_start(teller: Teller, constant: Scalar, part: Capacitor, reading: OverTime) -> Step:
    """τ = C·(V_end − V_start)/I_start."""
    own = teller.symbols.voltage(part.name)
    start, end = Symbol(own.stem, f"{own.index},start"), Symbol(own.stem, f"{own.index},end")
    current = teller.symbols.current(part.name)
    flows = part.capacitance * (reading.final - reading.first) / constant
    first, final = (teller.amount(each, Quantity.VOLTAGE) for each in (reading.first, reading.final))
    line = chain(
        TAU,
        Fraction(
            Product(teller.symbols.value(part.name), Sum(end, Negative(start))),
            Symbol(current.stem, f"{current.index},start"),
        ),
        Fraction(
            Product(teller.amount(part.capacitance, Quantity.CAPACITANCE), Sum(final, Negative(first))),
            teller.amount(flows, Quantity.CURRENT),
        ),
        teller.amount(constant, Quantity.TIME),
    )
    reason = (
        "Series and parallel alone do not lead to one resistance and one capacitance here. But what flows at the start "
        f"tells the time constant too: if the current onto {part.name} stayed as it is at the start, the whole way to "
        "the end would take just one time constant."
    )
    return Step("constant", "The time constant", (part.name,), (), reason, (line,))
