"""Puts the nodes of a network in an order between two ends, so that every other one has neighbours both ways."""

from __future__ import annotations

from collections.abc import Mapping, Sequence


def st_order(beside: Mapping[int, Sequence[int]], first: int, last: int) -> list[int]:
    """The nodes from `first` to `last`, each other one with a neighbour before it and one after it.

    The two ends have to be neighbours, and no one node may join two parts of the network. Source: R. E. Tarjan, "Two
    streamlined depth-first search algorithms", Fundamenta Informaticae 9 (1986) 85–94.

    >>> st_order({0: [1, 2, 3], 1: [0, 2, 3], 2: [0, 1, 3], 3: [0, 1, 2]}, 0, 3)
    [0, 2, 1, 3]
    """
    number = {first: 0, last: 1}
    parent = {last: first}
    low = {first: first, last: first}
    visited = [first, last]
    way = [(last, iter(beside[last]))]
    while way:
        node, others = way[-1]
        for other in others:
            if other not in number:
                number[other] = len(number)
                parent[other], low[other] = node, other
                visited.append(other)
                way.append((other, iter(beside[other])))
                break
            low[node] = min(low[node], other, key=number.__getitem__)
        else:
            way.pop()
            if way:
                above = way[-1][0]
                low[above] = min(low[above], low[node], key=number.__getitem__)
    order, before = [first, last], {first: True}
    for node in visited[2:]:
        holder = parent[node]
        goes_before = before[low[node]]
        order.insert(order.index(holder) + (not goes_before), node)
        before[holder] = not goes_before
    return order
