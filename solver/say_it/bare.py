"""The two sides of a line with nothing but names in them: to see how an edited line differs from the sheet's."""

from __future__ import annotations

from collections.abc import Collection, Sequence

from solver.say_it.description import (
    Branch,
    Description,
    Item,
    Parallel,
    Series,
    in_parallel,
    in_series,
    with_items,
)

Tree = Branch | None


def bare(description: Description, names: Sequence[str | None]) -> tuple[Tree, Tree]:
    """The chain of batteries and the network, of parts that differ in these names alone. Wires have none."""
    named = with_items(description, iter([Item("wire", name=name) for name in names]))
    return in_series(list(named.source)) if named.source else None, named.network


def without(branch: Tree, stays: Collection[str]) -> Tree:
    """The branch without the parts that do not stay; wires do."""
    if branch is None or isinstance(branch, Item):
        return branch if branch is None or branch.name is None or branch.name in stays else None
    members = [kept for member in branch.members if (kept := without(member, stays)) is not None]
    if not members:
        return None
    return in_series(members) if isinstance(branch, Series) else in_parallel(members)


def parent(branch: Tree, name: str) -> Series | Parallel | None:
    """What a part is a member of, in the branch; None where it is the branch itself."""
    if branch is None or isinstance(branch, Item):
        return None
    for member in branch.members:
        if isinstance(member, Item):
            if member.name == name:
                return branch
        elif found := parent(member, name):
            return found
    return None
