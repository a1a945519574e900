"""Reduces branches between two terminals by the rules of series and parallel, as far as they go.

Nodes that are no terminals and have two branches go, branches that share both ends become one: on a network that the
two rules describe, any order ends with one branch (R. J. Duffin, J. Math. Anal. Appl. 10 (1965) 303–318).
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass, replace

from solver.say_it.description import Branch, Item, Parallel, Series, in_parallel, in_series, items


@dataclass(frozen=True, slots=True)
class Link:
    """A branch from node `a`, where its first part begins, to node `b`."""

    a: int
    b: int
    branch: Branch

    def away_from(self, node: int) -> Link:
        """The same branch, seen from the end at this node."""
        return self if self.a == node else Link(self.b, self.a, reverse(self.branch))

    def far_end(self, node: int) -> int:
        """The end that is not at this node."""
        return self.b if self.a == node else self.a


def reverse(branch: Branch) -> Branch:
    """The branch read from its other end."""
    match branch:
        case Item():
            return branch if branch.kind == "wire" else replace(branch, turned=not branch.turned)
        case Series():
            return Series(tuple(reverse(member) for member in reversed(branch.members)))
        case Parallel():
            return Parallel(tuple(reverse(member) for member in branch.members))


def reduce(links: Iterable[Link], terminals: tuple[int, int]) -> list[Link]:
    """What is left of the links when neither rule applies any more: one between the terminals where they suffice.

    A branch with both ends at one node stands in the outcome beside a wire, in series with what else meets there.
    """
    return _Reduction(links, terminals).run()


class _Reduction:
    def __init__(self, links: Iterable[Link], terminals: tuple[int, int]) -> None:
        self.terminals = terminals
        self.at: dict[int, dict[int, Link]] = {terminal: {} for terminal in terminals}
        self.shorted: dict[int, list[Branch]] = {}
        self.waiting: list[int] = []
        for link in links:
            self._add(link)

    def _add(self, link: Link) -> None:
        """Adds a link, beside another one between the same nodes where there is one."""
        a, b = link.a, link.b
        if a == b:
            self.shorted.setdefault(a, []).append(link.branch)
            self.at.setdefault(a, {})
        else:
            # A node has at most one link to each other node, so that its degree is the size of its dict.
            if other := self.at.setdefault(a, {}).get(b):
                link = Link(a, b, in_parallel([other.away_from(a).branch, link.branch]))
            self.at[a][b] = link
            self.at.setdefault(b, {})[a] = link
        self.waiting += (a, b)

    def run(self) -> list[Link]:
        while self.waiting:
            node = self.waiting.pop()
            links = self.at.get(node, {})
            if node in self.terminals or len(links) != 2:
                continue
            first, second = links.values()
            a, b = first.far_end(node), second.far_end(node)
            del self.at[node], self.at[a][node], self.at[b][node]
            between = self._shorts(node)
            chain = [first.away_from(a).branch, *between, second.away_from(node).branch]
            self._add(Link(a, b, in_series(chain)))
        return self._left()

    def _shorts(self, node: int) -> list[Branch]:
        """What a wire shorts at this node, as branches beside that wire."""
        branches = self.shorted.pop(node, [])
        return [in_parallel([*branches, Item("wire")])] if branches else []

    def _left(self) -> list[Link]:
        left = list({id(link): link for links in self.at.values() for link in links.values()}.values())
        start, end = self.terminals
        if len(left) == 1 and {left[0].a, left[0].b} == {start, end}:
            whole = left[0].away_from(start).branch
            left = [Link(start, end, in_series([*self._shorts(start), whole, *self._shorts(end)]))]
        return left + [Link(node, node, branch) for node, branches in self.shorted.items() for branch in branches]


def ordered(branch: Branch, place: dict[str, int]) -> Branch:
    """The branch with what stands side by side in the order of its first parts, `place` being each name's."""

    def first(inner: Branch) -> int:
        return min((place[item.name] for item in items(inner) if item.name), default=len(place))

    if isinstance(branch, Item):
        return branch
    members = tuple(ordered(member, place) for member in branch.members)
    return Parallel(tuple(sorted(members, key=first))) if isinstance(branch, Parallel) else Series(members)
