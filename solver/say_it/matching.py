"""Finds out which parts of an edited line are those that are on the sheet already."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from difflib import SequenceMatcher
from fractions import Fraction
from typing import Any, Final

from solver.say_it.description import Branch, Description, Item, all_items, lowest_free

_HALF: Final = Fraction(1, 2)
_NOT_COUNTED: Final = ("battery", "wire")


@dataclass(frozen=True)
class Pair:
    """A part of the edited line, named, and the part of the sheet that it is, None where it is new.

    `same_kind` is False where another kind of part takes the old one's place. `is_known` says that a name or a value
    tells that it is this part, not its place alone.
    """

    wanted: Item
    here: Item | None
    is_known: bool = False

    @property
    def same_kind(self) -> bool:
        """Whether it is the same part with at most other texts."""
        return self.here is not None and self.here.kind == self.wanted.kind


def most_stay(matched: Sequence[Pair], here: Description) -> bool:
    """Whether more than half of the network is there before and after an edit."""
    return _share_known(matched, here) > _HALF


def _share_known(matched: Sequence[Pair], here: Description) -> Fraction:
    """How much of the network is there before and after an edit, batteries not counted; all of it where nothing is."""
    known = sum(pair.is_known and pair.wanted.kind not in _NOT_COUNTED for pair in matched)
    after = sum(pair.wanted.kind not in _NOT_COUNTED for pair in matched)
    before = sum(item.kind not in _NOT_COUNTED for item in all_items(here))
    return Fraction(known, max(before, after)) if before or after else Fraction(1)


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
    then the same value anywhere, then the same kind between parts that stayed. Parts keep their names where the line
    gives no other; new ones take the lowest free numbers. So do all without a name where little of the network is
    known: half of it at most, less than half where the shape is the same.
    """
    asked, known = list(all_items(wanted)), list(all_items(here))
    same_shape = shape(wanted) == shape(here)
    found: list[Item | None] = list(known) if same_shape else _aligned(asked, known)
    matched = _named(asked, found, keeping=True)
    known_enough = most_stay(matched, here) or (same_shape and _share_known(matched, here) == _HALF)
    return matched if known_enough else _named(asked, found, keeping=False)


def _named(asked: Sequence[Item], found: Sequence[Item | None], *, keeping: bool) -> list[Pair]:
    written = {item.name for item in asked if item.name}
    kept = [
        old.name if keeping and old and old.kind == item.kind and not item.name and old.name not in written else None
        for item, old in zip(asked, found, strict=True)
    ]
    fresh = lowest_free({name for name in (*written, *kept) if name})
    return [
        Pair(
            replace(item, name=item.name or name or fresh(item.kind)),
            old if old and old.name else None,
            old is not None and (_key(item) == _key(old) or item.name == old.name),
        )
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
    between: list[tuple[list[Item], list[int]]] = []
    for tag, old_start, old_end, new_start, new_end in matcher.get_opcodes():
        if tag == "equal":
            found.update(zip(new[new_start:new_end], old[old_start:old_end], strict=True))
        else:
            between.append((old[old_start:old_end], new[new_start:new_end]))
    moved = [item for left, _ in between for item in left]
    for index in [index for _, places in between for index in places]:
        same = next((item for item in moved if _key(item) == _key(asked[index])), None)
        if same is not None:
            found[index] = same
            moved.remove(same)
    for left, places in between:
        staying = [item for item in left if item in moved]
        for index in places:
            same = next((item for item in staying if item.kind == asked[index].kind), None)
            if index not in found and same is not None:
                found[index] = same
                del staying[: staying.index(same) + 1]
    return [found.get(index) for index in range(len(asked))]


def _key(item: Item) -> tuple[object, ...]:
    """What makes a part recognisable beside its name."""
    return item.kind, item.value, item.initial, item.rated, item.reverse, item.internal, item.tolerance
