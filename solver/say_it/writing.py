"""Writes what a line describes as text, in one canonical way; reading it again gives the same description."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace
from typing import Final

from solver.geometry import is_build
from solver.say_it.description import (
    Branch,
    Description,
    Item,
    Parallel,
    Series,
    all_items,
    lowest_free,
    with_items,
)
from solver.values import UNKNOWN, read_text

_SIGNS: Final = {Series: " + ", Parallel: " ∥ "}
_WORDS: Final = {Series: "in series", Parallel: "in parallel"}
_REPEATED: Final = 3
"""Parts alike, one after the other, from which on they are written as a repeat."""


def text_of(description: Description) -> str:
    """The line. Parts' names are written as the description has them; see `without_needless_names`.

    >>> from solver.say_it.parsing import parse
    >>> text_of(parse("9V: 2x(4u7) + (10 uF||5uF) + 3 * C"))
    '9 V : 4.7 µF + 4.7 µF + (10 µF ∥ 5 µF) + 3 × C'
    """
    source = " + ".join(_runs([_item(item) for item in description.source]))
    if description.network is None:
        # Most emfs say what they are; a symbol such as X_1 is one by standing before a colon.
        return source if all(_is_emf(item.value) for item in description.source) else f"{source} :"
    network = _network(description.network)
    return f"{source} : {network}" if source else network


def without_needless_names(description: Description) -> Description:
    """The line with only those names that its order would not give its parts anyway.

    >>> named = (Item("capacitor", "C", "C1"), Item("capacitor", "C", "C3"), Item("capacitor", "C", "C2"))
    >>> [item.name for item in all_items(without_needless_names(Description((), Series(named))))]
    [None, 'C3', None]
    """
    parts = list(all_items(description))
    names = {item.name for item in parts}
    # A name is all that says what a part is whose value is to be found; and a value that is the name of a part would,
    # alone, mean that part.
    needed = {
        item.name
        for item in parts
        if item.name and ((item.value == UNKNOWN and item.kind != "battery") or item.value in names)
    }
    while True:
        given = lowest_free(needed)
        # The first name that the order would not give has to be written, which frees or takes numbers for the others.
        wrong = next(
            (item.name for item in parts if item.name and item.name not in needed and given(item.kind) != item.name),
            None,
        )
        if wrong is None:
            break
        needed.add(wrong)
    fresh = (item if item.name in needed else replace(item, name=None) for item in parts)
    return with_items(description, fresh)


def _is_emf(value: str | None) -> bool:
    return read_text(value or "").kind == "battery"


def _network(branch: Branch) -> str:
    if isinstance(branch, Item):
        return _item(branch)
    texts = [_item(member) if isinstance(member, Item) else f"({_network(member)})" for member in branch.members]
    runs = list(_runs(texts))
    joined = _SIGNS[type(branch)].join(runs)
    return f"{joined} {_WORDS[type(branch)]}" if len(runs) == 1 else joined


def _runs(texts: list[str]) -> Iterator[str]:
    """The texts, each run of texts alike as one repeat; those with names stay apart, a name being for one part."""
    place = 0
    while place < len(texts):
        text = texts[place]
        end = place + 1
        while end < len(texts) and texts[end] == text:
            end += 1
        if end - place >= _REPEATED and "=" not in text:
            yield f"{end - place} × {text}"
        else:
            yield from texts[place:end]
        place = end


def _item(item: Item) -> str:
    name = f"{item.name} = " if item.name else ""
    value = item.value or ("closed switch" if item.closed else item.kind)
    if item.kind == "capacitor" and is_build(value):
        value = f"“{value}”"
    extras = [
        *(["turned"] if item.turned else []),
        *([item.tolerance] if item.tolerance else []),
        *([f"starts at {item.initial}"] if item.initial else []),
        *([f"rated {item.rated}"] if item.rated else []),
        *([f"reversed at most {item.reverse}"] if item.reverse else []),
        *([f"inside {item.internal}"] if item.internal else []),
    ]
    return f"{name}{value} ({', '.join(extras)})" if extras else f"{name}{value}"
