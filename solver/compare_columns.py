"""What is to be compared, and the columns that it makes: each a sketch of its own, solved, with its tiles."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field, replace
from enum import Enum
from functools import cached_property
from typing import Any, Final, Self

from solver.compare_faults import (
    MOST_PARTS,
    ComparisonFault,
    nothing_to_compare,
    too_many_parts,
    unknown_change,
    unknown_parts,
)
from solver.compare_layout import in_parallel, in_series
from solver.compare_other import OTHER, exchanged
from solver.elements import ValueReader
from solver.faults import SketchFaults, listing
from solver.kinds import KINDS
from solver.sketch import Part, Sketch, battery
from solver.solution import Solution
from solver.solving import SolvedNetwork, solution_of, solve_network
from solver.tiles import Tiles, tiles_of
from solver.tolerance_text import TAKES_TOLERANCE

EMF: Final = "9 V"
"""What the arrangements are given where the sheet has no battery."""

_OF_SWITCHES: Final = {"switch": {"closed"}, "two-way switch": {"rests"}}


class Kind(Enum):
    """What a column shows: the chosen parts in series or in parallel, the same numbers as the other kind of part in
    either, the network as it is, or a changed copy of that."""

    SERIES = "series"
    PARALLEL = "parallel"
    OTHER_SERIES = "other-series"
    OTHER_PARALLEL = "other-parallel"
    NETWORK = "network"
    COPY = "copy"

    @property
    def way(self) -> str | None:
        """ "series" or "parallel", None for a network of one's own."""
        return None if self in (Kind.NETWORK, Kind.COPY) else self.value.removeprefix("other-")

    @property
    def is_other(self) -> bool:
        """Whether the parts are of the other kind."""
        return self in (Kind.OTHER_SERIES, Kind.OTHER_PARALLEL)


@dataclass(frozen=True)
class Wish:
    """What is to be compared.

    `chosen` are names of capacitors and resistors (None: all capacitors, else all resistors; all of both where only
    networks are compared), `emf` is for a sheet without a battery, `changed` has what parts of the copy have instead.
    """

    sketch: Sketch
    kinds: tuple[Kind, ...]
    chosen: tuple[str, ...] | None = None
    emf: str | None = None
    changed: Mapping[str, Mapping[str, Any]] = field(default_factory=dict)

    @classmethod
    def read(cls, document: Mapping[str, Any]) -> Self:
        """The wish of a document that is as ComparisonRequest in shared/openapi.json. Raises SketchFaults."""
        chosen = document.get("parts")
        return cls(
            Sketch.read(document["sketch"]),
            tuple(map(Kind, document["columns"])),
            None if chosen is None else tuple(chosen),
            document.get("emf"),
            document.get("changed", {}),
        )


@dataclass(frozen=True)
class Column:
    """One column, solved.

    `title` stands over it, `phrase` in a sentence ("in series"); `part_kind` is the kind of the arrangement's parts
    (None for a network); `names` maps a chosen part to its name here.
    """

    kind: Kind
    title: str
    phrase: str
    part_kind: str | None
    sketch: Sketch
    names: Mapping[str, str]
    solved: SolvedNetwork

    @cached_property
    def solution(self) -> Solution:
        """Every reading of the column."""
        return solution_of(self.solved)

    @cached_property
    def tiles(self) -> Tiles:
        """The column's tiles, at a scale of their own."""
        return tiles_of(self.solved, self.solution)

    @cached_property
    def has(self) -> frozenset[str]:
        """The kinds of part in it."""
        return frozenset(part.kind for part in self.sketch.parts)

    @cached_property
    def batteries(self) -> tuple[str, ...]:
        """The names of its batteries."""
        return tuple(part.name for part in self.sketch.parts if part.kind == "battery")

    def document(self) -> dict[str, Any]:
        """The column as the web interface sends it."""
        return {
            "kind": self.kind.value,
            "title": self.title,
            "sketch": self.sketch.document(),
            "names": dict(self.names),
            "solution": self.solution.document(),
            "tiles": self.tiles.document(),
        }


class Columns:
    """Makes the columns of a wish. Raises ComparisonFault and SketchFaults."""

    def __init__(self, wish: Wish) -> None:
        self.wish: Final = wish
        self.notes: Final[list[str]] = []
        self._parts: Final = {part.name: part for part in wish.sketch.parts}
        self.chosen: Final = self._choose()
        # Only parts of one kind are put in series and in parallel.
        arranged = [part for part in self.chosen if part.kind == "capacitor"] or self.chosen
        self.arranged: Final = arranged if any(kind.way for kind in wish.kinds) else []
        self.battery: Final = self._battery()
        self._require_values()
        networks = {kind: self._own(kind) for kind in wish.kinds if kind.way is None}
        self._turned: Final = {name for column in networks.values() for name in _negative(column)}
        self.made: Final = tuple(networks.get(kind) or self._arrangement(kind) for kind in wish.kinds)
        self._tell_what_is_left_out()

    def _choose(self) -> list[Part]:
        wish = self.wish
        there = [part for part in wish.sketch.parts if part.kind in OTHER]
        if wish.chosen:
            wrong = [name for name in wish.chosen if self._parts.get(name) not in there]
            wrong += [name for name in wish.chosen if wish.chosen.count(name) > 1]
            if wrong:
                raise unknown_parts(list(dict.fromkeys(wrong)))
            if len(wish.chosen) > MOST_PARTS:
                raise too_many_parts(wish.chosen)
            return [part for part in there if part.name in wish.chosen]
        if any(kind.way for kind in wish.kinds):
            there = [part for part in there if part.kind == "capacitor"] or there
        if not there:
            raise nothing_to_compare()
        if len(there) > MOST_PARTS:
            self.notes.append(f"Of {len(there)} parts the first {MOST_PARTS} are compared; others can be chosen.")
        return there[:MOST_PARTS]

    def _battery(self) -> Part:
        for part in self.wish.sketch.parts:
            if part.kind == "battery":
                return part
        names = {part.name for part in self.arranged}
        name = next(name for number in range(1, MOST_PARTS + 2) if (name := f"E{number}") not in names)
        return battery(name, self.wish.emf or EMF, "", "")

    def _require_values(self) -> None:
        """The values of the sheet first, so that what is wrong with one is said once, and of the part it stands on."""
        reader = ValueReader()
        for part in (*self.arranged, self.battery):
            reader.element(part)
        if reader.faults:
            raise SketchFaults(reader.faults)

    def _own(self, kind: Kind) -> Column:
        sketch = self._copy() if kind is Kind.COPY else self._network()
        title, phrase = self._named(kind)
        names = {part.name: part.name for part in self.chosen}
        return Column(kind, _capital(title), phrase, None, sketch, names, solve_network(sketch))

    def _arrangement(self, kind: Kind) -> Column:
        parts: Sequence[Part] = [part._replace(initial=None) for part in self.arranged]
        part_kind = parts[0].kind
        title = phrase = f"in {kind.way}"
        if kind.is_other:
            made = exchanged(parts, self.battery.name)
            part_kind, parts = OTHER[part_kind], made.parts
            note = f"As {part_kind}s the parts have the same numbers: {made.note}."
            if note not in self.notes:
                self.notes.append(note)
            title, phrase = f"as {part_kind}s, {title}", f"as {part_kind}s {phrase}"
        names = {old.name: new.name for old, new in zip(self.arranged, parts, strict=True)}
        bare = self.battery._replace(internal=None)
        lay = in_series if kind.way == "series" else in_parallel
        # As in the network beside it, so that a voltage has the same sign in both.
        turned = {names[name] for name in self._turned if name in names}
        sketch = lay(bare, parts, self._title(title), self.wish.sketch.figures, turned)
        return Column(kind, _capital(title), phrase, part_kind, sketch, names, solve_network(sketch))

    def _named(self, kind: Kind) -> tuple[str, str]:
        if kind is Kind.COPY:
            return "changed copy", "in the changed copy"
        title = "as it is" if Kind.COPY in self.wish.kinds else "the network"
        return title, "in the unchanged network" if Kind.COPY in self.wish.kinds else "in the network"

    def _title(self, what: str) -> str:
        title = self.wish.sketch.title
        # As long as the schema lets a title be.
        return f"{title[: 116 - len(what)]}: {what}" if title else _capital(what)

    def _network(self) -> Sketch:
        own = self.wish.sketch
        return Sketch(own.joints, own.parts, title=own.title, zero=own.zero, figures=own.figures)

    def _copy(self) -> Sketch:
        network, changed = self._network(), self.wish.changed
        possible = {name: _changeable(part.kind) for name, part in self._parts.items()}
        if wrong := [name for name, change in changed.items() if not set(change) <= possible.get(name, set())]:
            raise unknown_change(wrong)
        parts = tuple(part._replace(**changed.get(part.name, {})) for part in network.parts)
        return replace(network, parts=parts, title=self._title("changed copy"))

    def _tell_what_is_left_out(self) -> None:
        changed = [change["tolerance"] for change in self.wish.changed.values() if "tolerance" in change]
        if any([*changed, *(part.tolerance for part in self.wish.sketch.parts)]):
            self.notes.append("Tolerances are left out here: every part counts as what it is called.")
        if not self.arranged:
            return
        batteries = [part for part in self.wish.sketch.parts if part.kind == "battery"]
        where = "in series and in parallel"
        if not batteries:
            self.notes.append(f"There is no battery on the sheet: {where} one of {self.battery.value} is taken.")
        elif len(batteries) > 1:
            self.notes.append(f"Of {len(batteries)} batteries {self.battery.name} stands {where}.")
        if self.battery.internal:
            self.notes.append(f"The internal resistance of {self.battery.name} is left out {where}.")
        if charged := [part.name for part in self.arranged if part.initial]:
            self.notes.append(f"{listing(charged)} {'start' if len(charged) > 1 else 'starts'} uncharged {where}.")


def _changeable(kind: str) -> set[str]:
    """What a part of the copy may have instead."""
    if not KINDS[kind].quantity:
        return _OF_SWITCHES.get(kind, set())
    return {"value"} | ({"tolerance"} if kind in TAKES_TOLERANCE else set()) | ({"rated"} & set(KINDS[kind].optional))


def _capital(text: str) -> str:
    return text[0].upper() + text[1:]


def _negative(column: Column) -> list[str]:
    """The chosen parts whose voltage in a network is a number less than zero."""
    readings = {name: getattr(column.solution.parts[name], "voltage", None) for name in column.names}
    return [name for name, reading in readings.items() if reading is not None and (reading.value or 0) < 0]


__all__ = ["Column", "Columns", "ComparisonFault", "Kind", "Wish"]
