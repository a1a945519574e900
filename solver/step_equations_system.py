"""A system of linear equations as on a board: each unknown is put in terms of the others until one is left.

Up to three unknowns every substitution is told; up to eight the system and its solution; beyond that nobody writes it.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import Final

from solver.arithmetic import Scalar
from solver.formula import Formula, Fraction, Negative, Product, Sum
from solver.quantities import Quantity
from solver.step_equations_words import (
    LINES_IN_A_STEP,
    chunks_of,
    count,
    is_negative,
    multiple,
    over_lines,
    signed,
    term,
    turned,
)
from solver.step_teller import Teller, chain
from solver.worked import Line, Step

MOST_TOLD: Final = 3
"""Unknowns up to which every substitution is told."""
MOST_WRITTEN: Final = 8
"""Unknowns up to which a system is written out."""


@dataclass(frozen=True)
class Row:
    """One equation: the sum of factors × unknowns is `right`; `name` as sentences call it ("the equation of k2")."""

    name: str
    factors: Mapping[int, Scalar]
    right: Scalar


@dataclass(frozen=True)
class Out:
    """An unknown written for itself by one equation, and what the equations with it become when that is put in."""

    unknown: int
    row: Row
    changed: tuple[tuple[Row, Row], ...]


@dataclass(frozen=True)
class System:
    """Equations for unknowns of one quantity; all symbols and amounts come from `teller`.

    `factor` × `unknown` is `right`: capacitance times potential is charge, resistance times current is voltage.
    """

    teller: Teller
    unknowns: Sequence[Formula]
    factor: Quantity
    unknown: Quantity
    right: Quantity
    rows: Sequence[Row]

    def lines(self, row: Row) -> list[Line]:
        """The equation with its factors as numbers."""
        return over_lines(self._terms(row.factors), self.teller.amount(row.right, self.right))

    def eliminated(self) -> list[Out]:
        """Unknowns in the order in which they go out; the last one stands alone in its equation."""
        left = list(self.rows)
        outs = []
        while left:
            row = min(left, key=lambda row: (len(row.factors), left.index(row)))
            others = [other for other in left if other is not row]
            unknown = min(row.factors, key=lambda x: (sum(x in other.factors for other in others), x))
            if is_negative(row.factors[unknown], self.teller):
                row = Row(row.name, {x: -factor for x, factor in row.factors.items()}, -row.right)
            changed, left = [], []
            for other in others:
                if unknown in other.factors:
                    after = _without(other, unknown, row)
                    changed.append((other, after))
                    left.append(after)
                else:
                    left.append(other)
            outs.append(Out(unknown, row, tuple(changed)))
        return outs

    def solution(self) -> list[Scalar]:
        """The unknowns, by elimination and back."""
        return _back(self.eliminated())

    def steps(self, solution: Sequence[Scalar], parts: Sequence[str], conductors: Sequence[str]) -> list[Step]:
        """How the equations are solved; `parts` and `conductors` are those that the equations speak of."""
        if not self.rows:
            return []
        if len(self.rows) > MOST_TOLD:
            told = [*self._whole(), *self._results(solution)]
        else:
            told = self._substitutions(solution)
        return [
            Step("solve", title, tuple(parts), tuple(conductors), reason, tuple(lines)) for title, reason, lines in told
        ]

    def _whole(self) -> list[tuple[str, str, list[Line]]]:
        reason = (
            f"These are {count(len(self.rows), 'equation')} for as many unknowns. Each elimination puts one unknown in "
            "terms of the others, until a single one is left; then the way leads back. With so many the sums are long, "
            "so only the equations and their solution stand here."
        )
        return [("The equations", reason, [line for row in self.rows for line in self.lines(row)])]

    def _results(self, solution: Sequence[Scalar]) -> list[tuple[str, str, list[Line]]]:
        lines = [
            chain(symbol, self.teller.amount(value, self.unknown))
            for symbol, value in zip(self.unknowns, solution, strict=True)
        ]
        reason = "Put into the equations, these values make each of them true."
        return [("Their solution", reason, chunk) for chunk in map(list, chunks_of(lines, LINES_IN_A_STEP))]

    def _substitutions(self, solution: Sequence[Scalar]) -> list[tuple[str, str, list[Line]]]:
        outs = self.eliminated()
        told = []
        for out in outs[:-1]:
            symbol = self.unknowns[out.unknown]
            alone = len(out.row.factors) == 1
            lines = [self._alone(out, solution)]
            for before, after in out.changed:
                lines += over_lines(self._put_in(before, out, solution), self.teller.amount(before.right, self.right))
                lines += self.lines(after)
            name = _first_upper(out.row.name)
            reason = (
                f"{name} has no other unknown than {symbol.text()}."
                if alone
                else f"{name} gives {symbol.text()} in terms of what else is unknown."
            )
            if out.changed:
                others = [before.name for before, _ in out.changed]
                reason += (
                    f" This is put into {' and '.join(others)}, which then "
                    f"{'has' if len(others) == 1 else 'have'} one unknown less."
                )
            told.append((f"{symbol.text()} from {out.row.name}", reason, lines))
        told.append(self._last(outs, solution))
        return told

    def _last(self, outs: Sequence[Out], solution: Sequence[Scalar]) -> tuple[str, str, list[Line]]:
        last = outs[-1]
        symbol = self.unknowns[last.unknown]
        lines = [self._alone(last, solution)]
        found = [symbol.text()]
        for out in reversed(outs[:-1]):
            if len(out.row.factors) > 1:
                lines.append(self._found(out, solution))
                found.append(self.unknowns[out.unknown].text())
        if len(outs) == 1:
            reason = f"{_first_upper(last.row.name)} has one unknown, {symbol.text()}."
            return f"Solve for {symbol.text()}", reason, lines
        reason = f"Now {last.row.name} has one unknown left, {symbol.text()}."
        if len(found) > 1:
            reason += f" With its value {' and then '.join(found[1:])} can be worked out as well."
        return f"Solve for {', then '.join(found)}", reason, lines

    def _alone(self, out: Out, solution: Sequence[Scalar]) -> Line:
        """The unknown written for itself; with its value where no other unknown is left."""
        symbol = self.unknowns[out.unknown]
        if len(out.row.factors) > 1:
            return chain(symbol, self._expression(out, self.unknowns))
        return chain(symbol, self._expression(out, self.unknowns), self._value(out.unknown, solution))

    def _found(self, out: Out, solution: Sequence[Scalar]) -> Line:
        amounts = [self._value(unknown, solution) for unknown in range(len(self.unknowns))]
        return chain(
            self.unknowns[out.unknown],
            self._expression(out, self.unknowns),
            self._expression(out, amounts),
            self._value(out.unknown, solution),
        )

    def _expression(self, out: Out, unknowns: Sequence[Formula]) -> Formula:
        """(right − other terms) / factor."""
        row, terms = out.row, []
        if row.right or len(row.factors) == 1:
            terms.append(term(self.teller, row.right, self.right))
        for unknown, factor in row.factors.items():
            if unknown != out.unknown:
                terms.append(turned(multiple(self.teller, factor, self.factor, unknowns[unknown])))
        # A sum that begins with a plus reads better.
        terms.sort(key=lambda item: isinstance(item, Negative))
        return Fraction(Sum(*terms), self.teller.amount(row.factors[out.unknown], self.factor))

    def _put_in(self, row: Row, out: Out, solution: Sequence[Scalar]) -> list[Formula]:
        """The left side of an equation with the unknown replaced by what it is."""
        if len(out.row.factors) == 1:
            replaced: Formula = self._value(out.unknown, solution)
        else:
            replaced = self._expression(out, self.unknowns)
        terms = []
        for unknown, factor in row.factors.items():
            minus = is_negative(factor, self.teller)
            shown = self.teller.amount(-factor if minus else factor, self.factor)
            terms.append(
                signed(Product(shown, replaced if unknown == out.unknown else self.unknowns[unknown]), minus=minus)
            )
        return terms

    def _terms(self, factors: Mapping[int, Scalar]) -> list[Formula]:
        return [multiple(self.teller, factor, self.factor, self.unknowns[x]) for x, factor in factors.items()]

    def _value(self, unknown: int, solution: Sequence[Scalar]) -> Formula:
        return self.teller.amount(solution[unknown], self.unknown)


def _without(row: Row, unknown: int, out: Row) -> Row:
    """The equation with an unknown put in as another equation gives it."""
    share = row.factors[unknown] / out.factors[unknown]
    factors = {x: factor for x, factor in row.factors.items() if x != unknown}
    for x, factor in out.factors.items():
        if x != unknown:
            total = factors[x] - share * factor if x in factors else -share * factor
            if total:
                factors[x] = total
            else:
                factors.pop(x, None)
    return Row(row.name, dict(sorted(factors.items())), row.right - share * out.right)


def _back(outs: Sequence[Out]) -> list[Scalar]:
    found: dict[int, Scalar] = {}
    for out in reversed(outs):
        total = out.row.right
        for unknown, factor in out.row.factors.items():
            if unknown != out.unknown:
                total = total - factor * found[unknown]
        found[out.unknown] = total / out.row.factors[out.unknown]
    return [found[unknown] for unknown in range(len(outs))]


def _first_upper(text: str) -> str:
    return text[0].upper() + text[1:]
