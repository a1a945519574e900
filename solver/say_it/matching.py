"""Finds out which parts of an edited line are those that are on the sheet already."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from difflib import SequenceMatcher
from typing import Any

from solver.say_it.description import Branch, Description, Item, all_items, lowest_free


@dataclass(frozen=True)
class Pair:
    """A part of the edited line, named, and the part of the sheet that it is, None where it is new.

    `same_kind` is False where another kind of part takes the old one's place.
    """

    wanted: Item
    here: Item | None

    @property
    def same_kind(self) -> bool:
        """Whether it is the same part with at most other texts."""
        return self.here is not None and self.here.kind == self.wanted.kind


def shape(description: Description) -> object:
    """The arrangement alone: two lines of one shape differ in their parts' kinds, values and names only."""

    def of(branch: Branch | None) -> Any:
        if branch is None or isinstance(branch, Item):
            return branch and ("wire" if branch.kind == "wire" else "part")
        return type(branch).__name__, tuple(of(member) for member in branch.members)

    return len(description.source), of(description.network)


def pairs(wanted: Description, here: Description) -> list[Pair]:
    """For each part of the edited line, in its order, the part of the sheet that it is.

    In a line of the same shape every part keeps its place. Else a name tells, then the same value in the same order,
    then the same kind between parts that stayed. Parts keep their names where the line gives no other; new ones take
    the lowest free numbers.
    """
    asked, known = list(all_items(wanted)), list(all_items(here))
    if shape(wanted) == shape(here):
        found: list[Item | None] = list(known)
    else:
        found = _aligned(asked, known)
    written = {item.name for item in asked if item.name}
    kept = [
        old.name if old and old.kind == item.kind and not item.name and old.name not in written else None
        for item, old in zip(asked, found, strict=True)
    ]
    fresh = lowest_free({name for name in (*written, *kept) if name})
    return [
        Pair(replace(item, name=item.name or name or fresh(item.kind)), old if old and old.name else None)
        for item, name, old in zip(asked, kept, found, strict=True)
    ]


def _aligned(asked: Sequence[Item], known: Sequence[Item]) -> list[Item | None]:
    by_name = {item.name: item for item in known if item.name}
    found: dict[int, Item] = {
        index: by_name[item.name] for index, item in enumerate(asked) if item.name and item.name in by_name
    }
    taken = {old.name for old in found.values()}
    old = [item for item in known if item.name and item.name not in taken]
    new = [index for index in range(len(asked)) if index not in found and asked[index].kind != "wire"]
    matcher = SequenceMatcher(None, [_key(item) for item in old], [_key(asked[index]) for index in new], autojunk=False)
    for _, old_start, old_end, new_start, new_end in matcher.get_opcodes():
        left = old[old_start:old_end]
        for index in new[new_start:new_end]:
            same = next((item for item in left if item.kind == asked[index].kind), None)
            if same is not None:
                found[index] = same
                del left[: left.index(same) + 1]
    return [found.get(index) for index in range(len(asked))]


def _key(item: Item) -> tuple[object, ...]:
    """What makes a part recognisable beside its name."""
    return item.kind, item.value, item.initial, item.rated, item.reverse, item.internal, item.tolerance
