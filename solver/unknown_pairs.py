"""Two requirements that say the same of two unknowns: pairs of values that satisfy both, to show that many do."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass
from itertools import product
from typing import Any, Final

import flint

from solver.format import format_exact
from solver.kinds import KINDS
from solver.readings import Reading
from solver.roots import as_number, roots_of, substituted, univariate
from solver.sketch import Part

_USUAL: Final = {"capacitor": flint.fmpq(1, 10**6), "resistor": flint.fmpq(100), "battery": flint.fmpq(1)}
"""A value such as is met in class, in F, Ω, V."""
_DECADES: Final = 6
"""How far from it values are tried."""
_SHORT: Final = 8
"""Characters of a value that a class can reckon with in the head."""

Pair = tuple[Any, Any]


def pairs_on(curve: Any, unknown: Sequence[Part], holds: Callable[[Pair], bool]) -> list[tuple[str, ...]]:
    """Two pairs of values in words, where a polynomial in both unknowns is zero; usual and round ones if any are.

    `holds` says whether the parts can have such values. Empty where there are no two.
    """
    found = [pair for pair in _points(curve, unknown) if holds(pair)]
    texts = [[_text(part, value) for part, value in zip(unknown, pair, strict=True)] for pair in found]
    # Sorting keeps the order of those that are alike in this: the usual ones stay first.
    texts.sort(key=lambda pair: not all(text.is_round for text in pair))
    return [tuple(text.words for text in pair) for pair in texts[:2]] if len(texts) > 1 else []


def _points(curve: Any, unknown: Sequence[Part]) -> Iterator[Pair]:
    """Points of the curve over round values of one unknown, the usual ones first."""
    first, second = unknown
    if curve.degrees()[1]:
        for given in _round_values(first):
            yield from ((given, root) for root in roots_of(substituted(curve, given)))
    else:
        # Nothing is said of the second unknown: any value of it will do.
        for given in _round_values(second):
            yield from ((root, given) for root in roots_of(univariate(curve, 0)))


def _round_values(part: Part) -> Iterator[flint.fmpq]:
    for decade, digit in product(sorted(range(-_DECADES, _DECADES + 1), key=abs), (1, 2, 5)):
        yield _USUAL[part.kind] * digit * flint.fmpq(10) ** decade


@dataclass(frozen=True)
class _Text:
    words: str
    is_round: bool


def _text(part: Part, value: Any) -> _Text:
    quantity = KINDS[part.kind].quantity
    assert quantity is not None
    number, exact = as_number(value)
    if exact and len(text := format_exact(number, quantity.unit)) <= _SHORT and "/" not in text:
        return _Text(text, is_round=True)
    return _Text(Reading(number, quantity).text, is_round=False)
