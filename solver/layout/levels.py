"""How far down each node of a mesh lies, and which lines run level from one node to another.

Nodes are ordered by the potentials they would have if every line were one and the same resistor between the two ends of
the mesh: then every node has lines that come from above and lines that lead down, and what is symmetric comes out
level, as the middle of a bridge does.
"""

from __future__ import annotations

from collections.abc import Collection, Iterable, Mapping, Sequence
from dataclasses import dataclass
from itertools import pairwise
from typing import Final

from solver.layout.embedding import ROOT, Embedding
from solver.layout.ordering import st_order

_NEARLY_LEVEL: Final = 0.15
"""Share of the whole potential difference up to which a line may be drawn level."""
_TRIED: Final = 60
"""Lines that are tried at the most, each of which costs a solution."""
_UNEVEN: Final = 1e-4
"""Share by which the resistors differ, so that no two potentials are equal by chance."""
_NO_DROP: Final = 1e-11
"""Smaller differences of potential are not told from the errors of the solution."""


@dataclass(frozen=True)
class Levels:
    """`potential` rises downwards from 0 to 1; nodes of one `group` are in one row, `rows` has the nodes of each group
    with level lines from left to right; `level` are these lines."""

    potential: Mapping[int, float]
    group: Mapping[int, int]
    rows: Mapping[int, Sequence[int]]
    level: frozenset[int]

    def above(self, embedding: Embedding, line: int) -> int:
        """The upper node of a line that is not level."""
        one, other = embedding.ends[line]
        return one if self.potential[one] < self.potential[other] else other


def levels_of(embedding: Embedding, candidates: Iterable[int]) -> Levels:
    """The levels of a mesh; only `candidates` may become level lines."""
    plain = _levels(embedding, frozenset())
    if plain is None:  # potentials fade along a mesh that is long enough, and may be equal in one of many lines
        return _ranked(embedding)

    def drop(line: int) -> float:
        one, other = embedding.ends[line]
        return abs(plain.potential[one] - plain.potential[other])

    best, tried = plain, 0
    for line in sorted(candidates, key=lambda line: (round(drop(line), 3), line)):
        if (
            {embedding.top, embedding.bottom} & set(embedding.ends[line])
            or drop(line) > _NEARLY_LEVEL
            or tried == _TRIED
        ):
            continue
        tried += 1
        best = _levels(embedding, best.level | {line}) or best
    return best


def _levels(embedding: Embedding, level: frozenset[int]) -> Levels | None:
    """The levels with these lines level; None where that cannot be drawn."""
    group = _groups(embedding, level)
    lines = [(group[one], group[other]) for line, (one, other) in embedding.ends.items() if line not in (*level, ROOT)]
    if any(one == other for one, other in lines) or group[embedding.top] == group[embedding.bottom]:
        return None
    of_group = _potentials(lines, group[embedding.top], group[embedding.bottom])
    if not _all_between(lines, of_group, {group[embedding.top], group[embedding.bottom]}):
        return None
    potential = {node: of_group[group[node]] for node in embedding.around}
    rows: dict[int, list[int]] = {}
    for first in sorted(_first_nodes(embedding, level)):
        if group[first] not in rows and (row := _row(embedding, potential, level, first)):
            rows[group[first]] = row
    in_rows = sum(len(row) - 1 for row in rows.values())
    return Levels(potential, group, rows, level) if in_rows == len(level) else None


def _ranked(embedding: Embedding) -> Levels:
    """Levels without level lines, from an order of the nodes alone."""
    order = st_order(
        {node: [embedding.other(line, node) for line in lines] for node, lines in embedding.around.items()},
        embedding.top,
        embedding.bottom,
    )
    place = {node: number for number, node in enumerate(order)}
    first, last = dict.fromkeys(order, 0), dict.fromkeys(order, 0)
    for node in order:
        for line in embedding.around[node]:
            other = embedding.other(line, node)
            if place[other] > place[node]:
                first[other] = max(first[other], first[node] + 1)
    for node in reversed(order):
        for line in embedding.around[node]:
            other = embedding.other(line, node)
            if place[other] > place[node]:
                last[node] = max(last[node], last[other] + 1)
    whole = 2 * first[embedding.bottom]
    potential = {node: (first[node] - last[node] + whole / 2) / whole for node in order}
    return Levels(potential, {node: node for node in order}, {}, frozenset())


def _groups(embedding: Embedding, level: Collection[int]) -> dict[int, int]:
    group = {node: node for node in embedding.around}

    def root(node: int) -> int:
        while group[node] != node:
            node = group[node]
        return node

    for line in level:
        one, other = (root(node) for node in embedding.ends[line])
        group[max(one, other)] = min(one, other)
    return {node: root(node) for node in group}


def _potentials(lines: Sequence[tuple[int, int]], a: int, b: int) -> dict[int, float]:
    # Loaded when first needed: most networks have no mesh in them.
    import numpy as np
    from scipy.sparse import csc_array
    from scipy.sparse.linalg import splu

    nodes = sorted({node for line in lines for node in line} - {a, b})
    place = {node: index for index, node in enumerate(nodes)}
    rows, columns, values = [], [], []
    given = np.zeros(len(nodes))
    for number, pair in enumerate(lines):
        weight = 1 + _UNEVEN * ((number * 0.6180339887498949) % 1)
        for one, other in (pair, pair[::-1]):
            if one not in place:
                continue
            rows.append(place[one])
            columns.append(place[one])
            values.append(weight)
            if other in place:
                rows.append(place[one])
                columns.append(place[other])
                values.append(-weight)
            elif other == b:
                given[place[one]] += weight
    # Sparse, and so in one thread: a dense solution waits for others where the machine is busy.
    found = splu(csc_array((values, (rows, columns)), shape=(len(nodes),) * 2)).solve(given) if nodes else given
    return {a: 0.0, b: 1.0} | {node: float(found[index]) for node, index in place.items()}


def _all_between(lines: Sequence[tuple[int, int]], potential: Mapping[int, float], ends: Collection[int]) -> bool:
    """Whether every line leads down, and every node but the two ends has lines from above and lines that lead down."""
    above, below = set(ends), set(ends)
    for one, other in lines:
        upper, lower = (one, other) if potential[one] < potential[other] else (other, one)
        if potential[lower] - potential[upper] <= _NO_DROP:
            return False
        above.add(lower)
        below.add(upper)
    return above == below == set(potential)


def _first_nodes(embedding: Embedding, level: Collection[int]) -> set[int]:
    """Nodes at which exactly one level line ends: the ends of the rows."""
    count: dict[int, int] = {}
    for line in level:
        for node in embedding.ends[line]:
            count[node] = count.get(node, 0) + 1
    return {node for node, lines in count.items() if lines == 1}


def _row(embedding: Embedding, potential: Mapping[int, float], level: Collection[int], first: int) -> list[int] | None:
    """The nodes of a row from left to right, if `first` can be the one on its left; None where the lines round a node
    would not keep above and below it. A row that begins at its other end is found from there."""
    row, came = [first], ROOT
    while True:
        node = row[-1]
        onward = [line for line in embedding.around[node] if line in level and line != came]
        if len(onward) > 1:
            return None
        if not _keeps(embedding, potential, node, came if len(row) > 1 else None, onward[0] if onward else None):
            return None
        if not onward:
            return row
        came = onward[0]
        row.append(embedding.other(came, node))


def _keeps(
    embedding: Embedding, potential: Mapping[int, float], node: int, left: int | None, right: int | None
) -> bool:
    """Whether clockwise round a node come its left line, lines from above, its right line, lines that lead down."""
    lines = embedding.around[node]
    start = lines.index(left) if left is not None else lines.index(right) if right is not None else 0
    turned = [line for line in lines[start:] + lines[:start] if line not in (left, right)]
    ups = [potential[embedding.other(line, node)] < potential[node] for line in turned]
    if left is None:
        ups = [not up for up in ups]
    # From the left line: first those from above; from the right line: first those that lead down.
    if any(later and not earlier for earlier, later in pairwise(ups)):
        return False
    if left is not None and right is not None:
        position = (lines.index(right) - lines.index(left)) % len(lines) - 1
        return position == sum(ups)
    return True
