"""The order of lines round every node of a mesh, so that lines cross only where it cannot be helped.

Where a plane holds the mesh with its two ends on the outside, no lines cross. Else lines that are left over are led
through as few others as possible, and a node of its own stands for each crossing.
"""

from __future__ import annotations

from collections import deque
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, field, replace
from typing import Final

import networkx as nx

ROOT: Final = -1
"""The number of the line that joins the two ends of a mesh round its left side; it is not drawn."""
LEAD: Final = -2
"""The number of the strand that leads from within a mesh to its lower end, where that saves crossings."""

Half = tuple[int, int]
"""A line as walked from one of its ends: its number, and the node it comes from."""


@dataclass
class Embedding:
    """Nodes and lines. `around` has the lines at every node, clockwise; `ends` the two nodes of each line; `top` and
    `bottom` are the two ends of the whole.

    `strands` has for each original line the pieces it was cut into by crossings, in order; `crossings` are the nodes
    that stand for these, each with its strands' pieces in turn round it; `undrawn` are lines for the order alone.
    """

    top: int
    bottom: int
    around: dict[int, list[int]]
    ends: dict[int, tuple[int, int]]
    strands: dict[int, list[int]]
    crossings: set[int] = field(default_factory=set)
    undrawn: set[int] = field(default_factory=lambda: {ROOT})

    def other(self, line: int, node: int) -> int:
        """The node at the other end of a line."""
        one, other = self.ends[line]
        return other if node == one else one

    def step(self, half: Half) -> Half:
        """The next line round the face that lies on the left hand of one that walks along a line."""
        line, start = half
        node = self.other(line, start)
        lines = self.around[node]
        return lines[(lines.index(line) + 1) % len(lines)], node

    def faces(self) -> tuple[dict[Half, int], list[list[Half]]]:
        """The face on the left of each half, and the halves round each face."""
        face_of: dict[Half, int] = {}
        faces: list[list[Half]] = []
        for line, ends in self.ends.items():
            for start in ends:
                half = (line, start)
                if half in face_of:
                    continue
                boundary = []
                while half not in face_of:
                    face_of[half] = len(faces)
                    boundary.append(half)
                    half = self.step(half)
                faces.append(boundary)
        return face_of, faces

    def mirrored(self) -> Embedding:
        """The same seen from behind."""
        around = {node: lines[::-1] for node, lines in self.around.items()}
        return replace(self, around=around)

    def hang(self, node: int, before: int, potential: Mapping[int, float]) -> tuple[int, int]:
        """Adds a line from a node to a new node, clockwise before one that is there; returns both. A line that is not
        drawn leads from there on to the lowest node of the face, so that all that hangs in a face is in order."""
        line = max((*self.ends, *self.strands)) + 1
        onward, end = line + 1, max(self.around) + 1
        face = self._round(node, before)
        lowest = max(potential[self.other(*half)] for half in face)
        arriving, start = next(
            half for half in face if potential[self.other(*half)] == lowest and potential[half[1]] < lowest
        )
        sink = self.other(arriving, start)
        lines = self.around[sink]
        lines.insert(lines.index(arriving) + 1, onward)
        lines = self.around[node]
        lines.insert(lines.index(before), line)
        self.around[end] = [line, onward]
        self.ends[line], self.ends[onward] = (node, end), (end, sink)
        self.undrawn.add(onward)
        return line, end

    def _round(self, node: int, before: int) -> list[Half]:
        """The halves round the face at a node on the clockwise near side of a line."""
        half = first = (before, node)
        face: list[Half] = []
        while not face or half != first:
            face.append(half)
            half = self.step(half)
        return face


def embed(pairs: Mapping[int, tuple[int, int]], a: int, b: int) -> Embedding:
    """The embedding of lines between nodes (no two between the same) with `a` and `b` on one face.

    Where lines have to cross, it may be that the mesh alone has no crossing, but its two ends are not on one face. Then
    a lead out of it may be what crosses: `bottom` is a node of its own at the end of that lead.
    """
    rooted = _embedded(pairs, a, b, {ROOT: (a, b)})
    if not rooted.crossings or not nx.check_planarity(nx.Graph(list(pairs.values())))[0]:
        return rooted
    led = _embedded(pairs, a, b, {})
    _lead_through(led, LEAD, (b, a))
    if len(led.crossings) >= len(rooted.crossings):
        return rooted
    return _with_bottom(led)


def _embedded(pairs: Mapping[int, tuple[int, int]], a: int, b: int, first: Mapping[int, tuple[int, int]]) -> Embedding:
    """An embedding that has the `first` lines without a crossing, and all others as far as a plane holds them."""
    lines = {**first, **pairs}
    planar, found = nx.check_planarity(nx.Graph(list(lines.values())))
    if not planar:
        lines, graph = {}, nx.Graph()
        for number, pair in (*first.items(), *pairs.items()):
            graph.add_edge(*pair)
            planar, tried = nx.check_planarity(graph)
            if planar:
                lines[number], found = pair, tried
            else:
                graph.remove_edge(*pair)
    numbers = {frozenset(pair): number for number, pair in lines.items()}
    around = {
        node: [numbers[frozenset((node, other))] for other in found.neighbors_cw_order(node)] for node in sorted(found)
    }
    embedding = Embedding(a, b, around, dict(lines), {number: [number] for number in pairs if number in lines})
    for number, pair in pairs.items():
        if number not in lines:
            _lead_through(embedding, number, pair)
    return embedding


def _with_bottom(embedding: Embedding) -> Embedding:
    """The embedding, its lead ending at a node of its own just before it would reach the upper end."""
    top, bottom = embedding.top, max(embedding.around) + 1
    last = embedding.strands[LEAD][-1]
    lines = embedding.around[top]
    lines[lines.index(last)] = ROOT
    embedding.around[bottom] = [last, ROOT]
    embedding.ends[last] = embedding.ends[last][0], bottom
    embedding.ends[ROOT] = top, bottom
    return replace(embedding, bottom=bottom)


def _lead_through(embedding: Embedding, number: int, pair: tuple[int, int]) -> None:
    """Adds a line that crosses as few others as possible."""
    start, end = pair
    face_of, faces = embedding.faces()
    first_face, way = _way_between(embedding, faces, face_of, start, end)
    last_face = face_of[_back(embedding, way[-1])] if way else first_face
    entry = next(half for half in faces[first_face] if embedding.other(*half) == start)
    leaving = next(half for half in faces[last_face] if embedding.other(*half) == end)
    fresh = _fresh(embedding)
    pieces = [next(fresh) for _ in range(len(way) + 1)]
    for node, half, piece in ((start, entry, pieces[0]), (end, leaving, pieces[-1])):
        lines = embedding.around[node]
        lines.insert(lines.index(half[0]) + 1, piece)
    here = start
    for place, (line, from_node) in enumerate(way):
        node = max(embedding.around) + 1
        to_node = embedding.other(line, from_node)
        near, far = next(fresh), next(fresh)
        for side, piece in ((from_node, near), (to_node, far)):
            lines = embedding.around[side]
            lines[lines.index(line)] = piece
        # The line is crossed from its left hand to its right.
        embedding.around[node] = [near, pieces[place], far, pieces[place + 1]]
        embedding.crossings.add(node)
        forward = embedding.ends.pop(line)[0] == from_node
        embedding.ends[near] = (from_node, node) if forward else (node, from_node)
        embedding.ends[far] = (node, to_node) if forward else (to_node, node)
        strand = next(strand for strand in embedding.strands.values() if line in strand)
        at = strand.index(line)
        strand[at : at + 1] = [near, far] if forward else [far, near]
        embedding.ends[pieces[place]] = here, node
        here = node
    embedding.ends[pieces[-1]] = here, end
    embedding.strands[number] = pieces


def _fresh(embedding: Embedding) -> Iterator[int]:
    """Numbers that no line has yet."""
    highest = max((*embedding.ends, *embedding.strands, 0))
    while True:
        highest += 1
        yield highest


def _back(embedding: Embedding, half: Half) -> Half:
    """The same line walked from its other end."""
    return half[0], embedding.other(*half)


def _way_between(
    embedding: Embedding, faces: Sequence[Sequence[Half]], face_of: Mapping[Half, int], start: int, end: int
) -> tuple[int, list[Half]]:
    """The shortest way from a face at one node to a face at another: where it begins, and the lines to be crossed, each
    as the half that has the face before it on its left."""
    goal = {face for half, face in face_of.items() if embedding.other(*half) == end}
    came: dict[int, Half | None] = {face: None for half, face in face_of.items() if embedding.other(*half) == start}
    waiting = deque(came)
    while waiting:
        face = waiting.popleft()
        if face in goal:
            way: list[Half] = []
            while (half := came[face]) is not None:
                way.append(half)
                face = face_of[half]
            return face, way[::-1]
        for half in faces[face]:
            beyond = face_of[_back(embedding, half)]
            # What ends at either node is not crossed, the line that is not drawn never.
            if half[0] != ROOT and beyond not in came and not {start, end} & set(embedding.ends[half[0]]):
                came[beyond] = half
                waiting.append(beyond)
    raise ValueError("two nodes of one mesh share no way")
