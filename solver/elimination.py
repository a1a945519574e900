"""Gaussian elimination on the Laplacian of a graph, node by node: a node goes out, its neighbours become joined.

For a node with two neighbours this is the series rule, for three the change from star to triangle (A. E. Kennelly,
Electrical World and Engineer 34 (1899) 413–414; from memory).
"""

from __future__ import annotations

import heapq
from collections.abc import Sequence
from dataclasses import dataclass

from solver.arithmetic import Edge, Scalar


@dataclass(frozen=True, slots=True)
class Eliminated:
    """A node that went out: the weights to its neighbours at that time, and one over its diagonal."""

    node: int
    links: dict[int, Scalar]
    inverse: Scalar


class Grounded:
    """A Laplacian with node 0 held at zero, and its right-hand sides, being taken apart.

    `neighbours[node]` has the weights to the nodes still there (node 0 left out), `diagonal[node]` the sum of all
    weights, `right[node]` the right-hand sides, one for each column.
    """

    def __init__(self, size: int, edges: Sequence[Edge], columns: Sequence[list[Scalar]], zero: Scalar) -> None:
        self.neighbours: dict[int, dict[int, Scalar]] = {node: {} for node in range(1, size)}
        self.diagonal: dict[int, Scalar] = dict.fromkeys(range(size), zero)
        self.right = [[column[node] for column in columns] for node in range(size)]
        self._zero = zero
        self._eliminated: list[Eliminated] = []
        for a, b, weight in edges:
            self.diagonal[a] += weight
            self.diagonal[b] += weight
            if a and b:
                row = self.neighbours[a]
                row[b] = self.neighbours[b][a] = row[b] + weight if b in row else weight

    def eliminate(self, most: int) -> None:
        """Takes out nodes with up to `most` neighbours for as long as there are any, those with fewest first."""
        heap = [(len(links), node) for node, links in self.neighbours.items() if len(links) <= most]
        heapq.heapify(heap)
        while heap:
            degree, node = heapq.heappop(heap)
            if node not in self.neighbours or len(self.neighbours[node]) != degree:
                continue
            for other in self._take_out(node):
                if len(self.neighbours[other]) <= most:
                    heapq.heappush(heap, (len(self.neighbours[other]), other))

    def eliminate_apart(self, most: int) -> None:
        """Takes out nodes with up to `most` neighbours, none of which touch each other, so that weights stay simple."""
        beside: set[int] = set()
        for node in list(self.neighbours):
            if node not in beside and len(self.neighbours[node]) <= most:
                beside.update(self._take_out(node))

    def _take_out(self, node: int) -> dict[int, Scalar]:
        links = self.neighbours.pop(node)
        inverse = 1 / self.diagonal[node]
        own = self.right[node]
        pairs = list(links.items())
        for place, (other, weight) in enumerate(pairs):
            row = self.neighbours[other]
            del row[node]
            share = weight * inverse
            self.diagonal[other] -= share * weight
            theirs = self.right[other]
            for index, term in enumerate(own):
                if term:
                    theirs[index] += share * term
            for third, third_weight in pairs[place + 1 :]:
                added = share * third_weight
                row[third] = self.neighbours[third][other] = row[third] + added if third in row else added
        self._eliminated.append(Eliminated(node, links, inverse))
        return links

    def restore(self, core: dict[int, list[Scalar]], denominator: Scalar) -> list[list[Scalar]]:
        """All unknowns, by column, from those of the nodes that stayed; both over the denominator."""
        size = len(self.right)
        width = len(self.right[0])
        found = dict(core)
        for gone in reversed(self._eliminated):
            entries = []
            for index, term in enumerate(self.right[gone.node]):
                total = term * denominator
                for other, weight in gone.links.items():
                    total += weight * found[other][index]
                entries.append(total * gone.inverse)
            found[gone.node] = entries
        found[0] = [self._zero] * width
        return [[found[node][index] for node in range(size)] for index in range(width)]
